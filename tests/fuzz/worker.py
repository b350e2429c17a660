"""One process that tries input after input, within bounds of time and memory, and tells what broke the promise."""

from __future__ import annotations

import importlib
import logging
import random
import resource
import signal
import tempfile
import traceback
import warnings
from collections.abc import Iterator, MutableSequence
from contextlib import contextmanager, suppress
from multiprocessing.connection import Connection
from pathlib import Path
from time import monotonic, process_time
from types import FrameType
from typing import NamedTuple

from loadcalc.model.errors import LoadcalcError
from tests.fuzz.look import open_pages
from tests.fuzz.target import Target

ROOT = Path(__file__).resolve().parents[2]
MEMORY = Path("/dev/shm")
MOST_S = 2.0  # of processor time for one input
AGAIN_S = 0.5  # between the alarms after that
MOST_BYTES = 500_000_000  # more than before, for one input
MOST_PAGE_S = 20.0  # for a page that is opened on what was accepted: page 06 tries hundreds of plans
LEFT, STARTED, TARGET, NUMBER, FIRST = range(5)  # on the board; then three numbers for each target
NEXT, TRIED, REFUSED = range(3)
Board = MutableSequence[float]


class Failure(NamedTuple):
    """What broke the promise: the target's place and the input's number, in one line, and in full."""

    target: int
    number: int
    said: str
    full: str


class TooLong(BaseException):
    """An input took too long; not an Exception, so that no code under test takes it for one of its own."""


def seeded(seed: int, target: Target, number: int) -> random.Random:
    """Return the randomness of one input."""
    return random.Random(f"{seed} {target.name} {number}")


def try_one(target: Target, rng: random.Random) -> tuple[bool, Failure | None]:
    """Try one input; return whether it was accepted, and what broke the promise."""
    accepted = False
    try:
        files = target.make(rng)
        target.put(files)
        before = target.stamp()
        with _bounds(MOST_S), suppress(LoadcalcError):
            accepted = target.take(files)
        if not accepted:
            assert target.stamp() == before, f"refused, and wrote: {_differing(before, target.stamp())}"
        elif target.season is not None:
            with _bounds(MOST_PAGE_S):
                open_pages(rng, target.season, target.pages)
        with _bounds(MOST_S):
            target.leave()
    except (Exception, TooLong) as error:
        failure = Failure(0, 0, f"{type(error).__name__} at {_place(error)}: {error}"[:300], traceback.format_exc())
        target.close()
        return accepted, failure
    return accepted, None


@contextmanager
def _bounds(most_s: float) -> Iterator[None]:
    """Raise TooLong or MemoryError inside when it takes more than it may; what hears no signal ends the process."""
    held, start = _memory_bytes(), process_time()
    # again and again: Python's main thread doesn't notice a signal that the system gave to another thread
    signal.setitimer(signal.ITIMER_PROF, most_s, AGAIN_S)
    _limit(resource.RLIMIT_CPU, int(start + 2 * most_s) + 1)
    if held:
        _limit(resource.RLIMIT_AS, held + MOST_BYTES)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0.0)
        for what in (resource.RLIMIT_CPU, resource.RLIMIT_AS):
            _limit(what, resource.getrlimit(what)[1])
    if process_time() - start > most_s:
        raise TooLong(f"{process_time() - start:.1f} s of processor time")


def _limit(what: int, soft: int) -> None:
    resource.setrlimit(what, (soft, resource.getrlimit(what)[1]))


def _memory_bytes() -> int:
    """Return how much address space this process has; 0 where the system doesn't tell (it is not bounded there)."""
    try:
        return int(Path("/proc/self/statm").read_text().split()[0]) * resource.getpagesize()
    except OSError:
        return 0


def too_long(_signal: int, _frame: FrameType | None) -> None:
    """Hear the alarm of the processor time."""
    raise TooLong("over the bound of processor time")


def _place(error: BaseException) -> str:
    """Return the innermost line of this project that an error came from."""
    frames = traceback.extract_tb(error.__traceback__)
    ours = [frame for frame in frames if str(ROOT) in frame.filename and ".venv" not in frame.filename]
    ours = [frame for frame in ours if frame.name != too_long.__name__]
    code = [frame for frame in ours if "tests" not in Path(frame.filename).relative_to(ROOT).parts] or ours
    return f"{Path(code[-1].filename).relative_to(ROOT)}:{code[-1].lineno}" if code else "?"


def _differing(before: dict[str, tuple[int, int]], after: dict[str, tuple[int, int]]) -> str:
    names = sorted(path for path in {*before, *after} if before.get(path) != after.get(path))
    return ", ".join(Path(name).name for name in names)


def work(told: Connection, board: Board, module: str, names: tuple[str, ...], seed: int, step: int) -> None:
    """Try inputs until no time is left, always of the target that has had the least of its share.

    told : gets each Failure, then None at the end. board : says how much time is left for inputs [s], which importing
    doesn't count in, and where this is; and counts. step : how many workers there are; each begins at another number.
    """
    logging.disable(logging.CRITICAL)
    warnings.simplefilter("ignore")
    signal.signal(signal.SIGPROF, too_long)
    # in memory where there is such a folder: a season waits for its disk
    with tempfile.TemporaryDirectory(prefix="fuzz-", dir=MEMORY if MEMORY.is_dir() else None) as base:
        made = [kind(Path(base)) for kind in importlib.import_module(module).TARGETS if kind.name in names]
        spent = [0.0] * len(made)
        while board[LEFT] > 0:
            which = min(range(len(made)), key=lambda place: spent[place] / made[place].share)
            target, counts = made[which], FIRST + 3 * which
            number = int(board[counts + NEXT])
            board[counts + NEXT] += step
            start = process_time()
            board[TARGET], board[NUMBER], board[STARTED] = which, number, monotonic()
            accepted, failure = try_one(target, seeded(seed, target, number))
            board[LEFT] -= monotonic() - board[STARTED]
            board[STARTED] = 0.0
            spent[which] += process_time() - start
            board[counts + TRIED] += 1
            board[counts + REFUSED] += not accepted
            if failure:
                told.send(failure._replace(target=which, number=number))
        for target in made:
            target.close()
    told.send(None)
