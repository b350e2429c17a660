"""Sliders in the reader's units, as plain records; a board of them is made in board.py."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from loadcalc.model import Filled, Loadout, Occupant, Vehicle
from loadcalc.model import quantities as q
from loadcalc.model.errors import BadValue
from loadcalc.model.marks import isolated
from loadcalc.model.quantities import Units, UnitScale
from loadcalc.plan.levers import pour, weigh
from loadcalc.season import Season
from workbook.panels.desk.html_text import clipped

Turned = Callable[[Vehicle, Loadout, float], tuple[Vehicle, Loadout]]
Keep = Callable[[Season, str, float], object]
Read = Callable[[str], float]
READERS: dict[str, Callable[..., float]] = {
    "mass": q.read_mass_kg, "volume": q.read_volume_l, "length": q.read_length_m, "pressure": q.read_pressure_kpa,
    "sideways": q.read_sideways_m, "density": q.read_density_kg_per_l,
}  # fmt: skip
REACH_M = 0.6  # how far a zone's load point may be tried out from where it was entered
SIDES, LEFT = ("left", "right"), "Left or right of center"


def amount(quantity: str, text: str, units: Units, field: str, *, where: str = "", **bounds: float) -> float:
    """Every amount typed into a page, read in the reader's units: SI from text, with a unit or without.

    bounds : as the quantity's reader has them, such as high.
    """
    unit = units.scale("length" if quantity == "sideways" else quantity).unit
    comma = units.decimal_comma
    return READERS[quantity](text, unit=unit, field=field, where=where, decimal_comma=comma, **bounds)


def reader(quantity: str, label: str, units: Units) -> Read:
    """What reads a typed number of this quantity ("mass", "sideways"): SI from text, with a unit or without."""
    if quantity == "length":  # ahead of the front axle is below zero
        return partial(amount, quantity, units=units, field=label, low=-20.0)
    return partial(amount, quantity, units=units, field=label)


@dataclass(frozen=True, slots=True, kw_only=True)
class Dial:
    """One slider: `value`, `low`, `high`, `step` in the unit of `scale`, as the reader sees them.

    ends : whether low and high are limits of the thing itself, like a brim, or only as far as the rail goes.
    sides : words for above and below zero, where a sign would be misread: "15 in right".
    read : what was typed into its number, in SI.
    turned : vehicle and loadout as they would be at a value [SI]. keep : write a value [SI] into the season, for the
        loadout of that name.
    """

    key: str
    label: str
    scale: UnitScale
    value: float
    low: float
    high: float
    step: float
    read: Read
    ends: bool = True
    sides: tuple[str, str] | None = None
    turned: Turned = lambda vehicle, loadout, _: (vehicle, loadout)
    keep: Keep = lambda season, loadout, si: None

    def si(self, value: float) -> float:
        """The slider's number in SI: kg, L, or m."""
        return self.scale.si(value)

    def text(self, value: float) -> str:
        """The slider's number as it is told, and as dials_number.js paints it."""
        si, zero = self.si(value), self.scale.text(0.0)
        if self.sides is None:
            return self.scale.text(si, grouped=True)
        text = self.scale.text(abs(si), grouped=True)
        return text if text == zero else f"{text} {self.sides[0 if si > 0 else 1]}"

    def typed(self, text: str) -> float:
        """Return what was typed [SI]; a limit as it is shown means that limit.

        Raises
        ------
        BadValue naming the slider, the text, the ends, and the cure.
        """
        si, low, high = self.read(text), self.si(self.low), self.si(self.high)
        if not self.ends:
            return si
        if low - self.scale.half_digit(low) <= si <= high + self.scale.half_digit(high):
            return min(max(si, low), high)
        ends = f"{self.text(self.low)} to {self.text(self.high)}"
        raise BadValue(self.label, text, f"is outside {ends}", "check the number and its unit")

    def row(self, value: float) -> dict[str, Any]:
        """What the browser needs to paint it at a value (workbook/widgets/dials/)."""
        return {
            "key": self.key, "label": isolated(clipped(self.label)), "unit": self.scale.unit, "value": value,
            "low": self.low, "high": self.high, "step": self.step, "decimals": self.scale.most_decimals,
            "group": self.scale.grouping, "sides": self.sides,
        }  # fmt: skip


def mass_dial(key: str, label: str, kg: float, high_kg: float, units: Units) -> Dial:
    """A dial for a mass, in whole pounds or kilograms."""
    scale = units.scale("mass")
    high = math.ceil(scale.value(max(high_kg, kg)))
    return Dial(
        key=key, label=label, scale=scale, value=scale.value(kg), low=0, high=high, step=1.0,
        read=reader("mass", label, units), ends=False,
    )  # fmt: skip


def volume_dial(key: str, label: str, liters: float, high_l: float, units: Units) -> Dial:
    """A dial for a fill; the brim itself is the last step, whatever the container holds."""
    scale = units.scale("volume")
    high = scale.value(high_l)
    steps = max(1, round(high * (1 if scale.unit == "L" else 4)))
    return Dial(
        key=key, label=label, scale=scale, value=scale.value(liters), low=0.0, high=high, step=high / steps,
        read=reader("volume", label, units),
    )  # fmt: skip


def length_dial(
    key: str, label: str, meters: float, reach_m: float, units: Units, low_m: float = -math.inf
) -> Dial:
    """A dial for a place, `reach_m` to either side of where it is, in steps of an inch or a centimeter."""
    scale = units.scale("length")
    low, value, high = (scale.value(v) for v in (max(meters - reach_m, low_m), meters, meters + reach_m))
    step = 1.0 if scale.unit == "in" else 10.0
    return Dial(
        key=key, label=label, scale=scale, value=value, low=math.floor(low), high=math.ceil(high), step=step,
        read=reader("length", label, units), ends=False,
    )  # fmt: skip


def bare_dial(
    key: str, label: str, unit: str, value: float, ends: tuple[float, float], *, step: float = 1.0,
    decimals: int = 0, sides: tuple[str, str] | None = None,
) -> Dial:  # fmt: skip
    """A dial for what has one unit everywhere, such as degrees; a side is typed in words or as a sign."""
    worded = {side: sign for side, sign in zip(sides or (), (1.0, -1.0), strict=False)}

    def read(text: str) -> float:
        side = next((side for side in worded if side in text), "")
        number = text.replace(side, "").replace(unit, "").replace("−", "-").replace(",", ".").strip()
        try:
            found = float(number) * worded.get(side, 1.0)
        except ValueError:
            found = math.nan
        if not math.isfinite(found):
            raise BadValue(label, text, "is not a number", f"write it as {value:g} {unit}")
        return found

    scale = UnitScale(unit=unit, si_per_unit=1.0, most_decimals=decimals, grouping="")
    return Dial(
        key=key, label=label, scale=scale, value=value, low=ends[0], high=ends[1], step=step, read=read, sides=sides
    )  # fmt: skip


def people_dials(loadout: Loadout, vehicle: Vehicle, units: Units) -> list[Dial]:
    """One dial for each person or animal on board."""

    def dial(who: Occupant) -> Dial:
        label = f"{who.name} ({seat_word(who, vehicle)})"
        return replace(
            mass_dial(f"person:{who.key}", label, who.mass_kg, 160.0, units),
            turned=lambda vehicle, loadout, kg: (vehicle, weigh(who.key)(loadout, kg)),
            keep=lambda season, _, kg: season.set_occupant(who.key, mass_kg=kg),
        )

    return [dial(who) for who in loadout.people]


def seat_word(who: Occupant, vehicle: Vehicle) -> str:
    """The seat, in lower case, as it reads in a label."""
    return who.seat[0].lower() + who.seat[1:]


def liquid_dials(loadout: Loadout, vehicle: Vehicle, units: Units) -> list[Dial]:
    """The vehicle's own tank, then each can. A slider's last step may lie a rounding above the brim."""

    def can(filled: Filled) -> Dial:
        liquid = filled.liquid

        def at_most(liters: float) -> float:
            return min(liters, liquid.capacity_l)

        return replace(
            volume_dial(f"fill:{liquid.key}", liquid.name, filled.fill_l, liquid.capacity_l, units),
            turned=lambda vehicle, loadout, liters: (vehicle, pour([filled])(loadout, at_most(liters))),
            keep=lambda season, name, liters: season.set_fill(name, liquid.key, at_most(liters)),
        )

    brim_l = vehicle.tank.capacity_l
    tank = replace(
        volume_dial("tank", "Fuel in the tank", loadout.fuel_l, brim_l, units),
        turned=lambda vehicle, loadout, liters: (vehicle, replace(loadout, fuel_l=min(liters, brim_l))),
        keep=lambda season, name, liters: season.set_fuel(name, min(liters, brim_l)),
    )
    return [tank, *(can(filled) for filled in loadout.liquids)]


def zone_dials(loadout: Loadout, zone_name: str, units: Units) -> list[Dial]:
    """How far aft, left, and up the load of one zone acts."""
    place = loadout.zone(zone_name).place

    def dial(axis: str, label: str, meters: float, **more: Any) -> Dial:
        field = f"{axis}_m"

        def turned(vehicle: Vehicle, loadout: Loadout, meters: float) -> tuple[Vehicle, Loadout]:
            zones = (
                replace(zone, place=replace(zone.place, **{field: meters}))
                if zone.name == zone_name
                else zone
                for zone in loadout.zones
            )
            return vehicle, replace(loadout, zones=tuple(zones))

        return replace(
            length_dial(f"zone:{axis}", label, meters, REACH_M, units, more.pop("low_m", -math.inf)),
            turned=turned, keep=lambda season, _, meters: season.set_zone(zone_name, **{field: meters}), **more,
        )  # fmt: skip

    return [
        dial("aft", "Aft of front axle", place.aft_m),
        dial("left", LEFT, place.left_m, sides=SIDES, read=reader("sideways", LEFT, units)),
        dial("up", "Above the ground", place.up_m, low_m=0.0),
    ]
