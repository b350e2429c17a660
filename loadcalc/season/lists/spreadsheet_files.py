"""XLSX files of a table: the first sheet that shows something, with its formulas' stored results."""

from __future__ import annotations

import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from loadcalc.model.errors import BadValue, LoadcalcError, NotFound
from loadcalc.season import bounds
from loadcalc.season.lists.metered import CURE
from loadcalc.season.lists.raw_table import (
    EMPTY,
    RawCell,
    RawGrid,
    RawRow,
    cell_name,
    column_letters,
    count_of,
    listed,
    right_of,
)

if TYPE_CHECKING:
    from loadcalc.season.lists.sheet_cells import Merge, SheetNotes

TALLEST_MERGE = 1000  # rows; a taller one is a slip of the hand
Cells = dict[tuple[int, int], RawCell]


def read_spreadsheet(
    data: bytes, filename: str, most: bounds.Bounds, sheet: str = "", fits: Callable[[str], bool] | None = None
) -> RawGrid:
    """Return the rows of one sheet that have something in them.

    Parameters
    ----------
    data, filename : the file. most : more is refused.
    sheet : the sheet to read; "" for the first one that is not hidden and has something in it.
    fits : tells by its title whether a sheet is the one that is wanted; the first such goes before any other.

    Raises
    ------
    BadValue when the file cannot be opened or is too large; NotFound for a sheet that it does not have.
    """
    with _book(data, filename) as book:
        titles = [one.title for one in book.worksheets]
        wanted = sheet or next((title for title in titles if fits and fits(title)), "")
        chosen, notes = _choose(book, wanted, filename)
        found, grid = _read(chosen, filename, most)
    notes += _fill_merged(found.merges, grid, filename) + _hidden(found, grid) + right_of(found.beyond)
    numbers = sorted({row for row, _ in grid})
    bounds.refuse_above("rows", len(numbers), most.rows, filename, "split it into smaller files")
    width = max((column for _, column in grid), default=0)
    rows = [RawRow(row, tuple(grid.get((row, c), EMPTY) for c in range(1, width + 1))) for row in numbers]
    return RawGrid(rows, notes, chosen.title)


def sheet_names(data: bytes, filename: str) -> list[str]:
    """Return the titles of an XLSX file's sheets. Raises BadValue when it cannot be opened."""
    with _book(data, filename) as book:
        return [sheet.title for sheet in book.worksheets]


@contextmanager
def _book(data: bytes, filename: str) -> Iterator[Any]:
    """Open an XLSX file; whatever a damaged one makes openpyxl raise, a dozen kinds, becomes a BadValue."""
    from loadcalc.season.lists.sheet_cells import open_book

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # it warns of styles and charts that it drops
            yield open_book(data, filename)
    except LoadcalcError:
        raise
    except Exception as error:
        if isinstance(error.__cause__, LoadcalcError):
            raise error.__cause__ from None
        problem = f"cannot be opened ({type(error).__name__})"
        raise BadValue("file", filename, problem, "save it again as XLSX or CSV") from error


def _read(sheet: Any, filename: str, most: bounds.Bounds) -> tuple[SheetNotes, Cells]:
    """Return the filled cells of a sheet by row and column, and what else there is."""
    from loadcalc.season.lists.sheet_cells import SheetNotes, filled_cells

    found, grid, chars = SheetNotes(), {}, 0
    for row, column, cell in filled_cells(sheet, filename, found):
        grid[row, column] = cell
        chars += len(cell.text)  # a text that many cells share is unpacked once and looked at in each
        bounds.refuse_long(cell.text, cell_name(row, column - 1), filename)
        bounds.refuse_above("characters", chars, most.file_bytes, filename, CURE)
        bounds.refuse_above("cells", len(grid), bounds.XLSX_CELLS, filename, CURE)
    return found, grid


def _choose(book: Any, wanted: str, filename: str) -> tuple[Any, list[str]]:
    """Return the sheet to read, and what to tell about the others."""
    titles = [sheet.title for sheet in book.worksheets]
    if wanted:
        if wanted not in titles:
            raise NotFound("sheet", wanted, titles)
        return book[wanted], []
    filled = [sheet for sheet in book.worksheets if _has_values(sheet, filename)]
    shown = [sheet for sheet in filled if sheet.sheet_state == "visible"] or filled
    if not shown:
        raise BadValue("file", filename, "has nothing in any sheet", "save the list with its cells filled in")
    others = [sheet.title for sheet in filled if sheet is not shown[0]]
    notes = [f'sheet "{shown[0].title}" is read'] if len(titles) > 1 else []
    return shown[0], notes + [f'sheet "{title}" is not read' for title in others]


def _has_values(sheet: Any, filename: str) -> bool:
    from loadcalc.season.lists.sheet_cells import SheetNotes, filled_cells

    return next(filled_cells(sheet, filename, SheetNotes()), None) is not None


def _fill_merged(merges: list[Merge], grid: Cells, filename: str) -> list[str]:
    """Let the text of cells merged downward stand in each of their rows; a number counts once, on top."""
    filled = []
    for merge in merges:
        top = grid.get((merge.top, merge.left))
        if top is None or merge.bottom - merge.top > TALLEST_MERGE:
            continue
        filled.append(merge.called)
        if top.kind == "text":
            for row in range(merge.top + 1, merge.bottom + 1):
                grid.setdefault((row, merge.left), top)
            bounds.refuse_above("cells", len(grid), bounds.XLSX_CELLS, filename, "take the merged cells apart")
    if not filled:
        return []
    verb = "is" if len(filled) == 1 else "are"
    rule = "text stands for each row, a number only for the first"
    return [f"{count_of(len(filled), 'group')} of merged cells ({listed(filled)}) {verb} read so: {rule}"]


def _hidden(found: SheetNotes, grid: Cells) -> list[str]:
    """Tell of hidden rows and columns with something in them: they are read like any other."""
    rows = sorted({row for row, _ in grid} & found.hidden_rows)
    columns = [column_letters(c - 1) for c in sorted({c for _, c in grid} & found.hidden_columns)]
    notes = []
    if rows:
        notes.append(f"{count_of(len(rows), 'hidden row')} ({listed([str(row) for row in rows])}) read too")
    if columns:
        notes.append(f"{count_of(len(columns), 'hidden column')} ({listed(columns)}) read too")
    return notes
