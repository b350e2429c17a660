"""Pure text work for the editable table: blocks from a spreadsheet, ticks, choices."""

from __future__ import annotations

import re

from workbook.widgets.table.records import Column, Text

LARGEST_BLOCK_ROWS = 1000

# A field counts as quoted only when the closing quote ends it: `"A" frame` and `5" pipe` keep their quotes.
_FIELD = re.compile(r'"([^"]*(?:""[^"]*)*)"(?=[\t\r\n]|\Z)|([^\t\r\n]*)')
_YES = frozenset({"true", "yes", "y", "1", "x", "✓", "✔", "☑"})
_NO = frozenset({"", "false", "no", "n", "0", "-", "☐"})


def parse_block(text: str) -> list[list[str]]:
    """Cut text copied from a spreadsheet into rows of cells.

    text: tab between cells, line break between rows; a cell that holds either is quoted, its quotes doubled.
    Returns one list per row. Line breaks inside a cell become spaces, for a cell of the table is one line.
    """
    text = text.replace("\r\n", "\n").replace("\r", "\n").removesuffix("\n")
    rows: list[list[str]] = [[]]
    at = 0
    while True:
        found = _FIELD.match(text, at)
        assert found is not None  # the second branch matches the empty text
        quoted, plain = found.groups()
        value = plain if quoted is None else quoted.replace('""', '"')
        rows[-1].append(" ".join(value.split("\n")).strip())
        at = found.end()
        if at >= len(text):
            return rows
        if text[at] == "\n":
            rows.append([])
        at += 1


def understood(column: Column, raw: Text) -> tuple[Text, str]:
    """What a typed or pasted cell means to the table itself: (text, reason it can't be shown, or "").

    Only ticks and choices have a meaning here; every other text goes on to the owner of the table untouched.
    """
    if column.kind == "tick" and isinstance(raw, str):
        word = raw.strip().lower()
        if word in _YES or word in _NO:
            return word in _YES, ""
        return raw, f"“{raw}” is neither yes nor no. Tick the box, or write yes or no."
    if column.kind == "choice" and isinstance(raw, str) and raw not in column.choices:
        same = [choice for choice in column.choices if choice.strip().lower() == raw.strip().lower()]
        if len(same) == 1:
            return same[0], ""
        offered = ", ".join(choice for choice in column.choices if choice)
        if not raw.strip():
            return raw, f"Nothing is chosen. Choose one of: {offered}."
        return raw, f"“{raw}” is not one of the choices: {offered}."
    return raw, ""
