"""When a loaded vehicle would tip: side to side, nose up and down, over any heading, and when the first wheel lifts.

All of it is for a rigid body on a hard, even plane. Springs and tires give, so a real vehicle leans further and
goes over earlier than any angle here; ruts, speed, and turning take more. Formulas: docs/stability.md.
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

from loadcalc.checks.stability.stance import Stance
from loadcalc.model import check
from loadcalc.model.errors import BadValue


class Tips(NamedTuple):
    """The angle at which a rigid body tips over each edge [deg]; at or below zero it doesn't stand on the level."""

    left_deg: float
    right_deg: float
    nose_up_deg: float
    nose_down_deg: float


class Sides(NamedTuple):
    """One value for each side."""

    left: float
    right: float


class FirstLift(NamedTuple):
    """The wheel that comes off first, and the angle of the side slope at which it does [deg]."""

    angle_deg: float
    wheel: str


def tip_tangents(
    aft_m: Any, left_m: Any, up_m: Any, *, wheelbase_m: float, front_track_m: float, rear_track_m: float
) -> tuple[Any, Any, Any, Any]:
    """Tangents of the four tip angles, by plain arithmetic, so that arrays of centers go through it as numbers do.

    Parameters
    ----------
    aft_m, left_m, up_m : center of gravity, numbers or arrays [m].
    wheelbase_m, front_track_m, rear_track_m : where the contacts are [m].

    Returns
    -------
    tuple: left, right, nose up, nose down, in the order of `Tips` [-]. Sideways (half track ∓ left) / up, with the half
    track at the center's own place between the axles; nose up (wheelbase - aft) / up; nose down aft / up.
    """
    rear = aft_m / wheelbase_m
    half_m = (front_track_m * (1.0 - rear) + rear_track_m * rear) / 2
    return (half_m - left_m) / up_m, (half_m + left_m) / up_m, (wheelbase_m - aft_m) / up_m, aft_m / up_m


def tip_angles(stance: Stance) -> Tips:
    """The slope at which the rigid body tips over its left, right, rear, and front contacts.

    "Left" is a side slope that falls away to the left: it tips over the left wheels. "Nose up" is a climb: it tips over
    the rear wheels. Rigid, on hard even ground: an upper bound, no driving angle.

    Parameters
    ----------
    stance : mass, center of gravity, and contacts

    Returns
    -------
    Tips: left, right, nose up, nose down [deg]; at or below zero it does not stand on the level

    Notes
    -----
    Formula: side: tan = (half track ∓ left) / up; nose up: tan = (L − aft) / up; nose down: tan = aft / up; the half
        track at the center's own place: (front track · (1 − aft / L) + rear track · aft / L) / 2
    Range: a stance that `Stance` takes: center 0.05 to 5 m high
    Source: elementary statics: the plumb line of the center reaches an edge of the contacts
    Status: computed

    Examples
    --------
    By hand: half track 0.75 m over 0.75 m is 45 degrees; 1.5 m over 0.75 m is atan 2.

    >>> stance = Stance(mass_kg=2000, aft_m=1.5, left_m=0, up_m=0.75, wheelbase_m=3, front_track_m=1.5,
    ...     rear_track_m=1.5, front_roll_share=0.5)
    >>> [round(angle, 2) for angle in tip_angles(stance)]
    [45.0, 45.0, 63.43, 63.43]
    """
    found = tip_tangents(
        stance.aft_m,
        stance.left_m,
        stance.up_m,
        wheelbase_m=stance.wheelbase_m,
        front_track_m=stance.front_track_m,
        rear_track_m=stance.rear_track_m,
    )
    return Tips(*(math.degrees(math.atan(tangent)) for tangent in found))


def worst_side(tips: Tips) -> tuple[str, float]:
    """The side that it tips over first.

    Parameters
    ----------
    tips : the four angles [deg].

    Returns
    -------
    (side, angle): "left", "right", or "either" when they are the same, and the smaller angle [deg].
    """
    if math.isclose(tips.left_deg, tips.right_deg, rel_tol=1e-9, abs_tol=1e-9):
        return "either", min(tips.left_deg, tips.right_deg)
    return ("left", tips.left_deg) if tips.left_deg < tips.right_deg else ("right", tips.right_deg)


def lateral_g_at_tip(stance: Stance) -> Sides:
    """Sideways acceleration on level ground at which the rigid body tips over each side.

    A turn to the right throws it over its left wheels. Most vehicles slide first on loose ground; a rut or a rock ends
    that.

    Parameters
    ----------
    stance : mass, center of gravity, and contacts

    Returns
    -------
    Sides: left, right, in units of g [-]

    Notes
    -----
    Formula: (half track at the center ∓ left) / up: the tangent of the side's tip angle
    Range: a stance that `Stance` takes: center 0.05 to 5 m high
    Source: NHTSA notice of 2000 on rollover resistance, chapter V, for a center on the center line
    Status: published

    Examples
    --------
    A track of 1.68 m and a height of 0.7 m: the factor, 1.20 (tests/reference/stability.csv).

    >>> stance = Stance(mass_kg=2000, aft_m=1.5, left_m=0, up_m=0.7, wheelbase_m=3, front_track_m=1.68,
    ...     rear_track_m=1.68, front_roll_share=0.5)
    >>> round(lateral_g_at_tip(stance).left, 2)
    1.2
    """
    tips = tip_angles(stance)
    return Sides(math.tan(math.radians(tips.left_deg)), math.tan(math.radians(tips.right_deg)))


def first_lifts(stance: Stance) -> tuple[FirstLift, FirstLift]:
    """When the first wheel comes off the ground on a pure side slope, falling to the left and to the right.

    It comes before the tip: until both uphill wheels are off, the axle that lost its wheel can take no more of the
    sideways moment. How the moment splits between the axles is the roll share, an input.

    Parameters
    ----------
    stance : mass, center of gravity, contacts, and roll share

    Returns
    -------
    tuple: FirstLift on a slope falling left, and falling right: angle [deg] and the uphill wheel

    Notes
    -----
    Formula: tan = (track · axle's share of the weight / (2 · its roll share) ∓ left) / up, the smaller of the axles
    Range: a stance that `Stance` takes; with a roll share of 0 or 1 one axle has no moment, and the other lifts first
    Source: elementary statics: moments about each axle's downhill wheel
    Status: computed

    Examples
    --------
    By hand: tan = 1.5 / 3 / (2 · 0.5) / 0.7, the front wheel on the uphill side (tests/reference/stability.csv).

    >>> stance = Stance(mass_kg=1000, aft_m=2, left_m=0, up_m=0.7, wheelbase_m=3, front_track_m=1.5,
    ...     rear_track_m=1.5, front_roll_share=0.5)
    >>> lift = first_lifts(stance)[0]
    >>> round(lift.angle_deg, 3), lift.wheel
    (35.538, 'front right')
    """
    return _first_lift(stance, 1.0), _first_lift(stance, -1.0)


def _first_lift(stance: Stance, falls_left: float) -> FirstLift:
    up_side = "right" if falls_left > 0 else "left"
    axles = (
        ("front", stance.front_track_m, 1.0 - stance.rear_share, stance.front_roll_share),
        ("rear", stance.rear_track_m, stance.rear_share, 1.0 - stance.front_roll_share),
    )
    lifts = [
        FirstLift(
            _degrees((track_m * load / (2 * roll) - falls_left * stance.left_m) / stance.up_m),
            f"{axle} {up_side}",
        )
        for axle, track_m, load, roll in axles
        if roll > 0
    ]
    return min(lifts)


def _degrees(tangent: float) -> float:
    return math.degrees(math.atan(tangent))


def give_taken_off_deg(angle_deg: float, *, give_share: float) -> float:
    """A rigid angle with a stated share of its tangent taken off for the give of springs and tires.

    A tall, soft, loaded vehicle on trail pressure gives more. What is left is no angle to drive at either.

    Parameters
    ----------
    angle_deg : a rigid tip angle; at or below zero it stays as it is [deg]
    give_share : the share of the tangent to take off, 0 to 0.9 [-]; no default: whoever asks must say how much

    Returns
    -------
    float: what is left [deg]

    Raises
    ------
    BadValue: a share outside 0 to 0.9

    Notes
    -----
    Formula: atan((1 − share) · tan angle)
    Source: no source; tilt tables are said to lift light vehicles at 0.85 to 0.95 of the rigid ratio (from memory)
    Status: common practice

    Examples
    --------
    By hand: atan 0.85.

    >>> round(give_taken_off_deg(45.0, give_share=0.15), 2)
    40.36
    """
    check.number("share taken off for give", give_share, 0.0, 0.9, "")
    if angle_deg <= 0:
        return angle_deg
    return _degrees((1.0 - give_share) * math.tan(math.radians(angle_deg)))


def tip_limit_deg(stance: Stance, *, downhill_deg: float) -> float:
    """The steepest plane on which the rigid body stands, when the ground falls away in one direction.

    Parameters
    ----------
    stance : mass, center of gravity, and contacts
    downhill_deg : where the plane falls, from the driver's view: 0 ahead, 90 left, 180 behind, 270 right [deg]

    Returns
    -------
    float: slope of that plane [deg]; 0 when it does not stand on the level

    Raises
    ------
    BadValue: a direction that is no finite number

    Notes
    -----
    Formula: tan = least over the contacts' edges of distance to the edge / (up · cosine of downhill to its normal)
    Source: elementary statics: the plumb line of the center leaves the polygon of the four contacts
    Status: computed

    Examples
    --------
    By hand: half way between left and behind, 0.75 / (0.75 · sin 45), so atan √2 (tests/reference/stability.csv).

    >>> stance = Stance(mass_kg=2000, aft_m=1.5, left_m=0, up_m=0.75, wheelbase_m=3, front_track_m=1.5,
    ...     rear_track_m=1.5, front_roll_share=0.5)
    >>> round(tip_limit_deg(stance, downhill_deg=135), 3)
    54.736
    """
    if not math.isfinite(downhill_deg):
        raise BadValue(
            "direction of the slope", downhill_deg, "is not a finite number", "give degrees, 0 to 360"
        )
    turn = math.radians(downhill_deg)
    fall_aft, fall_left = -math.cos(turn), math.sin(turn)
    limit = math.inf
    for aft, left, distance_m in _edges(stance):
        if distance_m <= 0:
            return 0.0
        toward = fall_aft * aft + fall_left * left
        if toward > 1e-12:
            limit = min(limit, distance_m / (stance.up_m * toward))
    return _degrees(limit)


def least_tip_limit(stance: Stance) -> tuple[float, float]:
    """The direction of slope on which it tips first, of all directions, and the limit there.

    Parameters
    ----------
    stance : mass, center of gravity, and contacts

    Returns
    -------
    tuple: (limit, downhill), both [deg]; downhill as in `tip_limit_deg`

    Notes
    -----
    Formula: tan = distance from the center to the nearest edge of the four contacts / up, falling square to that edge
    Range: a stance that `Stance` takes: center 0.05 to 5 m high
    Source: elementary statics: the plumb line of the center leaves the polygon of the four contacts
    Status: computed

    Examples
    --------
    By hand: 0.2 m left of the middle of a 1.5 m track, 0.55 m to the left edge, 0.55 m up.

    >>> stance = Stance(mass_kg=2000, aft_m=1.5, left_m=0.2, up_m=0.55, wheelbase_m=3, front_track_m=1.5,
    ...     rear_track_m=1.5, front_roll_share=0.5)
    >>> [round(angle, 6) for angle in least_tip_limit(stance)]
    [45.0, 90.0]
    """
    aft, left, distance_m = min(_edges(stance), key=lambda edge: edge[2])
    return _degrees(max(distance_m, 0.0) / stance.up_m), math.degrees(math.atan2(left, -aft)) % 360.0


def _edges(stance: Stance) -> list[tuple[float, float, float]]:
    """Outward normal (aft, left) of each edge of the four contacts, and how far inside it the center is [m]."""
    base_m = stance.wheelbase_m
    flare_m = (stance.rear_track_m - stance.front_track_m) / 2  # how much wider the rear stands, on each side
    long_m = math.hypot(base_m, flare_m)
    inside_m = stance.half_track_m
    return [
        (-1.0, 0.0, stance.aft_m),
        (1.0, 0.0, base_m - stance.aft_m),
        (-flare_m / long_m, base_m / long_m, (inside_m - stance.left_m) * base_m / long_m),
        (-flare_m / long_m, -base_m / long_m, (inside_m + stance.left_m) * base_m / long_m),
    ]
