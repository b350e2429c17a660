"""What the season teaches: what never earns its ride, whose mass drifts, how much is used per person and day."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import pairwise

from loadcalc.checks import Report
from loadcalc.checks.weighing.scales import COVERAGE, quadrature, rectangular_u
from loadcalc.season.edit.diary import Event, Trip
from loadcalc.season.edit.store import Season
from loadcalc.season.story.events import of_item

OFTEN = 3
KEPT_FOR_NEED = ("fire extinguisher", "first aid")  # carried in the hope of never using them


@dataclass(frozen=True, slots=True, kw_only=True)
class NeverUsed:
    """An item that was carried on so many trips and used on none.

    mass_kg : of all pieces of it on the loadout at hand, or of one that doesn't ride there [kg].
    frees : (rating's name, what leaving it frees there [kg]), most first; empty when it isn't on board.
    """

    key: str
    name: str
    trips: int
    mass_kg: float
    frees: tuple[tuple[str, float], ...]


def never_used(season: Season, report: Report | None = None, often: int = OFTEN) -> tuple[NeverUsed, ...]:
    """Return what was carried often and never used, heaviest first.

    Parameters
    ----------
    season : the season. report : the loadout at hand, whose share matrix says what each item frees.
    often : carried on at least so many trips.

    What must come, fire extinguishers, and first aid are left out: they earn their ride by being there.
    """
    carried, used = dict[str, int](), set[str]()
    for trip in season.trips:
        for took in trip.items:
            carried[took.key] = carried.get(took.key, 0) + 1
            if took.used:
                used.add(took.key)
    found = []
    for item in season.gear:
        fields = season.present.get("item", item.key) or {}
        needed = fields.get("must_come") or fields.get("check_kind") in KEPT_FOR_NEED
        if carried.get(item.key, 0) >= often and item.key not in used and not needed:
            freed = () if report is None else frees(report, item.key)
            kg = on_board_kg(report, item.key) if freed and report is not None else item.mass_kg
            found.append(
                NeverUsed(key=item.key, name=item.name, trips=carried[item.key], mass_kg=kg, frees=freed)
            )
    return tuple(sorted(found, key=lambda lesson: -lesson.mass_kg))


def on_board_kg(report: Report, item: str) -> float:
    """Return the mass of an item on a loadout, all its pieces [kg].

    Parameters
    ----------
    report : the loadout's. item : its key.
    """
    return sum(float(report.masses_kg[column]) for column in report.shares.columns.get(item, ()))


def frees(report: Report, item: str) -> tuple[tuple[str, float], ...]:
    """Return (rating, what leaving an item behind frees there [kg]) for ratings with a known limit, most first.

    Parameters
    ----------
    report : the loadout's. item : its key.

    Formula: each rating's load, less its load with the item's masses at zero, the worst of its rows both times. A load
    behind the rear axle frees more there than it weighs, and a negative number is what the front axle gains.
    """
    shares = report.shares
    without_kg = list(report.masses_kg)
    for column in shares.columns.get(item, ()):
        without_kg[column] = 0.0
    then_kg = shares.loads_kg(without_kg).tolist()
    found = []
    for rows in shares.ideas.values():
        kg = max(report.loads_kg[row] for row in rows) - max(then_kg[row] for row in rows)
        if shares.rows[rows[0]].limit.limit_kg is not None and abs(kg) > 1e-9:
            found.append((shares.rows[rows[0]].name, kg))
    return tuple(sorted(found, key=lambda pair: -pair[1]))


@dataclass(frozen=True, slots=True, kw_only=True)
class Drift:
    """An item whose mass changed between two weighings by more than their combined doubt [kg]."""

    key: str
    name: str
    before: Event
    after: Event
    change_kg: float
    doubt_kg: float


def combined_doubt_kg(first_kg: float, second_kg: float) -> float:
    """Return the expanded uncertainty of the difference of two readings [kg].

    Parameters
    ----------
    first_kg, second_kg : half-width of each reading's doubt [kg].

    Formula: each is taken as rectangular, u = a / sqrt(3); in quadrature, times 2 (about 95 %). What both readings
    share (the same scale reading high) cancels in a difference and is not in it.
    Source: JCGM 100:2008 (GUM) 4.3.7, 5.1, 6.2 (from memory).

    >>> round(combined_doubt_kg(0.3, 0.4), 4)
    0.5774
    """
    return COVERAGE * quadrature(rectangular_u(first_kg), rectangular_u(second_kg))


def drifted(season: Season) -> tuple[Drift, ...]:
    """Return the items whose mass drifted between weighings, the largest change first.

    Parameters
    ----------
    season : the season.

    Each weighing is held against the one before; the largest change of an item counts.
    """
    found = []
    for item in season.gear:
        weighings = [event for event in of_item(season.events, item.key) if event.kind == "weighed"]
        steps = [_drift(item.key, item.name, before, after) for before, after in pairwise(weighings)]
        beyond = [step for step in steps if abs(step.change_kg) > step.doubt_kg * (1 + 1e-9)]
        if beyond:
            found.append(max(beyond, key=lambda step: abs(step.change_kg)))
    return tuple(sorted(found, key=lambda step: -abs(step.change_kg)))


def _drift(key: str, name: str, before: Event, after: Event) -> Drift:
    assert before.mass_kg is not None
    assert after.mass_kg is not None
    doubt_kg = combined_doubt_kg(before.plus_minus_kg, after.plus_minus_kg)
    return Drift(key=key, name=name, before=before, after=after, doubt_kg=doubt_kg,
                 change_kg=after.mass_kg - before.mass_kg)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Rate:
    """What was used per person and day. unit : "L", or "pieces"; low, high : the least and the most of any trip."""

    what: str
    unit: str
    per_person_day: float
    low: float
    high: float
    trips: int
    person_days: int


def used_per_person_day(season: Season, since: datetime.date | None = None) -> tuple[Rate, ...]:
    """Return what was used per person and day: liquids by kind, consumables by item.

    Parameters
    ----------
    season : the season. since : only trips that left on this day or later.

    Formula: the sum of what was used over the sum of person-days, of the trips that say both. A container that
    nobody measured on return leaves its trip out for that kind of liquid.
    """
    used: dict[tuple[str, str], list[tuple[float, int]]] = {}
    kinds = {key: str(fields.get("kind", "water")) for key, fields in season.present.rows("liquid")}
    gear = {item.key: item for item in season.gear}
    for trip in season.trips:
        if not trip.person_days or (since is not None and trip.date < since):
            continue
        for kind, liters in _poured(trip, kinds).items():
            used.setdefault((kind, "L"), []).append((liters, trip.person_days))
        for took in trip.items:
            item = gear.get(took.key)
            if item is not None and item.expendable:
                used.setdefault((item.name, "pieces"), []).append((float(took.used), trip.person_days))
    return tuple(_rate(what, unit, trips) for (what, unit), trips in used.items())


def _poured(trip: Trip, kinds: Mapping[str, str]) -> dict[str, float]:
    """Liters used by kind, of the kinds whose containers were all measured on return."""
    found: dict[str, float] = {}
    open_ = {kinds.get(poured.key, "") for poured in trip.liquids if poured.back_l is None}
    for key, left_l, back_l in trip.liquids:
        kind = kinds.get(key, "")
        if kind and kind not in open_ and back_l is not None:
            found[kind] = found.get(kind, 0.0) + left_l - back_l
    return found


def _rate(what: str, unit: str, trips: Iterable[tuple[float, int]]) -> Rate:
    made = list(trips)
    rates = [amount / person_days for amount, person_days in made]
    days = sum(person_days for _, person_days in made)
    return Rate(what=what, unit=unit, per_person_day=sum(amount for amount, _ in made) / days, low=min(rates),
                high=max(rates), trips=len(made), person_days=days)  # fmt: skip
