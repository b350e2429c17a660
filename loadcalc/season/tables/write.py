"""A season's tables as CSV and XLSX, made so that reading them back changes nothing."""

from __future__ import annotations

from collections.abc import Iterable

from loadcalc.model.quantities import Units
from loadcalc.season.file.fields import FIELDS
from loadcalc.season.file.present import Present
from loadcalc.season.file.schema import table_name
from loadcalc.season.tables.columns import columns
from loadcalc.season.tables.names import Names
from loadcalc.season.tables.sheets import TextSheet, xlsx_of
from loadcalc.season.tables.values import escaped, row_texts


def write_csv(present: Present, subject: str, units: Units) -> bytes:
    """Return a subject's table as CSV, UTF-8 with the mark that tells spreadsheets so.

    Parameters
    ----------
    present : what the season holds.
    subject : which table, see FIELDS.
    units : the reader's; SI writes every number in full.
    """
    return _sheet(present, subject, units).csv()


def write_xlsx(present: Present, subjects: Iterable[str], units: Units) -> bytes:
    """Return one or more tables as XLSX, a sheet each. Parameters as :func:`write_csv`.

    A text that is too long for a cell is cut, with a mark; the CSV has it whole.
    """
    return xlsx_of(_sheet(present, subject, units) for subject in subjects)


def write_all_xlsx(present: Present, units: Units) -> bytes:
    """Return every table in one XLSX, a sheet each."""
    return write_xlsx(present, FIELDS, units)


def _sheet(present: Present, subject: str, units: Units) -> TextSheet:
    heads, names = columns(subject, units), Names(present)
    rows = (
        [escaped(text) for text in row_texts(names, subject, heads, key, fields)]
        for key, fields in present.rows(subject)
    )
    header = [column.header for column in heads]
    numbers = frozenset(column.header for column in heads if column.is_number)
    return TextSheet(title=table_name(subject), header=header, numbers=numbers, rows=rows)
