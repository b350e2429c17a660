"""What comparing and sliding found, as sentences and table rows in the reader's units."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from loadcalc.checks import RatingResult, Report
from loadcalc.model.quantities import Units, UnitScale
from loadcalc.plan.compare import ComparedRating, Comparison, Ride
from loadcalc.plan.lever import Quantity
from loadcalc.plan.sweep import Sweep
from workbook.panels.desk.findings_words import in_short
from workbook.panels.desk.ratings_words import amount, idle, named, percent, room

PEOPLE = UnitScale(unit="people", si_per_unit=1.0, most_decimals=0, grouping=",")
UNMOVED = 1e-6


# Quantities and the map ------------------------------------------------------------------------------------


def scale_of(quantity: Quantity, units: Units) -> UnitScale:
    """The scale that a quantity is read on."""
    return PEOPLE if quantity.measure == "people" else units.scale(quantity.measure)


def value_words(quantity: Quantity, value: float, units: Units) -> str:
    """ "20 gal", "1 person", "35 psi"."""
    if quantity.measure == "people":
        return f"{round(value)} {'person' if round(value) == 1 else 'people'}"
    return scale_of(quantity, units).text(value)


def settings_words(settings: dict[Quantity, float], units: Units) -> str:
    """What the sliders stand at: "Fuel in the tank: 12 gal; people aboard: 3 people"."""
    said = [f"{q.name}: {value_words(q, value, units)}" for q, value in settings.items()]
    return "; ".join(said)


def tightest_words(report: Report, units: Units, conditions: Sequence[str] = ()) -> str:
    """One sentence: the tightest rating of those that hold in some conditions (none named: in any)."""
    found = [
        r
        for r in report.ratings
        if r.known and r.unit == "kg" and (not conditions or r.condition in conditions)
    ]
    if not found:
        return "Tightest: not known, because no limit is known."
    first = found[0]
    when = "" if first.condition in first.name else f" ({first.condition})"
    return f"Tightest: {named(first)}, {percent(first)} used, {room(first, units)}{when}."


def map_words(found: Sweep, units: Units) -> str:
    """The map in sentences: how much of it is within every known limit, how many are not known, what is tightest."""
    over, binding = found.over, found.binding
    within = 1.0 - float(over.mean())
    across, down = found.across, found.down
    span = (
        f"{across.name} from {value_words(across, across.low, units)} to {value_words(across, across.high, units)}, "
        f"{down.name[0].lower() + down.name[1:]} from {value_words(down, down.low, units)} to "
        f"{value_words(down, down.high, units)}"
    )
    unknown = f" ({len(found.not_known)} not known)" if found.not_known else ""
    said = [f"{span}: {_part(within)} of the map is within every rating with a known limit{unknown}."]
    parts = [(float((binding == n).mean()), n) for n in np.unique(binding).tolist()]
    for part, number in sorted(parts, reverse=True):
        mine = binding == number
        least, most = float(found.consumed[mine].min()), float(found.consumed[mine].max())
        low, high = _share(least), _share(most)
        used = low if low == high else f"{low} to {high}"
        said.append(f"{found.names[number]} is tightest on {_part(part)} of it: {used} used.")
    return "\n".join(said)


def _part(share: float) -> str:
    if share in (0.0, 1.0):
        return "none" if share == 0 else "all"
    return "under 1%" if share < 0.01 else "over 99%" if share > 0.99 else f"{share:.0%}"


def _share(consumed: float) -> str:
    return "none allowed" if np.isinf(consumed) else f"{consumed:.0%}"


def not_judged(found: Sweep) -> str:
    """The ratings on the map whose limit nobody knows, zones only counted."""
    zones = sum(name.startswith("Zone: ") for name in found.not_known)
    said = [name for name in found.not_known if not name.startswith("Zone: ")]
    if zones:
        said.append(f"{zones} zone{'s' if zones > 1 else ''}")
    return f"Limit not known, so not on the map: {'; '.join(said)}." if said else ""


# Side by side ---------------------------------------------------------------------------------------------


def ride_words(ride: Ride, units: Units) -> str:
    """ "Cargo floor × 2", "Drawer left", "5 gal in Rear door rack"."""
    if ride.fill_l is not None:
        return f"{units.volume(ride.fill_l)} in {ride.where}"
    return f"{ride.where} × {ride.count}" if ride.count not in (None, 1) else ride.where


def difference_rows(found: Comparison, units: Units) -> list[tuple[str, ...]]:
    """What does not ride the same way in all: name, then where in each loadout."""
    return [
        (d.name, *(" + ".join(ride_words(r, units) for r in rides) or "stays home" for rides in d.rides))
        for d in found.differences
    ]


def rating_rows(found: Comparison, units: Units) -> list[tuple[str, ...]]:
    """The ratings: name, then what each loadout uses, with the change of its load against the first."""
    rows = []
    for row in found.ratings:
        if any(r is not None and r.known and not idle(r) for r in row.results):
            rows.append((row.name, *(_cell(row, which, units) for which in range(len(row.results)))))
    return rows


def _cell(row: ComparedRating, which: int, units: Units) -> str:
    rating = row.results[which]
    if rating is None:
        return "has none"
    mark = "▲ " if rating.over else ""
    change = row.change(which)
    if which == 0 or change is None:
        return f"{mark}{percent(rating)}, {amount(rating, rating.load, units)}"
    return f"{mark}{percent(rating)}, {_change(rating, change, units)}"


def _change(rating: RatingResult, change: float, units: Units) -> str:
    if abs(change) < UNMOVED:
        return "as before"
    if rating.unit == "kg":
        return units.mass_change(change)
    return f"{abs(change):.0f} {'more' if change > 0 else 'fewer'}"


def compare_words(found: Comparison, units: Units) -> str:
    """The comparison in sentences, each loadout against the first."""
    said = []
    for which, report in enumerate(found.reports):
        tightest = report.tightest
        tight = f"tightest {named(tightest)} {percent(tightest)}" if tightest else "no limit known"
        line = f"{found.names[which]}: {units.mass(report.mass_kg)}; {in_short(report)}; {tight}"
        if which:
            line += f"; {_way_words(found, which, units)}"
        said.append(line + ".")
    count = len(found.differences)
    ride = "1 thing rides" if count == 1 else f"{count} things ride"
    said.append(f"{ride} differently." if count else "Nothing rides differently.")
    return "\n".join(said)


def _way_words(found: Comparison, which: int, units: Units) -> str:
    one, other = found.reports[0], found.reports[which]
    heavier = other.mass_kg - one.mass_kg
    up, aft = other.cg.up_m - one.cg.up_m, other.cg.aft_m - one.cg.aft_m
    weight = "as heavy as" if abs(heavier) < UNMOVED else f"{units.mass_more(heavier)} than"
    center = (
        f"{_step(up, 'higher', 'lower', units)} and {_step(aft, 'farther aft', 'farther forward', units)}"
    )
    return f"{weight} {found.names[0]}, center of gravity {center}"


def _step(length_m: float, more: str, less: str, units: Units) -> str:
    if units.length(abs(length_m)) == units.length(0.0):
        return f"no {more}"
    return f"{units.length(abs(length_m))} {more if length_m > 0 else less}"
