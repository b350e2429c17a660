"""The tables of what the carrier stands on and what straps are hooked to: bars and tie points."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import ipywidgets as widgets

from loadcalc.model import Limit
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.measure import mass
from workbook.panels.desk.place_cells import AHEAD, length_cell, sideways_cell
from workbook.panels.desk.register import Cell, Register, register_table
from workbook.widgets.table.table import Column, EditTable

READ_AT = "Maker's sheet, a plate, a letter. A limit without a source is a guess."
LIMIT = "Empty: not known, and never counted as passed."


def bars(desk: Desk) -> Register:
    """Bars across the roof, with a foot at each end."""

    def cells() -> list[Cell]:
        return [
            Cell(column=Column(key="name", title="Bar", kind="text"), show=lambda b: b.name, field="name", needed=True),
            length_cell(desk, "aft_m", "Aft of front axle", lambda b: b.aft_m, AHEAD, low_m=-5.0),
            length_cell(
                desk, "half_span_m", "Center line to a foot", lambda b: b.half_span_m,
                "Half of the distance between its two feet.",
            ),
            *_limit(desk, "limit", "Limit of the bar", lambda b: b.limit),
            *_limit(desk, "foot_limit", "Limit of one foot", lambda b: b.foot_limit),
        ]  # fmt: skip

    return Register(
        subject="bar",
        label="Bars that the roof rack stands on",
        records=lambda: desk.season.carrier.bars if desk.season.carrier else (),
        cells=cells,
    )


def tie_points(desk: Desk) -> Register:
    """Places on the carrier that a strap is hooked to, each with its working load limit (WLL)."""

    def cells() -> list[Cell]:
        name = Column(key="name", title="Tie point", kind="text")
        return [
            Cell(column=name, show=lambda p: p.name, field="name", needed=True),
            length_cell(desk, "aft_m", "Aft of front axle", lambda p: p.aft_m, AHEAD, low_m=-5.0),
            sideways_cell(desk, lambda p: p.left_m, needed=True),
            *_limit(desk, "limit", "Working load limit", lambda p: p.limit),
        ]

    return Register(
        subject="tie_point",
        label="Tie points",
        records=lambda: desk.season.carrier.tie_points if desk.season.carrier else (),
        cells=cells,
    )


def _limit(desk: Desk, field: str, title: str, get: Callable[[Any], Limit]) -> list[Cell]:
    units = desk.units
    prefix = field.removesuffix("limit")

    def show(record: Any) -> str:
        kg = get(record).limit_kg
        return "" if kg is None else units.mass(kg)

    def read(text: str) -> float | None:
        if text.strip() in ("", "?"):
            return None
        return mass(text, units, title.lower())

    return [
        Cell(
            column=Column(key=f"{field}_kg", title=title, kind="number", hint=LIMIT, width="8em"),
            show=show,
            field=f"{field}_kg",
            read=read,
            order=lambda record: get(record).limit_kg or 0.0,
        ),
        Cell(
            column=Column(
                key=f"{prefix}read_at", title="Where that was read", kind="text", hint=READ_AT, width="12em"
            ),
            show=lambda record: get(record).read_at,
            field=f"{prefix}read_at",
        ),
    ]


def bar_table(desk: Desk) -> EditTable:
    """The editable table of bars."""
    return register_table(desk, bars(desk), height="14rem")


def tie_point_table(desk: Desk) -> EditTable:
    """The editable table of tie points."""
    return register_table(desk, tie_points(desk), height="18rem")


def carrier_parts(desk: Desk) -> widgets.Widget:
    """Both tables; a line instead when the season has no carrier."""
    if desk.season.carrier is None:
        return widgets.HTML("This season has no roof rack or platform.")
    return widgets.VBox([bar_table(desk), tie_point_table(desk)])
