"""Gear lists as people keep them: what is taken in, what is refused and why, what is left out."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from loadcalc.model import Item, NotFound, Size
from loadcalc.model.errors import BadValue
from loadcalc.model.quantities import SI, US, Units
from loadcalc.season.lists.gear_in import preview_gear, read_table
from loadcalc.season.lists.gear_preview import GearPreview

MESSY = Path(__file__).resolve().parents[1] / "messy"
LB, INCH = 0.45359237, 0.0254
SAW = Item(name="Chainsaw", mass_kg=6.57, known="weighed", key="saw-1", kind="tools")


def preview(file: str, *present: Item, units: Units = US, **mapping: str | int | None) -> GearPreview:
    """Preview one of the messy files."""
    return preview_gear(read_table(MESSY / file), present, units, mapping or None)


def sides(size: Size | None) -> list[float]:
    """Return the sides of a box [m]."""
    return [size.length_m, size.width_m, size.height_m] if size else []


def added(found: GearPreview) -> dict[str, tuple[Any, int]]:
    """Return mass each [kg] and count of the added items, by name."""
    items = [row.item for row in found.added]
    return {item.name: (pytest.approx(item.mass_kg, rel=1e-9), item.count) for item in items}


def refusals(found: GearPreview) -> list[tuple[str, str]]:
    """Return cell and reason of everything that is refused."""
    return [(refused.cell, refused.reason) for refused in found.refused]


def skips(found: GearPreview) -> list[tuple[int, int, str]]:
    """Return first row, last row and text of what is skipped."""
    return [(row, last, text) for row, last, text, _ in found.skipped]


def test_mixed_units_and_gaps() -> None:
    """Each mass is read in its own unit, a bare one in the header's; nothing empty becomes zero."""
    found = preview("crew_list.csv", SAW)
    assert added(found) == {
        "Crosscut saw": (9 * LB, 1), "First aid kit": (0.8, 1), "Dutch oven": (18 * LB, 1),
        "Camp chairs": (3.2, 6), "Camp kitchen": (12.25 * LB, 1),
    }  # fmt: skip
    assert refusals(found) == [
        ("B7", "is not known"), ("B8", "is empty"), ("B9", "is negative"), ("A10", "is empty"),
        ("B11", "is not a finite number"), ("A13", "is the same item as in row 2"),
    ]  # fmt: skip
    assert found.zones["saw-1"] == "cargo box"
    assert found.added[1].note == 'expires "soon"'
    assert "Generator" not in [item.name for item in found.result([SAW])]


def test_changes_are_told_field_by_field() -> None:
    """A changed item says each field before and after; a new mass is no longer a weighed one."""
    (row,) = preview("crew_list.csv", SAW).changed
    assert row.changes == (
        ("mass each", "14.4844 lb", "14.5 lb"),
        ("how known", "weighed", "estimated"),
        ("count", "1", "2"),
    )
    assert (row.item.key, row.item.kind, row.row) == ("saw-1", "tools", 2)


def test_items_that_the_file_lacks_are_kept_and_listed() -> None:
    """Nothing is removed because a file does not mention it."""
    lantern = Item(name="Lantern", mass_kg=1.0)
    found = preview("crew_list.csv", SAW, lantern)
    assert found.not_in_file == (lantern,)
    assert lantern in found.result([SAW, lantern])
    assert found.summary() == (
        "5 added, 1 changed, 0 unchanged, 6 rows refused, 1 item not in the file (kept)"
    )


def test_marked_guess_is_estimated() -> None:
    """A mass with a tilde is a guess; its item is matched in any case and spacing, and not renamed."""
    oven = Item(name="dutch  OVEN", mass_kg=18 * LB, known="label")
    (row,) = [row for row in preview("crew_list.csv", oven).changed if row.item.key == oven.key]
    assert row.changes[0] == ("how known", "label", "estimated")
    assert row.item.name == "dutch  OVEN"


def test_title_rows_units_below_and_decimal_commas() -> None:
    """A title above, units below the header, and a comma that the rest of the column shows to be decimal."""
    tent = Item(name="Wall tent", mass_kg=22.5, known="weighed")
    found = preview("titled_with_units_below.csv", tent)
    assert added(found) == {"Stove": (6.35, 2), "Cooler": (1.234, 1), "Hand tools": (18.0, 1)}
    assert [row.item for row in found.unchanged] == [tent]
    assert [row.item.known for row in found.added] == ["label", "estimated", "estimated"]
    assert skips(found) == [(9, 9, ""), (11, 11, "TOTAL")]
    assert "commas are taken for decimal commas in: Weight" in found.notes


def test_totals_are_left_out_and_a_total_station_is_not() -> None:
    """Totals are known by their sums; one that is no sum is refused, and an instrument stays an item."""
    found = preview("sections_and_totals.csv")
    assert list(added(found)) == ["Griddle", "Water filter", "Cook box", "Total station", "Tripod", "Stakes"]
    assert {row.item.count for row in found.added} == {1}  # "#" numbers the lines
    assert skips(found) == [
        (2, 2, "KITCHEN"), (6, 6, "Kitchen total"), (7, 7, "SURVEY"), (11, 11, "Subtotal"),
        (12, 12, "Grand total"), (14, 14, ""),
    ]  # fmt: skip
    assert refusals(found) == [("B13", "is called a total, but is not the sum of the rows above")]


def test_item_that_is_there_is_never_taken_for_a_total() -> None:
    """An item with a total's name that the season already has is that item, even when the sum fits."""
    odd = Item(name="Kitchen Total", mass_kg=58 * LB)
    assert [row.item for row in preview("sections_and_totals.csv", odd).unchanged] == [odd]


def test_unit_column_sizes_and_yes_no() -> None:
    """A column of units holds for its row; sizes stand in one cell; every bad cell of a row is told."""
    found = preview("tabs.tsv")
    assert added(found) == {"Winch": (54 * LB, 1), "Fuel filter": (0.75 * LB, 1), "Tool roll": (2.2, 1)}
    sizes = [sides(row.item.size) for row in found.added]
    assert sizes[0] == pytest.approx([24 * INCH, 10 * INCH, 11 * INCH], rel=1e-12)
    assert sizes[1:] == [[], [0.6, 0.2, 0.1]]
    assert [row.item.expendable for row in found.added] == [False, True, False]
    assert [cell for cell, _ in refusals(found)] == ["B5", "D6", "E6"]


def test_three_columns_of_sides() -> None:
    """A size needs all three sides, in the unit of the header, within reason."""
    found = preview("sizes.csv", units=SI)
    assert {row.item.name: row.item.size for row in found.added} == {
        "Ice chest": Size(length_m=0.8, width_m=0.45, height_m=0.425), "Bed roll": None,
    }  # fmt: skip
    assert refusals(found) == [
        ("D3", "is empty"), ("E3", "is empty"), ("C5", "is above the most allowed, 2000 cm"),
    ]  # fmt: skip


def test_bare_metric_size_is_refused() -> None:
    """A bare 60 may be millimeters or centimeters: an SI reader must say which; inches are the US usage."""
    text = b"Item,Weight (kg),Size\nBox,9,60x40x30\n"
    assert preview_gear(read_table(text), (), SI).refused[0].reason == "has no unit"
    (row,) = preview_gear(read_table(text), (), US).added
    assert sides(row.item.size) == pytest.approx([60 * INCH, 40 * INCH, 30 * INCH], rel=1e-12)


def test_separator_line_and_semicolons() -> None:
    """A file that names its separator is cut by it; grouped and decimal commas are told apart."""
    found = preview("semicolons.csv")
    assert added(found) == {"Zelt": (12.5, 1), "Seil": (0.85, 3), "Kocher": (1.234, 1)}
    assert refusals(found) == [("C4", "is above the most allowed, 500 kg")]
    assert "not used: Masse" in found.notes


def test_totals_only_are_divided_by_the_count() -> None:
    """A column of totals is not taken for the mass of one; it is divided by the count, and said so."""
    found = preview("totals_only.csv")
    assert added(found) == {"Camp chair": (8 * LB, 6), "Water jug (empty)": (1.5 * LB, 4)}
    assert [cell for cell, _ in refusals(found)] == ["C4", "C5"]
    assert 'mass each is "Total weight (lb)" divided by "Qty"' in found.notes


def test_total_beside_each_is_checked() -> None:
    """Where both stand, the mass of one is taken and a total that does not fit is told."""
    found = preview("totals_and_each.csv")
    assert added(found)["Cot"] == (17 * LB, 4)
    assert skips(found) == [(5, 5, "Total")]
    assert "row 3, Shovel: the total is 5 lb, but 3 times 5 lb is 15 lb" in found.notes


def test_thousands_or_decimals_are_refused_unless_settled() -> None:
    """A mass of "1,234" with nothing else to go by is refused with both ways to write it."""
    found = preview("ambiguous_thousands.csv")
    assert added(found) == {"Chair": (0.9, 2)}
    assert [refused.cure for refused in found.refused] == [
        'write "1234" or "1.2340"', 'write "2150" or "2.15"',
    ]  # fmt: skip


@pytest.mark.parametrize("mark", [".", ","])
def test_grams_with_a_mark_before_three_digits_are_asked_about(mark: str) -> None:
    """1.330 g may be 1330 g: asked, as 1,330 is, unless another cell shows what the mark is."""
    rows = f"Item;Weight (g);Length (mm);Width (mm);Height (mm)\nTent;1{mark}330;1{mark}200;300;200\nStove;850;;;\n"
    found = preview_gear(read_table(rows.encode(), "crew.csv"), (), SI)
    assert added(found) == {"Stove": (0.85, 1)}
    assert {(refused.cell, refused.reason) for refused in found.refused} >= {("B2", "may be thousands or a decimal")}
    assert 'write "1330" or "1.33"' in [refused.cure for refused in found.refused]

    settled = rows + f"Pan;0{'.,'.replace(mark, '')}5;;;\n"
    found = preview_gear(read_table(settled.encode(), "crew.csv"), (), SI)
    assert added(found) == {"Tent": (1.33, 1), "Stove": (0.85, 1), "Pan": (0.0005, 1)}


def test_odd_quotation_marks_swallow_no_row() -> None:
    """A mark that is never closed costs no row."""
    found = preview("open_quote.csv")
    masses = [row.item.mass_kg / LB for row in found.added]
    assert masses == pytest.approx([9, 14, 3, 12, 8], rel=1e-12)
    assert "the quotation marks do not add up, so each line is read on its own" in found.notes


def test_quoted_commas_and_newlines() -> None:
    """Proper quotation marks hold commas, marks and line breaks; row numbers are those of a spreadsheet."""
    found = preview("quotes_and_newlines.csv")
    assert [(row.row, row.item.name, row.note) for row in found.added] == [
        (2, "Tarp, 12' x 16'", "blue heavy duty"), (3, 'Saw "Old Reliable"', "keep dry"), (4, "Wedge", ""),
    ]  # fmt: skip


def test_bars_and_ruled_line() -> None:
    """A table drawn with bars is read, and its ruled line is no item."""
    found = preview("bars.txt")
    assert added(found) == {"Axe": (5 * LB, 2), "Grub axe": (6.25 * LB, 3)}
    assert found.skipped[0].reason == "a ruled line"


def test_blank_rows_repeated_header_and_doubt() -> None:
    """Blank rows and a header printed again are skipped; a given doubt is kept; a remark is refused."""
    found = preview("blank_and_repeated.csv")
    assert added(found) == {"Pick mattock": (5.5 * LB, 4), "Rake hoe": (6 * LB, 3), "Grub hoe": (5 * LB, 2)}
    assert found.added[2].item.plus_minus_kg == pytest.approx(0.25 * LB, rel=1e-9)
    assert [skipped.reason for skipped in found.skipped] == ["blank", "repeats the header", "a ruled line"]
    assert refusals(found) == [("B10", "is empty")]


def test_what_is_no_mass_says_what_it_is() -> None:
    """Dates, formulas, spreadsheet errors, volumes and absurd numbers each get their own reason."""
    found = preview("formulas_as_text.csv")
    assert list(added(found)) == ["=cmd|' /c calc'!A0", "Anvil"]
    reasons = dict(refusals(found))
    assert reasons["B3"] == "is a spreadsheet error"
    assert reasons["B4"] == "is a formula without a stored result"
    assert reasons["B5"] == reasons["B6"] == "looks like a date"
    assert reasons["B7"] == "is above the most allowed, 1102 lb"
    assert reasons["C9"] == "is not a whole number"
    assert "measures a volume" in reasons["B10"]


def test_grams_under_a_bare_header_are_questioned() -> None:
    """Numbers without any unit are taken in the reader's, and very heavy ones are questioned."""
    found = preview("bare_grams.csv", units=SI)
    assert '"Mass" has no unit in its header, so bare numbers in it are taken as kg' in found.notes
    assert 'check "Mass": most numbers come to more than 90 kg; are they grams?' in found.notes


def test_file_without_a_header_needs_a_mapping() -> None:
    """Where no row is a header the reader says which column is which."""
    with pytest.raises(BadValue, match="hold no item names"):
        preview("no_header.csv")

    found = preview("no_header.csv", name=0, mass=1, zone="column C")
    assert added(found) == {"Tent": (12 * LB, 1), "Stove": (9 * LB, 1), "Chair": (7 * LB, 1)}
    assert found.zones["Stove"] == "box"


def test_mapping_overrules_the_header() -> None:
    """A field can be placed by hand or taken away; a column or field that is not there is refused."""
    found = preview("crew_list.csv", zone=None, kind="where")
    assert found.zones == {}
    assert found.added[0].item.kind == "cargo box"
    with pytest.raises(NotFound, match="Color"):
        preview("crew_list.csv", kind="Color")
    with pytest.raises(NotFound, match="price"):
        preview("crew_list.csv", price="Qty")
    with pytest.raises(BadValue, match="use one column twice"):
        preview("crew_list.csv", kind="Where", zone="Where")
