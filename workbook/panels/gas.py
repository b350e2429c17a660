"""Gas and fuel: what is on board, how full and how old a cylinder may be, and the notes with their sources."""

from __future__ import annotations

import datetime

import ipywidgets as widgets

from loadcalc.checks.gas import TESTS, fill_limit, hazards, requalify_by
from loadcalc.model.errors import BadValue
from loadcalc.model.quantities import Units, read_mass_kg
from workbook.panels.desk import Desk
from workbook.panels.frame import html_table, lines, with_formulas
from workbook.words import gas as said

HEADS = ("Note", "How much", "From, and what it binds", "Status")
USUAL_KG = 21.6  # water capacity stamped on a common cylinder, 47.6 lb


def fill_words(text: str, units: Units) -> str:
    """Both fill limits for a water capacity as typed; or what is wrong with it."""
    try:
        return said.fill(fill_limit(read_mass_kg(text, unit=units.mass_unit, field="water capacity")), units)
    except BadValue as error:
        return f"Not computed: {error}."


def date_words(last: datetime.date | None, test: str, today: datetime.date) -> str:
    """When a cylinder is due again, and whether that is past."""
    if last is None:
        return "Date not known: read the stamp; without one it is not to be filled."
    due = requalify_by(last, test)
    if due <= today:
        return f"▲ Was due on {due.isoformat()}: not to be filled until it is tested again."
    return f"Due again on {due.isoformat()}, by the rule for {test}."


@with_formulas("fill_limit")
def gas_panel(desk: Desk) -> widgets.Widget:
    """Gas and fuel on board, a cylinder's fill limits and date, quantity notes, cautions. Keeps nothing."""
    onboard, notes, fills, dates = (widgets.HTML() for _ in range(4))
    wide, label = widgets.Layout(width="360px"), {"description_width": "190px"}
    water = widgets.Text(
        value=desk.units.mass(USUAL_KG), description="Water capacity (WC)", layout=wide, style=label
    )
    last = widgets.DatePicker(description="Stamped date", layout=wide, style=label)
    test = widgets.Dropdown(options=TESTS, description="Date of", layout=wide, style=label)

    def show(_: object = None) -> None:
        onboard.value = lines(said.summary(hazards(desk.loadout), desk.units))
        fills.value = lines(fill_words(water.value, desk.units))
        dates.value = lines(date_words(last.value, test.value, datetime.date.today()))

    def show_notes() -> None:
        notes.value = html_table(HEADS, said.note_rows(desk.units), numbers=(1,))

    show()
    show_notes()
    for control in (water, last, test):
        control.observe(show, "value")
    desk.numbers.append(show)
    desk.records.append(show_notes)
    row = widgets.Layout(flex_flow="row wrap")
    cylinder = widgets.VBox(
        [widgets.HBox([water, fills], layout=row), widgets.HBox([last, test, dates], layout=row)]
    )
    return widgets.VBox([onboard, cylinder, notes])
