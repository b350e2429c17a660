"""How every table of the pages puts its edits into the season: one entry, cell by cell, refusals with their reasons."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from loadcalc.model.errors import BadValue, LoadcalcError
from workbook.panels.desk.desk import Desk
from workbook.widgets.table.table import Edit, Refusal

One = Callable[[Edit], Sequence[Refusal] | None]


def apply_edits(desk: Desk, edits: Sequence[Edit], note: str, one: One, kind: str = "edit") -> list[Refusal]:
    """Put a table's edits into the season as one entry, and tell the page.

    one : puts a single edit in, and returns the cells of it that it refuses, or raises for the one cell.
    What the season itself refuses at the end takes the whole entry back and is raised; the table shows it.
    """
    desk.keep_now()
    refusals: list[Refusal] = []
    with desk.season.entry(note, kind) as draft:
        for edit in edits:
            try:
                refusals += one(edit) or ()
            except LoadcalcError as error:
                refusals.append(Refusal(row_key=edit.row_key, column=edit.column, reason=reason(error)))
    desk.reload("" if draft.entry is None else f"Kept in the ledger: {draft.entry.note}")
    return refusals


def takes_back(desk: Desk) -> Callable[[bool], str]:
    """What Ctrl+Z and Ctrl+Y do in a table of the desk: take back what this page did last, or do it again."""

    def act(redo: bool) -> str:
        (desk.redo_own if redo else desk.undo_own)()
        return desk.status

    return act


def reason(error: LoadcalcError) -> str:
    """The sentence without the place: the table shows it in place."""
    return str(error.at("")) if isinstance(error, BadValue) else str(error)
