"""A season file of an older form is brought forward on opening, with a copy of it made first."""

from __future__ import annotations

import sqlite3
from pathlib import Path
from typing import Any

import pytest

from loadcalc.model import Limit, SeasonError
from loadcalc.season import open_season, start_season
from loadcalc.season.file import schema
from loadcalc.season.file.fields import FIELDS
from loadcalc.season.keep import copies
from loadcalc.season.keep import upgrades as forms
from loadcalc.season.story.departures import ticket_fields
from tests.season_help import ROOT, added_up, contents, kept

SEASONS = ROOT / "tests" / "seasons"  # each written by the program as it was then; real entries


def made(tmp_path: Path, number: int) -> Path:
    """A folder with a season file of an older form."""
    folder = tmp_path / "season"
    folder.mkdir()
    with sqlite3.connect(folder / "season.db") as db:
        db.executescript((SEASONS / f"form_{number}.sql").read_text(encoding="utf-8"))
    db.close()
    return folder


@pytest.fixture
def old(tmp_path: Path) -> Path:
    """A folder with a season file of form 1."""
    return made(tmp_path, 1)


def rows(file: Path, table: str) -> list[Any]:
    """Every row of a table, in order."""
    with sqlite3.connect(file) as db:
        found = db.execute(f"SELECT * FROM {table} ORDER BY 1, 2, 3").fetchall()
    db.close()
    return found


def layout(file: Path) -> set[tuple[str, str, str]]:
    """Every table, view, index, and trigger of a file with the statement that makes it."""
    with sqlite3.connect(file) as db:
        found = db.execute("SELECT type, name, sql FROM sqlite_master WHERE sql IS NOT NULL").fetchall()
    db.close()
    return {(kind, name, " ".join(sql.split())) for kind, name, sql in found}


def form(file: Path) -> int:
    """The file's form."""
    with sqlite3.connect(file) as db:
        found = db.execute("PRAGMA user_version").fetchone()[0]
    db.close()
    return int(found)


def test_the_stored_file_is_of_form_1_and_full(old: Path) -> None:
    """What is tested below is an older file with entries of two people, an undo, and something removed."""
    entries = rows(old / "season.db", "entry")
    assert form(old / "season.db") == 1
    assert len(entries) == 15
    assert {row[2] for row in entries} == {"Ines", "Marta"}
    assert {row[3] for row in entries} == {"start", "edit", "undo"}
    assert kept(old) == added_up(old)


def test_an_older_file_is_brought_forward_and_nothing_is_lost(old: Path) -> None:
    """Every entry, change, and value is as it was; the file has the layout of one started today."""
    file = old / "season.db"
    before = {table: rows(file, table) for table in ("entry", "change", "present")}
    with open_season(old) as season:
        season.verify()
        assert {item.key: item.mass_kg for item in season.gear} == {
            "chainsaw": 7.1,
            "réchaud-vieux-à-gaz": 1.25,
        }
        assert season.vehicle.limit("gross") == Limit(limit_kg=2900.0, read_at="driver's door jamb label")
        assert [loadout.name for loadout in season.loadouts] == ["Friday departure", "First loadout"]
    assert {table: rows(file, table) for table in before} == before
    assert form(file) == schema.SCHEMA_VERSION
    start_season(old.parent / "today").close()
    assert layout(file) == layout(old.parent / "today" / "season.db")


def test_a_file_of_form_2_is_brought_forward_and_its_tickets_mean_what_they_meant(tmp_path: Path) -> None:
    """Nothing is lost, and a copy is kept; a scale called pads still is one; the curb mass has no doubt yet."""
    folder = made(tmp_path, 2)
    file = folder / "season.db"
    assert form(file) == 2
    before = {table: rows(file, table) for table in ("entry", "change", "present", "thing")}
    with open_season(folder) as season:
        season.verify()
        pads = [ticket_fields(season, key)["pads"] for key, _ in season.present.rows("weigh_in")]
        assert pads == [False, True]
        assert season.vehicle.curb_plus_minus_kg == 0.0
        assert [trip.name for trip in season.trips] == ["First trip"]
        assert {table: rows(file, table) for table in before} == before
        season.set_vehicle("curb_plus_minus_kg", 12.5)
        assert season.vehicle.curb_plus_minus_kg == 12.5
    assert form(file) == schema.SCHEMA_VERSION
    start_season(folder.parent / "today").close()
    assert layout(file) == layout(folder.parent / "today" / "season.db")
    assert [form(copy.path) for copy in copies.copies(folder) if copy.why == "form-2"] == [2]


def test_a_file_of_form_3_is_brought_forward_and_takes_a_road_pressure(tmp_path: Path) -> None:
    """Nothing is lost, and a copy is kept; straps and trail pressure are there; nobody has set a road pressure yet."""
    folder = made(tmp_path, 3)
    file = folder / "season.db"
    assert form(file) == 3
    before = {table: rows(file, table) for table in ("entry", "change", "present", "thing")}
    with open_season(folder) as season:
        season.verify()
        loadout = season.loadout("First loadout")
        assert [(s.name, s.straps, s.tension_n) for s in loadout.straps] == [("Saws", 2, 400.0)]
        assert [stowed.group for stowed in loadout.gear] == [loadout.straps[0].key]
        assert (loadout.front_road_kpa, loadout.rear_road_kpa) == (None, None)
        assert (loadout.front_kpa, loadout.rear_kpa) == (150.0, None)
        assert {table: rows(file, table) for table in before} == before
        season.set_loadout("First loadout", rear_road_kpa=310.0)
        assert season.loadout("First loadout").rear_road_kpa == 310.0
    start_season(folder.parent / "today").close()
    assert layout(file) == layout(folder.parent / "today" / "season.db")
    assert [form(copy.path) for copy in copies.copies(folder) if copy.why == "form-3"] == [3]


def test_a_file_of_form_4_is_brought_forward_and_a_can_takes_a_mark(tmp_path: Path) -> None:
    """Nothing is lost, and a copy is kept; the item's mark is there; nobody has marked the can yet."""
    folder = made(tmp_path, 4)
    file = folder / "season.db"
    assert form(file) == 4
    before = {table: rows(file, table) for table in ("entry", "change", "present", "thing")}
    with open_season(folder) as season:
        season.verify()
        assert [(item.name, item.mass_kg, item.hazard) for item in season.gear][-1:] == [
            ("Propane cylinder", 9.5, "gas")
        ]
        assert [(can.name, can.kind, can.hazard) for can in season.liquids] == [
            ("Jerry can, petrol", "water", "")
        ]
        assert season.loadout("First loadout").front_road_kpa == 240.0
        assert {table: rows(file, table) for table in before} == before
        season.set("liquid", "jerry-can-petrol", hazard="neither")
        assert [can.hazard for can in season.liquids] == ["neither"]
    start_season(folder.parent / "today").close()
    assert layout(file) == layout(folder.parent / "today" / "season.db")
    assert [form(copy.path) for copy in copies.copies(folder) if copy.why == "form-4"] == [4]


def test_there_is_a_view_for_every_subject(old: Path) -> None:
    """Someone with a general SQLite program finds each subject's table, with a column for each field."""
    open_season(old).close()
    with sqlite3.connect(old / "season.db") as db:
        for subject, fields in FIELDS.items():
            names = [row[1] for row in db.execute(f"PRAGMA table_info({schema.table_name(subject)})")]
            assert names[0] in ("key", "subject")
            assert set(fields) <= set(names)
    db.close()


def test_the_file_as_it_was_is_kept_first(old: Path) -> None:
    """Before anything is changed, a copy of the older file is made, which an older program can still read."""
    before = rows(old / "season.db", "change"), layout(old / "season.db")
    open_season(old).close()
    (copy,) = [copy for copy in copies.copies(old) if copy.why == "form-1"]
    assert form(copy.path) == 1
    assert (rows(copy.path, "change"), layout(copy.path)) == before
    open_season(old).close()
    assert len([copy for copy in copies.copies(old) if copy.why == "form-1"]) == 1


def test_without_room_for_the_copy_the_file_stays(old: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When the copy can't be made, opening is refused with the cure, and the older file is as it was."""
    before = rows(old / "season.db", "change"), layout(old / "season.db")

    def full(db: sqlite3.Connection, part: Path) -> None:
        raise sqlite3.OperationalError("database or disk is full")

    monkeypatch.setattr(copies, "write_whole", full)
    with pytest.raises(SeasonError, match=r"no copy of .*season\.db could be made .*full.* make room"):
        open_season(old)
    assert (rows(old / "season.db", "change"), layout(old / "season.db")) == before
    assert form(old / "season.db") == 1


def test_a_step_that_fails_half_way_is_taken_back(old: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An error in the middle of the step leaves the older form whole; the next opening brings it forward."""
    before = layout(old / "season.db")
    real = forms._to_form_2

    def half(db: sqlite3.Connection) -> None:
        real(db)
        raise sqlite3.OperationalError("interrupted")

    monkeypatch.setitem(forms._STEPS, 1, half)
    with pytest.raises(SeasonError, match="open the season again"):
        open_season(old)
    assert (form(old / "season.db"), layout(old / "season.db")) == (1, before)
    monkeypatch.setitem(forms._STEPS, 1, real)
    open_season(old).close()
    assert form(old / "season.db") == schema.SCHEMA_VERSION


def test_two_notebooks_bring_one_file_forward_once(old: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """While one makes its copy, another brings the file forward: the first finds it done."""
    real = copies.keep_copy

    def slow(db: sqlite3.Connection, folder: Path, why: str) -> Path:
        monkeypatch.setattr(forms, "keep_copy", real)
        open_season(folder, who="quicker").close()
        return real(db, folder, why)

    monkeypatch.setattr(forms, "keep_copy", slow)
    with open_season(old) as season:
        season.set_item("chainsaw", mass_kg=8.0)
        season.verify()
    assert form(old / "season.db") == schema.SCHEMA_VERSION


def test_a_form_that_never_was_is_refused_untouched(old: Path) -> None:
    """A form below the first is no season of ours."""
    with sqlite3.connect(old / "season.db") as db:
        db.execute("PRAGMA user_version = 0")
    db.close()
    before = contents(old)["season.db"]
    with pytest.raises(SeasonError, match="form 0, which no program ever wrote"):
        open_season(old)
    assert contents(old)["season.db"] == before


def test_an_older_copy_can_be_restored(old: Path) -> None:
    """The copy of form 1 restores into today's season like any other."""
    with open_season(old) as season:
        facts = kept(old)
        season.set_item("chainsaw", mass_kg=1.0)
        (copy,) = [copy for copy in copies.copies(old) if copy.why == "form-1"]
        assert copies.restore(season, copy.name) is not None
        assert kept(old) == facts


def test_a_file_of_form_5_is_brought_forward_and_sealed(tmp_path: Path) -> None:
    """Nothing is lost, and a copy is kept; from now on damage is told: a value changed behind the ledger's back."""
    folder = made(tmp_path, 5)
    file = folder / "season.db"
    assert form(file) == 5
    before = {table: rows(file, table) for table in ("entry", "change", "present", "thing")}
    with open_season(folder) as season:
        season.verify()
        assert season.notes == []
        assert [(can.name, can.hazard) for can in season.liquids] == [("Jerry can, petrol", "fuel")]
        assert {table: rows(file, table) for table in before} == before
        season.set("liquid", "jerry-can-petrol", capacity_l=21.0)
        season.verify()
    start_season(folder.parent / "today").close()
    assert layout(file) == layout(folder.parent / "today" / "season.db")
    assert [form(copy.path) for copy in copies.copies(folder) if copy.why == "form-5"] == [5]


def test_an_older_file_whose_table_is_not_its_ledger_is_put_right(tmp_path: Path) -> None:
    """A file of form 5 has no seals, but a ledger that follows: the table goes by it, and that is said."""
    folder = made(tmp_path, 5)
    with sqlite3.connect(folder / "season.db") as db:
        db.execute("UPDATE present SET value = '\"neither\"' WHERE subject = 'liquid' AND field = 'hazard'")
    db.close()
    with open_season(folder) as season:
        assert [can.hazard for can in season.liquids] == ["fuel"]
        assert "1 value was not what the ledger says" in season.notes[0]


def test_a_file_of_form_6_is_brought_forward_and_its_trailer_takes_a_second_axle(tmp_path: Path) -> None:
    """Nothing is lost, and a copy is kept; the trailer has one axle, as was taken for granted, and may have two."""
    folder = made(tmp_path, 6)
    file = folder / "season.db"
    assert form(file) == 6
    before = {table: rows(file, table) for table in ("entry", "change", "present", "thing", "seal")}
    with open_season(folder) as season:
        season.verify()
        assert season.notes == []
        trailer = season.trailer
        assert trailer is not None
        assert (trailer.name, trailer.mass_kg, trailer.tongue_kg, trailer.axles) == (
            "Remorque à bois",
            950.0,
            90.0,
            1,
        )
        assert trailer.limit("trailer_axle") == Limit(limit_kg=1000.0, read_at="trailer's plate")
        assert {table: rows(file, table) for table in before} == before
        season.set_trailer(axles=2, front_axle_kg=440.0, rear_axle_kg=420.0)
        season.verify()
        again = season.trailer
        assert again is not None
        assert again.weighed_axles_kg == (440.0, 420.0)
    start_season(folder.parent / "today").close()
    assert layout(file) == layout(folder.parent / "today" / "season.db")
    assert [form(copy.path) for copy in copies.copies(folder) if copy.why == "form-6"] == [6]


def test_a_file_of_form_7_is_brought_forward_and_nothing_in_it_is_assumed(tmp_path: Path) -> None:
    """Nothing is lost, and a copy is kept; all was entered, so nothing is assumed until a measure is taken out."""
    folder = made(tmp_path, 7)
    file = folder / "season.db"
    assert form(file) == 7
    before = {table: rows(file, table) for table in ("entry", "change", "present", "thing", "seal")}
    with open_season(folder) as season:
        season.verify()
        assert season.notes == []
        assert (season.vehicle.curb_kg, season.vehicle.assumed) == (2010.0, ())
        assert [zone.assumed for zone in season.zones] == [()] * len(season.zones)
        assert {table: rows(file, table) for table in before} == before
        season.set_vehicle("body_style", "wagon")
        season.set_vehicle("front_track_m", None)
        assert [one.measure for one in season.vehicle.assumed] == ["front_track_m"]
        season.verify()
    start_season(folder.parent / "today").close()
    assert layout(file) == layout(folder.parent / "today" / "season.db")
    assert [form(copy.path) for copy in copies.copies(folder) if copy.why == "form-7"] == [7]
