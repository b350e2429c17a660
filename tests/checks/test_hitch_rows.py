"""Hitch, trailer, and let-down tires as ratings: one invented case with round numbers, worked by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given

from loadcalc.checks.findings.judge import evaluate
from loadcalc.checks.ratings.report import Report
from loadcalc.checks.ratings.share import Shares
from loadcalc.model import BadValue, Item, Limit, Place, Stowed, Tire, Trailer, Zone
from tests.hand_case import LOADOUT, SIZE, VEHICLE
from tests.strategies import STEADY, Case, cases

# Wheelbase 3.0, ball 1.2 behind the rear axle, tongue 60 of 500 kg. A crate of 40 kg hangs at the ball.
BALL = Place(aft_m=4.2, up_m=0.5)
HITCHED = replace(
    VEHICLE, hitch=BALL, limits={"tow": Limit(limit_kg=1000.0), "hitch_tongue": Limit(limit_kg=50.0)}
)
CART = Trailer(name="cart", mass_kg=500.0, tongue_kg=60.0, limits={"trailer_axle": Limit(limit_kg=400.0)})
TOWING = replace(LOADOUT, trailer=CART)
RACK = Zone(name="rack", place=BALL, size=SIZE, on_hitch=True)
HUNG = replace(
    LOADOUT,
    zones=(*LOADOUT.zones, RACK),
    gear=(*LOADOUT.gear, Stowed(item=Item(name="crate", mass_kg=40.0), zone="rack")),
)


def load(report: Report, key: str) -> float:
    """The load on one rating."""
    return report.rating(key).load


def test_the_tongue_loads_the_rear_axle_with_more_than_itself() -> None:
    """60 kg at 4.2 m on a wheelbase of 3.0: rear + 84, front - 24, together 60; gross and placard + 60."""
    bare, towing = evaluate(HITCHED, LOADOUT), evaluate(HITCHED, TOWING)
    assert load(towing, "rear_axle") - load(bare, "rear_axle") == pytest.approx(60 * 4.2 / 3.0, abs=1e-9)
    assert load(towing, "front_axle") - load(bare, "front_axle") == pytest.approx(60 - 84.0, abs=1e-9)
    assert load(towing, "gross") - load(bare, "gross") == pytest.approx(60.0, abs=1e-9)
    assert load(towing, "placard") - load(bare, "placard") == pytest.approx(60.0, abs=1e-9)


def test_a_trailer_counts_whole_for_towing_and_in_part_for_its_axle() -> None:
    """Tow and hitch rating: 500; tongue: 60; its own axle: 440; combination: the vehicle as it stood and 500."""
    bare, towing = evaluate(HITCHED, LOADOUT), evaluate(HITCHED, TOWING)
    for key in ("tow", "hitch_trailer", "trailer_gross"):
        assert load(towing, key) == pytest.approx(500.0, abs=1e-9)
    assert load(towing, "hitch_tongue") == pytest.approx(60.0, abs=1e-9)
    assert load(towing, "trailer_axle") == pytest.approx(440.0, abs=1e-9)
    assert load(towing, "combination") == pytest.approx(bare.mass_kg + 500.0, abs=1e-9)
    assert [rating.key for rating in towing.over] == ["hitch_tongue", "trailer_axle"]  # 60 of 50, 440 of 400


def test_what_stands_on_the_trailer_s_wheels_is_not_on_the_vehicle() -> None:
    """The vehicle's mass and center of gravity know the tongue only."""
    bare, towing = evaluate(HITCHED, LOADOUT), evaluate(HITCHED, TOWING)
    assert towing.mass_kg == pytest.approx(bare.mass_kg + 60.0, abs=1e-9)
    aft_m = (bare.mass_kg * bare.cg.aft_m + 60 * 4.2) / (bare.mass_kg + 60)
    assert towing.cg.aft_m == pytest.approx(aft_m, abs=1e-12)


def test_a_hitch_carrier_counts_on_the_hitch_and_behind_the_axle() -> None:
    """40 kg at the ball: hitch carrier 40 both moving, rear axle + 56; a tongue does not count as a hitch carrier."""
    bare, hung, towing = (evaluate(HITCHED, loadout) for loadout in (LOADOUT, HUNG, TOWING))
    assert load(hung, "hitch_road") == load(hung, "hitch_off_road") == load(hung, "hitch_tongue") == 40.0
    assert load(hung, "rear_axle") - load(bare, "rear_axle") == pytest.approx(40 * 4.2 / 3.0, abs=1e-9)
    assert load(towing, "hitch_road") == 0.0
    assert hung.rating("hitch_off_road").condition == "moving off road"


def test_without_a_hitch_there_is_nothing_to_judge_and_nothing_to_tow_with() -> None:
    """No hitch row; a trailer is refused with the cure."""
    assert not [row for row in Shares(VEHICLE, LOADOUT).rows if row.group == "hitch"]
    with pytest.raises(
        BadValue, match="hangs on a hitch that the vehicle doesn't have; enter where the ball is"
    ):
        evaluate(VEHICLE, TOWING)


def test_aired_down_tires_are_rows_of_their_own() -> None:
    """Load index 110 (1060 kg) at half of its reference pressure: 530 kg off road; the road's row stays as it was."""
    tire = Tire(load_index=110, marking="light truck", reference_kpa=240.0)
    vehicle = replace(VEHICLE, rear_tire=tire)
    report = evaluate(vehicle, replace(LOADOUT, rear_kpa=120.0))
    assert report.rating("trail:rear_left").limit == pytest.approx(530.0, abs=1e-9)
    assert report.rating("trail:rear_left").condition == "moving off road"
    assert report.rating("trail:rear_left").load == report.rating("tire:rear_left").load
    assert report.rating("tire:rear_left").limit == 1060.0
    assert not [row for row in report.shares.rows if row.key.startswith("trail:front")]


def test_an_aired_down_tire_without_its_pressure_is_not_known() -> None:
    """No reference pressure: the limit is not known and says why."""
    vehicle = replace(VEHICLE, rear_tire=Tire(load_index=110))
    rating = evaluate(vehicle, replace(LOADOUT, rear_kpa=120.0)).rating("trail:rear_left")
    assert not rating.known
    assert "reference pressure" in rating.read_at


@STEADY
@given(cases())
def test_a_trailer_adds_its_tongue_to_the_vehicle_and_all_of_itself_to_the_combination(case: Case) -> None:
    """Any vehicle with a hitch: gross counts the vehicle as it stands, combination the trailer's own wheels too."""
    vehicle, loadout = case
    if vehicle.hitch is None:
        return
    report = evaluate(vehicle, loadout)
    on_wheels_kg = loadout.trailer.mass_kg - loadout.trailer.tongue_kg if loadout.trailer else 0.0
    assert load(report, "combination") == pytest.approx(report.mass_kg + on_wheels_kg, rel=1e-12)
    assert report.front_axle_kg + report.rear_axle_kg == pytest.approx(report.mass_kg, rel=1e-12)
    assert sum(report.wheels_kg) == pytest.approx(report.mass_kg, rel=1e-12)
