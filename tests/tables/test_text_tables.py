"""Text tables that a person wrote: units by column name, and errors that name file, row, column, and cure."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from loadcalc.model import BadValue, LoadcalcError, SeasonError
from loadcalc.season import start_season
from loadcalc.season.tables.cells import si
from tests.season_help import DEMO, FRIDAY, PLAIN

# Exact: 1 lb = 0.45359237 kg, 1 in = 25.4 mm, 1 US gal = 3.785411784 L; NIST SP 811 app. B (corroborated).
UNITS = [
    ("item", "mass_lb", "38", "mass_kg", 17.23651006),
    ("item", "mass_oz", "16", "mass_kg", 0.45359237),
    ("item", "mass_g", "250", "mass_kg", 0.25),
    ("item", "mass_kg", "7.5", "mass_kg", 7.5),
    ("item", "plus_minus_lb", "1", "plus_minus_kg", 0.45359237),
    ("zone", "aft_in", "100", "aft_m", 2.54),
    ("zone", "length_ft", "3", "length_m", 0.9144),
    ("zone", "left_cm", "-40", "left_m", -0.4),
    ("vehicle", "tire_diameter_mm", "800", "tire_diameter_m", 0.8),
    ("liquid", "capacity_gal", "5", "capacity_l", 18.92705892),
    ("liquid", "capacity_qt", "4", "capacity_l", 3.785411784),
    ("liquid", "density_lb_per_gal", "8.3304", "density_kg_per_l", 0.998202),
    ("zone", "limit_lb", "110", "limit_kg", 49.8951607),
    ("item", "count", "3", "count", 3.0),
    ("zone", "in_cabin", "yes", "in_cabin", True),
    ("zone", "on_carrier", "No", "on_carrier", False),
    ("zone", "limit_lb", "", "limit_kg", None),
    ("item", "name", "12", "name", "12"),
]


@pytest.mark.parametrize(("subject", "column", "cell", "field", "value"), UNITS)
def test_a_column_s_name_holds_its_unit(
    subject: str, column: str, cell: str, field: str, value: object
) -> None:
    """A cell comes in by its column's unit and is kept in SI; an empty cell is no value."""
    got_field, got = si(subject, column, cell, "here")
    assert got_field == field
    assert got == (pytest.approx(value, rel=1e-6) if isinstance(value, float) else value)
    assert type(got) is type(value)


HEAD = "name,mass_lb,known,count\n"
GEAR = [  # the rows below the header; what the error says after "gear.csv "
    ("Saw,5 lb,weighed,1", "row 2, column mass_lb: mass '5 lb' is not a plain number; write digits"),
    ("Saw,-5,weighed,1", r"row 2, column mass_lb \(-5\), Saw: mass each -2.26.* outside 0 to 500 kg"),
    ("\nSaw,5,guessed,1", r"row 3, column known \(guessed\), Saw: how known 'guessed'.*choose one of"),
    ("Saw,5,weighed,1\nsaw,5,weighed,1", r"row 3, .*'saw' is already taken; give it another"),
    ("Saw,5,weighed,1.5", "row 2.*count 1.5 is not a whole number"),
    (",5,weighed,1", "row 2: name '' is missing; give it"),
    ("Saw,,weighed,1", "row 2, Saw: mass '' is missing; give it in kg"),
    ("Saw,5,weighed,1,9", "row 2: has 5 cells under 4 columns; put a comma"),
    ("S\udcffw,5,weighed,1", "can't be read.*UTF-8"),
]
LOADOUT = "[[loadout]]\nname = 'x'\n"
TRIP = "name,date,carried\nTo the gap,2026-05-15,"
BAD = [
    *(("gear.csv", f"{HEAD}{rows}\n", message) for rows, message in GEAR),
    ("gear.csv", "name;mass_lb\nSaw;5\n", "row 1: needs a column `name`.*commas between"),
    ("gear.csv", "name,weight\nSaw,5\n", "row 2, column weight: column 'weight' is not one of the table gear; choose"),
    (
        "people.csv",
        "name,mass_lb,seat\nAda,150,Front\n",
        r"row 2, column seat \(Front\): .*'Front' is not there \(known: .*spelling",
    ),
    ("zones.csv", "name,aft_in,up_in\nBox,90,30\n", "row 2, Box: length '' is missing; give it in m"),
    (
        "liquids.csv",
        "name,container_lb,capacity_gal,density_kg_per_l\nCan,1,5,8.33\n",
        r"row 2, column density_kg_per_l \(8.33\), Can: density 8.33 is outside 0.05 to 3 kg/L",
    ),
    ("trips.csv", f"{TRIP}\u00b2 Saws\n", "trips.csv: row 2 there is no item '\u00b2 Saws'"),
    ("trips.csv", f"{TRIP}{'9' * 5000} Saws\n", "trips.csv: row 2 there is no item '999"),
    ("trips.csv", "name,date\n,2026-05-15\n", "row 2.*name '' is missing"),
    ("vehicle.toml", "title = \n", "can't be read: .*line 1.*correct that line"),
    ("vehicle.toml", "title = 'x'\n", "vehicle '' is missing; give it"),
    (
        "loadouts.toml",
        f"{LOADOUT}[loadout.gear]\n'Attic' = ['Saw']\n",
        "x, gear, Attic: .*'Saw' is not there",
    ),
    ("loadouts.toml", f"{LOADOUT}fuel_gal = 99\n", "x: fuel 374.* is outside 0 to .* L"),
    ("loadouts.toml", f"{LOADOUT}date = 'Friday'\n", "date 'Friday' is not a date"),
    ("loadouts.toml", f"{LOADOUT}[loadout.people]\nDriver = 'Zoe'\n", "x: person 'Zoe' is not"),
]


@pytest.mark.parametrize(("file", "text", "message"), BAD, ids=[f"{bad[0]}: {bad[2][:30]}" for bad in BAD])
def test_an_error_names_file_row_column_and_cure(tmp_path: Path, file: str, text: str, message: str) -> None:
    """Each slip that a person makes in a table is told where it stands and what to do; no season is made."""
    tables = tmp_path / "tables"
    shutil.copytree(PLAIN, tables)
    (tables / file).write_text(text, encoding="utf-8", errors="surrogateescape")
    with pytest.raises((BadValue, SeasonError), match=message) as caught:
        start_season(tmp_path / "season", tables)
    assert isinstance(caught.value, LoadcalcError)
    assert str(caught.value).startswith(file)
    assert not (tmp_path / "season").exists()


VEHICLE = [
    ("wheelbase_in = 110", "wheelbase_in = 'long'", "vehicle, wheelbase_in: wheelbase 'long' is not a"),
    ("curb_front_lb = 2300", "", "curb_front_lb '' is missing; give what the scale showed"),
    ('units = "US"', 'units = "metric"', "units 'metric' is not a known choice"),
    ("[carrier]", "[limits.gros]\nlimit_lb = 1\n[carrier]", "rating 'gros' is not a known choice"),
    ("mass_lb = 60\n", "", "mass '' is missing; give it in kg"),
]


@pytest.mark.parametrize(("old", "new", "message"), VEHICLE)
def test_an_error_in_the_vehicle_names_its_table(tmp_path: Path, old: str, new: str, message: str) -> None:
    """A slip in vehicle.toml is named by table and line."""
    tables = tmp_path / "tables"
    shutil.copytree(PLAIN, tables)
    text = (tables / "vehicle.toml").read_text()
    assert old in text
    (tables / "vehicle.toml").write_text(text.replace(old, new, 1))
    with pytest.raises(BadValue, match=message):
        start_season(tmp_path / "season", tables)


def test_si_tables_give_the_same_season(tmp_path: Path) -> None:
    """The same gear list in kilograms and in pounds gives the same items."""
    masses = {}
    for unit, factor in (("lb", 1.0), ("kg", 0.45359237)):
        tables = tmp_path / unit
        shutil.copytree(PLAIN, tables)
        rows = "".join(f"{name},{mass * factor!r}\n" for name, mass in (("Saw", 15.2), ("Bar", 18.2)))
        (tables / "gear.csv").write_text(f"name,mass_{unit}\n{rows}", encoding="utf-8-sig")
        with start_season(tmp_path / f"season {unit}", tables) as season:
            masses[unit] = [item.mass_kg for item in season.gear]
    assert masses["lb"] == pytest.approx(masses["kg"], abs=1e-12)


def test_the_demo_reads_as_written(tmp_path: Path) -> None:
    """Rows keep their order; counts, own places, dates, and settings come through."""
    with start_season(tmp_path / "season", DEMO, who="Ines") as season:
        friday = season.loadout(FRIDAY)
        stowed = {s.item.name: s for s in friday.gear}
        drawers = stowed["Drawer unit"].place

        assert [item.name for item in season.gear[:3]] == ["Crosscut saw", "Chainsaw", "Saw kit and wedges"]
        assert [loadout.name for loadout in season.loadouts] == ["Scouting day", FRIDAY]
        assert season.fields("loadout", FRIDAY)["date"] == "2026-05-15"
        assert stowed["Folding chair"].count == 3
        assert drawers is not None
        assert drawers.aft_m == pytest.approx(128 * 0.0254, abs=1e-12)
        assert (season.title, season.units) == ("Fern Gap trail crew", "US")
        (start,) = season.entries()
        assert (start.kind, start.who, start.note) == ("start", "Ines", "Season started from demo")
        assert season.next_undo is None
