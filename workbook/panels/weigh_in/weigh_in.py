"""The weigh-in: a ticket against the lists, where the missing weight may sit, and what of it is accepted."""

from __future__ import annotations

from dataclasses import replace

import ipywidgets as widgets

from loadcalc.checks.weighing.doubts import Doubts
from loadcalc.checks.weighing.suspects import CURB
from loadcalc.checks.weighing.weigh_in import WeighIn, expected_readings
from loadcalc.model.errors import LoadcalcError
from loadcalc.model.marks import isolated
from loadcalc.model.quantities import Units, read_mass_kg
from loadcalc.season.edit.tickets import read_ticket
from loadcalc.season.story.departures import ticket_fields
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.forms import on_choice, quietly, refill
from workbook.panels.desk.frame import html_table, lines, with_formulas
from workbook.panels.desk.measure import measure_rows, percent
from workbook.panels.weigh_in import held_readings_words as held_words
from workbook.panels.weigh_in import weigh_in_words as said_of
from workbook.panels.weigh_in.tickets import new_ticket, ticket_lines, ticket_table, tickets
from workbook.panels.weigh_in.weigh_in_accept import (
    Correction,
    accept,
    accept_empty,
    corrections,
    empty_weighing,
    judged,
)
from workbook.panels.weigh_in.weigh_in_figure import weigh_in_svg

UNLISTED_TEXT = {"US": "30 lb", "SI": "15 kg"}


def read_doubts(curb: str, unlisted: str, units: Units) -> Doubts:
    """The two ± that matter most as typed, a share of the curb mass and a mass; the others keep their defaults."""
    return replace(
        Doubts(),
        curb_share=percent(curb, units, "± of the curb mass"),
        unlisted_kg=read_mass_kg(unlisted, unit=units.mass_unit, field="gear on no list", high=500.0),
    )


@with_formulas(
    "gaussian_update",
    "rectangular_u",
    "quadrature",
    "tolerance_divisions",
    "cg_from_axle_weights",
    "cg_from_wheel_weights",
)
def weigh_in_panel(desk: Desk) -> widgets.Widget:
    """Choose or make a ticket, fill it in, see it against the lists, accept a correction."""
    auto = widgets.Layout(width="auto")
    which = widgets.Dropdown(description="Ticket", layout=widgets.Layout(width="420px"))
    add = widgets.Button(description="New ticket", icon="plus", layout=auto)
    expected, slips, held, words, picture, where, doubt = (widgets.HTML() for _ in range(7))
    choose = widgets.Dropdown(description="Correct", layout=widgets.Layout(width="420px"))
    by = widgets.Text(description="by", layout=widgets.Layout(width="220px"), continuous_update=False)
    accept_it = widgets.Button(description="Accept", icon="check", layout=auto)
    was_empty = widgets.Checkbox(
        description="It was empty: nobody, no gear, nothing on the roof",
        indent=False,
        layout=widgets.Layout(width="420px"),
    )
    take_empty = widgets.Button(description="Take it as the curb mass", icon="check", layout=auto)
    curb_doubt, unlisted_doubt = (
        widgets.Text(
            value=value, description=name, continuous_update=False, layout=widgets.Layout(width="300px"),
            style={"description_width": "210px"},
        )
        for name, value in (
            ("Curb mass, ±", "2%"),
            ("Gear on no list, each zone, ±", UNLISTED_TEXT[desk.units.name]),
        )
    )  # fmt: skip
    guess = widgets.HBox([curb_doubt, unlisted_doubt], layout=widgets.Layout(flex_flow="row wrap"))
    found: dict[str, WeighIn] = {}

    def key() -> str:
        return str(which.value or "")

    table = ticket_table(desk, key)
    offer = widgets.HBox([choose, by, accept_it], layout=widgets.Layout(flex_flow="row wrap"))
    empty = widgets.HBox([was_empty, take_empty], layout=widgets.Layout(flex_flow="row wrap"))
    filled = widgets.VBox([table, slips, held, words, picture, where, offer, empty, guess, doubt])

    def show() -> None:
        options = tickets(desk.season)
        refill(which, options)
        units = desk.units
        readings = expected_readings(desk.vehicle, desk.loadout)
        said = lines(said_of.expected_words(readings, units))
        rows = said_of.expected_rows(readings, units)
        expected.value = said + ("" if options else html_table(said_of.EXPECTED_HEADS, rows, numbers=(1, 2)))
        filled.layout.display = "" if options else "none"
        curb_doubt.layout.display = "none" if desk.vehicle.curb_plus_minus_kg else ""
        if options:
            table.show(*measure_rows(ticket_lines(desk, key), ticket_fields(desk.season, key()), units))
            show_judged()

    def show_judged() -> None:
        found.clear()
        slips.value = held.value = picture.value = where.value = ""
        try:
            doubts = read_doubts(curb_doubt.value, unlisted_doubt.value, desk.units)
            doubt.value = lines(said_of.doubt_words(doubts, desk.vehicle, desk.units))
            result = judged(desk, key(), doubts)
        except LoadcalcError as error:
            words.value = lines(f"Not judged yet: {error}")
        else:
            found["now"] = result
            if result.gaps:
                slips.value = lines(said_of.slip_words(result, desk.units), alarm=True)
            heads, *rows = held_words.held_table(result.held, desk.units)
            held.value = lines(
                held_words.held_words(result.held, desk.units), alarm=held_words.alarming(result.held)
            ) + html_table(heads, rows, numbers=range(1, len(heads) - 1))
            words.value = lines(said_of.lists_words(result, desk.units), alarm=not result.agrees)
            picture.value = weigh_in_svg(result, desk.units)
            where.value = html_table(
                said_of.SUSPECT_HEADS, said_of.suspect_rows(result, desk.units), numbers=(1, 2, 3, 4)
            )
        may = corrections(found["now"]) if found else []
        with quietly(choose):
            choose.options = [(isolated(said_of.correction_words(s, desk.units)), s.key) for s in may]
            choose.value = may[0].key if may else None  # a chooser that was made empty chooses nothing by itself
        prefill()
        offer.layout.display = "" if may else "none"
        show_empty()

    def show_empty(*_: object) -> None:
        try:
            weighed = bool(empty_weighing(desk.vehicle, read_ticket(ticket_fields(desk.season, key()))))
        except LoadcalcError:
            weighed = False
        empty.layout.display = "" if weighed else "none"
        take_empty.disabled = not was_empty.value

    def prefill(*_: object) -> None:
        suspect = found["now"].suspect(str(choose.value)) if found and choose.value else None
        by.value = "" if suspect is None else said_of.whole(suspect.shift_kg, desk.units)

    def take(_: object) -> None:
        suspect = found["now"].suspect(str(choose.value)) if found and choose.value else None
        if suspect is None:
            return
        try:
            shift_kg = read_mass_kg(
                by.value,
                unit=desk.units.mass_unit,
                field="correction",
                low=-1000.0 if suspect.kind == CURB else 0.0,
                decimal_comma=desk.units.decimal_comma,
            )
        except LoadcalcError as error:
            desk.say(f"Not kept: {error}")
            return
        accept(desk, key(), found["now"], Correction(suspect=suspect, shift_kg=shift_kg))

    def made(_: object) -> None:
        fresh = new_ticket(desk)
        if fresh:
            which.value = fresh

    def chosen() -> None:
        table.discard_unsaved()
        show()

    show()
    for asked in (curb_doubt, unlisted_doubt):
        asked.observe(lambda _: show_judged() if key() else None, "value")
    on_choice(which, chosen)
    on_choice(choose, prefill)
    was_empty.observe(show_empty, "value")
    add.on_click(made)
    accept_it.on_click(take)
    take_empty.on_click(lambda _: accept_empty(desk, key()))
    desk.records.append(show)
    head = widgets.HBox([which, add], layout=widgets.Layout(flex_flow="row wrap", align_items="center"))
    return widgets.VBox([expected, head, filled])
