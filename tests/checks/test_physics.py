"""Properties that hold for every vehicle and loadout, whatever the numbers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import astuple, replace
from random import Random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadcalc.checks.balance import Wheels, axle_loads, moment_center, wheel_shares
from loadcalc.checks.findings.judge import evaluate
from loadcalc.checks.ratings.report import Report
from loadcalc.model import Carrier, Loadout, Place, Size, Vehicle
from tests.strategies import STEADY, Case, cases, loaded_cases, replace_gear, thousandths

IDENTITY = 1e-9  # relative; two sums of the same thing in another order

Pairs = list[tuple[float, float]]
MASSES = st.lists(st.tuples(thousandths(0.001, 500.0), thousandths(-5.0, 20.0)), min_size=1, max_size=8)


def loads(report: Report) -> dict[str, float]:
    """Load of every rating in kilograms, by key, and the totals beside them."""
    found = dict(zip((row.key for row in report.shares.rows), report.loads_kg, strict=True))
    return {
        **found,
        "total": report.mass_kg,
        "aft moment": report.mass_kg * report.cg.aft_m,
        "left moment": report.mass_kg * report.cg.left_m,
        "up moment": report.mass_kg * report.cg.up_m,
    }


def near(report: Report, expected: dict[str, float]) -> Any:
    """Those loads, within the rounding of floats at the size of the vehicle's mass."""
    return pytest.approx(expected, rel=0, abs=IDENTITY * report.mass_kg)


@STEADY
@given(cases(), st.randoms(use_true_random=False))
def test_order_of_items_is_irrelevant(case: Case, random: Random) -> None:
    """Gear, liquids, people, and zones may be listed in any order."""
    vehicle, loadout = case
    mixed: dict[str, Any] = {
        field: random.sample(things, len(things))
        for field in ("gear", "liquids", "people", "zones")
        for things in [list(getattr(loadout, field))]
    }
    report = evaluate(vehicle, loadout)

    assert loads(evaluate(vehicle, replace(loadout, **mixed))) == near(report, loads(report))


@STEADY
@given(loaded_cases())
def test_splitting_the_mass_of_an_item_changes_nothing(case: Case) -> None:
    """One crate is two half crates in the same place."""
    vehicle, loadout = case
    whole, *rest = loadout.gear
    half = replace(whole.item, mass_kg=whole.item.mass_kg / 2, key="half")
    halves = (replace(whole, item=half), replace(whole, item=replace(half, key="other half")))
    report = evaluate(vehicle, loadout)

    assert loads(evaluate(vehicle, replace_gear(loadout, (*halves, *rest)))) == near(report, loads(report))


@STEADY
@given(loaded_cases(), st.integers(0, 1000))
def test_splitting_and_merging_a_count_changes_nothing(case: Case, at: int) -> None:
    """Three crates are one crate and two crates, either way round."""
    vehicle, loadout = case
    whole, *rest = loadout.gear
    first = at % (whole.count + 1)
    parts = (replace(whole, count=first), replace(whole, count=whole.count - first))
    report = evaluate(vehicle, loadout)

    assert loads(evaluate(vehicle, replace_gear(loadout, (*parts, *rest)))) == near(report, loads(report))


def _moved_places(vehicle: Vehicle, loadout: Loadout, move: Callable[[Place], Place]) -> Case:
    """The same vehicle and loadout with every place moved; measures of the vehicle stay."""

    def at_place(thing: Any) -> Any:
        return thing if thing is None or thing.place is None else replace(thing, place=move(thing.place))

    moved_vehicle = replace(
        vehicle,
        curb_cg=move(vehicle.curb_cg),
        tank=at_place(vehicle.tank),
        hitch=move(vehicle.hitch) if vehicle.hitch else None,
        seats=tuple(at_place(seat) for seat in vehicle.seats),
    )
    moved: dict[str, Any] = {
        field: tuple(map(at_place, getattr(loadout, field))) for field in ("zones", "gear", "liquids")
    }
    return moved_vehicle, replace(loadout, carrier=at_place(loadout.carrier), **moved)


@STEADY
@given(cases())
def test_mirror_swaps_left_and_right(case: Case) -> None:
    """Everything mirrored at the center line swaps the wheels of each axle, the feet of each bar, and nothing else."""
    report = evaluate(*case)
    expected = loads(report)
    for left in [key for key in expected if key.endswith(("_left", ":left", ":left (stiff)"))]:
        right = left.replace("left", "right")
        expected[left], expected[right] = expected[right], expected[left]
    expected["left moment"] *= -1
    mirrored = _moved_places(*case, lambda place: replace(place, left_m=-place.left_m))

    assert loads(evaluate(*mirrored)) == near(report, expected)


@STEADY
@given(MASSES, thousandths(-10.0, 10.0))
def test_shifting_the_origin_shifts_the_center(pairs: Pairs, offset_m: float) -> None:
    """The center of gravity moves with the axes and not against the vehicle."""
    masses, arms = zip(*pairs, strict=True)
    moved = moment_center(masses, [arm + offset_m for arm in arms])

    assert moved == pytest.approx(moment_center(masses, arms) + offset_m, abs=1e-9)


@STEADY
@given(MASSES, st.sampled_from([0.45359237, 1000.0]), st.sampled_from([0.0254, 1000.0]))
def test_units_scale(pairs: Pairs, mass_unit: float, length_unit: float) -> None:
    """Pounds and inches give the same center and the same axle loads, in pounds and inches."""
    masses, arms = zip(*pairs, strict=True)
    center = moment_center(masses, arms)
    scaled = moment_center([mass * mass_unit for mass in masses], [arm * length_unit for arm in arms])
    assert scaled == pytest.approx(center * length_unit, rel=1e-9, abs=1e-9 * length_unit)

    for mass, arm in pairs:
        plain = axle_loads(mass, aft_m=arm, wheelbase_m=5.0)
        other = axle_loads(mass * mass_unit, aft_m=arm * 0.9, wheelbase_m=5.0 * 0.9)
        assert other == pytest.approx([load * mass_unit for load in plain], rel=1e-9, abs=1e-9 * mass_unit)


@STEADY
@given(cases(), thousandths(0.75, 1.2))
def test_a_scale_model_has_the_same_loads(case: Case, scale: float) -> None:
    """All lengths by one factor: no load changes, for loads depend on ratios of lengths alone."""

    def smaller(place: Place) -> Place:
        return Place(aft_m=place.aft_m * scale, left_m=place.left_m * scale, up_m=place.up_m * scale)

    vehicle, loadout = _moved_places(*case, smaller)
    measures = {
        field: getattr(vehicle, field) * scale for field in ("wheelbase_m", "front_track_m", "rear_track_m")
    }
    report = evaluate(*case)
    expected = loads(report)
    for axis in ("aft", "left", "up"):
        expected[f"{axis} moment"] *= scale

    assert loads(evaluate(replace(vehicle, **measures), _smaller_things(loadout, scale))) == near(
        report, expected
    )


def _smaller_things(loadout: Loadout, scale: float) -> Loadout:
    """The sizes of gear and carrier by one factor, and where its bars lie."""

    def size(of: Size) -> Size:
        return Size(
            length_m=of.length_m * scale, width_m=of.width_m * scale, height_m=of.height_m * scale
        )  # fmt: skip

    items = {s.item.key: replace(s.item, size=size(s.item.size)) for s in loadout.gear if s.item.size}
    gear = tuple(replace(s, item=items.get(s.item.key, s.item)) for s in loadout.gear)
    carrier = loadout.carrier
    if carrier is not None:
        bars = tuple(
            replace(bar, aft_m=bar.aft_m * scale, half_span_m=bar.half_span_m * scale) for bar in carrier.bars
        )
        carrier = replace(carrier, size=size(carrier.size), bars=bars)
    return replace(loadout, gear=gear, carrier=carrier)


@STEADY
@given(cases())
def test_axles_and_wheels_carry_the_weight(case: Case) -> None:
    """Front and rear axle add up to the total; the two wheels of an axle add up to the axle."""
    report = evaluate(*case)
    wheels = report.wheels_kg
    rounding = IDENTITY * report.mass_kg

    assert report.rating("gross").load_kg == pytest.approx(report.mass_kg, abs=rounding)
    assert report.front_axle_kg + report.rear_axle_kg == pytest.approx(report.mass_kg, abs=rounding)
    assert wheels.front_left + wheels.front_right == pytest.approx(report.front_axle_kg, abs=rounding)
    assert wheels.rear_left + wheels.rear_right == pytest.approx(report.rear_axle_kg, abs=rounding)


@STEADY
@given(cases(), thousandths(0.0, 1.0))
def test_roll_share_moves_no_axle_and_no_moment(case: Case, share: float) -> None:
    """Whatever part of the roll stiffness is in front, axle loads and sideways moment stay."""
    vehicle, loadout = case
    report = evaluate(vehicle, loadout)
    other = evaluate(replace(vehicle, front_roll_share=share), loadout)

    def moment_kg_m(wheels: Wheels) -> float:
        front = vehicle.front_track_m / 2 * (wheels.front_left - wheels.front_right)
        return front + vehicle.rear_track_m / 2 * (wheels.rear_left - wheels.rear_right)

    rounding = IDENTITY * report.mass_kg
    assert other.front_axle_kg == pytest.approx(report.front_axle_kg, abs=rounding)
    assert moment_kg_m(other.wheels_kg) == pytest.approx(report.mass_kg * report.cg.left_m, abs=rounding)
    assert moment_kg_m(report.wheels_kg) == pytest.approx(report.mass_kg * report.cg.left_m, abs=rounding)


@STEADY
@given(cases(), thousandths(0.0, 1.0))
def test_equal_tracks_fix_the_sides(case: Case, share: float) -> None:
    """With equal tracks the sum of each side is fixed too: half the weight, plus moment over track."""
    vehicle, loadout = case
    vehicle = replace(vehicle, rear_track_m=vehicle.front_track_m, front_roll_share=share)
    report = evaluate(vehicle, loadout)
    left_kg = report.wheels_kg.front_left + report.wheels_kg.rear_left

    expected_kg = report.mass_kg * (0.5 + report.cg.left_m / vehicle.front_track_m)
    assert left_kg == pytest.approx(expected_kg, abs=IDENTITY * report.mass_kg)


@STEADY
@given(thousandths(-1.0, 5.0), thousandths(-0.9, 0.9), thousandths(0.0, 1.0))
def test_one_kilogram_on_four_wheels_is_one_kilogram(aft_m: float, left_m: float, share: float) -> None:
    """Wheel shares of any place add up to one, and their moments to the place."""
    measures = {"wheelbase_m": 2.9, "front_track_m": 1.6, "rear_track_m": 1.5}
    wheels = wheel_shares(aft_m=aft_m, left_m=left_m, front_roll_share=share, **measures)

    assert sum(wheels) == pytest.approx(1.0, abs=1e-12)
    assert (wheels.rear_left + wheels.rear_right) * 2.9 == pytest.approx(aft_m, abs=1e-12)


@STEADY
@given(cases())
def test_curb_fuel_gives_back_the_curb_vehicle(case: Case) -> None:
    """With the fuel of the curb weighing in the tank, the empty vehicle has the curb mass and center."""
    vehicle, _ = case
    report = evaluate(vehicle, Loadout(name="empty", fuel_l=vehicle.curb_fuel_l))

    assert report.mass_kg == pytest.approx(vehicle.curb_kg, rel=1e-12)
    assert astuple(report.cg) == pytest.approx(astuple(vehicle.curb_cg), abs=1e-12)


@STEADY
@given(cases(), thousandths(0.0, 1.0))
def test_fuel_burnt_leaves_at_the_tank(case: Case, share: float) -> None:
    """Fuel that is gone takes its mass and its moment from where the tank is."""
    vehicle, loadout = case
    full, less = (replace(loadout, fuel_l=vehicle.tank.capacity_l * part) for part in (1.0, share))
    burnt_kg = (full.fuel_l - less.fuel_l) * vehicle.tank.density_kg_per_l
    before, after = evaluate(vehicle, full), evaluate(vehicle, less)

    rear_kg = burnt_kg * vehicle.tank.place.aft_m / vehicle.wheelbase_m
    assert before.mass_kg - after.mass_kg == pytest.approx(burnt_kg, abs=IDENTITY * before.mass_kg)
    assert before.rear_axle_kg - after.rear_axle_kg == pytest.approx(rear_kg, abs=IDENTITY * before.mass_kg)


@STEADY
@given(loaded_cases(), thousandths(0.0, 3.0), thousandths(0.001, 2.0))
def test_moving_an_item_aft_loads_the_rear_by_the_lever(case: Case, aft_m: float, distance_m: float) -> None:
    """A mass moved aft raises the rear axle by mass times distance over wheelbase, and lightens the front."""
    vehicle, loadout = case
    crate, *rest = loadout.gear
    before, after = (
        evaluate(vehicle, replace_gear(loadout, (replace(crate, place=Place(aft_m=aft, up_m=1.0)), *rest)))
        for aft in (aft_m, aft_m + distance_m)
    )
    shift_kg = crate.mass_kg * distance_m / vehicle.wheelbase_m

    assert after.rear_axle_kg - before.rear_axle_kg == pytest.approx(shift_kg, abs=IDENTITY * before.mass_kg)
    assert after.front_axle_kg - before.front_axle_kg == pytest.approx(
        -shift_kg, abs=IDENTITY * before.mass_kg
    )
    assert after.mass_kg == pytest.approx(before.mass_kg, abs=IDENTITY * before.mass_kg)


@STEADY
@given(cases())
def test_a_carrier_without_mass_or_load_changes_no_load(case: Case) -> None:
    """A weightless empty carrier only adds its own rows."""
    vehicle, loadout = case
    bare = Loadout(name="empty", fuel_l=loadout.fuel_l)
    ghost = Carrier(
        name="ghost",
        mass_kg=0.0,
        place=Place(aft_m=1.5, up_m=2.0),
        size=Size(length_m=1.0, width_m=1.0, height_m=0.1),
    )
    report = evaluate(vehicle, bare)
    found = loads(evaluate(vehicle, replace(bare, carrier=ghost)))

    carrier_rows = {key: found.pop(key) for key in list(found) if key.startswith("carrier")}
    assert found == near(report, loads(report))
    assert set(carrier_rows.values()) == {0.0}
