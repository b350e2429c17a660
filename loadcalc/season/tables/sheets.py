"""Tables of text as CSV and XLSX, made so that reading them back changes nothing.

A text that a spreadsheet could take for a formula is made inert: in CSV by an apostrophe, which reading takes off
again (see :mod:`loadcalc.season.lists.formula_guard`); in XLSX by storing it as text. A CSV has a point as decimal
mark; a spreadsheet set to decimal commas reads XLSX more safely.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from loadcalc.season.lists.formula_guard import could_run, guarded
from loadcalc.season.tables.values import cut


@dataclass(frozen=True, slots=True, kw_only=True)
class TextSheet:
    """One table. numbers : which of the header's columns hold bare numbers; widths : of a column, by its header."""

    title: str
    header: Sequence[str]
    numbers: frozenset[str]
    rows: Iterable[Sequence[str]]
    widths: Mapping[str, int] = field(default_factory=dict)

    def _cells(self, row: Sequence[str]) -> Iterable[tuple[str, bool]]:
        """Each cell of a row, and whether it is a number."""
        return ((text, name in self.numbers) for name, text in zip(self.header, row, strict=True))

    def csv(self) -> bytes:
        """Return the table as CSV, UTF-8 with the mark that tells spreadsheets so."""
        out = io.StringIO(newline="")
        writer = csv.writer(out, lineterminator="\r\n")
        writer.writerow(self.header)
        for row in self.rows:
            writer.writerow([text if is_number else guarded(text) for text, is_number in self._cells(row)])
        return b"\xef\xbb\xbf" + out.getvalue().encode("utf-8")

    def put_into(self, book: Any) -> None:
        """Add the table to an openpyxl workbook as a sheet. A text too long for a cell is cut, with a mark."""
        from openpyxl.styles import Font

        sheet = book.create_sheet(self.title)
        sheet.append(list(self.header))
        for cell in sheet[1]:
            cell.font = Font(bold=True)
            if width := self.widths.get(cell.value):
                sheet.column_dimensions[cell.column_letter].width = width
        sheet.freeze_panes = "B2"
        for number, row in enumerate(self.rows, start=2):
            for place, (text, is_number) in enumerate(self._cells(row), start=1):
                if text:
                    _fill(sheet.cell(number, place), text, is_number)


def xlsx_of(sheets: Iterable[TextSheet]) -> bytes:
    """Return tables as XLSX, a sheet each."""
    from openpyxl import Workbook

    book = Workbook()
    book.remove(book.active)
    for sheet in sheets:
        sheet.put_into(book)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _fill(cell: Any, text: str, is_number: bool) -> None:
    """Fill a cell: a number as a number, a text as text whatever it begins with."""
    if is_number:
        cell.value = float(text)
        cell.number_format = "General"
        return
    cell.value = cut(text)
    cell.data_type = "s"  # openpyxl takes "=..." for a formula unless told
    cell.quotePrefix = could_run(text)
