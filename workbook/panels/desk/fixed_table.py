"""An editable table whose rows are what they are: cells change, but nobody adds, copies, or removes a row."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from workbook.panels.desk.desk import Desk
from workbook.panels.desk.edits import takes_back
from workbook.widgets.table.table import Column, Edit, EditTable, Refusal

Rows = Callable[[], tuple[list[dict[str, Any]], list[str]]]
OnEdit = Callable[[list[Edit]], list[Refusal]]


def fixed_table(
    desk: Desk,
    label: str,
    *,
    columns: Callable[[], list[Column]],
    rows: Rows,
    on_edit: OnEdit,
    height: str,
) -> EditTable:
    """Make the table, and show it anew whenever the season changes.

    columns, rows : what to show now; rows come with their keys. on_edit : see EditTable.
    """
    cells, keys = rows()
    table = EditTable(
        label=label,
        columns=columns(),
        rows=cells,
        row_keys=keys,
        on_edit=on_edit,
        can_add=False,
        can_duplicate=False,
        can_remove=False,
        height=height,
        on_undo=takes_back(desk),
    )
    desk.records.append(lambda: table.show(*rows(), columns()))
    return table
