"""Bars and feet in words: what each carries, how unevenly, against whose limit."""

from __future__ import annotations

from collections.abc import Sequence

from loadcalc.checks.mounts.bars import BarLoad, Carried
from loadcalc.model.quantities import Units
from workbook.figures.palette import MARKS

NO_BARS = "Bars not entered, so what each bar and foot carries is not judged. Enter them with the carrier's measures."
ONE_BAR = "One bar can't hold a carrier: enter the others too."
IDEAS = (
    "With three bars or more it depends on the platform: one that bends leaves a load on the nearest bar, a stiff one "
    "shares it out. Both are computed; the larger counts."
)


def share(carried: Carried) -> str:
    """How much of its limit it uses, with the mark of an overload."""
    used = carried.consumed
    if used is None:
        return f"{MARKS['not known']} limit not known"
    return f"{MARKS['over']} {used:.0%}" if carried.over else f"{used:.0%}"


def load(carried: Carried, units: Units) -> str:
    """What it carries; a pull upward is told as one."""
    if carried.load_kg < 0:
        return f"pulled up {units.mass(-carried.load_kg)}"
    pulled = f" or pulled up {units.mass(carried.uplift_kg)}" if carried.uplift_kg > 1e-6 else ""
    return units.mass(carried.load_kg) + pulled


def limit(carried: Carried, units: Units) -> str:
    """Its limit."""
    return "not known" if carried.limit.limit_kg is None else units.mass(carried.limit.limit_kg)


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


def parts(found: Sequence[BarLoad]) -> list[Carried]:
    """Every bar and foot."""
    return [carried for bar in found for carried in (bar.whole, bar.left, bar.right)]


def unevenness(found: Sequence[BarLoad], units: Units) -> str:
    """How far from an even share the bars, and the two sides, are."""
    total_kg = sum(bar.whole.stiff_kg for bar in found)
    if total_kg <= 0:
        return "Nothing stands on the bars."
    heaviest = max(found, key=lambda bar: bar.whole.load_kg)
    times = heaviest.whole.load_kg / (total_kg / len(found))
    left_kg = sum(bar.left.stiff_kg for bar in found)
    said = (
        f"The bars carry {units.mass(total_kg)} in all, the carrier itself included. {heaviest.bar.name} carries most, "
        f"{times:.1f} times an even share"
    )
    if abs(left_kg / total_kg - 0.5) < 0.005:
        return f"{said}; left and right feet carry the same."
    side, part = ("left", left_kg) if left_kg * 2 > total_kg else ("right", total_kg - left_kg)
    return f"{said}; the {side} feet carry {part / total_kg:.0%} of it."


def summary(found: Sequence[BarLoad], units: Units) -> str:
    """What is over, what is pulled up, what is tightest, what is not known; how even it is."""
    if not found:
        return NO_BARS
    every = parts(found)
    over = [f"{c.name} ({load(c, units)} on a limit of {limit(c, units)})" for c in every if c.over]
    known = [c for c in every if c.consumed is not None and not c.over]
    said = [f"Over its limit: {'; '.join(over)}." if over else "No known limit of a bar or foot is exceeded."]
    if known:
        tight = max(known, key=lambda c: c.consumed or 0.0)
        said.append(f"{'Next tightest' if over else 'Tightest'}: {tight.name}, {share(tight)} used.")
    up = [
        f"{bar.bar.name} by {units.mass(bar.whole.uplift_kg)}" for bar in found if bar.whole.uplift_kg > 1e-6
    ]
    if up:
        said.append(f"Pulled upward, which no limit here speaks of: {'; '.join(up)}.")
    missing = [c.name for c in every if c.limit.limit_kg is None]
    if missing:
        said.append(f"Limit not known, so not judged: {'; '.join(missing)}.")
    return " ".join([*said, unevenness(found, units)])
