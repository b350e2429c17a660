"""Lifting one axle with the other on a scale: the geometry, one lift at a time."""

from __future__ import annotations

import math
from dataclasses import dataclass

from loadcalc.model import check
from loadcalc.model.errors import BadValue

STEEPEST_NEEDED_DEG = 15.0  # advice of the notes: more than 15 degrees
FEWEST_LIFTS = 3  # ISO 10392:2011, 6.2.2: three or more steps are recommended
LARGEST_DEG = 45.0
LEVEL_DEG = 0.5  # a reading below this counts as level
AXLES = ("front", "rear")


@dataclass(frozen=True, slots=True, kw_only=True)
class AxleLift:
    """One reading while the other axle is raised.

    on_scale : the axle that stands on the scale, "front" or "rear". axle_kg : what the scale shows [kg].
    angle_deg : how far the vehicle is tilted from level [deg]; zero for the level reading.
    """

    on_scale: str
    axle_kg: float
    angle_deg: float

    def __post_init__(self) -> None:
        check.one_of("axle on the scale", self.on_scale, AXLES)
        check.number("axle load", self.axle_kg, 1.0, 20_000.0, "kg")
        check.number("lift angle", self.angle_deg, 0.0, LARGEST_DEG, "deg")

    @property
    def tangent(self) -> float:
        """tan(angle) [-]."""
        return math.tan(math.radians(self.angle_deg))


def lift_angle_deg(*, rise_m: float, wheelbase_m: float) -> float:
    """Tilt from how far the lifted wheel centers rose above the others, on level ground.

    Measure to the wheel centers, since tires change shape.

    Parameters
    ----------
    rise_m : of the wheel centers [m]
    wheelbase_m : L [m]

    Returns
    -------
    float: tilt [deg]

    Raises
    ------
    BadValue: a wheelbase outside 1 to 10 m, or a rise of more than 45 deg of tilt

    Notes
    -----
    Formula: sin(tilt) = rise / L
    Source: elementary geometry; the advice of ISO 10392:2011, 6.2.6
    Status: computed

    Examples
    --------
    By hand: half the wheelbase is 30 deg.

    >>> round(lift_angle_deg(rise_m=1.0, wheelbase_m=2.0), 6)
    30.0
    """
    check.number("wheelbase", wheelbase_m, 1.0, 10.0, "m")
    check.number("rise of the axle", rise_m, 0.0, wheelbase_m * math.sin(math.radians(LARGEST_DEG)), "m")
    return math.degrees(math.asin(rise_m / wheelbase_m))


def lifted_axle_kg(
    level_kg: float, *, mass_kg: float, up_m: float, radius_m: float, wheelbase_m: float, angle_deg: float
) -> float:
    """What the axle on the scale carries while the other is raised.

    Parameters
    ----------
    level_kg : that axle on the level [kg]
    mass_kg : m, the whole vehicle [kg]
    up_m : h, height of the center of gravity [m]
    radius_m : r, loaded radius of the tires [m]
    wheelbase_m : L [m]
    angle_deg : tilt, 0 to 45 [deg]

    Returns
    -------
    float: axle load [kg], in the unit of the masses

    Raises
    ------
    BadValue: a tilt outside 0 to 45 deg

    Notes
    -----
    Formula: level + m · (h − r) · tan(tilt) / L
    Source: ISO 10392:2011, 6.2, as university notes 07_04 give it: moments about the wheel centers on the scale
    Status: published

    Examples
    --------
    A case worked by those notes' formula, with weights in newtons (tests/reference/cg_height.csv): the rise alone.

    >>> round(lifted_axle_kg(0, mass_kg=19620, up_m=0.72, radius_m=0.36, wheelbase_m=2.8, angle_deg=20), 2)
    918.14
    """
    check.number("lift angle", angle_deg, 0.0, LARGEST_DEG, "deg")
    return level_kg + mass_kg * (up_m - radius_m) * math.tan(math.radians(angle_deg)) / wheelbase_m


def height_from_one_lift_m(
    *,
    gain_kg: float,
    mass_kg: float,
    radius_m: float,
    wheelbase_m: float,
    angle_deg: float,
) -> float:
    """Height of the center of gravity from a single lift, the textbook form.

    It has no check in it: `height_from_lifts` is what to use.

    Parameters
    ----------
    gain_kg : what the axle on the scale gained against level [kg]
    mass_kg : m, the whole vehicle [kg]
    radius_m : r, loaded radius of the tires [m]
    wheelbase_m : L [m]
    angle_deg : tilt, over 15, at most 45 [deg]

    Returns
    -------
    float: above the ground [m]

    Raises
    ------
    BadValue: a tilt of 15 deg or less, or over 45

    Notes
    -----
    Formula: r + gain · L / (m · tan(tilt))
    Source: ISO 10392:2011, 6.2, as university notes 07_04 give it
    Status: published

    Examples
    --------
    A case worked by those notes' formula, with weights in newtons (tests/reference/cg_height.csv).

    >>> height = height_from_one_lift_m(gain_kg=918.14, mass_kg=19620, radius_m=0.36, wheelbase_m=2.8, angle_deg=20)
    >>> round(height, 4)
    0.72
    """
    steep_enough(angle_deg)
    return radius_m + gain_kg * wheelbase_m / (mass_kg * math.tan(math.radians(angle_deg)))


def steep_enough(angle_deg: float) -> None:
    """Raise BadValue unless a lift is over 15 deg (advice of the notes) and at most 45.

    Parameters
    ----------
    angle_deg : the steepest lift [deg].
    """
    if angle_deg <= STEEPEST_NEEDED_DEG:
        problem = f"deg is too small: at least one lift must be over {STEEPEST_NEEDED_DEG:g} deg"
        cure = "lift higher, or keep the estimate; a small angle makes a small error of the scale a large one"
        raise BadValue("steepest lift", angle_deg, problem, cure)
    check.number("lift angle", angle_deg, 0.0, LARGEST_DEG, "deg")
