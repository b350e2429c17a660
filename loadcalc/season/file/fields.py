"""What a season keeps: the subjects, the fields of each, and the form a field is kept in.

Every value is one field of one thing, in SI, as JSON. A field that is absent takes its record's default,
so a limit without `limit_kg` is a limit that is not known. A new kind of entry (a weigh-in, a trip) is a
new row in FIELDS.
"""

from __future__ import annotations

import datetime
import re
from dataclasses import fields as dataclass_fields
from dataclasses import is_dataclass
from typing import Any

from loadcalc.model import FuelTank, Limit, Place, Size
from loadcalc.model.check import no_number
from loadcalc.model.errors import BadValue
from loadcalc.model.marks import plain_text

TEXT, NUMBER, WHOLE, YES_NO, DATE = "text", "number", "whole number", "yes or no", "date"
PAIRS = "pairs of numbers"
_PLACE = dict.fromkeys(("aft_m", "left_m", "up_m"), NUMBER)
_SIZE = dict.fromkeys(("length_m", "width_m", "height_m"), NUMBER)
_LIMIT = {"limit_kg": NUMBER, "read_at": TEXT}

FIELDS: dict[str, dict[str, str]] = {
    "setting": {"title": TEXT, "units": TEXT, "writer": TEXT},
    "vehicle": {
        "name": TEXT, "curb_kg": NUMBER, "curb_aft_m": NUMBER, "curb_left_m": NUMBER, "curb_up_m": NUMBER,
        "curb_from": TEXT, "curb_plus_minus_kg": NUMBER, "curb_fuel_l": NUMBER, "cg_height_from": TEXT,
        "wheelbase_m": NUMBER,
        "front_track_m": NUMBER, "rear_track_m": NUMBER, **_SIZE, "front_overhang_m": NUMBER,
        "tire_diameter_m": NUMBER, "front_roll_share": NUMBER, "body_class": TEXT,
        "tank_capacity_l": NUMBER, "tank_density_kg_per_l": NUMBER,
        "tank_aft_m": NUMBER, "tank_left_m": NUMBER, "tank_up_m": NUMBER,
        "hitch_aft_m": NUMBER, "hitch_left_m": NUMBER, "hitch_up_m": NUMBER,
    },
    "tire": {
        "load_index": WHOLE, "marking": TEXT, "read_at": TEXT, "reference_kpa": NUMBER, "placard_kpa": NUMBER,
        "pressure_table": PAIRS, "made_on": DATE, "looked_on": DATE,
    },
    "limit": _LIMIT,
    "seat": {"name": TEXT, **_PLACE},
    "carrier": {"name": TEXT, "mass_kg": NUMBER, **_PLACE, **_SIZE, "slats": WHOLE},
    "bar": {
        "name": TEXT, "aft_m": NUMBER, "half_span_m": NUMBER, **_LIMIT, "foot_limit_kg": NUMBER,
        "foot_read_at": TEXT,
    },
    "tie_point": {"name": TEXT, "aft_m": NUMBER, "left_m": NUMBER, **_LIMIT},
    "trailer": {"name": TEXT, "mass_kg": NUMBER, "tongue_kg": NUMBER},
    "zone": {
        "name": TEXT, **_PLACE, **_SIZE, **_LIMIT, "on_carrier": YES_NO, "on_hitch": YES_NO, "in_cabin": YES_NO,
        "reach": TEXT,
    },
    "item": {
        "name": TEXT, "mass_kg": NUMBER, "known": TEXT, "plus_minus_kg": NUMBER, "count": WHOLE, **_SIZE,
        "kind": TEXT, "expendable": YES_NO, "must_come": YES_NO, "stay_low": YES_NO, "keep_reachable": YES_NO,
        "hazard": TEXT, "state": TEXT, "check_kind": TEXT, "made_on": DATE, "expires_on": DATE,
    },
    "occupant": {"name": TEXT, "mass_kg": NUMBER, "seat": TEXT, "kind": TEXT, "sleeps_on_roof": YES_NO},
    "liquid": {
        "name": TEXT, "container_kg": NUMBER, "capacity_l": NUMBER, "density_kg_per_l": NUMBER,
        "density_from": TEXT, "kind": TEXT, "hazard": TEXT,
    },
    "loadout": {
        "name": TEXT, "date": DATE, "fuel_l": NUMBER, "carrier_on": YES_NO, "trailer_on": YES_NO,
        "front_road_kpa": NUMBER, "rear_road_kpa": NUMBER, "front_kpa": NUMBER, "rear_kpa": NUMBER,
    },
    "riding": {"seat": TEXT, "sleeps_on_roof": YES_NO},
    "stowed": {
        "zone": TEXT, "count": WHOLE, **_PLACE, "turned": YES_NO, "pinned": YES_NO, "group": TEXT,
    },
    "filled": {"zone": TEXT, "fill_l": NUMBER, **_PLACE, "group": TEXT},
    "strapping": {
        "name": TEXT, "straps": WHOLE, "way": TEXT, "angle_deg": NUMBER, "aside_deg": NUMBER, "tension_n": NUMBER,
        "wll_kg": NUMBER, "anchor_wll_kg": NUMBER, "surfaces": TEXT, "blocked": YES_NO, "flat": YES_NO,
        "extra_factor": NUMBER,
    },
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
_PREFIX = {
    "place": "", "size": "", "outline": "", "limit": "", "curb_cg": "curb_", "tank": "tank_",
    "hitch": "hitch_", "foot_limit": "foot_",
}  # fmt: skip


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
        if field in _PREFIX and (value is None or is_dataclass(value)):
            out |= _spread(field, value)
        else:
            out[field] = value
    return out


def _spread(field: str, value: Any) -> dict[str, Any]:
    prefix = _PREFIX[field]
    if value is None:
        kind = _SIZE if field in ("size", "outline") else _LIMIT if "limit" in field else _PLACE
        return {prefix + name: None for name in kind}
    if isinstance(value, FuelTank):
        mine = {"capacity_l": value.capacity_l, "density_kg_per_l": value.density_kg_per_l}
        return {prefix + name: part for name, part in {**mine, **_spread("place", value.place)}.items()}
    names = [part.name for part in dataclass_fields(value)]
    kept = _LIMIT if isinstance(value, Limit) else names  # that a limit is assumed stands in where it was read
    return {prefix + name: getattr(value, name) for name in kept}


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
    try:
        return datetime.date.fromisoformat(str(value)).isoformat()
    except ValueError:
        raise BadValue(field_word(field), value, "is not a date", "write it as 2026-05-15", where) from None


_KEEP = {TEXT: _text, NUMBER: _number, WHOLE: _whole, YES_NO: _yes_no, DATE: _date, PAIRS: _pairs}
