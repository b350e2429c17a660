"""What is read of a file, and what is not any more: the limits as the docs tell them, and a real season under them."""

from __future__ import annotations

import datetime
import io
import json
import shutil
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from loadcalc.model import BadValue, LoadcalcError
from loadcalc.model.quantities import US
from loadcalc.model.quantities_text import LONGEST_TEXT
from loadcalc.season import bounds, start_season
from loadcalc.season.lists.gear_in import preview_gear, read_table
from loadcalc.season.tables.read import read_own
from loadcalc.season.tables.take import preview_table
from tests.season_help import DEMO, ROOT, demo_season
from tests.tables.costly_files import sheet

ITEMS, TRIPS, ABOARD = 2_000, 400, 300  # of ten years of forty trips, each with a loadout of its own that is kept


def test_the_docs_tell_every_bound() -> None:
    """Each number of bounds.py stands under its heading in docs/tables.md, where a reader looks for it."""
    text = (ROOT / "docs" / "tables.md").read_text(encoding="utf-8")
    section = text.partition("## What is read of a file")[2].partition("\n## ")[0]
    kinds = (bounds.GEAR_LIST, bounds.OWN_TABLE, bounds.TEXT_TABLE)
    sizes = [kind.file_bytes for kind in kinds]
    told = [
        f"| size | {' | '.join(f'{size / bounds.MB:g} MB' for size in sizes)}; {bounds.TOML_BYTES / bounds.MB:g} MB of",
        f"| {' | '.join(f'{kind.rows:,}' for kind in kinds)}; {bounds.LOADOUTS} loadouts |",
        f"{bounds.CELL_CHARS:,} characters", f"{LONGEST_TEXT} in a number", f"{bounds.LINES:,} lines",
        f"{bounds.COLUMNS} columns", f"{bounds.CSV_CELLS:,} cells of a CSV", f"{bounds.KEY_PARTS} names with dots",
        f"{bounds.UNPACKED_BYTES / bounds.MB:g} MB unpacked", f"{bounds.PART_BYTES / bounds.MB:g} MB in a part",
        f"{bounds.XLSX_CELLS:,} cells with something in them", f"{bounds.MERGES:,} groups",
        f"{bounds.ALL_TAGS:,} in all", *(f"{most:,}" for most in bounds.TAGS.values()),
    ]  # fmt: skip
    assert [words for words in told if words not in section] == []
    assert bounds.MOST_ATTRIBUTES == 0.5
    assert "half as many attributes" in section


def gear_rows() -> list[list[Any]]:
    """An inventory of two thousand things with all that a list can say of them."""
    head = ["key", "name", "mass_lb", "known", "plus_minus_lb", "count", "length_in", "width_in", "height_in", "kind"]
    things = range(ITEMS)
    return [head, *([f"thing-{n}", f"Thing {n}", n % 50 + 1.5, "weighed", 0.5, 2, 24, 18, 12, "tools"] for n in things)]


def as_csv(rows: list[list[Any]]) -> bytes:
    """Cells as a file with commas."""
    return "".join(",".join(map(str, row)) + "\r\n" for row in rows).encode()


def as_xlsx(rows: list[list[Any]]) -> bytes:
    """Cells as a spreadsheet."""
    book, out = openpyxl.Workbook(), io.BytesIO()
    for row in rows:
        book.active.append(row)
    book.save(out)
    return out.getvalue()


@pytest.mark.parametrize(("kind", "write"), [("csv", as_csv), ("xlsx", as_xlsx)])
def test_two_thousand_items_come_in(tmp_path: Path, kind: str, write: Any) -> None:
    """By either door, as either kind of file, none is left out."""
    data = write(gear_rows())
    assert len(preview_gear(read_table(data, f"gear.{kind}"), (), US).added) == ITEMS
    with demo_season(tmp_path, durable=False) as season:
        assert len(preview_table(season, read_own(data, f"gear.{kind}", "item")).added) == ITEMS


def test_ten_years_are_read() -> None:
    """What rode where on 400 loadouts, and what 400 trips carried of two thousand things, is not too much to read."""
    aboard = [["loadout", "item", "zone", "count"]]
    aboard += [[f"Trip {trip}", f"Thing {n}", "Cargo floor", "1"] for trip in range(TRIPS) for n in range(ABOARD)]
    assert len(read_own(as_csv(aboard), "aboard_gear.csv", "stowed").rows) == TRIPS * ABOARD
    carried = " ".join(f"thing-{n}:10:10:0" for n in range(ABOARD))
    most = " ".join(f"a-thing-with-a-name-{n}:10:10:0" for n in range(ITEMS))
    trips = [["name", "date", "carried"], ["All", "2026-05-15", most]]
    trips += [[f"Trip {n}", "2026-05-15", carried] for n in range(TRIPS)]
    assert len(read_own(as_csv(trips), "trips.csv", "trip").rows) == TRIPS + 1


def test_what_stands_far_right_is_not_read_and_a_note_says_so() -> None:
    """The last column that is read is the 200th, in either kind of file."""
    row = [*["Item", "Weight (lb)"], *[""] * (bounds.COLUMNS - 3), "Notes", "Kind"]
    tent = [*["Tent", 5], *[""] * (bounds.COLUMNS - 3), "old", "shelter"]
    for data in (as_csv([row, tent]), as_xlsx([row, tent])):
        found = preview_gear(read_table(data), (), US)
        assert [(taken.note, taken.item.kind) for taken in found.added] == [("old", "")]
        assert "what stands right of column GR is not read" in found.notes


def test_the_last_merge_is_read_and_the_one_after_it_refused() -> None:
    """A limit is what still passes."""
    merges = [f'<mergeCell ref="C{row}:C{row + 1}"/>' for row in range(3, 5 + 2 * bounds.MERGES, 2)]
    last, over = (sheet(after=f"<mergeCells>{''.join(some)}</mergeCells>") for some in (merges[:-1], merges))
    assert len(preview_gear(read_table(last), (), US).added) == 1
    with pytest.raises(BadValue, match="more than 2,000 groups of merged cells, the most that is read; save"):
        read_table(over, "gear.xlsx")


def test_a_package_that_says_less_than_it_unpacks_to_is_refused() -> None:
    """The directory of a zip is what its bounds are counted by, so a false one is damage."""
    data = bytearray(as_xlsx([["Item", "Weight (lb)"], *([f"Tent {n}", 5] for n in range(500))]))
    name = b"xl/worksheets/sheet1.xml"
    entry = data.rindex(name) - 46  # in the central directory, a name follows 46 bytes of its entry
    assert data[entry : entry + 4] == b"PK\x01\x02"
    data[entry + 24 : entry + 28] = (1_000).to_bytes(4, "little")
    with pytest.raises(BadValue, match="cannot be opened"):
        read_table(bytes(data), "gear.xlsx")


def inline(value: Any) -> str:
    """A value as TOML has it on one line."""
    if isinstance(value, dict):
        return f"{{{', '.join(f'{json.dumps(key)} = {inline(part)}' for key, part in value.items())}}}"
    if isinstance(value, list):
        return f"[{', '.join(map(inline, value))}]"
    return str(value) if isinstance(value, datetime.date) else json.dumps(value)


def nodes(value: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Where each table and list of a file stands, of a list the first only."""
    if isinstance(value, dict):
        yield path
        for key, part in value.items():
            yield from nodes(part, (*path, key))
    elif isinstance(value, list):
        yield path
        yield from nodes(value[0], (*path, 0))


def replaced(value: Any, path: tuple[str | int, ...], new: Any) -> Any:
    """The same with something else at a place."""
    if not path:
        return new
    other: Any = dict(value) if isinstance(value, dict) else list(value)
    other[path[0]] = replaced(other[path[0]], path[1:], new)
    return other


@pytest.mark.parametrize("file", ["vehicle.toml", "loadouts.toml"])
def test_what_belongs_elsewhere_in_toml_is_named(tmp_path: Path, file: str) -> None:
    """A number, a word, a list, or a table of another sort in the place of each table and list: refused or read."""
    tables = tmp_path / "tables"
    shutil.copytree(DEMO, tables)
    good = tomllib.loads((DEMO / file).read_text(encoding="utf-8"))
    places = [path for path in nodes(good) if path]
    assert len(places) > 8
    refused = 0
    for number, path in enumerate(places):
        for other in (5, [5], {"a": 5}):
            text = "".join(f"{json.dumps(key)} = {inline(part)}\n" for key, part in replaced(good, path, other).items())
            (tables / file).write_text(text, encoding="utf-8")
            try:
                start_season(tmp_path / f"{number} {other}".replace("/", ""), tables).close()
            except LoadcalcError:  # anything else is an error of the program
                refused += 1
    assert refused > len(places)
