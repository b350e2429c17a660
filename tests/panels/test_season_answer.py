"""What the season page says first: what is due, what the trips teach, and how an empty season begins."""

import datetime
from pathlib import Path

import pytest

from loadcalc.season.keep.opening import start_season
from loadcalc.season.story.due import Due
from tests.season_help import demo_season
from workbook.panels.desk.desk import Desk
from workbook.panels.ledger.ledger_trips import trip_view
from workbook.panels.ledger.ledger_words import NOT_USED
from workbook.panels.ledger.season_answer import season_answer
from workbook.panels.ledger.season_answer_words import NO_TRIPS, due_lines, lesson_lines

DAY = datetime.date(2026, 6, 1)


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A desk on a fresh copy of the demo season."""
    return Desk(demo_season(tmp_path, durable=False))


@pytest.fixture
def bare(tmp_path: Path) -> Desk:
    """A desk on a season that nobody has written into."""
    return Desk(start_season(tmp_path / "bare"))


def due(name: str, days: int | None) -> Due:
    """A check that is due so many days after DAY; None: nobody knows when."""
    on = None if days is None else DAY + datetime.timedelta(days=days)
    return Due(key=name, name=name, duty="look", what="look", on=on, since="", status="published", source="a book")


def test_what_is_overdue_stands_before_what_is_soon_due_and_the_rest_is_counted() -> None:
    """Six checks that ask for something: four by name, worst first; what is in order is not listed."""
    names = {"Can": None, "Far": 900, "Soon": 9, "Old": -9, "Older": -99, "Belt": 20, "Rope": None}
    _, *said = due_lines([due(name, days) for name, days in names.items()], DAY)

    assert [line.split(": ")[1].split(",")[0] for line in said[:4]] == ["Old", "Older", "Soon", "Belt"]
    assert said[0].startswith("▲ overdue, 2026-05-23")
    assert said[4].startswith("And 2 more")
    assert not any("Far" in line for line in said)


def test_lessons_are_told_with_their_masses_and_a_word_for_rescue_tools(desk: Desk) -> None:
    """The rock bar, 18.2 lb, never earned its ride; nobody is told to leave a rescue tool at home."""
    unused, rescue, drifts, rates = lesson_lines(desk.season, desk.report, desk.units)

    assert "Rock bar (18.2 lb)" in unused
    assert rescue == NOT_USED
    assert "Tool roll (+2.2 lb, margin of error ± 0.327 lb)" in drifts
    assert "water 0.89 gal" in rates


def test_a_season_without_trips_and_checks_is_told_how_to_begin(bare: Desk) -> None:
    """Each of the answer's three parts says what to do, and the table of a trip that is not there stays away."""
    shown = " ".join(child.value for child in season_answer(bare).children)
    view = trip_view(bare)

    assert lesson_lines(bare.season, bare.report, bare.units) == [NO_TRIPS]
    assert "from the third trip on" in shown
    assert "No check is set up yet" in shown or "date not known" in shown
    assert "enter one under" in view.children[1].value
    assert [view.children[n].layout.display for n in (0, 2, 3)] == ["none"] * 3
