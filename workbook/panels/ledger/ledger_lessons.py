"""What the season teaches, and what has to be checked."""

from __future__ import annotations

import datetime
from typing import Any

import ipywidgets as widgets

from loadcalc.checks.intervals import NO_CHECKS, check_kinds
from loadcalc.model import check
from loadcalc.model.errors import BadValue
from loadcalc.season import Season
from loadcalc.season.file.fields import GONE
from loadcalc.season.story.due import TIRES, check_kind, checks_due, tire_made_on
from loadcalc.season.story.lessons import drifted, never_used, used_per_person_day
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.edits import apply_edits
from workbook.panels.desk.fixed_table import fixed_table
from workbook.panels.desk.frame import html_table, lines
from workbook.panels.ledger import ledger_words as say
from workbook.widgets.table.table import Column, Edit, EditTable, Refusal

TIRE = "tire:"  # a row of the table whose record is a tire, not an item


def lessons(desk: Desk) -> widgets.Widget:
    """Never used, drifted, and what is used per person and day."""
    view = widgets.HTML()

    def show() -> None:
        season, units = desk.season, desk.units
        unused = say.never_used_rows(never_used(season, desk.report), desk.report, units)
        drifts, rates = (
            say.drift_rows(drifted(season), units),
            say.rate_rows(used_per_person_day(season), units),
        )
        parts = [
            ("Carried on three trips or more, never used",
             ("Item", "Trips", "Saves", "Frees, in the tightest ratings"), unused, (1, 2)),
            ("Heavier or lighter than the weighing before, by more than their margin of error",
             ("Item", "Before", "After", "Change"), drifts, ()),
            ("Used per person and day", ("What", "On average", "Least to most", "From"), rates, (1, 2)),
        ]  # fmt: skip
        view.value = "".join(
            lines(title + ("." if rows else ": nothing yet.")) + (html_table(heads, rows, numbers) if rows else "")
            for title, heads, rows, numbers in parts
        ) + lines(say.NOT_USED)  # fmt: skip

    show()
    desk.records.append(show)
    return view


def due_view(desk: Desk) -> widgets.Widget:
    """Every check with the day it is due, soonest first, and who says so."""
    view = widgets.HTML()

    def show() -> None:
        today = datetime.date.today()
        dues = checks_due(desk.season)
        heads = ("State", "Due", "Thing", "What", "Counted from", "Who says so")
        table = html_table(heads, say.due_rows(dues, today)) if dues else ""
        overdue = any(due.state(today) == "overdue" for due in dues)
        view.value = lines(say.due_words(dues, today), alarm=overdue) + table + lines(say.REMINDER)

    show()
    desk.records.append(show)
    return view


def check_columns() -> list[Column]:
    """Columns of the table that says what has to be checked."""
    return [
        Column(key="name", title="Thing", kind="read-only", width="16em"),
        Column(key="check_kind", title="Is a", kind="choice", choices=(NO_CHECKS, *check_kinds()), width="13em",
               hint="A gas cylinder is “coated” when its outside is protected against corrosion and it only ever held "
               "gas that does not corrode, like propane; else, or of another type, it is “other”."),
        Column(key="made_on", title="Made on", kind="text", width="9em",
               hint="From the stamp or label, as 2014-06-01; for a tire the four digits after DOT, like 2319."),
        Column(key="expires_on", title="Expires on", kind="text", width="9em",
               hint="The date printed on it, as 2026-08-31."),
        Column(key="looked_on", title="Tire looked at", kind="text", width="9em",
               hint="Tires only; for anything else enter “inspected”."),
    ]  # fmt: skip


def check_rows(season: Season) -> tuple[list[dict[str, Any]], list[str]]:
    """Rows of that table: what is checked first, then the rest of the gear, then the tires; and their keys."""
    items = [
        (key, {**fields, "check_kind": check_kind(key, fields)})
        for key, fields in season.present.rows("item")
        if fields.get("state") not in GONE
    ]
    items.sort(key=lambda row: not row[1]["check_kind"])
    tires = [
        (TIRE + axle, {**(season.present.get("tire", axle) or {}), "name": name, "check_kind": "tire"})
        for axle, name in TIRES.items()
    ]
    checked = sum(bool(fields["check_kind"]) for _, fields in items)
    both = [*items[:checked], *tires, *items[checked:]]
    columns = ("name", "made_on", "expires_on", "looked_on")
    rows: list[dict[str, Any]] = [
        {
            **{name: str(fields.get(name, "")) for name in columns},
            "check_kind": fields["check_kind"] or NO_CHECKS,
        }
        for _, fields in both
    ]
    return rows, [key for key, _ in both]


def put_check(season: Season, edit: Edit) -> None:
    """Put one cell of that table into the season."""
    text = str(edit.text).strip()
    tire = edit.row_key.removeprefix(TIRE) if edit.row_key.startswith(TIRE) else ""
    if edit.column == "check_kind":
        if tire and text != "tire":
            raise BadValue("kind of check", text, "is not what a tire is", "leave it a tire")
        if not tire:
            season.set_item(edit.row_key, check_kind=text or NO_CHECKS)
        return
    if bool(tire) != (edit.column == "looked_on") and edit.column != "made_on":
        cure = "enter “inspected” above" if not tire else "leave it empty"
        raise BadValue(edit.column.replace("_", " "), text, "does not belong here", cure)
    if tire and text.isdigit():
        day: str | None = tire_made_on(text).isoformat()
    else:
        day = check.day("date", text).isoformat() if text else None
    if tire:
        season.put_single("tire", tire, {edit.column: day})
    else:
        season.set_item(edit.row_key, **{edit.column: day})


def check_table(desk: Desk) -> EditTable:
    """The table that says what is a gas cylinder, an extinguisher, a strap, and when it was made."""

    def on_edit(edits: list[Edit]) -> list[Refusal]:
        note = "What has to be checked" if len(edits) > 1 else f"Checks: {name(edits[0].row_key)}"
        return apply_edits(desk, edits, note, lambda edit: put_check(desk.season, edit))

    def name(key: str) -> str:
        return TIRES.get(key.removeprefix(TIRE)) or desk.season.present.name("item", key)

    return fixed_table(
        desk,
        "What has to be checked, and when it was made",
        columns=check_columns,
        rows=lambda: check_rows(desk.season),
        on_edit=on_edit,
        height="20rem",
    )
