"""Sliders in the reader's units. A dial is a plain record; the widget is made from it at the end."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import ipywidgets as widgets

from loadcalc.model import Filled, Loadout, Occupant, Place, Vehicle
from loadcalc.model.quantities import Units, UnitScale

SLIDE = widgets.Layout(width="100%", min_width="260px")
NO_READOUT = widgets.Layout(width="calc(100% - 76px)", min_width="184px")  # its rail as long as the others'
REACH_M = 0.6  # how far a zone's load point may be tried out from where it was entered


@dataclass(frozen=True, slots=True, kw_only=True)
class Dial:
    """One slider: `value`, `low`, `high`, `step` in the unit of `scale`, as the reader sees them.

    say : an SI number in words, where a number and a unit don't tell it: "15 in right".
    """

    key: str
    label: str
    scale: UnitScale
    value: float
    low: float
    high: float
    step: float
    say: Callable[[float], str] | None = None

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
        return f"{self.label}, {self.unit}" if self.say is None else f"{self.label}: {self.say(self.si(value))}"


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
    return [
        mass_dial(f"person:{who.key}", f"{who.name} ({seat_word(who, vehicle)})", who.mass_kg, 160.0, units)
        for who in loadout.people
    ]


def seat_word(who: Occupant, vehicle: Vehicle) -> str:
    """The seat, in lower case, as it reads in a label."""
    return who.seat[0].lower() + who.seat[1:]


def liquid_dials(loadout: Loadout, vehicle: Vehicle, units: Units) -> list[Dial]:
    """The vehicle's own tank, then each can."""
    tank = volume_dial("tank", "Fuel in the tank", loadout.fuel_l, vehicle.tank.capacity_l, units)
    cans = [
        volume_dial(f"fill:{f.liquid.key}", f.liquid.name, f.fill_l, f.liquid.capacity_l, units)
        for f in loadout.liquids
    ]
    return [tank, *cans]


def zone_dials(loadout: Loadout, zone_name: str, units: Units) -> list[Dial]:
    """How far aft, left, and up the load of one zone acts."""
    place = loadout.zone(zone_name).place
    return [
        length_dial("zone:aft", "Aft of front axle", place.aft_m, REACH_M, units),
        replace(
            length_dial("zone:left", "Left or right of center", place.left_m, REACH_M, units),
            say=units.sideways,
        ),
        length_dial("zone:up", "Above the ground", place.up_m, REACH_M, units, low_m=0.0),
    ]


def turned(loadout: Loadout, dial: Dial, value: float, zone_name: str = "") -> Loadout:
    """Return the loadout as it would be with one dial at `value` (the reader's unit)."""
    kind, _, key = dial.key.partition(":")
    si = dial.si(value)
    if kind == "tank":
        return replace(loadout, fuel_l=si)
    if kind == "person":
        return replace(
            loadout, people=tuple(replace(p, mass_kg=si) if p.key == key else p for p in loadout.people)
        )
    if kind == "fill":
        return replace(loadout, liquids=tuple(_filled(f, key, si) for f in loadout.liquids))
    return replace(
        loadout,
        zones=tuple(
            replace(z, place=_nudged(z.place, key, si)) if z.name == zone_name else z for z in loadout.zones
        ),
    )


def _filled(filled: Filled, key: str, liters: float) -> Filled:
    if filled.liquid.key != key:
        return filled
    return replace(filled, fill_l=min(liters, filled.liquid.capacity_l))


def _nudged(place: Place, axis: str, meters: float) -> Place:
    return Place(**{**{a: getattr(place, a) for a in ("aft_m", "left_m", "up_m")}, f"{axis}_m": meters})


def slider(dial: Dial, moved: Callable[[Dial, float], None]) -> widgets.FloatSlider:
    """Make the widget of one dial; `moved` hears every step, also while it is dragged."""
    made = widgets.FloatSlider(
        value=dial.value,
        min=dial.low,
        max=dial.high,
        step=dial.step,
        description=dial.called(dial.value),
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
