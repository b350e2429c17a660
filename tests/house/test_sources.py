"""One closed list of words for how well a value is known, and every value held to it: tables, code, docstrings."""

from __future__ import annotations

import csv
import datetime
import re
from pathlib import Path

import pytest

from loadcalc.checks import Shares
from loadcalc.model.quantities import US
from loadcalc.plan.doubt import Doubt
from loadcalc.season.story.due import checks_due
from tests.season_help import ROOT, demo_season
from workbook.panels.desk.desk import Desk
from workbook.panels.ledger.ledger_words import due_rows
from workbook.panels.roof.gas_words import note_rows
from workbook.panels.stability.tires_words import relation_choices
from workbook.panels.tie_down.tie_down import judged
from workbook.panels.tie_down.tie_down_words import rests_on

REFERENCES = (ROOT / "docs" / "references.md").read_text(encoding="utf-8")
TABLES = sorted([*(ROOT / "data" / "facts").glob("*.csv"), *(ROOT / "tests" / "reference").glob("*.csv")])
FRICTION = re.compile(r"friction [\d.]+ \(.+?; ([^)]+)\)")
SITE = re.compile(r"\w\.(com|net|ca|co\.uk)\b")
IN_DOCSTRING = re.compile(r"^\s+Status: (.+)$", flags=re.MULTILINE)


def first_cells(heading: str) -> list[str]:
    """The first cells of the table under a heading of docs/references.md."""
    part = REFERENCES.split(f"## {heading}\n")[1].split("\n## ")[0]
    lines = [line for line in part.splitlines() if line.startswith("|")]
    return [line.split("|")[1].strip() for line in lines[2:]]


WORDS = first_cells("How well each value is known")


def table_rows(path: Path) -> list[dict[str, str]]:
    """Read a table as text, header to cell; a row with too many or too few cells has None in it."""
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_the_words_are_a_short_closed_list() -> None:
    """What is read from the page is the list that the page tells, from the strongest to the weakest."""
    assert WORDS[0] == "published"
    assert WORDS[-1] == "from memory"
    assert 4 <= len(set(WORDS)) == len(WORDS) <= 7


@pytest.mark.parametrize("path", TABLES, ids=lambda path: f"{path.parent.name}/{path.name}")
def test_every_row_has_one_of_the_words_and_a_source(path: Path) -> None:
    """Status by the list, source never empty, locator filled wherever there is one; a rule of the trade names none."""
    rows = table_rows(path)
    assert rows

    for line, row in enumerate(rows, start=2):
        assert None not in row, f"line {line} has too many cells: quote the one with a comma"
        assert None not in row.values(), f"line {line} has too few cells"
        statuses = {field: cell for field, cell in row.items() if field.endswith("status")}
        assert "status" in statuses
        assert set(statuses.values()) <= set(WORDS), f"line {line}: {statuses}, of which the list has {WORDS}"
        assert row["source"].strip(), f"line {line} has no source"
        assert row.get("locator", "-").strip(), f"line {line} has no locator"
        assert (row["status"] == "common practice") == row["source"].startswith("no source"), f"line {line}"


@pytest.mark.parametrize("path", TABLES, ids=lambda path: f"{path.parent.name}/{path.name}")
def test_every_source_can_be_found(path: Path) -> None:
    """What was read or agrees in public is listed with its document; no cell sends anybody to a seller's site."""
    rows = table_rows(path)
    keys = tuple(first_cells("Documents"))

    read = [row["source"] for row in rows if row["status"] in ("published", "corroborated")]
    assert [source for source in read if not source.startswith(keys)] == []
    assert [cell for row in rows for cell in row.values() if SITE.search(cell)] == []


def told_statuses(page: str) -> list[str]:
    """The cells under "status" in the tables of a page, but for the table of the words themselves."""
    told: list[str] = []
    column: int | None = None
    for line, before in zip(page.splitlines(), ["", *page.splitlines()], strict=False):
        cells = [cell.strip() for cell in re.split(r"(?<!\\)\|", line)[1:-1]]
        if not before.startswith("|"):
            column = cells.index("status") if "status" in cells and "meaning" not in cells else None
        elif cells and column is not None and set(line) - set("|- "):
            told.append(cells[column])
    return told


def test_every_status_in_the_docs_begins_with_one_of_the_words() -> None:
    """What follows the word says what else holds for a part of it."""
    pages = sorted((ROOT / "docs").glob("*.md"))
    told = [(page.name, status) for page in pages for status in told_statuses(page.read_text(encoding="utf-8"))]

    assert len(told) > 50
    assert [pair for pair in told if not pair[1].startswith(tuple(WORDS))] == []


def test_every_docstring_has_one_of_the_words() -> None:
    """A `Status:` line in a docstring begins with a word of the list."""
    said = [
        (path.name, status)
        for path in sorted((ROOT / "loadcalc").rglob("*.py"))
        for status in IN_DOCSTRING.findall(path.read_text(encoding="utf-8"))
    ]

    assert said
    assert [told for told in said if not told[1].startswith(tuple(WORDS))] == []


def in_brackets(text: str) -> str:
    """What stands in the last brackets of a text."""
    return text.rpartition("(")[2].partition(")")[0]


def test_every_status_on_a_page_is_one_of_the_words(tmp_path: Path) -> None:
    """Relations of tires, tie-downs, gas and fuel, checks due, and doubts, as the demo's pages show them."""
    with demo_season(tmp_path) as season:
        desk = Desk(season)
        shown = {
            "relations": [in_brackets(words) for words, _ in relation_choices()[1:]],
            "verdicts": [v.status for _, found in judged(desk) for v in found],
            "friction": [word for tied, _ in judged(desk) for word in FRICTION.findall(rests_on(tied, US))],
            "gas and fuel": [row[-1] for row in note_rows(US)],
            "checks due": [in_brackets(row[-1]) for row in due_rows(checks_due(season), datetime.date(2026, 8, 1))],
        }
        doubts = [source.status for source in Doubt(Shares(desk.vehicle, desk.loadout)).sources]

    for what, statuses in shown.items():
        assert statuses, what
        assert set(statuses) <= set(WORDS), what
    assert doubts
    assert [status for status in doubts if not any(word in status for word in WORDS)] == []
