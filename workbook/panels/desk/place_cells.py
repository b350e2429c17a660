"""Columns of places and lengths, shared by the tables of zones, seats, bars, and tie points."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from workbook.panels.desk.desk import Desk
from workbook.panels.desk.dials import amount
from workbook.panels.desk.register import Cell
from workbook.widgets.table.table import Column

Get = Callable[[Any], float]
AHEAD = "Behind the front axle line; ahead of it: below zero."
SIDEWAYS = "Left or right of center"


def told(record: Any, measure: str, text: str) -> str:
    """A measure as a cell shows it: "≈" before one that is assumed, nothing for one that nobody knows."""
    for one in getattr(record, "assumed", ()):
        if one.measure == measure:
            return "" if one.plus_minus is None else f"≈ {text}"
    return text


def length_cell(desk: Desk, field: str, title: str, get: Get, hint: str = "", low_m: float = 0.0) -> Cell:
    """A column of lengths; every new row must have one."""
    units = desk.units
    return Cell(
        column=Column(key=field, title=title, kind="number", hint=hint),
        show=lambda record: told(record, field, units.length(get(record))),
        field=field,
        needed=True,
        read=lambda text: amount("length", text, units, title.lower(), low=low_m),
        order=get,
    )


def sideways_cell(desk: Desk, get: Get, *, needed: bool = False) -> Cell:
    """The column of places to the left or right of the center line, in words."""
    units = desk.units
    hint = f"As 15 {units.length_unit} right. Without a word: to the left; below zero: to the right."
    return Cell(
        column=Column(key="left_m", title=SIDEWAYS, kind="number", hint=hint),
        show=lambda record: told(record, "left_m", units.sideways(get(record))),
        field="left_m",
        needed=needed,
        read=lambda text: amount("sideways", text, units, SIDEWAYS.lower()),
        order=get,
    )
