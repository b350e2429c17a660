"""XLSX files of a table: the first sheet that shows something, with its formulas' stored results."""

from __future__ import annotations

import datetime
import io
import re
import warnings
import zipfile
from typing import Any

from loadcalc.model.errors import BadValue, NotFound
from loadcalc.season import bounds
from loadcalc.season.lists.raw_table import (
    DATE,
    EMPTY,
    ERROR,
    FORMULA,
    NUMBER,
    RawCell,
    RawGrid,
    RawRow,
    cell_name,
    count_of,
    listed,
)

_SHOWN_UNIT = re.compile(r'"\s*([A-Za-z. ]{1,12}?)\s*"')


def read_spreadsheet(data: bytes, filename: str, most_rows: int, sheet: str = "") -> RawGrid:
    """Return the rows of one sheet that have something in them.

    Parameters
    ----------
    data, filename : the file. most_rows : more are refused.
    sheet : the sheet to read; "" for the first one that is not hidden and has something in it.

    Raises
    ------
    BadValue when the file cannot be opened or is too large; NotFound for a sheet that it does not have.
    """
    _check_package(data, filename)
    values, formulas = _open(data, filename, data_only=True), _open(data, filename, data_only=False)
    chosen, notes = _choose(values, sheet, filename)
    grid = _cells(chosen, formulas[chosen.title])
    notes += _fill_merged(chosen, grid) + _hidden(chosen, grid)
    numbers = sorted({row for row, _ in grid})
    bounds.refuse_above("rows", len(numbers), most_rows, filename, "split it into smaller files")
    width = max((column for _, column in grid), default=0)
    rows = [RawRow(row, tuple(grid.get((row, c), EMPTY) for c in range(1, width + 1))) for row in numbers]
    return RawGrid(rows, notes, chosen.title)


def sheet_names(data: bytes, filename: str) -> list[str]:
    """Return the titles of an XLSX file's sheets. Raises BadValue when it cannot be opened."""
    _check_package(data, filename)
    import openpyxl

    try:
        book = openpyxl.load_workbook(io.BytesIO(data), read_only=True)
    except Exception as error:  # it raises a dozen kinds for damaged files
        problem = f"cannot be opened ({type(error).__name__})"
        raise BadValue("file", filename, problem, "save it again as XLSX or CSV") from error
    try:
        return list(book.sheetnames)
    finally:
        book.close()


def _check_package(data: bytes, filename: str) -> None:
    """Refuse what is no XLSX file, and one that would unpack to far more than a gear list."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as package:
            entries = package.infolist()
    except zipfile.BadZipFile:
        raise BadValue("file", filename, "is damaged", "save it again as XLSX or CSV") from None
    if not any(entry.filename == "xl/workbook.xml" for entry in entries):
        raise BadValue("file", filename, "is not an XLSX spreadsheet", "save the list as XLSX or CSV")
    bounds.refuse_unpacking(entries, bounds.UNPACKED_BYTES, filename, "save the list alone as CSV")


def _open(data: bytes, filename: str, *, data_only: bool) -> Any:
    import openpyxl

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # it warns of styles and charts that it drops
            return openpyxl.load_workbook(io.BytesIO(data), data_only=data_only)
    except Exception as error:  # it raises a dozen kinds for damaged files
        problem = f"cannot be opened ({type(error).__name__})"
        raise BadValue("file", filename, problem, "save it again as XLSX or CSV") from error


def _choose(book: Any, wanted: str, filename: str) -> tuple[Any, list[str]]:
    """Return the sheet to read, and what to tell about the others."""
    titles = [sheet.title for sheet in book.worksheets]
    if wanted:
        if wanted not in titles:
            raise NotFound("sheet", wanted, titles)
        return book[wanted], []
    filled = [sheet for sheet in book.worksheets if _has_values(sheet)]
    shown = [sheet for sheet in filled if sheet.sheet_state == "visible"] or filled
    if not shown:
        raise BadValue("file", filename, "has nothing in any sheet", "save the list with its cells filled in")
    others = [sheet.title for sheet in filled if sheet is not shown[0]]
    notes = [f'sheet "{shown[0].title}" is read'] if len(titles) > 1 else []
    return shown[0], notes + [f'sheet "{title}" is not read' for title in others]


def _has_values(sheet: Any) -> bool:
    return any(cell.value is not None for cell in sheet._cells.values())


def _cells(values: Any, formulas: Any) -> dict[tuple[int, int], RawCell]:
    """Return the filled cells by row and column. Only cells that exist are walked, not the whole extent."""
    grid: dict[tuple[int, int], RawCell] = {}
    for (row, column), cell in values._cells.items():
        if column > bounds.COLUMNS:
            continue
        shown = _shown(cell)
        if shown is None and formulas.cell(row, column).data_type == "f":
            shown = RawCell(str(formulas.cell(row, column).value), FORMULA)
        if shown is not None and shown.text.strip():
            grid[row, column] = shown
    return grid


def _shown(cell: Any) -> RawCell | None:
    """Return a cell as a reader would take it, None when it has no value (or a formula with none stored)."""
    value = cell.value
    if value is None:
        return None
    if isinstance(value, (datetime.datetime, datetime.date, datetime.time, datetime.timedelta)):
        return RawCell(str(value).removesuffix(" 00:00:00"), DATE)
    if isinstance(value, bool):
        return RawCell("yes" if value else "no")
    if isinstance(value, (int, float)):
        unit = _SHOWN_UNIT.search(cell.number_format or "")
        text = format(value, ".15g")  # as many digits as a spreadsheet holds: 0.1 + 0.2 is 0.3
        return RawCell(f"{text} {unit[1]}" if unit else text, NUMBER)
    return RawCell(str(value), ERROR if cell.data_type == "e" else "text")


def _fill_merged(sheet: Any, grid: dict[tuple[int, int], RawCell]) -> list[str]:
    """Let the text of cells merged downward stand in each of their rows; a number counts once, on top."""
    filled = []
    for merged in sheet.merged_cells.ranges:
        top = grid.get((merged.min_row, merged.min_col))
        if merged.max_row == merged.min_row or top is None or merged.max_row - merged.min_row > 1000:
            continue
        filled.append(str(merged))
        if top.kind == "text":
            for row in range(merged.min_row + 1, merged.max_row + 1):
                grid.setdefault((row, merged.min_col), top)
    if not filled:
        return []
    verb = "is" if len(filled) == 1 else "are"
    rule = "text stands for each row, a number only for the first"
    return [f"{count_of(len(filled), 'group')} of merged cells ({listed(filled)}) {verb} read so: {rule}"]


def _hidden(sheet: Any, grid: dict[tuple[int, int], RawCell]) -> list[str]:
    """Tell of hidden rows and columns with something in them: they are read like any other."""
    rows = sorted({row for row, _ in grid if sheet.row_dimensions[row].hidden})
    hidden = {letter for letter, column in sheet.column_dimensions.items() if column.hidden}
    columns = sorted({cell_name(1, c - 1)[:-1] for _, c in grid} & hidden)
    notes = []
    if rows:
        notes.append(f"{count_of(len(rows), 'hidden row')} ({listed([str(row) for row in rows])}) read too")
    if columns:
        notes.append(f"{count_of(len(columns), 'hidden column')} ({listed(columns)}) read too")
    return notes
