"""What a season keeps: the subjects, the fields of each, and the form a field is kept in.

Every value is one field of one thing, in SI, as JSON. A field that is absent takes its record's default,
so a limit without `limit_kg` is a limit that is not known. A new kind of entry (a weigh-in, a trip) is a
new row in FIELDS.
"""

from __future__ import annotations

import datetime
import math
import numbers
import re
from dataclasses import fields as dataclass_fields
from dataclasses import is_dataclass
from typing import Any

from loadcalc.model import FuelTank, Place, Size
from loadcalc.model.errors import BadValue

TEXT, NUMBER, WHOLE, YES_NO, DATE = "text", "number", "whole number", "yes or no", "date"
_PLACE = dict.fromkeys(("aft_m", "left_m", "up_m"), NUMBER)
_SIZE = dict.fromkeys(("length_m", "width_m", "height_m"), NUMBER)
_LIMIT = {"limit_kg": NUMBER, "read_at": TEXT}

FIELDS: dict[str, dict[str, str]] = {
    "setting": {"title": TEXT, "units": TEXT},
    "vehicle": {
        "name": TEXT, "curb_kg": NUMBER, "curb_aft_m": NUMBER, "curb_left_m": NUMBER, "curb_up_m": NUMBER,
        "curb_from": TEXT, "curb_fuel_l": NUMBER, "cg_height_from": TEXT, "wheelbase_m": NUMBER,
        "front_track_m": NUMBER, "rear_track_m": NUMBER, **_SIZE, "front_overhang_m": NUMBER,
        "tire_diameter_m": NUMBER, "front_roll_share": NUMBER, "body_class": TEXT,
        "tank_capacity_l": NUMBER, "tank_density_kg_per_l": NUMBER,
        "tank_aft_m": NUMBER, "tank_left_m": NUMBER, "tank_up_m": NUMBER,
    },
    "tire": {"load_index": WHOLE, "marking": TEXT, "read_at": TEXT},
    "limit": _LIMIT,
    "seat": {"name": TEXT, **_PLACE},
    "carrier": {"name": TEXT, "mass_kg": NUMBER, **_PLACE, **_SIZE},
    "zone": {
        "name": TEXT, **_PLACE, **_SIZE, **_LIMIT, "on_carrier": YES_NO, "in_cabin": YES_NO, "reach": TEXT,
    },
    "item": {
        "name": TEXT, "mass_kg": NUMBER, "known": TEXT, "plus_minus_kg": NUMBER, "count": WHOLE, **_SIZE,
        "kind": TEXT, "expendable": YES_NO,
    },
    "occupant": {"name": TEXT, "mass_kg": NUMBER, "seat": TEXT, "kind": TEXT, "sleeps_on_roof": YES_NO},
    "liquid": {
        "name": TEXT, "container_kg": NUMBER, "capacity_l": NUMBER, "density_kg_per_l": NUMBER,
        "density_from": TEXT, "kind": TEXT,
    },
    "loadout": {"name": TEXT, "date": DATE, "fuel_l": NUMBER, "carrier_on": YES_NO},
    "riding": {"seat": TEXT, "sleeps_on_roof": YES_NO},
    "stowed": {"zone": TEXT, "count": WHOLE, **_PLACE},
    "filled": {"zone": TEXT, "fill_l": NUMBER, **_PLACE},
}  # fmt: skip

WORDS = {
    "occupant": "person",
    "riding": "person on board",
    "stowed": "item on board",
    "filled": "liquid on board",
}
NAMED = ("zone", "seat", "item", "occupant", "liquid", "loadout")
ABOARD = {
    "stowed": "item",
    "filled": "liquid",
    "riding": "occupant",
}  # kept under "<loadout key>/<thing key>"
REFERS = {
    ("stowed", "zone"): ("zone",), ("filled", "zone"): ("zone",),
    ("riding", "seat"): ("seat", "zone"), ("occupant", "seat"): ("seat", "zone"),
}  # fmt: skip  # fields that hold the key of another thing, never its name, so that a rename breaks nothing
UNITS = ("US", "SI")

_UNIT = re.compile(r"_(kg_per_l|kg|m|l)$")
_PREFIX = {"place": "", "size": "", "outline": "", "limit": "", "curb_cg": "curb_", "tank": "tank_"}


def subject_word(subject: str) -> str:
    """Return the word that a person uses for a subject."""
    return WORDS.get(subject, subject)


def field_word(field: str) -> str:
    """Return a field's name in words, without its unit: "plus_minus_kg" is "plus minus"."""
    return _UNIT.sub("", field).replace("_", " ")


def unit_of(field: str) -> str:
    """Return the unit in a field's name, as read: "kg", "m", "L", "kg/L", or nothing."""
    found = _UNIT.search(field)
    return {"kg_per_l": "kg/L", "l": "L"}.get(found[1], found[1]) if found else ""


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


def flat(given: dict[str, Any]) -> dict[str, Any]:
    """Spread records into the fields they are kept in: a Place into aft_m, left_m, up_m, and so on."""
    out: dict[str, Any] = {}
    for field, value in given.items():
        if field in _PREFIX and (value is None or is_dataclass(value)):
            out |= _spread(field, value)
        else:
            out[field] = value
    return out


def _spread(field: str, value: Any) -> dict[str, Any]:
    prefix = _PREFIX[field]
    if value is None:
        kind = {"place": _PLACE, "curb_cg": _PLACE, "limit": _LIMIT}.get(field, _SIZE)
        return {prefix + name: None for name in kind}
    if isinstance(value, FuelTank):
        mine = {"capacity_l": value.capacity_l, "density_kg_per_l": value.density_kg_per_l}
        return {prefix + name: part for name, part in {**mine, **_spread("place", value.place)}.items()}
    return {prefix + part.name: getattr(value, part.name) for part in dataclass_fields(value)}


def record_of(kind: type[Place] | type[Size], values: dict[str, Any], prefix: str = "") -> Any:
    """Return the Place or Size kept under `prefix` in `values`, or None when none of it is there."""
    names = _PLACE if kind is Place else _SIZE
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
    return value.strip()


def _number(field: str, value: Any, where: str) -> float:
    if isinstance(value, bool) or not isinstance(value, numbers.Real) or not math.isfinite(value):
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


def _date(field: str, value: Any, where: str) -> str:
    try:
        return datetime.date.fromisoformat(str(value)).isoformat()
    except ValueError:
        raise BadValue(field_word(field), value, "is not a date", "write it as 2026-05-15", where) from None


_KEEP = {TEXT: _text, NUMBER: _number, WHOLE: _whole, YES_NO: _yes_no, DATE: _date}
