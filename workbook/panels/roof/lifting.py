"""Lifting: each box to its place by one person, with the assumptions as controls."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import ipywidgets as widgets

from loadcalc.checks.lifting.hoist import LEANING_M, Handling, Lifted, lifts
from loadcalc.checks.lifting.niosh import DURATIONS_H, GRIPS
from loadcalc.model.quantities import Units
from workbook.panels.desk.board import DialBoard
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.dials import Dial, bare_dial, reader
from workbook.panels.desk.frame import html_table, lines, with_formulas
from workbook.panels.roof import lifting_words as said

HEADS = ("Box", "To", "By the equation", "Mass", "Hands at", "Limit, one person", "Mass / limit")
WIDE = widgets.Layout(width="380px")
LABEL = {"description_width": "210px"}
FROM = {"the ground": 0.0, "a bumper or low wall": 0.5, "a tailgate or table": 0.75}


def lifting_html(found: tuple[Lifted, ...], units: Units) -> str:
    """What the panel shows: the sentence, the table of the hardest boxes, what is left out, the caution."""
    parts = [lines(said.summary(found, units))]
    parts.append(html_table(HEADS, said.lift_rows(found, units), numbers=(3, 4, 5, 6)))
    rest = len(found) - said.SHOWN
    more = f"Not listed: {rest} more, lighter beside their limits.\n" if rest > 0 else ""
    return "".join([*parts, lines(f"{more}{said.FOOTING}\n{said.CAUTION}")])


def lifting_words(desk: Desk) -> str:
    """Lifting in a sentence, as boxes are usually lifted: from the ground, once in five minutes."""
    return said.summary(lifts(desk.loadout, Handling(form=desk.units.name)), desk.units)


def handling_dials(now: Handling, units: Units) -> list[Dial]:
    """A dial for how far one leans over sill or rail, how far the body is turned, and how often one lifts."""
    scale, label = units.scale("length"), "Leaning over sill or rail"
    over_m = LEANING_M[units.name] if now.over_m is None else now.over_m
    step, most = (1.0, 16.0) if scale.unit == "in" else (10.0, 400.0)
    return [
        Dial(
            key="over_m", label=label, scale=scale, value=scale.value(over_m), low=0.0, high=most, step=step,
            read=reader("length", label, units),
        ),
        bare_dial("turn_deg", "Body turned", "°", now.turn_deg, (0.0, 135.0), step=15.0),
        bare_dial("lifts_per_min", "How often", "a minute", now.lifts_per_min, (0.2, 15.0), step=0.2, decimals=1),
    ]  # fmt: skip


def usual_handling(units: Units) -> Handling:
    """How boxes are usually lifted, leaning over as far as the reader's printed form has it: whole inches, or 15 cm."""
    scale = units.scale("length")
    return Handling(form=units.name, over_m=scale.si(round(scale.value(LEANING_M[units.name]))))


@with_formulas(
    "recommended_limit_kg", "lift_multipliers", "frequency_multiplier", "grip_multiplier", "lifting_index"
)
def lifting_panel(desk: Desk) -> widgets.Widget:
    """The lifting equation for every box of the loadout, live."""
    now = usual_handling(desk.units)
    start = widgets.Dropdown(options=list(FROM), description="Lifted from", layout=WIDE, style=LABEL)
    grip = widgets.Dropdown(options=GRIPS, value=now.grip, description="Grip", layout=WIDE, style=LABEL)
    hours = widgets.Dropdown(
        options=[(f"up to {h} h", h) for h in DURATIONS_H],
        description="Lifting lasts",
        layout=WIDE,
        style=LABEL,
    )
    view = widgets.HTML()

    def show(_: object = None) -> None:
        nonlocal now
        now = replace(now, from_m=FROM[start.value], grip=grip.value, hours=hours.value)
        view.value = lifting_html(lifts(desk.loadout, now), desk.units)

    def moved(dial: Dial, si: float) -> None:
        nonlocal now
        changed: dict[str, Any] = {dial.key: si}
        now = replace(now, **changed)
        show()

    board = DialBoard(moved)

    def in_units() -> None:
        nonlocal now
        if now.form != desk.units.name:
            now = replace(now, form=desk.units.name, over_m=usual_handling(desk.units).over_m)
        board.show({"": handling_dials(now, desk.units)})

    in_units()
    show()
    desk.records.append(in_units)
    for control in (start, grip, hours):
        control.observe(show, "value")
    desk.at_rest.append(show)
    choices = widgets.HBox([start, grip, hours], layout=widgets.Layout(flex_flow="row wrap"))
    return widgets.VBox([choices, board.view, view])
