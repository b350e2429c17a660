"""The door where text becomes SI floats, and SI floats become text again.

    >>> read_mass_kg("12 lb 4 oz")
    5.5565065325
    >>> US.mass(17.23651006), SI.mass(17.23651006)
    ('38 lb', '17.2 kg')

A bare number is in the unit of its column. Whatever could mean two things is refused, with the two ways to
write it: "1,234" (unless the caller tells what its comma is), "1.234" in a unit of which nobody writes thousandths (g,
mm, mL; pieces) when both numbers may be, "ton", an ounce in a column of volumes. Gallons, quarts and fluid ounces are
US ones unless "imp" or "imperial" stands before them.
"""

from __future__ import annotations

from fractions import Fraction

from loadcalc.model import quantities_text as typed
from loadcalc.model.check import no_number
from loadcalc.model.errors import BadValue
from loadcalc.model.quantities_write import SI, US, Units, UnitScale, plain_number, units
from loadcalc.model.unit_names import FINEST, UnknownUnit, factor

__all__ = [
    "SI", "US", "UnitScale", "Units", "read_count", "read_density_kg_per_l", "read_length_m", "read_mass_kg",
    "read_pressure_kpa", "read_sideways_m", "read_volume_l", "units",
]  # fmt: skip

HEAVIEST_KG = 40_000.0  # as heavy as any rating that a record takes
LARGEST_L = 1000.0
LONGEST_M = 20.0
HIGHEST_KPA = 2000.0
DENSEST_KG_PER_L = 25.0
MOST_PIECES = 1000
SIDES = {"left": 1.0, "right": -1.0}
PIECES = ("", "pc", "pcs", "piece", "pieces", "ea", "each")


def read_mass_kg(
    text: str | float, *, unit: str = "lb", field: str = "mass", where: str = "", low: float = 0.0,
    high: float = HEAVIEST_KG, decimal_comma: bool | None = None,
) -> float:  # fmt: skip
    """Return the mass that `text` tells [kg].

    Parameters
    ----------
    text : "38 lb", "17,2 kg", "12 lb 4 oz", "2 1/2 lb"; a number from a spreadsheet is taken as it is.
    unit : unit of a bare number, the column's.
    field : what is read, for the error message.
    where : where it stands, for the error message.
    low : the least allowed [kg].
    high : the most allowed [kg]. What a page shows of either bound is taken for it, not refused for the rounding.
    decimal_comma : what a comma is when the text does not tell: True decimal, False thousands, None refuse.

    Returns
    -------
    float: the mass [kg]

    Raises
    ------
    BadValue naming the value as typed, the limit in the unit typed, and the cure.
    """
    return _read("mass", text, unit, field, where, low, high, decimal_comma)


def read_volume_l(
    text: str | float, *, unit: str = "gal", field: str = "volume", where: str = "", low: float = 0.0,
    high: float = LARGEST_L, decimal_comma: bool | None = None,
) -> float:  # fmt: skip
    """Return the volume that `text` tells [L]; gallons are US gallons. See :func:`read_mass_kg`.

    A plain "oz" is refused: it is an ounce of mass, and close enough to a fluid ounce to go unseen.
    """
    return _read("volume", text, unit, field, where, low, high, decimal_comma)


def read_length_m(
    text: str | float, *, unit: str = "in", field: str = "length", where: str = "", low: float = 0.0,
    high: float = LONGEST_M, decimal_comma: bool | None = None,
) -> float:  # fmt: skip
    """Return the length that `text` tells [m]: "6 ft 2 in", 6'2", "2-1/2 in". See :func:`read_mass_kg`.

    A `low` under zero admits a minus sign, which holds for the whole of "-6 ft 2 in".
    """
    return _read("length", text, unit, field, where, low, high, decimal_comma)


def read_sideways_m(
    text: str | float, *, unit: str = "in", field: str = "place", where: str = "", most: float = 3.0,
    decimal_comma: bool | None = None,
) -> float:  # fmt: skip
    """Return the place left of the center line that `text` tells [m]; right of it is below zero.

    Parameters
    ----------
    text : "15 in right", "right 15", "13 in left"; without a word, to the left, and "-15" is to the right.
    unit : unit of a bare number, the column's.
    field : what is read, for the error message.
    where : where it stands, for the error message.
    most : the most allowed to either side [m].
    decimal_comma : as for :func:`read_mass_kg`.

    Returns
    -------
    float: how far left of the center line [m]

    Raises
    ------
    BadValue as :func:`read_length_m` does, and for a word and a minus sign at once.
    """
    words = _written(field, text, where).split()
    sides = [word.casefold() for word in (*words[:1], *words[-1:]) if word.casefold() in SIDES]
    if not sides:
        return _read("length", text, unit, field, where, -most, most, decimal_comma)
    if len(words) < 2 or len(sides) > 1:
        raise BadValue(field, text, "is not one place", 'write it as "15 in right"', where)
    body = " ".join(words[1:] if words[0].casefold() in SIDES else words[:-1])
    if typed.clean(body).startswith("-"):
        raise BadValue(field, text, "has a side and a minus sign", 'write it as "15 in right"', where)
    try:
        size_m = _read("length", body, unit, field, where, 0.0, most, decimal_comma)
    except BadValue as error:
        raise BadValue(field, text, error.problem, error.cure, where) from None
    return size_m * SIDES[sides[0]] + 0.0  # no minus zero


def read_pressure_kpa(
    text: str | float, *, unit: str = "psi", field: str = "pressure", where: str = "", low: float = 0.0,
    high: float = HIGHEST_KPA, decimal_comma: bool | None = None,
) -> float:  # fmt: skip
    """Return the pressure that `text` tells [kPa], as a gauge shows it. See :func:`read_mass_kg`."""
    return _read("pressure", text, unit, field, where, low, high, decimal_comma)


def read_density_kg_per_l(
    text: str | float, *, unit: str = "lb/gal", field: str = "density", where: str = "", low: float = 0.0,
    high: float = DENSEST_KG_PER_L, decimal_comma: bool | None = None,
) -> float:  # fmt: skip
    """Return the density that `text` tells [kg/L]: "8.3 lb/gal", "0.75 kg/L". See :func:`read_mass_kg`."""
    return _read("density", text, unit, field, where, low, high, decimal_comma)


def read_count(
    text: str | float, *, field: str = "count", where: str = "", low: int = 0, high: int = MOST_PIECES,
    decimal_comma: bool | None = None,
) -> int:  # fmt: skip
    """Return how many pieces `text` tells: "3", "3 pcs", "x3". See :func:`read_mass_kg`."""
    written = _written(field, text, where)
    body = typed.clean(written).casefold()
    if body[:1] == "x" or body[-1:] == "x":
        written = body.strip("x ")
    try:
        negative, found = typed.parts(written, decimal_comma=decimal_comma)
        if found[0].unsettled:
            raise typed.two_ways(found[0].unsettled)
    except typed.Unreadable as error:
        cure = error.cure if "decimal" in error.problem else "count whole pieces, such as 3"
        raise BadValue(field, text, error.problem, cure, where) from None
    number = found[0].number
    if len(found) > 1 or found[0].unit.rstrip(".").casefold() not in PIECES:
        raise BadValue(field, text, "is not a plain count", "count whole pieces, such as 3", where)
    if number.denominator != 1:
        raise BadValue(field, text, "is not a whole number", "count whole pieces", where)
    if negative and number:
        raise BadValue(field, text, "is negative", "give a number of zero or more", where)
    if not low <= number <= high:
        raise BadValue(field, text, f"is outside {low} to {high}", "check the number", where)
    return int(number)


def _written(field: str, value: str | float, where: str) -> str:
    """Return a cell as text. A float becomes its shortest decimal: 38.1 is 38.1, not 38.10000000000000142."""
    if isinstance(value, str):
        return value
    if problem := no_number(value):
        raise BadValue(field, value, problem, "give a number", where)
    return repr(value)


def _read(
    dimension: str, text: str | float, unit: str, field: str, where: str, low: float, high: float,
    decimal_comma: bool | None,
) -> float:  # fmt: skip
    written = _written(field, text, where)
    # repr() of a float has a point and no grouping, whatever the column around it does.
    settled = decimal_comma if isinstance(text, str) else False
    try:
        negative, found = typed.parts(written, decimal_comma=settled)
        value = _total(dimension, found, unit, high)
        worth = factor(dimension, found[0].unit or unit)
    except (typed.Unreadable, UnknownUnit) as error:
        raise BadValue(field, text, error.problem, error.cure, where) from None
    value = -value if negative else value
    if value < 0 <= low:
        raise BadValue(field, text, "is negative", "give a number of zero or more", where)
    if not Fraction(low) <= value <= Fraction(high):
        for end in (low, high):
            near = 2 * abs(value - Fraction(end)) < abs(Fraction(end))
            if near and _shown(dimension, value, worth) == _shown(dimension, Fraction(end), worth):
                return float(end)  # the page writes the bound itself so: a tank of 65 L as 17.2 gal
        side, bound = ("above the most", high) if value > Fraction(high) else ("below the least", low)
        limit = f"{plain_number(float(Fraction(bound) / worth), digits=4)} {found[0].unit or unit}"
        raise BadValue(field, text, f"is {side} allowed, {limit}", "check the number and its unit", where)
    return float(value)


def _shown(dimension: str, value: Fraction, worth: Fraction) -> str:
    """Return a number as pages show it, in a unit that is worth so much."""
    scales = (system.scales[dimension] for system in (US, SI))
    decimals = next((scale.most_decimals for scale in scales if scale.si_per_unit == float(worth)), 3)
    return plain_number(float(value / worth), digits=3, most_decimals=decimals)


def _total(dimension: str, found: tuple[typed.TextPart, ...], unit: str, high: float) -> Fraction:
    """Add the parts up in SI. Each part after the first comes to less than one of the unit before it."""
    worths = [factor(dimension, part.unit or unit) for part in found]
    for part, worth in zip(found, worths, strict=True):
        if part.unsettled and worth <= FINEST and part.number * 1000 * worth <= high:
            raise typed.two_ways(part.unsettled)
    for index in range(1, len(found)):
        if found[index].number * worths[index] >= worths[index - 1]:
            raise typed.Unreadable(
                "has a second part that is not less than one of the unit before it",
                'write it in one unit, or as in "6 ft 2 in" or "12 lb 4 oz"',
            )
    return sum((part.number * worth for part, worth in zip(found, worths, strict=True)), Fraction(0))
