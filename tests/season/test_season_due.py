"""When a check is due: by the published interval, by the last inspection, by the date on the thing."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadcalc.checks.intervals import check_kinds, later, methods, rule_after, rules
from loadcalc.model import BadValue
from loadcalc.season.story.due import checks_due, tire_made_on
from loadcalc.season.story.events import record_event
from tests.reference_rows import Row, case_id, rows
from tests.season_help import demo_season

DATES = st.dates(datetime.date(1990, 1, 1), datetime.date(2090, 1, 1))
day = datetime.date.fromisoformat


@pytest.mark.parametrize("row", rows("check_intervals.csv"), ids=case_id)
def test_intervals_as_published(row: Row) -> None:
    """Each interval runs from the date to the day that the source's years give."""
    assert rule_after(row["kind"], row["after"], row["duty"]).due_on(day(row["date"])) == day(row["due"])


@pytest.mark.parametrize("row", rows("tire_codes.csv"), ids=case_id)
def test_tire_codes(row: Row) -> None:
    """A tire's code names the Monday of its week."""
    assert tire_made_on(row["code"]) == day(row["monday"])


@pytest.mark.parametrize("code", ["", "5407", "0007", "abcd", "19"])
def test_a_code_that_names_no_week_is_refused(code: str) -> None:
    """Week 0, week 54, and letters are refused with an example."""
    with pytest.raises(BadValue, match="week and year, like 2319"):
        tire_made_on(code)


def test_every_rule_has_months() -> None:
    """Each row has months; kinds and methods are those of the table; a method that isn't there is refused."""
    assert len(rules()) >= 15
    assert min(rule.months for rule in rules()) > 0
    assert {"gas cylinder", "fire extinguisher", "strap", "first aid", "tire"} <= set(check_kinds())
    assert methods("gas cylinder") == ("volumetric", "proof", "visual")
    with pytest.raises(BadValue, match="has no interval"):
        rule_after("gas cylinder", "kicked")


@given(date=DATES, first=st.integers(0, 300), second=st.integers(0, 300))
def test_later_never_goes_back(date: datetime.date, first: int, second: int) -> None:
    """More months are never earlier; twelve of them are the same day a year on, but for 29 February."""
    assert (later(date, first) <= later(date, second)) == (first <= second) or first == second
    year_on = later(date, 12)
    assert (year_on.year, year_on.month) == (date.year + 1, date.month)
    assert year_on.day == date.day or (date.month, date.day, year_on.day) == (2, 29, 28)


def test_the_newest_inspection_decides(tmp_path: Path) -> None:
    """Made, then proof-tested, then looked at: the newest counts; a date stamped on it goes before the rule."""
    with demo_season(tmp_path) as season:

        def due() -> datetime.date | None:
            return next(d.on for d in checks_due(season) if d.key == "propane-cylinder")

        assert due() == day("2026-06-01")
        record_event(season, "propane-cylinder", "inspected", "2026-05-20", method="proof")
        assert due() == day("2036-05-20")
        record_event(season, "propane-cylinder", "inspected", "2020-05-20", method="volumetric")
        assert due() == day("2036-05-20")
        record_event(
            season, "propane-cylinder", "inspected", "2026-06-20", method="visual", until="2030-01-01"
        )
        assert due() == day("2030-01-01")
        record_event(season, "propane-cylinder", "retired", "2026-07-01")
        assert not [d for d in checks_due(season) if d.key == "propane-cylinder"]


def test_unknown_dates_come_first_and_are_never_in_order(tmp_path: Path) -> None:
    """A cylinder with neither date nor inspection is told as not known, before everything else."""
    with demo_season(tmp_path) as season:
        season.set_item("propane-cylinder", made_on=None)
        first = checks_due(season)[0]
        assert (first.key, first.on, first.state(day("2026-01-01"))) == (
            "propane-cylinder",
            None,
            "date not known",
        )


def test_states_by_day(tmp_path: Path) -> None:
    """Overdue from the day after, due soon for the sixty days before, in order until then."""
    with demo_season(tmp_path) as season:
        cylinder = next(d for d in checks_due(season) if d.key == "propane-cylinder")
        days = {
            "2026-06-02": "overdue",
            "2026-06-01": "due soon",
            "2026-04-02": "due soon",
            "2026-04-01": "in order",
        }
        assert {when: cylinder.state(day(when)) for when in days} == days


def test_tires_and_what_expires(tmp_path: Path) -> None:
    """Tires are counted from their week, a look at them from that day, and what expires from the date on it."""
    with demo_season(tmp_path) as season:
        found = {(d.name, d.duty): d.on for d in checks_due(season)}
        assert found["Spare tire", "replace"] == day("2026-08-15")
        assert found["Front tires", "look over"] == day("2026-05-31")
        assert found["First aid kit", "expires"] == day("2026-08-31")
        season.put_single("tire", "front", {"looked_on": "2026-04-01"})
        assert {(d.name, d.duty): d.on for d in checks_due(season)}["Front tires", "look over"] == day(
            "2027-04-01"
        )


def test_an_unknown_kind_of_check_is_refused(tmp_path: Path) -> None:
    """A kind without intervals would never come due: it is refused with the kinds that there are."""
    with demo_season(tmp_path) as season, pytest.raises(BadValue, match="gas cylinder"):
        season.set_item("chainsaw", check_kind="gas bottle")
