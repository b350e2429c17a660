"""What the wheels and axles carry on a slope: a rigid body at rest on four springs, on a hard, even plane.

Two angles tell how the body lies, each as an inclinometer shows it that is held along one of its axes:

    left_down_deg  across the body: angle between its left-right axis and the horizontal; right side down: below zero
    nose_up_deg    along the body: angle between its fore-aft axis and the horizontal; nose down: below zero

Gravity then has the parts sin(left_down) to the left, sin(nose_up) aft, and the rest of one square to the ground.
Loads are kilograms pressed square to the ground, so all four together are less than the mass.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from loadcalc.checks.balance import Wheels
from loadcalc.checks.stability.stance import Stance
from loadcalc.checks.stability.tipping import least_tip_limit, tip_limit_deg
from loadcalc.model import check
from loadcalc.model.errors import BadValue

STEEPEST_DEG = 60.0


class Slope(NamedTuple):
    """A plane as the vehicle stands on it: how steep [deg], and where it falls from the driver's view [deg].

    downhill_deg : 0 ahead (nose down), 90 to the left, 180 behind (nose up), 270 to the right.
    """

    slope_deg: float
    downhill_deg: float


class Gravity(NamedTuple):
    """Where one unit of weight pulls, along the body's own directions [-]."""

    aft: float
    left: float
    down: float


def gravity_on_body(*, left_down_deg: float, nose_up_deg: float) -> Gravity:
    """The direction of gravity in the body, from two inclinometers.

    Parameters
    ----------
    left_down_deg : across the body: its left side below its right; right side down: below zero [deg]
    nose_up_deg : along the body: its nose above its tail; nose down: below zero [deg]

    Returns
    -------
    Gravity: one unit of weight as its parts aft, left, and square to the ground [-]

    Raises
    ------
    BadValue: either angle outside −60 to 60 deg, or both together steeper than any plane

    Notes
    -----
    Formula: aft = sin(nose up); left = sin(left down); down = √(1 − aft² − left²)
    Source: elementary geometry
    Status: computed

    Examples
    --------
    By hand on a grade of 3-4-5: sin 0.6, cos 0.8.

    >>> [round(part, 6) for part in gravity_on_body(left_down_deg=0, nose_up_deg=36.86989764584402)]
    [0.6, 0.0, 0.8]
    """
    check.number("side slope", left_down_deg, -STEEPEST_DEG, STEEPEST_DEG, "deg")
    check.number("grade", nose_up_deg, -STEEPEST_DEG, STEEPEST_DEG, "deg")
    aft, left = math.sin(math.radians(nose_up_deg)), math.sin(math.radians(left_down_deg))
    rest = 1.0 - aft * aft - left * left
    if rest <= 0:
        problem = f"deg of side slope with {nose_up_deg:g} deg of grade is no plane a body can lie on"
        raise BadValue("side slope", left_down_deg, problem, "read both inclinometers again")
    return Gravity(aft, left, math.sqrt(rest))


def slope_of(*, left_down_deg: float, nose_up_deg: float) -> Slope:
    """The plane that two inclinometers tell of.

    Parameters
    ----------
    left_down_deg : across the body: its left side below its right; right side down: below zero [deg]
    nose_up_deg : along the body: its nose above its tail; nose down: below zero [deg]

    Returns
    -------
    Slope: how steep, and where it falls from the driver's view: 0 ahead, 90 left, 180 behind, 270 right [deg]

    Raises
    ------
    BadValue: either angle outside −60 to 60 deg, or both together steeper than any plane

    Notes
    -----
    Formula: cos(slope) = √(1 − sin²(nose up) − sin²(left down))
    Source: elementary geometry
    Status: computed

    Examples
    --------
    By hand: left side down alone is a slope of that angle that falls to the left.

    >>> slope = slope_of(left_down_deg=20, nose_up_deg=0)
    >>> round(slope.slope_deg, 6), round(slope.downhill_deg, 6)
    (20.0, 90.0)
    """
    pull = gravity_on_body(left_down_deg=left_down_deg, nose_up_deg=nose_up_deg)
    slope_deg = math.degrees(math.atan2(math.hypot(pull.aft, pull.left), pull.down))
    return Slope(slope_deg, math.degrees(math.atan2(pull.left, -pull.aft)) % 360.0)


def tip_margin_deg(stance: Stance, *, left_down_deg: float, nose_up_deg: float) -> float:
    """How much steeper this same plane could get, falling the same way, before the rigid body tips.

    For a rigid body: springs and tires have used up part of it already. On the level: the limit of the worst direction.

    Parameters
    ----------
    stance : mass, center of gravity, and contacts
    left_down_deg : across the body: its left side below its right; right side down: below zero [deg]
    nose_up_deg : along the body: its nose above its tail; nose down: below zero [deg]

    Returns
    -------
    float: what is left [deg]; at or below zero: it tips

    Raises
    ------
    BadValue: either angle outside −60 to 60 deg, or both together steeper than any plane

    Notes
    -----
    Formula: `tip_limit_deg` in the direction of the slope − the slope
    Source: elementary statics
    Status: computed

    Examples
    --------
    By hand: on the side the limit is atan(0.75 / 0.5) = 56.31.

    >>> stance = Stance(mass_kg=1000, aft_m=1.5, left_m=0, up_m=0.5, wheelbase_m=3, front_track_m=1.5,
    ...     rear_track_m=1.5, front_roll_share=0.5)
    >>> round(tip_margin_deg(stance, left_down_deg=20, nose_up_deg=0), 2)
    36.31
    """
    slope = slope_of(left_down_deg=left_down_deg, nose_up_deg=nose_up_deg)
    if slope.slope_deg == 0:
        return least_tip_limit(stance)[0]
    return tip_limit_deg(stance, downhill_deg=slope.downhill_deg) - slope.slope_deg


def four_wheel_loads(stance: Stance, *, left_down_deg: float, nose_up_deg: float) -> Wheels:
    """Load of each wheel while all four touch; a load below zero says that this wheel has lifted.

    Parameters
    ----------
    stance : mass, center of gravity, contacts, and roll share φ
    left_down_deg : across the body: its left side below its right; right side down: below zero [deg]
    nose_up_deg : along the body: its nose above its tail; nose down: below zero [deg]

    Returns
    -------
    Wheels: pressed square to the ground [kg]

    Raises
    ------
    BadValue: either angle outside −60 to 60 deg, or both together steeper than any plane

    Notes
    -----
    Formula: rear = m (down · a + aft · h) / L; front = m · down − rear; M = m (down · left of center + left · h);
        each wheel: half its axle ± its axle's roll share · M / its track
    Source: elementary statics: a rigid plate on four springs
    Status: computed

    Examples
    --------
    By hand: on the level, 1000 kg in the middle.

    >>> stance = Stance(mass_kg=1000, aft_m=1.5, left_m=0, up_m=0.5, wheelbase_m=3, front_track_m=1.5,
    ...     rear_track_m=1.5, front_roll_share=0.5)
    >>> list(four_wheel_loads(stance, left_down_deg=0, nose_up_deg=0))
    [250.0, 250.0, 250.0, 250.0]
    """
    pull = gravity_on_body(left_down_deg=left_down_deg, nose_up_deg=nose_up_deg)
    front, rear = _axles(stance.mass_kg, stance.aft_m, stance.up_m, stance.wheelbase_m, pull)
    over = stance.mass_kg * (pull.down * stance.left_m + pull.left * stance.up_m)
    front_tilt = stance.front_roll_share * over / stance.front_track_m
    rear_tilt = (1.0 - stance.front_roll_share) * over / stance.rear_track_m
    return Wheels(front / 2 + front_tilt, front / 2 - front_tilt, rear / 2 + rear_tilt, rear / 2 - rear_tilt)


def wheel_loads_on_slope(stance: Stance, *, left_down_deg: float, nose_up_deg: float) -> Wheels:
    """Load of each wheel on a combined side slope and grade, a lifted wheel at zero.

    While all four touch these are the `four_wheel_loads`. Once one has lifted, three contacts are left and statics
    alone gives their loads: what the lifted wheel would pull goes across the diagonal, which changes neither the axle
    sums nor the moment.

    Parameters
    ----------
    stance : mass, center of gravity, contacts, and roll share
    left_down_deg : across the body: its left side below its right; right side down: below zero [deg]
    nose_up_deg : along the body: its nose above its tail; nose down: below zero [deg]

    Returns
    -------
    Wheels: pressed square to the ground [kg]; none below zero, at most one of them zero

    Raises
    ------
    BadValue: what `gravity_on_body` refuses, or a slope on which the rigid body tips: nothing stands there

    Notes
    -----
    Formula: `four_wheel_loads`; with a wheel lifted, moments about the line through two of the three contacts
    Source: elementary statics
    Status: computed

    Examples
    --------
    By hand, sin 0.48 left and sin 0.6 aft: axles 220 and 420 kg, 80 kg across on each (tests/reference/stability.csv).

    >>> stance = Stance(mass_kg=1000, aft_m=1.5, left_m=0, up_m=0.5, wheelbase_m=3, front_track_m=1.5,
    ...     rear_track_m=1.5, front_roll_share=0.5)
    >>> loads = wheel_loads_on_slope(stance, left_down_deg=28.685402090110493, nose_up_deg=36.86989764584402)
    >>> [round(kg, 6) for kg in loads]
    [190.0, 30.0, 290.0, 130.0]
    """
    slope = slope_of(left_down_deg=left_down_deg, nose_up_deg=nose_up_deg)
    limit_deg = tip_limit_deg(stance, downhill_deg=slope.downhill_deg)
    if slope.slope_deg >= limit_deg:
        problem = f"deg is at or beyond the rigid tip limit in that direction, {limit_deg:.2f} deg"
        raise BadValue(
            "slope", round(slope.slope_deg, 2), problem, "choose a flatter slope, or load it lower"
        )
    loads = four_wheel_loads(stance, left_down_deg=left_down_deg, nose_up_deg=nose_up_deg)
    # Load that moves across the diagonal, without touching axle sums or moment: per unit of it, on each wheel.
    across = (
        1 / stance.front_track_m,
        -1 / stance.front_track_m,
        -1 / stance.rear_track_m,
        1 / stance.rear_track_m,
    )
    least = max(-kg / part for kg, part in zip(loads, across, strict=True) if part > 0)
    most = min(-kg / part for kg, part in zip(loads, across, strict=True) if part < 0)
    moved = min(max(0.0, least), most)  # as little as keeps every wheel from pulling at the ground
    return Wheels(*(max(kg + moved * part, 0.0) for kg, part in zip(loads, across, strict=True)))


def lifted_wheels(wheels: Wheels) -> tuple[str, ...]:
    """The wheels that carry nothing, by name.

    Parameters
    ----------
    wheels : loads as from `wheel_loads_on_slope` or `four_wheel_loads` [kg].

    Returns
    -------
    tuple: such as ("front right",); empty while all carry.
    """
    most_kg = max(wheels)
    return tuple(name.replace("_", " ") for name, kg in wheels._asdict().items() if kg <= 1e-9 * most_kg)


def axle_loads_on_grade(
    mass_kg: float, *, aft_m: float, up_m: float, wheelbase_m: float, nose_up_deg: float
) -> tuple[float, float]:
    """Axle loads at rest, or at a steady speed, on a straight climb or descent.

    Braking loads the front further, and is not in it.

    Parameters
    ----------
    mass_kg : m, everything on the wheels [kg]
    aft_m : a, center of gravity behind the front axle line [m]
    up_m : h, center of gravity above the ground [m]
    wheelbase_m : L [m]
    nose_up_deg : θ, the grade, a descent below zero [deg]

    Returns
    -------
    tuple: (front, rear), pressed square to the ground [kg]; below zero: that axle has lifted

    Raises
    ------
    BadValue: a wheelbase outside 0.1 to 30 m, or a grade outside −60 to 60 deg

    Notes
    -----
    Formula: front = m ((L − a) cos θ − h sin θ) / L; rear = m (a cos θ + h sin θ) / L
    Source: elementary statics; T. D. Gillespie, Fundamentals of Vehicle Dynamics, chapter 1 (from memory)
    Status: computed

    Examples
    --------
    By hand on a grade of 3-4-5: 1000 (1.2 − 0.36) / 3 and 1000 (1.2 + 0.36) / 3 (tests/reference/stability.csv).

    >>> axles = axle_loads_on_grade(1000, aft_m=1.5, up_m=0.6, wheelbase_m=3.0, nose_up_deg=36.86989764584402)
    >>> [round(kg, 6) for kg in axles]
    [280.0, 520.0]
    """
    check.number("wheelbase", wheelbase_m, 0.1, 30.0, "m")
    return _axles(
        mass_kg, aft_m, up_m, wheelbase_m, gravity_on_body(left_down_deg=0.0, nose_up_deg=nose_up_deg)
    )


def _axles(
    mass_kg: float, aft_m: float, up_m: float, wheelbase_m: float, pull: Gravity
) -> tuple[float, float]:
    """Front and rear axle load under gravity's parts, square to the ground [kg]."""
    rear_kg = mass_kg * (pull.down * aft_m + pull.aft * up_m) / wheelbase_m
    return mass_kg * pull.down - rear_kg, rear_kg


def grade_percent(angle_deg: float) -> float:
    """A slope in percent, as road signs give it.

    Parameters
    ----------
    angle_deg : from the horizontal [deg]

    Returns
    -------
    float: percent [-]

    Notes
    -----
    Formula: 100 · tan(angle)
    Range: less than 90 deg
    Source: elementary geometry
    Status: computed

    Examples
    --------
    By hand: rise and run alike.

    >>> round(grade_percent(45.0), 9)
    100.0
    """
    return 100.0 * math.tan(math.radians(angle_deg))
