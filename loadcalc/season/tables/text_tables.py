"""Read a season's start from text tables: the demo's, or ones that a person writes by hand.

A folder with vehicle.toml, zones.csv, people.csv, gear.csv, liquids.csv, loadouts.toml, events.csv, and
trips.csv; all but the first two may be left out. Each number's unit stands in its column's name: `mass_lb`,
`length_in`, `capacity_gal`, or in SI: `mass_kg`, `length_m`, `capacity_l`. An empty cell is a value that was
not given; a limit without a number is a limit that is not known.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from loadcalc.model import Place, cg_from_axles
from loadcalc.model.errors import BadValue, NotFound, SeasonError
from loadcalc.season import bounds
from loadcalc.season.edit import records
from loadcalc.season.edit.store import Season
from loadcalc.season.edit.straps import strap, tie
from loadcalc.season.edit.truth import check_name, check_thing
from loadcalc.season.file.fields import flat, record_of, subject_word
from loadcalc.season.tables.cells import si
from loadcalc.season.tables.hand_files import csv_rows, toml_tables
from loadcalc.season.tables.past_tables import read_happened

VEHICLE, LOADOUTS = "vehicle.toml", "loadouts.toml"
TABLES = {"zones.csv": "zone", "people.csv": "occupant", "gear.csv": "item", "liquids.csv": "liquid"}
_NEEDED = (VEHICLE, "zones.csv")


def read_into(season: Season, folder: Path) -> None:
    """Put everything that the text tables in `folder` say into the open entry of `season`.

    Raises SeasonError for a file that isn't there or can't be read; BadValue, naming file, row, and column,
    for a value that can't be used.
    """
    for name in _NEEDED:
        if not (folder / name).is_file():
            raise SeasonError(
                f"{folder} holds no {name}: name a folder of text tables, with {' and '.join(_NEEDED)}"
            )
    _read_vehicle(season, toml_tables(folder / VEHICLE))
    for name, subject in TABLES.items():
        if (folder / name).is_file():
            _read_rows(season, folder / name, subject)
    if (folder / LOADOUTS).is_file():
        with _at(LOADOUTS):
            loadouts = _tables(toml_tables(folder / LOADOUTS), "loadout")
            bounds.refuse_above("loadouts", len(loadouts), bounds.LOADOUTS, LOADOUTS, "start with fewer")
        for table in loadouts:
            _read_loadout(season, table)
    read_happened(season, folder)


def _read_rows(season: Season, path: Path, subject: str) -> None:
    """Add one thing for each row of a CSV file."""
    seen: set[str] = set()
    for row, cells in csv_rows(path):
        where = f"{path.name} row {row}"
        fields: dict[str, Any] = {}
        columns: list[tuple[Any, str]] = []
        for column, cell in cells.items():
            field, value = si(subject, column, cell, f"{where}, column {column}")
            if value is not None:
                fields[field] = value
                columns.append((value, f"column {column} ({cell})"))
        with _at(where, columns):
            key = _add(season, subject, fields)
            check_thing(season.present, subject, key)
            check_name(subject, key, season.present.get(subject, key) or {}, seen)


def _add(season: Season, subject: str, fields: dict[str, Any]) -> str:
    return season.add(subject, **{**fields, "name": records.need(fields, "name")})


def _read_vehicle(season: Season, tables: dict[str, Any]) -> None:
    """Put in the vehicle with axle weights, tank, tires, seats, and limits; the carrier; the settings."""
    with _at(VEHICLE):
        vehicle = _table(records.need(tables, "vehicle"), "vehicle")
        tank, hitch = (
            {f"{part}_{name}": cell for name, cell in _table(vehicle.pop(part, {}), part).items()}
            for part in ("tank", "hitch")
        )
        for axle in ("front", "rear", "spare"):
            name = f"{axle}_tire"
            season.put("tire", axle, _fields("tire", vehicle.pop(name, {}), name))
        curb = _curb(vehicle)
        season.put(
            "vehicle", "vehicle", {**_fields("vehicle", {**vehicle, **tank, **hitch}, "vehicle"), **curb}
        )
        for number, seat in enumerate(_tables(tables, "seat"), start=1):
            _add(season, "seat", _fields("seat", seat, f"seat {number}"))
        for key, limit in _table(tables.get("limits", {}), "limits").items():
            season.put("limit", key, _fields("limit", limit, f"limits.{key}"))
            check_thing(season.present, "limit", key)
        for single in ("carrier", "trailer"):
            if single in tables:
                season.put(single, single, _fields(single, tables[single], single))
        for subject in ("bar", "tie_point"):
            for number, part in enumerate(_tables(tables, subject), start=1):
                _add(season, subject, _fields(subject, part, f"{subject_word(subject)} {number}"))
        season.put("setting", "season", {name: tables[name] for name in ("title", "units") if name in tables})
        check_thing(season.present, "setting", "season")
        records.vehicle(season.present)
        records.carrier(season.present)
        records.trailer(season.present)


def _curb(vehicle: dict[str, Any]) -> dict[str, Any]:
    """Take the two axle weights out of `vehicle`; return the curb mass and where its CG lies; nothing without both."""
    axle_kg = {}
    given = {axle: next((n for n in vehicle if n.startswith(f"curb_{axle}_")), None) for axle in ("front", "rear")}
    if not any(given.values()):
        return {}
    for axle, name in given.items():
        if name is None:
            raise BadValue(
                f"curb_{axle}_lb", "", "is missing", "give what the scale showed for each axle, empty"
            )
        unit = name.removeprefix(f"curb_{axle}_")
        axle_kg[axle] = si("item", f"mass_{unit}", vehicle.pop(name), f"{VEHICLE}, vehicle, {name}")[1]
    rest = _fields("vehicle", vehicle, "vehicle")
    place = cg_from_axles(
        front_kg=axle_kg["front"],
        rear_kg=axle_kg["rear"],
        wheelbase_m=records.need(rest, "wheelbase_m"),
        up_m=rest.get("curb_up_m", 0.0),
        left_m=rest.get("curb_left_m", 0.0),
    )
    center = {name: value for name, value in flat({"curb_cg": place}).items() if name != "curb_up_m"}
    return {"curb_kg": axle_kg["front"] + axle_kg["rear"], **center}


def _read_loadout(season: Season, table: dict[str, Any]) -> None:
    """Add one loadout: people by seat, gear by zone (with a place of its own if need be), liquids."""
    name = str(table.get("name", ""))
    where = f"{LOADOUTS}, {name}"
    with _at(where):
        people, gear, liquids, straps = (
            _table(table.pop(part, {}), part) for part in ("people", "gear", "liquids", "straps")
        )
        season.add("loadout", **{"name": name, **_fields("loadout", table, name, LOADOUTS)})
        for seat, person in people.items():
            season.ride(name, _name(person, "person"), seat)
    for group, line in straps.items():
        with _at(f"{where}, straps, {group}"):
            strap(season, name, group, **_fields("strapping", line, group, LOADOUTS))
    for zone, items in gear.items():
        with _at(f"{where}, gear, {zone}"):
            for line in _list(items, "gear"):
                line = line if isinstance(line, dict) else {"item": line}
                item = _name(records.need(line, "item"), "item")
                fields = _fields("stowed", _without(line, "item"), item, LOADOUTS)
                season.stow(name, item, zone, fields.get("count"), record_of(Place, fields))
                _set_how(season, name, item, fields)
    for liquid, line in liquids.items():
        with _at(f"{where}, liquids, {liquid}"):
            line = _table(line, liquid)
            zone = _name(records.need(line, "zone"), "zone")
            fields = _fields("filled", _without(line, "zone"), liquid, LOADOUTS)
            season.set_fill(name, liquid, records.need(fields, "fill_l"), zone)
    with _at(LOADOUTS):
        records.loadout(season.present, season.find("loadout", name))


def _set_how(season: Season, loadout: str, item: str, fields: Mapping[str, Any]) -> None:
    """Set what else is said of a piece on board: how it lies, whether it may be moved, what it is tied down with."""
    how = {field: fields[field] for field in ("turned", "pinned") if field in fields}
    if how:
        season.set_stowed(loadout, item, **how)
    if fields.get("group"):
        tie(season, loadout, item, fields["group"])


@contextmanager
def _at(where: str, columns: Sequence[tuple[Any, str]] = ()) -> Iterator[None]:
    """Say where in the text tables a value stands; which column, its value tells."""
    try:
        yield
    except BadValue as error:
        if error.where.startswith((where, VEHICLE, LOADOUTS)):
            raise
        raise error.at(_place(where, columns, error.value, error.where)) from error
    except NotFound as error:
        known = ", ".join(map(str, error.known)) or "none"
        place = _place(where, columns, error.name, "")
        problem, cure = f"is not there (known: {known})", "correct the spelling, or add it"
        raise BadValue(error.kind, error.name, problem, cure, place) from error


def _place(where: str, columns: Sequence[tuple[Any, str]], value: object, name: str) -> str:
    labels = " or ".join(label for known, label in columns if known == value)
    return ", ".join(filter(None, (where, labels, name)))


def _fields(subject: str, table: Mapping[str, Any], where: str, file: str = VEHICLE) -> dict[str, Any]:
    """Return the fields that one table of a TOML file holds, in SI."""
    cells = _table(table, where).items()
    return dict(si(subject, name, cell, f"{file}, {where}, {name}") for name, cell in cells)


def _table(given: Any, field: str) -> dict[str, Any]:
    """Return a table of a TOML file. Raises BadValue for what is none."""
    if not isinstance(given, dict):
        raise BadValue(field, given, "is not a table", f"put what belongs to it under [{field}]")
    return dict(given)


def _tables(tables: Mapping[str, Any], field: str) -> list[dict[str, Any]]:
    """Return the tables of that name in a TOML file, none when it isn't there."""
    return [_table(one, field) for one in _list(tables.get(field, []), f"[[{field}]]")]


def _list(given: Any, field: str) -> list[Any]:
    if not isinstance(given, list):
        raise BadValue(field, given, "is not a list", "begin it anew for each, or put brackets around it")
    return given


def _name(given: Any, field: str) -> str:
    if not isinstance(given, str):
        raise BadValue(field, given, "is not a name", "put it between quotes")
    return given


def _without(fields: Mapping[str, Any], name: str) -> dict[str, Any]:
    return {key: value for key, value in fields.items() if key != name}
