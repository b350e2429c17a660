"""Gear lists from spreadsheets and text files: read a table, then show what taking it in would change.

    raw = read_table("gear.csv")
    preview = preview_gear(raw, season.items, US)
    print(preview.summary())       # "3 added, 2 changed, 40 unchanged, 1 refused"

Nothing is taken in here, and nothing is ever removed: the caller shows the preview and decides.
"""

from __future__ import annotations

from pathlib import Path

from loadcalc.model.errors import BadValue
from loadcalc.season import bounds
from loadcalc.season.lists.gear_merge import preview_gear
from loadcalc.season.lists.gear_preview import GearPreview
from loadcalc.season.lists.list_columns import header_index, unit_row
from loadcalc.season.lists.raw_table import RawCell, RawGrid, RawRow, RawTable, column_letters
from loadcalc.season.lists.spreadsheet_files import read_spreadsheet
from loadcalc.season.lists.text_files import read_text

__all__ = ["GearPreview", "RawCell", "RawRow", "RawTable", "preview_gear", "read_table"]

NO_HEADER = "no header row was found; say which column is which"
_OLD_SPREADSHEET = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"


def read_table(path_or_bytes: str | Path | bytes, filename: str = "", *, sheet: str = "") -> RawTable:
    """Return the table in a CSV, TSV, semicolon or XLSX file, with its header found.

    Parameters
    ----------
    path_or_bytes : the file's path, or its content as an upload hands it over.
    filename : its name, for messages (default: the path's).
    sheet : the sheet of an XLSX file (default: the first visible one that has something in it).

    Raises
    ------
    BadValue when the file is missing, too large, or no table.
    """
    if isinstance(path_or_bytes, bytes):
        name, data = filename or "the file", path_or_bytes
    else:
        name = filename or Path(path_or_bytes).name
        data = _content(Path(path_or_bytes), name)
    bounds.refuse_large(
        len(data), bounds.GEAR_LIST.file_bytes, name, "save the list alone, without pictures"
    )
    grid = _grid(data, name, sheet)
    if not grid.rows:
        raise BadValue("file", name, "has nothing in it", "save the list with its cells filled in")
    return _with_header(grid, name)


def _content(path: Path, name: str) -> bytes:
    try:
        with path.open("rb") as file:
            return file.read(bounds.GEAR_LIST.file_bytes + 1)
    except OSError as error:
        reason = error.strerror or type(error).__name__
        raise BadValue("file", name, f"cannot be read ({reason})", "check its name and folder") from None


def refuse_no_table(data: bytes, name: str) -> None:
    """Raise BadValue for a file that its first bytes tell to be no table, with what to save instead."""
    if data.startswith(_OLD_SPREADSHEET):
        raise BadValue("file", name, "is an old (.xls) or locked spreadsheet", "save it as XLSX or CSV")
    if data.startswith(b"%PDF"):
        raise BadValue("file", name, "is a PDF", "save the list as XLSX or CSV")
    if data.lstrip()[:9].lower().startswith((b"<html", b"<!doctype", b"<table", b"<?xml")):
        raise BadValue("file", name, "is a web page, whatever its name says", "save the list as XLSX or CSV")


def _grid(data: bytes, name: str, sheet: str) -> RawGrid:
    refuse_no_table(data, name)
    if data.startswith(b"PK\x03\x04"):
        return read_spreadsheet(data, name, bounds.GEAR_LIST, sheet)
    return read_text(data, name, bounds.GEAR_LIST)


def _with_header(grid: RawGrid, name: str) -> RawTable:
    index = header_index(grid.rows)
    width = max(len(row.cells) for row in grid.rows)
    if index is None:
        return RawTable(
            filename=name, sheet=grid.sheet, rows=tuple(grid.rows), notes=(*grid.notes, NO_HEADER),
            header=tuple(f"column {column_letters(column)}" for column in range(width)),
        )  # fmt: skip
    row, rows = grid.rows[index], grid.rows[index + 1 :]
    units = unit_row(rows[0], width) if rows else ()
    last = rows[0].number if units else row.number
    notes = [f"the header is row {row.number}; {_above(index)} above it is left out"] if index else []
    return RawTable(
        filename=name, sheet=grid.sheet, header_row=row.number,
        header=tuple(row.cell(column).text.strip() for column in range(width)),
        unit_row=units, rows=tuple(rows[1:] if units else rows), first_row=last + 1,
        notes=(*grid.notes, *notes),
    )  # fmt: skip


def _above(rows: int) -> str:
    return "the row" if rows == 1 else f"what stands in the {rows} rows"
