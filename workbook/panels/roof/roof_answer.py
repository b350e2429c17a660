"""The answer beside the plan: what of roof, rack, bars, straps, and lifts is over or not known, and what is left."""

from __future__ import annotations

import ipywidgets as widgets

from loadcalc.checks import RatingResult, Report
from loadcalc.model.quantities import Units
from workbook.panels.desk.answer import answer
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.frame import html_table, lines, with_formulas
from workbook.panels.desk.palette import MARKS
from workbook.panels.desk.ratings_words import amount, center, percent, room, state
from workbook.panels.roof.roof_answer_words import roof_lead
from workbook.panels.roof.roof_words import load_words

RATINGS = (
    "roof_off_road", "roof_road", "roof_parked", "carrier_off_road", "carrier_road", "carrier_parked", "front_axle",
    "rear_axle",
)  # fmt: skip
HEADS = ("Rating", "Load", "Used", "Room")


def rating_rows(report: Report, units: Units) -> list[tuple[str, str, str, str]]:
    """The rows that a move on the roof changes: rating, load, share of its limit, what is left."""
    zones = [zone.name for zone in report.shares.loadout.zones if zone.on_carrier]
    keys = [*RATINGS, *(f"zone:{name}" for name in zones)]
    found = {rating.key: rating for rating in report.ratings}
    return [_row(found[key], units) for key in keys if key in found]


def _row(rating: RatingResult, units: Units) -> tuple[str, str, str, str]:
    mark = MARKS[state(rating)]
    return (
        f"{mark} {rating.name}".strip(),
        amount(rating, rating.load, units),
        percent(rating),
        room(rating, units),
    )


def beside(report: Report, units: Units) -> str:
    """Words under the ratings: the load on the roof rack, and the center of gravity of the whole vehicle."""
    return f"{load_words(report.shares.loadout, units)}\n{center(report, units)}"


@with_formulas("evaluate")
def roof_answer(desk: Desk) -> widgets.Widget:
    """What is wrong or not known up there, the verdict at each move; then the ratings that a move changes, at rest."""
    table, under = widgets.HTML(), widgets.HTML()

    def show() -> None:
        table.value = html_table(HEADS, rating_rows(desk.report, desk.units), numbers=(1, 2))
        under.value = lines(beside(desk.report, desk.units))

    show()
    desk.at_rest.append(show)
    return answer(desk, table, under, lead=lambda: roof_lead(desk.report))
