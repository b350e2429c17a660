"""What a weighbridge ticket shows, and whether its own sums come out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from loadcalc.checks.weighing.scales import COVERAGE, Scale
from loadcalc.model import check
from loadcalc.model.errors import BadValue
from loadcalc.model.loadout import Loadout
from loadcalc.model.vehicle import Vehicle

READINGS = {
    "total": ("Total", "gross"),
    "front_axle": ("Front axle", "front_axle"),
    "rear_axle": ("Rear axle", "rear_axle"),
    "front_left": ("Front left wheel", "tire:front_left"),
    "front_right": ("Front right wheel", "tire:front_right"),
    "rear_left": ("Rear left wheel", "tire:rear_left"),
    "rear_right": ("Rear right wheel", "tire:rear_right"),
}  # what a ticket may show: its name, and the rating row whose load it is
SUMS = (
    ("total", ("front_axle", "rear_axle")),
    ("front_axle", ("front_left", "front_right")),
    ("rear_axle", ("rear_left", "rear_right")),
    ("total", ("front_left", "front_right", "rear_left", "rear_right")),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ticket:
    """What a scale showed.

    readings_kg : by the keys of READINGS [kg], at least one. scale : its division and how it was used.
    people_aboard : whether the people of the loadout sat in it. fuel_l : fuel in the tank [L]; None: as in the loadout.
    """

    readings_kg: Mapping[str, float]
    scale: Scale
    people_aboard: bool = True
    fuel_l: float | None = None

    def __post_init__(self) -> None:
        if not self.readings_kg:
            raise BadValue("number of readings", 0, "is too few", "enter the total, the axles, or the wheels")
        for key, kg in self.readings_kg.items():
            check.one_of("reading", key, READINGS)
            check.number(f"{READINGS[key][0].lower()} reading", kg, 1.0, 40_000.0, "kg")
        ordered = {key: float(self.readings_kg[key]) for key in READINGS if key in self.readings_kg}
        object.__setattr__(self, "readings_kg", ordered)


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """A sum on the ticket that doesn't come out. whole, parts : reading keys; gap_kg : whole minus parts [kg]."""

    whole: str
    parts: tuple[str, ...]
    gap_kg: float
    plus_minus_kg: float


def ticket_gaps(ticket: Ticket) -> tuple[Gap, ...]:
    """Sums on the ticket that don't come out, by more than its scale can be wrong.

    Parameters
    ----------
    ticket : what the scale showed.

    >>> readings = {"total": 2000, "front_axle": 1000, "rear_axle": 900}
    >>> ticket_gaps(Ticket(readings_kg=readings, scale=Scale(resolution_kg=1)))
    (Gap(whole='total', parts=('front_axle', 'rear_axle'), gap_kg=100.0, plus_minus_kg=...),)
    """
    import numpy as np

    readings, found = dict(ticket.readings_kg), []
    noise = ticket.scale.covariance(list(readings.values()))
    for whole, parts in SUMS:
        if whole in readings and all(part in readings for part in parts):
            by = np.array([1.0 if key == whole else -1.0 if key in parts else 0.0 for key in readings])
            gap_kg = readings[whole] - sum(readings[part] for part in parts)
            plus_minus_kg = COVERAGE * float(by @ noise @ by) ** 0.5
            if abs(gap_kg) > plus_minus_kg:
                found.append(Gap(whole=whole, parts=parts, gap_kg=gap_kg, plus_minus_kg=plus_minus_kg))
    return tuple(found)


def as_weighed(vehicle: Vehicle, loadout: Loadout, ticket: Ticket) -> Loadout:
    """The loadout as it stood on the scale: fuel and people as the ticket says, no trailer.

    Parameters
    ----------
    vehicle : whose tank bounds the fuel; loadout : what was aboard; ticket : what the scale showed.
    """
    if ticket.fuel_l is not None:
        check.number("fuel in the tank", ticket.fuel_l, 0.0, vehicle.tank.capacity_l, "L")
    fuel_l = loadout.fuel_l if ticket.fuel_l is None else ticket.fuel_l
    people = loadout.people if ticket.people_aboard else ()
    return replace(loadout, fuel_l=fuel_l, people=people, trailer=None)
