"""Build the frozen records of :mod:`loadcalc.model` from a season's present.

Each builder raises BadValue or NotFound when the present can't be true.
"""

from __future__ import annotations

from typing import Any

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
    Place,
    Seat,
    Size,
    Stowed,
    TiePoint,
    Tire,
    Trailer,
    Vehicle,
    Zone,
)  # fmt: skip
from loadcalc.model import check as checks
from loadcalc.model.errors import BadValue, NotFound
from loadcalc.model.loadout import PRESSURES
from loadcalc.model.straps import Strapping
from loadcalc.model.vehicle import CARRIER_LIMITS, TRAILER_LIMITS, VEHICLE_LIMITS
from loadcalc.season.file.fields import GONE, field_word, record_of, unit_of
from loadcalc.season.file.present import Fields, Present

TIRE_DAYS = ("made_on", "looked_on")


def need(fields: Fields, name: str) -> Any:
    """Return a field that a record can't do without."""
    if name not in fields:
        unit, where = unit_of(name), str(fields.get("name", ""))
        raise BadValue(field_word(name), "", "is missing", f"give it{f' in {unit}' if unit else ''}", where)
    return fields[name]


def _take(fields: Fields, *names: str) -> Fields:
    """The fields of these names that are there; the record's own defaults stand in for the others."""
    return {name: fields[name] for name in names if name in fields}


def _box(kind: type[Place] | type[Size], fields: Fields, prefix: str = "") -> Any:
    found = record_of(kind, fields, prefix)
    if found is None:
        need(fields, f"{prefix}{'aft_m' if kind is Place else 'length_m'}")
    return found


def item(key: str, fields: Fields) -> Item:
    """Build one line of gear."""
    rest = _take(fields, "known", "plus_minus_kg", "count", "kind", "expendable")
    rest |= _take(fields, "must_come", "stay_low", "keep_reachable", "hazard")
    size = record_of(Size, fields)
    return Item(key=key, name=need(fields, "name"), mass_kg=need(fields, "mass_kg"), size=size, **rest)


def zone(key: str, fields: Fields) -> Zone:
    """Build one zone."""
    rest = _take(fields, "on_carrier", "on_hitch", "in_cabin", "reach")
    place, size = _box(Place, fields), _box(Size, fields)
    return Zone(name=need(fields, "name"), place=place, size=size, limit=limit(key, fields), **rest)


def limit(key: str, fields: Fields) -> Limit:
    """Build one limit; without a number it is one that is not known."""
    ratings = {**VEHICLE_LIMITS, **CARRIER_LIMITS, **TRAILER_LIMITS}
    where = ratings.get(key) or str(fields.get("name", key))
    try:
        return Limit(**_take(fields, "limit_kg", "read_at"))
    except BadValue as error:
        raise error.at(where) from error


def seat(key: str, fields: Fields) -> Seat:
    """Build one seat."""
    return Seat(name=need(fields, "name"), place=_box(Place, fields))


def liquid(key: str, fields: Fields) -> Liquid:
    """Build one liquid with its container."""
    numbers = {name: need(fields, name) for name in ("container_kg", "capacity_l", "density_kg_per_l")}
    return Liquid(key=key, name=need(fields, "name"), **numbers, **_take(fields, "kind", "hazard"))


def tire(key: str, fields: Fields) -> Tire:
    """Build what one axle's tires are marked with."""
    checks.one_of("tires", key, ("front", "rear", "spare"))
    rows = tuple((kpa, kg) for kpa, kg in fields.get("pressure_table", ()))
    known = {
        name: value for name, value in fields.items() if name not in TIRE_DAYS
    }  # its age is not a rating
    return Tire(**{**known, "pressure_table": rows})


def bar(key: str, fields: Fields) -> Bar:
    """Build one bar under the carrier."""
    foot = limit(key, {"name": need(fields, "name"), **_renamed(fields, "foot_")})
    must = {name: need(fields, name) for name in ("name", "aft_m", "half_span_m")}
    return Bar(**must, limit=limit(key, fields), foot_limit=foot)


def _renamed(fields: Fields, prefix: str) -> Fields:
    """The fields that start with `prefix`, without it."""
    return {name.removeprefix(prefix): value for name, value in fields.items() if name.startswith(prefix)}


def tie_point(key: str, fields: Fields) -> TiePoint:
    """Build one tie point of the carrier."""
    return TiePoint(
        name=need(fields, "name"), aft_m=need(fields, "aft_m"), left_m=need(fields, "left_m"),
        limit=limit(key, fields),
    )  # fmt: skip


def strapping(key: str, fields: Fields) -> Strapping:
    """Build how one group of a loadout is tied down; its key there is what pieces on board name as their group."""
    return Strapping(**{"name": key, **fields, "key": key.rpartition("/")[2]})


def trailer(present: Present) -> Trailer | None:
    """Build the trailer, or None when there is none."""
    fields = present.get("trailer", "trailer")
    if fields is None:
        return None
    limits = {key: limit(key, row) for key, row in present.rows("limit") if key in TRAILER_LIMITS}
    must = {name: need(fields, name) for name in ("name", "mass_kg", "tongue_kg")}
    return Trailer(**must, limits=limits)


def occupant(present: Present, key: str, ride: Fields | None = None) -> Occupant:
    """Build one person or animal, in its usual seat or where it rides (`ride`)."""
    fields = present.get("occupant", key) or {}
    at = {**fields, **(ride or {})}
    where = seat_name(present, need(at, "seat"))
    rest = _take(at, "kind", "sleeps_on_roof")
    return Occupant(key=key, name=need(fields, "name"), mass_kg=need(fields, "mass_kg"), seat=where, **rest)


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
    limits = {key: limit(key, row) for key, row in present.rows("limit") if key in CARRIER_LIMITS}
    return Carrier(
        name=need(fields, "name"), mass_kg=need(fields, "mass_kg"), limits=limits,
        place=_box(Place, fields), size=_box(Size, fields),
        bars=tuple(bar(*row) for row in present.rows("bar")),
        tie_points=tuple(tie_point(*row) for row in present.rows("tie_point")), **_take(fields, "slats"),
    )  # fmt: skip


def vehicle(present: Present) -> Vehicle:
    """Build the vehicle with its seats, tires, tank, and limits."""
    fields = present.get("vehicle", "vehicle") or {}
    must = ("name", "curb_kg", "wheelbase_m", "front_track_m", "rear_track_m", "front_overhang_m")
    may = (
        "curb_from", "curb_plus_minus_kg", "curb_fuel_l", "cg_height_from", "tire_diameter_m", "front_roll_share",
        "body_class",
    )  # fmt: skip
    tank = FuelTank(
        capacity_l=need(fields, "tank_capacity_l"), density_kg_per_l=need(fields, "tank_density_kg_per_l"),
        place=_box(Place, fields, "tank_"),
    )  # fmt: skip
    return Vehicle(
        **{name: need(fields, name) for name in must}, **_take(fields, *may), tank=tank,
        curb_cg=_box(Place, fields, "curb_"), outline=_box(Size, fields),
        seats=tuple(seat(*row) for row in present.rows("seat")),
        front_tire=tire("front", present.get("tire", "front") or {}),
        rear_tire=tire("rear", present.get("tire", "rear") or {}),
        spare_tire=tire("spare", spare) if (spare := present.get("tire", "spare")) else None,
        hitch=record_of(Place, fields, "hitch_"),
        limits={key: limit(key, row) for key, row in present.rows("limit") if key in VEHICLE_LIMITS},
    )  # fmt: skip


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
            name=name, zones=tuple(zone(*row) for row in present.rows("zone")), people=people,
            carrier=carrier(present) if fields.get("carrier_on", True) else None,
            trailer=trailer(present) if fields.get("trailer_on", False) else None,
            gear=tuple(_stowed(present, *row) for row in present.aboard("stowed", key)),
            liquids=tuple(_filled(present, *row) for row in present.aboard("filled", key)),
            straps=tuple(strapping(*row) for row in present.aboard("strapping", key)),
            **_take(fields, "fuel_l", *PRESSURES),
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
    rest = _take(fields, "turned", "pinned", "group")
    zone_name = _where(present, fields)["zone"]
    if (state := str((present.get("item", key) or {}).get("state", ""))) in GONE:
        raise BadValue("item", thing.name, f"is {state}", "leave it behind, or record that it was found")
    return Stowed(item=thing, place=record_of(Place, fields), zone=zone_name, count=count, **rest)


def _filled(present: Present, key: str, fields: Fields) -> Filled:
    thing, fill_l = liquid(key, present.get("liquid", key) or {}), need(fields, "fill_l")
    zone_name, group = _where(present, fields)["zone"], fields.get("group", "")
    return Filled(liquid=thing, fill_l=fill_l, place=record_of(Place, fields), zone=zone_name, group=group)


def _where(present: Present, fields: Fields) -> dict[str, str]:
    key = need(fields, "zone")
    if present.get("zone", key) is None:
        raise NotFound("zone", key, tuple(row.get("name", k) for k, row in present.rows("zone")))
    return {"zone": present.name("zone", key)}


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
