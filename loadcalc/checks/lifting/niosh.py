"""The revised NIOSH lifting equation (1991; DHHS (NIOSH) 94-110): what one person may be asked to lift, here and so.

It is for one person, two hands, standing, a steady object, good footing. It says nothing of two people, of lifting
above 1.75 m (70 in), of climbing with a load, or of a bad back. Out of its range it is refused: share it or lower it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from loadcalc.model import check
from loadcalc.model.errors import BadValue
from loadcalc.model.facts import fact_rows

POUND_KG, INCH_M = 0.45359237, 0.0254
GRIPS = ("good", "fair", "poor")
DURATIONS_H = (1, 2, 8)  # up to 1 h, up to 2 h, up to 8 h of lifting, with the rests that the manual asks for
CURE = "share it or lower it"


class OutsideEquation(BadValue):
    """A lift that the equation does not answer for. `field`, `value`, `most`, and `unit` say why."""

    def __init__(self, field: str, value: float, most: float, unit: str) -> None:
        self.most = most
        self.unit = unit
        super().__init__(field, value, f"{unit} is outside the lifting equation's 0 to {most:g} {unit}", CURE)

    def at(self, where: str) -> BadValue:
        """Return the same refusal, saying where it stands."""
        return BadValue(self.field, self.value, self.problem, self.cure, where)


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """One printed form of the equation: its constants, in SI.

    constant_kg : LC [kg]. reach_m : H at which HM is 1, reach_most_m : beyond it, none [m].
    height_m : V at which VM is 1, height_most_m : above it, none [m]; height_slope : loss of VM for each metre [1/m].
    travel_m : D up to which DM is 1, travel_most_m [m]; travel_gain_m : DM is 0.82 + gain / D [m].
    body_m : H is that and half the box; body_low_m : the same with hands below low_m [m] (from memory).
    """

    constant_kg: float
    reach_m: float
    reach_most_m: float
    height_m: float
    height_most_m: float
    height_slope: float
    travel_m: float
    travel_most_m: float
    travel_gain_m: float
    body_m: float
    body_low_m: float
    low_m: float


# Both forms stand in the manual, each rounded for itself. Read in a handbook chapter by Waters; ranges in study notes.
# By the name of the reader's units.
FORMS = {
    "SI": Form(
        constant_kg=23.0, reach_m=0.25, reach_most_m=0.63, height_m=0.75, height_most_m=1.75, height_slope=0.3,
        travel_m=0.25, travel_most_m=1.75, travel_gain_m=0.045, body_m=0.20, body_low_m=0.25, low_m=0.25,
    ),
    "US": Form(
        constant_kg=51.0 * POUND_KG, reach_m=10.0 * INCH_M, reach_most_m=25.0 * INCH_M, height_m=30.0 * INCH_M,
        height_most_m=70.0 * INCH_M, height_slope=0.0075 / INCH_M, travel_m=10.0 * INCH_M,
        travel_most_m=70.0 * INCH_M, travel_gain_m=1.8 * INCH_M, body_m=8.0 * INCH_M, body_low_m=10.0 * INCH_M,
        low_m=10.0 * INCH_M,
    ),
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift:
    """One lift at one end of it.

    reach_m : H, hands ahead of the middle between the ankles [m]; height_m : V, hands above the floor [m].
    travel_m : D, how far up or down the hands go [m]; turn_deg : A, how far the body is turned [deg].
    grip : "good" (handles), "fair", "poor" (soft, slippery, no hold). lifts_per_min : F [1/min]; hours : of it [h].
    """

    reach_m: float
    height_m: float
    travel_m: float
    turn_deg: float = 0.0
    grip: str = "fair"
    lifts_per_min: float = 0.2
    hours: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Multipliers:
    """The six parts of the equation, each 0 to 1 [-]."""

    reach: float
    height: float
    travel: float
    turn: float
    frequency: float
    grip: float

    @property
    def product(self) -> float:
        """All six multiplied [-]."""
        return self.reach * self.height * self.travel * self.turn * self.frequency * self.grip


def lift_multipliers(lift: Lift, form: str = "SI") -> Multipliers:
    """The six multipliers of a lift.

    Parameters
    ----------
    lift : one end of a lift
    form : "SI" for the form in meters and kilograms, "US" for that in inches and pounds

    Returns
    -------
    Multipliers: reach, height, travel, turn, frequency, grip, each 0 to 1 [-]

    Raises
    ------
    BadValue: outside the equation's range, with the range and the cure; never a number then

    Notes
    -----
    Formula: HM = 0.25 / H; VM = 1 − 0.3 · |V − 0.75|; DM = 0.82 + 0.045 / D; AM = 1 − 0.0032 · A; FM and CM by table;
        in inches HM = 10 / H; VM = 1 − 0.0075 · |V − 30|; DM = 0.82 + 1.8 / D
    Range: H to 0.63 m (25 in), V and D to 1.75 m (70 in), A to 135 deg; H and D below 0.25 m (10 in) count as that
    Source: DHHS (NIOSH) 94-110, read in a handbook chapter by Waters
    Status: published; FM, table 5, corroborated; CM, table 7, from memory

    Examples
    --------
    The best place to lift from, where every multiplier is 1.

    >>> lift_multipliers(Lift(reach_m=0.25, height_m=0.75, travel_m=0.25, grip="good")).product
    1.0
    """
    its = FORMS[check.one_of("form", form, FORMS)]
    reach_m = max(_within("reach", lift.reach_m, its.reach_most_m, "m"), its.reach_m)
    height_m = _within("height of the hands", lift.height_m, its.height_most_m, "m")
    travel_m = max(_within("travel of the hands", lift.travel_m, its.travel_most_m, "m"), its.travel_m)
    turn_deg = _within("turn of the body", lift.turn_deg, 135.0, "degrees")
    low = height_m < its.height_m * (1 - check.ROUNDING)
    return Multipliers(
        reach=its.reach_m / reach_m,
        height=1.0 - its.height_slope * abs(height_m - its.height_m),
        travel=min(1.0, 0.82 + its.travel_gain_m / travel_m),
        turn=1.0 - 0.0032 * turn_deg,
        frequency=frequency_multiplier(lift.lifts_per_min, lift.hours, low=low),
        grip=grip_multiplier(lift.grip, low=low),
    )


def recommended_limit_kg(lift: Lift, form: str = "SI") -> float:
    """Recommended weight limit (RWL) for one person at one end of a lift.

    Parameters
    ----------
    lift : one end of a lift
    form : "SI" for the form in meters and kilograms, "US" for that in inches and pounds

    Returns
    -------
    float: limit [kg]

    Raises
    ------
    BadValue: outside the equation's range, as `lift_multipliers` says

    Notes
    -----
    Formula: 23 kg · HM · VM · DM · AM · FM · CM; 51 lb in the form in inches and pounds
    Source: DHHS (NIOSH) 94-110, read in a handbook chapter by Waters
    Status: published; FM, table 5, corroborated; CM, table 7, from memory

    Examples
    --------
    The load constant, halved by HM twice as far away (tests/reference/lifts.csv).

    >>> recommended_limit_kg(Lift(reach_m=0.5, height_m=0.75, travel_m=0.25, grip="good"))
    11.5
    """
    product = lift_multipliers(lift, form).product  # refuses a form that is not there
    return FORMS[form].constant_kg * product


def lifting_index(mass_kg: float, limit_kg: float) -> float:
    """Load over recommended limit. Over 1: more than the equation recommends for one person.

    Parameters
    ----------
    mass_kg : what is lifted [kg]
    limit_kg : the recommended limit [kg]

    Returns
    -------
    float: index [-]

    Raises
    ------
    BadValue: a limit of zero or less, or over 100 kg

    Notes
    -----
    Formula: mass / RWL
    Source: DHHS (NIOSH) 94-110, read in a handbook chapter by Waters
    Status: published

    Examples
    --------
    The frequency page of the Canadian Centre for Occupational Health and Safety: 10 kg where 1.97 kg is recommended.

    >>> round(lifting_index(10.0, 1.97), 2)
    5.08
    """
    check.number("recommended limit", limit_kg, 1e-9, 100.0, "kg")
    return mass_kg / limit_kg


@cache
def _frequencies() -> tuple[tuple[float, dict[str, float]], ...]:
    rows = fact_rows("lift_frequency")
    keys = [f"{where}_{hours}_h" for where in ("low", "high") for hours in DURATIONS_H]
    return tuple((float(row["lifts_per_min"]), {key: float(row[key]) for key in keys}) for row in rows)


def frequency_multiplier(lifts_per_min: float, hours: int, *, low: bool) -> float:
    """FM: how often, for how long, hands below 75 cm (30 in) or not.

    Parameters
    ----------
    lifts_per_min : up to 15; between two rows of the table the more frequent one counts [1/min]
    hours : up to 1, 2, or 8 of lifting [h]
    low : True for hands below 75 cm

    Returns
    -------
    float: multiplier [-]

    Raises
    ------
    BadValue: hours that are not one of the choices, more than 15 lifts a minute, or where the table has no lift at all

    Notes
    -----
    Formula: the row of the frequency in the table
    Source: DHHS (NIOSH) 94-110, table 5, data/facts/lift_frequency.csv
    Status: corroborated

    Examples
    --------
    Two cells of that table (tests/reference/lift_frequencies.csv).

    >>> frequency_multiplier(5, 8, low=False), frequency_multiplier(0.2, 1, low=True)
    (0.35, 1.0)
    """
    if hours not in DURATIONS_H:
        raise BadValue("hours of lifting", hours, "is not a known choice", "choose up to 1, 2, or 8")
    most = _frequencies()[-1][0]
    if not 0 <= lifts_per_min <= most:
        raise OutsideEquation("lifts", lifts_per_min, most, "a minute")
    row = next(values for often, values in _frequencies() if lifts_per_min <= often + check.ROUNDING)
    found = row[f"{'low' if low else 'high'}_{hours}_h"]
    if found == 0:
        key = f"{'low' if low else 'high'}_{hours}_h"
        most = max(often for often, values in _frequencies() if values[key] > 0)
        raise OutsideEquation("lifts", lifts_per_min, most, "a minute")
    return found


def grip_multiplier(grip: str, *, low: bool) -> float:
    """CM: how well it can be held.

    Parameters
    ----------
    grip : "good" (handles), "fair", or "poor" (soft, slippery, no hold)
    low : True for hands below 75 cm (30 in)

    Returns
    -------
    float: multiplier [-]

    Raises
    ------
    BadValue: a grip that is not one of the choices

    Notes
    -----
    Formula: the row of the grip in the table
    Source: DHHS (NIOSH) 94-110, table 7, data/facts/lift_grip.csv
    Status: from memory

    Examples
    --------
    A cell of that table, from memory (tests/reference/lift_grips.csv).

    >>> grip_multiplier("fair", low=True)
    0.95
    """
    check.one_of("grip", grip, GRIPS)
    row = next(row for row in fact_rows("lift_grip") if row["grip"] == grip)
    return float(row["low" if low else "high"])


def _within(field: str, value: float, most: float, unit: str) -> float:
    """Return the value when the equation holds for it; refuse with the range and the cure when not."""
    check.number(field, value, -1e6, 1e6, unit)
    if not -check.ROUNDING <= value <= most * (1 + check.ROUNDING):
        raise OutsideEquation(field, round(value, 2), most, unit)
    return max(value, 0.0)
