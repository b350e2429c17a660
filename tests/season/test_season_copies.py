"""A copy a day beside the season's file, never half a one; and restoring from it, whoever has the season open."""

from __future__ import annotations

import datetime
import errno
import os
import re
import sqlite3
import time
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from loadcalc.model import NotFound, SeasonError
from loadcalc.season import open_season, start_season
from loadcalc.season.file import seals
from loadcalc.season.keep import copies
from loadcalc.season.keep.copies import (
    BEFORE_RESTORE,
    DAILY,
    MOST_DAILY,
    Keeper,
    find_copy,
    keep_copy,
    look_into,
    restore,
)
from loadcalc.season.keep.opening import restore_season
from tests.season_help import FRIDAY, added_up, contents, demo_folder, demo_season, kept, records

TODAY = date(2026, 5, 15)


def the_copies(folder: Path) -> list[tuple[str, str]]:
    """Day and reason of each copy, newest first."""
    return [(copy.day.isoformat(), copy.why) for copy in copies.copies(folder)]


def test_the_first_opening_of_a_day_keeps_a_copy(tmp_path: Path) -> None:
    """Opened with something in it: today's copy is there, whole, one file, and holds every entry until then."""
    with demo_season(tmp_path) as season:
        season.set_item("chainsaw", mass_kg=7.0)
    folder = tmp_path / "season"
    with open_season(folder) as season:
        (copy,) = copies.copies(folder)
        inside = look_into(copy)
        assert (copy.day, copy.why, inside.entries) == (date.today(), DAILY, 2)
        assert inside.newest == season.entries(1)[0]
    assert [path.name for path in (folder / "copies").iterdir()] == [copy.name]
    with sqlite3.connect(copy.path) as db:
        rows = db.execute("SELECT count(*) FROM change").fetchone()
        assert db.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    db.close()
    with sqlite3.connect(folder / "season.db") as db:
        assert db.execute("SELECT count(*) FROM change").fetchone() == rows
    db.close()


def test_the_first_edit_of_a_day_keeps_a_copy(tmp_path: Path) -> None:
    """A notebook that stays open over midnight: the next day's first edit is preceded by that day's copy."""
    with demo_season(tmp_path) as season:
        season.set_item("chainsaw", mass_kg=7.0)
        season.set_item("chainsaw", mass_kg=8.0)
        keeper = season.keeper
        assert isinstance(keeper, Keeper)
        keeper._settled = date.today() - timedelta(days=1)
        for copy in copies.copies(season.folder):
            copy.path.unlink()
        season.set_item("chainsaw", mass_kg=9.0)
        (copy,) = copies.copies(season.folder)
        assert look_into(copy).entries == 3
        season.set_item("chainsaw", mass_kg=10.0)
        assert len(copies.copies(season.folder)) == 1


def test_fourteen_days_are_kept(tmp_path: Path) -> None:
    """Each day with something new adds a copy, the oldest goes; copies of another sort stay."""
    with demo_season(tmp_path, durable=False) as season:
        keep_copy(season.db, season.folder, "form-1", TODAY)
        for number in range(20):
            season.keeper = None
            season.set_item("chainsaw", mass_kg=1.0 + number)
            assert copies.keep_daily(season.db, season.folder, TODAY + timedelta(days=number))
        days = [(TODAY + timedelta(days=n)).isoformat() for n in range(19, 19 - MOST_DAILY, -1)]
        assert the_copies(season.folder) == [*((day, DAILY) for day in days), (TODAY.isoformat(), "form-1")]
        assert [look_into(copy).entries for copy in copies.copies(season.folder)[:2]] == [21, 20]


def test_a_day_without_anything_new_makes_no_copy(tmp_path: Path) -> None:
    """Looking at a season for a month doesn't push the copies out that hold something else."""
    with demo_season(tmp_path, durable=False) as season:
        season.keeper = None
        assert not copies.keep_daily(season.db, season.folder, TODAY)  # the start alone can be started again
        season.set_item("chainsaw", mass_kg=1.0)
        for number in range(30):
            assert copies.keep_daily(season.db, season.folder, TODAY + timedelta(days=number))
        assert the_copies(season.folder) == [(TODAY.isoformat(), DAILY)]


def test_a_copy_is_whole_while_others_write(tmp_path: Path) -> None:
    """A copy made in the middle of somebody's edit holds the entries before it, and none by half."""
    with demo_season(tmp_path) as here, open_season(tmp_path / "season") as there:
        with here.entry("Long"):
            here.set_item("chainsaw", mass_kg=7.0)
            path = keep_copy(there.db, there.folder, "by-hand")
            here.set_item("loppers", mass_kg=7.0)
        assert look_into(find_copy(here.folder, path.name)).entries == 1


@pytest.mark.parametrize("failing", ["backup", "mkdir", "link"])
def test_no_room_for_a_copy_is_told_and_holds_no_edit_up(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, failing: str
) -> None:
    """A disk without room for the day's copy: editing goes on, the reason is there to be shown, no part stays."""

    # The disk is not really full: each step that would write reports that it is.
    def full(*_: Any, **__: Any) -> None:
        if failing == "backup":
            raise sqlite3.OperationalError("database or disk is full")
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    with demo_season(tmp_path) as season:
        season.set_item("chainsaw", mass_kg=7.0)
        before = contents(season.folder / "copies")
        monkeypatch.setattr(*{
            "backup": (copies, "write_whole"), "mkdir": (Path, "mkdir"), "link": (copies, "give_name"),
        }[failing], full)  # fmt: skip
        season.set_item("chainsaw", mass_kg=8.0)
        keeper = season.keeper
        assert isinstance(keeper, Keeper)
        assert re.search(r"no copy .*(disk is full|No space left).* make room on the disk", keeper.trouble)
        assert contents(season.folder / "copies") == before
        assert season.version == 3


def test_restoring_makes_everything_as_it_was(tmp_path: Path) -> None:
    """After any edits, restoring a copy gives the very records of that day; the ledger keeps what came since."""
    with demo_season(tmp_path) as season:
        season.set_item("chainsaw", mass_kg=7.0)
        path = keep_copy(season.db, season.folder, "by-hand")
        then, facts = records(season), kept(season.folder)
        season.remove("item", "loppers")
        season.set_zone("Drawer left", name="Saw drawer")
        season.add_loadout("Sunday", like=FRIDAY)
        season.set_item("chainsaw", mass_kg=9.0, kind="loud")
        later, version = records(season), season.version

        entry = restore(season, path.name)
        assert entry is not None
        assert (entry.kind, entry.id) == ("restore", version + 1)
        assert entry.note == f"Restored from the copy of {date.today().isoformat()}"
        assert records(season) == then
        assert kept(season.folder) == facts == added_up(season.folder)
        season.verify()
        assert restore(season, path.name) is None  # nothing differs any more
        season.undo()
        assert records(season) == later


def test_the_present_is_kept_before_a_restore(tmp_path: Path) -> None:
    """What was there when somebody restored is a copy of its own, which can be restored in turn."""
    with demo_season(tmp_path) as season:
        season.set_item("chainsaw", mass_kg=7.0)
        path = keep_copy(season.db, season.folder, "by-hand")
        season.set_item("chainsaw", mass_kg=9.0)
        later = records(season)
        restore(season, path.name)
        (before,) = [copy for copy in copies.copies(season.folder) if copy.why == BEFORE_RESTORE]
        restore(season, before.name)
        assert records(season) == later


def test_other_notebooks_see_a_restore_and_lose_nothing(tmp_path: Path) -> None:
    """With another notebook on the same season: it sees the restore at once, and its next edit stands."""
    with demo_season(tmp_path) as here, open_season(tmp_path / "season") as there:
        here.set_item("chainsaw", mass_kg=7.0)
        path = keep_copy(here.db, here.folder, "by-hand")
        there.set_item("loppers", mass_kg=2.0)
        assert restore(here, path.name) is not None
        assert records(here) == records(there)
        there.set_item("loppers", mass_kg=3.0)
        assert next(item.mass_kg for item in here.gear if item.key == "loppers") == 3.0
        assert [entry.kind for entry in there.entries()] == ["edit", "restore", "edit", "edit", "start"]


def test_a_copy_that_is_no_good_is_refused(tmp_path: Path) -> None:
    """A copy that is not there, damaged, or newer than the program: said so, nothing written, nothing kept."""
    with demo_season(tmp_path) as season:
        season.set_item("chainsaw", mass_kg=7.0)
        path = keep_copy(season.db, season.folder, "by-hand")
        season.set_item("chainsaw", mass_kg=8.0)
        before = contents(season.folder / "copies")
        with pytest.raises(NotFound, match=r"no copy of the season 'yesterday'; known: season-"):
            restore(season, "yesterday")
        whole = path.read_bytes()
        for data, words in (
            (whole[:5000], "damaged"),
            (b"Dear crew" * 99, "not a season file"),
            (b"", "not a season"),
        ):
            path.write_bytes(data)
            with pytest.raises(SeasonError, match=words):
                restore(season, path.name)
        path.write_bytes(whole)
        with sqlite3.connect(path) as db:
            db.execute("PRAGMA user_version = 99")
            db.execute("DROP VIEW trips")  # whatever a newer program does otherwise
        db.close()
        with pytest.raises(SeasonError, match="newer program"):
            restore(season, path.name)
        path.write_bytes(whole)
        assert contents(season.folder / "copies") == before
        assert season.version == 3


def _damage(folder: Path) -> None:
    file = folder / "season.db"
    file.write_bytes(file.read_bytes()[:9000])


def test_a_damaged_file_gives_way_to_a_copy(tmp_path: Path) -> None:
    """The message names the newest copy; restoring puts it in place and keeps the damaged file aside."""
    with demo_season(tmp_path) as season:
        season.set_item("chainsaw", mass_kg=7.0)
        keep_copy(season.db, season.folder, DAILY)
        then = records(season)
    folder = tmp_path / "season"
    _damage(folder)
    with pytest.raises(SeasonError, match=rf"restore the folder from a copy.*newest .* is of {date.today()}"):
        open_season(folder)
    damaged = (folder / "season.db").read_bytes()
    with restore_season(folder) as season:
        assert records(season) == then
        season.set_item("chainsaw", mass_kg=8.0)
        season.verify()
    (aside,) = (folder / "copies").glob("damaged-*.db")
    assert aside.read_bytes() == damaged
    assert the_copies(folder) == [(date.today().isoformat(), DAILY)]


def test_a_season_that_is_gone_comes_back_from_a_copy(tmp_path: Path) -> None:
    """With the file deleted, and only copies left, the newest one becomes the season; without any, none does."""
    with demo_season(tmp_path) as season:
        season.set_item("chainsaw", mass_kg=7.0)
        keep_copy(season.db, season.folder, DAILY)
        then = records(season)
    folder = tmp_path / "season"
    (folder / "season.db").unlink()
    with restore_season(folder) as season:
        assert records(season) == then
    (tmp_path / "empty").mkdir()
    with pytest.raises(NotFound, match="no copy of the season"):
        restore_season(tmp_path / "empty")
    assert contents(tmp_path / "empty") == {}


def test_restoring_a_sound_season_is_an_entry(tmp_path: Path) -> None:
    """The same call on a season that opens restores inside its ledger; nothing is moved away."""
    with demo_season(tmp_path) as season:
        season.set_item("chainsaw", mass_kg=7.0)
        path = keep_copy(season.db, season.folder, "by-hand")
        season.set_item("chainsaw", mass_kg=8.0)
    with restore_season(tmp_path / "season", path.name, who="Dov") as season:
        assert [(entry.kind, entry.who) for entry in season.entries(1)] == [("restore", "Dov")]
        assert next(item.mass_kg for item in season.gear if item.key == "chainsaw") == 7.0


def test_a_notebook_with_the_replaced_file_is_told(tmp_path: Path) -> None:
    """Who still holds the file that was set aside can't write into it any more: the edit is refused, not lost."""
    with demo_season(tmp_path) as here:
        here.set_item("chainsaw", mass_kg=7.0)
        keep_copy(here.db, here.folder, DAILY)
        (here.folder / "season.db").rename(tmp_path / "moved.db")
        with pytest.raises(SeasonError, match=r"moved away or replaced .* open the season again"):
            here.set_item("chainsaw", mass_kg=8.0)
        with restore_season(tmp_path / "season") as there:
            with pytest.raises(SeasonError, match=r"moved away or replaced"):
                here.undo()
            there.set_item("chainsaw", mass_kg=9.0)
            assert there.version == 3


def test_a_restore_that_fails_leaves_the_damaged_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """When the disk has no room for the copy, the damaged file stays where it is, and no part is left."""
    with demo_season(tmp_path) as season:
        season.set_item("chainsaw", mass_kg=7.0)
        keep_copy(season.db, season.folder, DAILY)
    folder = tmp_path / "season"
    _damage(folder)
    before = contents(folder)

    def full(*_: Any) -> None:
        error = sqlite3.OperationalError("database or disk is full")
        error.sqlite_errorname = "SQLITE_FULL"
        raise error

    monkeypatch.setattr(seals, "settle", full)
    with pytest.raises(SeasonError, match="disk is full"):
        restore_season(folder)
    assert contents(folder) == before


def test_what_a_killed_copy_left_is_cleared(tmp_path: Path) -> None:
    """An old part file is cleared away at the next copy; a young one, which may be somebody's, is not."""
    with demo_season(tmp_path) as season:
        season.set_item("chainsaw", mass_kg=7.0)
        season.set_item("chainsaw", mass_kg=8.0)
        old, young = (season.folder / "copies" / f".season-{name}.part" for name in ("old", "young"))
        for part in (old, young):
            part.write_bytes(b"half of it")
        os.utime(old, (time.time() - 7200,) * 2)
        keep_copy(season.db, season.folder, "by-hand")
        assert (old.exists(), young.exists()) == (False, True)
        assert all(copy.path.suffix == ".db" for copy in copies.copies(season.folder))


def test_foreign_files_among_the_copies_are_left_alone(tmp_path: Path) -> None:
    """Whatever else somebody put into the folder is no copy and stays."""
    folder = demo_folder(tmp_path)
    (folder / "copies").mkdir()
    for name in ("letter.txt", "season-2026-13-45.db", "season-old.db"):
        (folder / "copies" / name).write_text("mine")
    with open_season(folder) as season:
        season.set_item("chainsaw", mass_kg=7.0)
        season.set_item("chainsaw", mass_kg=8.0)
        assert the_copies(folder) == [(date.today().isoformat(), DAILY)]
    assert len(list((folder / "copies").iterdir())) == 4


def test_a_fresh_start_has_no_copy_and_an_import_has(tmp_path: Path) -> None:
    """A season with its start alone is not copied yet."""
    with start_season(tmp_path / "new") as season:
        assert copies.copies(season.folder) == ()
        assert not (season.folder / "copies").exists()


def test_copies_of_one_second_have_names_of_their_own(tmp_path: Path) -> None:
    """Two copies of one sort in one second don't replace each other, and the newest comes first."""
    with demo_season(tmp_path) as season:
        names = {keep_copy(season.db, season.folder, "by-hand").name for _ in range(3)}
        found = copies.copies(season.folder)
        assert {copy.name for copy in found} == names
        assert {(copy.day, copy.why) for copy in found} == {(datetime.date.today(), "by-hand")}
