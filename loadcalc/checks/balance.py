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
    masses_kg : the masses [kg], or all in any other one unit
    arms_m : the arm of each, from one origin [m], or all in any other one unit

    Returns
    -------
    float: where the center is, in the unit of the arms [m]

    Raises
    ------
    BadValue: not one arm for each mass, or a total mass of zero or less

    Notes
    -----
    Formula: center = Σ (mass · arm) / Σ mass
    Source: FAA-H-8083-25, chapter 9
    Status: published, in a reproduction

    Examples
    --------
    FAA-H-8083-25, Fig. 9-5, in pounds and inches: the loads and the center were read, the arms are from memory.

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
    moved_kg : the part that is moved [kg]
    distance_m : how far it is moved, below zero the other way [m]
    total_kg : all of the mass, the moved part too [kg]

    Returns
    -------
    float: how far the center goes, the same way [m]

    Raises
    ------
    BadValue: a total mass of zero or less

    Notes
    -----
    Formula: shift = moved / total · distance
    Source: FAA-H-8083-25, chapter 9, weight shifting
    Status: published, in a reproduction

    Examples
    --------
    A flight-training page, 100 lb moved by 50 in (tests/reference/shifts.csv).

    >>> round(shift_of_center_m(moved_kg=100, distance_m=50, total_kg=2450), 2)
    2.04
    """
    check.number("total mass", total_kg, 1e-9, 1e6, "kg")
    return moved_kg / total_kg * distance_m


def axle_loads(mass_kg: float, *, aft_m: float, wheelbase_m: float) -> tuple[float, float]:
    """Front and rear axle load of one mass on level ground: a beam on two supports.

    A mass behind the rear axle loads it with more than itself and lightens the front.

    Parameters
    ----------
    mass_kg : the mass [kg]
    aft_m : how far behind the front axle line it is [m]
    wheelbase_m : L [m]

    Returns
    -------
    tuple: (front, rear) [kg]; below zero: that axle gets lighter

    Raises
    ------
    BadValue: a wheelbase outside 0.1 to 30 m

    Notes
    -----
    Formula: rear = m · aft / L; front = m − rear
    Source: elementary statics; Jazar, Vehicle Dynamics, exercise 2.1
    Status: computed

    Examples
    --------
    Jazar, exercise 2.1, in newtons: the inputs were read, the answer is arithmetic (tests/reference/axle_loads.csv).

    >>> front, rear = axle_loads(1765, aft_m=1.22, wheelbase_m=2.84)
    >>> round(front * 9.81, 1), round(rear * 9.81, 1)
    (9876.7, 7438.0)
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
    """What one kilogram at a place adds to each wheel on level ground.

    The axle sums and the moment about the center line are fixed by statics. How the sideways moment splits between the
    axles is not: the front roll share decides it, as on a stiff body over springs.

    Parameters
    ----------
    aft_m : how far behind the front axle line it is [m]
    left_m : how far left of the center line it is [m]
    wheelbase_m : L [m]
    front_track_m : between the front wheels [m]
    rear_track_m : between the rear wheels [m]
    front_roll_share : φ, the front axle's part of the roll stiffness, 0 to 1 [-]

    Returns
    -------
    Wheels: kilograms for each kilogram [-]; the four add up to 1

    Raises
    ------
    BadValue: a wheelbase outside 0.1 to 30 m

    Notes
    -----
    Formula: front = (1 − aft / L) / 2 ± φ · left / front track; rear = aft / L / 2 ± (1 − φ) · left / rear track
    Source: elementary statics: a rigid plate on four springs
    Status: computed

    Examples
    --------
    By hand: 1 kg midway between axles 3 m apart and 0.3 m left, 0.25 ± 0.5 · 0.3 / 1.5.

    >>> tracks = {"front_track_m": 1.5, "rear_track_m": 1.5}
    >>> shares = wheel_shares(aft_m=1.5, left_m=0.3, wheelbase_m=3.0, front_roll_share=0.5, **tracks)
    >>> [round(share, 2) for share in shares]
    [0.35, 0.15, 0.35, 0.15]
    """
    front, rear = axle_loads(1.0, aft_m=aft_m, wheelbase_m=wheelbase_m)
    front_tilt = front_roll_share * left_m / front_track_m
    rear_tilt = (1.0 - front_roll_share) * left_m / rear_track_m
    return Wheels(front / 2 + front_tilt, front / 2 - front_tilt, rear / 2 + rear_tilt, rear / 2 - rear_tilt)


def placard_room_kg(*, placard_kg: float, occupants_kg: Iterable[float]) -> float:
    """Cargo and luggage that the tire placard leaves once people are aboard.

    Parameters
    ----------
    placard_kg : the most that occupants and cargo may weigh, as the placard says [kg], or in pounds
    occupants_kg : the mass of each person [kg], in the placard's unit

    Returns
    -------
    float: what is left for cargo [kg], in the placard's unit; below zero: over by that much

    Notes
    -----
    Formula: room = placard − Σ occupants
    Range: any; the trailer's tongue weight comes off the room as well (step 6)
    Source: 49 CFR 575.6(a)(5), steps 1 to 4
    Status: published, in reproductions

    Examples
    --------
    The regulation's own example, in pounds: 1,400 − 5 × 150.

    >>> placard_room_kg(placard_kg=1400, occupants_kg=[150] * 5)
    650.0
    """
    return placard_kg - fsum(occupants_kg)
