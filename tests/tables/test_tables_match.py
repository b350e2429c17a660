"""Matching the rows of a gear list to the items that are there, and the header words that are understood."""

from __future__ import annotations

import pytest

from loadcalc.model import Item
from loadcalc.model.quantities import US
from loadcalc.season.lists.gear_in import preview_gear, read_table
from loadcalc.season.lists.gear_preview import GearPreview
from loadcalc.season.lists.gear_words import meaning

LB = 0.45359237


def preview(text: str, *present: Item) -> GearPreview:
    """Preview a gear list written out in the test."""
    return preview_gear(read_table(text.encode(), "list.csv"), present, US)


def test_renamed_item_is_found_by_its_key() -> None:
    """A key finds an item under a new name, and the name is a change like any other."""
    old = Item(name="Big tent", mass_kg=10 * LB, key="tent-1")
    (row,) = preview("Item,Weight (lb),Key\nWall tent,10,tent-1\n", old).changed
    assert row.changes == (("name", "Big tent", "Wall tent"),)
    assert row.item.key == "tent-1"


def test_name_of_another_item_is_refused() -> None:
    """A row whose key is one item's and whose name is another's would make two of the same name."""
    one, other = Item(name="Axe", mass_kg=2.0, key="a"), Item(name="Maul", mass_kg=3.0, key="b")
    found = preview("Item,Weight (kg),Key\nMaul,2,a\n", one, other)
    assert found.refused[0].reason == "is the name of another item; the row's key is that of Axe"
    assert found.not_in_file == (other,)


def test_two_present_items_of_one_name_need_a_key() -> None:
    """A name that two items share does not say which; a key does."""
    one, other = Item(name="Cot", mass_kg=7.0, key="a"), Item(name="cot", mass_kg=8.0, key="b")
    (refused,) = preview("Item,Weight (kg)\nCot,9\n", one, other).refused
    assert refused.reason == "is the name of more than one present item"
    found = preview("Item,Weight (kg),Key\nCot,7,a\ncot,8,b\n", one, other)
    assert [row.item for row in found.unchanged] == [one, other]


def test_new_names_twice_in_a_file() -> None:
    """The second row of a new name is refused and both rows are named; the first is taken."""
    found = preview("Item,Weight (lb)\nCot,17\nAxe,5\n COT ,18\n")
    assert [row.item.name for row in found.added] == ["Cot", "Axe"]
    assert (found.refused[0].row, found.refused[0].reason) == (4, "is in row 2 already")


def test_empty_cells_change_nothing() -> None:
    """A field without a column, or with an empty cell, keeps its present value."""
    old = Item(name="Axe", mass_kg=5 * LB, known="weighed", plus_minus_kg=0.1, count=3, kind="tools")
    assert [row.item for row in preview("Item,Weight (lb),Qty,Kind\nAxe,5,,\n", old).unchanged] == [old]


def test_list_without_masses_updates_what_is_there() -> None:
    """A list of counts or zones alone changes present items, and refuses new ones for want of a mass."""
    old = Item(name="Axe", mass_kg=2.0, known="weighed", count=3)
    found = preview("Item,Qty,Zone\nAxe,4,roof\nMaul,1,roof\n", old)
    assert found.changed[0].changes == (("count", "3", "4"),)
    assert found.changed[0].item.known == "weighed"
    assert found.refused[0].reason == "is not in the file"


def test_total_of_a_present_item_without_a_count_column() -> None:
    """With totals alone, the count that is present divides them."""
    old = Item(name="Chair", mass_kg=3.0, count=4)
    (row,) = preview("Item,Total weight (kg)\nChair,12\n", old).unchanged
    assert row.item == old


def test_total_row_tells_that_masses_are_of_whole_lines() -> None:
    """When the total fits the bare sum and not count times mass, the column may hold line totals: say so."""
    found = preview("Item,Weight (lb),Qty\nChair,48,6\nAxe,10,2\nTotal,58,\n")
    note = 'check "Weight (lb)": by the total row it holds the mass of a whole line, not of one piece'
    assert note in found.notes


def test_comma_is_settled_by_the_other_columns() -> None:
    """A column that does not show what its comma is follows the other columns of the file."""
    sized = preview("Item;Weight (kg);L (cm);W (cm);H (cm)\nBox;1,234;60,5;40;30\n")
    assert sized.added[0].item.mass_kg == 1.234
    mixed = preview("Item;Weight (kg);L (cm);W (cm);H (cm)\nBox;1,234;60,5;40.5;30\n")
    assert mixed.refused[0].reason == "may be thousands or a decimal"


def test_zero_mass_is_told() -> None:
    """A spreadsheet writes 0 for what it does not know, so a mass of nothing is pointed out."""
    assert "row 2, Strap: the mass is 0" in preview("Item,Weight (lb)\nStrap,0\n").notes


def test_unknown_word_for_how_known_is_refused() -> None:
    """How a mass is known is one of three things."""
    found = preview("Item,Weight (lb),How known\nStrap,1,dreamt\n")
    assert found.refused[0].cure == "write one of: weighed, label, estimated"
    assert str(found.refused[0]).startswith("row 2, cell C2, Strap: how known 'dreamt' is not a known choice")


@pytest.mark.parametrize(
    ("header", "field", "unit"),
    [
        ("Item", "name", ""), ("GEAR", "name", ""), ("What", "name", ""),
        ("Weight (lb)", "mass", "lb"), ("Weight [kg]", "mass", "kg"), ("weight_kg", "mass", "kg"),
        ("Wt. (oz)", "mass", "oz"), ("Weight in lb", "mass", "lb"), ("lbs", "mass", "lbs"),
        ("Pounds each", "mass", "pounds"), ("Weight (each, lb)", "mass", "lb"),
        ("Packed weight g", "mass", "g"),
        ("Total weight (lb)", "total_mass", "lb"), ("Line total lb", "total_mass", "lb"),
        ("Ext. wt", "total_mass", ""), ("TOTAL", "total_mass", ""),
        ("Qty.", "count", ""), ("How many?", "count", ""), ("#", "count", ""), ("Total qty", "count", ""),
        ("Where", "zone", ""), ("Goes in", "zone", ""), ("Category", "kind", ""),
        ("L x W x H (in)", "size", "in"), ("LxWxH", "size", ""), ("L × W × H (cm)", "size", "cm"),
        ("Length, in", "length", "in"), ("Height (mm)", "height", "mm"), ("W", "width", ""),
        ("+/- (lb)", "plus_minus", "lb"), ("± kg", "plus_minus", "kg"), ("Unit", "mass_unit", ""),
        ("Weight limit (lb)", "", ""), ("Weighed by", "", ""), ("Max weight", "", ""), ("", "", ""),
    ],
)  # fmt: skip
def test_header_words(header: str, field: str, unit: str) -> None:
    """Headers are understood in the words that people use, with the unit in them."""
    assert meaning(header) == (field, unit)
