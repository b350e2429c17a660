"""Trips, lessons, and checks on the ledger page, without a browser."""

from __future__ import annotations

import datetime
import re
from pathlib import Path
from typing import Any

import ipywidgets as widgets
import pytest

from loadcalc.model.errors import BadValue
from loadcalc.model.quantities import SI, US
from loadcalc.season.story.due import Due, checks_due
from loadcalc.season.story.totals import season_sums
from loadcalc.season.story.trips import as_it_left, record_trip
from tests.season_help import FRIDAY, demo_season
from tests.widget_help import inside, text_of, walk
from workbook.panels.desk.desk import Desk
from workbook.panels.ledger import days_and_miles_words as miles
from workbook.panels.ledger import ledger_lessons, ledger_trips
from workbook.panels.ledger import ledger_words as say
from workbook.widgets.table.table import Edit

LB_KG, MI_KM = 0.45359237, 1.609344
DAY = datetime.date(2026, 6, 1)


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A desk on a fresh copy of the demo season."""
    return Desk(demo_season(tmp_path, durable=False))


def test_the_trip_form_enters_a_trip(desk: Desk) -> None:
    """Miles and hours as typed; the loadout that left can be had back; without a name it is refused."""
    view = ledger_trips.trip_form(desk)
    button = inside(view, widgets.Button)
    button.click()
    assert "has no name" in desk.status
    typed = {
        "Trip": "North fork",
        "First day": "2026-05-15",
        "Last day": "2026-05-17",
        "Distance": "120",
        "Packing took": "1:50",
    }
    for label, value in typed.items():
        inside(view, widgets.Text, label).value = value
    button.click()
    trip = desk.season.trips[-1]
    assert (trip.name, trip.days, trip.packing_min) == ("North fork", 3, 110.0)
    assert trip.distance_km == pytest.approx(120 * MI_KM, rel=1e-12)
    assert as_it_left(desk.season, trip)[1] == desk.season.loadout(FRIDAY)


def test_ticks_and_pieces_of_a_trip(desk: Desk) -> None:
    """A tick means all pieces, a number some; more than were carried is refused and changes nothing."""
    record_trip(desk.season, "North fork", "2026-05-15", FRIDAY)

    def edit(column: str, text: str | bool, key: str = "loppers") -> None:
        ledger_trips.tick(desk.season, "North fork", Edit(kind="set", row_key=key, column=column, text=text))

    def loppers() -> tuple[int, int]:
        return next((took.used, took.broken) for took in desk.season.trips[-1].items if took.key == "loppers")

    edit("used", True)
    edit("broke_count", "1")
    assert loppers() == (2, 1)
    edit("broke", False)
    edit("used_count", "1")
    assert loppers() == (1, 0)
    with pytest.raises(BadValue, match="does not add up"):
        edit("used_count", "3")
    with pytest.raises(BadValue, match="was not carried"):
        edit("used", True, "folding-table")
    desk.season.remove("item", "loppers")
    edit("used", False)
    assert loppers() == (0, 0)


def test_the_trip_view_writes_through_its_tables(desk: Desk) -> None:
    """Ticking and measuring go into the ledger as entries of the kind “trip”."""
    record_trip(desk.season, "North fork", "2026-05-15", FRIDAY)
    view = ledger_trips.trip_view(desk)
    tables = [w for w in walk(view) if hasattr(w, "_on_edit")]
    tables[0]._on_edit([Edit(kind="set", row_key="chainsaw", column="used", text=True)])
    assert (desk.season.entries(1)[0].kind, desk.season.entries(1)[0].note) == (
        "trip",
        "North fork: what was used",
    )
    tables[1]._on_edit([Edit(kind="set", row_key="water-can-1", column="back", text="1.5")])
    back = {poured.key: poured.back_l for poured in desk.season.trips[-1].liquids}
    assert back["water-can-1"] == pytest.approx(1.5 * 3.785411784, rel=1e-9)
    refused = tables[1]._on_edit([Edit(kind="set", row_key="water-can-1", column="back", text="9")])
    assert "filled again on the way" in refused[0].reason
    assert "New on this trip, or more of it: " in text_of(view)


def test_a_trip_against_the_one_before_in_words(desk: Desk) -> None:
    """Side by side, then what came along and what stayed; the first trip has nothing to be held against."""
    rows = {row[0]: row[1:] for row in ledger_trips.against_rows(desk.season, "spring-opening", US)}
    assert rows["Distance"] == ("121 mi", "98 mi")
    assert rows["Packing"] == ("2 h 10 min", "1 h 35 min")
    more, less = ledger_trips.against_words(desk.season, "spring-opening").splitlines()
    assert "3 × Pick mattock" in more
    assert less.endswith(": Crosscut saw, Felling axe, Slings and shackles, Air compressor.")
    assert "first trip" in ledger_trips.against_words(desk.season, "ridge-trail-clearing")
    assert ledger_trips.against_rows(desk.season, "ridge-trail-clearing", US) == []


def test_sums_in_words(desk: Desk) -> None:
    """Trips, days, person-days, and miles by hand; an empty season says so."""
    text = say.sums_words(season_sums(desk.season.trips), US)
    assert text.startswith("4 trips, 8 days, 21 person-days; 457 mi; ")
    assert "6 h 55 min of packing; 1 came back broken." in text
    assert say.sums_words(season_sums(()), US) == "No trip is in the ledger yet."


def test_lessons_in_words(desk: Desk) -> None:
    """The rock bar never earned its ride; what it frees is told for the tightest ratings."""
    text = re.sub("</?span[^>]*>", "", text_of(ledger_lessons.lessons(desk)))
    assert "Rock bar" in text
    assert "18.2 lb" in text
    assert "+2.2 lb, margin of error ± 0.327 lb" in text
    assert "0.89 gal" in text


def test_checks_due_in_words() -> None:
    """The worst stands in the sentence; every state has its mark."""

    def due(name: str, on: datetime.date | None) -> Due:
        return Due(
            key=name,
            name=name,
            duty="look",
            what="look",
            on=on,
            since="",
            status="published",
            source="a book",
        )

    dues = [
        due("Can", None),
        due("Old", DAY - datetime.timedelta(days=9)),
        due("New", DAY + datetime.timedelta(days=900)),
    ]
    assert say.due_words(dues, DAY) == (
        "As of 2026-06-01: 1 overdue, 1 in order, 1 date not known. Longest overdue: Old, look, since 2026-05-23."
    )
    assert [row[0] for row in say.due_rows(dues, DAY)] == ["? date not known", "▲ overdue", "in order"]
    assert say.due_words((), DAY).startswith("No check is set up yet")


def test_the_table_of_checks_writes(desk: Desk) -> None:
    """Kinds and dates of items, week codes of tires; what doesn't belong in a cell is refused."""

    def put(key: str, column: str, text: str) -> None:
        ledger_lessons.put_check(desk.season, Edit(kind="set", row_key=key, column=column, text=text))

    put("rock-bar", "check_kind", "strap")
    put("rock-bar", "made_on", "2026-01-02")
    put("tire:front", "made_on", "5320")
    put("tire:front", "looked_on", "2026-03-01")
    assert desk.season.fields("item", "rock-bar")["made_on"] == "2026-01-02"
    assert desk.season.present.get("tire", "front")["made_on"] == "2020-12-28"  # type: ignore[index]  # None fails it
    put("rock-bar", "check_kind", "none")
    assert [due.name for due in checks_due(desk.season) if due.key == "rock-bar"] == []
    put("rock-bar", "made_on", "")
    assert "made_on" not in desk.season.fields("item", "rock-bar")
    for key, column, text in (
        ("tire:front", "check_kind", "strap"), ("tire:front", "expires_on", "2026-01-01"),
        ("rock-bar", "looked_on", "2026-01-01"), ("rock-bar", "made_on", "soon"), ("tire:rear", "made_on", "9919"),
    ):  # fmt: skip
        with pytest.raises(BadValue):
            put(key, column, text)
    rows, keys = ledger_lessons.check_rows(desk.season)
    assert {"recovery-straps-and-shackles", "slings-and-shackles", "propane-cylinder"} < set(keys[:5])
    assert [row["check_kind"] for row in rows[5:8]] == ["tire"] * 3
    assert {row["check_kind"] for row in rows[8:]} == {"none"}


@pytest.mark.parametrize(("text", "units", "km"), [
    ("120", US, 120 * MI_KM), ("120", SI, 120.0), ("190 km", US, 190.0), ("12.5 miles", SI, 12.5 * MI_KM),
    ("", US, None),
])  # fmt: skip
def test_distances_as_typed(text: str, units: Any, km: float | None) -> None:
    """A bare number is in the reader's unit."""
    assert miles.read_distance_km(text, units) == (None if km is None else pytest.approx(km, rel=1e-12))


@pytest.mark.parametrize(("text", "value"), [("95", 95.0), ("1:30", 90.0), ("40 min", 40.0), ("", None)])
def test_times_as_typed(text: str, value: float | None) -> None:
    """Minutes, or hours and minutes."""
    assert miles.read_minutes(text) == value
    for wrong in ("soon", "1:x"):
        with pytest.raises(BadValue):
            miles.read_minutes(wrong)
    with pytest.raises(BadValue):
        miles.read_distance_km("far", US)
