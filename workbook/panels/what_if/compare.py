"""Two to four loadouts side by side: what moved, what was left, each rating, and the way of the center of gravity."""

from __future__ import annotations

from collections.abc import Sequence

import ipywidgets as widgets

from loadcalc.checks import Judgment
from loadcalc.model.quantities import Units
from loadcalc.plan.compare import Comparison, compare
from loadcalc.season.story.departures import Departure
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.forms import on_choice, quietly
from workbook.panels.desk.frame import html_table, lines, with_formulas
from workbook.panels.what_if.compare_figure import cg_path_svg
from workbook.panels.what_if.what_if import renamed
from workbook.panels.what_if.what_if_words import compare_words, difference_rows, rating_rows

PLACES = ("First", "Second", "Third", "Fourth")
TRIED, NONE = "As tried out now", "(none)"


def judged(desk: Desk, names: Sequence[str]) -> list[Judgment]:
    """The loadouts of these names as judged, each once; TRIED is what the page shows now, NONE is left out."""
    found: dict[str, Judgment] = {}
    for name in names:
        if name == TRIED:
            found[name] = desk.judge(renamed(desk.loadout, TRIED))
        elif name != NONE and name not in found:
            found[name] = Departure(desk.season, name).judge(desk.vehicle)
    return list(found.values())


def shown(found: Comparison, units: Units) -> dict[str, str]:
    """What the panel shows, as HTML: words, ratings, differences, picture."""
    right = range(1, len(found.names) + 1)
    heads = [f"{number} {name}" for number, name in enumerate(found.names, start=1)]
    differences = difference_rows(found, units)
    moved = html_table(("Rides differently", *heads), differences) if differences else ""
    return {
        "words": lines(compare_words(found, units)),
        "ratings": html_table(("Rating", *heads), rating_rows(found, units), numbers=right),
        "differences": moved,
        "picture": cg_path_svg(found, units),
    }


def first_choice(names: Sequence[str], looked_at: str) -> list[str]:
    """What the four choosers open with: the loadout looked at, the next one or what is tried, then none."""
    others = [name for name in names if name != looked_at]
    return [looked_at, others[0] if others else TRIED, NONE, NONE]


@with_formulas("evaluate", "tip_angles")
def compare_panel(desk: Desk) -> widgets.Widget:
    """Choose two to four loadouts and see them side by side; what is tried out on the page can be one of them."""
    choosers = [widgets.Dropdown(description=place, layout=widgets.Layout(width="290px")) for place in PLACES]
    views = {part: widgets.HTML() for part in ("words", "ratings", "differences", "picture")}

    def options() -> None:
        names = list(desk.season.loadout_names)
        opening = first_choice(names, desk.loadout_name)
        for place, chooser in enumerate(choosers):
            kept = chooser.value
            with quietly(chooser):
                chooser.options = [*names, TRIED] if place < 2 else [NONE, *names, TRIED]
                chooser.value = kept if kept in chooser.options else opening[place]

    def show() -> None:
        found = judged(desk, [chooser.value for chooser in choosers])
        if len(found) < 2:
            for view in views.values():
                view.value = ""
            views["words"].value = lines("Choose two different loadouts to put side by side.")
            return
        for part, html in shown(compare(found), desk.units).items():
            views[part].value = html

    def tried() -> None:
        if TRIED in [chooser.value for chooser in choosers]:
            show()

    def records() -> None:
        options()
        show()

    records()
    for chooser in choosers:
        on_choice(chooser, show)
    desk.records.append(records)
    desk.at_rest.append(tried)
    row = widgets.HBox(choosers, layout=widgets.Layout(flex_flow="row wrap"))
    moved = widgets.Accordion([views["differences"]], titles=("What rides differently",), selected_index=0)
    return widgets.VBox([row, views["words"], views["ratings"], views["picture"], moved])
