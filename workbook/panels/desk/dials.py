"""Sliders in the reader's units. A dial is a plain record; the widget is made from it at the end."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import ipywidgets as widgets

from loadcalc.model import Filled, Loadout, Occupant, Vehicle
from loadcalc.model.marks import isolated
from loadcalc.model.quantities import Units, UnitScale
from loadcalc.plan.levers import pour, weigh
from loadcalc.season import Season
from workbook.panels.desk.html_text import clipped

SLIDE = widgets.Layout(width="100%", min_width="260px")
NO_READOUT = widgets.Layout(width="calc(100% - 76px)", min_width="184px")  # its rail as long as the others'
Turned = Callable[[Vehicle, Loadout, float], tuple[Vehicle, Loadout]]
Keep = Callable[[Season, str, float], object]
REACH_M = 0.6  # how far a zone's load point may be tried out from where it was entered


@dataclass(frozen=True, slots=True, kw_only=True)
class Dial:
    """One slider: `value`, `low`, `high`, `step` in the unit of `scale`, as the reader sees them.

    say : an SI number in words, where a number and a unit don't tell it: "15 in right".
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
    say: Callable[[float], str] | None = None
    turned: Turned = lambda vehicle, loadout, _: (vehicle, loadout)
    keep: Keep = lambda season, loadout, si: None

    @property
    def unit(self) -> str:
        """The unit word."""
        return self.scale.unit

    def si(self, value: float) -> float:
        """The slider's number in SI: kg, L, or m."""
        return self.scale.si(value)

    def text(self, value: float) -> str:
        """The slider's number as it is told."""
        return self.scale.text(self.si(value), grouped=True) if self.say is None else self.say(self.si(value))

    def called(self, value: float) -> str:
        """What stands beside the slider: its label with the unit, or with the number in words."""
        number = f", {self.unit}" if self.say is None else f": {self.say(self.si(value))}"
        return isolated(clipped(self.label) + number)


def mass_dial(key: str, label: str, kg: float, high_kg: float, units: Units) -> Dial:
    """A dial for a mass, in whole pounds or kilograms."""
    scale = units.scale("mass")
    high = math.ceil(scale.value(max(high_kg, kg)))
    return Dial(key=key, label=label, scale=scale, value=scale.value(kg), low=0, high=high, step=1.0)


def volume_dial(key: str, label: str, liters: float, high_l: float, units: Units) -> Dial:
    """A dial for a fill; the brim itself is the last step, whatever the container holds."""
    scale = units.scale("volume")
    high = scale.value(high_l)
    steps = max(1, round(high * (1 if scale.unit == "L" else 4)))
    return Dial(
        key=key, label=label, scale=scale, value=scale.value(liters), low=0.0, high=high, step=high / steps
    )


def length_dial(
    key: str, label: str, meters: float, reach_m: float, units: Units, low_m: float = -math.inf
) -> Dial:
    """A dial for a place, `reach_m` to either side of where it is, in steps of an inch or a centimeter."""
    scale = units.scale("length")
    low, value, high = (scale.value(v) for v in (max(meters - reach_m, low_m), meters, meters + reach_m))
    step = 1.0 if scale.unit == "in" else 10.0
    return Dial(
        key=key, label=label, scale=scale, value=value, low=math.floor(low), high=math.ceil(high), step=step
    )


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
        dial("left", "Left or right of center", place.left_m, say=units.sideways),
        dial("up", "Above the ground", place.up_m, low_m=0.0),
    ]


def slider(dial: Dial, moved: Callable[[Dial, float], None]) -> widgets.FloatSlider:
    """Make the widget of one dial; `moved` hears every step, also while it is dragged."""
    made = widgets.FloatSlider(
        value=dial.value,
        min=dial.low,
        max=dial.high,
        step=dial.step,
        description=dial.called(dial.value),
        tooltip=isolated(dial.label) if clipped(dial.label) != dial.label else None,
        readout=dial.say is None,
        readout_format=".0f" if dial.step >= 1 else ".2f",
        continuous_update=True,
        layout=SLIDE if dial.say is None else NO_READOUT,
        style={"description_width": "52%" if dial.say is None else "calc(52% + 40px)"},
    )

    def turned_to(change: dict[str, float]) -> None:
        made.description = dial.called(change["new"])
        moved(dial, change["new"])

    made.observe(turned_to, "value")
    return made


def column(title: str, made: Sequence[widgets.Widget]) -> widgets.VBox:
    """A titled column of sliders."""
    return widgets.VBox(
        [widgets.HTML(f"<b>{title}</b>"), *made],
        layout=widgets.Layout(flex="1 1 330px", padding="0 12px 0 0"),
    )
