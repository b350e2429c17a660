"""Several kernels on one season, and kernels that are killed: no confirmed edit is lost."""

from __future__ import annotations

import random
import subprocess
import sys
import time
from itertools import pairwise
from pathlib import Path

import pytest

from loadcalc.season import open_season
from tests.season_help import FRIDAY, ROOT, added_up, demo_folder, demo_season, kept, records

# Both sorts of worker say what was kept only after it was: "entry id, value".
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
VICTIM = """
import sys
from loadcalc.season import open_season
season = open_season(sys.argv[1], who="victim")
number = int(sys.argv[2])
while True:
    number += 1
    with season.entry("Both or none") as draft:
        season.set_item("chainsaw", mass_kg=number / 1000)
        season.set_item("loppers", mass_kg=number / 1000)
    print(draft.entry.id, number, flush=True)
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


@pytest.mark.skipif(
    sys.platform == "win32", reason="Windows has no SIGKILL; ending a process there is as hard"
)
def test_a_killed_kernel_loses_no_confirmed_edit(tmp_path: Path) -> None:
    """Twenty kernels killed in the middle of editing: each confirmed edit is there, none by half."""
    folder = demo_folder(tmp_path)
    chance = random.Random(20)
    number = 0
    for _ in range(20):
        victim = start(VICTIM, folder, number)
        assert victim.stdout is not None
        first = victim.stdout.readline()  # it has begun
        time.sleep(chance.uniform(0.0, 0.03))
        victim.kill()
        rest, errors = victim.communicate(timeout=10)
        assert first, errors
        confirmed = [tuple(map(int, line.split())) for line in (first + rest).splitlines()]
        with open_season(folder) as season:
            newest = season.entries(2)
            saw, loppers = (
                next(i.mass_kg for i in season.gear if i.key == k) for k in ("chainsaw", "loppers")
            )
            # One more may be kept than was said: killed after keeping it and before saying so.
            last_id, last_number = confirmed[-1]
            assert newest[0].id - last_id in (0, 1)
            assert saw == loppers == (last_number + newest[0].id - last_id) / 1000
            number = round(saw * 1000)
    assert kept(folder) == added_up(folder)
    assert number >= 20
