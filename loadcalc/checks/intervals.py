"""When things have to be checked again: gas cylinders, fire extinguishers, straps, first aid, tires.

The intervals are rows of `data/facts/check_intervals.csv`, each with its source and status. A reminder is not a
rule: the stamp on the thing, a registered requalifier, and local law come first.
"""

from __future__ import annotations

import calendar
import datetime
from dataclasses import dataclass
from functools import cache

from loadcalc.model.errors import BadValue
from loadcalc.model.facts import fact_rows

CYLINDER = "gas cylinder"  # of which nobody has said whether it is coated
COATED, UNCOATED = "gas cylinder, coated", "gas cylinder, other"
NO_CHECKS = "none"  # somebody has said that it has none


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One interval: so many months after `after` ("made", or how it was inspected), `duty` is due."""

    kind: str
    duty: str
    after: str
    months: int
    what: str
    status: str
    source: str
    note: str

    def due_on(self, date: datetime.date) -> datetime.date:
        """The day on which it is due, counted from a date."""
        return later(date, self.months)


@cache
def rules() -> tuple[Rule, ...]:
    """Return every interval of `data/facts/check_intervals.csv`."""
    return tuple(Rule(**{**row, "months": int(row["months"])}) for row in fact_rows("check_intervals"))  # type: ignore[arg-type]  # only months is no text


def check_kinds() -> tuple[str, ...]:
    """Return the kinds of things that have intervals."""
    return tuple(dict.fromkeys(rule.kind for rule in rules()))


def methods(kind: str) -> tuple[str, ...]:
    """Return how a kind of thing can be inspected.

    Parameters
    ----------
    kind : one of `check_kinds`.
    """
    found = (rule.after for rule in rules() if rule.kind == kind and rule.after != "made")
    return tuple(dict.fromkeys(found))


def rule_after(kind: str, after: str, duty: str = "") -> Rule:
    """Return the interval that counts from a making or an inspection.

    Parameters
    ----------
    kind : one of `check_kinds`. after : "made", or how it was inspected.
    duty : which check, when several follow from one date; "" is the soonest.

    Returns
    -------
    Rule: its months, what it says, its source and status; `due_on` gives the day.

    Raises
    ------
    BadValue when there is no such interval, with those there are.

    Sources: `data/facts/check_intervals.csv`. Gas cylinders, 49 CFR 180.209(e): 12 years after manufacture only with a
    corrosion-resistant coating and gas that does not corrode; else 5 (Table 1), which is assumed where nobody knows.

    >>> made = datetime.date(2014, 5, 1)
    >>> rule_after("gas cylinder, coated", "made").due_on(made), rule_after("gas cylinder", "made").due_on(made)
    (datetime.date(2026, 5, 1), datetime.date(2019, 5, 1))
    """
    found = [rule for rule in rules() if (rule.kind, rule.after) == (kind, after) and duty in ("", rule.duty)]
    if not found:
        known = ", ".join(f"{rule.kind} after {rule.after}" for rule in rules())
        raise BadValue("check", f"{kind} after {after}", "has no interval", f"choose one of: {known}")
    return min(found, key=lambda rule: rule.months)


def later(date: datetime.date, months: int) -> datetime.date:
    """Return the same day so many months later, or that month's last day when it is shorter.

    Parameters
    ----------
    date : a day. months : how many.

    >>> later(datetime.date(2024, 2, 29), 12)
    datetime.date(2025, 2, 28)
    """
    year, month = divmod(date.year * 12 + date.month - 1 + months, 12)
    last = calendar.monthrange(year, month + 1)[1]
    return datetime.date(year, month + 1, min(date.day, last))
