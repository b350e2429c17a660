"""Every table of a season as CSV and XLSX: what is taken in, what is refused and why, and one entry for all of it."""

from __future__ import annotations

import csv
import datetime
import io
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from loadcalc.model import BadValue, SeasonError
from loadcalc.model.quantities import SI, US
from loadcalc.season import Change, Season, open_season, start_season
from loadcalc.season.file.fields import FIELDS
from loadcalc.season.file.schema import table_name
from loadcalc.season.tables.preview import TablePreview
from loadcalc.season.tables.read import OwnTable, read_own, subject_of_file
from loadcalc.season.tables.take import preview_table, take_in_table
from loadcalc.season.tables.write import write_all_xlsx, write_csv, write_xlsx
from tests.season_help import FRIDAY, PLAIN, added_up, demo_season, kept

LB = 0.45359237
FOUR = ("chainsaw", "loppers", "rock-bar", "pick-mattock")


@pytest.fixture
def season(tmp_path: Path) -> Iterator[Season]:
    """An open copy of the demo season."""
    with demo_season(tmp_path, durable=False) as opened:
        yield opened


def rows(season: Season, subject: str, units: Any = US) -> list[list[str]]:
    """A table as it is saved, cell by cell."""
    text = write_csv(season.present, subject, units).decode("utf-8-sig")
    return list(csv.reader(io.StringIO(text, newline="")))


def joined(lines: list[list[str]], separator: str = ",") -> str:
    """Cells as the text of a file."""
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=separator).writerows(lines)
    return out.getvalue()


def table(subject: str, lines: list[list[str]], separator: str = ",", name: str = "table.csv") -> OwnTable:
    """Cells as a file, read again."""
    return read_own(joined(lines, separator).encode(), name, subject)


def look(season: Season, subject: str, lines: list[list[str]], **how: Any) -> TablePreview:
    """Preview cells given line by line."""
    return preview_table(season, table(subject, lines), **how)


def refusals(found: TablePreview) -> list[tuple[int, str, str]]:
    """Row, cell, and reason of all that is refused."""
    return [(refused.row, refused.cell, refused.reason) for refused in found.refused]


@pytest.mark.parametrize("units", [US, SI], ids=["US", "SI"])
@pytest.mark.parametrize("subject", FIELDS)
def test_every_table_out_and_in_again_changes_nothing(season: Season, subject: str, units: Any) -> None:
    """Each table of the demo, as CSV and as XLSX, in either units, reads back as what is there."""
    before, version = kept(season.folder), season.version
    count = len(season.present.rows(subject))
    name = table_name(subject)
    for data, filename in (
        (write_csv(season.present, subject, units), f"{name}.csv"),
        (write_xlsx(season.present, [subject], units), f"{name}.xlsx"),
    ):
        assert subject_of_file(data, filename) == subject
        found = preview_table(season, read_own(data, filename, subject), removing=True)
        assert (found.added, found.changed, found.missing, found.refused, found.problem) == (
            (),
            (),
            (),
            (),
            "",
        )
        assert (found.unchanged, found.worth_taking) == (count, False)
        assert take_in_table(season, read_own(data, filename, subject), found) is None
    assert (kept(season.folder), season.version) == (before, version)


def test_one_workbook_holds_every_table(season: Season) -> None:
    """The XLSX of everything has a sheet for each table, and each is found by its name."""
    data = write_all_xlsx(season.present, US)
    assert openpyxl.load_workbook(io.BytesIO(data)).sheetnames == [table_name(subject) for subject in FIELDS]
    for subject in FIELDS:
        found = preview_table(season, read_own(data, "all.xlsx", subject), removing=True)
        assert (found.unchanged, found.added, found.changed) == (len(season.present.rows(subject)), (), ())


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_all_tables_of_one_season_make_another_the_same(tmp_path: Path, season: Season, kind: str) -> None:
    """Every table taken into a blank season: it then holds the same, in one entry a table.

    CSV in SI is exact to the last bit; a cell of a spreadsheet holds fifteen digits.
    """
    with start_season(tmp_path / "blank", PLAIN) as other:
        order = list(FIELDS)
        for removing, subjects in ((False, order), (True, list(reversed(order)))):
            for subject in subjects:
                if kind == "csv":
                    data = write_csv(season.present, subject, SI)
                else:
                    data = write_xlsx(season.present, [subject], SI)
                read = read_own(data, f"{subject}.{kind}", subject)
                found = preview_table(other, read, removing=removing)
                assert (found.refused, found.problem) == ((), ""), subject
                take_in_table(other, read, found)
        other.verify()
        here, there = kept(season.folder), kept(other.folder)
        assert there == added_up(other.folder)
        if kind == "csv":
            assert there == here
        assert there.keys() == here.keys()
        for place, value in here.items():
            is_float = isinstance(value, float)
            assert there[place] == (pytest.approx(value, rel=1e-14, abs=0) if is_float else value), place
        assert {entry.kind for entry in other.entries()[:-1]} == {"import"}


def test_added_changed_and_removed_with_their_rows(season: Season) -> None:
    """The preview says row by row what would be, in the table's own units; nothing is kept by looking."""
    lines = rows(season, "item")
    head = lines[0]
    number = {line[0]: place for place, line in enumerate(lines, start=1)}
    saw = lines[number["chainsaw"] - 1]
    saw[head.index("mass_lb")], saw[head.index("kind")] = "15.5", ""
    del lines[number["loppers"] - 1]
    lines.append(["", "Winch", "20", "label", *[""] * (len(head) - 4)])
    facts = kept(season.folder)

    found = look(season, "item", lines, removing=True)
    (changed,), (added,), (removed,) = found.changed, found.added, found.removed
    assert (changed.row, changed.key) == (number["chainsaw"], "chainsaw")
    assert changed.changes == (
        ("mass_lb", "15.2", "15.5"),
        ("kind", season.fields("item", "chainsaw")["kind"], ""),
    )
    assert (added.row, added.key, added.name) == (len(lines), "", "Winch")
    assert added.changes == (("name", "", "Winch"), ("mass_lb", "", "20"), ("known", "", "label"))
    assert (removed.key, removed.name) == ("loppers", "Loppers")
    assert found.summary() == "1 added, 1 changed, 1 removed, 44 unchanged"
    assert (kept(season.folder), season.version) == (facts, 1)
    kept_ones = look(season, "item", lines)
    assert kept_ones.removed == ()
    assert kept_ones.summary() == "1 added, 1 changed, 0 removed, 44 unchanged, 1 not in the file (kept)"


def test_taken_in_as_one_entry_and_undone_at_once(season: Season) -> None:
    """What the preview said is one entry with its counts in the note; one undo brings everything back."""
    lines = rows(season, "item")
    facts = kept(season.folder)
    lines[1][lines[0].index("mass_lb")] = "1"
    del lines[5]
    lines.append(["", "Winch", "20", *[""] * (len(lines[0]) - 3)])
    read = table("item", lines, name="gear.csv")
    entry = take_in_table(season, read, preview_table(season, read, removing=True))

    assert entry is not None
    assert (entry.kind, entry.id) == ("import", 2)
    assert entry.note == "Table gear from gear.csv: 1 added, 1 changed, 1 removed, 44 unchanged"
    winch = next(item for item in season.gear if item.name == "Winch")
    assert winch.key == "winch"
    assert winch.mass_kg == pytest.approx(20 * LB, rel=1e-12)
    season.undo()
    assert kept(season.folder) == facts == added_up(season.folder)


def test_taking_in_waits_for_a_preview_that_holds(season: Season) -> None:
    """When somebody has edited the same table since the preview, taking it in is refused and nothing is kept."""
    lines = rows(season, "item")
    lines[1][lines[0].index("count")] = "2"
    read = table("item", lines)
    shown = preview_table(season, read)
    with open_season(season.folder) as there:
        there.set_item("chainsaw", count=7)
    with pytest.raises(SeasonError, match="has changed since"):
        take_in_table(season, read, shown)
    assert season.version == 2
    assert take_in_table(season, read, preview_table(season, read)) is not None


def test_what_rides_where_as_a_table(season: Season) -> None:
    """A line of the load is known by loadout and item; names do, keys do, and a move is a change."""
    lines = rows(season, "stowed")
    head = lines[0]
    assert head[:5] == ["key", "loadout", "item", "zone", "count"]
    saw = next(line for line in lines if line[1:3] == [FRIDAY, "Chainsaw"])
    saw[0], saw[head.index("zone")] = "", "cargo floor FRONT"
    spare = next(i.name for i in season.gear if all(s.item.key != i.key for s in season.loadout(FRIDAY).gear))
    lines.append(["", FRIDAY, spare, "drawer-left", "1", *[""] * (len(head) - 5)])
    read = table("stowed", lines)
    found = preview_table(season, read, removing=True)
    assert [row.changes for row in found.changed] == [(("zone", "Drawer left", "Cargo floor front"),)]
    assert (found.changed[0].key, found.changed[0].name) == (
        "friday-departure/chainsaw",
        f"{FRIDAY}, Chainsaw",
    )
    take_in_table(season, read, found)
    zones = {stowed.item.name: stowed.zone for stowed in season.loadout(FRIDAY).gear}
    assert (zones["Chainsaw"], zones[spare]) == ("Cargo floor front", "Drawer left")


def test_a_copied_row_keeps_no_key(season: Season) -> None:
    """Two rows with one key, or a key that is not that of the row's item, are refused with the cure."""
    lines = rows(season, "stowed")
    lines.append(list(lines[1]))
    other = list(lines[2])
    other[2] = "Chainsaw"
    lines[2] = other
    found = look(season, "stowed", lines)
    assert [(row, cell) for row, cell, _ in refusals(found)] == [(3, "A3"), (len(lines), f"A{len(lines)}")]
    assert {refused.cure for refused in found.refused} == {
        "clear the key of a copied row, so that it becomes a thing of its own"
    }


CELLS = [
    ("item", "mass_lb", "heavy", "is not a plain number"),
    ("item", "mass_lb", "15 lb", "is not a plain number"),
    ("item", "mass_lb", "1e999", "is not a number"),
    ("item", "mass_lb", "-4", "is outside 0 to 500 kg"),
    ("item", "count", "1.5", "is not a whole number"),
    ("item", "known", "dreamt", "is not a known choice"),
    ("item", "expendable", "perhaps", "is neither yes nor no"),
    ("item", "expires_on", "5/15/2026", "is not a date"),
    ("item", "name", "", "is missing"),
    ("zone", "length_in", "", "is missing"),
    ("occupant", "seat", "Trunk", "is not there"),
    ("stowed", "zone", "Attic", "is not there"),
    ("stowed", "loadout", "Never", "is not there"),
    ("limit", "key", "rear axel", "is not a known choice"),
    ("tire", "load_index", "900", "outside 50 to 150"),
    ("tire", "pressure_table", "many", "can't be read"),
    ("tire", "pressure_table", "[[1]]", "is not pairs of numbers"),
    ("vehicle", "key", "truck", "there is one of it only"),
    ("loadout", "date", "tomorrow", "is not a date"),
]


@pytest.mark.parametrize(("subject", "column", "cell", "reason"), CELLS)
def test_a_cell_that_is_no_good_refuses_its_row_by_name(
    season: Season, subject: str, column: str, cell: str, reason: str
) -> None:
    """Each slip is told with its row and cell; the other rows can still be taken in."""
    lines = rows(season, subject)
    place = lines[0].index(column)
    lines[1] = list(lines[1])
    lines[1][place] = cell
    if subject == "stowed" and column == "loadout":
        lines[1][0] = ""
    found = look(season, subject, lines)
    (refused,) = found.refused
    assert refused.row == 2
    assert reason in refused.reason
    assert refused.cure
    assert found.unchanged == len(lines) - 2
    assert (found.added, found.changed, found.problem) == ((), (), "")


def test_what_only_the_whole_shows_is_told_and_nothing_taken(season: Season) -> None:
    """Each row could be, but not all together: the preview says why, and taking in is refused."""
    lines = rows(season, "riding")
    friday = [line for line in lines if line[1] == FRIDAY]
    friday[0][3] = friday[1][3]
    read = table("riding", lines)
    found = preview_table(season, read)
    assert "is already taken by" in found.problem
    assert not found.worth_taking
    with pytest.raises(SeasonError, match="is already taken by"):
        take_in_table(season, read, found)
    names = rows(season, "item")
    names[1][1] = names[2][1]
    assert "already taken" in look(season, "item", names).problem
    assert season.version == 1


def test_what_is_in_use_is_not_removed_by_a_table(season: Season) -> None:
    """A zone that something rides in is missing from the file: told, and the whole is left."""
    lines = [line for line in rows(season, "zone") if line[0] != "drawer-left"]
    found = look(season, "zone", lines, removing=True)
    assert "is in use by" in found.problem
    assert look(season, "zone", lines).problem == ""


def test_nothing_is_removed_while_a_row_is_refused(season: Season) -> None:
    """A row that can't be read may be any of those that seem to be missing, so nothing is taken away then."""
    lines = rows(season, "filled")
    del lines[1]
    lines[1][0], lines[1][2] = "", "Water cann"
    found = look(season, "filled", lines, removing=True)
    assert (len(found.refused), len(found.missing), found.removed, found.removing) == (1, 2, (), False)
    assert "nothing is removed" in found.notes[0]


def test_a_row_without_a_key_is_known_by_its_name(season: Season) -> None:
    """A table typed by hand needs no keys: an item in any case is that item, another is new."""
    found = look(season, "item", [["name", "mass_kg"], ["CHAINSAW", "7"], ["Winch", "9"]])
    assert [(row.key, row.changes[-1]) for row in found.changed] == [
        ("chainsaw", ("mass_kg", "6.894604024", "7"))
    ]
    assert [row.name for row in found.added] == ["Winch"]
    assert len(found.missing) == len(season.gear) - 1


def test_columns_that_are_not_there_keep_what_is(season: Season) -> None:
    """Only what the file has a column for is touched; an empty cell in a column takes the value away."""
    before = season.fields("item", "chainsaw")
    read = table("item", [["key", "kind", "plus_minus_kg"], ["chainsaw", "saws", ""]])
    take_in_table(season, read, preview_table(season, read))
    after = {name: value for name, value in before.items() if name != "plus_minus_kg"} | {"kind": "saws"}
    assert season.fields("item", "chainsaw") == after


HEADERS = [
    (
        [["key", "weight"], ["chainsaw", "1"]],
        r"cell B1: column 'weight' is not one of the table gear; choose among",
    ),
    ([["mass_kg"], ["1"]], "column 'key' is missing"),
    ([["key", "mass_kg", "mass_lb"], ["chainsaw", "1", "2"]], "is there twice"),
    ([["key", "mass_in"], ["chainsaw", "1"]], "'mass_in' is not one of"),
    ([["key", "count_lb"], ["chainsaw", "1"]], "'count_lb' is not one of"),
    ([[""]], "has nothing in it"),
]


@pytest.mark.parametrize(("lines", "words"), HEADERS)
def test_columns_are_strict(lines: list[list[str]], words: str) -> None:
    """A column that is not the table's, twice there, or needed and missing refuses the file with the names."""
    with pytest.raises(BadValue, match=words):
        table("item", lines)


NOT_TABLES = [
    (b"%PDF-1.7", "is a PDF"),
    (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1 old", "old"),
    (b"PK\x03\x04 nothing", "is damaged"),
    (b"<html>", "web page"),
    (b'key,name\r\nsaw,"never closed\r\nbar,x\r\n', "quotation mark that never closes"),
    (b"\x89PNG\r\n\x00", "is not a table of text"),
]


@pytest.mark.parametrize(("data", "words"), NOT_TABLES)
def test_what_is_no_table_is_refused(data: bytes, words: str) -> None:
    """Each kind of wrong file says what it is."""
    with pytest.raises(BadValue, match=words):
        read_own(data, "gear.csv", "item")


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_encodings_and_separators(season: Season, encoding: str, separator: str) -> None:
    """UTF-8 with and without its mark, commas, semicolons, tabs: the same table, and nothing changed by it."""
    season.set_item("chainsaw", name="Säge – groß")
    text = joined(rows(season, "item"), separator)
    found = preview_table(season, read_own(text.encode(encoding), "gear.csv", "item"), removing=True)
    assert (found.unchanged, found.changed, found.refused) == (len(season.gear), (), ())


def test_decimal_commas(season: Season) -> None:
    """Semicolons with decimal commas, as many spreadsheets save them, read as the numbers that they are."""
    lines = rows(season, "zone", SI)
    lines[1:] = [[re.sub(r"^(-?\d+)\.(\d+)$", r"\1,\2", cell) for cell in line] for line in lines[1:]]
    assert sum("," in cell for line in lines for cell in line) > 20
    found = preview_table(season, table("zone", lines, ";"), removing=True)
    assert (found.changed, found.refused, found.unchanged) == ((), (), len(season.zones))
    lines = [["key", "mass_kg", "plus_minus_kg"], ["chainsaw", "7,25", "0,125"]]
    found = preview_table(season, table("item", lines, ";"))
    assert found.changed[0].fields == {"mass_kg": 7.25, "plus_minus_kg": 0.125}


COMMAS = [
    (",", "1,234", None, "may be thousands or a decimal"),
    (";", "1,234", 1.234, ""),
    (",", "1.234", 1.234, ""),
    (",", "1,234.5", None, "is not a plain number"),
    (",", "1 234", None, "is not a plain number"),
    (",", "7,5", 7.5, ""),
    (",", "+7.5", 7.5, ""),
    (",", ".5", 0.5, ""),
    (",", "7.5e1", 75.0, ""),
]


@pytest.mark.parametrize(("separator", "cell", "mass_kg", "reason"), COMMAS)
def test_marks_in_numbers(
    season: Season, separator: str, cell: str, mass_kg: float | None, reason: str
) -> None:
    """A number that could be two is refused; one that the file settles is read."""
    found = preview_table(season, table("item", [["key", "mass_kg"], ["chainsaw", cell]], separator))
    assert [row.fields["mass_kg"] for row in found.changed] == ([] if mass_kg is None else [mass_kg])
    assert [refused.reason for refused in found.refused] == ([reason] if reason else [])


def test_a_point_in_a_file_of_decimal_commas_is_refused(season: Season) -> None:
    """Where other cells have decimal commas, "1.234" may be over a thousand."""
    lines = [["key", "mass_kg"], ["chainsaw", "1.234"], ["loppers", "7,5"]]
    found = preview_table(season, table("item", lines, ";"))
    assert [(r.text, r.cure) for r in found.refused] == [("1.234", 'write "1234" or "1,234"')]


@pytest.mark.parametrize("text", ["=1+1", "+1", "-x", "@SUM(A1)", "'=quoted", "＝x"])
@pytest.mark.parametrize("column", ["name", "kind"])
def test_text_that_could_run_is_inert_and_comes_back(season: Season, text: str, column: str) -> None:
    """Such a cell has an apostrophe in front in CSV and is stored as text in XLSX; both read back as it was."""
    season.edit("Odd", [Change("item", "chainsaw", column, text)])
    data = write_csv(season.present, "item", US)
    assert f",'{text}," in data.decode("utf-8-sig")
    made = write_xlsx(season.present, ["item"], US)
    sheet = openpyxl.load_workbook(io.BytesIO(made)).active
    assert sheet is not None
    (cell,) = [cell for row in sheet.iter_rows() for cell in row if cell.value == text]
    assert (cell.data_type, cell.quotePrefix) == ("s", True)
    for content, name in ((data, "gear.csv"), (made, "gear.xlsx")):
        found = preview_table(season, read_own(content, name, "item"), removing=True)
        assert (found.changed, found.refused) == ((), ())


def test_spreadsheet_numbers_dates_and_what_they_become(season: Season) -> None:
    """In XLSX a number is a number; a date that was typed there reads as ISO 8601."""
    season.set_loadout(FRIDAY, date="2026-05-15")
    book = openpyxl.load_workbook(io.BytesIO(write_xlsx(season.present, ["loadout"], SI)))
    sheet = book["loadouts"]
    head = [cell.value for cell in sheet[1]]
    row = next(row for row in sheet.iter_rows(min_row=2) if row[1].value == FRIDAY)
    assert row[head.index("date")].value == "2026-05-15"
    assert isinstance(row[head.index("fuel_l")].value, float | int)
    row[head.index("date")].value = datetime.date(2026, 5, 22)
    out = io.BytesIO()
    book.save(out)
    found = preview_table(season, read_own(out.getvalue(), "loadouts.xlsx", "loadout"))
    assert [row.changes for row in found.changed] == [(("date", "2026-05-15", "2026-05-22"),)]


def test_a_text_too_long_for_a_spreadsheet_is_not_cut_by_it(season: Season) -> None:
    """XLSX cells hold 32767 characters: a longer note is shown cut, and reading it back leaves it whole."""
    season.edit("Long", [Change("item", "chainsaw", "kind", "x" * 40_000)])
    found = preview_table(season, read_own(write_xlsx(season.present, ["item"], US), "gear.xlsx", "item"))
    assert (found.changed, found.unchanged) == ((), len(season.gear))


def test_a_preview_inside_an_entry_is_refused(season: Season) -> None:
    """A trial is taken back whole, so it can't be part of something else."""
    read = table("item", [["key", "count"], ["chainsaw", "3"]])
    with season.entry("Open"), pytest.raises(SeasonError, match="end its `with` block"):
        preview_table(season, read)


def test_a_file_says_which_table_it_is(season: Season) -> None:
    """By its own name, as a browser saves it a second time, or by its one sheet; else it doesn't say."""
    data = write_xlsx(season.present, ["zone"], US)
    names = ["zones.csv", "Zones (1).CSV", "people.xlsx", "letter.csv"]
    assert [subject_of_file(b"", name) for name in names] == ["zone", "zone", "occupant", None]
    assert subject_of_file(data, "from Marta.xlsx") == "zone"
    assert subject_of_file(write_all_xlsx(season.present, US), "all.xlsx") is None
