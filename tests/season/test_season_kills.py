"""Processes killed in the middle of working on a season: no confirmed entry is lost, and the file opens.

What a kill is, and what it is not, says tests/killed.py.
"""

from __future__ import annotations

import random
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path

import pytest

from loadcalc.season import open_season
from loadcalc.season.file import schema
from loadcalc.season.keep import copies
from loadcalc.season.keep.copies import DAILY, keep_copy, look_into
from loadcalc.season.keep.opening import restore_season
from tests.amount import amount
from tests.killed import MINE
from tests.season.test_season_forms import SEASONS, form, rows
from tests.season_help import ROOT, added_up, demo_season, kept, records

pytestmark = pytest.mark.skipif(
    sys.platform == "win32",
    reason="Windows can't fork, and has no SIGKILL; ending a process there is as hard",
)
LANES = ("one", "two")
KILLS = amount(60, quick=20, every=250)  # of each lane
REST_S = 0.02  # the longest that one works on before it is killed


class Killer:
    """The process that forks the victims; see tests/killed.py."""

    def __init__(self, seed: int) -> None:
        self.chance = random.Random(seed)
        command = [sys.executable, "-S", "-m", "tests.killed"]
        self.process = subprocess.Popen(
            command,
            cwd=ROOT,
            text=True,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
        )

    def kill(
        self,
        work: str,
        folder: Path,
        *,
        name: str = "one",
        number: int = 0,
        first: bool,
        rest_s: float = REST_S,
    ) -> list[str]:
        """Let one work for up to `rest_s` [s] and be killed; return what it had said."""
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        delay_s = self.chance.uniform(0.0, rest_s)
        words = (work, folder, name, number, int(first), delay_s)
        self.process.stdin.write("\t".join(map(str, words)) + "\n")
        self.process.stdin.flush()
        said: list[str] = []
        for line in self.process.stdout:
            if line == "gone\n":
                return said
            said.append(line.strip())
        raise AssertionError(self.process.communicate(timeout=10)[1])


@contextmanager
def killing(seed: int) -> Iterator[Killer]:
    """A process to fork from, ended with all that it has."""
    killer = Killer(seed)
    try:
        yield killer
    finally:
        killer.process.communicate(timeout=10)


def masses(folder: Path, lane: str) -> list[float]:
    """What the lane's two items weigh now, by a fresh opening of the season, which looks for damage."""
    with open_season(folder) as season:
        return [item.mass_kg for item in season.gear if item.key in MINE[lane]]


def work_and_be_killed(folder: Path, lane: str) -> list[tuple[int, int]]:
    """Edit and be killed many times; return all that was confirmed: entry, number."""
    confirmed: list[tuple[int, int]] = []
    number = 0
    with killing(seed=LANES.index(lane)) as killer:
        for kill in range(KILLS):
            said = killer.kill("edits", folder, name=lane, number=number, first=kill % 4 > 0)
            lines = [(int(one), int(two)) for one, two in (line.split() for line in said)]
            confirmed += lines
            last = lines[-1][1] if lines else number
            one, two = (round(mass * 1000) for mass in masses(folder, lane))
            # One more may be kept than was said: killed after keeping it and before saying so. When SQLite had it in
            # its log and had not told the others, it may come to light a kill later; so there may be two.
            assert one == two
            assert one - last in ((0, 1) if lines else (0, 1, 2))
            number = one
    return confirmed


def test_500_kills_lose_no_confirmed_entry(tmp_path: Path) -> None:
    """Two processes at once edit one season, each killed 250 times at random moments, a new one taking over.

    Every entry that one of them had confirmed is in the ledger with its value, none is there by half, the file
    opens after every kill, and its tables are what its changes add up to.
    """
    with demo_season(tmp_path) as season, season.entry("All at nothing"):
        for item in (item for items in MINE.values() for item in items):
            season.set_item(item, mass_kg=0.0)
    folder = tmp_path / "season"
    with ThreadPoolExecutor(len(LANES)) as pool:
        done = list(pool.map(lambda lane: work_and_be_killed(folder, lane), LANES))

    with open_season(folder) as season:
        season.verify()
        entries = {entry.id: entry for entry in season.entries()}
        assert sorted(entries) == list(range(1, len(entries) + 1))
        for lane, confirmed in zip(LANES, done, strict=True):
            for entry_id, number in confirmed:
                values = {change.key: change.value for change in season.changes(entry_id)}
                assert (entries[entry_id].who, values) == (lane, dict.fromkeys(MINE[lane], number / 1000))
    assert kept(folder) == added_up(folder)
    told = sum(map(len, done))
    assert 0 <= len(entries) - 2 - told <= len(LANES) * KILLS
    assert told > KILLS, "most were killed before they had kept anything, so that this proved little"
    for copy in copies.copies(folder):
        look_into(copy)


def test_kills_leave_no_half_copy(tmp_path: Path) -> None:
    """Killed while making copies: whatever has a copy's name is whole; whatever was confirmed is there."""
    with demo_season(tmp_path) as season:
        season.set_item("chainsaw", mass_kg=7.0)
        folder, newest = season.folder, season.entries(1)[0]
    made = 0
    with killing(seed=3) as killer:
        for kill in range(60):
            said = killer.kill("copies", folder, first=kill % 2 > 0)
            found = {copy.name: copy for copy in copies.copies(folder)}
            assert set(said) <= set(found)
            for name, copy in found.items():
                assert look_into(copy).newest == newest, name
                if copy.why != DAILY:
                    copy.path.unlink()
                    made += 1
    parts = list((folder / "copies").glob(".season-*.part"))
    assert made > 20
    assert parts, "nobody was killed in the middle of a copy"


def test_kills_while_an_older_file_is_brought_forward(tmp_path: Path) -> None:
    """Killed while a file of form 1 is opened: it is of one form or the other, and no entry is lost."""
    folder = tmp_path / "season"
    forms = []
    with killing(seed=4) as killer:
        for kill in range(40):
            shutil.rmtree(folder, ignore_errors=True)
            folder.mkdir()
            with sqlite3.connect(folder / "season.db") as db:
                db.executescript((SEASONS / "form_1.sql").read_text(encoding="utf-8"))
            db.close()
            before = rows(folder / "season.db", "change")
            killer.kill("forward", folder, first=kill % 4 == 0, rest_s=0.06)
            forms.append(form(folder / "season.db"))
            for copy in copies.copies(folder):
                look_into(copy)
            with open_season(folder) as season:
                season.verify()
            assert rows(folder / "season.db", "change") == before
            assert form(folder / "season.db") == schema.SCHEMA_VERSION
            assert len([copy for copy in copies.copies(folder) if copy.why == "form-1"]) >= 1
    assert set(forms) == {1, schema.SCHEMA_VERSION}, "all were killed on one side of the step"


def test_kills_while_a_copy_is_restored(tmp_path: Path) -> None:
    """Killed while a damaged file gives way to a copy: restoring again always leads to what the copy holds."""
    with demo_season(tmp_path) as season:
        season.set_item("chainsaw", mass_kg=7.0)
        keep_copy(season.db, season.folder, DAILY)
        then = records(season)
    folder = tmp_path / "season"
    damaged = (folder / "season.db").read_bytes()[:9000]
    with killing(seed=5) as killer:
        for kill in range(40):
            (folder / "season.db").write_bytes(damaged)
            killer.kill("restore", folder, first=False, rest_s=0.06)
            with restore_season(folder) as season:
                assert records(season) == then
            found = sorted((folder / "copies").glob("damaged-*.db"))
            assert found, kill
            assert all(path.read_bytes() == damaged for path in found)
