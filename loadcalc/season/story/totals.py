"""Sums over a season's trips, one trip against another, and the history of one item."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from loadcalc.season.edit.diary import Event, Trip
from loadcalc.season.edit.store import Season
from loadcalc.season.file.ledger import Change, Entry
from loadcalc.season.story.events import of_item


@dataclass(frozen=True, slots=True, kw_only=True)
class Sums:
    """What a season's trips add up to. A trip that doesn't say a number counts as nothing, and in `silent`.

    distance_km : [km]; carried_kg : gear and liquids at departure, added over the trips [kg]; packing_min : [min].
    silent : how many trips say nothing of the distance, of what they carried, of the packing time.
    """

    trips: int
    days: int
    person_days: int
    distance_km: float
    carried_kg: float
    packing_min: float
    broken: int
    silent: tuple[int, int, int]


def season_sums(trips: Iterable[Trip]) -> Sums:
    """Add up trips.

    Parameters
    ----------
    trips : those that count.
    """
    made = list(trips)
    carried = [None if t.gear_kg is None else t.gear_kg + (t.liquids_kg or 0.0) for t in made]
    columns = ([t.distance_km for t in made], carried, [t.packing_min for t in made])
    distance, kg, minutes = (sum(value for value in column if value is not None) for column in columns)
    return Sums(
        trips=len(made), days=sum(t.days for t in made), person_days=sum(t.person_days for t in made),
        distance_km=distance, carried_kg=kg, packing_min=minutes,
        broken=sum(took.broken for t in made for took in t.items),
        silent=tuple(column.count(None) for column in columns),  # type: ignore[arg-type]  # three columns
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Against:
    """One trip against the one before. more, less : (item's key, how many more or fewer pieces it carried)."""

    trip: Trip
    before: Trip
    more: tuple[tuple[str, int], ...]
    less: tuple[tuple[str, int], ...]


def against_the_last(trips: Sequence[Trip], key: str) -> Against | None:
    """Return a trip against the one before it, or None for the first.

    Parameters
    ----------
    trips : oldest first. key : the trip's key.
    """
    index = next((i for i, trip in enumerate(trips) if trip.key == key), 0)
    if index == 0:
        return None
    now, before = trips[index], trips[index - 1]
    counts = {took.key: took.carried for took in now.items}
    was = {took.key: took.carried for took in before.items}
    differs = [(item, counts.get(item, 0) - was.get(item, 0)) for item in dict.fromkeys((*counts, *was))]
    return Against(
        trip=now, before=before,
        more=tuple((item, change) for item, change in differs if change > 0),
        less=tuple((item, -change) for item, change in differs if change < 0),
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class MassPoint:
    """The mass of an item since a day [kg], with its half-width of doubt [kg]."""

    date: datetime.date
    mass_kg: float
    plus_minus_kg: float
    known: str


def mass_points(season: Season, item: str) -> tuple[MassPoint, ...]:
    """Return how an item's mass changed, oldest first: weighings by their own date, other edits by the entry's.

    Parameters
    ----------
    season : the season. item : its key, also of one that is gone.

    What was undone is left out, and so is a mass that somebody entered before a weighing with an earlier date came
    to light: from then on the weighing held.
    """
    events = [event for event in of_item(season.events, item) if event.mass_kg is not None]
    told_by = {season.history("event", event.key)[0][0].id: event for event in events}
    points = [_point(event) for event in events]
    known: dict[str, object] = {}
    steps: dict[int, tuple[Entry, list[Change]]] = {}
    for entry, change in season.history("item", item):
        steps.setdefault(entry.id, (entry, []))[1].append(change)
    first: dict[int, int] = {}  # of what was taken back and came again, the entry that did it first
    for entry, changes in steps.values():
        first[entry.id] = first.get(entry.undoes or 0, entry.id)
        told = {change.field: change.value for change in changes}
        known |= told
        mass = told.get("mass_kg")
        if mass is not None and entry.kind != "undo" and entry.undone_by is None and first[entry.id] not in told_by:
            day = entry.at.astimezone().date()
            if any(later > entry.id and event.date <= day for later, event in told_by.items()):
                continue
            points.append(MassPoint(
                date=day, mass_kg=float(mass), plus_minus_kg=float(str(known.get("plus_minus_kg") or 0.0)),
                known=str(known.get("known") or "estimated"),
            ))  # fmt: skip
    return tuple(sorted(points, key=lambda point: point.date))


def _point(event: Event) -> MassPoint:
    assert event.mass_kg is not None
    return MassPoint(date=event.date, mass_kg=event.mass_kg, plus_minus_kg=event.plus_minus_kg,
                     known=event.known)  # fmt: skip


def item_trips(trips: Iterable[Trip], item: str) -> tuple[tuple[Trip, int, int, int], ...]:
    """Return (trip, carried, used, broken) for every trip that carried an item.

    Parameters
    ----------
    trips : the trips. item : its key.
    """
    return tuple(
        (trip, took.carried, took.used, took.broken)
        for trip in trips
        for took in trip.items
        if took.key == item
    )
