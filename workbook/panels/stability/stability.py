"""The stability page's panels: angles, one slope live on four wheels, and what lowers the tip angle most."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import ipywidgets as widgets

from loadcalc.model.errors import BadValue
from workbook.panels.desk.board import DialBoard
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.dials import Dial, bare_dial
from workbook.panels.desk.frame import html_table, lines, with_formulas
from workbook.panels.stability.polar_figure import polar_svg
from workbook.panels.stability.slope_figure import slope_svg
from workbook.panels.stability.slope_words import WHEEL_HEADS, Lean, pressed_words, slope_words, wheel_rows
from workbook.panels.stability.stability_words import (
    ANGLE_HEADS,
    CAUTION,
    COST_HEADS,
    angle_rows,
    cost_rows,
    cost_sentence,
    give_sentence,
    lift_sentence,
    parked_sentence,
    tip_sentence,
)

START = Lean(left_down_deg=15.0)
SIDE_DEG, GRADE_DEG, MOST_GIVE = 50.0, 40.0, 40.0
BY = {"By place, with all that rides there": "place", "By single thing": "thing"}
FACTORS = {"give_share": 0.01}  # what one of a dial is worth of its field, where that is not 1


class Tilt:
    """How the page holds the vehicle: the lean that its sliders set, and who wants to know. Nothing of it is kept."""

    def __init__(self, lean: Lean = START) -> None:
        self.lean = lean
        self.heard: list[Callable[[], None]] = []

    def set(self, **changes: float) -> None:
        """Lean it another way and tell everyone."""
        self.lean = replace(self.lean, **changes)
        for told in self.heard:
            told()


def or_why(make: Callable[[], str]) -> str:
    """The HTML that `make` gives, or in its place why nothing can be said."""
    try:
        return make()
    except BadValue as error:
        return lines(f"Not judged: {error}")


def _following(desk: Desk, tilt: Tilt, show: Callable[[], None]) -> None:
    show()
    desk.at_rest.append(show)
    tilt.heard.append(show)


@with_formulas(
    "static_stability_factor", "tip_angles", "lateral_g_at_tip", "first_lifts", "give_taken_off_deg"
)
def angles_view(desk: Desk, tilt: Tilt) -> widgets.Widget:
    """The table of angles, loaded against empty, and after the allowance for soft springs and tires."""
    head, table, under = widgets.HTML(), widgets.HTML(), widgets.HTML()

    def show() -> None:
        share = tilt.lean.give_share
        said = (tip_sentence(desk.report), parked_sentence(desk.report, desk.units))
        head.value = lines("\n".join(filter(None, said)))
        table.value = or_why(
            lambda: html_table(ANGLE_HEADS, angle_rows(desk.report, share), numbers=(1, 2, 3, 4))
        )
        under.value = lines(f"{give_sentence(share)}\n{lift_sentence(desk.report)}\n{CAUTION}")

    _following(desk, tilt, show)
    return widgets.VBox([head, table, under])


def slope_dials(desk: Desk, tilt: Tilt) -> widgets.Widget:
    """Sliders of side slope, grade, and the allowance; nothing of them is kept in the ledger."""
    board = DialBoard(lambda dial, value: tilt.set(**{dial.key: value * FACTORS.get(dial.key, 1.0)}))

    def show() -> None:
        board.show({"How does it lie?": lean_dials(tilt.lean)})

    def flat(_: object) -> None:
        tilt.set(left_down_deg=0.0, nose_up_deg=0.0)
        show()

    narrow = {"width": "auto", "align_self": "flex-start"}
    level = widgets.Button(description="Back to level", icon="undo", layout=narrow)
    level.on_click(flat)
    show()
    return widgets.VBox([board.view, level])


def lean_dials(lean: Lean) -> list[Dial]:
    """A dial for each part of a lean; the allowance in percent."""
    return [
        bare_dial(
            "left_down_deg", "Side slope", "°", lean.left_down_deg, (-SIDE_DEG, SIDE_DEG),
            sides=("left side down", "right side down"),
        ),
        bare_dial(
            "nose_up_deg", "Grade", "°", lean.nose_up_deg, (-GRADE_DEG, GRADE_DEG), sides=("nose up", "nose down")
        ),
        bare_dial("give_share", "Allowance for soft springs and tires", "%", 100 * lean.give_share, (0.0, MOST_GIVE)),
    ]  # fmt: skip


def tips(desk: Desk, tilt: Tilt) -> Callable[[], list[str]]:
    """Say when it tips, and how it stands on the slope of the sliders: what leads the page's answer."""

    def now() -> list[str]:
        try:
            slope = slope_words(desk.report, desk.units, tilt.lean).splitlines()
        except BadValue as error:
            slope = [f"Not judged: {error}"]
        return [tip_sentence(desk.report), *slope]

    return now


@with_formulas("slope_of", "tip_limit_deg", "least_tip_limit", "tip_margin_deg")
def slope_picture(desk: Desk, tilt: Tilt) -> widgets.Widget:
    """The limit over every heading, with the slope of the sliders in it."""
    picture = widgets.HTML()

    def show() -> None:
        picture.value = or_why(lambda: polar_svg(desk.report, tilt.lean))

    _following(desk, tilt, show)
    return picture


@with_formulas(
    "gravity_on_body", "wheel_loads_on_slope", "four_wheel_loads", "axle_loads_on_grade", "grade_percent"
)
def wheels_view(desk: Desk, tilt: Tilt) -> widgets.Widget:
    """What each wheel carries on the slope of the sliders."""
    said, wheels, picture = widgets.HTML(), widgets.HTML(), widgets.HTML()

    def show() -> None:
        lean = tilt.lean
        said.value = or_why(lambda: lines(pressed_words(desk.report, desk.units, lean)))
        picture.value = or_why(lambda: slope_svg(desk.report, desk.units, lean))
        wheels.value = or_why(
            lambda: html_table(WHEEL_HEADS, wheel_rows(desk.report, desk.units, lean), numbers=(1, 2, 3, 4))
        )

    _following(desk, tilt, show)
    return widgets.VBox([said, picture, wheels])


@with_formulas("moment_center", "tip_angles")
def costs_view(desk: Desk) -> widgets.Widget:
    """What lowers the tip angles most, ranked, by place or by single thing."""
    by = widgets.Dropdown(
        options=list(BY.items()), description="Ranked", layout=widgets.Layout(width="420px")
    )
    head, table = widgets.HTML(), widgets.HTML()

    def show() -> None:
        head.value = or_why(lambda: lines(cost_sentence(desk.report, desk.units)))
        table.value = or_why(
            lambda: html_table(
                COST_HEADS, cost_rows(desk.report, desk.units, by.value), numbers=(1, 2, 3, 4, 5)
            )
        )

    show()
    by.observe(lambda _: show(), "value")
    desk.at_rest.append(show)
    note = widgets.HTML(
        lines("Each is left out alone and the vehicle judged again, so the angles do not quite add up.")
    )
    return widgets.VBox([head, by, table, note])
