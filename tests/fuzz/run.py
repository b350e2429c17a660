"""Run workers side by side, watch them, keep the inputs that broke the promise, and count."""

from __future__ import annotations

import importlib
import multiprocessing
import signal
import tempfile
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from pathlib import Path
from time import monotonic, sleep

from tests.fuzz import worker
from tests.fuzz.target import Target
from tests.fuzz.worker import FIRST, LEFT, NEXT, NUMBER, REFUSED, STARTED, TARGET, TRIED, Board, Failure

WORKERS = 2
MODULE = "tests.fuzz.targets"
PATIENCE_S = 300.0  # on the wall, for code that only waits; a busy machine can make a second of work a minute long
_FRESH = multiprocessing.get_context("spawn")


@dataclass(slots=True)
class Found:
    """What a run has found: how often each failure, and where its first input is kept."""

    folder: Path
    counts: Counter[str] = field(default_factory=Counter)
    first: dict[str, Path] = field(default_factory=dict)
    again: dict[str, str] = field(default_factory=dict)

    def keep(self, seed: int, target: Target, failure: Failure) -> None:
        """Count a failure; keep the input of the first of its kind."""
        kind = f"{target.name}: {failure.said.partition(': ')[0]}"
        self.counts[kind] += 1
        if kind in self.first:
            return
        place = self.folder / f"{target.name.replace(' ', '-')}-{failure.number}"
        place.mkdir(exist_ok=True)
        for name, content in target.make(worker.seeded(seed, target, failure.number)).items():
            (place / name).write_bytes(content)
        (place / "failure.txt").write_text(failure.full or failure.said, encoding="utf-8")
        self.first[kind] = place
        again = f"python3 -m tests.fuzz --seed {seed} --target '{target.name}' --case {failure.number}"
        self.again[kind] = f"{failure.said}\n    {again}"


class Watched:
    """A worker and what it writes on; when it dies or hangs another goes on after the input that it was at."""

    def __init__(self, place: int, module: str, names: tuple[str, ...], seed: int, seconds: float) -> None:
        self.board: Board = _FRESH.Array("d", FIRST + 3 * len(names), lock=False)
        for which in range(len(names)):
            self.board[FIRST + 3 * which + NEXT] = place
        self.board[LEFT] = seconds
        self.job = (module, names, seed, WORKERS)
        self.done = False
        self.begin()

    def begin(self) -> None:
        """Start a process."""
        self.told, far = _FRESH.Pipe(duplex=False)
        self.board[STARTED] = 0.0
        job = (far, self.board, *self.job)
        self.process: BaseProcess = _FRESH.Process(target=worker.work, args=job, daemon=True)
        self.process.start()
        far.close()

    def failures(self, patience_s: float) -> Iterator[Failure]:
        """Yield what it has told since, and its own end."""
        yield from self._heard()
        started = self.board[STARTED]
        stuck = bool(started) and monotonic() - started > patience_s
        if stuck:
            self.process.kill()
            self.process.join()
        if not self.done and not self.process.is_alive():
            yield from self._heard()
            if not self.done:
                died = {-signal.SIGXCPU: "it hears no signal"}.get(self.process.exitcode or 0, "the process died")
                why = f"no end in {patience_s:g} s" if stuck else died
                yield Failure(int(self.board[TARGET]), int(self.board[NUMBER]), f"{why}: {self.process.exitcode}", "")
                self.board[LEFT] -= monotonic() - started if started else self.board[LEFT]
                self.done = self.board[LEFT] <= 0
                if not self.done:
                    self.begin()

    def _heard(self) -> Iterator[Failure]:
        told: Connection = self.told
        while not self.done:
            try:
                if not told.poll():
                    return
                failure = told.recv()
            except (EOFError, OSError):
                return
            if failure is None:
                self.done = True
                self.process.join()
            else:
                yield failure


def run(
    seconds: float, seed: int, names: tuple[str, ...] = (), module: str = MODULE, patience_s: float = PATIENCE_S
) -> tuple[list[str], Found]:
    """Try inputs for so many seconds; return the counts in lines, and what was found.

    names : of the targets (default: all). module : where they stand.
    """
    kinds = [kind for kind in importlib.import_module(module).TARGETS if not names or kind.name in names]
    names = tuple(kind.name for kind in kinds)
    found = Found(Path(tempfile.mkdtemp(prefix="fuzz-found-")))
    workers = [Watched(place, module, names, seed, seconds) for place in range(WORKERS)]
    with tempfile.TemporaryDirectory() as base:
        targets = [kind(Path(base)) for kind in kinds]
        while not all(one.done for one in workers):
            sleep(0.1)
            for one in workers:
                for failure in one.failures(patience_s):
                    found.keep(seed, targets[failure.target], failure)
    boards = [[one.board[at] for one in workers] for at in range(FIRST, FIRST + 3 * len(names))]
    lines = [f"{'':14}{'inputs':>10}{'refused':>10}{'accepted':>10}"]
    total = 0
    for which, name in enumerate(names):
        tried, refused = (int(sum(boards[3 * which + at])) for at in (TRIED, REFUSED))
        lines.append(f"{name:14}{tried:10,}{refused:10,}{tried - refused:10,}")
        total += tried
    lines.append(f"{'all':14}{total:10,}")
    if not found.counts:
        found.folder.rmdir()
    return lines, found


def again(seed: int, name: str, number: int) -> str:
    """Try one input once more; return what is wrong with it, in full, "" when nothing is."""
    signal.signal(signal.SIGPROF, worker.too_long)
    with tempfile.TemporaryDirectory() as base:
        target = next(kind for kind in importlib.import_module(MODULE).TARGETS if kind.name == name)(Path(base))
        failure = worker.try_one(target, worker.seeded(seed, target, number))[1]
        target.close()
    return failure.full if failure else ""
