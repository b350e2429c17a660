"""The ratings chart, the outline, and the list of what counts against one rating, kept up to date by the desk."""

from __future__ import annotations

from typing import Any

import ipywidgets as widgets

from loadcalc.checks import Report
from loadcalc.model.limits import RATINGS
from loadcalc.model.quantities import Units
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.forms import on_choice, refill
from workbook.panels.desk.frame import html_table, lines, told, with_formulas
from workbook.panels.desk.ratings_words import amount, room
from workbook.panels.loadout import consumed_figure as ratings
from workbook.panels.loadout import outline_figure as outline
from workbook.panels.loadout.summary_words import stance
from workbook.widgets.chart.chart import Chart


@with_formulas(
    "evaluate",
    "axle_loads",
    "wheel_shares",
    "placard_room_kg",
    "load_index_kg",
    "tire_capacity_kg",
    "capacity_at_kg",
    "overall_height",
)
def ratings_chart(desk: Desk) -> widgets.Widget:
    """The chart, with its switch between the short list and everything."""
    everything = widgets.Checkbox(value=False, description="Draw every rating", indent=False)
    rest = widgets.HTML()

    def drawn() -> tuple[dict[str, Any], str]:
        now = desk.report, desk.units
        return ratings.figure(*now, everything=everything.value), ratings.label(*now, everything=everything.value)

    chart = Chart(*drawn())

    def show() -> None:
        chart.draw(*drawn())
        shown = ratings.bars(desk.report, desk.units, everything=everything.value)
        text = lines(ratings.left_out(desk.report, shown, desk.units))
        if rest.value != text:
            rest.value = text

    show()
    everything.observe(lambda _: show(), "value")
    desk.at_rest.append(show)
    row = widgets.HBox([everything, rest], layout=widgets.Layout(flex_flow="row wrap", align_items="center"))
    return widgets.VBox([chart, row])


@with_formulas("moment_center", "shift_of_center_m")
def outline_view(desk: Desk) -> widgets.Widget:
    """How the load stands on the vehicle in words, side and plan outline, and the key of the zones beside it."""
    picture, key = widgets.HTML(layout=widgets.Layout(flex="1 1 560px")), widgets.HTML()

    def show() -> None:
        picture.value = outline.outline_svg(desk.report, desk.units)
        rows = outline.key(desk.report, desk.units)
        key.value = html_table(("No.", "Zone", "Load", "Its own limit"), rows, numbers=(0, 2))

    show()
    desk.at_rest.append(show)
    stands = told(desk, lambda: stance(desk.report, desk.units), leads=False)
    drawn = widgets.HBox([picture, key], layout=widgets.Layout(flex_flow="row wrap", align_items="center"))
    return widgets.VBox([stands, drawn])


MOST_PARTS = 15


def parts_rows(report: Report, key: str, units: Units) -> list[tuple[str, str, str, str]]:
    """What counts against one rating: name, own mass, share of it that counts, what it adds.

    The largest parts one by one, the rest as one row, then their sum, which is the rating's load.
    """
    rating = report.rating(key)
    parts = rating.parts
    shown = parts if len(parts) <= MOST_PARTS + 1 else parts[:MOST_PARTS]
    rows = [
        (part.name, units.mass(part.mass_kg), f"{part.share:.0%}", amount(rating, part.adds, units))
        for part in shown
    ]
    rest = parts[len(shown) :]
    if rest:
        rest_kg, adds = (sum(getattr(part, field) for part in rest) for field in ("mass_kg", "adds"))
        rows.append((f"{len(rest)} smaller ones", units.mass(rest_kg), "", amount(rating, adds, units)))
    return [*rows, ("Together", "", "", amount(rating, rating.load, units))]


@with_formulas("evaluate")
def what_counts(desk: Desk) -> widgets.Widget:
    """Choose a rating, see every mass that counts against it and how much each adds."""
    chooser = widgets.Dropdown(description="Rating", layout=widgets.Layout(width="420px"))
    head, table = widgets.HTML(), widgets.HTML()

    def options() -> None:
        refill(chooser, [(r.name, r.key) for r in desk.report.ratings])

    def show() -> None:
        rating = desk.report.rating(chooser.value)
        limit = "not known" if rating.limit is None else amount(rating, rating.limit, desk.units)
        read = f", read from: {rating.read_at}" if rating.read_at else ""
        said = [
            f"Counts: {rating.counts}; {rating.condition}.",
            f"Load {amount(rating, rating.load, desk.units)}, limit {limit}{read}; {room(rating, desk.units)}.",
        ]
        if rating.key in RATINGS:
            said.append(f"Where to find the limit: {RATINGS[rating.key].where}")
        head.value = lines("\n".join(said))
        heads = ("What", "Own mass", "Share that counts", "Adds")
        table.value = html_table(heads, parts_rows(desk.report, rating.key, desk.units), numbers=(1, 2, 3))

    options()
    show()
    on_choice(chooser, show)
    desk.records.append(options)
    desk.at_rest.append(show)
    return widgets.VBox([chooser, head, table])
