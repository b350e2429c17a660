"""Moments: total, center of gravity, axle loads, wheel loads on level ground.

Plain functions on numbers, so that a textbook case can be put in as it stands. Formulas: docs/methods.md.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import fsum
from typing import NamedTuple

from loadcalc.model import check
from loadcalc.model.errors import BadValue


class Wheels(NamedTuple):
    """One value for each wheel."""

    front_left: float
    front_right: float
    rear_left: float
    rear_right: float


def moment_center(masses_kg: Iterable[float], arms_m: Iterable[float]) -> float:
    """Center of gravity along one direction, by moments.

    Parameters
    ----------
    masses_kg : masses [kg] (any one unit of mass does); arms_m : their arms from one origin [m].

    Returns
    -------
    float: sum(mass * arm) / sum(mass), in the unit of the arms [m].

    Example: 49 CFR has none; FAA-H-8083-25 chapter 9 works the same sum (tests/reference/moments.csv).
    >>> round(moment_center([2100, 340, 350, 450, 80], [78.3, 85, 121, 75, 150]), 1)
    84.8
    """
    masses, arms = tuple(masses_kg), tuple(arms_m)
    if len(masses) != len(arms):
        raise BadValue("arms", len(arms), f"do not match {len(masses)} masses", "give each mass one arm")
    total = fsum(masses)
    if total <= 0:
        raise BadValue("total mass", total, "kg has no center of gravity", "put something on the list")
    return fsum(m * a for m, a in zip(masses, arms, strict=True)) / total


def shift_of_center_m(*, moved_kg: float, distance_m: float, total_kg: float) -> float:
    """How far the center of gravity goes when part of the mass is moved.

    Parameters
    ----------
    moved_kg, total_kg : the part that is moved, and all of it [kg]; distance_m : how far it is moved [m].

    Returns
    -------
    float: moved / total * distance [m] (FAA-H-8083-25 chapter 9, weight shifting).

    >>> round(shift_of_center_m(moved_kg=100, distance_m=50, total_kg=2450), 2)
    2.04
    """
    check.number("total mass", total_kg, 1e-9, 1e6, "kg")
    return moved_kg / total_kg * distance_m


def axle_loads(mass_kg: float, *, aft_m: float, wheelbase_m: float) -> tuple[float, float]:
    """Front and rear axle load of one mass on level ground: a beam on two supports.

    rear = mass * aft / wheelbase; front = mass - rear. A mass behind the rear axle loads it with more
    than itself and lightens the front.

    Parameters
    ----------
    mass_kg : [kg]; aft_m : behind the front axle line [m]; wheelbase_m : [m].

    Returns
    -------
    (front, rear) [kg].

    >>> front, rear = axle_loads(1765, aft_m=1.22, wheelbase_m=2.84)
    >>> round(rear * 9.81, 1)
    7438.0
    """
    check.number("wheelbase", wheelbase_m, 0.1, 30.0, "m")
    rear_kg = mass_kg * aft_m / wheelbase_m
    return mass_kg - rear_kg, rear_kg


def wheel_shares(
    *,
    aft_m: float,
    left_m: float,
    wheelbase_m: float,
    front_track_m: float,
    rear_track_m: float,
    front_roll_share: float,
) -> Wheels:
    """What one kilogram at a place adds to each wheel on level ground [kg per kg].

    The axle sums and the moment about the center line are fixed by statics. How the sideways moment
    splits between the axles is not: `front_roll_share` decides it, as on a stiff body over springs.

    Parameters
    ----------
    aft_m, left_m : the place [m]; wheelbase_m, front_track_m, rear_track_m : of the vehicle [m].
    front_roll_share : the front axle's part of the roll stiffness, 0 to 1 [-].

    Returns
    -------
    Wheels: half the axle share, plus or minus the axle's part of the moment over its track [-].
    """
    front, rear = axle_loads(1.0, aft_m=aft_m, wheelbase_m=wheelbase_m)
    front_tilt = front_roll_share * left_m / front_track_m
    rear_tilt = (1.0 - front_roll_share) * left_m / rear_track_m
    return Wheels(front / 2 + front_tilt, front / 2 - front_tilt, rear / 2 + rear_tilt, rear / 2 - rear_tilt)


def placard_room_kg(*, placard_kg: float, occupants_kg: Iterable[float]) -> float:
    """Cargo and luggage that the tire placard leaves once people are aboard.

    placard - sum(occupants) (49 CFR 575.6(a)(5), steps 1 to 4). Below zero: over by that much.

    Returns
    -------
    float: [kg], or in whatever one unit all were given.

    >>> placard_room_kg(placard_kg=1400, occupants_kg=[150] * 5)
    650.0
    """
    return placard_kg - fsum(occupants_kg)
