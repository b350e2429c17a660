"""Forks processes that work on a season, and kills each in the middle: `python -S -m tests.killed`.

A kill here is SIGKILL: the process ends between two instructions of its machine, without a chance to tidy up, and
the system closes its files and drops its locks. What it had handed to the system before is kept by the system; so
this says nothing of a power cut, against which the season's file is synced at each edit.

One line in, one kill: `edits|copies|forward|restore FOLDER NAME NUMBER FIRST DELAY`. With FIRST 1 the delay [s]
begins when the process has said its first line, else when it is forked. Lines out: what the killed one had said,
then `gone`. Forking costs a few milliseconds, where starting a Python costs a tenth of a second. POSIX only.
"""

from __future__ import annotations

import os
import select
import signal
import sys
import time
import traceback
from collections.abc import Callable
from pathlib import Path

from loadcalc.season import open_season
from loadcalc.season.keep.copies import keep_copy
from loadcalc.season.keep.opening import restore_season

Say = Callable[[object], object]
MINE = {"one": ("chainsaw", "loppers"), "two": ("rock-bar", "pick-mattock")}
PATIENCE_S = 20.0


def edits(folder: Path, name: str, number: int, say: Say) -> None:
    """Edit two items at a time, for ever; say each entry's id and number only once it was kept."""
    season = open_season(folder, who=name)
    while True:
        number += 1
        with season.entry("Both or none") as draft:
            for item in MINE[name]:
                season.set_item(item, mass_kg=number / 1000)
        if (
            draft.entry is not None
        ):  # else it is there: kept by one that was killed, and found in the log by now
            say(f"{draft.entry.id} {number}")


def copies(folder: Path, name: str, number: int, say: Say) -> None:
    """Make a few copies, and say each one's name once it was made."""
    with open_season(folder, who=name) as season:
        for _ in range(4):
            say(keep_copy(season.db, folder, "by-hand").name)


def forward(folder: Path, name: str, number: int, say: Say) -> None:
    """Open a season that is of an older form."""
    with open_season(folder, who=name):
        say("open")


def restore(folder: Path, name: str, number: int, say: Say) -> None:
    """Restore a season whose file is damaged."""
    with restore_season(folder, who=name):
        say("open")


WORK = {work.__name__: work for work in (edits, copies, forward, restore)}


def kill_one(work: str, folder: str, name: str, number: str, first: str, delay_s: str) -> list[str]:
    """Fork a process that works, kill it, and return the lines that it had said."""
    inlet, outlet = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(inlet)
        try:
            WORK[work](Path(folder), name, int(number), lambda line: os.write(outlet, f"{line}\n".encode()))
            signal.pause()  # all done: wait for the end
        finally:  # only an error leads here; it must not go on as if it were the parent
            traceback.print_exc()
            os._exit(1)
    os.close(outlet)
    said = b""
    if first == "1" and select.select([inlet], [], [], PATIENCE_S)[0]:
        said = os.read(inlet, 65536)
    time.sleep(float(delay_s))
    os.kill(child, signal.SIGKILL)  # our own child, not yet waited for: the number is still its own
    _, status = os.waitpid(child, 0)
    assert os.WTERMSIG(status) == signal.SIGKILL, "it ended by itself"
    while more := os.read(inlet, 65536):
        said += more
    os.close(inlet)
    return said.decode().splitlines()


def main() -> None:
    """Do as the lines say until there are no more."""
    for line in sys.stdin:
        for said in (*kill_one(*line.split("\t")), "gone"):
            print(said, flush=True)


if __name__ == "__main__":
    main()
