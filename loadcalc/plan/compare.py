"""Loadouts side by side: what moved, what was left, what each rating does, and the way of the center of gravity."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from loadcalc.checks.findings.judge import Judgment
from loadcalc.checks.ratings.report import RatingResult, Report
from loadcalc.model.errors import BadValue
from loadcalc.model.loadout import Loadout
from loadcalc.model.space import Place

FEWEST, MOST = 2, 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Ride:
    """Where a thing rides: zone or seat; how many pieces [-] or how much in it [L], None where that says nothing.

    place : its own place in the zone, or None; mass_kg : what rides there [kg].
    """

    where: str
    mass_kg: float
    count: int | None = None
    fill_l: float | None = None
    place: Place | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """One thing that does not ride alike in all loadouts: for each of them where it rides, () if it stays home."""

    key: str
    name: str
    rides: tuple[tuple[Ride, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedRating:
    """One rating in all loadouts; None where the loadout does not have it (no carrier, no such zone)."""

    key: str
    name: str
    results: tuple[RatingResult | None, ...]

    def change(self, which: int) -> float | None:
        """Load of one loadout less that of the first [the rating's unit]; None where one of them has no such rating.

        Parameters
        ----------
        which : the loadout's place in the comparison, from 0 [-].
        """
        first, other = self.results[0], self.results[which]
        return None if first is None or other is None else other.load - first.load


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeStep:
    """One step on the way from a loadout to the next: what was done, and where the center of gravity is after it."""

    name: str
    cg: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Two to four loadouts of one vehicle.

    reports : one for each. differences : the things that don't ride the same way in all, by the mass at stake.
    ratings : every rating, those tightest in any loadout first. ways : from each loadout to the next, step by step.
    """

    reports: tuple[Judgment, ...]
    differences: tuple[Difference, ...]
    ratings: tuple[ComparedRating, ...]
    ways: tuple[tuple[ChangeStep, ...], ...]

    @property
    def names(self) -> tuple[str, ...]:
        """The loadouts' names."""
        return tuple(report.shares.loadout.name for report in self.reports)


def compare(reports: Sequence[Judgment]) -> Comparison:
    """Put two to four judged loadouts of one vehicle side by side. Changes are against the first.

    Parameters
    ----------
    reports : in the order in which they are shown; each with all that is known of its departure.

    Raises
    ------
    BadValue for fewer than two or more than four.
    """
    if not FEWEST <= len(reports) <= MOST:
        raise BadValue("loadouts", len(reports), "can't be put side by side", f"choose {FEWEST} to {MOST}")
    loadouts = [report.shares.loadout for report in reports]
    ways = tuple(way(one, other) for one, other in pairwise(reports))
    return Comparison(
        reports=tuple(reports), differences=_differences(loadouts), ratings=_ratings(reports), ways=ways
    )


def rides(loadout: Loadout) -> dict[str, tuple[str, tuple[Ride, ...]]]:
    """Everything that a loadout may carry or leave: by key its name, and where it rides.

    Parameters
    ----------
    loadout : what rides where.
    """
    found: dict[str, tuple[str, list[Ride]]] = {}

    def add(key: str, name: str, ride: Ride) -> None:
        found.setdefault(key, (name, []))[1].append(ride)

    for who in loadout.people:
        add(f"rider:{who.key}", who.name, Ride(where=who.seat, mass_kg=who.mass_kg))
    for stowed in loadout.gear:
        if stowed.count:
            ride = Ride(
                where=stowed.zone, mass_kg=stowed.mass_kg, count=int(stowed.count), place=stowed.place
            )
            add(f"item:{stowed.item.key}", stowed.item.name, ride)
    for filled in loadout.liquids:
        ride = Ride(where=filled.zone, mass_kg=filled.mass_kg, fill_l=filled.fill_l, place=filled.place)
        add(f"liquid:{filled.liquid.key}", filled.liquid.name, ride)
    add("fuel", "Fuel in the tank", Ride(where="tank", mass_kg=0.0, fill_l=loadout.fuel_l))
    if loadout.carrier is not None:
        add("carrier", loadout.carrier.name, Ride(where="on the roof", mass_kg=loadout.carrier.mass_kg))
    if loadout.trailer is not None:
        add("trailer", loadout.trailer.name, Ride(where="on the hitch", mass_kg=loadout.trailer.mass_kg))
    return {key: (name, tuple(found)) for key, (name, found) in found.items()}


def _differences(loadouts: Sequence[Loadout]) -> tuple[Difference, ...]:
    aboard = [rides(loadout) for loadout in loadouts]
    names = {key: name for each in aboard for key, (name, _) in each.items()}
    found = []
    for key, name in names.items():
        where = tuple(each[key][1] if key in each else () for each in aboard)
        if len(set(where)) > 1:
            found.append(Difference(key=key, name=name, rides=where))
    return tuple(sorted(found, key=lambda d: -max(ride.mass_kg for each in d.rides for ride in each)))


def _ratings(reports: Sequence[Report]) -> tuple[ComparedRating, ...]:
    by_key: list[dict[str, RatingResult]] = [{r.key: r for r in report.ratings} for report in reports]
    names = {key: rating.name for each in by_key for key, rating in each.items()}
    rows = [
        ComparedRating(key=key, name=name, results=tuple(each.get(key) for each in by_key))
        for key, name in names.items()
    ]
    return tuple(sorted(rows, key=_tightness, reverse=True))


def _tightness(row: ComparedRating) -> tuple[bool, float]:
    """Full seats are no strain, so they come after what is weighed; what is not known comes last."""
    shares = [r.consumed for r in row.results if r is not None and r.consumed is not None]
    weighed = any(r is not None and (r.unit == "kg" or r.over) for r in row.results)
    return weighed and bool(shares), max(shares, default=-1.0)


def way(one: Report, other: Report) -> tuple[ChangeStep, ...]:
    """The center of gravity from one loadout to another, one thing at a time.

    What moves the moments most comes first; the order does not change where the way ends.

    Parameters
    ----------
    one, other : reports of the two loadouts.

    Returns
    -------
    Steps: each is the center of gravity [m] by moments once that thing too is as in the other loadout.
    """
    before, after = _moments(one), _moments(other)
    names = {mass.key: mass.name for report in (one, other) for mass in report.shares.masses}
    zero = (0.0, 0.0, 0.0, 0.0)
    changes = {
        key: tuple(b - a for a, b in zip(before.get(key, zero), after.get(key, zero), strict=True))
        for key in {**before, **after}
    }
    sums = [sum(each[i] for each in before.values()) for i in range(4)]
    steps = []
    for key, change in sorted(changes.items(), key=lambda pair: -sum(abs(part) for part in pair[1])):
        if any(abs(part) > 1e-9 for part in change):
            sums = [whole + part for whole, part in zip(sums, change, strict=True)]
            aft, left, up = (moment / sums[0] for moment in sums[1:])
            steps.append(ChangeStep(name=names[key], cg=Place(aft_m=aft, left_m=left, up_m=up)))
    return tuple(steps)


def _moments(report: Report) -> dict[str, tuple[float, ...]]:
    """Mass [kg] and its three moments [kg m] of each thing that stands on the vehicle's wheels."""
    found: dict[str, tuple[float, ...]] = {}
    for mass in report.shares.masses:
        if not mass.towed:
            place, kg = mass.place, mass.mass_kg
            mine = (kg, kg * place.aft_m, kg * place.left_m, kg * place.up_m)
            found[mass.key] = tuple(a + b for a, b in zip(found.get(mass.key, (0.0,) * 4), mine, strict=True))
    return found
