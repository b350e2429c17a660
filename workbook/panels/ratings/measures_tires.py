"""The vehicle's tires and its hitch: rows for the table of its measures."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from loadcalc.model import Place, Tire, Vehicle
from loadcalc.model.quantities import Units
from loadcalc.model.vehicle import TIRE_MARKINGS
from loadcalc.season import Season
from workbook.panels.desk.measure import Measure, choice, index, length, pressure
from workbook.panels.ratings.find_it import VEHICLE_WHERE


def _tire(axle: str) -> Callable[[Vehicle], Tire]:
    return lambda vehicle: getattr(vehicle, f"{axle}_tire") or Tire()


def _put(axle: str, field: str) -> Callable[[Season, Any], None]:
    def put(season: Season, value: Any) -> None:
        season.set_tire(axle, replace(_tire(axle)(season.vehicle), **{field: value}))

    return put


def _pressure_row(axle: str, field: str, name: str) -> Measure:
    def show(vehicle: Vehicle, units: Units) -> str:
        kpa = getattr(_tire(axle)(vehicle), field)
        return "" if kpa is None else units.scale("pressure").text(kpa)

    where = VEHICLE_WHERE[field]
    return Measure(
        key=f"{axle}_{field}", name=name, show=show, read=pressure, put=_put(axle, field), where=where
    )


def _tire_rows(axle: str, title: str) -> list[Measure]:
    tire = _tire(axle)
    return [
        Measure(
            key=f"{axle}_index", name=f"{title}, load index", read=index, put=_put(axle, "load_index"),
            where=VEHICLE_WHERE["load_index"],
            show=lambda v, u: "" if tire(v).load_index is None else str(tire(v).load_index),
        ),
        Measure(
            key=f"{axle}_marking", name=f"{title}, marking", read=choice(TIRE_MARKINGS), put=_put(axle, "marking"),
            show=lambda v, u: tire(v).marking, where=f"One of: {', '.join(TIRE_MARKINGS)}.",
        ),
        _pressure_row(axle, "reference_kpa", f"{title}, pressure for that load"),
    ]  # fmt: skip


TIRES = [
    *_tire_rows("front", "Front tires"),
    _pressure_row("front", "placard_kpa", "Front tires, placard pressure"),
    *_tire_rows("rear", "Rear tires"),
    _pressure_row("rear", "placard_kpa", "Rear tires, placard pressure"),
    *_tire_rows("spare", "Spare tire"),
]


def _hitch_row(field: str, name: str, where: str) -> Measure:
    def show(vehicle: Vehicle, units: Units) -> str:
        return "" if vehicle.hitch is None else units.length(getattr(vehicle.hitch, field))

    def read(text: str, units: Units, title: str) -> float | None:
        return None if text.strip() in ("", "?") else length(text, units, title)

    def put(season: Season, value: float | None) -> None:
        """An emptied cell takes the hitch away; the first number puts it at hub height until somebody measures."""
        vehicle = season.vehicle
        if value is None:
            season.set_vehicle("hitch", None)
            return
        hub = Place(
            aft_m=vehicle.outline.length_m - vehicle.front_overhang_m, up_m=vehicle.tire_diameter_m / 2
        )
        season.set_vehicle("hitch", replace(vehicle.hitch or hub, **{field: value}))

    return Measure(key=f"hitch_{field}", name=name, show=show, read=read, put=put, where=where)


HITCH = [
    _hitch_row(
        "aft_m",
        "Hitch ball or pin, aft of front axle",
        "Wheelbase plus rear hub to ball. Empty: the vehicle has no hitch.",
    ),
    _hitch_row(
        "up_m", "Hitch ball or pin, above ground", "With a tape. Taken at hub height until you measure it."
    ),
]
