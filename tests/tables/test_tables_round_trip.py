"""A gear list that was written and is read back changes nothing, whatever its items are called."""

from __future__ import annotations

import io

import openpyxl
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from loadcalc.model import Item, Size
from loadcalc.model.marks import seen, without_marks
from loadcalc.model.quantities import SI, US, Units
from loadcalc.season.lists.gear_cells import same_name, tidy
from loadcalc.season.lists.gear_in import preview_gear, read_table
from loadcalc.season.tables.gear_out import write_gear_csv, write_gear_xlsx
from tests.strategies import tried

NASTY = (
    "=cmd|' /c calc'!A0", "+1", "-x", "@SUM(A1)", "'=quoted already", "''=twice", "\ttab", "a\nb", "a\r\nb",
    'a "b"', "a;b|c\td", "1,5", "Total", "Subtotal", "TOTAL weight", "item", "?", "-", "Tent\u00a0big",
    "Réchaud", "caf\u0065\u0301", "帐篷", "🏕️ camp", "\uff1dfull width", "_x0041_", "_x000D_", "#", "lb",
    '="12"', "sep=;", "\u200bleft", "אוהל", "'",
)  # fmt: skip
TEXTS = st.one_of(
    st.sampled_from(NASTY),
    st.text(st.characters(exclude_categories=["Cc", "Cs"]), max_size=12),
    st.text(alphabet="=+-@'\"\t\r\n,;| aé?0", min_size=1, max_size=8),
).filter(lambda text: without_marks(text) == seen(text))  # no season holds others
NAMES = TEXTS.filter(lambda text: tidy(text) != "")
MASSES = st.one_of(
    st.just(0.0), st.floats(0.001, 400.0), st.integers(1, 800).map(lambda n: n * 0.45359237), st.just(17.2)
)
SIDES = st.floats(0.0, 6.0)
SIZES = st.none() | st.builds(Size, length_m=SIDES, width_m=SIDES, height_m=SIDES)
ITEMS = st.lists(
    st.builds(
        Item, name=NAMES, mass_kg=MASSES, known=st.sampled_from(("weighed", "label", "estimated")),
        plus_minus_kg=st.floats(0.0, 5.0), count=st.integers(0, 1000), size=SIZES, kind=TEXTS,
        expendable=st.booleans(), key=NAMES,
    ),
    min_size=1, max_size=6, unique_by=lambda item: tidy(item.key),
)  # fmt: skip


def nothing_changes(
    data: bytes, filename: str, items: list[Item], units: Units, zones: dict[str, str]
) -> None:
    """Read an exported list back and check that all rows are unchanged."""
    found = preview_gear(read_table(data, filename), items, units)
    assert not found.refused, str(found.refused[0])
    assert not found.skipped
    assert [row.changes for row in found.changed] == []
    assert (found.added, found.not_in_file) == ((), ())
    assert [row.item for row in found.unchanged] == items
    assert found.result(items) == tuple(items)
    assert found.zones == {key: tidy(zone) for key, zone in zones.items() if tidy(zone)}


@tried(30)
@given(ITEMS, st.sampled_from((US, SI)), st.sampled_from((US, SI)), TEXTS)
@example([Item(name="Cot", mass_kg=7.0, key="a"), Item(name="cot", mass_kg=8.0, key="b")], US, SI, "roof")
def test_csv_round_trip_changes_nothing(items: list[Item], written: Units, read: Units, zone: str) -> None:
    """CSV out and in again is no change, also for a reader who uses the other units."""
    zones = {items[0].key: zone}
    nothing_changes(write_gear_csv(items, written, zones), "gear.csv", items, read, zones)


@tried(15)
@given(ITEMS, st.sampled_from((US, SI)), st.sampled_from((US, SI)), TEXTS)
def test_xlsx_round_trip_changes_nothing(items: list[Item], written: Units, read: Units, zone: str) -> None:
    """XLSX out and in again is no change."""
    zones = {items[0].key: zone}
    nothing_changes(write_gear_xlsx(items, written, zones), "gear.xlsx", items, read, zones)


@tried(30)
@given(ITEMS, st.sampled_from((US, SI)))
def test_export_into_an_empty_season(items: list[Item], units: Units) -> None:
    """Each row of an exported list comes in with the same mass to six digits, or is told."""
    found = preview_gear(read_table(write_gear_csv(items, units), "gear.csv"), (), units)
    first: dict[str, Item] = {}
    for item in items:
        first.setdefault(same_name(item.name), item)
    for row in found.added:
        old = first[same_name(row.item.name)]
        assert row.item.mass_kg == pytest.approx(old.mass_kg, rel=5.1e-6, abs=1e-9)
        assert (row.item.count, row.item.known, row.item.key) == (old.count, old.known, tidy(old.key))
    told = {row.row for row in found.added} | {refused.row for refused in found.refused}
    told |= {skipped.row for skipped in found.skipped}
    assert told == set(range(2, len(items) + 2))


@pytest.mark.parametrize("text", ["=1+1", "+1", "-x", "@x", "\uff1dx", "'=x"])
def test_text_that_could_run_is_made_inert(text: str) -> None:
    """No cell of an exported CSV begins like a formula, and in XLSX such a cell is stored as text."""
    item = Item(name=text, mass_kg=1.0, kind=text, key=text)
    lines = write_gear_csv([item], US, {text: text}).decode("utf-8-sig").splitlines()
    assert lines[1].count("'" + text) == 4
    sheet = openpyxl.load_workbook(io.BytesIO(write_gear_xlsx([item], US))).active
    assert (sheet["A2"].value, sheet["A2"].data_type, sheet["A2"].quotePrefix) == (text, "s", True)


def test_exported_columns_and_numbers() -> None:
    """An exported list has bare numbers under headers with units, and opens as UTF-8 in a spreadsheet."""
    item = Item(
        name="Axe", mass_kg=5 * 0.45359237, known="weighed", plus_minus_kg=0.25 * 0.45359237, count=3,
        kind="tools", size=Size(length_m=0.9144, width_m=0.254, height_m=0.0508), key="axe",
    )  # fmt: skip
    data = write_gear_csv([item], US, {"axe": "roof"})
    assert data.startswith(b"\xef\xbb\xbf")
    assert data.decode("utf-8-sig").split("\r\n")[:2] == [
        "item,mass each (lb),how known,plus or minus (lb),count,length (in),width (in),height (in),"
        "kind,expendable,zone,key",
        "Axe,5,weighed,0.25,3,36,10,2,tools,no,roof,axe",
    ]
    assert write_gear_csv([item], SI).decode("utf-8-sig").startswith("item,mass each (kg),")
    sheet = openpyxl.load_workbook(io.BytesIO(write_gear_xlsx([item], SI, {"axe": "roof"}))).active
    assert [cell.value for cell in sheet[2]] == [
        "Axe", 2.26796, "weighed", 0.113398, 3, 914.4, 254, 50.8, "tools", "no", "roof", "axe",
    ]  # fmt: skip
