"""The vehicle's own measures."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from loadcalc.checks.balance import axle_loads
from loadcalc.model import BadValue, Vehicle, cg_from_axles
from loadcalc.model.assumption import half_width
from loadcalc.model.body_styles import BODY_STYLES
from loadcalc.model.quantities import units
from loadcalc.model.vehicle import BODY_CLASSES
from loadcalc.season import Season
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.measure import (
    Measure,
    choice,
    length,
    mass,
    mass_or_nothing,
    percent,
    table_of,
    volume,
    words,
)
from workbook.panels.ratings.find_it import VEHICLE_WHERE
from workbook.panels.ratings.measures_tires import HITCH, TIRES
from workbook.widgets.table.table import EditTable


def _own(field: str) -> Callable[[Season, Any], None]:
    return lambda season, value: season.set_vehicle(field, value)


def _axles(vehicle: Vehicle) -> tuple[float, float]:
    return axle_loads(vehicle.curb_kg, aft_m=vehicle.curb_cg.aft_m, wheelbase_m=vehicle.wheelbase_m)


def _put_axle(season: Season, *, front_kg: float | None = None, rear_kg: float | None = None) -> None:
    """Write one axle's empty load; the other stays, and the total and the center follow."""
    vehicle = season.vehicle
    front, rear = _axles(vehicle)
    if half_width(vehicle.assumed, "curb_kg") or vehicle.not_known("curb_kg", "wheelbase_m"):
        cure = "enter wheelbase and curb mass, both axles together, first; then one axle gives the other"
        raise BadValue("empty axle", front_kg or rear_kg, "kg can't be kept without the other one", cure)
    if any(one.measure == "curb_aft_m" for one in vehicle.assumed):  # the total was entered: one axle gives the other
        rear_kg = vehicle.curb_kg - front_kg if front_kg is not None else rear_kg
        front_kg = vehicle.curb_kg - (rear_kg or 0.0)
    front, rear = front if front_kg is None else front_kg, rear if rear_kg is None else rear_kg
    center = cg_from_axles(
        front_kg=front, rear_kg=rear, wheelbase_m=vehicle.wheelbase_m, up_m=vehicle.curb_cg.up_m
    )
    season.set_vehicle("curb_kg", front + rear)
    season.set_vehicle("curb_aft_m", center.aft_m)


def _put_curb_fuel(season: Season, liters: float) -> None:
    """Write the fuel at the weighing; a full tank is full also when it was typed as it is shown."""
    scale = units(season.units).scale("volume")
    season.set_vehicle("curb_fuel_l", scale.at_most(liters, season.vehicle.tank.capacity_l))


def _put_tank(season: Season, liters: float) -> None:
    """Write what the tank holds; where it was told to be full, it stays full when only the rounding differs."""
    scale = units(season.units).scale("volume")
    fuel_l = scale.at_most(season.vehicle.curb_fuel_l, liters)
    if fuel_l != season.vehicle.curb_fuel_l:
        season.set_vehicle("curb_fuel_l", fuel_l)
    for loadout in season.loadouts:
        if (full_l := scale.at_most(loadout.fuel_l, liters)) != loadout.fuel_l:
            season.set_fuel(loadout.name, full_l)
    season.set_vehicle("tank_capacity_l", liters)


def put_curb(season: Season, curb_kg: float) -> None:
    """Write the curb mass as a whole; how it is split between the axles stays."""
    if not season.fields("vehicle", "vehicle").get("curb_from"):
        season.set_vehicle("curb_from", "handbook or ticket")
    season.set_vehicle("curb_kg", curb_kg)


def put_wheelbase(season: Season, wheelbase_m: float) -> None:
    """Write the wheelbase; the empty axle loads stay what the scale said, if one did."""
    front, rear = _axles(season.vehicle)
    weighed = all(one.measure != "curb_aft_m" for one in season.vehicle.assumed)
    season.set_vehicle("wheelbase_m", wheelbase_m)
    if weighed:
        season.set_vehicle("curb_aft_m", rear / (front + rear) * wheelbase_m)


def _length_row(key: str, name: str, get: Callable[[Vehicle], float], where: str = "") -> Measure:
    return Measure(
        key=key, name=name, show=lambda v, u: u.length(get(v)), read=length, put=_own(key), where=where
    )


MEASURES = [
    Measure(key="name", name="What you call it", show=lambda v, u: v.name, read=words, put=_own("name")),
    Measure(
        key="body_class",
        name="Class on the certification label",
        show=lambda v, u: v.body_class,
        put=_own("body_class"),
        read=choice(BODY_CLASSES),
        where="“Light truck” takes in pickups, vans, and multipurpose vehicles (MPV).",
    ),
    Measure(
        key="body_style",
        name="Style of its body",
        show=lambda v, u: v.body_style,
        put=_own("body_style"),
        read=choice(BODY_STYLES),
        where=f"One of: {', '.join(filter(None, BODY_STYLES))}. What nobody measured is assumed from it.",
    ),
    Measure(
        key="curb_kg",
        name="Curb mass, both axles together",
        show=lambda v, u: u.mass(v.curb_kg),
        read=mass,
        put=lambda s, kg: put_curb(s, kg),
        where=VEHICLE_WHERE["curb_kg"],
    ),
    Measure(
        key="seats_from",
        name="Where the number of seats was read",
        show=lambda v, u: v.seats_from,
        read=words,
        put=_own("seats_from"),
        where="Tire placard, or count the belts; add or take away seats in the table of seats to match.",
    ),
    Measure(
        key="front_axle",
        name="Empty, front axle",
        show=lambda v, u: u.mass(_axles(v)[0]),
        read=mass,
        put=lambda s, kg: _put_axle(s, front_kg=kg),
        where=VEHICLE_WHERE["curb_kg"],
    ),
    Measure(
        key="rear_axle",
        name="Empty, rear axle",
        show=lambda v, u: u.mass(_axles(v)[1]),
        read=mass,
        put=lambda s, kg: _put_axle(s, rear_kg=kg),
        where="The same weighing. The two axles add up to the curb mass.",
    ),
    Measure(
        key="curb_from",
        name="Where that was weighed or read",
        show=lambda v, u: v.curb_from,
        read=words,
        put=_own("curb_from"),
    ),
    Measure(
        key="curb_plus_minus_kg",
        name="Weighing accuracy, ±, both axles together",
        show=lambda v, u: u.mass(v.curb_plus_minus_kg) if v.curb_plus_minus_kg else "",
        read=mass_or_nothing,
        put=_own("curb_plus_minus_kg"),
        where="Half a scale division (the smallest step it shows) and the scale's tolerance. Empty: 2% is assumed.",
    ),
    Measure(
        key="curb_fuel_l",
        name="Fuel in the tank at that weighing",
        show=lambda v, u: u.volume(v.curb_fuel_l),
        read=volume,
        put=_put_curb_fuel,
        where="Curb mass from a handbook usually means a full tank.",
    ),
    Measure(
        key="tank_capacity_l",
        name="Tank holds",
        show=lambda v, u: u.volume(v.tank.capacity_l),
        read=volume,
        put=_put_tank,
        where="Handbook, under capacities.",
    ),
    _length_row(
        "curb_up_m",
        "Center of gravity, empty, above ground",
        lambda v: v.curb_cg.up_m,
        VEHICLE_WHERE["curb_up_m"],
    ),
    Measure(
        key="cg_height_from",
        name="Where that height came from",
        show=lambda v, u: v.cg_height_from,
        read=words,
        put=_own("cg_height_from"),
    ),
    Measure(
        key="wheelbase_m",
        name="Wheelbase",
        show=lambda v, u: u.length(v.wheelbase_m),
        read=length,
        put=lambda s, m: put_wheelbase(s, m),
        where="Hub center to hub center, or the handbook.",
    ),
    _length_row(
        "front_track_m",
        "Front track",
        lambda v: v.front_track_m,
        "Middle of one tire to middle of the other, at the ground.",
    ),
    _length_row("rear_track_m", "Rear track", lambda v: v.rear_track_m, "The same, behind."),
    Measure(
        key="front_roll_share",
        name="Front share of roll stiffness",
        show=lambda v, u: f"{v.front_roll_share * 100:g}%",
        read=percent,
        put=_own("front_roll_share"),
        where=VEHICLE_WHERE["front_roll_share"],
    ),
    *TIRES,
    *HITCH,
    _length_row(
        "length_m",
        "Overall length",
        lambda v: v.outline.length_m,
        "For the drawing; with a tape or from the handbook.",
    ),
    _length_row("width_m", "Overall width", lambda v: v.outline.width_m),
    _length_row("height_m", "Overall height", lambda v: v.outline.height_m),
    _length_row("front_overhang_m", "Bumper to front hub", lambda v: v.front_overhang_m),
    _length_row("tire_diameter_m", "Tire diameter", lambda v: v.tire_diameter_m),
]


def measure_table(desk: Desk) -> EditTable:
    """The editable table of the vehicle's measures."""
    return table_of(desk, "Measures of the vehicle", MEASURES, lambda: desk.vehicle, "30rem")
