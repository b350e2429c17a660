"""The sheets of an XLSX file, row by row as its XML is read: nothing is made of what is not there.

openpyxl reads a sheet whole, and makes a cell for each place of a merge or a hyperlink: one that spans the sheet takes
five gigabytes. Its own parser for rows is used here on each row as it comes, and the rest of a sheet is passed over.
"""

from __future__ import annotations

import datetime
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any, NamedTuple

from openpyxl.cell.read_only import ReadOnlyCell
from openpyxl.reader.excel import ExcelReader
from openpyxl.utils import range_boundaries
from openpyxl.worksheet._reader import COL_TAG, FORMULA_TAG, ROW_TAG, VALUE_TAG, WorkSheetParser
from openpyxl.xml.functions import iterparse

from loadcalc.model.errors import BadValue
from loadcalc.model.quantities_text import LONGEST_TEXT
from loadcalc.season import bounds
from loadcalc.season.lists.metered import CURE, Package
from loadcalc.season.lists.raw_table import DATE, ERROR, FORMULA, NUMBER, RawCell

_OF_SHEETS = ROW_TAG.removesuffix("row")
_MERGE = f"{_OF_SHEETS}mergeCell"
_OF_ROWS = {f"{_OF_SHEETS}{name}" for name in ("c", "v", "f", "is", "t", "r", "rPr")}
_SHOWN_UNIT = re.compile(r'"\s*([A-Za-z. ]{1,12}?)\s*"')
_LONGEST_FORMAT = 255  # characters that a spreadsheet gives a number format (from memory)


class Merge(NamedTuple):
    """Merged cells: what they are called, and their left column, top and bottom row, counted from 1."""

    called: str
    left: int
    top: int
    bottom: int


@dataclass(slots=True)
class SheetNotes:
    """What is told of a sheet besides its cells: merged cells, hidden rows and columns, columns that were not read."""

    merges: list[Merge] = field(default_factory=list)
    hidden_rows: set[int] = field(default_factory=set)
    hidden_columns: set[int] = field(default_factory=set)
    beyond: bool = False


def open_book(data: bytes, filename: str) -> Any:
    """Return an XLSX file as openpyxl opens it for reading on demand, each part of it metered."""
    package = Package(data, filename)
    reader = ExcelReader(io.BytesIO(data), read_only=True, data_only=True, keep_links=False)
    reader.archive.close()
    reader.archive = package
    reader.read()
    return reader.wb


def filled_cells(sheet: Any, filename: str, found: SheetNotes) -> Iterator[tuple[int, int, RawCell]]:
    """Yield row, column, both counted from 1, and cell, for each cell with something in it.

    Parameters
    ----------
    sheet : of a book that :func:`open_book` opened. filename : for messages. found : what else there is, filled in.
    """
    book = sheet.parent
    source = sheet._get_source()
    parser = WorkSheetParser(
        source, sheet._shared_strings, data_only=True, epoch=book.epoch, date_formats=book._date_formats,
        timedelta_formats=book._timedelta_formats,
    )  # fmt: skip
    for _, element in iterparse(source):
        if element.tag == ROW_TAG:
            yield from _row(sheet, parser, element, filename, found)
        elif element.tag == _MERGE:
            _merge(element, filename, found)
        elif element.tag == COL_TAG and _yes(element.get("hidden")):
            first, last = int(element.get("min")), int(element.get("max"))
            found.hidden_columns.update(range(first, min(last, bounds.COLUMNS) + 1))
        if element.tag not in _OF_ROWS:
            element.clear()


def _row(
    sheet: Any, parser: WorkSheetParser, element: Any, filename: str, found: SheetNotes
) -> Iterator[tuple[int, int, RawCell]]:
    bounds.refuse_above("cells", len(element), bounds.XLSX_CELLS, filename, CURE)
    for part in element:
        value = part.find(VALUE_TAG)
        if value is not None and len(value.text or "") > LONGEST_TEXT and part.get("t", "n") == "n":
            part.set("t", "str")  # no number is that long: who reads the cell says so
    try:
        number, cells = parser.parse_row(element)
    except (ValueError, LookupError) as error:
        row = element.get("r") or parser.row_counter
        raise BadValue("row", row, f"cannot be read ({error})", "save it again as XLSX or CSV", filename) from error
    bounds.refuse_above("lines", number, bounds.LINES, filename, CURE)
    if _yes(element.get("hidden")):
        found.hidden_rows.add(number)
    for cell, part in zip(cells, element, strict=True):
        shown = _shown(sheet, cell)
        if shown is None and (formula := part.find(FORMULA_TAG)) is not None:
            shown = RawCell(f"={formula.text or ''}", FORMULA)
        if shown is None or not shown.text.strip():
            continue
        if cell["column"] > bounds.COLUMNS:
            found.beyond = True
        else:
            yield number, cell["column"], shown


def _merge(element: Any, filename: str, found: SheetNotes) -> None:
    called = element.get("ref", "")
    left, top, _, bottom = range_boundaries(called)
    if bottom > top:
        found.merges.append(Merge(called, left, top, bottom))
        bounds.refuse_above("groups of merged cells", len(found.merges), bounds.MERGES, filename, CURE)


def _yes(word: str | None) -> bool:
    return word in ("1", "true")


def _shown(sheet: Any, cell: dict[str, Any]) -> RawCell | None:
    """Return a cell as a reader would take it, None when it has no value (or a formula with none stored)."""
    value = cell["value"]
    if value is None:
        return None
    if isinstance(value, (datetime.datetime, datetime.date, datetime.time, datetime.timedelta)):
        return RawCell(str(value).removesuffix(" 00:00:00"), DATE)
    if isinstance(value, bool):
        return RawCell("yes" if value else "no")
    if isinstance(value, (int, float)):
        unit = _unit_in(ReadOnlyCell(sheet, **cell).number_format or "")
        text = format(value, ".15g")  # as many digits as a spreadsheet holds: 0.1 + 0.2 is 0.3
        return RawCell(f"{text} {unit}" if unit else text, NUMBER)
    return RawCell(str(value), ERROR if cell["data_type"] == "e" else "text")


@lru_cache(maxsize=256)
def _unit_in(number_format: str) -> str:
    """Return the unit that a number format shows behind the number, as `0.0" kg"` does."""
    unit = _SHOWN_UNIT.search(number_format[:_LONGEST_FORMAT])
    return unit[1] if unit else ""
