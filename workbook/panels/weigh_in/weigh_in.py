"""The weigh-in: a ticket to fill in, what the scale says of the ratings, and what it says of the lists."""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as widgets

from loadcalc.checks.weighing.weigh_in import WeighIn, expected_readings
from loadcalc.model.quantities import Units
from workbook.panels.desk.forms import ROW, button, on_choice, quietly, refill
from workbook.panels.desk.frame import html_table, lines, with_formulas
from workbook.panels.desk.measure import measure_rows
from workbook.panels.weigh_in import held_readings_words as held_words
from workbook.panels.weigh_in import weigh_in_words as said_of
from workbook.panels.weigh_in.ticket_desk import TicketDesk
from workbook.panels.weigh_in.tickets import AS_WRITTEN, new_ticket, ticket_lines, ticket_table, tickets
from workbook.panels.weigh_in.weigh_in_figure import weigh_in_svg


def ticket_entry(scale: TicketDesk) -> widgets.Widget:
    """Choose or make a ticket, and write down what it shows."""
    desk = scale.desk
    which = widgets.Dropdown(description="Ticket", layout=widgets.Layout(width="340px"))
    table = ticket_table(desk, lambda: scale.key)
    hints = widgets.HTML(lines(AS_WRITTEN))

    def show() -> None:
        options = tickets(desk.season)
        refill(which, options)
        with quietly(which):
            which.value = scale.key or None
        for box in (which, table, hints):
            box.layout.display = "" if options else "none"
        if options:
            written = measure_rows(ticket_lines(desk, lambda: scale.key), scale.fields(), desk.units)
            table.show(*written)

    def made() -> None:
        fresh = new_ticket(desk)
        if fresh:
            scale.choose(fresh)

    def chosen() -> None:
        table.discard_unsaved()
        scale.choose(str(which.value))

    scale.follow(show)
    on_choice(which, chosen)
    head = widgets.HBox([which, button("New ticket", made, "plus")], layout=ROW)
    return widgets.VBox([head, table, hints])


@with_formulas("quadrature", "rectangular_u", "tolerance_divisions")
def scale_answer(scale: TicketDesk) -> widgets.Widget:
    """What the scale says of the ratings, then of the lists; without a ticket, how to get one and what to expect."""
    views = [widgets.HTML() for _ in range(4)]

    def show() -> None:
        for view, html in zip(views, answer_blocks(scale), strict=True):
            view.value = html

    scale.follow(show)
    return widgets.VBox(views)


def answer_blocks(scale: TicketDesk) -> tuple[str, str, str, str]:
    """Sums that don't come out, the ratings, the lists, and a picture; what is expected where nothing is judged yet."""
    units, result = scale.desk.units, scale.result
    if result is None:
        return "", "", lines(not_judged(scale)), expected_html(scale)
    slips = lines(said_of.slip_words(result, units), alarm=True) if result.gaps else ""
    held = lines(held_words.held_words(result.held, units), alarm=held_words.alarming(result.held))
    verdict = lines(said_of.verdict(result, units), alarm=not result.agrees)
    return slips, held, verdict, weigh_in_svg(result, units)


def not_judged(scale: TicketDesk) -> str:
    """Why there is no verdict: no ticket, or nothing on it yet."""
    return f"Not judged yet: {scale.why}" if scale.key else said_of.NO_TICKET


def expected_html(scale: TicketDesk) -> str:
    """What a scale should show of the loadout that is looked at."""
    desk = scale.desk
    if desk.vehicle.not_known("curb_kg", "wheelbase_m"):
        return lines(said_of.not_your_own(desk.report.findings))
    readings = expected_readings(desk.vehicle, desk.loadout)
    rows = said_of.expected_rows(readings, desk.units)
    words = [said_of.not_your_own(desk.report.findings), said_of.expected_words(readings, desk.units)]
    said = lines("\n".join(filter(None, words)))
    return said + html_table(said_of.EXPECTED_HEADS, rows, numbers=(1, 2))


def held_view(scale: TicketDesk) -> widgets.Widget:
    """The table of ratings as the scale shows them."""
    return _told(scale, held_html)


@with_formulas("gaussian_update")
def difference_view(scale: TicketDesk) -> widgets.Widget:
    """Each reading beside what the lists say, and where the difference most likely sits."""
    return _told(scale, difference_html)


def held_html(result: WeighIn, units: Units) -> str:
    """Each rating, what the scale shows of it, its limit, and the result."""
    heads, *rows = held_words.held_table(result.held, units)
    return html_table(heads, rows, numbers=range(1, len(heads) - 1))


def difference_html(result: WeighIn, units: Units) -> str:
    """Readings beside predictions in sentences, then the suspects as a table."""
    rows = said_of.suspect_rows(result, units)
    return lines(said_of.lists_words(result, units)) + html_table(said_of.SUSPECT_HEADS, rows, numbers=(1, 2, 3, 4))


def _told(scale: TicketDesk, html: Callable[[WeighIn, Units], str]) -> widgets.HTML:
    view = widgets.HTML()

    def show() -> None:
        view.value = html(scale.result, scale.desk.units) if scale.result else lines(not_judged(scale))

    scale.follow(show)
    return view
