"""A season's tables as CSV and XLSX, made so that reading them back changes nothing.

A text that a spreadsheet could take for a formula is made inert: in CSV by an apostrophe, which reading takes off
again (see :mod:`loadcalc.season.lists.formula_guard`); in XLSX by storing it as text.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from typing import Any

from loadcalc.model.quantities import Units
from loadcalc.season.file.fields import FIELDS
from loadcalc.season.file.present import Present
from loadcalc.season.file.schema import table_name
from loadcalc.season.lists.formula_guard import could_run, guarded
from loadcalc.season.tables.columns import TableColumn, columns
from loadcalc.season.tables.names import Names
from loadcalc.season.tables.values import cut, escaped, row_texts


def write_csv(present: Present, subject: str, units: Units) -> bytes:
    """Return a subject's table as CSV, UTF-8 with the mark that tells spreadsheets so.

    Parameters
    ----------
    present : what the season holds.
    subject : which table, see FIELDS.
    units : the reader's; SI writes every number in full.
    """
    heads = columns(subject, units)
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([column.header for column in heads])
    for row in _rows(present, subject, heads):
        writer.writerow(
            [text if head.is_number else guarded(text) for head, text in zip(heads, row, strict=True)]
        )
    return b"\xef\xbb\xbf" + out.getvalue().encode("utf-8")


def write_xlsx(present: Present, subjects: Iterable[str], units: Units) -> bytes:
    """Return one or more tables as XLSX, a sheet each. Parameters as :func:`write_csv`.

    A text that is too long for a cell is cut, with a mark; the CSV has it whole.
    """
    from openpyxl import Workbook
    from openpyxl.styles import Font

    book = Workbook()
    book.remove(book.active)
    for subject in subjects:
        heads = columns(subject, units)
        sheet = book.create_sheet(table_name(subject))
        sheet.append([column.header for column in heads])
        for cell in sheet[1]:
            cell.font = Font(bold=True)
        sheet.freeze_panes = "B2"
        for number, row in enumerate(_rows(present, subject, heads), start=2):
            for place, (head, text) in enumerate(zip(heads, row, strict=True), start=1):
                if text:
                    _put(sheet.cell(number, place), head, text)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def write_all_xlsx(present: Present, units: Units) -> bytes:
    """Return every table in one XLSX, a sheet each."""
    return write_xlsx(present, FIELDS, units)


def _rows(present: Present, subject: str, heads: tuple[TableColumn, ...]) -> Iterable[list[str]]:
    names = Names(present)
    for key, fields in present.rows(subject):
        yield [escaped(text) for text in row_texts(names, subject, heads, key, fields)]


def _put(cell: Any, head: TableColumn, text: str) -> None:
    """Fill a cell: a number as a number, a text as text whatever it begins with."""
    if head.is_number:
        cell.value = float(text)
        cell.number_format = "General"
        return
    cell.value = cut(text)
    cell.data_type = "s"  # openpyxl takes "=..." for a formula unless told
    cell.quotePrefix = could_run(text)
