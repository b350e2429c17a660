"""The start page: what comes first, and where to go from there."""

from __future__ import annotations

import ipywidgets as widgets

from loadcalc.checks import Judgment
from loadcalc.model.quantities import Units
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.findings_words import finding_lines
from workbook.panels.desk.frame import heading, html_list
from workbook.panels.loadout.summary_words import standing

URGENT = 3
NOTHING = "Nothing that is known is wrong. What nobody has entered or weighed is not known."
BEGIN = "Enter your own vehicle in one walk around it: “Where do I begin with my own vehicle?”, page 01."
THEN = (
    "Change what comes along and where it rides: page 03.",
    "Tie it down, and print the load-up sheet: page 05.",
    "Prove it on a scale, by axle: page 07.",
)


def urgent(judgment: Judgment, units: Units) -> list[str]:
    """Return the weightiest matters, each with its cure and page; before any of them, one's own vehicle."""
    begin = [BEGIN] * bool(judgment.shares.vehicle.not_known("curb_kg", "wheelbase_m"))
    return [*begin, *finding_lines(judgment.findings, units)][:URGENT] or [NOTHING]


def next_steps(desk: Desk) -> widgets.Widget:
    """Say what comes first, and then where the way leads."""
    first = widgets.HTML()

    def show() -> None:
        first.value = html_list(urgent(desk.report, desk.units))

    show()
    desk.at_rest.append(show)
    return widgets.VBox(
        [heading("What comes first?"), first, heading("And then?"), widgets.HTML(html_list(THEN))]
    )


def standing_lines(desk: Desk) -> str:
    """Return all that is found, under the name of the season and of the loadout."""
    return f"{standing(desk.report, desk.units)}\n{desk.season.title}; loadout: {desk.loadout_name}."
