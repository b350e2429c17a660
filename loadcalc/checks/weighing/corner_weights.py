"""Curb mass and where its center of gravity lies over the ground, from scales under the axles or the wheels."""

from __future__ import annotations

import math
from dataclasses import dataclass

from loadcalc.checks.weighing.scales import EVEN_HALF_WIDTH, Scale
from loadcalc.model import check
from loadcalc.model.errors import BadValue


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """What a weighing says of the vehicle: mass [kg], center aft and left [m], each with its standard uncertainty.

    left_m, left_u_m : None when only the axles were weighed.
    """

    mass_kg: float
    mass_u_kg: float
    aft_m: float
    aft_u_m: float
    left_m: float | None = None
    left_u_m: float | None = None

    @property
    def mass_plus_minus_kg(self) -> float:
        """The ± that says the same [kg]: √3 times the standard uncertainty."""
        return EVEN_HALF_WIDTH * self.mass_u_kg


def cg_from_axle_weights(*, front_kg: float, rear_kg: float, wheelbase_m: float, scale: Scale) -> Weighed:
    """Mass and fore-and-aft center from the two axle loads on level ground.

    Parameters
    ----------
    front_kg : what the scale showed [kg]
    rear_kg : what the scale showed [kg]
    wheelbase_m : L [m]
    scale : its division and how it was used

    Returns
    -------
    Weighed: mass [kg] and aft [m], each with its standard uncertainty

    Raises
    ------
    BadValue: a wheelbase outside 1 to 10 m, a reading outside 0 to 20 t, or readings that add up to nothing

    Notes
    -----
    Formula: mass = front + rear; aft = rear / mass · L; uncertainties by the readings' covariance
    Source: elementary statics; GUM 5.2.2 (from memory)
    Status: computed

    Examples
    --------
    By hand: 1000 of 2200 kg on the rear axle, 2.75 m behind the front.

    >>> weighed = cg_from_axle_weights(front_kg=1200, rear_kg=1000, wheelbase_m=2.75, scale=Scale(resolution_kg=10))
    >>> weighed.mass_kg, round(weighed.aft_m, 6)
    (2200, 1.25)
    """
    check.number("wheelbase", wheelbase_m, 1.0, 10.0, "m")
    readings = _checked(front=front_kg, rear=rear_kg)
    total = front_kg + rear_kg
    aft_m = rear_kg / total * wheelbase_m
    by_mass = [1.0, 1.0]
    by_aft = [-aft_m / total, (wheelbase_m - aft_m) / total]
    return Weighed(
        mass_kg=total,
        mass_u_kg=_u(by_mass, readings, scale),
        aft_m=aft_m,
        aft_u_m=_u(by_aft, readings, scale),
    )


def cg_from_wheel_weights(
    *,
    front_left_kg: float,
    front_right_kg: float,
    rear_left_kg: float,
    rear_right_kg: float,
    wheelbase_m: float,
    front_track_m: float,
    rear_track_m: float,
    scale: Scale,
) -> Weighed:
    """Mass, fore-and-aft, and sideways center from four wheel loads on level ground.

    Parameters
    ----------
    front_left_kg : what the scale showed [kg]
    front_right_kg : what the scale showed [kg]
    rear_left_kg : what the scale showed [kg]
    rear_right_kg : what the scale showed [kg]
    wheelbase_m : L [m]
    front_track_m : between the front wheels [m]
    rear_track_m : between the rear wheels [m]
    scale : its division and how it was used

    Returns
    -------
    Weighed: mass [kg], aft and left [m], each with its standard uncertainty

    Raises
    ------
    BadValue: a wheelbase or track outside 0.8 to 10 m, a reading outside 0 to 20 t, or readings that add up to nothing

    Notes
    -----
    Formula: aft = rear / mass · L; left = Σ over axles of (left − right) · track / 2, over the mass
    Source: elementary statics: moments about the center line; GUM 5.2.2 (from memory)
    Status: computed

    Examples
    --------
    By hand: 40 kg more on the left of each axle, 80 · 0.8 / 2000.

    >>> tracks = dict(wheelbase_m=2.8, front_track_m=1.6, rear_track_m=1.6, scale=Scale(resolution_kg=1))
    >>> corners = dict(front_left_kg=520, front_right_kg=480, rear_left_kg=520, rear_right_kg=480)
    >>> weighed = cg_from_wheel_weights(**corners, **tracks)
    >>> weighed.mass_kg, round(weighed.aft_m, 9), round(weighed.left_m, 9)
    (2000, 1.4, 0.032)
    """
    for name, value in (
        ("wheelbase", wheelbase_m),
        ("front track", front_track_m),
        ("rear track", rear_track_m),
    ):
        check.number(name, value, 0.8, 10.0, "m")
    readings = _checked(
        front_left=front_left_kg, front_right=front_right_kg, rear_left=rear_left_kg, rear_right=rear_right_kg
    )
    total = sum(readings)
    afts = (0.0, 0.0, wheelbase_m, wheelbase_m)
    lefts = (front_track_m / 2, -front_track_m / 2, rear_track_m / 2, -rear_track_m / 2)
    aft_m, left_m = (
        sum(kg * arm for kg, arm in zip(readings, arms, strict=True)) / total for arms in (afts, lefts)
    )
    return Weighed(
        mass_kg=total,
        mass_u_kg=_u([1.0] * 4, readings, scale),
        aft_m=aft_m,
        aft_u_m=_u([(arm - aft_m) / total for arm in afts], readings, scale),
        left_m=left_m,
        left_u_m=_u([(arm - left_m) / total for arm in lefts], readings, scale),
    )


def _checked(**readings_kg: float) -> list[float]:
    for name, kg in readings_kg.items():
        check.number(f"{name.replace('_', ' ')} reading", kg, 0.0, 20_000.0, "kg")
    if sum(readings_kg.values()) <= 0:
        raise BadValue("readings", 0, "kg add up to nothing", "enter what the scale showed")
    return list(readings_kg.values())


def _u(sensitivities: list[float], readings_kg: list[float], scale: Scale) -> float:
    """Standard uncertainty of a result from the readings' covariance (GUM 5.2.2)."""
    import numpy as np

    by = np.array(sensitivities)
    return math.sqrt(float(by @ scale.covariance(readings_kg) @ by))
