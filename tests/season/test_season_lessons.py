"""What the season teaches, worked by hand on small seasons."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from loadcalc.checks import evaluate
from loadcalc.season import Season
from loadcalc.season.story.events import record_event
from loadcalc.season.story.lessons import combined_doubt_kg, drifted, frees, never_used, used_per_person_day
from loadcalc.season.story.totals import against_the_last, item_trips, mass_points, season_sums
from loadcalc.season.story.trips import record_paper_trip, record_trip, tick_item
from tests.season_help import BLANK, FRIDAY, demo_season

LB_KG, GAL_L, MI_KM = 0.45359237, 3.785411784, 1.609344


@pytest.fixture
def season(tmp_path: Path) -> Iterator[Season]:
    """An open copy of the demo season."""
    with demo_season(tmp_path) as opened:
        yield opened


def test_never_used_is_what_three_trips_did_not_need(season: Season) -> None:
    """Carried on three trips, used on none; a first use, or that it must come, takes it off the list."""
    names = [lesson.name for lesson in never_used(season)]
    assert names == ["Hand winch and rope", "Rock bar", "Pulley blocks"]
    assert "First aid kit" not in names
    tick_item(season, "Spring opening", "Rock bar", used=1)
    season.set_item("pulley-blocks", must_come=True)
    assert [lesson.name for lesson in never_used(season)] == ["Hand winch and rope"]
    assert never_used(season, often=4) == ()


def test_what_it_frees_is_what_goes_when_it_is_left(season: Season) -> None:
    """Each rating's gain is the difference of two whole evaluations, with the item and without."""
    vehicle, loadout = season.vehicle, season.loadout(FRIDAY)
    report = evaluate(vehicle, loadout)
    without = evaluate(
        vehicle, replace(loadout, gear=tuple(s for s in loadout.gear if s.item.key != "rock-bar"))
    )
    gains = dict(frees(report, "rock-bar"))

    for rating in report.ratings:
        if rating.known and rating.unit == "kg":
            assert gains.get(rating.name, 0.0) == pytest.approx(
                rating.load - without.rating(rating.key).load, abs=1e-9
            )
    lesson = next(lesson for lesson in never_used(season, report) if lesson.key == "rock-bar")
    assert lesson.mass_kg == pytest.approx(18.2 * LB_KG, abs=1e-9)
    assert dict(lesson.frees) == gains
    assert frees(report, "folding-table") == ()


def test_drift_is_beyond_the_combined_doubt(season: Season) -> None:
    """The tool roll and the first aid kit got heavier; the chainsaw's 0.1 lb is within what two readings can differ."""
    found = {drift.key: drift for drift in drifted(season)}
    assert set(found) == {"tool-roll", "first-aid-kit"}
    assert found["tool-roll"].change_kg == pytest.approx(2.2 * LB_KG, abs=1e-9)
    assert found["tool-roll"].doubt_kg == pytest.approx(2 * math.sqrt(2 * (0.2 * LB_KG) ** 2 / 3), abs=1e-12)


def test_doubt_adds_in_quadrature() -> None:
    """Two rectangular half-widths of 3 and 4 give 2 * 5 / sqrt 3; the order doesn't matter; none and none is none."""
    assert combined_doubt_kg(3.0, 4.0) == pytest.approx(10 / math.sqrt(3), rel=1e-12)
    assert combined_doubt_kg(4.0, 3.0) == combined_doubt_kg(3.0, 4.0)
    assert combined_doubt_kg(0.0, 0.0) == 0.0


def test_water_per_person_day_by_hand(season: Season) -> None:
    """The notebook's trips: 7.5, 3.5, 6.5, and 1.2 gal over 9, 4, 6, and 2 person-days."""
    water = next(rate for rate in used_per_person_day(season) if rate.what == "water")
    assert water.per_person_day == pytest.approx(18.7 / 21 * GAL_L, rel=1e-9)
    assert (water.low, water.high) == pytest.approx((1.2 / 2 * GAL_L, 6.5 / 6 * GAL_L), rel=1e-9)
    assert (water.unit, water.trips, water.person_days) == ("L", 4, 21)


def test_a_can_that_nobody_measured_counts_for_nothing(season: Season) -> None:
    """A trip with one water can not measured on return says nothing of water, rather than too little."""
    before = {rate.what: rate for rate in used_per_person_day(season)}
    record_trip(season, "North fork", "2026-05-15", FRIDAY, back_l={"Water can 1": 0.0, "Bar oil jug": 1.0})
    after = {rate.what: rate for rate in used_per_person_day(season)}
    assert after["water"] == before["water"]
    assert after["oil"].per_person_day == pytest.approx((GAL_L - 1.0) / 3, rel=1e-9)


def test_pieces_of_consumables(season: Season) -> None:
    """Consumables count in pieces per person and day; tools don't."""
    rates = {rate.what: rate for rate in used_per_person_day(season)}
    assert rates["Trail signs and stakes"].per_person_day == pytest.approx(1 / 6, rel=1e-12)
    assert "Chainsaw" not in rates


def test_sums_of_the_season_by_hand(season: Season) -> None:
    """Trips, days, person-days, and miles as the notebook has them; a trip without a number is counted as silent."""
    sums = season_sums(season.trips)
    assert (sums.trips, sums.days, sums.person_days, sums.broken) == (4, 3 + 2 + 2 + 1, 9 + 4 + 6 + 2, 1)
    assert sums.distance_km == pytest.approx((164 + 98 + 121 + 74) * MI_KM, rel=1e-9)
    assert sums.packing_min == 150 + 95 + 130 + 40
    assert sums.silent == (0, 0, 0)
    record_paper_trip(season, "A walk", "2026-05-20")
    assert season_sums(season.trips).silent == (1, 1, 1)
    assert season_sums(()).trips == 0


def test_a_trip_against_the_last(season: Season) -> None:
    """What came along more and less than on the trip before; the first trip has none before it."""
    trips = season.trips
    told = against_the_last(trips, "spring-opening")
    assert told is not None
    assert told.before.name == "Storm damage, east loop"
    assert dict(told.more)["pick-mattock"] == 3
    assert dict(told.less) == {
        "crosscut-saw": 1,
        "felling-axe": 1,
        "slings-and-shackles": 1,
        "air-compressor": 1,
    }
    assert "chainsaw" not in dict(told.more) | dict(told.less)
    assert against_the_last(trips, trips[0].key) is None


def test_one_items_history(season: Season) -> None:
    """Masses by the day they were found, what was undone left out, and the trips that carried it."""
    season.set_item("tool-roll", mass_kg=12.0, known="estimated", plus_minus_kg=1.0)
    season.set_item("tool-roll", mass_kg=90.0)
    season.undo()
    points = mass_points(season, "tool-roll")
    assert [p.known for p in points] == ["weighed", "weighed", "estimated"]
    assert [p.mass_kg for p in points] == pytest.approx([22.6 * LB_KG, 24.8 * LB_KG, 12.0], abs=1e-9)
    assert points[-1].plus_minus_kg == 1.0
    trips = item_trips(season.trips, "felling-axe")
    assert [(trip.name, *counts) for trip, *counts in trips] == [("Storm damage, east loop", 1, 0, 1)]


def test_a_weighing_found_late_holds_over_what_was_entered(season: Season) -> None:
    """The mass from the first list, entered today, is not drawn after a weighing of June that was told later."""
    assert [point.mass_kg for point in mass_points(season, "rock-bar")] == [pytest.approx(18.2 * LB_KG, abs=1e-9)]
    record_event(season, "rock-bar", "weighed", "2020-06-01", mass_kg=8.5)
    points = mass_points(season, "rock-bar")
    assert [(point.known, point.mass_kg) for point in points] == [("weighed", 8.5)]
    season.set_item("rock-bar", mass_kg=8.7)
    assert mass_points(season, "rock-bar")[-1].mass_kg == season.fields("item", "rock-bar")["mass_kg"] == 8.7


def test_a_blank_season_teaches_nothing(tmp_path: Path) -> None:
    """Without events and trips every lesson is empty, and none of them fails."""
    from loadcalc.season import start_season

    with start_season(tmp_path / "blank", BLANK) as blank:
        assert (never_used(blank), drifted(blank), used_per_person_day(blank), blank.trips) == (
            (),
            (),
            (),
            (),
        )
