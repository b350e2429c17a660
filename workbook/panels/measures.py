"""The vehicle's own measures: one table row each, read and written in the reader's units."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from loadcalc.checks.balance import axle_loads
from loadcalc.model import Tire, Vehicle, cg_from_axles
from loadcalc.model.errors import BadValue
from loadcalc.model.quantities import Units, read_count, read_length_m, read_mass_kg, read_volume_l
from loadcalc.model.vehicle import BODY_CLASSES, TIRE_MARKINGS
from loadcalc.season import Season
from workbook.panels.desk import Desk
from workbook.panels.edits import apply_edits
from workbook.panels.find_it import VEHICLE_WHERE
from workbook.widgets.table import Column, Edit, EditTable, Refusal

Read = Callable[[str, Units, str], Any]
COLUMNS = [
    Column(key="measure", title="Measure", kind="read-only", width="20em"),
    Column(
        key="value",
        title="Value",
        kind="text",
        width="15em",
        hint="Write a unit if it is another than the one shown.",
    ),
    Column(key="where", title="Where do I find this on my vehicle?", kind="read-only", width="36em"),
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """One row: how it is shown, read, and put into the season."""

    key: str
    name: str
    show: Callable[[Any, Units], str]
    read: Read
    put: Callable[[Season, Any], None]
    where: str = ""


def _text(text: str, units: Units, name: str) -> str:
    return text.strip()


def _mass(text: str, units: Units, name: str) -> float:
    return read_mass_kg(text, unit=units.mass_unit, field=name, high=20_000.0)


def _length(text: str, units: Units, name: str) -> float:
    return read_length_m(text, unit=units.length_unit, field=name)


def _volume(text: str, units: Units, name: str) -> float:
    return read_volume_l(text, unit=units.volume_unit, field=name)


def _percent(text: str, units: Units, name: str) -> float:
    try:
        return float(text.replace("%", "").replace(",", ".")) / 100
    except ValueError:
        raise BadValue(name, text, "is not a percentage", "write it as 50 %") from None


def _choice(choices: tuple[str, ...]) -> Read:
    def read(text: str, units: Units, name: str) -> str:
        if text.strip().casefold() not in choices:
            raise BadValue(name, text, "is not a known choice", f"write one of: {', '.join(choices)}")
        return text.strip().casefold()

    return read


def _index(text: str, units: Units, name: str) -> int | None:
    return None if text.strip() in ("", "?") else int(read_count(text, field=name, high=150))


def _own(field: str) -> Callable[[Season, Any], None]:
    return lambda season, value: season.set_vehicle(field, value)


def _axles(vehicle: Vehicle) -> tuple[float, float]:
    return axle_loads(vehicle.curb_kg, aft_m=vehicle.curb_cg.aft_m, wheelbase_m=vehicle.wheelbase_m)


def _put_axle(season: Season, *, front_kg: float | None = None, rear_kg: float | None = None) -> None:
    """Write one axle's empty load; the other stays, and the total and the center follow."""
    vehicle = season.vehicle
    front, rear = _axles(vehicle)
    front, rear = front if front_kg is None else front_kg, rear if rear_kg is None else rear_kg
    center = cg_from_axles(
        front_kg=front, rear_kg=rear, wheelbase_m=vehicle.wheelbase_m, up_m=vehicle.curb_cg.up_m
    )
    season.set_vehicle("curb_kg", front + rear)
    season.set_vehicle("curb_aft_m", center.aft_m)


def _put_wheelbase(season: Season, wheelbase_m: float) -> None:
    """Write the wheelbase; the empty axle loads stay what the scale said."""
    front, rear = _axles(season.vehicle)
    season.set_vehicle("wheelbase_m", wheelbase_m)
    season.set_vehicle("curb_aft_m", rear / (front + rear) * wheelbase_m)


def _tire(axle: str, field: str) -> Callable[[Season, Any], None]:
    def put(season: Season, value: Any) -> None:
        now = season.vehicle.front_tire if axle == "front" else season.vehicle.rear_tire
        fields = {"load_index": now.load_index, "marking": now.marking, "read_at": now.read_at, field: value}
        season.set_tire(axle, Tire(**fields))

    return put


def _length_row(key: str, name: str, get: Callable[[Vehicle], float], where: str = "") -> Measure:
    return Measure(
        key=key, name=name, show=lambda v, u: u.length(get(v)), read=_length, put=_own(key), where=where
    )


def _tire_rows(axle: str, get: Callable[[Vehicle], Tire]) -> list[Measure]:
    title, where = axle.capitalize(), VEHICLE_WHERE["load_index"]
    return [
        Measure(
            key=f"{axle}_index",
            name=f"{title} tires, load index",
            read=_index,
            put=_tire(axle, "load_index"),
            where=where,
            show=lambda v, u: "" if get(v).load_index is None else str(get(v).load_index),
        ),
        Measure(
            key=f"{axle}_marking",
            name=f"{title} tires, marking",
            read=_choice(TIRE_MARKINGS),
            put=_tire(axle, "marking"),
            show=lambda v, u: get(v).marking,
            where=f"One of: {', '.join(TIRE_MARKINGS)}.",
        ),
    ]


MEASURES = [
    Measure(key="name", name="What you call it", show=lambda v, u: v.name, read=_text, put=_own("name")),
    Measure(
        key="body_class",
        name="Class on the certification label",
        show=lambda v, u: v.body_class,
        put=_own("body_class"),
        read=_choice(BODY_CLASSES),
        where="“Light truck” takes in pickups, vans, and multipurpose vehicles (MPV).",
    ),
    Measure(
        key="front_axle",
        name="Empty, front axle",
        show=lambda v, u: u.mass(_axles(v)[0]),
        read=_mass,
        put=lambda s, kg: _put_axle(s, front_kg=kg),
        where=VEHICLE_WHERE["curb_kg"],
    ),
    Measure(
        key="rear_axle",
        name="Empty, rear axle",
        show=lambda v, u: u.mass(_axles(v)[1]),
        read=_mass,
        put=lambda s, kg: _put_axle(s, rear_kg=kg),
        where="The same weighing. The two axles add up to the curb mass.",
    ),
    Measure(
        key="curb_from",
        name="Where that was weighed or read",
        show=lambda v, u: v.curb_from,
        read=_text,
        put=_own("curb_from"),
    ),
    Measure(
        key="curb_fuel_l",
        name="Fuel in the tank at that weighing",
        show=lambda v, u: u.volume(v.curb_fuel_l),
        read=_volume,
        put=_own("curb_fuel_l"),
        where="Curb mass from a handbook usually means a full tank.",
    ),
    Measure(
        key="tank_capacity_l",
        name="Tank holds",
        show=lambda v, u: u.volume(v.tank.capacity_l),
        read=_volume,
        put=_own("tank_capacity_l"),
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
        read=_text,
        put=_own("cg_height_from"),
    ),
    Measure(
        key="wheelbase_m",
        name="Wheelbase",
        show=lambda v, u: u.length(v.wheelbase_m),
        read=_length,
        put=lambda s, m: _put_wheelbase(s, m),
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
        show=lambda v, u: f"{v.front_roll_share * 100:g} %",
        read=_percent,
        put=_own("front_roll_share"),
        where=VEHICLE_WHERE["front_roll_share"],
    ),
    *_tire_rows("front", lambda v: v.front_tire),
    *_tire_rows("rear", lambda v: v.rear_tire),
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


def measure_rows(
    measures: Sequence[Measure], record: Any, units: Units
) -> tuple[list[dict[str, Any]], list[str]]:
    """Rows of a table of measures, and their keys."""
    rows = [{"measure": m.name, "value": m.show(record, units), "where": m.where} for m in measures]
    return rows, [m.key for m in measures]


def table_of(
    desk: Desk, label: str, measures: Sequence[Measure], record: Callable[[], Any], height: str
) -> EditTable:
    """An editable table of one record's measures, one row each."""
    by_key = {measure.key: measure for measure in measures}

    def one(edit: Edit) -> None:
        measure = by_key[edit.row_key]
        measure.put(desk.season, measure.read(str(edit.text), desk.units, measure.name.lower()))

    def on_edit(edits: list[Edit]) -> list[Refusal]:
        first = by_key[edits[0].row_key].name.lower()
        said = f"{first} {edits[0].text}" if len(edits) == 1 else f"{len(edits)} measures"
        return apply_edits(desk, edits, f"{record().name}: {said}", one)

    rows, keys = measure_rows(measures, record(), desk.units)
    table = EditTable(
        label=label, columns=COLUMNS, rows=rows, row_keys=keys, on_edit=on_edit, can_add=False, can_duplicate=False,
        can_remove=False, height=height,
    )  # fmt: skip
    desk.records.append(lambda: table.show(*measure_rows(measures, record(), desk.units)))
    return table


def measure_table(desk: Desk) -> EditTable:
    """The editable table of the vehicle's measures."""
    return table_of(desk, "Measures of the vehicle", MEASURES, lambda: desk.vehicle, "30rem")
