"""Does the scale agree with the lists? One band for what the lists say, one mark with its margin for the scale."""

from __future__ import annotations

import math

from loadcalc.checks.weighing.scales import COVERAGE
from loadcalc.checks.weighing.weigh_in import Compared, WeighIn
from loadcalc.model.quantities import Units
from workbook.panels.desk.drawing import box, disc, line, page, words
from workbook.panels.desk.palette import LOAD_TINT, ROLES
from workbook.panels.weigh_in.weigh_in_words import change, whole

WIDTH = 560.0
LEFT, RIGHT = 20.0, 540.0
TOP, ROW = 66.0, 54.0


def weigh_in_svg(judged: WeighIn, units: Units) -> str:
    """Each reading against its prediction, as a difference, with the margin of error of both."""
    reach_kg = reach(judged)
    quiet = ROLES["quiet"]
    bottom = TOP + ROW * len(judged.readings)
    zero = _across(0.0, reach_kg)
    strokes = [
        words(LEFT, 22, "Bar: the lists. Circle: the scale. Each with its margin of error, about 95%.", color=quiet,
              anchor="start"),
        words(zero, TOP - 18, "as listed", color=quiet),
        words(LEFT, TOP - 18, change(-reach_kg, units), color=quiet, anchor="start"),
        words(RIGHT, TOP - 18, change(reach_kg, units), color=quiet, anchor="end"),
        line([(zero, TOP - 12), (zero, bottom - 8)], color=ROLES["limit"], width=1.5),
    ]  # fmt: skip
    for number, reading in enumerate(judged.readings):
        strokes += _row(reading, TOP + ROW * number, reach_kg, units)
    return page(WIDTH, bottom, alt(judged, units), strokes)


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
        words(LEFT, y + 10, f"{reading.name}: lists {lists}, scale {scale}", anchor="start"),
        words(
            RIGHT, y + 10, f"{change(reading.difference_kg, units)}: {state}", anchor="end", color=color,
            bold=not reading.agrees,
        ),
        box(left, y + 20, right - left, 16, fill=LOAD_TINT, stroke=ROLES["load"]),
        line([(low, y + 28), (high, y + 28)], color=color, width=2.5),
        line([(low, y + 23), (low, y + 33)], color=color, width=2),
        line([(high, y + 23), (high, y + 33)], color=color, width=2),
        disc(at, y + 28, 5, fill="#ffffff" if reading.agrees else ROLES["alarm"], stroke=color, width=2),
    ]  # fmt: skip


def alt(judged: WeighIn, units: Units) -> str:
    """The picture in one sentence."""
    said = [
        f"{reading.name.lower()} {change(reading.difference_kg, units)}, "
        f"{'agrees' if reading.agrees else 'does not agree'}"
        for reading in judged.readings
    ]
    return f"Scale against lists: {'; '.join(said)}"
