"""What a weigh-in may put right: a correction to accept, an empty weighing, and how sure the lists are taken to be."""

from __future__ import annotations

import ipywidgets as widgets

from loadcalc.checks.weighing.suspects import CURB, Suspect
from loadcalc.model.errors import LoadcalcError
from loadcalc.model.marks import isolated
from loadcalc.season.edit.tickets import read_ticket
from workbook.panels.desk.dials import amount
from workbook.panels.desk.forms import ROW, button, on_choice, quietly
from workbook.panels.desk.frame import lines, with_formulas
from workbook.panels.weigh_in import weigh_in_words as said_of
from workbook.panels.weigh_in.ticket_desk import TicketDesk
from workbook.panels.weigh_in.weigh_in_accept import (
    Correction,
    accept,
    accept_empty,
    corrections,
    empty_weighing,
)


def correction_offer(scale: TicketDesk) -> widgets.Widget:
    """Choose one correction of the lists, and accept it as a dated entry."""
    choose = widgets.Dropdown(description="Correct", layout=widgets.Layout(width="420px"))
    by = widgets.Text(description="by", layout=widgets.Layout(width="220px"), continuous_update=False)
    none = widgets.HTML(lines(said_of.NOTHING_TO_CORRECT))

    def chosen() -> Suspect | None:
        return scale.result.suspect(str(choose.value)) if scale.result and choose.value else None

    def show() -> None:
        may = corrections(scale.result) if scale.result else []
        with quietly(choose):
            choose.options = [(isolated(said_of.correction_words(s, scale.desk.units)), s.key) for s in may]
            choose.value = may[0].key if may else None  # a chooser that was made empty chooses nothing by itself
        prefill()
        offer.layout.display, none.layout.display = ("", "none") if may else ("none", "")

    def prefill() -> None:
        suspect = chosen()
        by.value = "" if suspect is None else said_of.whole(suspect.shift_kg, scale.desk.units)

    def take() -> None:
        desk, suspect, result = scale.desk, chosen(), scale.result
        if suspect is None or result is None:
            return
        try:
            low_kg = -1000.0 if suspect.kind == CURB else 0.0
            shift_kg = amount("mass", by.value, desk.units, "correction", low=low_kg)
        except LoadcalcError as error:
            desk.say(f"Not kept: {error}")
            return
        accept(desk, scale.key, result, Correction(suspect=suspect, shift_kg=shift_kg))

    offer = widgets.HBox([choose, by, button("Accept", take)], layout=ROW)
    scale.follow(show)
    on_choice(choose, prefill)
    return widgets.VBox([offer, none])


@with_formulas("cg_from_axle_weights", "cg_from_wheel_weights")
def empty_offer(scale: TicketDesk) -> widgets.Widget:
    """Take a ticket of the empty vehicle as its curb mass."""
    was_empty = widgets.Checkbox(
        description="It was empty: nobody, no gear, nothing on the roof",
        indent=False,
        layout=widgets.Layout(width="auto"),
    )
    take = widgets.Button(
        description="Take it as the curb mass", icon="check", layout=widgets.Layout(width="auto")
    )
    why = widgets.HTML()

    said_so = scale.key  # the ticket that the tick is about

    def show() -> None:
        nonlocal said_so
        if said_so != scale.key:
            said_so, was_empty.value = scale.key, False
        said = "" if scale.key else said_of.NO_TICKET
        try:
            if scale.key:
                empty_weighing(scale.desk.vehicle, read_ticket(scale.fields()))
        except LoadcalcError as error:
            said = f"Not yet: {error}"
        why.value = lines(said) if said else ""
        was_empty.disabled = bool(said)
        take.disabled = bool(said) or not was_empty.value

    scale.follow(show)
    was_empty.observe(lambda _: show(), "value")
    take.on_click(lambda _: accept_empty(scale.desk, scale.key))
    return widgets.VBox([was_empty, widgets.HBox([take]), why])


def doubt_boxes(scale: TicketDesk) -> widgets.Widget:
    """How sure the lists are taken to be: two ± to type, the others in words; then how sure the scale is."""
    curb, unlisted = (
        widgets.Text(
            value=value, description=name, continuous_update=False, layout=widgets.Layout(width="300px"),
            style={"description_width": "210px"},
        )
        for name, value in (("Curb mass, ±", scale.curb), ("Gear on no list, each zone, ±", scale.unlisted))
    )  # fmt: skip
    words = widgets.HTML()

    def show() -> None:
        vehicle, units = scale.desk.vehicle, scale.desk.units
        curb.layout.display = "none" if vehicle.curb_plus_minus_kg else ""
        try:
            said = [said_of.doubt_words(scale.doubts(), vehicle, units)]
        except LoadcalcError as error:
            said = [f"Not judged yet: {error}"]
        if scale.result:
            said.append(said_of.ticket_words(scale.result.ticket, units))
        words.value = lines("\n".join(said))

    scale.follow(show)
    for box in (curb, unlisted):
        on_choice(box, lambda: scale.doubt(curb.value, unlisted.value))
    return widgets.VBox([widgets.HBox([curb, unlisted], layout=ROW), words])
