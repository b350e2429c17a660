"""Small checks that records use on themselves. Each returns the value or raises :class:`BadValue`."""

from __future__ import annotations

import datetime
import math
import numbers
from collections.abc import Iterable

from loadcalc.model.errors import BadValue

FIRST_DAY, LAST_DAY = datetime.date(1900, 1, 1), datetime.date(2199, 12, 31)  # years may be counted on, and back
ROUNDING = 1e-9  # a tank's brim typed in gallons may differ from the tank in the last bit of a float


def no_number(value: object) -> str:
    """Return why `value` is no number that can be worked with, "" when it is one."""
    if isinstance(value, bool) or not isinstance(value, numbers.Real):
        return "is not a number"
    try:
        return "" if math.isfinite(value) else "is not a finite number"
    except OverflowError:
        return "is far out of any range"


def number(field: str, value: float, low: float, high: float, unit: str, where: str = "") -> float:
    """Return `value` as a float when it is finite and within low..high [unit], give or take a float's last bits."""
    if problem := no_number(value):
        raise BadValue(field, value, problem, f"give a number of {unit or 'units'}", where)
    if not low - ROUNDING * abs(low) <= value <= high + ROUNDING * abs(high):
        span = f"is outside {low:g} to {high:g} {unit}".rstrip()
        raise BadValue(field, value, span, "check the number and its unit", where)
    return float(value)


def day(field: str, value: object, where: str = "") -> datetime.date:
    """Return the day that a text, year first, or a date names, when it is one that anything here can be of."""
    try:
        found = datetime.date.fromisoformat(str(value).strip())
    except ValueError:
        raise BadValue(field, value, "is not a date", "write it as 2026-05-15", where) from None
    if not FIRST_DAY <= found <= LAST_DAY:
        raise BadValue(field, value, f"is outside {FIRST_DAY} to {LAST_DAY}", "check the year", where)
    return found


def name(field: str, value: str, where: str = "") -> str:
    """Return `value` when it is text with something in it."""
    if not isinstance(value, str) or not value.strip():
        raise BadValue(field, value, "is empty", "give it a name", where)
    return value


def one_of(field: str, value: str, allowed: Iterable[str], where: str = "") -> str:
    """Return `value` when it is one of `allowed`."""
    choices = tuple(allowed)
    if value not in choices:
        raise BadValue(field, value, "is not a known choice", f"choose one of: {', '.join(choices)}", where)
    return value


def unique(field: str, values: Iterable[str], where: str = "") -> None:
    """Raise when two of `values` are the same."""
    seen: set[str] = set()
    for value in values:
        if value in seen:
            raise BadValue(field, value, "is there twice", "give each its own name", where)
        seen.add(value)
