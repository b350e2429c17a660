"""Damage that SQLite doesn't see is told, put right from the ledger, or refused with what is damaged."""

from __future__ import annotations

import re
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from loadcalc.model import SeasonError
from loadcalc.season import open_season, rebuild_season, restore_season
from loadcalc.season.file.schema import DamagedFile
from loadcalc.season.keep.copies import (
    BY_HAND,
    copies,
    find_copy,
    keep_copy,
    look_into,
    restore,
    what_differs,
)
from tests.amount import amount
from tests.damage import rows, run
from tests.season_help import added_up, contents, demo_folder, demo_season, kept
from workbook.panels.desk.desk import Desk
from workbook.panels.ledger.copies import CopyPanel

FILES = amount(60, quick=20, every=400)  # damaged at random
NAME = "Saw of oak"  # a text that stands nowhere else


def saw(folder: Path) -> Path:
    """A season whose chainsaw has a name of its own and 5.0 kg, one entry later 6.0 kg; closed."""
    with open_season(folder) as season:
        season.set_item("chainsaw", name=NAME, mass_kg=5.0)
        season.set_item("chainsaw", mass_kg=6.25)
    return folder / "season.db"


def in_table(file: Path, table: str, old: str, new: str) -> None:
    """Change one value in a table behind everybody's back."""
    with closing(sqlite3.connect(file)) as db:
        guards = db.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
        for name, _ in guards:
            db.execute(f"DROP TRIGGER {name}")
        changed = db.execute(f"UPDATE {table} SET value = ? WHERE value = ?", (new, old)).rowcount
        for _, sql in guards:
            db.execute(sql)
        db.commit()
        assert changed == 1


def test_a_value_that_is_not_the_ledger_s_is_put_right_and_said(tmp_path: Path) -> None:
    """6.25 in the kept table becomes 9.25: the season opens with 6.25, says so once, and keeps it so."""
    folder = demo_folder(tmp_path)
    in_table(saw(folder), "present", "6.25", "9.25")
    with open_season(folder) as season:
        assert next(item.mass_kg for item in season.gear if item.key == "chainsaw") == 6.25
        (note,) = season.notes
        assert "1 value was not what the ledger says" in note
        assert "item chainsaw mass_kg is 6.25" in note
        season.verify()
    assert kept(folder) == added_up(folder)
    with open_season(folder) as season:
        assert season.notes == []


def test_a_byte_of_the_file_that_becomes_another(tmp_path: Path) -> None:
    """The same by a byte of the file itself: the name stands in the ledger's rows and in the kept table."""
    folder = demo_folder(tmp_path)
    file = saw(folder)
    data = file.read_bytes()
    places = [found.start() for found in re.finditer(f'"{NAME}"'.encode(), data)]
    assert len(places) == 2  # the change, and the present
    ends = []
    for place in places:
        file.write_bytes(data[:place] + data[place:].replace(b"oak", b"elm", 1))
        ends.append(opened(folder))
    assert sorted(ends) == [
        f"{NAME}: 1 value was not what the ledger says, and was put right from it (item chainsaw name",
        "refused: entry 2 is not what was written",
    ]


def opened(folder: Path) -> str:
    """How an opening ended: what the saw is called and the note, or the refusal, shortened."""
    try:
        with open_season(folder) as season:
            name = next(item.name for item in season.gear if item.key == "chainsaw")
            return f"{name}: {season.notes[0].partition(': ')[2].partition(' is ')[0]}"
    except DamagedFile as error:
        cures = "rebuild_season" in str(error) and "restore_season" in str(error)
        what = str(error).partition("(")[2].partition(")")[0]
        return f"refused: {what}" if cures else f"refused without the cures: {error}"


@pytest.mark.parametrize(
    ("old", "new"),
    [(b'"Saw of oak"', b'"Saw of oak '), (b'"Saw of oak"', b'"Saw \xff\xfe oak"')],
    ids=["no JSON", "no UTF-8"],
)
def test_what_cannot_be_read_is_damage_by_name(tmp_path: Path, old: bytes, new: bytes) -> None:
    """Bytes that are no JSON or no text any more: in the kept table put right, in the ledger refused by name."""
    folder = demo_folder(tmp_path)
    file = saw(folder)
    data = file.read_bytes()
    ends = []
    for place in [found.start() for found in re.finditer(old, data)]:
        file.write_bytes(data[:place] + new + data[place + len(old) :])
        ends.append(opened(folder))
    assert [end.partition(": ")[0] for end in sorted(ends)] == [NAME, "refused"]


def test_a_damaged_entry_comes_from_a_copy_and_nothing_is_lost(tmp_path: Path) -> None:
    """An old entry is damaged and was copied; later entries were not: rebuilding keeps both, whole."""
    folder = demo_folder(tmp_path)
    file = saw(folder)
    with open_season(folder) as season:
        (copy,) = copies(folder)
        season.set_item("loppers", mass_kg=2.5)
    was = rows(file)
    in_table(file, "change", "5.0", "9.0")
    with pytest.raises(DamagedFile, match="entry 2 is not what was written"):
        open_season(folder)
    with rebuild_season(folder) as season:
        season.verify()
        assert season.version == 4
    assert rows(file) == was
    assert len(list((folder / "copies").glob("damaged-*.db"))) == 1

    copy.path.unlink()
    in_table(file, "change", "5.0", "9.0")
    before = contents(folder)["season.db"]
    with pytest.raises(DamagedFile, match="entry 2 is not what was written"):
        rebuild_season(folder)
    assert contents(folder)["season.db"] == before


def test_a_copy_is_proven_before_it_is_called_one(tmp_path: Path) -> None:
    """A season that was damaged while open: no copy of it is made, and the reason is given."""
    with demo_season(tmp_path) as season:
        season.set_item("chainsaw", mass_kg=5.0)
        season.set_item("chainsaw", mass_kg=6.25)
        before = contents(season.folder / "copies")
        in_table(season.folder / "season.db", "change", "5.0", "9.0")
        with pytest.raises(DamagedFile, match="entry 2 is not what was written"):
            keep_copy(season.db, season.folder, BY_HAND)
        assert contents(season.folder / "copies") == before


def test_a_damaged_copy_is_never_restored(tmp_path: Path) -> None:
    """A digit of a copy's ledger has changed: by name it is refused; the newest sound one is taken, and told."""
    with demo_season(tmp_path) as season:
        season.set_item("chainsaw", mass_kg=5.0)
        older = keep_copy(season.db, season.folder, BY_HAND)
        season.set_item("chainsaw", mass_kg=6.25)
        newer = keep_copy(season.db, season.folder, "before-restore")
        season.set_item("chainsaw", mass_kg=7.5)
        in_table(newer, "change", "6.25", "9.25")
        for go in (restore, what_differs):
            with pytest.raises(DamagedFile, match="entry 3 is not what was written"):
                go(season, newer.name)
        with pytest.raises(DamagedFile):
            look_into(find_copy(season.folder, newer.name))
        folder = season.folder
    (folder / "season.db").write_bytes(b"")
    with pytest.raises(DamagedFile, match="entry 3"):
        restore_season(folder, newer.name)
    for copy in copies(folder):
        if copy.path not in (older, newer):
            copy.path.unlink()
    with restore_season(folder) as season:
        assert next(item.mass_kg for item in season.gear if item.key == "chainsaw") == 5.0
        assert "Passed over" in season.notes[0]
        assert newer.name in season.notes[0]


def test_the_page_of_copies_takes_any_damage(tmp_path: Path) -> None:
    """Every copy is damaged in a way of its own: the page opens, and asking about each says what is wrong with it."""
    with demo_season(tmp_path) as season:
        season.set_item("chainsaw", name=NAME, mass_kg=6.25)
        made = [keep_copy(season.db, season.folder, why) for why in ("by-hand", "form-1", "form-2", "form-3")]
        whole = made[0].read_bytes()
        made[0].write_bytes(whole.replace(b'"Saw of oak"', b'"Saw of \xff\xfek"'))
        made[1].write_bytes(whole.replace(b'"Saw of oak"', b'"Saw of oak '))
        made[2].write_bytes(whole.replace(b"+00:00", b"+0x:00"))
        made[3].write_bytes(whole.replace(b"CREATE TABLE", b"CREATE FABLE"))
        panel = CopyPanel(Desk(season))
        for path in made:
            panel.which.value = path.name
            panel.ask.click()
            assert "Not restored" in panel.words.value, path.name
        assert season.version == 2


def test_damage_at_random_ends_right_or_is_refused() -> None:
    """A few hundred files with a sound copy beside them; `python3 -m tests.damage` does as many as one likes."""
    ends = run(range(FILES))
    bad = [end for counted in ends.values() for end in counted if end.startswith("seed")]
    assert bad == []
    assert ends["open, file damaged"]["refused"] > FILES // 4
    assert ends["restore, file damaged"]["refused"] == 0  # there always is a sound copy
    assert ends["rebuild, file damaged"]["right"] > 2 * ends["rebuild, file damaged"]["refused"]


def test_a_season_without_damage_says_nothing(tmp_path: Path) -> None:
    """Opening, editing, undoing, restoring, and opening again leave seals that hold."""
    with demo_season(tmp_path) as season:
        season.set_item("chainsaw", mass_kg=6.25)
        path = keep_copy(season.db, season.folder, BY_HAND)
        season.remove("item", "chainsaw")
        season.undo()
        season.remove("item", "loppers")
        restore(season, path.name)
        season.verify()
    with open_season(tmp_path / "season") as season:
        assert season.notes == []
    with pytest.raises(SeasonError, match="no copy"):
        keep_copy(season.db, tmp_path / "nowhere", BY_HAND)
