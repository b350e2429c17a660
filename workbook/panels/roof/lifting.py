"""Lifting: each box to its place by one person, with the assumptions as controls."""

from __future__ import annotations

import ipywidgets as widgets

from loadcalc.checks.lifting.hoist import LEANING_M, Handling, Lifted, lifts
from loadcalc.checks.lifting.niosh import DURATIONS_H, GRIPS
from loadcalc.model.quantities import Units
from workbook.panels.desk.desk import Desk
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


def over_slider(units: Units) -> widgets.FloatSlider:
    """How far one leans over sill or rail at the place, from what is usual, in whole inches or steps of 10 mm."""
    scale = units.scale("length")
    step = 1.0 if scale.unit == "in" else 10.0
    return widgets.FloatSlider(
        value=round(scale.value(LEANING_M[units.name])), min=0.0, max=16.0 if step == 1.0 else 400.0, step=step,
        readout_format=".0f", layout=WIDE, style=LABEL, description=f"Leaning over sill or rail, {scale.unit}",
    )  # fmt: skip


@with_formulas(
    "recommended_limit_kg", "lift_multipliers", "frequency_multiplier", "grip_multiplier", "lifting_index"
)
def lifting_panel(desk: Desk) -> widgets.Widget:
    """The lifting equation for every box of the loadout, live."""
    usual = Handling()
    start = widgets.Dropdown(options=list(FROM), description="Lifted from", layout=WIDE, style=LABEL)
    over = over_slider(desk.units)
    turn = widgets.IntSlider(
        value=0, min=0, max=135, step=15, description="Body turned, degrees", layout=WIDE, style=LABEL
    )
    grip = widgets.Dropdown(options=GRIPS, value=usual.grip, description="Grip", layout=WIDE, style=LABEL)
    often = widgets.FloatSlider(
        value=usual.lifts_per_min, min=0.2, max=15.0, step=0.2, readout_format=".1f", layout=WIDE, style=LABEL,
        description="Lifts a minute",
    )  # fmt: skip
    hours = widgets.Dropdown(
        options=[(f"up to {h} h", h) for h in DURATIONS_H],
        description="Lifting lasts",
        layout=WIDE,
        style=LABEL,
    )
    view = widgets.HTML()
    controls = (start, over, turn, grip, often, hours)

    def show(_: object = None) -> None:
        handling = Handling(
            from_m=FROM[start.value],
            over_m=desk.units.scale("length").si(over.value),
            turn_deg=float(turn.value),
            grip=grip.value,
            lifts_per_min=often.value,
            hours=hours.value,
            form=desk.units.name,
        )
        view.value = lifting_html(lifts(desk.loadout, handling), desk.units)

    def in_units() -> None:
        made = over_slider(desk.units)
        if over.description != made.description:
            with over.hold_trait_notifications():
                over.max, over.step, over.value, over.description = (
                    made.max,
                    made.step,
                    made.value,
                    made.description,
                )

    show()
    desk.records.append(in_units)
    for control in controls:
        control.observe(show, "value")
    desk.at_rest.append(show)
    return widgets.VBox([widgets.HBox(list(controls), layout=widgets.Layout(flex_flow="row wrap")), view])
