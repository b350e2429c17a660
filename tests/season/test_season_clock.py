"""A wrong clock costs no copy and no entry, and is said."""

from __future__ import annotations

import datetime
from datetime import date, timedelta
from pathlib import Path

import pytest

from loadcalc.season import Season, open_season, restore_season
from loadcalc.season.file import ledger
from loadcalc.season.keep import copies
from loadcalc.season.keep import opening as files
from loadcalc.season.keep.copies import DAILY, look_into
from tests.season_help import demo_folder


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> list[timedelta]:
    """How far this computer's clock is off, to be set by the test: every module of the season reads it."""
    off = [timedelta()]

    class Moment(datetime.datetime):
        @classmethod
        def now(cls, tz: datetime.tzinfo | None = None) -> Moment:
            return cls.fromtimestamp(datetime.datetime.now().timestamp() + off[0].total_seconds(), tz)

    class Day(datetime.date):
        @classmethod
        def today(cls) -> Day:
            return cls.fromordinal((date.today() + off[0]).toordinal())

    class Clock:
        datetime, date, UTC, timedelta = Moment, Day, datetime.UTC, timedelta

    for module in (copies, files, ledger):
        monkeypatch.setattr(module, "datetime", Clock)
    return off


def evening(folder: Path, mass_kg: float) -> Season:
    """Open the season, edit once, close it; opening copies what the last evening wrote."""
    with open_season(folder) as season:
        season.set_item("chainsaw", mass_kg=mass_kg)
        return season


def test_one_evening_ten_years_ahead_costs_nothing(tmp_path: Path, clock: list[timedelta]) -> None:
    """The copy of that evening is not the newest one afterwards; restoring brings the newest entry back."""
    folder = demo_folder(tmp_path)
    for day, off in enumerate((0, 3650, 1, 2, 3)):
        clock[0] = timedelta(days=off)
        evening(folder, 5.0 + day)
    found = copies.copies(folder)
    assert [copy.entry for copy in found] == [5, 4, 3, 2]
    assert found[0].day == date.today() + timedelta(days=3)
    (folder / "season.db").write_bytes(b"")
    with restore_season(folder) as season:
        assert season.version == 5


def test_sixteen_days_ahead_delete_no_later_copy(tmp_path: Path, clock: list[timedelta]) -> None:
    """After two weeks of wrong days, the right days' copies are made and kept: the fourteen of the newest entries."""
    folder = demo_folder(tmp_path)
    for day in range(16):
        clock[0] = timedelta(days=3650 + day)
        evening(folder, 5.0 + day)
    for day in range(5):
        clock[0] = timedelta(days=day)
        evening(folder, 50.0 + day)
    found = [copy for copy in copies.copies(folder) if copy.why == DAILY]
    assert [copy.entry for copy in found] == list(range(21, 21 - copies.MOST_DAILY, -1))
    assert [copy.day for copy in found[:4]] == [date.today() + timedelta(days=day) for day in (4, 3, 2, 1)]


def test_a_day_that_comes_twice_has_two_copies(tmp_path: Path, clock: list[timedelta]) -> None:
    """The clock is set back onto a day that has a copy: that one stays, and the day gets another."""
    folder = demo_folder(tmp_path)
    for number, off in enumerate((0, 1, 2, 1, 1)):
        clock[0] = timedelta(days=off)
        evening(folder, 5.0 + number)
    again = [copy for copy in copies.copies(folder) if copy.day == date.today() + timedelta(days=1)]
    assert [copy.entry for copy in again] == [4, 2]
    assert {copy.why for copy in again} == {DAILY}


def test_what_no_other_file_holds_is_never_deleted(tmp_path: Path, clock: list[timedelta]) -> None:
    """After an older copy was brought back, a daily copy holds entries that the season no longer has: it stays."""
    folder = demo_folder(tmp_path)
    for day in range(4):
        clock[0] = timedelta(days=day)
        evening(folder, 5.0 + day)
    left = copies.copies(folder)[0]
    newest = look_into(left).newest
    older = copies.copies(folder)[-1].name
    (folder / "season.db").write_bytes(b"")
    restore_season(folder, older).close()
    for day in range(4, 24):
        clock[0] = timedelta(days=day)
        evening(folder, 50.0 + day)
    assert left.path.exists()
    assert look_into(left).newest == newest
    assert len([copy for copy in copies.copies(folder) if copy.why == DAILY]) == copies.MOST_DAILY + 1


@pytest.mark.parametrize(("off", "said"), [(-3, True), (0, False), (200, False), (3650, True)])
def test_a_clock_that_jumps_is_said(tmp_path: Path, clock: list[timedelta], off: int, said: bool) -> None:
    """Behind the newest entry, or years after it: the page says so. A winter's break is no jump."""
    folder = demo_folder(tmp_path)
    evening(folder, 5.0)
    clock[0] = timedelta(days=off)
    with open_season(folder) as season:
        assert any("check the clock" in line for line in season.warnings) == said
