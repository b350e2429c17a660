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
    left_down_deg, nose_up_deg : as the head of this module defines them [deg], each within 60.

    Returns
    -------
    Gravity: aft = sin(nose up), left = sin(left down), down = sqrt(1 - aft² - left²) [-].

    Raises
    ------
    BadValue outside the range, or when both together are steeper than any plane.
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
    left_down_deg, nose_up_deg : as the head of this module defines them [deg].

    Returns
    -------
    Slope: cos(slope) = sqrt(1 - sin²(nose up) - sin²(left down)), and the direction in which it falls [deg].

    >>> slope = slope_of(left_down_deg=20, nose_up_deg=0)
    >>> round(slope.slope_deg, 6), round(slope.downhill_deg, 6)
    (20.0, 90.0)
    """
    pull = gravity_on_body(left_down_deg=left_down_deg, nose_up_deg=nose_up_deg)
    slope_deg = math.degrees(math.atan2(math.hypot(pull.aft, pull.left), pull.down))
    return Slope(slope_deg, math.degrees(math.atan2(pull.left, -pull.aft)) % 360.0)


def tip_margin_deg(stance: Stance, *, left_down_deg: float, nose_up_deg: float) -> float:
    """How much steeper this same plane could get, falling the same way, before the rigid body tips.

    Parameters
    ----------
    stance : how it stands; left_down_deg, nose_up_deg : as the head of this module defines them [deg].

    Returns
    -------
    float: limit of that direction less the slope [deg]; at or below zero: it tips. For a rigid body: springs and tires
    have used up part of it already. On the level: the limit of the worst direction.
    """
    slope = slope_of(left_down_deg=left_down_deg, nose_up_deg=nose_up_deg)
    if slope.slope_deg == 0:
        return least_tip_limit(stance)[0]
    return tip_limit_deg(stance, downhill_deg=slope.downhill_deg) - slope.slope_deg


def four_wheel_loads(stance: Stance, *, left_down_deg: float, nose_up_deg: float) -> Wheels:
    """Load of each wheel while all four touch; a load below zero says that this wheel has lifted.

    Parameters
    ----------
    stance : how it stands; left_down_deg, nose_up_deg : as the head of this module defines them [deg].

    Returns
    -------
    Wheels: [kg] square to the ground. With gravity's parts (aft, left, down), mass m, height h, wheelbase L:
    rear = m (down · a + aft · h) / L, front = m · down - rear, M = m (down · left + left part · h); then
    front / 2 ± φ M / front track and rear / 2 ± (1 - φ) M / rear track. The same as a rigid plate on four springs.
    """
    pull = gravity_on_body(left_down_deg=left_down_deg, nose_up_deg=nose_up_deg)
    pressed_kg = stance.mass_kg * pull.down
    rear = stance.mass_kg * (pull.down * stance.aft_m + pull.aft * stance.up_m) / stance.wheelbase_m
    front = pressed_kg - rear
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
    stance : how it stands; left_down_deg, nose_up_deg : as the head of this module defines them [deg].

    Returns
    -------
    Wheels: [kg] square to the ground; none below zero, at most one of them zero.

    Raises
    ------
    BadValue when the rigid body tips on this slope: nothing stands there, so nothing can be weighed.
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


def axle_loads_on_grade(stance: Stance, *, nose_up_deg: float) -> tuple[float, float]:
    """Axle loads at rest, or at a steady speed, on a straight climb or descent.

    Parameters
    ----------
    stance : how it stands; nose_up_deg : grade, a descent below zero [deg].

    Returns
    -------
    (front, rear): [kg] square to the ground. With b = L - a: front = m (b cos θ - h sin θ) / L,
    rear = m (a cos θ + h sin θ) / L. Elementary statics; T. D. Gillespie, Fundamentals of Vehicle Dynamics, chapter 1
    (from memory). Below zero: that axle has lifted. Braking loads the front further, and is not in it.
    """
    wheels = four_wheel_loads(stance, left_down_deg=0.0, nose_up_deg=nose_up_deg)
    return wheels.front_left + wheels.front_right, wheels.rear_left + wheels.rear_right


def grade_percent(angle_deg: float) -> float:
    """A slope in percent, as road signs give it.

    Parameters
    ----------
    angle_deg : from the horizontal [deg].

    Returns
    -------
    float: 100 · tan [-]; 45 deg are 100.
    """
    return 100.0 * math.tan(math.radians(angle_deg))
