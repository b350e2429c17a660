"""Several kernels on one season: no confirmed edit is lost. For kernels that are killed see test_season_kills."""

from __future__ import annotations

import subprocess
import sys
from itertools import pairwise
from pathlib import Path

import pytest

from loadcalc.season import open_season
from tests.season_help import FRIDAY, ROOT, added_up, demo_folder, demo_season, kept, records

# A worker says what was kept only after it was: "entry id, value".
WORKER = """
import sys, time
from loadcalc.season import open_season
folder, who, count = sys.argv[1], sys.argv[2], int(sys.argv[3])
own, shared = {"one": ("plus_minus_kg", "count"), "two": ("mass_kg", "count")}[who]
with open_season(folder, who=who) as season:
    print("ready", flush=True)
    sys.stdin.readline()
    for number in range(1, count + 1):
        with season.entry("One more") as draft:
            season.set_item("chainsaw", **{own: number / 100, shared: number * 2 + (who == "two")})
        print(draft.entry.id, number / 100, flush=True)
        time.sleep(0.001)  # let the other have its turn
"""


def start(program: str, *arguments: object) -> subprocess.Popen[str]:
    """Start a program in a Python of its own."""
    command = [sys.executable, "-S", "-c", program, *map(str, arguments)]
    return subprocess.Popen(
        command, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )


def test_two_kernels_lose_nothing(tmp_path: Path) -> None:
    """Two processes, 200 edits each at once: every edit is in the ledger; per field the last one holds."""
    folder, count = demo_folder(tmp_path), 200
    workers = [start(WORKER, folder, who, count) for who in ("one", "two")]
    for worker in workers:
        assert worker.stdout is not None
        assert worker.stdout.readline() == "ready\n"
    for worker in workers:
        assert worker.stdin is not None
        worker.stdin.write("go\n")
        worker.stdin.flush()
    answers = [worker.communicate(timeout=60) for worker in workers]

    assert [worker.returncode for worker in workers] == [0, 0], answers
    confirmed = [[tuple(line.split()) for line in out.splitlines()] for out, _ in answers]
    with open_season(folder) as season:
        entries = season.entries()
        assert [entry.id for entry in entries] == list(range(2 * count + 1, 0, -1))
        for who, lines in zip(("one", "two"), confirmed, strict=True):
            mine = [entry.id for entry in reversed(entries) if entry.who == who]
            assert mine == [int(number) for number, _ in lines]
            assert len(mine) == count
        saw = next(item for item in season.gear if item.key == "chainsaw")
        last = 2 * count + (entries[0].who == "two")
        assert (saw.plus_minus_kg, saw.mass_kg, saw.count) == (2.0, 2.0, last)
    assert kept(folder) == added_up(folder)
    turns = sum(a.who != b.who for a, b in pairwise(entries))
    assert turns > 2, "the two never took turns, so this proved nothing"


GUEST = """
import sys
from loadcalc.season import open_season
with open_season(sys.argv[1], who="guest") as season:
    season.set_item("loppers", mass_kg=float(sys.argv[2]))
    print(season.version, next(item.mass_kg for item in season.gear if item.key == "chainsaw"))
"""


@pytest.mark.parametrize("closing", [False, True], ids=["both stay open", "the second is closed"])
def test_a_season_opened_twice_in_one_notebook_loses_nothing(tmp_path: Path, closing: bool) -> None:
    """A cell that opens the season is run again; another program comes and goes: every edit is seen and stays.

    Closing a file drops all locks that a process has on it, which would let the guest clear the log away.
    """
    folder = demo_folder(tmp_path)
    with open_season(folder) as first, open_season(folder) as second:
        first.set_item("chainsaw", mass_kg=1.0)
        if closing:
            second.close()
        for number, version in ((2, 3), (3, 5)):
            said, errors = start(GUEST, folder, number).communicate(timeout=60)
            assert said.split() == [str(version), f"{number - 1}.0"], errors
            first.set_item("chainsaw", mass_kg=float(number))
        assert first.version == 6
    assert kept(folder) == added_up(folder)


def test_undo_under_two_kernels_restores_the_start(tmp_path: Path) -> None:
    """Edits from two sides, then undone from both sides by turns: the season is as it started."""
    with demo_season(tmp_path) as here, open_season(tmp_path / "season") as there:
        before = records(here)
        for number in range(1, 11):
            here.set_item("chainsaw", mass_kg=number / 10)
            there.set_item("chainsaw", mass_kg=number / 7, count=number)
            there.stow(FRIDAY, "rock-bar", "Drawer left" if number % 2 else "Drawer right")
        for side in (here, there) * 15:
            assert side.undo() is not None
        assert here.undo() is None
        assert records(here) == records(there) == before
