"""A table as it stands in a file: cells as text, rows by the number that a spreadsheet shows beside them."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

from loadcalc.season.bounds import COLUMNS

TEXT, NUMBER, DATE, FORMULA, ERROR = "text", "number", "date", "formula", "error"


class RawCell(NamedTuple):
    """What a cell shows, and what it is in the spreadsheet: text, number, date, bare formula, or error."""

    text: str
    kind: str = TEXT


EMPTY = RawCell("")


class RawRow(NamedTuple):
    """A row that has something in it, and its number in the file, counted from 1."""

    number: int
    cells: tuple[RawCell, ...]

    def cell(self, column: int) -> RawCell:
        """Return the cell of a column, counted from 0; empty beyond the end of the row."""
        return self.cells[column] if 0 <= column < len(self.cells) else EMPTY


class RawGrid(NamedTuple):
    """The rows of a file before its header has been found, what was noticed while reading, and what parts cells."""

    rows: list[RawRow]
    notes: list[str]
    sheet: str = ""
    separator: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RawTable:
    """A table from a file.

    filename, sheet : where it came from; sheet is "" for a text file.
    header : the column names; header_row : the row they stand in, None when no row looks like a header.
    unit_row : a second header line such as "(lb)", one text per column, or ().
    rows : the rows after the header that have something in them; notes : what the reader noticed.
    """

    filename: str
    header: tuple[str, ...]
    rows: tuple[RawRow, ...]
    sheet: str = ""
    header_row: int | None = None
    unit_row: tuple[str, ...] = ()
    first_row: int = 1
    notes: tuple[str, ...] = field(default=())


def column_letters(column: int) -> str:
    """Return the letters that a spreadsheet puts over a column, counted from 0: A, B, ... Z, AA.

    >>> column_letters(0), column_letters(27)
    ('A', 'AB')
    """
    letters = ""
    number = column + 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def cell_name(row: int, column: int) -> str:
    """Return a cell's name as in a spreadsheet: "C7"."""
    return f"{column_letters(column)}{row}"


def count_of(number: int, thing: str) -> str:
    """Return "1 row" or "3 rows"."""
    return f"{number} {thing}{'' if number == 1 else 's'}"


def right_of(beyond: bool) -> list[str]:
    """Return what to tell when something stands right of the last column that is read."""
    return [f"what stands right of column {column_letters(COLUMNS - 1)} is not read"] if beyond else []


def listed(items: list[str], most: int = 5) -> str:
    """Return the first few of a list in words: "A2, A3 and 4 more"."""
    rest = len(items) - most
    return ", ".join(items[:most]) + (f" and {rest} more" if rest > 0 else "")
