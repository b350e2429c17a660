"""Does the scale agree with the lists? One band for what the lists say, one mark with its margin for the scale."""

from __future__ import annotations

import math

from loadcalc.checks.weighing.scales import COVERAGE
from loadcalc.checks.weighing.weigh_in import Compared, WeighIn
from loadcalc.model.quantities import Units
from workbook.panels.desk.drawing import box, disc, line, page, words
from workbook.panels.desk.palette import LOAD_TINT, PAPER, ROLES
from workbook.panels.weigh_in.weigh_in_words import change, whole

WIDTH = 900.0
LEFT, RIGHT = 300.0, 690.0
TOP, ROW = 84.0, 46.0


def weigh_in_svg(judged: WeighIn, units: Units) -> str:
    """Each reading against its prediction, as a difference, with the margin of error of both."""
    reach_kg = reach(judged)
    strokes = [
        words(20, 24, "Does the scale agree with the lists?", size=15, anchor="start", bold=True),
        words(
            20, 44,
            "Bar: the margin of error of the lists. Circle: what the scale shows, with its own. "
            "Both about 95%.", color=ROLES["quiet"], anchor="start",
        ),
    ]  # fmt: skip
    bottom = TOP + ROW * len(judged.readings)
    zero = _across(0.0, reach_kg)
    strokes += [
        line([(zero, TOP - 8), (zero, bottom - 12)], color=ROLES["limit"], width=1.5),
        words(zero, TOP - 14, "as listed", color=ROLES["quiet"]),
        words(LEFT, bottom + 8, change(-reach_kg, units), color=ROLES["quiet"], anchor="start"),
        words(RIGHT, bottom + 8, change(reach_kg, units), color=ROLES["quiet"], anchor="end"),
    ]
    for number, reading in enumerate(judged.readings):
        strokes += _row(reading, TOP + ROW * number + 14, reach_kg, units)
    return page(WIDTH, bottom + 20, alt(judged, units), strokes)


def reach(judged: WeighIn) -> float:
    """Half the width of the picture [kg]: a round number beyond everything drawn."""
    most = max(
        max(
            COVERAGE * reading.predicted_u_kg,
            abs(reading.difference_kg) + COVERAGE * reading.measured_u_kg,
        )
        for reading in judged.readings
    )
    step = 10.0 ** math.floor(math.log10(max(most, 1.0))) / 4
    return math.ceil(most * 1.05 / step) * step


def _across(kg: float, reach_kg: float) -> float:
    return (LEFT + RIGHT) / 2 + kg / reach_kg * (RIGHT - LEFT) / 2


def _row(reading: Compared, y: float, reach_kg: float, units: Units) -> list[str]:
    known = COVERAGE * reading.predicted_u_kg
    shown = COVERAGE * reading.measured_u_kg
    left, right = _across(-known, reach_kg), _across(known, reach_kg)
    low, high = (_across(reading.difference_kg + sign * shown, reach_kg) for sign in (-1, 1))
    at = _across(reading.difference_kg, reach_kg)
    color = ROLES["ink"] if reading.agrees else ROLES["alarm"]
    state = "agrees" if reading.agrees else "▲ does not agree"
    lists, scale = (whole(kg, units) for kg in (reading.predicted_kg, reading.measured_kg))
    return [
        words(20, y + 1, reading.name, anchor="start", bold=True),
        words(20, y + 16, f"lists {lists}, scale {scale}", anchor="start", color=ROLES["quiet"]),
        box(left, y - 6, right - left, 16, fill=LOAD_TINT, stroke=ROLES["load"]),
        line([(low, y + 2), (high, y + 2)], color=color, width=2.5),
        line([(low, y - 3), (low, y + 7)], color=color, width=2),
        line([(high, y - 3), (high, y + 7)], color=color, width=2),
        disc(at, y + 2, 5, fill=PAPER if reading.agrees else ROLES["alarm"], stroke=color, width=2),
        words(
            RIGHT + 16, y + 6, f"{change(reading.difference_kg, units)}: {state}", anchor="start", color=color,
            bold=not reading.agrees,
        ),
    ]  # fmt: skip


def alt(judged: WeighIn, units: Units) -> str:
    """The picture in one sentence."""
    said = [
        f"{reading.name.lower()} {change(reading.difference_kg, units)}, "
        f"{'agrees' if reading.agrees else 'does not agree'}"
        for reading in judged.readings
    ]
    return f"Scale against lists: {'; '.join(said)}"
