"""Build the frozen records of :mod:`loadcalc.model` from a season's present.

Each builder raises BadValue or NotFound when the present can't be true.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import MISSING
from dataclasses import fields as dataclass_fields
from functools import cache
from typing import Any, TypeVar

from loadcalc.model import (
    Bar,
    Carrier,
    Filled,
    FuelTank,
    Item,
    Limit,
    Liquid,
    Loadout,
    Occupant,
    Seat,
    Stowed,
    TiePoint,
    Tire,
    Trailer,
    Vehicle,
    Zone,
)  # fmt: skip
from loadcalc.model import check as checks
from loadcalc.model.assumption import Assumption
from loadcalc.model.errors import BadValue, NotFound
from loadcalc.model.limits import CARRIER_LIMITS, RATINGS, TRAILER_LIMITS, VEHICLE_LIMITS
from loadcalc.model.loadout import PRESSURES
from loadcalc.model.straps import Strapping
from loadcalc.season.edit import completed
from loadcalc.season.file.fields import GONE, PREFIX, described, field_word, record_of, spread_of, unit_of
from loadcalc.season.file.present import Fields, Present

T = TypeVar("T")


def need(fields: Fields, name: str) -> Any:
    """Return a field that a record can't do without."""
    if name not in fields:
        unit, where = unit_of(name), str(fields.get("name", ""))
        raise BadValue(field_word(name), "", "is missing", f"give it{f' in {unit}' if unit else ''}", where)
    return fields[name]


def build(record: type[T], fields: Fields, prefix: str = "", **given: Any) -> T:
    """Build a record of the model from the fields in which it is kept.

    Parameters
    ----------
    record : its dataclass; a part of it that is not kept takes the dataclass's own default.
    fields : what is kept of it. prefix : what its fields' names begin with there.
    given : parts that stand elsewhere: its key, its limits, what is aboard.

    Raises
    ------
    BadValue for a part that is missing or can't be true.
    """
    for name, kind, under, optional in _parts(record, prefix):  # type: ignore[arg-type]  # a class is hashable
        if name in given:
            continue
        if kind is Limit:
            given[name] = limit("", _named(fields, under))
        elif kind is FuelTank:
            given[name] = build(FuelTank, fields, under)
        elif kind is not None:
            given[name] = record_of(kind, fields, under)
            if given[name] is None and not optional:
                need(fields, under + next(iter(described(kind))))
        elif under in fields:
            given[name] = fields[under]
        elif not optional:
            need(fields, under)
    return record(**given)


@cache
def _parts(record: type, prefix: str) -> list[tuple[str, type | None, str, bool]]:
    """Of each part: its name, the record it is when it is one, what its fields begin with, and whether it may lack."""
    return [
        (
            part.name, kind := spread_of(part),
            prefix + (PREFIX.get(part.name, "") if kind else part.name),
            (part.default, part.default_factory) != (MISSING, MISSING),
        )
        for part in dataclass_fields(record)
    ]  # fmt: skip


def _named(fields: Fields, prefix: str) -> Fields:
    """The fields whose names begin with `prefix`, without it, and the name of the thing."""
    found = {name.removeprefix(prefix): value for name, value in fields.items() if name.startswith(prefix)}
    return {**found, "name": fields.get("name", "")}


def item(key: str, fields: Fields) -> Item:
    """Build one line of gear."""
    return build(Item, fields, key=key)


def zone(present: Present, _: str, fields: Fields) -> Zone:
    """Build one zone; a place that nobody measured is assumed from the vehicle."""
    if not completed.lacks(fields):
        return build(Zone, fields)
    whole, assumed = completed.completed_spot(fields, _footing(present), sized=True)
    return build(Zone, whole, assumed=assumed)


def limit(key: str, fields: Fields) -> Limit:
    """Build one limit; without a number it is one that is not known."""
    where = RATINGS[key].name if key in RATINGS else str(fields.get("name", key))
    try:
        return build(Limit, fields)
    except BadValue as error:
        raise error.at(where) from error


def seat(present: Present, _: str, fields: Fields) -> Seat:
    """Build one seat; a place that nobody measured is assumed from the vehicle."""
    if not completed.lacks(fields):
        return build(Seat, fields)
    whole, assumed = completed.completed_spot(fields, _footing(present), sized=False)
    return build(Seat, whole, assumed=assumed)


def liquid(key: str, fields: Fields) -> Liquid:
    """Build one liquid with its container."""
    return build(Liquid, fields, key=key)


def tire(key: str, fields: Fields) -> Tire:
    """Build what one axle's tires are marked with."""
    checks.one_of("tires", key, ("front", "rear", "spare"))
    rows = tuple((kpa, kg) for kpa, kg in fields.get("pressure_table", ()))
    return build(Tire, fields, pressure_table=rows)


def bar(_: str, fields: Fields) -> Bar:
    """Build one bar under the carrier."""
    return build(Bar, fields)


def tie_point(_: str, fields: Fields) -> TiePoint:
    """Build one tie point of the carrier."""
    return build(TiePoint, fields)


def strapping(key: str, fields: Fields) -> Strapping:
    """Build how one group of a loadout is tied down; its key there is what pieces on board name as their group."""
    return build(Strapping, {"name": key, **fields}, key=key.rpartition("/")[2])


def trailer(present: Present) -> Trailer | None:
    """Build the trailer, or None when there is none."""
    fields = present.get("trailer", "trailer")
    return None if fields is None else build(Trailer, fields, limits=_limits(present, TRAILER_LIMITS))


def _limits(present: Present, names: Mapping[str, str]) -> dict[str, Limit]:
    return {key: limit(key, row) for key, row in present.rows("limit") if key in names}


def occupant(present: Present, key: str, ride: Fields | None = None) -> Occupant:
    """Build one person or animal, in its usual seat or where it rides (`ride`)."""
    fields = {**(present.get("occupant", key) or {}), **(ride or {})}
    return build(Occupant, fields, key=key, seat=seat_name(present, need(fields, "seat")))


def seat_name(present: Present, key: str) -> str:
    """Return the name of a seat, or of the zone that an animal rides in, by its key."""
    for subject in ("seat", "zone"):
        if present.get(subject, key):
            return present.name(subject, key)
    raise NotFound("seat or zone", key, tuple(fields.get("name", k) for k, fields in present.rows("seat")))


def carrier(present: Present) -> Carrier | None:
    """Build the carrier, or None when the vehicle has none."""
    fields = present.get("carrier", "carrier")
    if fields is None:
        return None
    whole, assumed = completed.completed_rack(fields, _footing(present))
    return build(
        Carrier, whole, assumed=assumed, limits=_limits(present, CARRIER_LIMITS),
        bars=tuple(bar(*row) for row in present.rows("bar")),
        tie_points=tuple(tie_point(*row) for row in present.rows("tie_point")),
    )  # fmt: skip


def vehicle(present: Present) -> Vehicle:
    """Build the vehicle with its seats, tires, tank, and limits."""
    front, rear, spare = (present.get("tire", axle) for axle in ("front", "rear", "spare"))
    whole, assumed = _whole(present)
    if not whole.get("seats_from") and any(row.get("spot") for _, row in present.rows("seat")):
        assumed = (*assumed, Assumption(measure="seats", rule=completed.NOT_ENTERED))
    return build(
        Vehicle, whole, assumed=assumed,
        seats=tuple(seat(present, *row) for row in present.rows("seat")),
        front_tire=tire("front", front or {}), rear_tire=tire("rear", rear or {}),
        spare_tire=None if spare is None else tire("spare", spare),
        limits=_limits(present, VEHICLE_LIMITS),
    )  # fmt: skip


def _whole(present: Present) -> completed.Completed:
    """The vehicle's fields with what lacks filled in."""
    fields = present.get("vehicle", "vehicle") or {}
    fuel_l = max((row.get("fuel_l", 0.0) for _, row in present.rows("loadout")), default=0.0)
    return completed.completed_vehicle(fields, _limits(present, VEHICLE_LIMITS), fuel_l)


def _footing(present: Present) -> completed.Footing:
    return completed.footing_of(_whole(present))


def _fuel(present: Present, fields: Fields) -> dict[str, float]:
    """The fuel of a departure; while nobody has said, nor what was in the tank at curb mass, both are full."""
    if "fuel_l" in fields or "curb_fuel_l" in (present.get("vehicle", "vehicle") or {}):
        return {name: fields[name] for name in ("fuel_l",) if name in fields}
    return {"fuel_l": _whole(present).fields["tank_capacity_l"]}


def loadout(present: Present, key: str) -> Loadout:
    """Build one loadout."""
    fields = present.get("loadout", key) or {}
    name = need(fields, "name")
    try:
        tank_l = (present.get("vehicle", "vehicle") or {}).get("tank_capacity_l", 1000.0)
        checks.number("fuel", fields.get("fuel_l", 0.0), 0.0, tank_l, "L (the tank)")
        people = tuple(occupant(present, who, ride) for who, ride in present.aboard("riding", key))
        _check_seats(present, people)
        return Loadout(
            name=name, zones=tuple(zone(present, *row) for row in present.rows("zone")), people=people,
            carrier=carrier(present) if fields.get("carrier_on", True) else None,
            trailer=trailer(present) if fields.get("trailer_on", False) else None,
            gear=tuple(_stowed(present, *row) for row in present.aboard("stowed", key)),
            liquids=tuple(_filled(present, *row) for row in present.aboard("filled", key)),
            straps=tuple(strapping(*row) for row in present.aboard("strapping", key)),
            **_fuel(present, fields), **{field: fields[field] for field in PRESSURES if field in fields},
        )  # fmt: skip
    except BadValue as error:
        raise error.at(f"{name}, {error.where}" if error.where else name) from error


def _stowed(present: Present, key: str, fields: Fields) -> Stowed:
    thing = item(key, present.get("item", key) or {})
    count = fields.get("count", 1)
    if count > thing.count:
        raise BadValue(
            "count", count, f"is more than the {thing.count} owned", "take fewer along", thing.name
        )
    zone_name = _zone_name(present, fields)
    if (state := str((present.get("item", key) or {}).get("state", ""))) in GONE:
        raise BadValue("item", thing.name, f"is {state}", "leave it behind, or record that it was found")
    return build(Stowed, fields, item=thing, zone=zone_name)


def _filled(present: Present, key: str, fields: Fields) -> Filled:
    thing = liquid(key, present.get("liquid", key) or {})
    return build(Filled, fields, liquid=thing, zone=_zone_name(present, fields))


def _zone_name(present: Present, fields: Fields) -> str:
    key = need(fields, "zone")
    if present.get("zone", key) is None:
        raise NotFound("zone", key, tuple(row.get("name", k) for k, row in present.rows("zone")))
    return present.name("zone", key)


def _check_seats(present: Present, people: tuple[Occupant, ...]) -> None:
    seats = {fields.get("name") for _, fields in present.rows("seat")}
    taken: dict[str, str] = {}
    for person in people:
        if person.seat in taken:
            problem = f"is already taken by {taken[person.seat]}"
            raise BadValue("seat", person.seat, problem, "choose a free seat", person.name)
        if person.seat in seats:
            taken[person.seat] = person.name
        elif person.kind == "person":
            raise BadValue(
                "seat", person.seat, "is a zone, and a person needs a seat", "choose a seat", person.name
            )
