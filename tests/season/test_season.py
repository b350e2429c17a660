"""A season keeps every edit, shows what they add up to, and takes them back one by one."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from loadcalc.model import BadValue, FuelTank, Limit, NotFound, Place, SeasonError, Size, Tire
from loadcalc.season import Change, Season, open_season
from tests.season_help import FRIDAY, added_up, demo_folder, demo_season, kept, records


@pytest.fixture
def season(tmp_path: Path) -> Iterator[Season]:
    """An open copy of the demo season."""
    with demo_season(tmp_path) as opened:
        yield opened


def zone_of(season: Season, item: str) -> str:
    """The zone that an item rides in on Friday."""
    return next(s.zone for s in season.loadout(FRIDAY).gear if s.item.key == item)


def test_an_edit_is_a_dated_entry_with_what_was(season: Season) -> None:
    """Setting a mass adds one entry that says who, when, and from what to what."""
    before = datetime.now(UTC)
    season.set_item("chainsaw", mass_kg=7.5)
    entry = season.entries(1)[0]
    (change,) = season.changes(entry.id)

    assert (entry.who, entry.kind, entry.note) == ("Marta", "edit", "Chainsaw: mass")
    assert abs((entry.at - before).total_seconds()) < 5
    assert change[:4] == ("item", "chainsaw", "mass_kg", 7.5)
    assert change.was == pytest.approx(15.2 * 0.45359237, abs=1e-9)
    assert next(item for item in season.gear if item.key == "chainsaw").mass_kg == 7.5


def test_an_edit_outlives_closing(tmp_path: Path) -> None:
    """What one session edited, the next one sees; and the ledger is one entry longer."""
    with demo_season(tmp_path) as season:
        season.set_limit("roof_parked", Limit(limit_kg=300.0, read_at="maker's letter"))
        version = season.version
    with open_season(tmp_path / "season") as again:
        assert again.version == version == 2
        assert again.vehicle.limit("roof_parked") == Limit(limit_kg=300.0, read_at="maker's letter")


def test_a_bad_value_writes_nothing(season: Season) -> None:
    """A value that a record refuses leaves file and session as they were, and names what is wrong."""
    before, version, facts = records(season), season.version, kept(season.folder)
    with pytest.raises(BadValue, match=r"Chainsaw: mass each 900.* 500 kg"):
        season.set_item("chainsaw", mass_kg=900.0, count=2)
    with pytest.raises(BadValue, match="is not a number"):
        season.set_item("chainsaw", mass_kg="heavy")
    with pytest.raises(BadValue, match=r"fuel 999.* 79"):
        season.set_fuel(FRIDAY, 999.0)
    with pytest.raises(BadValue, match="not one that a season keeps"):
        season.set_item("chainsaw", color="red")
    with pytest.raises(BadValue, match=r"Rear gross axle weight rating \(GAWR\): limit -5.* 40000 kg"):
        season.edit("Too light", [Change("limit", "rear_axle", "limit_kg", -5)])
    with pytest.raises(BadValue, match="rear axel"):
        season.set_limit("rear axel", Limit(limit_kg=1.0))

    assert records(season) == before
    assert (season.version, kept(season.folder)) == (version, facts)


def _stow_both(season: Season, chainsaw: str, crosscut: str) -> None:
    with season.entry("Saws somewhere else"):
        season.stow(FRIDAY, "chainsaw", chainsaw)
        season.stow(FRIDAY, "crosscut-saw", crosscut)


def test_a_block_is_one_entry_or_none(season: Season) -> None:
    """Edits inside `entry` become one entry; an error inside takes all of them back."""
    version = season.version
    _stow_both(season, "Cargo floor front", "Cargo floor front")
    assert (season.entries(1)[0].note, season.version) == ("Saws somewhere else", version + 1)
    assert zone_of(season, "chainsaw") == zone_of(season, "crosscut-saw") == "Cargo floor front"

    with pytest.raises(NotFound, match="Roof garden"):
        _stow_both(season, "Drawer right", "Roof garden")
    assert (season.version, zone_of(season, "chainsaw")) == (version + 1, "Cargo floor front")


def test_an_edit_that_changes_nothing_is_no_entry(season: Season) -> None:
    """Setting a field to what it is leaves the ledger alone."""
    version = season.version
    season.set_item("chainsaw", name="Chainsaw", count=1)
    assert season.edit("Nothing", [Change("item", "chainsaw", "count", 1)]) is None
    assert season.version == version


def test_undo_walks_back_to_the_start(season: Season) -> None:
    """Each undo is a new entry that restores exactly what was; at the start there is nothing left."""
    states = [records(season)]
    edits = [
        lambda: season.set_item("chainsaw", name="Big saw", mass_kg=8.0),
        lambda: season.remove("item", "Big saw"),
        lambda: season.set_zone("Drawer left", name="Left drawer", limit=Limit()),
        lambda: season.set_vehicle("curb_cg", Place(aft_m=1.4, left_m=0.01, up_m=0.7)),
        lambda: season.set_fill(FRIDAY, "water-can-1", None),
        lambda: season.set_tire("rear", Tire(load_index=115, marking="light truck")),
    ]
    for edit in edits:
        edit()
        states.append(records(season))
    for state in reversed(states[:-1]):
        coming = season.next_undo
        undone = season.undo()
        assert coming is not None
        assert undone is not None
        assert (undone.kind, undone.undoes, undone.note) == ("undo", coming.id, f"Undo: {coming.note}")
        assert records(season) == state

    assert season.next_undo is None
    assert season.undo() is None
    assert season.version == 1 + 2 * len(edits)
    assert kept(season.folder) == added_up(season.folder)


def test_undo_waits_for_the_open_entry(season: Season) -> None:
    """Undo inside a block is refused in words, and the block itself is given up."""
    with pytest.raises(SeasonError, match="end its `with` block"):
        _undo_inside(season)
    assert season.version == 1


def _undo_inside(season: Season) -> None:
    with season.entry("Half done"):
        season.set_item("chainsaw", count=2)
        season.undo()


def test_two_open_seasons_see_each_other(tmp_path: Path) -> None:
    """What one kernel writes, the other reads at once; different fields of one item both stay."""
    with demo_season(tmp_path) as here, open_season(tmp_path / "season") as there:
        assert here.gear == there.gear
        here.set_item("chainsaw", mass_kg=7.0)
        assert there.version == 2
        there.set_item("chainsaw", plus_minus_kg=0.2)
        here.set_item("chainsaw", kind="loud")
        saw = next(item for item in here.gear if item.key == "chainsaw")
        assert (saw.mass_kg, saw.plus_minus_kg, saw.kind) == (7.0, 0.2, "loud")
        assert records(here) == records(there)


def test_keys_never_change_and_are_never_given_twice(season: Season) -> None:
    """A rename keeps the key; a new thing of the old name, or of a removed one's, gets another key."""
    season.set_item("chainsaw", name="Old saw")
    first = season.add_item(name="Chainsaw", mass_kg=6.0)
    season.remove("item", first)
    second = season.add_item(name="Chainsaw", mass_kg=6.5)

    assert {i.key: i.name for i in season.gear if "saw" in i.name.casefold() and "chain" in i.key} == {
        "chainsaw": "Old saw",
        second: "Chainsaw",
    }
    assert len({"chainsaw", first, second}) == 3
    assert [change.field for _, change in season.history("item", first)] == ["name", "mass_kg"] * 2


@pytest.mark.parametrize("name", ["Loppers", "LOPPERS", " loppers "])
def test_names_are_unique_whatever_their_case(season: Season, name: str) -> None:
    """Two items can't share a name, neither by adding nor by renaming."""
    with pytest.raises(BadValue, match="already taken"):
        season.add_item(name=name, mass_kg=1.0)
    with pytest.raises(BadValue, match="already taken"):
        season.set_item("chainsaw", name=name)


def test_records_are_set_whole(season: Season) -> None:
    """A Place, Size, or FuelTank is kept and read back as it was given; without a size there is none."""
    place, size = Place(aft_m=1.1, left_m=-0.2, up_m=0.9), Size(length_m=1.0, width_m=0.5, height_m=0.25)
    tank = FuelTank(capacity_l=90.0, density_kg_per_l=0.84, place=place)
    with season.entry("Whole"):
        season.set_vehicle("tank", tank)
        season.set_carrier(place=place, size=size)
        season.set_zone("Drawer left", place=place, size=size)
        season.set_item("chainsaw", size=size)
        season.set_item("loppers", size=None)
    zone = next(zone for zone in season.zones if zone.name == "Drawer left")
    sizes = {item.key: item.size for item in season.gear}

    assert season.vehicle.tank == tank
    assert season.carrier is not None
    assert (season.carrier.place, season.carrier.size) == (zone.place, zone.size) == (place, size)
    assert (sizes["chainsaw"], sizes["loppers"]) == (size, None)


def test_numbers_out_of_a_table_are_numbers(season: Season) -> None:
    """Numpy's own numbers, as tables hand them on, are kept as plain ones."""
    row = {"mass_kg": np.float64(6.5), "count": np.int64(2), "expendable": np.bool_(True)}
    season.set_item("chainsaw", **row)
    saw = next(item for item in season.gear if item.key == "chainsaw")

    assert (saw.mass_kg, saw.count, saw.expendable) == (6.5, 2, True)
    assert [type(value) for value in (saw.mass_kg, saw.count, saw.expendable)] == [float, int, bool]


def test_units_and_title(season: Season) -> None:
    """The reader's units are a setting of the season; others than US and SI are refused."""
    assert (season.units, season.title) == ("US", "Fern Gap trail crew")
    season.set_setting(units="SI")
    assert season.units == "SI"
    with pytest.raises(BadValue, match="choose one of: US, SI"):
        season.set_setting(units="imperial")


def test_a_person_can_read_the_file(tmp_path: Path) -> None:
    """Views show gear, limits, and history as plain tables to any SQLite program."""
    folder = demo_folder(tmp_path)
    with sqlite3.connect(folder / "season.db") as db:
        saw = db.execute("SELECT name, round(mass_kg, 2), known FROM gear WHERE key = 'chainsaw'").fetchone()
        rear = db.execute("SELECT round(limit_kg), read_at FROM limits WHERE key = 'rear_axle'").fetchone()
        views = [row[0] for row in db.execute("SELECT name FROM sqlite_master WHERE type = 'view'")]
        counts = {view: db.execute(f"SELECT count(*) FROM {view}").fetchone()[0] for view in views}
    db.close()

    assert saw == ("Chainsaw", 6.89, "weighed")
    assert rear == (1660.0, "driver's door jamb label")
    assert counts["gear"] == 46
    assert {view for view, rows in counts.items() if not rows} <= {
        "weigh_ins",
        "events",
        "trips",
        "strappings",
    }


def test_the_file_is_kept_the_careful_way(season: Season) -> None:
    """Write-ahead log, full sync, foreign keys, 5 s of patience, and a header that says what it is."""
    names = ("journal_mode", "synchronous", "foreign_keys", "busy_timeout", "application_id", "user_version")
    pragmas = {name: season.db.execute(f"PRAGMA {name}").fetchone()[0] for name in names}

    assert pragmas == {
        "journal_mode": "wal",
        "synchronous": 2,  # FULL, https://sqlite.org/pragma.html#pragma_synchronous (from memory)
        "foreign_keys": 1,
        "busy_timeout": 5000,
        "application_id": int.from_bytes(b"LCAL", "big"),
        "user_version": 8,
    }
    with pytest.raises(sqlite3.IntegrityError, match="FOREIGN KEY"):
        season.db.execute(
            "INSERT INTO change (entry_id, subject, key, field, value) VALUES (99, '', '', '', '1')"
        )


@pytest.mark.parametrize("table", ["entry", "change"])
@pytest.mark.parametrize(
    "statement",
    ["UPDATE {} SET id = id + 100", "DELETE FROM {}", "INSERT OR REPLACE INTO {0} SELECT * FROM {0} LIMIT 1"],
)
def test_the_ledger_refuses_to_be_rewritten(tmp_path: Path, table: str, statement: str) -> None:
    """Not even a general SQLite program can change or delete an entry by mistake."""
    folder = demo_folder(tmp_path)
    facts = added_up(folder)
    with (
        sqlite3.connect(folder / "season.db") as db,
        pytest.raises(sqlite3.IntegrityError, match="append-only"),
    ):
        db.execute(statement.format(table))
    db.close()
    assert added_up(folder) == facts
