"""Whatever a season may hold, in whatever table: written as a file and read back, it is what it was."""

from __future__ import annotations

import datetime
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from loadcalc.model.check import FIRST_DAY, LAST_DAY
from loadcalc.model.quantities import SI, US, Units
from loadcalc.season.file.fields import ABOARD, DATE, FIELDS, NUMBER, TEXT, WHOLE, YES_NO, stored
from loadcalc.season.file.present import Present
from loadcalc.season.tables.columns import KEY, columns, key_parts, points_at
from loadcalc.season.tables.names import Names
from loadcalc.season.tables.read import OwnTable, read_own
from loadcalc.season.tables.values import escaped, read_cell, unescaped
from loadcalc.season.tables.write import write_csv, write_xlsx
from tests.strategies import tried

NASTY = (
    "=cmd|' /c calc'!A0", "+1", "-x", "@SUM(A1)", "'=quoted already", "''=twice", "a\tb", "a\nb", "a\r\nb", "a\rb",
    'a "b"', '"', "a;b|c,d", "1,5", "yes", "=", "'", "Réchaud", "caf\u0065\u0301", "帐篷", "🏕️", "\uff1dfull width",
    "_x0041_", "_x005F_x0041_", "_x0041", "a_\x07", "_x0041\x07", "\x00", "\ufffe", "\u2028", "#N/A", "key", "sep=;",
)  # fmt: skip
TEXTS = st.one_of(
    st.sampled_from(NASTY),
    st.text(st.characters(exclude_categories=["Cs"]), max_size=12),
    st.text(alphabet="=+-@'\"\t\r\n,;| _x0041F\x07é", min_size=1, max_size=14),
)
NUMBERS = st.one_of(st.sampled_from([0.0, -0.0, 15.2 * 0.45359237, 1e-12, 1e300]), st.floats(-1e6, 1e6))
KEYS = ("one", "two", "drei-ü")
VALUES: dict[str, st.SearchStrategy[Any]] = {
    TEXT: TEXTS, NUMBER: NUMBERS, WHOLE: st.integers(-99, 10**9), YES_NO: st.booleans(),
    DATE: st.dates(FIRST_DAY, LAST_DAY).map(datetime.date.isoformat),
}  # fmt: skip
PAIRS = st.lists(st.tuples(NUMBERS, NUMBERS), min_size=1, max_size=3)  # of any other kind there is now


def rows_of(subject: str) -> st.SearchStrategy[list[dict[str, Any]]]:
    """Some rows of a subject, each with some of its fields, whether or not that could be true."""
    optional = {
        field: st.sampled_from(KEYS) if points_at(subject, field) else VALUES.get(kind, PAIRS)
        for field, kind in FIELDS[subject].items()
    }
    return st.lists(st.fixed_dictionaries({}, optional=optional), max_size=len(KEYS))


def present_of(subject: str, rows: list[dict[str, Any]]) -> Present:
    """A season's present with these rows, and things for their keys and pointers to find."""
    present = Present()
    for place in ("zone", "seat", "loadout", "item", "occupant", "liquid"):
        for key in KEYS if place != subject else ():
            present.put(place, key, "name", f"The {place} {key}")
    for key, row in zip(KEYS, rows, strict=False):
        own = f"{key}/{key}" if subject in ABOARD else key
        for field, value in row.items():
            kept = stored(subject, field, value)
            present.put(
                subject, own, field, kept if kept != "" else "-"
            )  # an empty text is not told from none
    return present


def read_back(present: Present, table: OwnTable, *, fresh: bool) -> dict[str, dict[str, Any]]:
    """What a file says, field by field; `fresh`: read without looking at what is there."""
    names = Names(present)
    found: dict[str, dict[str, Any]] = {}
    for row in table.rows:
        texts = table.texts(row)
        was = {} if fresh else present.get(table.subject, texts[KEY]) or {}
        cells = {
            c.field: read_cell(names, table.subject, c, texts[c.field], table.commas, was.get(c.field))
            for c in table.columns
            if c and c.field in FIELDS[table.subject]
        }
        found[texts[KEY]] = {field: value for field, value in cells.items() if value is not None}
        for header, of in key_parts(table.subject).items():
            if of in FIELDS:
                assert names.key((of,), texts[header]) in texts[KEY].split("/")
    return found


CASES = st.sampled_from(list(FIELDS)).flatmap(lambda subject: st.tuples(st.just(subject), rows_of(subject)))


@tried(50)
@given(case=CASES)
@example(case=("item", [{"name": text, "kind": text} for text in NASTY[:3]]))
def test_csv_in_si_is_exact(case: tuple[str, list[dict[str, Any]]]) -> None:
    """Every field of every table comes back to the last bit, even into a season that doesn't hold it yet."""
    subject, rows = case
    present = present_of(subject, rows)
    table = read_own(write_csv(present, subject, SI), "table.csv", subject)
    assert read_back(present, table, fresh=True) == present.things.get(subject, {})


@tried(20)
@given(case=CASES, units=st.sampled_from((US, SI)))
def test_what_was_not_touched_stays(case: tuple[str, list[dict[str, Any]]], units: Units) -> None:
    """In either units, as CSV or XLSX, a table that nobody touched says what is there, to the last bit."""
    subject, rows = case
    present = present_of(subject, rows)
    for data, name in (
        (write_csv(present, subject, units), "t.csv"),
        (write_xlsx(present, [subject], units), "t.xlsx"),
    ):
        table = read_own(data, name, subject)
        assert read_back(present, table, fresh=False) == present.things.get(subject, {})
        assert [column.header for column in table.columns if column] == [
            c.header for c in columns(subject, units)
        ]


@tried(30)
@given(rows=rows_of("item"))
def test_us_units_come_back_to_ten_digits(rows: list[dict[str, Any]]) -> None:
    """Into another season, numbers in pounds and inches are the same to a part in ten billion."""
    present = present_of("item", rows)
    table = read_own(write_csv(present, "item", US), "table.csv", "item")
    found = read_back(present, table, fresh=True)
    for key, fields in present.things.get("item", {}).items():
        for field, value in fields.items():
            expected = pytest.approx(value, rel=1e-9, abs=0) if isinstance(value, float) else value
            assert found[key][field] == expected


@tried(100)
@given(TEXTS)
@example("_x0041\x07")
@example("_x005F_x0041_")
def test_any_text_can_be_written_and_had_back(text: str) -> None:
    """A control mark is written as spreadsheets write it; what looks like one already is told apart."""
    told = escaped(text)
    assert unescaped(told) == text
    assert not any(ord(letter) < 32 and letter not in "\t\n" for letter in told)
