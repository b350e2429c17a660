"""Read a file as one of the season's own tables: which column is which, and where the rows stand."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass

from loadcalc.model.errors import BadValue
from loadcalc.season import bounds
from loadcalc.season.file.fields import NAMED
from loadcalc.season.file.schema import table_name
from loadcalc.season.lists.gear_cells import decimal_marks
from loadcalc.season.lists.gear_in import refuse_no_table
from loadcalc.season.lists.raw_table import RawRow, cell_name
from loadcalc.season.lists.spreadsheet_files import read_spreadsheet, sheet_names
from loadcalc.season.lists.text_files import ODD_QUOTES, read_text
from loadcalc.season.tables.columns import KEY, TableColumn, column_of, key_parts, subject_named
from loadcalc.season.tables.values import unescaped

_AS_SAVED = "save the table from the page, and fill that in"


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnTable:
    """A file that holds one of the season's tables.

    subject : what its rows are about; filename, sheet : where it came from.
    columns : by place in the file, None for one without a header; rows : as they stand below the header.
    commas : whether it has decimal commas; notes : what the reader noticed.
    """

    subject: str
    filename: str
    sheet: str
    columns: tuple[TableColumn | None, ...]
    rows: tuple[RawRow, ...]
    commas: bool
    notes: tuple[str, ...]

    def texts(self, row: RawRow) -> dict[str, str]:
        """Return a row's cells by field."""
        cells = enumerate(self.columns)
        return {column.field: unescaped(row.cell(place).text) for place, column in cells if column}

    def cell(self, row: int, field: str) -> str:
        """Return the name of a field's cell as a spreadsheet has it, "" when there is no such column."""
        places = [place for place, column in enumerate(self.columns) if column and column.field == field]
        return cell_name(row, places[0]) if places else ""


def subject_of_file(data: bytes, filename: str) -> str | None:
    """Return which table a file says it is: by its name, or by the one sheet that has a table's name; or None."""
    named = subject_named(filename)
    if named or not data.startswith(b"PK\x03\x04"):
        return named
    found = [subject for title in sheet_names(data, filename) if (subject := subject_named(title))]
    return found[0] if len(found) == 1 else None


def read_own(data: bytes, filename: str, subject: str) -> OwnTable:
    """Return the table in a CSV or XLSX file.

    Parameters
    ----------
    data : the file's content.
    filename : its name, for messages.
    subject : which table it is. Of an XLSX with several sheets, the sheet of that table's name is read.

    Raises
    ------
    BadValue when the file is no table, or has a column that is not this table's.
    """
    most = bounds.OWN_TABLE
    bounds.refuse_large(len(data), most.file_bytes, filename, "save the table alone")
    refuse_no_table(data, filename)
    if data.startswith(b"PK\x03\x04"):
        grid = read_spreadsheet(data, filename, most, fits=lambda title: subject_named(title) == subject)
    else:
        grid = read_text(data, filename, most, lambda text, mark: _known_columns(subject, text, mark))
    if ODD_QUOTES in grid.notes:
        raise BadValue("file", filename, "has a quotation mark that never closes", "close it, or take it out")
    if not grid.rows:
        raise BadValue("file", filename, "has nothing in it", _AS_SAVED)
    columns = _columns(subject, grid.rows[0], filename)
    marks = decimal_marks(
        row.cell(place).text
        for row in grid.rows[1:]
        for place, column in enumerate(columns)
        if column and column.is_number and row.cell(place).kind != "number"
    )
    return OwnTable(
        subject=subject, filename=filename, sheet=grid.sheet, columns=columns, rows=tuple(grid.rows[1:]),
        commas="," in marks or (grid.separator == ";" and "." not in marks), notes=tuple(grid.notes),
    )  # fmt: skip


def _known_columns(subject: str, text: str, mark: str) -> float:
    """How many of the table's columns a separator brings out in the header."""
    try:
        lines = csv.reader(io.StringIO(text, newline=""), delimiter=mark)
        header = next((line for line in lines if any(cell.strip() for cell in line)), [])
    except csv.Error:
        return -1.0
    return float(sum(_is_known(subject, cell) for cell in header[: bounds.COLUMNS]))


def _is_known(subject: str, header: str) -> bool:
    try:
        column_of(subject, header)
    except BadValue:
        return False
    return True


def _columns(subject: str, header: RawRow, filename: str) -> tuple[TableColumn | None, ...]:
    found: list[TableColumn | None] = []
    for place, cell in enumerate(header.cells):
        try:
            column = column_of(subject, cell.text) if cell.text.strip() else None
        except BadValue as error:
            raise error.at(f"{filename}, cell {cell_name(header.number, place)}") from None
        if column and any(other and other.field == column.field for other in found):
            raise BadValue("column", cell.text, "is there twice", "take one of them out", filename)
        found.append(column)
    fields = {column.field for column in found if column}
    if not (
        KEY in fields or fields.issuperset(key_parts(subject) or (["name"] if subject in NAMED else [KEY]))
    ):
        problem = f"is missing, so the rows of the table {table_name(subject)} can't be told apart"
        raise BadValue("column", KEY, problem, _AS_SAVED, filename)
    return tuple(found)
