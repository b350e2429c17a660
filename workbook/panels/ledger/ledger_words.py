"""The season's ledger in words: entries, what differs, lessons, checks due. Plain functions, no browser needed."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable, Sequence
from typing import Any

from loadcalc.checks import Report
from loadcalc.model.quantities import Units
from loadcalc.season import Change, Entry, Season
from loadcalc.season.edit.diary import Event, Trip
from loadcalc.season.file.fields import field_word, subject_word, unit_of
from loadcalc.season.story.due import Due, checks_due
from loadcalc.season.story.lessons import Drift, NeverUsed, Rate, drifted, never_used, used_per_person_day
from loadcalc.season.story.past import Owned
from loadcalc.season.story.totals import Sums, season_sums
from workbook.panels.desk.html_text import cut
from workbook.panels.ledger import days_and_miles_words as miles

MARKS = {
    "overdue": "▲ overdue",
    "due soon": "due soon",
    "in order": "in order",
    "date not known": "? date not known",
}
REMINDER = (
    "These are reminders, not permission: the stamp on the thing, its maker, a registered requalifier, and local law "
    "come first. A cylinder that is past its date must not be filled."
)
NOT_USED = (
    "A tool for rescue or repair is there in case it is needed: mark it as one that must come, "
    "and it is no longer on this list."
)


def entry_rows(
    entries: Iterable[Entry], most: int, search: str = "", kind: str = ""
) -> list[tuple[str, ...]]:
    """The newest entries that match: number, when, who, kind, note; what was taken back says so."""
    wanted = search.strip().casefold()
    found: list[tuple[str, ...]] = []
    for entry in entries:
        when = entry.at.astimezone().strftime("%Y-%m-%d %H:%M")
        text = f"{entry.who} {entry.note} {when}".casefold()
        if (kind and entry.kind != kind) or wanted not in text:
            continue
        back = f" (taken back by entry {entry.undone_by})" if entry.undone_by else ""
        found.append((str(entry.id), when, entry.who or "–", entry.kind, entry.note + back))
        if len(found) == most:
            break
    return found


def change_rows(changes: Iterable[Change], season: Season, units: Units) -> list[tuple[str, str, str, str]]:
    """What one entry changed: the thing, the field, before, after."""
    return [
        (
            f"{subject_word(change.subject)}: {thing_name(season, change)}", field_word(change.field),
            said(change.field, change.was, units), said(change.field, change.value, units),
        )
        for change in changes
    ]  # fmt: skip


def thing_name(season: Season, change: Change) -> str:
    """A thing's name; what rides somewhere is named with its loadout."""
    loadout, slash, thing = change.key.partition("/")
    if not slash:
        return season.ever(change.subject).get(change.key, change.key)
    kind = {"stowed": "item", "filled": "liquid", "riding": "occupant"}.get(change.subject, "item")
    return f"{season.ever(kind).get(thing, thing)}, {season.ever('loadout').get(loadout, loadout)}"


def said(field: str, value: Any, units: Units) -> str:
    """A kept value in the reader's units."""
    if value is None:
        return "–"
    write: dict[str, Callable[[float], str]] = {
        "kg": units.mass,
        "m": units.length,
        "L": units.volume,
        "kPa": units.pressure,
        "kg/L": units.density,
    }
    unit = unit_of(field)
    if unit == "km":
        return miles.distance(float(value), units)
    if unit in write:
        return write[unit](float(value))
    if isinstance(value, bool):
        return "yes" if value else "no"
    text = str(value)
    if field in ("carried", "poured"):
        return f"{len(text.split())} {'items' if field == 'carried' else 'containers'}"
    return cut(text, 80)


def owned_words(line: Owned, units: Units) -> str:
    """ "2 at 3.9 lb ± 0.1 lb (weighed), lent"."""
    doubt = f" ± {units.mass(line.plus_minus_kg)}" if line.plus_minus_kg else ""
    state = f", {line.state}" if line.state else ""
    return f"{line.count} at {units.mass(line.mass_kg)}{doubt} ({line.known}){state}"


def difference_rows(
    told: Iterable[tuple[str, str, Owned | None, Owned | None]], units: Units
) -> list[tuple[str, str, str, str]]:
    """What differs between two inventories: item, what, then, now."""
    words = {
        "new": "new since then",
        "gone": "gone since then",
        "state": "state",
        "mass": "mass",
        "count": "number",
        "name": "name",
    }
    return [
        (name, words[what], maybe_owned(then, units), maybe_owned(now, units))
        for name, what, then, now in told
    ]


def maybe_owned(line: Owned | None, units: Units) -> str:
    """A line of the inventory in words; a dash when it wasn't there."""
    return "–" if line is None else owned_words(line, units)


def event_words(event: Event, units: Units) -> str:
    """What an event says beside its kind."""
    parts = []
    if event.mass_kg is not None:
        doubt = f" ± {units.mass(event.plus_minus_kg)}" if event.plus_minus_kg else ""
        parts.append(f"{units.mass(event.mass_kg)}{doubt}")
    parts += [event.scale, event.method]
    if event.count:
        parts.append(f"{event.count} of them")
    if event.who:
        parts.append(f"{'to' if event.kind == 'lent' else 'by'} {event.who}")
    if event.until:
        parts.append(f"{'back by' if event.kind == 'lent' else 'good until'} {event.until}")
    return ", ".join(part for part in (*parts, event.note) if part)


def trip_words(trip: Trip, units: Units) -> str:
    """One trip in a sentence."""
    people = len(trip.people)
    days = str(trip.date) if trip.days == 1 else f"{trip.date} to {trip.until}"
    kg = (
        "load not known"
        if trip.gear_kg is None
        else f"{units.mass(trip.gear_kg + (trip.liquids_kg or 0))} carried"
    )
    return (
        f"{trip.name}: {days}, {people} {'person' if people == 1 else 'people'}, "
        f"{miles.distance(trip.distance_km, units)}, packed in {miles.minutes(trip.packing_min)}, {kg}."
    )


def sums_words(sums: Sums, units: Units) -> str:
    """What trips add up to, in sentences; what they don't say is told."""
    if not sums.trips:
        return "No trip is in the ledger yet."
    text = (
        f"{sums.trips} trips, {sums.days} days, {sums.person_days} person-days; "
        f"{miles.distance(sums.distance_km, units)}; "
        f"{units.mass(sums.carried_kg)} of gear, water, and fuel cans carried, added up over the trips; "
        f"{miles.minutes(sums.packing_min)} of packing; {sums.broken} came back broken."
    )
    silent = [
        f"{n} say nothing of {what}"
        for n, what in zip(sums.silent, ("distance", "load", "packing time"), strict=True)
        if n
    ]
    return text + (f" Of these, {'; '.join(silent)}." if silent else "")


def never_used_rows(
    lessons: Iterable[NeverUsed], report: Report, units: Units
) -> list[tuple[str, str, str, str]]:
    """What came along, never used: item, trips, mass saved, and what that frees in the three tightest ratings."""
    order = [rating.name for rating in report.ratings]
    rows = []
    for lesson in lessons:
        freed = sorted((pair for pair in lesson.frees if pair[1] > 0), key=lambda pair: order.index(pair[0]))
        words = "; ".join(f"{name}: {units.mass(kg)}" for name, kg in freed[:3]) or "not on board now"
        rows.append((lesson.name, str(lesson.trips), units.mass(lesson.mass_kg), words))
    return rows


def drift_rows(drifts: Iterable[Drift], units: Units) -> list[tuple[str, str, str, str]]:
    """What got heavier or lighter between weighings: item, from, to, change with its margin of error."""
    return [
        (
            drift.name, f"{drift.before.date}: {units.mass(drift.before.mass_kg or 0)}",
            f"{drift.after.date}: {units.mass(drift.after.mass_kg or 0)}",
            f"{units.mass_change(drift.change_kg)}, margin of error ± {units.mass(drift.doubt_kg)}",
        )
        for drift in drifts
    ]  # fmt: skip


def rate_rows(rates: Iterable[Rate], units: Units) -> list[tuple[str, str, str, str]]:
    """What was used per person and day: what, on average, least and most of any trip, from how much."""

    def amount(rate: Rate, value: float) -> str:
        return units.volume(value) if rate.unit == "L" else f"{value:.2f} pieces"

    return [
        (
            rate.what, amount(rate, rate.per_person_day), f"{amount(rate, rate.low)} to {amount(rate, rate.high)}",
            f"{rate.trips} {'trip' if rate.trips == 1 else 'trips'}, {rate.person_days} person-days",
        )
        for rate in rates
    ]  # fmt: skip


def due_rows(dues: Iterable[Due], today: datetime.date) -> list[tuple[str, str, str, str, str, str]]:
    """What has to be checked: state, on, thing, what, counted from, and who says so."""
    return [
        (
            MARKS[due.state(today)], str(due.on or "–"), due.name, f"{due.duty}: {due.what}", due.since,
            f"{due.source} ({due.status})",
        )
        for due in dues
    ]  # fmt: skip


def due_words(dues: Sequence[Due], today: datetime.date) -> str:
    """One sentence: how much is overdue, soon due, or without a date."""
    states = [due.state(today) for due in dues]
    if not states:
        return (
            "No check is set up yet. Choose under “What has to be checked, and by when?” which things are gas "
            "cylinders, extinguishers, straps."
        )
    counts = [f"{states.count(state)} {state}" for state in MARKS if state in states]
    first = next((due for due in dues if due.state(today) == "overdue"), None)
    worst = f" Longest overdue: {first.name}, {first.duty}, since {first.on}." if first else ""
    return f"As of {today}: {', '.join(counts)}.{worst}"


def season_words(season: Season, report: Report, units: Units) -> str:
    """The season's result as text that doesn't depend on the day it is printed."""
    lines = [f"{len(season.events)} dated events. {sums_words(season_sums(season.trips), units)}"]
    unused = never_used_rows(never_used(season, report), report, units)
    lines += [
        f"{name}: on {trips} trips, never used, {kg}; frees {freed}." for name, trips, kg, freed in unused
    ]
    lines += [
        f"{name}: {before}, {after}; {change}."
        for name, before, after, change in drift_rows(drifted(season), units)
    ]
    lines += [
        f"{what}: {mean} per person and day ({span})."
        for what, mean, span, _ in rate_rows(used_per_person_day(season), units)
    ]
    lines += [f"{due.name}, {due.duty}: due {due.on or 'on a day not known'}." for due in checks_due(season)]
    return "\n".join(lines)
