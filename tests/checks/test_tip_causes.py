"""What costs how much stability: by the matrix, by leaving it at home, and against the empty vehicle."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadcalc.checks import evaluate
from loadcalc.checks.stability.causes import cost_of_load, costs_by_place, costs_by_thing, tip_angles_batch
from loadcalc.checks.stability.stance import empty_stance, stance_of
from loadcalc.checks.stability.tipping import tip_angles, worst_side
from loadcalc.model import Loadout, Place, Trailer
from tests.hand_case import LOADOUT, PLATFORM, VEHICLE
from tests.strategies import STEADY, Case, loaded_cases, thousandths


@STEADY
@given(loaded_cases(), st.lists(st.lists(thousandths(0.0, 200.0), min_size=3, max_size=3), max_size=4))
def test_a_batch_of_loadouts_is_each_of_them(case: Case, changes: list[list[float]]) -> None:
    """Arrays of masses through the share matrix give what each report gives alone, on any leading shape."""
    vehicle, loadout = case
    report = evaluate(vehicle, loadout)
    many = np.tile(np.asarray(report.masses_kg, dtype=float), (len(changes) + 1, 1))
    for row, change in enumerate(changes, start=1):
        width = min(3, many.shape[1] - 1)
        many[row, -width:] = change[:width]
    one_by_one = [
        tip_angles(replace(stance_of(report), **dict(zip(("aft_m", "left_m", "up_m"), center, strict=True))))
        for center in report.shares.centers_m(many).tolist()
    ]

    found = tip_angles_batch(report.shares, many)
    assert found == pytest.approx(np.array(one_by_one), abs=1e-9)
    assert tip_angles_batch(report.shares, many[0]) == pytest.approx(np.array(tip_angles(stance_of(report))))


@STEADY
@given(loaded_cases())
def test_a_cost_is_what_leaving_it_at_home_gives_back(case: Case) -> None:
    """The crate's cost by the matrix is the difference of two whole evaluations."""
    vehicle, loadout = case
    crate, *rest = loadout.gear
    rest = [stowed for stowed in rest if stowed.item.key != crate.item.key]
    loadout = replace(loadout, gear=(crate, *rest))
    report, without = evaluate(vehicle, loadout), evaluate(vehicle, replace(loadout, gear=tuple(rest)))
    cost = next(cost for cost in costs_by_thing(report) if cost.key == crate.item.key)

    now, then = tip_angles(stance_of(report)), tip_angles(stance_of(without))
    assert cost.mass_kg == pytest.approx(crate.mass_kg, rel=1e-12)
    assert cost.side_deg == pytest.approx(worst_side(then)[1] - worst_side(now)[1], abs=1e-9)
    assert cost.each_deg == pytest.approx(tuple(b - a for a, b in zip(now, then, strict=True)), abs=1e-9)
    assert cost.up_m == pytest.approx(report.cg.up_m - without.cg.up_m, abs=1e-9)


def test_costs_are_ranked_and_name_places_once() -> None:
    """Tent, can, and rack on top cost; the platform with all on it costs most; fuel low down gives."""
    report = evaluate(VEHICLE, LOADOUT)
    things, places = costs_by_thing(report), costs_by_place(report)

    for found in (things, places):
        assert [cost.side_deg for cost in found] == sorted((cost.side_deg for cost in found), reverse=True)
        assert len({cost.key for cost in found}) == len(found)
    assert {cost.name for cost in things} == {
        "tent", "can", "rack", "driver", "sleeper", "dog", "box", "Fuel in the tank"
    }  # fmt: skip
    assert [cost.name for cost in places[:2]] == ["rack with all on it", "platform"]
    by_key = {cost.key: cost for cost in places}
    assert by_key["carrier"].mass_kg == pytest.approx(30 + 45 + 13)
    assert by_key["zone:floor"].mass_kg == pytest.approx(100 + 20)
    assert by_key["seats"].mass_kg == pytest.approx(75 + 60)
    assert by_key["fuel"].side_deg < 0
    # By hand: 2423 kg in all; without rack, tent, and can the moments are those less 30 at 1.9 and 58 at 2.0 m.
    up = (2000 * 0.7 + 80 * 0.5 + 30 * 1.9 + 75 * 0.9 + 60 * 0.9 + 20 * 0.8 + 100 * 0.8 + 58 * 2.0) / 2423
    bare = (up * 2423 - 30 * 1.9 - 58 * 2.0) / (2423 - 88)
    assert by_key["carrier"].up_m == pytest.approx(up - bare, abs=1e-12)


def test_the_whole_load_is_held_against_the_empty_vehicle() -> None:
    """Mass, rise, and angles are those against curb mass and its center."""
    report = evaluate(VEHICLE, LOADOUT)
    cost = cost_of_load(report)

    assert cost.mass_kg == pytest.approx(report.mass_kg - 2000.0)
    assert cost.up_m == pytest.approx(report.cg.up_m - 0.7)
    side, angle_deg = worst_side(tip_angles(empty_stance(VEHICLE)))
    assert side == "either"
    assert angle_deg == pytest.approx(math.degrees(math.atan(0.75 / 0.7)))
    assert cost.side_deg > 0


def test_a_trailer_stands_on_its_own_wheels() -> None:
    """Of a trailer only the tongue weight is in the stance, at the ball; its own cost is that of the tongue."""
    vehicle = replace(VEHICLE, hitch=Place(aft_m=4.0, up_m=0.5))
    bare = evaluate(vehicle, LOADOUT)
    towing = evaluate(vehicle, replace(LOADOUT, trailer=Trailer(name="cart", mass_kg=600.0, tongue_kg=60.0)))
    one, other = stance_of(bare), stance_of(towing)

    assert other.mass_kg == pytest.approx(one.mass_kg + 60.0)
    assert other.aft_m == pytest.approx((one.mass_kg * one.aft_m + 60 * 4.0) / (one.mass_kg + 60))
    assert other.up_m == pytest.approx((one.mass_kg * one.up_m + 60 * 0.5) / (one.mass_kg + 60))
    assert {c.key: c.mass_kg for c in costs_by_thing(towing)}["own:tongue"] == pytest.approx(60.0)
    assert "own:trailer" not in {c.key for c in costs_by_thing(towing)}


def test_an_empty_loadout_costs_nothing() -> None:
    """Nothing aboard, nothing ranked; the load is the fuel that is missing."""
    report = evaluate(VEHICLE, Loadout(name="bare", zones=(PLATFORM,)))

    assert costs_by_place(report) == ()
    assert costs_by_thing(report) == ()
    assert cost_of_load(report).mass_kg == pytest.approx(0.0)
