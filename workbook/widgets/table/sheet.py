"""What the editable table remembers: rows, drafts and refused texts. No widget and no browser here."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from loadcalc.model.marks import isolated
from workbook.widgets.table.records import Column, Text

Row = Mapping[str, object]
SORT = "_sort"
WHOLE_ROW = ""


@dataclass(slots=True)
class Draft:
    """A new row that the owner has not accepted yet.

    kind: "add" or "duplicate"; source_key: the row copied; typed: every editable cell as typed;
    good: the last text of each cell that was not refused (what Escape brings back).
    """

    kind: str
    source_key: str
    typed: dict[str, Text]
    good: dict[str, Text] = field(default_factory=dict)


class Sheet:
    """Rows in order, drafts below them, and the typed texts that were refused, by row key and column key."""

    def __init__(self, columns: Sequence[Column], rows: Sequence[Row], row_keys: Sequence[str]) -> None:
        self.columns: tuple[Column, ...] = ()
        self.rows: dict[str, dict[str, Text]] = {}
        self.sort: dict[str, dict[str, float]] = {}
        self.drafts: dict[str, Draft] = {}
        self.refused: dict[str, dict[str, tuple[Text, str]]] = {}
        self.became: dict[str, str] = {}
        self._made = 0
        self.replace(columns, rows, row_keys)

    def replace(self, columns: Sequence[Column], rows: Sequence[Row], row_keys: Sequence[str]) -> None:
        """Show other rows and columns. Drafts stay; refused texts stay where row and column still exist."""
        _check_keys("columns", [column.key for column in columns])
        _check_keys("row_keys", row_keys)
        if len(rows) != len(row_keys):
            raise ValueError(f"row_keys has {len(row_keys)} keys for {len(rows)} rows: give each row one key")
        self.columns = tuple(columns)
        self.rows = {key: self._cells(key, row) for key, row in zip(row_keys, rows, strict=True)}
        self.sort = {key: _finite(row) for key, row in zip(row_keys, rows, strict=True)}
        known = {WHOLE_ROW, *(column.key for column in columns)}
        kept = {
            key: {name: cell for name, cell in cells.items() if name in known}
            for key, cells in self.refused.items()
            if key in self
        }
        self.refused = {key: cells for key, cells in kept.items() if cells}

    def _cells(self, key: str, row: Row) -> dict[str, Text]:
        cells: dict[str, Text] = {}
        for column in self.columns:
            value = row.get(column.key, column.blank())
            if not isinstance(value, bool if column.kind == "tick" else str):
                wanted = "True or False" if column.kind == "tick" else "a text"
                raise TypeError(f"cell {column.key!r} of row {key!r} is {value!r}: give {wanted}")
            cells[column.key] = value
        return cells

    def __contains__(self, key: str) -> bool:
        return key in self.rows or key in self.drafts

    def column(self, key: str) -> Column | None:
        """The column of that key, or None."""
        return next((column for column in self.columns if column.key == key), None)

    def editable(self) -> list[Column]:
        """The columns that a person may type into."""
        return [column for column in self.columns if column.kind != "read-only"]

    def current_key(self, key: str) -> str:
        """The key a row goes by now: a draft that was accepted is known by the owner's key."""
        return self.became.get(key, key)

    def name(self, key: str) -> str:
        """How to speak of a row: the text of its first column."""
        cells = self.rows.get(key) or (self.drafts[key].typed if key in self.drafts else {})
        first = str(cells.get(self.columns[0].key, "")) if self.columns else ""
        return first or "without a name"

    def new_draft(self, kind: str, source_key: str = "") -> str:
        """Make an empty draft, or a copy of a row or of another draft. Returns its temporary key."""
        self._made += 1
        while f"draft-{self._made}" in self:
            self._made += 1
        key = f"draft-{self._made}"
        blank = {column.key: column.new or column.blank() for column in self.editable()}
        if source_key in self.drafts:
            copied = self.drafts[source_key]
            self.drafts[key] = Draft(copied.kind, copied.source_key, dict(copied.typed), dict(blank))
            return key
        source = self.rows.get(source_key, {})
        cells = {name: source.get(name, text) for name, text in blank.items()}
        self.drafts[key] = Draft(kind, source_key, dict(cells), cells)
        return key

    def refuse(self, key: str, column: str, text: Text, reason: str) -> None:
        """Keep a typed text on screen with the reason it was not accepted."""
        if key in self and (column == WHOLE_ROW or self.column(column)):
            self.refused.setdefault(key, {})[column] = (text, isolated(reason))

    def clear(self, key: str, *columns: str) -> None:
        """Forget refused texts of a row."""
        for column in columns:
            self.refused.get(key, {}).pop(column, None)
        if not self.refused.get(key, True):
            del self.refused[key]

    def drop(self, key: str) -> None:
        """Take a row or a draft away, with all that was refused in it."""
        for place in (self.rows, self.sort, self.drafts, self.refused):
            place.pop(key, None)

    def picture(self) -> list[dict[str, object]]:
        """The rows as the browser reads them: good texts, sort values, refused texts, drafts last."""
        rows = [self._row(key, cells, draft=False) for key, cells in self.rows.items()]
        return rows + [self._row(key, draft.good, draft=True) for key, draft in self.drafts.items()]

    def _row(self, key: str, cells: Mapping[str, Text], *, draft: bool) -> dict[str, object]:
        row: dict[str, object] = {"key": key}
        row["cells"] = [cells.get(column.key, column.blank()) for column in self.columns]
        if self.sort.get(key):
            row["sort"] = self.sort[key]
        if key in self.refused:
            row["refused"] = {column: list(cell) for column, cell in self.refused[key].items()}
        if draft:
            row["draft"] = True
        return row


def _check_keys(field_name: str, keys: Sequence[str]) -> None:
    twice = sorted({key for key in keys if keys.count(key) > 1}) if len(set(keys)) < len(keys) else []
    if twice:
        raise ValueError(f"{field_name} holds {twice[0]!r} more than once: every key must be used once")


def _finite(row: Row) -> dict[str, float]:
    given = row.get(SORT) or {}
    if not isinstance(given, Mapping):
        raise TypeError(f"{SORT} of a row is {given!r}: give numbers by column key, such as {{'mass': 17.2}}")
    return {name: float(value) for name, value in given.items() if value is not None and math.isfinite(value)}
