"""Files as they come: encodings, line ends, spreadsheets with all their habits, and what is no table."""

from __future__ import annotations

import datetime
import io
import re
import subprocess
import sys
import zipfile
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from loadcalc.model import NotFound
from loadcalc.model.errors import BadValue
from loadcalc.model.quantities import US
from loadcalc.season import bounds
from loadcalc.season.lists.gear_in import preview_gear, read_table
from loadcalc.season.lists.gear_preview import GearPreview

LB = 0.45359237
LIST = "Item,Weight (lb),Zone\nTente à deux,12,coffre\nRéchaud – gaz,9.5,cab\n"


def names(found: GearPreview) -> list[str]:
    """Return the names of the added items."""
    return [row.item.name for row in found.added]


def preview(data: bytes, filename: str = "list", **how: Any) -> GearPreview:
    """Preview a file given as bytes."""
    return preview_gear(read_table(data, filename, **how), (), US)


@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32", "cp1252"]
)
@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
def test_encodings_line_ends_and_separators(encoding: str, line_end: str, separator: str) -> None:
    """The same list reads the same however it was saved."""
    text = LIST.replace(",", separator).replace("\n", line_end)
    found = preview(text.encode(encoding))
    assert names(found) == ["Tente à deux", "Réchaud – gaz"]
    assert [row.zone for row in found.added] == ["coffre", "cab"]


def test_encoding_that_was_guessed_is_told() -> None:
    """A file that is not UTF-8 says how it was read."""
    assert "the text is read as CP1252" in preview(LIST.encode("cp1252")).notes
    assert preview(LIST.encode()).notes == ()


def book(rows: list[list[Any]]) -> tuple[Any, Any]:
    """Return a workbook and its first sheet, filled with rows."""
    made = openpyxl.Workbook()
    for row in rows:
        made.active.append(row)
    return made, made.active


def saved(made: Any) -> bytes:
    """Return a workbook as the bytes of an XLSX file."""
    out = io.BytesIO()
    made.save(out)
    return out.getvalue()


def test_numbers_texts_and_dates_of_a_spreadsheet() -> None:
    """Numbers have the digits a spreadsheet has; a date in a number column is refused."""
    made, _ = book([
        ["Crew gear", None, None],
        [None, None, None],
        ["Item", "Weight (lb)", "Qty"],
        ["Tent", 0.1 + 0.2, 1],
        ["Stove", "2 kg", 2.0],
        ["Axe", datetime.datetime(2024, 5, 3), 1],
        ["Maul", 8, "1,5"],
        [2024, 3, 1],
        ["Saw", True, 1],
        ["Bar", "#N/A", 1],
    ])  # fmt: skip
    found = preview(saved(made), "crew.xlsx")
    assert [row.item.mass_kg for row in found.added] == pytest.approx([0.3 * LB, 2.0, 3 * LB], rel=1e-12)
    assert names(found) == ["Tent", "Stove", "2024"]
    assert [(refused.cell, refused.reason) for refused in found.refused] == [
        ("B6", "is a date in the spreadsheet"), ("C7", "is not a whole number"), ("B9", "is not a number"),
        ("B10", "is a spreadsheet error"),
    ]  # fmt: skip
    assert found.refused[0].text == "2024-05-03"


def test_a_spreadsheet_number_keeps_its_point_among_decimal_commas() -> None:
    """A number is no text: 1.234 beside a typed "12,5" is not 1234."""
    made, _ = book([["Item", "Weight (g)"], ["Tent", "12,5"], ["Stove", 1.234], ["Pan", 1.33]])
    found = preview(saved(made))
    assert [row.item.mass_kg for row in found.added] == pytest.approx([0.0125, 0.001234, 0.00133], rel=1e-12)


def test_formula_without_a_stored_result_is_refused() -> None:
    """A file written by a program holds formulas without results: they are no empty cells."""
    made, _ = book([["Item", "Weight (lb)"], ["Tent", "=5+7"], ["Stove", 9]])
    found = preview(saved(made))
    assert names(found) == ["Stove"]
    (refused,) = found.refused
    assert (refused.text, refused.reason) == ("=5+7", "is a formula without a stored result")


def test_stored_result_of_a_formula_is_read() -> None:
    """A formula counts with the result that the spreadsheet stored beside it."""
    made, _ = book([["Item", "Weight (lb)"], ["Tent", "=5+7"]])
    data = saved(made)
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w") as new:
        for entry in old.namelist():
            content = old.read(entry)
            if entry == "xl/worksheets/sheet1.xml":
                content, times = re.subn(rb"<f>5\+7</f><v\s*(/>|></v>)", b"<f>5+7</f><v>12</v>", content)
                assert times == 1
            new.writestr(entry, content)
    (row,) = preview(out.getvalue()).added
    assert row.item.mass_kg == pytest.approx(12 * LB, rel=1e-12)


def test_unit_in_a_number_format_is_read() -> None:
    """A cell that shows "12 kg" through its format is 12 kg, whatever the header says."""
    made, sheet = book([["Item", "Weight (lb)"], ["Tent", 12]])
    sheet["B2"].number_format = '0.0" kg"'
    (row,) = preview(saved(made)).added
    assert row.item.mass_kg == 12.0


def test_first_visible_sheet_that_is_not_empty_is_read() -> None:
    """Empty and hidden sheets are passed over; which sheet was read is told, and another can be asked for."""
    made, _ = book([])
    for title, item in (("Old", "Lantern"), ("Gear", "Tent"), ("Food", "Beans")):
        sheet = made.create_sheet(title)
        sheet.append(["Item", "Weight (lb)"])
        sheet.append([item, 5])
    made["Old"].sheet_state = "hidden"
    data = saved(made)
    found = preview(data)
    assert names(found) == ["Tent"]
    assert found.notes[:3] == ('sheet "Gear" is read', 'sheet "Old" is not read', 'sheet "Food" is not read')
    assert names(preview(data, sheet="Food")) == ["Beans"]
    with pytest.raises(NotFound, match="Gear, Food"):
        preview(data, sheet="Tools")


def test_merged_and_hidden_cells() -> None:
    """Text merged downward stands for each row, a number for the first only; hidden rows are told."""
    made, sheet = book([
        ["Where", "Item", "Weight (lb)"],
        ["roof", "Tent", 12],
        [None, "Stove", None],
        [None, "Axe", 5],
    ])  # fmt: skip
    sheet.merge_cells("A2:A4")
    sheet.merge_cells("C2:C3")
    sheet.row_dimensions[4].hidden = True
    sheet.column_dimensions["A"].hidden = True
    found = preview(saved(made))
    assert [(row.item.name, row.zone) for row in found.added] == [("Tent", "roof"), ("Axe", "roof")]
    assert [(refused.cell, refused.reason) for refused in found.refused] == [("C3", "is empty")]
    assert any("A2:A4" in note and "C2:C3" in note for note in found.notes)
    assert "1 hidden row (4) read too" in found.notes
    assert "1 hidden column (A) read too" in found.notes


def test_stray_cell_far_away_costs_nothing() -> None:
    """A format set a million rows down, as a slip of the mouse leaves, is not walked to."""
    made, sheet = book([["Item", "Weight (lb)"], ["Tent", 12]])
    sheet.cell(1_048_576, 3).number_format = "0.00"
    assert names(preview(saved(made))) == ["Tent"]


NOT_TABLES = [
    (b"", "has nothing in it"),
    (b"\xef\xbb\xbf\n,,\n\n", "has nothing in it"),
    (b"%PDF-1.7 ...", "is a PDF"),
    (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1 and more", "old (.xls) or locked"),
    (b"<html><table><tr><td>Item</td></tr></table></html>", "is a web page"),
    (b"PK\x03\x04 and then nothing of use", "is damaged"),
    (b"\x89PNG\r\n\x1a\n\x00\x01\x02", "is not a table of text"),
    (b"Item,Weight\nTent," + b"9" * bounds.GEAR_LIST.file_bytes, "the most is 5 MB"),
    (b"Item,Weight\n" + b"a,1\n" * (bounds.GEAR_LIST.rows + 1), "has more than 5,000 rows"),
]


@pytest.mark.parametrize(("data", "problem"), NOT_TABLES)
def test_what_is_no_table_is_refused_by_name(data: bytes, problem: str) -> None:
    """Each kind of wrong file says what it is and how to save the list."""
    with pytest.raises(BadValue, match="holiday") as caught:
        read_table(data, "holiday.csv")
    assert problem in caught.value.problem
    assert caught.value.cure


def test_package_of_another_kind_and_one_that_unpacks_to_too_much() -> None:
    """A zip archive is no spreadsheet, and one that would fill the memory is not opened."""
    cases = (("a.txt", 10, "not an XLSX"), ("xl/workbook.xml", 120_000_000, "unpacks to 120 MB; the most is 100 MB"))
    for name, size, problem in cases:
        out = io.BytesIO()
        with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as package:
            package.writestr(name, b"0" * size)
        with pytest.raises(BadValue, match=problem):
            read_table(out.getvalue(), "list.xlsx")


def test_damaged_spreadsheet_is_refused() -> None:
    """A spreadsheet whose inside is broken is refused like any other wrong file."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as package:
        package.writestr("xl/workbook.xml", b"<not a workbook")
    with pytest.raises(BadValue, match="cannot be opened"):
        read_table(out.getvalue(), "list.xlsx")


def test_import_loads_no_spreadsheet_library() -> None:
    """Reading and writing tables loads nothing big until a spreadsheet is opened."""
    code = (
        "import sys; from loadcalc.season.lists import gear_in; from loadcalc.season.tables import gear_out;"
        "gear_in.read_table(b'Item,Weight (lb)\\nTent,5');"
        "print([name for name in ('openpyxl', 'pint', 'numpy', 'pandas') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_missing_file(tmp_path: Path) -> None:
    """A file that is not there is named without its whole path."""
    with pytest.raises(BadValue, match=r"^file 'gear\.csv' cannot be read \(No such file or directory\)"):
        read_table(tmp_path / "gear.csv")
