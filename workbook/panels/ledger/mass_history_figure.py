"""What did one item weigh, when, and how sure is that? A mark for each time, its ±, and the steps between."""

from __future__ import annotations

import datetime
import math
from collections.abc import Sequence

from loadcalc.model.quantities import Units
from loadcalc.season.story.totals import MassPoint
from workbook.panels.desk.drawing import disc, line, page, words
from workbook.panels.desk.palette import LOAD_TINT, PAPER, ROLES

WIDTH, HEIGHT = 760.0, 300.0
LEFT, RIGHT, TOP, BOTTOM = 90.0, 640.0, 66.0, 240.0


def mass_history_svg(name: str, points: Sequence[MassPoint], units: Units) -> str:
    """The masses of one item over time. A filled mark was weighed; an open one was read or guessed."""
    strokes = [words(20, 24, f"What did {name} weigh?", size=15, anchor="start", bold=True)]
    if not points:
        strokes.append(words(20, 60, "No mass is in the ledger.", anchor="start", color=ROLES["quiet"]))
        return page(WIDTH, 80, alt(name, points, units), strokes)
    strokes.append(
        words(
            20,
            44,
            "● weighed  ·  ○ from a label or an estimate  ·  bar: its ±",
            anchor="start",
            color=ROLES["quiet"],
        )
    )
    low, high = span(points)
    first, last = points[0].date, points[-1].date
    across = [_across(point.date, first, last) for point in points]
    heights = [_down(point.mass_kg, low, high) for point in points]
    strokes += _scale(low, high, units)
    strokes += _steps(across, heights)
    for x, y, point in zip(across, heights, points, strict=True):
        strokes += _mark(x, y, point, low, high)
    for index in labeled(across):
        top = _down(points[index].mass_kg + points[index].plus_minus_kg, low, high)
        strokes.append(words(across[index], top - 10, units.mass(points[index].mass_kg), bold=True))
    strokes.append(words(across[0], BOTTOM + 34, str(first), color=ROLES["quiet"]))
    if last != first:
        strokes.append(words(across[-1], BOTTOM + 34, str(last), color=ROLES["quiet"]))
    return page(WIDTH, HEIGHT, alt(name, points, units), strokes)


def alt(name: str, points: Sequence[MassPoint], units: Units) -> str:
    """The figure in words, for a screen reader."""
    told = [
        f"{point.date}: {units.mass(point.mass_kg)} plus or minus {units.mass(point.plus_minus_kg)}, "
        f"{point.known}"
        for point in points
    ]
    return f"What did {name} weigh? {'; '.join(told) or 'No mass is in the ledger'}."


def span(points: Sequence[MassPoint]) -> tuple[float, float]:
    """Lowest and highest mass drawn [kg]: every ± inside, never so narrow that rounding looks like a trend."""
    low = min(point.mass_kg - point.plus_minus_kg for point in points)
    high = max(point.mass_kg + point.plus_minus_kg for point in points)
    room = max((high - low) * 0.25, high * 0.05, 0.01)
    return max(low - room, 0.0), high + room


def labeled(across: Sequence[float], apart: float = 80.0) -> list[int]:
    """Which marks get their mass written beside them: the newest first, none so close that they hide each other."""
    kept: list[int] = []
    for index in reversed(range(len(across))):
        if not kept or across[kept[-1]] - across[index] >= apart:
            kept.append(index)
    return kept


def _across(day: datetime.date, first: datetime.date, last: datetime.date) -> float:
    days = (last - first).days
    return (LEFT + RIGHT) / 2 if days == 0 else LEFT + 40 + (day - first).days / days * (RIGHT - LEFT - 40)


def _down(kg: float, low: float, high: float) -> float:
    return BOTTOM - (kg - low) / (high - low) * (BOTTOM - TOP)


def _scale(low: float, high: float, units: Units) -> list[str]:
    """Three quiet lines with round masses."""
    unit_kg = units.scale("mass").si_per_unit
    step = (high - low) / unit_kg / 3
    power = 10.0 ** math.floor(math.log10(step))
    step = next(power * n for n in (1, 2, 5, 10) if power * n >= step)
    first = math.ceil(low / unit_kg / step)
    strokes = []
    for n in range(first, math.floor(high / unit_kg / step) + 1):
        y = _down(n * step * unit_kg, low, high)
        strokes.append(line([(LEFT, y), (RIGHT, y)], color=LOAD_TINT, width=1))
        strokes.append(
            words(LEFT - 8, y + 4, units.mass(n * step * unit_kg), color=ROLES["quiet"], anchor="end")
        )
    return strokes


def _steps(across: Sequence[float], heights: Sequence[float]) -> list[str]:
    """A mass holds until the next one is known."""
    path: list[tuple[float, float]] = []
    for x, y in zip(across, heights, strict=True):
        path += [(x, path[-1][1])] if path else []
        path.append((x, y))
    return [line([*path, (RIGHT + 20, heights[-1])], color=ROLES["load"], width=1.5, dashed=True)]


def _mark(x: float, y: float, point: MassPoint, low: float, high: float) -> list[str]:
    top, bottom = (_down(point.mass_kg + sign * point.plus_minus_kg, low, high) for sign in (1, -1))
    fill = ROLES["load"] if point.known == "weighed" else PAPER
    caps = (
        [line([(x - 5, end), (x + 5, end)], color=ROLES["ink"]) for end in (top, bottom)]
        if point.plus_minus_kg
        else []
    )
    return [line([(x, top), (x, bottom)], color=ROLES["ink"]), *caps, disc(x, y, 5.5, fill=fill)]
