"""Height of the center of gravity from lifting one axle: the axle-lift method.

One axle stands on a scale while the other is raised. The center of gravity leans toward the scale, so its load grows
in proportion to tan(angle); the slope gives the height above the axles. Several lifts, a straight line, its
doubt, and what is left over show whether the lifting was good. The idea is that of ISO 10392:2011, 6.2
(published extract); the formula is from university notes 07_04 that cite it (published).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from loadcalc.checks.weighing.axle_lift import AXLES, FEWEST_LIFTS, LEVEL_DEG, AxleLift, steep_enough
from loadcalc.checks.weighing.scales import quadrature
from loadcalc.model import check
from loadcalc.model.errors import BadValue

if TYPE_CHECKING:
    import numpy as np


@dataclass(frozen=True, slots=True, kw_only=True)
class LiftDoubts:
    """Standard uncertainties of what goes into the fit.

    reading_kg : of one scale reading [kg]; angle_deg : of one angle [deg]; mass_kg : of the vehicle's mass [kg];
    radius_m, wheelbase_m : [m]. The defaults are guesses of a careful weighing: 10 kg division, a digital level,
    a tape. (common practice, no source)
    """

    reading_kg: float = 3.0
    angle_deg: float = 0.1
    mass_kg: float = 10.0
    radius_m: float = 0.005
    wheelbase_m: float = 0.003

    def __post_init__(self) -> None:
        for field, most, unit in (
            ("reading_kg", 200.0, "kg"), ("angle_deg", 5.0, "deg"), ("mass_kg", 500.0, "kg"),
            ("radius_m", 0.1, "m"), ("wheelbase_m", 0.1, "m"),
        ):  # fmt: skip
            check.number(f"± of {field.rpartition('_')[0]}", getattr(self, field), 0.0, most, unit)


@dataclass(frozen=True, slots=True, kw_only=True)
class HeightFit:
    """The height of the center of gravity, as several lifts give it.

    up_m : above the ground [m]; u_m : its standard uncertainty; plus_minus_m : half-width that holds about 95 % [m].
    slope_kg : gain of the axle on the scale for tan(angle) = 1 [kg]; level_kg : the fitted level load by axle [kg].
    residuals_kg : reading minus line, in the order given [kg]; scatter_kg : their standard deviation [kg];
    expected_kg : the scatter that scale and angles alone would give [kg]. lifts : as given.
    """

    up_m: float
    u_m: float
    plus_minus_m: float
    slope_kg: float
    level_kg: dict[str, float]
    residuals_kg: tuple[float, ...]
    scatter_kg: float
    expected_kg: float
    lifts: tuple[AxleLift, ...]

    @property
    def rough(self) -> bool:
        """Whether the readings scatter more than scale and angles explain: something moved or was misread."""
        return self.scatter_kg > 2.0 * self.expected_kg


def height_from_lifts(
    lifts: Sequence[AxleLift],
    *,
    mass_kg: float,
    wheelbase_m: float,
    radius_m: float,
    doubts: LiftDoubts | None = None,
) -> HeightFit:
    """Height of the center of gravity from several lifts: axle load against tan(tilt), fitted by a line.

    One line for each axle with a common slope. Suspension blocked, brakes off, load held, tank full or empty (ISO
    10392:1992, extract). Axle lift is good to a few percent at best (ISO 10392:2011, scope): the half-width here does
    not hold the suspension's give.

    Parameters
    ----------
    lifts : readings of either axle, up and down; at least three of them raised, the steepest over 15 deg
    mass_kg : m, the whole vehicle as lifted [kg]
    wheelbase_m : L [m]
    radius_m : r, loaded radius of the tires, mean of the axles [m]
    doubts : standard uncertainties of what goes in, None for the defaults

    Returns
    -------
    HeightFit: height and its half-width [m], slope, residuals, and scatter [kg]

    Raises
    ------
    BadValue: too few lifts, none on the level, too small angles, a measure out of range, or a height below the axles

    Notes
    -----
    Formula: height = r + slope · L / m; the slope's uncertainty is the larger of what scale and angles explain and what
        the readings show, added in squares to those of r, L, and m; half-width by Student's t
    Source: ISO 10392:2011, 6.2 (extract), and university notes 07_04 that give it; GUM 5.1.2, G.4
    Status: published, in extracts; GUM from memory

    Examples
    --------
    By hand: a line of 1000 kg for tan(tilt) = 1, so 0.36 + 1000 · 2.8 / 2000.

    >>> line = [(a, 1000 + 1000 * math.tan(math.radians(a))) for a in (0, 8, 12, 16)]
    >>> line = [AxleLift(on_scale="front", axle_kg=kg, angle_deg=a) for a, kg in line]
    >>> round(height_from_lifts(line, mass_kg=2000, wheelbase_m=2.8, radius_m=0.36).up_m, 9)
    1.76
    """
    import numpy as np

    given, doubts = tuple(lifts), doubts or LiftDoubts()
    check.number("mass as lifted", mass_kg, 200.0, 20_000.0, "kg")
    check.number("wheelbase", wheelbase_m, 1.0, 10.0, "m")
    check.number("loaded tire radius", radius_m, 0.15, 0.8, "m")
    _refuse_thin(given)
    tangents = np.array([lift.tangent for lift in given])
    loads = np.array([lift.axle_kg for lift in given])
    axles = [axle for axle in AXLES if any(lift.on_scale == axle for lift in given)]
    design = np.column_stack(
        [tangents, *([float(lift.on_scale == axle) for lift in given] for axle in axles)]
    )
    weights = np.ones(len(given))
    for _ in range(3):  # an angle's doubt weighs by the slope, which is not known before the first fit
        found, covariance = _weighted(design, loads, weights)
        spread = _spread(tangents, float(found[0]), doubts)
        weights = 1.0 / np.maximum(spread, 1e-9)
    residuals = loads - design @ found
    freedom = len(given) - design.shape[1]
    excess = math.sqrt(float(np.sum((residuals * weights) ** 2)) / freedom)
    known_u, shown_u = math.sqrt(covariance[0, 0]), excess * math.sqrt(covariance[0, 0])
    slope_kg = float(found[0])
    up_m = radius_m + slope_kg * wheelbase_m / mass_kg
    if up_m <= radius_m:
        cure = "check which axle stood on the scale and which was raised"
        raise BadValue("height of the center of gravity", round(up_m, 3), "m comes out below the axles", cure)
    lever = wheelbase_m / mass_kg
    rest = (
        doubts.radius_m,
        slope_kg / mass_kg * doubts.wheelbase_m,
        slope_kg * lever / mass_kg * doubts.mass_kg,
    )
    u_m = quadrature(max(known_u, shown_u) * lever, *rest)
    share = shown_u * lever / u_m if shown_u > known_u and u_m else 0.0
    return HeightFit(
        up_m=up_m,
        u_m=u_m,
        plus_minus_m=coverage_factor(freedom / share**4 if share else math.inf) * u_m,
        slope_kg=slope_kg,
        level_kg={axle: float(kg) for axle, kg in zip(axles, found[1:], strict=True)},
        residuals_kg=tuple(residuals.tolist()),
        scatter_kg=math.sqrt(float(np.sum(residuals**2)) / freedom),
        expected_kg=float(np.sqrt(np.mean(spread**2))),
        lifts=given,
    )


def _refuse_thin(lifts: tuple[AxleLift, ...]) -> None:
    raised = [lift for lift in lifts if lift.angle_deg > LEVEL_DEG]
    if len(raised) < FEWEST_LIFTS:
        problem = f"are too few: at least {FEWEST_LIFTS} are needed, and one on the level"
        raise BadValue("raised readings", len(raised), problem, "lift in steps, up and down again")
    steep_enough(max(lift.angle_deg for lift in raised))
    for axle in {lift.on_scale for lift in lifts}:
        angles = [lift.angle_deg for lift in lifts if lift.on_scale == axle]
        if min(angles) > LEVEL_DEG:
            raise BadValue(
                "lifts", axle, "axle has no reading on the level", "weigh that axle on the level too"
            )


def _weighted(design: np.ndarray, loads: np.ndarray, weights: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Least squares with each row times its weight: the coefficients and their covariance."""
    import numpy as np

    rows = design * weights[:, None]
    inverse = np.linalg.inv(rows.T @ rows)
    return inverse @ rows.T @ (loads * weights), inverse


def _spread(tangents: np.ndarray, slope_kg: float, doubts: LiftDoubts) -> np.ndarray:
    """Doubt of each reading about the line [kg]: the scale's own, and the angle's times the slope."""
    import numpy as np

    by_angle = slope_kg * (1.0 + tangents**2) * math.radians(doubts.angle_deg)
    return np.hypot(doubts.reading_kg, by_angle)


def coverage_factor(freedom: float) -> float:
    """How many standard uncertainties make a half-width that holds 95.45%.

    Parameters
    ----------
    freedom : effective degrees of freedom, 1 or more; infinite for uncertainties that are known [-]

    Returns
    -------
    float: 2.00 for many, more for few [-]

    Notes
    -----
    Formula: Student's t at 97.725%
    Range: less than 1 counts as 1
    Source: GUM (JCGM 100), G.4; SciPy's t
    Status: computed

    Examples
    --------
    NIST TN 1297 (1994), Table B.1, column 95.45% (tests/reference/weighing_doubt.csv).

    >>> round(coverage_factor(math.inf), 2), round(coverage_factor(10), 2), round(coverage_factor(4), 2)
    (2.0, 2.28, 2.87)
    """
    from scipy import stats

    return float(stats.norm.ppf(0.97725) if math.isinf(freedom) else stats.t.ppf(0.97725, max(freedom, 1.0)))
