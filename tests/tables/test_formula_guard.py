"""No CSV of ours has a cell that runs in a spreadsheet, wherever that cuts it; and it reads back as it was."""

from __future__ import annotations

import csv
import io
import re
import time

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from loadcalc.model import Item
from loadcalc.model.marks import seen, without_marks
from loadcalc.model.quantities import SI
from loadcalc.season.file.present import Present
from loadcalc.season.lists.formula_guard import as_typed, guarded
from loadcalc.season.lists.gear_in import preview_gear, read_table
from loadcalc.season.tables.gear_out import write_gear_csv
from loadcalc.season.tables.read import read_own
from loadcalc.season.tables.write import write_csv
from tests.strategies import STEADY

STARTS = "=+-@\uff1d\uff0b\uff0d\uff20"
TEXTS = (
    st.text(alphabet="=+-@\uff1d'\"\t\r\n,;| ax1", min_size=1, max_size=14) | st.text(max_size=20)
).filter(lambda text: without_marks(text) == seen(text))  # no season holds others
NAMES = TEXTS.map(seen).filter(bool)


def cuts(data: bytes) -> set[str]:
    """Return every cell that some spreadsheet might cut out of a file: by each separator, with and without quotes."""
    text = data.decode("utf-8-sig")
    found = set()
    for mark in ",;\t|":
        with_quotes = csv.reader(io.StringIO(text, newline=""), delimiter=mark)
        found |= {cell for row in with_quotes for cell in row}
        if mark != ",":  # a spreadsheet that cuts at commas finds our quotes where it looks for them
            found |= set(re.split(rf"[{mark}\r\n]", text))
    return found


def running(data: bytes) -> list[str]:
    """Return the cells that begin like a formula and are no plain number."""
    bare = [cell.strip(' "\t\r\n\v\f\u00a0') for cell in cuts(data)]
    return [cell for cell in bare if cell[:1] in STARTS and cell and not re.match(r"-\d+(\.\d+)?(e-?\d+)?($|,)", cell)]


@STEADY
@given(name=NAMES, kind=TEXTS)
@example(name="x;=1+1", kind="a\t@x")
@example(name='x";"=1+1', kind="two\n-lines")
@example(name="'=1", kind="x; ''+1")
def test_no_cell_of_an_own_table_runs_and_all_read_back(name: str, kind: str) -> None:
    """Whatever a thing is called, no cut of its table begins like a formula, and the table says what is there."""
    present = Present()
    for field, value in {"name": name, "kind": kind.strip(), "mass_kg": 2.0}.items():
        if value != "":
            present.put("item", "one", field, value)
    data = write_csv(present, "item", SI)
    assert running(data) == []
    table = read_own(data, "gear.csv", "item")
    texts = table.texts(table.rows[0])
    assert (texts["name"], texts["kind"].strip()) == (name, kind.strip())


@STEADY
@given(name=NAMES, kind=TEXTS, zone=TEXTS)
@example(name="x;=1+1", kind="a\t@x", zone="|-1")
def test_no_cell_of_a_gear_list_runs_and_all_read_back(name: str, kind: str, zone: str) -> None:
    """The same for the list of gear that goes to other people."""
    item = Item(name=name, mass_kg=2.0, key="one", kind=kind)
    data = write_gear_csv([item], SI, {"one": zone})
    assert running(data) == []
    found = preview_gear(read_table(data, "gear.csv"), [item], SI)
    assert [row.item for row in found.unchanged] == [item]


@given(TEXTS)
def test_a_guarded_text_is_had_back(text: str) -> None:
    """What is put in is taken out, and nothing else."""
    assert as_typed(guarded(text)) == text
    assert guarded(text).replace("'", "") == text.replace("'", "")


@pytest.mark.parametrize("text", ["Bag -10", "Tent, -5 rated", "5-6 people", "a@b", "x = y", "Jerry's can; full"])
def test_a_plain_name_gets_no_apostrophe(text: str) -> None:
    """What can't run is written as it is."""
    assert guarded(text) == text


@pytest.mark.parametrize("letter", ["\t", "'", ";", "\n", '"', " "])
def test_a_long_cell_is_read_at_once(letter: str) -> None:
    """A million marks in one cell take no longer than a million letters."""
    began = time.perf_counter()
    assert as_typed(guarded(letter * 1_000_000)) == letter * 1_000_000
    assert time.perf_counter() - began < 2.0
