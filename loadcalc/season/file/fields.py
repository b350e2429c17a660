"""What a season keeps: the subjects, the fields of each, and the form a field is kept in.

Every value is one field of one thing, in SI, as JSON. A field that is absent takes its record's default,
so a limit without `limit_kg` is a limit that is not known. The fields of a record are those of its dataclass in
:mod:`loadcalc.model`: a new one there is kept, read back, and a column of every table. A new kind of entry (a weigh-in,
a trip) is a new row in FIELDS.
"""

from __future__ import annotations

import re
from dataclasses import Field, is_dataclass
from dataclasses import fields as dataclass_fields
from typing import Any

from loadcalc.model import (
    Bar,
    Carrier,
    Filled,
    FuelTank,
    Item,
    Limit,
    Liquid,
    Occupant,
    Place,
    Seat,
    Size,
    Stowed,
    TiePoint,
    Tire,
    Trailer,
    Vehicle,
    Zone,
)
from loadcalc.model.check import day, no_number
from loadcalc.model.errors import BadValue
from loadcalc.model.loadout import PRESSURES
from loadcalc.model.marks import plain_text
from loadcalc.model.straps import Strapping

TEXT, NUMBER, WHOLE, YES_NO, DATE = "text", "number", "whole number", "yes or no", "date"
PAIRS = "pairs of numbers"
_KINDS = {
    "str": TEXT,
    "float": NUMBER,
    "int": WHOLE,
    "bool": YES_NO,
    "tuple[tuple[float, float], ...]": PAIRS,
}
_SPREAD = {"Place": Place, "Size": Size, "Limit": Limit, "FuelTank": FuelTank}
PREFIX = {
    "curb_cg": "curb_",
    "tank": "tank_",
    "hitch": "hitch_",
    "foot_limit": "foot_",
}  # the others have none
RECORDS: dict[str, type] = {
    "vehicle": Vehicle, "tire": Tire, "limit": Limit, "seat": Seat, "carrier": Carrier, "bar": Bar,
    "tie_point": TiePoint, "trailer": Trailer, "zone": Zone, "item": Item, "occupant": Occupant, "liquid": Liquid,
    "stowed": Stowed, "filled": Filled, "strapping": Strapping,
}  # fmt: skip  # by subject
_LEFT_OUT = {(Limit, "assumed")}  # it stands in where the limit was read


def described(record: type, prefix: str = "") -> dict[str, str]:
    """Return the fields in which a record is kept, each with its kind, by what its dataclass says.

    A place, size, limit, or tank is spread into its own fields. A key, and what is made of other things, is left out.

    >>> described(TiePoint)
    {'name': 'text', 'aft_m': 'number', 'left_m': 'number', 'limit_kg': 'number', 'read_at': 'text'}
    """
    found: dict[str, str] = {}
    for part in dataclass_fields(record):
        said = str(part.type).removesuffix(" | None")
        if (spread := spread_of(part)) is not None:
            found |= described(spread, prefix + PREFIX.get(part.name, ""))
        elif said in _KINDS and (record, part.name) not in _LEFT_OUT and part.name != "key":
            found[prefix + part.name] = _KINDS[said]
    return found


def spread_of(part: Field[Any]) -> type | None:
    """Return the record whose fields stand in the place of one part of another: a place, size, limit, or tank."""
    return _SPREAD.get(str(part.type).removesuffix(" | None"))


PARTS = {
    part.name: spread
    for record in (*RECORDS.values(), FuelTank)
    for part in dataclass_fields(record)
    if (spread := spread_of(part)) is not None
}


def _kept(subject: str, after: str = "", **more: str) -> dict[str, str]:
    """A record's fields, and what only the season keeps of it, behind the field `after` (or at the end)."""
    found = list(described(RECORDS[subject]).items())
    place = [name for name, _ in found].index(after) + 1 if after else len(found)
    return dict([*found[:place], *more.items(), *found[place:]])


FIELDS: dict[str, dict[str, str]] = {
    "setting": {"title": TEXT, "units": TEXT, "writer": TEXT},
    "vehicle": _kept("vehicle"),
    "tire": _kept("tire", made_on=DATE, looked_on=DATE),
    "limit": _kept("limit"),
    "seat": _kept("seat"),
    "carrier": _kept("carrier"),
    "bar": _kept("bar"),
    "tie_point": _kept("tie_point"),
    "trailer": _kept("trailer"),
    "zone": _kept("zone"),
    "item": _kept("item", state=TEXT, check_kind=TEXT, made_on=DATE, expires_on=DATE),
    "occupant": _kept("occupant"),
    "liquid": _kept("liquid", "density_kg_per_l", density_from=TEXT),
    "loadout": {
        "name": TEXT, "date": DATE, "fuel_l": NUMBER, "carrier_on": YES_NO, "trailer_on": YES_NO,
        **dict.fromkeys(PRESSURES, NUMBER),
    },
    "riding": {"seat": TEXT, "sleeps_on_roof": YES_NO},
    "stowed": _kept("stowed"),
    "filled": _kept("filled"),
    "strapping": _kept("strapping"),
    "weigh_in": {
        "name": TEXT, "date": DATE, "loadout": TEXT, "scale": TEXT, "resolution_kg": NUMBER,
        "pads": YES_NO, "people_aboard": YES_NO, "fuel_l": NUMBER, "total_kg": NUMBER,
        "front_axle_kg": NUMBER, "rear_axle_kg": NUMBER, "front_left_kg": NUMBER, "front_right_kg": NUMBER,
        "rear_left_kg": NUMBER, "rear_right_kg": NUMBER, "left_entry": WHOLE, "note": TEXT,
    },
    "event": {
        "name": TEXT, "item": TEXT, "date": DATE, "kind": TEXT, "mass_kg": NUMBER, "scale": TEXT,
        "resolution_kg": NUMBER, "known": TEXT, "plus_minus_kg": NUMBER, "count": WHOLE, "method": TEXT,
        "who": TEXT, "until": DATE, "note": TEXT,
    },
    "trip": {
        "name": TEXT, "date": DATE, "until": DATE, "loadout": TEXT, "left_entry": WHOLE, "people": TEXT,
        "distance_km": NUMBER, "packing_min": NUMBER, "gear_kg": NUMBER, "liquids_kg": NUMBER,
        "carried": TEXT, "poured": TEXT, "note": TEXT,
    },
}  # fmt: skip

WORDS = {
    "occupant": "person",
    "riding": "person on board",
    "weigh_in": "weigh-in",
    "tie_point": "tie point",
    "stowed": "item on board",
    "filled": "liquid on board",
    "strapping": "tied group",
}
NAMED = (
    "zone",
    "seat",
    "bar",
    "tie_point",
    "item",
    "occupant",
    "liquid",
    "loadout",
    "weigh_in",
    "event",
    "trip",
)
ABOARD = {
    "stowed": "item",
    "filled": "liquid",
    "riding": "occupant",
    "strapping": "group",  # no thing of its own: the group that pieces on board name
}  # kept under "<loadout key>/<thing key>"
REFERS = {
    ("stowed", "zone"): ("zone",), ("filled", "zone"): ("zone",),
    ("riding", "seat"): ("seat", "zone"), ("occupant", "seat"): ("seat", "zone"),
}  # fmt: skip  # fields that hold the key of another thing, never its name, so that a rename breaks nothing
POINTS = {
    ("weigh_in", "loadout"): "loadout", ("trip", "loadout"): "loadout", ("event", "item"): "item",
}  # fmt: skip  # the same, but what they point at may go: the past keeps its key
UNITS = ("US", "SI")
STATES = ("", "lent", "lost", "retired")
GONE = ("lost", "retired")  # states of an item that is no longer in the inventory; its history stays

_UNIT = re.compile(r"_(kg_per_l|kpa|deg|km|kg|min|m|l|n)$")
_UNIT_WORDS = {"kg_per_l": "kg/L", "l": "L", "kpa": "kPa", "n": "N", "deg": "degrees"}


def subject_word(subject: str) -> str:
    """Return the word that a person uses for a subject."""
    return WORDS.get(subject, subject)


def field_word(field: str) -> str:
    """Return a field's name in words, without its unit: "plus_minus_kg" is "plus minus"."""
    return _UNIT.sub("", field).replace("_", " ")


def unit_of(field: str) -> str:
    """Return the unit in a field's name, as read: "kg", "m", "L", "kg/L", or nothing."""
    found = _UNIT.search(field)
    return _UNIT_WORDS.get(found[1], found[1]) if found else ""


def stored(subject: str, field: str, value: Any, where: str = "") -> Any:
    """Return `value` in the form that is kept (None stays None: the field is taken away).

    Raises BadValue for a field that the subject doesn't have or a value of the wrong kind. Whether the
    number is a sensible one is for the record that is built from it to say.
    """
    kind = FIELDS.get(subject, {}).get(field)
    if kind is None:
        known = ", ".join(FIELDS.get(subject, ())) or "none"
        raise BadValue(
            "field", f"{subject} {field}", "is not one that a season keeps", f"choose one of: {known}", where
        )
    if value is None:
        return None
    if hasattr(value, "item") and not isinstance(value, (str, bytes)):
        value = value.item()  # a number out of a table is numpy's own kind
    return _KEEP[kind](field, value, where)


def entered(subject: str, field: str, value: Any, where: str = "") -> Any:
    """Return `value` as :func:`stored` does, when somebody enters it now: a text has no marks that nobody sees.

    Raises BadValue as :func:`stored` and :func:`loadcalc.model.marks.plain_text` do.
    """
    kept = stored(subject, field, value, where)
    return plain_text(field_word(field), kept, where) if isinstance(kept, str) else kept


def flat(given: dict[str, Any]) -> dict[str, Any]:
    """Spread records into the fields they are kept in: a Place into aft_m, left_m, up_m, and so on."""
    out: dict[str, Any] = {}
    for field, value in given.items():
        if field in PARTS and (value is None or is_dataclass(value)):
            out |= _spread(PARTS[field], value, PREFIX.get(field, ""))
        else:
            out[field] = value
    return out


def _spread(record: type, value: Any, prefix: str) -> dict[str, Any]:
    """The fields of one record; all of them None when there is none."""
    parts = {name: None if value is None else getattr(value, name, None) for name in described(record)}
    if record is FuelTank and value is not None:
        parts |= _spread(Place, value.place, "")
    return {prefix + name: part for name, part in parts.items()}


def record_of(kind: type, values: dict[str, Any], prefix: str = "") -> Any:
    """Return the Place or Size kept under `prefix` in `values`, or None when none of it is there."""
    names = described(kind)
    found = {name: values[prefix + name] for name in names if prefix + name in values}
    if not found:
        return None
    missing = [name for name in names if name not in found and name != "left_m"]
    if missing:
        word, unit = field_word(prefix + missing[0]), unit_of(missing[0])
        raise BadValue(word, "", "is missing", f"give it in {unit}, or leave the others out too")
    return kind(**found)


def _text(field: str, value: Any, where: str) -> str:
    if not isinstance(value, str):
        raise BadValue(field_word(field), value, "is not text", "write it in words", where)
    if any(
        "\ud800" <= letter <= "\udfff" for letter in value
    ):  # half a character, as a broken paste leaves it
        shown = value.encode("utf-8", "replace").decode()
        raise BadValue(field_word(field), shown, "holds a broken character", "type it again", where)
    return value.strip()


def _number(field: str, value: Any, where: str) -> float:
    if no_number(value):
        unit = unit_of(field)
        raise BadValue(
            field_word(field), value, "is not a number", f"give a number{f' of {unit}' * bool(unit)}", where
        )
    return float(value)


def _whole(field: str, value: Any, where: str) -> int:
    number = _number(field, value, where)
    if number != int(number):
        raise BadValue(field_word(field), value, "is not a whole number", "count whole pieces", where)
    return int(number)


def _yes_no(field: str, value: Any, where: str) -> bool:
    if not isinstance(value, bool):
        raise BadValue(field_word(field), value, "is neither yes nor no", "say True or False", where)
    return value


def _pairs(field: str, value: Any, where: str) -> list[list[float]]:
    try:
        return [[_number(field, number, where) for number in (first, second)] for first, second in value]
    except (TypeError, ValueError) as error:
        if isinstance(error, BadValue):
            raise
        cure = "give a list of pairs"
        raise BadValue(field_word(field), value, "is not pairs of numbers", cure, where) from None


def _date(field: str, value: Any, where: str) -> str:
    return day(field_word(field), value, where).isoformat()


_KEEP = {TEXT: _text, NUMBER: _number, WHOLE: _whole, YES_NO: _yes_no, DATE: _date, PAIRS: _pairs}
