"""Bars and feet in words: what each carries, how unevenly, against whose limit."""

from __future__ import annotations

from collections.abc import Sequence

from loadcalc.checks.ratings.bars import bars_unjudged
from loadcalc.checks.ratings.carried import BarLoad, Carried
from loadcalc.model import Loadout
from loadcalc.model.quantities import Units
from workbook.panels.desk.palette import MARKS
from workbook.panels.desk.ratings_words import percent

IDEAS = (
    "With three bars or more it depends on the platform: one that bends leaves a load on the nearest bar, a stiff one "
    "shares it out. Both are computed; the larger counts."
)


def unjudged(loadout: Loadout) -> str:
    """Why nothing is said of the bars, or nothing when it is."""
    if loadout.carrier is None:
        return "The roof rack is off the vehicle."
    why = bars_unjudged(loadout.carrier)
    return f"What each bar and foot carries is not judged: {why}. Page 05 takes them." if why else ""


def share(carried: Carried) -> str:
    """How much of its limit it uses, with the mark of an overload."""
    rating = carried.rating
    if not rating.known:
        return f"{MARKS['not known']} limit not known"
    return f"{MARKS['over']} {percent(rating)}" if rating.over else percent(rating)


def load(carried: Carried, units: Units) -> str:
    """What it carries; a pull upward is told as one."""
    load_kg = carried.rating.load_kg
    if load_kg < 0:
        return f"pulled up {units.mass(-load_kg)}"
    pulled = f" or pulled up {units.mass(carried.uplift_kg)}" if carried.uplift_kg > 1e-6 else ""
    return units.mass(load_kg) + pulled


def limit(carried: Carried, units: Units) -> str:
    """Its limit."""
    limit_kg = carried.rating.limit_kg
    return "not known" if limit_kg is None else units.mass(limit_kg)


def bar_rows(found: Sequence[BarLoad], units: Units) -> list[tuple[str, ...]]:
    """One row a bar: what it carries by both ideas, its limit; left and right foot, and theirs."""
    table = []
    for bar in found:
        ideas = f"{units.mass_number(bar.whole.bends_kg)} / {units.mass_number(bar.whole.stiff_kg)}"
        feet = [f"{load(foot, units)} · {share(foot)}" for foot in (bar.left, bar.right)]
        table.append(
            (bar.bar.name, load(bar.whole, units), ideas, limit(bar.whole, units), share(bar.whole), *feet)
        )
    return table


def unevenness(found: Sequence[BarLoad], units: Units) -> str:
    """How far from an even share the bars, and the two sides, are."""
    total_kg = sum(bar.whole.stiff_kg for bar in found)
    if total_kg <= 0:
        return "Nothing stands on the bars."
    heaviest = max(found, key=lambda bar: bar.whole.rating.load_kg)
    times = heaviest.whole.rating.load_kg / (total_kg / len(found))
    left_kg = sum(bar.left.stiff_kg for bar in found)
    said = (
        f"The bars carry {units.mass(total_kg)} in all, the roof rack itself included. "
        f"{heaviest.bar.name} carries most, {times:.1f} times an even share"
    )
    if abs(left_kg / total_kg - 0.5) < 0.005:
        return f"{said}; left and right feet carry the same."
    side, part = ("left", left_kg) if left_kg * 2 > total_kg else ("right", total_kg - left_kg)
    return f"{said}; the {side} feet carry {part / total_kg:.0%} of it."


def spread(found: Sequence[BarLoad], units: Units) -> str:
    """What is pulled up, and how even it is. What is over or not known stands in the findings."""
    up = [
        f"{bar.bar.name} by {units.mass(bar.whole.uplift_kg)}"
        for bar in found
        if bar.whole.uplift_kg > 1e-6
    ]
    said = [f"Pulled upward, which no limit here speaks of: {'; '.join(up)}."] if up else []
    return " ".join([*said, unevenness(found, units)])
