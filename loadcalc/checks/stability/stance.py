"""How a loaded vehicle stands: where its center of gravity is over its four contacts.

A rigid body on a hard, even plane; checks/stability/tipping.py says when it would tip. Formulas: docs/stability.md.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from loadcalc.checks.height import rack_top_m
from loadcalc.checks.ratings.rows import MEASURES
from loadcalc.model import check
from loadcalc.model.errors import BadValue
from loadcalc.model.loadout import Loadout
from loadcalc.model.space import Place
from loadcalc.model.vehicle import Vehicle

if TYPE_CHECKING:
    from loadcalc.checks.ratings.masses import Mass
    from loadcalc.checks.ratings.report import Report

STANDS = {**MEASURES, "curb_up_m": "height of the center of gravity"}  # without these nobody can say how it stands
LEAST_UP_M, MOST_UP_M = 0.05, 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Stance:
    """Mass and center of gravity of everything that stands on the four wheels, and where they stand.

    mass_kg : [kg]. aft_m, left_m, up_m : center of gravity [m]. wheelbase_m, front_track_m, rear_track_m : [m].
    front_roll_share : the front axle's part of the roll stiffness, 0 to 1 [-].
    """

    mass_kg: float
    aft_m: float
    left_m: float
    up_m: float
    wheelbase_m: float
    front_track_m: float
    rear_track_m: float
    front_roll_share: float

    def __post_init__(self) -> None:
        check.number("mass", self.mass_kg, 1e-9, 1e6, "kg")
        check.number("center of gravity, aft", self.aft_m, -20.0, 20.0, "m")
        check.number("center of gravity, left", self.left_m, -5.0, 5.0, "m")
        check.number("height of the center of gravity", self.up_m, LEAST_UP_M, MOST_UP_M, "m")
        check.number("wheelbase", self.wheelbase_m, 0.1, 30.0, "m")
        check.number("front track", self.front_track_m, 0.1, 5.0, "m")
        check.number("rear track", self.rear_track_m, 0.1, 5.0, "m")
        check.number("front share of roll stiffness", self.front_roll_share, 0.0, 1.0, "")

    @property
    def rear_share(self) -> float:
        """The rear axle's part of the weight on level ground: aft / wheelbase [-]."""
        return self.aft_m / self.wheelbase_m

    @property
    def half_track_m(self) -> float:
        """Half the track at the center of gravity's own place between the axles [m]."""
        front = self.front_track_m * (1.0 - self.rear_share)
        return (front + self.rear_track_m * self.rear_share) / 2


def stance_of(report: Report) -> Stance:
    """How the vehicle of a report stands.

    A trailer is another body on wheels of its own and is left out. Its tongue weight is in, as a mass at the ball:
    that is its weight on a level. What a trailer pushes, pulls, or twists on a slope is in none of these numbers.

    Parameters
    ----------
    report : a judged loadout.

    Returns
    -------
    Stance: mass [kg], center of gravity and measures [m].

    Raises
    ------
    BadValue when the center of gravity is lower than 0.05 m.
    """
    return _standing(report.shares.vehicle, report.mass_kg, report.cg)


def parked_stance(report: Report) -> Stance:
    """How the parked vehicle stands with those up there who sleep on the roof; everything else is as on the road.

    A sleeper is taken to lie over the middle of the roof rack, at the height of its top or of the highest place that
    things ride on it, whichever is more; without a rack, at the body's height. Who lies to one side tips it earlier.

    Parameters
    ----------
    report : a judged loadout.

    Returns
    -------
    Stance: mass [kg], center of gravity and measures [m]; the same as `stance_of` when nobody sleeps up there.

    Raises
    ------
    BadValue when the center of gravity is lower than 0.05 m.
    """
    bed = bed_on_roof(report.shares.vehicle, report.shares.loadout)
    arms = {}
    for axis in ("aft_m", "left_m", "up_m"):
        moment = sum(mass.mass_kg * (getattr(bed, axis) - getattr(mass.place, axis)) for mass in sleepers(report))
        arms[axis] = getattr(report.cg, axis) + moment / report.mass_kg
    return _standing(report.shares.vehicle, report.mass_kg, Place(**arms))


def sleepers(report: Report) -> tuple[Mass, ...]:
    """Those who sleep on the roof of the parked vehicle."""
    return tuple(mass for mass in report.shares.masses if mass.sleeps_on_roof and mass.mass_kg > 0)


def bed_on_roof(vehicle: Vehicle, loadout: Loadout) -> Place:
    """Where a sleeper on the roof is taken to lie [m]; see `parked_stance`."""
    carrier = loadout.carrier
    if carrier is None:
        middle_m = vehicle.outline.length_m / 2 - vehicle.front_overhang_m
        return Place(aft_m=middle_m, up_m=vehicle.outline.height_m)
    rides_m = (zone.place.up_m for zone in loadout.zones if zone.on_carrier)
    up_m = max(rack_top_m(carrier), *rides_m, 0.0)
    return Place(aft_m=carrier.place.aft_m, left_m=carrier.place.left_m, up_m=up_m)


def empty_stance(vehicle: Vehicle) -> Stance:
    """How the vehicle stands at its curb mass, with the fuel that was in it then: what a load is held against.

    Parameters
    ----------
    vehicle : the vehicle.

    Returns
    -------
    Stance: mass [kg], center of gravity and measures [m].
    """
    return _standing(vehicle, vehicle.curb_kg, vehicle.curb_cg)


def _standing(vehicle: Vehicle, mass_kg: float, cg: Any) -> Stance:
    lacks = vehicle.not_known(*STANDS)
    if lacks:
        named = ", ".join(STANDS[measure] for measure in lacks)
        raise BadValue("vehicle", vehicle.name, f"lacks {named}", "enter them, or what they are assumed from (page 01)")
    return Stance(
        mass_kg=mass_kg,
        aft_m=cg.aft_m,
        left_m=cg.left_m,
        up_m=cg.up_m,
        wheelbase_m=vehicle.wheelbase_m,
        front_track_m=vehicle.front_track_m,
        rear_track_m=vehicle.rear_track_m,
        front_roll_share=vehicle.front_roll_share,
    )


def static_stability_factor(*, front_track_m: float, rear_track_m: float, up_m: float) -> float:
    """Static stability factor: mean track over twice the height of the center of gravity.

    It knows neither where the center sits between the axles nor how far off the center line: `tip_angles` does.

    Parameters
    ----------
    front_track_m : between the front wheels [m]
    rear_track_m : between the rear wheels [m]
    up_m : H, height of the center of gravity [m]

    Returns
    -------
    float: factor [-]

    Raises
    ------
    BadValue: a height outside 0.05 to 5 m

    Notes
    -----
    Formula: T / (2 · H), T the mean of the two tracks
    Source: NHTSA notice of 2000 on rollover resistance, chapter V
    Status: published

    Examples
    --------
    The first of three public vehicle data sets (commonroad-vehicle-models 3.0.2; tests/reference/stability.csv).

    >>> round(static_stability_factor(front_track_m=1.389888, rear_track_m=1.423416, up_m=0.557784), 5)
    1.26093
    """
    check.number("height of the center of gravity", up_m, LEAST_UP_M, MOST_UP_M, "m")
    return (front_track_m + rear_track_m) / 2 / (2 * up_m)
