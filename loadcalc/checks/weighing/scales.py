"""What ± means here, how far a scale's readings may be wrong, and how doubts add up.

**± a means the same wherever a person writes or reads one for a mass, a length, or a fill**: the value lies anywhere
from a below to a above, all of it as likely, nothing outside. Nobody says more by writing it. Its standard uncertainty
is a / √3 (GUM 4.3.7). Computing is done in standard uncertainties, one standard deviation each, as the Guide to the
Expression of Uncertainty in Measurement (GUM) has them; what has to be written down again as a ± gets √3 times its
own. What comes of many doubts together is said as about 95% (k = 2) or as nine in ten, by name, and is no such ±.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from loadcalc.model import check
from loadcalc.model.facts import fact_rows

if TYPE_CHECKING:
    import numpy as np

COVERAGE = (
    2.0  # about 95 % for a sum of many small doubts: GUM 2.3.6 and G.6.6, quoted by the BIPM; published
)
EVEN_HALF_WIDTH = math.sqrt(3.0)  # ± a over its standard uncertainty: GUM 4.3.7 (from memory)
SCALE_CLASSES = ("III L", "III", "IIII")
VEHICLE_SCALE = "III L"


def rectangular_u(half_width: float) -> float:
    """Standard uncertainty of a value that lies anywhere within plus or minus a half-width.

    Parameters
    ----------
    half_width : a, zero or more [any unit]

    Returns
    -------
    float: in the same unit [any unit]

    Raises
    ------
    BadValue: below zero

    Notes
    -----
    Formula: a / √3
    Source: GUM (JCGM 100), 4.3.7
    Status: from memory

    Examples
    --------
    The guide's own example, from memory: a = 0.40.

    >>> round(rectangular_u(0.40), 2)
    0.23
    """
    return check.number("±", half_width, 0.0, 1e6, "") / EVEN_HALF_WIDTH


def quadrature(*parts: float) -> float:
    """Standard uncertainty of a sum of independent parts.

    Parameters
    ----------
    *parts : standard uncertainties, all in one unit [any unit]

    Returns
    -------
    float: in the same unit [any unit]

    Notes
    -----
    Formula: √ Σ u²
    Range: parts that know nothing of each other; what one cause puts into all of them adds up straight
    Source: GUM (JCGM 100), 5.1.2
    Status: from memory

    Examples
    --------
    The end gauge of GUM H.1, in nanometers, from memory; the guide prints 32 (tests/reference/weighing_doubt.csv).

    >>> round(quadrature(25, 9.7, 2.9, 16.6), 2)
    31.67
    """
    return math.hypot(*parts)


def tolerance_divisions(
    load_divisions: float, scale_class: str = VEHICLE_SCALE, *, newly_adjusted: bool = False
) -> float:
    """How many divisions a scale may be wrong at a load: in use (maintenance) or newly adjusted (acceptance).

    Parameters
    ----------
    load_divisions : the load over the scale's division [-]
    scale_class : "III L" for vehicle scales, "III", "IIII"
    newly_adjusted : True for half of what is allowed in use

    Returns
    -------
    float: plus or minus, in divisions [-]

    Raises
    ------
    BadValue: a class that is not one of the choices, or a load outside 0 to 1,000,000 divisions

    Notes
    -----
    Formula: the row of class and load in the table; III L: 1 more for each further 500 divisions or part
    Source: NIST Handbook 44, section 2.20, table 6, data/facts/scale_tolerance.csv
    Status: from memory; newly adjusted, class III, corroborated

    Examples
    --------
    A vehicle scale with 20 lb divisions at 6,000 lb, from memory (tests/reference/scale_tolerance.csv).

    >>> tolerance_divisions(6000 / 20)
    1.0
    """
    check.one_of("scale class", scale_class, SCALE_CLASSES)
    check.number("load in divisions", load_divisions, 0.0, 1e6, "")
    allowed = "acceptance_divisions" if newly_adjusted else "maintenance_divisions"
    rows = [row for row in fact_rows("scale_tolerance") if row["class"] == scale_class]
    for row in rows:
        if not row["to_divisions"] or load_divisions <= float(row["to_divisions"]):
            return float(row[allowed])
    beyond = math.ceil(
        (load_divisions - float(rows[-1]["to_divisions"])) / 500.0
    )  # III L: for each 500 or part
    return float(rows[-1][allowed]) + beyond * (0.5 if newly_adjusted else 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """A scale and how it was used.

    resolution_kg : its division, the step that it shows [kg]. one_scale : True when every reading was taken on
    the same scale, so that its error is in all of them alike; False when each reading had a pad of its own.
    scale_class : decides how many divisions it may be wrong.
    """

    resolution_kg: float
    one_scale: bool = True
    scale_class: str = VEHICLE_SCALE

    def __post_init__(self) -> None:
        check.number("scale division", self.resolution_kg, 0.001, 500.0, "kg")
        check.one_of("scale class", self.scale_class, SCALE_CLASSES)

    @property
    def rounding_u_kg(self) -> float:
        """Doubt of one reading from the step of the display: half a division, rectangular [kg]."""
        return rectangular_u(self.resolution_kg / 2)

    def error_u_kg(self, load_kg: float) -> float:
        """Doubt from the scale's own error at a load: its tolerance, rectangular [kg]."""
        divisions = tolerance_divisions(abs(load_kg) / self.resolution_kg, self.scale_class)
        return rectangular_u(divisions * self.resolution_kg)

    def covariance(self, readings_kg: list[float] | tuple[float, ...]) -> np.ndarray:
        """How the doubts of several readings hang together: [kg²], one row and column for each.

        Rounding is each reading's own. The scale's error is common when one scale was used: there a sum's error
        is the sum of the errors, not their root of squares (GUM 5.2.2, correlation 1).

        Parameters
        ----------
        readings_kg : what the scale showed [kg].

        Returns
        -------
        array: (n, n) [kg²].
        """
        import numpy as np

        error = np.array([self.error_u_kg(kg) for kg in readings_kg])
        shared = np.outer(error, error) if self.one_scale else np.diag(error**2)
        return shared + np.eye(len(error)) * self.rounding_u_kg**2
