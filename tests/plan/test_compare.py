"""Loadouts side by side, worked by hand on the round case."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadcalc.checks import Judgment, evaluate
from loadcalc.model import BadValue, Loadout
from loadcalc.plan.compare import compare, rides, way
from tests.hand_case import LOADOUT, VEHICLE
from tests.strategies import STEADY, Case, cases, loadouts, replace_gear

FLOOR_TENT = replace(
    LOADOUT, name="tent below", gear=(LOADOUT.gear[0], replace(LOADOUT.gear[1], zone="floor"))
)
NO_BOX = replace(LOADOUT, name="one box", gear=(replace(LOADOUT.gear[0], count=1), LOADOUT.gear[1]))
BARE = replace(LOADOUT, name="bare", carrier=None, gear=(), liquids=(), fuel_l=50.0)


def judged(*loadouts: Loadout) -> list[Judgment]:
    """Loadouts of the hand case's vehicle, judged."""
    return [evaluate(VEHICLE, loadout) for loadout in loadouts]


def test_what_moved_is_told_with_where_it_rides() -> None:
    """The tent from the platform to the floor is the only difference."""
    found = compare(judged(LOADOUT, FLOOR_TENT))
    (only,) = found.differences
    assert only.name == "tent"
    assert [ride.where for each in only.rides for ride in each] == ["platform", "floor"]
    assert found.names == ("hand case", "tent below")


def test_what_was_left_and_how_many_come() -> None:
    """One box instead of two; then nothing but people, and less fuel, the carrier off."""
    found = {d.name: d.rides for d in compare(judged(LOADOUT, NO_BOX, BARE)).differences}
    assert [[ride.count for ride in each] for each in found["box"]] == [[2], [1], []]
    assert [[ride.fill_l for ride in each] for each in found["Fuel in the tank"]] == [
        [100.0],
        [100.0],
        [50.0],
    ]
    assert found["rack"][2] == ()
    assert set(found) == {"box", "tent", "can", "rack", "Fuel in the tank"}


def test_each_ratings_change_is_share_times_mass() -> None:
    """45 kg from aft 1.5 to aft 2.7 on a wheelbase of 3: the rear axle gains 18 kg, the roof loses 45."""
    rows = {row.key: row for row in compare(judged(LOADOUT, FLOOR_TENT)).ratings}
    assert rows["rear_axle"].change(1) == pytest.approx(45 * (2.7 - 1.5) / 3, abs=1e-9)
    assert rows["front_axle"].change(1) == pytest.approx(-18.0, abs=1e-9)
    assert rows["roof_road"].change(1) == pytest.approx(-45.0, abs=1e-9)
    assert rows["gross"].change(1) == pytest.approx(0.0, abs=1e-9)
    assert rows["gross"].change(0) == 0.0


def test_a_rating_that_one_of_them_lacks_is_no_number() -> None:
    """Without the carrier there is no carrier rating; that is neither zero nor a pass."""
    rows = {row.key: row for row in compare(judged(LOADOUT, BARE)).ratings}
    assert rows["carrier_road"].results[1] is None
    assert rows["carrier_road"].change(1) is None


def test_the_way_ends_where_the_other_loadout_is() -> None:
    """Step by step, the largest first, to the other's center of gravity, by moments."""
    one, other = evaluate(VEHICLE, LOADOUT), evaluate(VEHICLE, BARE)
    steps = way(one, other)
    assert steps[0].name == "box × 2"
    for axis in ("aft_m", "left_m", "up_m"):
        assert getattr(steps[-1].cg, axis) == pytest.approx(getattr(other.cg, axis), abs=1e-12)


def test_one_step_is_worked_by_hand() -> None:
    """The tent's 45 kg go down by 1.2 m: the center sinks by 45 · 1.2 / total."""
    one, other = evaluate(VEHICLE, LOADOUT), evaluate(VEHICLE, FLOOR_TENT)
    (step,) = way(one, other)
    assert one.cg.up_m - step.cg.up_m == pytest.approx(45 * 1.2 / one.mass_kg, abs=1e-12)


def test_the_same_loadout_twice_has_no_difference_and_no_way() -> None:
    """Nothing moved, nothing changed."""
    found = compare(judged(LOADOUT, replace(LOADOUT, name="copy")))
    assert (found.differences, found.ways) == ((), ((),))
    assert all(not row.change(1) for row in found.ratings)


@pytest.mark.parametrize("count", [0, 1, 5])
def test_two_to_four(count: int) -> None:
    """Fewer or more can't be put side by side."""
    with pytest.raises(BadValue, match="choose 2 to 4"):
        compare(judged(*[LOADOUT] * count))


def test_full_seats_do_not_lead() -> None:
    """Seats that are taken come after what is weighed and known; what is not known comes last."""
    full = replace(
        LOADOUT, people=(*LOADOUT.people, replace(LOADOUT.people[0], name="c", key="c", seat="back left"))
    )
    rows = compare(judged(LOADOUT, full)).ratings
    assert [row.key for row in rows if any(r is not None and r.known for r in row.results)] == ["seats"]


def test_a_thing_in_two_zones_has_two_rides() -> None:
    """Both places are told, with how many in each."""
    box = LOADOUT.gear[0]
    halves = (replace(box, count=1), replace(box, count=1, zone="platform"))
    name, found = rides(replace_gear(LOADOUT, halves))["item:box"]
    assert name == "box"
    assert [(ride.where, ride.count) for ride in found] == [("floor", 1), ("platform", 1)]


@given(case=cases(), data=st.data())
@STEADY
def test_any_way_ends_at_the_other(case: Case, data: st.DataObject) -> None:
    """Whatever differs between two loadouts of a vehicle, the steps add up to all of it."""
    vehicle, loadout = case
    other = data.draw(loadouts(vehicle))
    one, two = evaluate(vehicle, loadout), evaluate(vehicle, other)
    end = (way(one, two) or [None])[-1]
    at = one.cg if end is None else end.cg
    for axis in ("aft_m", "left_m", "up_m"):
        assert getattr(at, axis) == pytest.approx(getattr(two.cg, axis), abs=1e-7)
