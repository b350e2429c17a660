"""What the season page says first: what is due, and what the trips so far teach, in a few lines."""

from __future__ import annotations

import datetime
from collections.abc import Sequence

from loadcalc.checks import Report
from loadcalc.model.quantities import Units
from loadcalc.season import Season
from loadcalc.season.story.due import Due
from loadcalc.season.story.lessons import drifted, never_used, used_per_person_day
from workbook.panels.ledger.ledger_words import (
    MARKS,
    NOT_USED,
    drift_rows,
    due_words,
    never_used_rows,
    rate_rows,
)

MOST = 4  # how many names a line holds before it counts the rest
NO_TRIPS = (
    "No trip is in the ledger yet. Enter one under “Back from a trip?” and tick what was used: from the third trip on, "
    "what came along and was never used is named here."
)
NO_LESSON = "Nothing so far: no thing rode along on three trips unused, and none was weighed twice with a difference."


def due_lines(dues: Sequence[Due], today: datetime.date) -> list[str]:
    """Return how many checks are due, then the ones that ask for something, each with its day."""
    asking = [due for due in dues if due.state(today) != "in order"]
    asking.sort(key=lambda due: list(MARKS).index(due.state(today)))
    said = [_due_line(due, today) for due in asking[:MOST]]
    if len(asking) > MOST:
        said.append(f"And {len(asking) - MOST} more: see “What has to be checked, and by when?”.")
    return [due_words(dues, today), *said]


def _due_line(due: Due, today: datetime.date) -> str:
    on = f", {due.on}" if due.on else ""
    return f"{MARKS[due.state(today)]}{on}: {due.name}, {due.duty}."


def lesson_lines(season: Season, report: Report, units: Units) -> list[str]:
    """Return what was never used, what got heavier or lighter, and what the crew uses a day; or what is missing."""
    unused = never_used_rows(never_used(season, report), report, units)
    drifts = drift_rows(drifted(season), units)
    rates = rate_rows(used_per_person_day(season), units)
    lessons = (
        ("On three trips or more, never used", [f"{name} ({mass})" for name, _, mass, _ in unused]),
        ("Heavier or lighter than before", [f"{name} ({change})" for name, _, _, change in drifts]),
        ("Used per person and day", [f"{what} {mean}" for what, mean, _, _ in rates]),
    )
    said = [f"{title}: {_few(names)}." for title, names in lessons if names]
    if unused:
        said.insert(1, NOT_USED)
    if not season.trips:
        return [NO_TRIPS, *said]
    return said or [NO_LESSON]


def _few(names: Sequence[str]) -> str:
    more = f"; and {len(names) - MOST} more" if len(names) > MOST else ""
    return "; ".join(names[:MOST]) + more
