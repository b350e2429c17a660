"""Tie-downs: which pieces belong together, their straps, and what two published rule sets say of them."""

from __future__ import annotations

from collections.abc import Sequence

import ipywidgets as widgets

from loadcalc.checks.restraint.strapping import CFR, EN
from loadcalc.checks.restraint.tied import tied_groups, untied
from loadcalc.checks.restraint.verdict import LIFT_COEFFICIENT, ROAD_SPEED_M_PER_S, judge
from loadcalc.model.quantities import Units
from loadcalc.model.straps import Strapping
from loadcalc.season.edit.straps import tie, tie_can
from workbook.panels.desk.board import DialBoard
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.dials import Dial, bare_dial
from workbook.panels.desk.edits import apply_edits
from workbook.panels.desk.fixed_table import fixed_table
from workbook.panels.desk.frame import html_table, lines, with_formulas
from workbook.panels.desk.html_text import escape
from workbook.panels.desk.register import register_table
from workbook.panels.tie_down import tie_down_words as said
from workbook.panels.tie_down.strap_columns import (
    CAN,
    NO_GROUP,
    Judged,
    piece_columns,
    piece_rows,
    strap_register,
)
from workbook.widgets.table.table import Edit, EditTable, Refusal

HEADS = ("What is judged", f"{CFR} (for commercial trucks)", f"{EN} (for vehicles over 3,500 kg, 7,716 lb)")
MPH, KMH = 0.44704, 1 / 3.6  # m/s in one mile an hour (exact), in one kilometer an hour
SPEEDS = {"US": ("mph", MPH, 65.0, 90.0), "SI": ("km/h", KMH, 105.0, 145.0)}


def judged(
    desk: Desk, *, speed_m_per_s: float = ROAD_SPEED_M_PER_S, lift_coefficient: float = LIFT_COEFFICIENT
) -> Judged:
    """Each tied group of the loadout with its verdicts."""
    groups = tied_groups(desk.loadout)
    return [(g, judge(g, speed_m_per_s=speed_m_per_s, lift_coefficient=lift_coefficient)) for g in groups]


def loose(desk: Desk) -> tuple[str, ...]:
    """What rides outside without straps."""
    return untied(desk.loadout)


def tie_down_words(desk: Desk) -> str:
    """Tie-downs in a few sentences."""
    return said.summary(judged(desk), loose(desk))


def piece_table(desk: Desk) -> EditTable:
    """Which piece outside the cabin is tied down with which group."""

    def groups() -> tuple[Strapping, ...]:
        return desk.loadout.straps

    def one(edit: Edit) -> None:
        group = None if edit.text in ("", NO_GROUP) else str(edit.text)
        key = edit.row_key.removeprefix(CAN)
        (tie if key == edit.row_key else tie_can)(desk.season, desk.loadout_name, key, group)

    def on_edit(edits: list[Edit]) -> list[Refusal]:
        rows, keys = piece_rows(desk.loadout, groups(), desk.units)
        names = {key: row["item"] for key, row in zip(keys, rows, strict=True)}
        first = edits[0]
        what = names.get(first.row_key, "") if len(edits) == 1 else f"{len(edits)} pieces"
        return apply_edits(desk, edits, f"{what}: tied down with {first.text}", one)

    return fixed_table(
        desk,
        "What is tied down together",
        columns=lambda: piece_columns(groups()),
        rows=lambda: piece_rows(desk.loadout, groups(), desk.units),
        on_edit=on_edit,
        height="18rem",
    )


def verdicts_html(found: Judged, missing: Sequence[str], units: Units) -> str:
    """Every group with both rule sets side by side, then what is loose, the edges, and the caution."""
    parts = [lines(said.summary(found, missing))]
    for tied, verdicts in found:
        parts.append(f"<div class='loadout-words'><h3>{escape(tied.strapping.name)}</h3></div>")
        parts.append(lines(said.rests_on(tied, units)))
        parts.append(html_table(HEADS, said.rows(verdicts, units, (CFR, EN))))
    return "".join([*parts, lines(f"{said.EDGES}\n{said.CAUTION}")])


@with_formulas(
    "tie_downs_needed",
    "aggregate_needed_kg",
    "aggregate_limit_kg",
    "weakest_kg",
    "asked_by",
    "friction_of",
    "friction_hold_n",
    "pressed_down_n",
    "straps_over_needed",
    "direct_force_n",
    "wind_uplift_n",
)
def tie_down_panel(desk: Desk) -> widgets.Widget:
    """Tied groups, their straps, and the verdicts of both rule sets and of the wind."""
    lift = widgets.BoundedFloatText(
        value=LIFT_COEFFICIENT, min=0.0, max=3.0, step=0.1, description="Lift coefficient (assumed)",
        layout=widgets.Layout(width="280px"), style={"description_width": "180px"},
    )  # fmt: skip
    view = widgets.HTML()

    speed: dict[str, float] = {}  # by unit: each has its own usual one

    def found() -> Judged:
        unit, worth, usual, _ = SPEEDS[desk.season.units]
        return judged(desk, speed_m_per_s=speed.get(unit, usual) * worth, lift_coefficient=lift.value)

    def show(_: object = None) -> None:
        view.value = verdicts_html(found(), loose(desk), desk.units)

    def moved(dial: Dial, value: float) -> None:
        speed[dial.scale.unit] = value
        show()

    board = DialBoard(moved)

    def in_units() -> None:
        unit, _, usual, most = SPEEDS[desk.season.units]
        at = speed.get(unit, usual)
        board.show({"": [bare_dial("speed", "Speed of the air", unit, at, (0.0, most), step=5.0)]})

    table, pieces = register_table(desk, strap_register(desk, found), height="18rem"), piece_table(desk)
    show()
    in_units()
    lift.observe(show, "value")
    desk.records.append(in_units)
    desk.at_rest.append(show)
    air = widgets.Box([board.view], layout=widgets.Layout(flex="0 1 460px"))
    wind = widgets.HBox([air, lift], layout=widgets.Layout(flex_flow="row wrap"))
    note = widgets.HTML(lines("Wind counts only for groups that are ticked as lying flat."))
    return widgets.VBox([table, pieces, wind, note, view])
