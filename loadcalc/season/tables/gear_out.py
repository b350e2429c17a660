"""The gear list as a file for spreadsheets, made so that reading it back changes nothing.

A text that a spreadsheet could take for a formula is made inert: in CSV by an apostrophe, which reading takes off
again (see :mod:`loadcalc.season.lists.formula_guard`); in XLSX by storing it as text. Numbers are bare and six
digits long, under headers that name their unit. CSV has a point as decimal mark; a spreadsheet set to decimal commas
reads XLSX more safely.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping
from typing import Any

from loadcalc.model.quantities import Units
from loadcalc.model.things import Item
from loadcalc.season.lists.formula_guard import could_run, guarded
from loadcalc.season.lists.gear_cells import tidy

SHEET = "Gear"
_NUMBERS = ("mass each", "plus or minus", "count", "length", "width", "height")
_WIDTHS = {"item": 36, "key": 24, "zone": 20, "kind": 16}

NO_ZONES: Mapping[str, str] = {}


def write_gear_csv(items: Iterable[Item], units: Units, zones: Mapping[str, str] = NO_ZONES) -> bytes:
    """Return the gear list as CSV, UTF-8 with the mark that tells spreadsheets so.

    Parameters
    ----------
    items : what to write. units : the reader's units. zones : zone by item key; none where an item has none.
    """
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(gear_header(units))
    for item in items:
        row = _row(item, units, zones)
        writer.writerow([value if name in _NUMBERS else guarded(value) for name, value in row.items()])
    return b"\xef\xbb\xbf" + out.getvalue().encode("utf-8")


def write_gear_xlsx(items: Iterable[Item], units: Units, zones: Mapping[str, str] = NO_ZONES) -> bytes:
    """Return the gear list as XLSX with one sheet, "Gear". Parameters as :func:`write_gear_csv`."""
    from openpyxl import Workbook
    from openpyxl.styles import Font

    book = Workbook()
    sheet = book.active
    sheet.title = SHEET
    sheet.append(gear_header(units))
    for cell in sheet[1]:
        cell.font = Font(bold=True)
    sheet.freeze_panes = "B2"
    for number, item in enumerate(items, start=2):
        for column, (name, value) in enumerate(_row(item, units, zones).items(), start=1):
            _put(sheet.cell(number, column), value, name in _NUMBERS)
    for column, name in enumerate(_headers(units), start=1):
        sheet.column_dimensions[sheet.cell(1, column).column_letter].width = _WIDTHS.get(name, 15)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def gear_header(units: Units) -> list[str]:
    """Return the column headers of an exported list, each measure with its unit."""
    return [f"{name} ({unit})" if unit else name for name, unit in _headers(units).items()]


def _headers(units: Units) -> dict[str, str]:
    mass, length = units.mass_unit, units.length_unit
    return {
        "item": "", "mass each": mass, "how known": "", "plus or minus": mass, "count": "", "length": length,
        "width": length, "height": length, "kind": "", "expendable": "", "zone": "", "key": "",
    }  # fmt: skip


def _row(item: Item, units: Units, zones: Mapping[str, str]) -> dict[str, str]:
    """Return one item's cells by column name, all as text."""
    masses, lengths = units.scale("mass"), units.scale("length")
    box = item.size
    sides = [lengths.entry(m) for m in (box.length_m, box.width_m, box.height_m)] if box else ["", "", ""]
    return {
        "item": tidy(item.name), "mass each": masses.entry(item.mass_kg), "how known": item.known,
        "plus or minus": masses.entry(item.plus_minus_kg), "count": str(item.count),
        "length": sides[0], "width": sides[1], "height": sides[2], "kind": tidy(item.kind),
        "expendable": "yes" if item.expendable else "no", "zone": tidy(zones.get(item.key, "")),
        "key": tidy(item.key),
    }  # fmt: skip


def _put(cell: Any, value: str, is_number: bool) -> None:
    """Fill a cell: a number as a number, a text as text whatever it begins with."""
    if not value:
        return
    if is_number:
        cell.value = float(value)
        cell.number_format = "General"
        return
    cell.value = value
    cell.data_type = "s"  # openpyxl takes "=..." for a formula unless told
    cell.quotePrefix = could_run(value)
