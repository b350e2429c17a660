"""Sweeps: every cell of the map is what `evaluate` says of that very loadout."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadcalc.checks import Report, Shares, evaluate
from loadcalc.model import (
    BadValue,
    Filled,
    Item,
    Limit,
    Liquid,
    Loadout,
    Place,
    Stowed,
    Tire,
    Trailer,
    Vehicle,
)
from loadcalc.plan.doubt import Doubt
from loadcalc.plan.lever import Quantity, apart
from loadcalc.plan.levers import STANDARD_KG, quantities
from loadcalc.plan.sweep import sweep, tried, values_of
from tests.hand_case import LOADOUT, VEHICLE
from tests.invented import invented_loadout, invented_vehicle
from tests.strategies import STEADY, Case, cases

ON_THE_ROAD = ("at all times", "moving on road")


def by_key(vehicle: Vehicle, loadout: Loadout) -> dict[str, Quantity]:
    """The quantities of a loadout."""
    return {quantity.key: quantity for quantity in quantities(vehicle, loadout)}


def tightest(report: Report, conditions: tuple[str, ...] = ()) -> tuple[float, str]:
    """The largest share of a known limit in kilograms, of those that hold in some conditions."""
    found = [
        (r.consumed, r.key)
        for r in report.ratings
        if r.consumed is not None and r.unit == "kg" and (not conditions or r.condition in conditions)
    ]
    return max(found)


def full_case() -> tuple[Vehicle, Loadout]:
    """The hand case with a hitch, a trailer, tires of known pressure, a second can, and limits for all."""
    tire = Tire(load_index=112, marking="light truck", reference_kpa=450.0, placard_kpa=300.0)
    limits = {
        "gross": 2700.0,
        "rear_axle": 1450.0,
        "front_axle": 1500.0,
        "placard": 600.0,
        "roof_road": 110.0,
    }
    limits |= {"roof_off_road": 70.0, "combination": 4000.0, "tow": 1500.0, "hitch_tongue": 120.0}
    vehicle = replace(
        VEHICLE, front_tire=tire, rear_tire=tire, hitch=Place(aft_m=4.1, up_m=0.5), curb_fuel_l=50.0,
        limits={key: Limit(limit_kg=kg) for key, kg in limits.items()},
    )  # fmt: skip
    jug = Filled(
        liquid=Liquid(name="jug", container_kg=1.0, capacity_l=30.0, density_kg_per_l=1.0),
        zone="floor",
        fill_l=5.0,
    )
    trailer = Trailer(name="cart", mass_kg=800.0, tongue_kg=70.0)
    return vehicle, replace(LOADOUT, liquids=(*LOADOUT.liquids, jug), trailer=trailer, fuel_l=40.0)


PAIRS = [
    ("roof", "kind:water"), ("fuel", "people"), ("front_kpa", "rear_kpa"), ("tongue", "fuel"),
    ("tongue", "trailer"), ("rear_kpa", "zone:floor"), ("item:box", "person:driver"), ("fill:can", "fill:jug"),
]  # fmt: skip


@pytest.mark.parametrize(("one", "other"), PAIRS)
@pytest.mark.parametrize("condition", ["", "moving on road"])
def test_the_map_is_what_evaluate_says(one: str, other: str, condition: str) -> None:
    """Forty cells of each map, corners among them: the same share of the same limit, evaluated from the records."""
    vehicle, loadout = full_case()
    if one == "roof":  # two cans on the floor: one that rides on the roof would be part of the roof's load
        low = replace(loadout.liquids[1], liquid=replace(loadout.liquids[1].liquid, key="low", name="low"))
        loadout = replace(loadout, liquids=(loadout.liquids[1], low))
    known = by_key(vehicle, loadout)
    across, down = known[one], known[other]
    found = sweep(vehicle, loadout, across, down, condition=condition)
    random = np.random.default_rng(7)
    rows = [0, len(found.down_values) - 1, *random.integers(0, len(found.down_values), 38)]
    columns = [0, len(found.across_values) - 1, *random.integers(0, len(found.across_values), 38)]
    for i, j in zip(rows, columns, strict=True):
        x, y = float(found.across_values[j]), float(found.down_values[i])
        report = evaluate(vehicle, down.put(across.put(loadout, x), y))
        share, _ = tightest(report, ON_THE_ROAD if condition else ())
        assert found.consumed[i, j] == pytest.approx(share, rel=1e-9)
        binding = report.rating(found.keys[found.binding[i, j]])
        assert binding.consumed == pytest.approx(share, rel=1e-9)
        assert found.names[found.binding[i, j]] == binding.name


@given(case=cases(), data=st.data())
@STEADY
def test_any_two_quantities_of_any_loadout(case: Case, data: st.DataObject) -> None:
    """Invented vehicles, limits of zero and unknown ones among them: any cell is what `evaluate` says."""
    vehicle, loadout = case
    found = quantities(vehicle, loadout)
    free = [(a, b) for a, b in combinations(found, 2) if not a.touches & b.touches]
    if not free:
        return
    across, down = data.draw(st.sampled_from(free))
    if not any(r.known and r.unit == "kg" for r in evaluate(vehicle, loadout).ratings):
        return
    swept = sweep(vehicle, loadout, across, down, steps=11)
    i = data.draw(st.integers(0, len(swept.down_values) - 1))
    j = data.draw(st.integers(0, len(swept.across_values) - 1))
    x, y = float(swept.across_values[j]), float(swept.down_values[i])
    share, _ = tightest(evaluate(vehicle, down.put(across.put(loadout, x), y)))
    assert swept.consumed[i, j] == pytest.approx(share, rel=1e-8, abs=1e-12)


@given(case=cases())
@STEADY
def test_every_quantity_starts_from_what_is_so(case: Case) -> None:
    """Setting a quantity to what it is now changes no rating, and its ends are loadouts that can be."""
    vehicle, loadout = case
    before = evaluate(vehicle, loadout)
    for quantity in quantities(vehicle, loadout):
        assert quantity.low <= quantity.now <= quantity.high
        same = evaluate(vehicle, quantity.put(loadout, quantity.now))
        for rating in before.ratings:
            assert same.rating(rating.key).load == pytest.approx(rating.load, abs=1e-8)
        for value in (quantity.low, quantity.high):
            evaluate(vehicle, quantity.put(loadout, value))


def test_a_zone_with_next_to_nothing_in_it_grows_to_a_load() -> None:
    """A note of 1 g, ± 250 g, alone in its zone grows to the usual load; an anvil stays home."""
    vehicle, loadout = full_case()
    note = Stowed(item=Item(name="note", mass_kg=0.001, plus_minus_kg=0.25), zone=loadout.zones[0].name)
    home = replace(note, item=Item(name="anvil", mass_kg=40.0), count=0)
    alone = replace(loadout, gear=(note, home), liquids=())
    zone = by_key(vehicle, alone)[f"zone:{note.zone}"]

    grown, left = zone.put(alone, zone.high).gear

    assert grown.mass_kg == pytest.approx(zone.high, rel=1e-12)
    assert left == home


def test_water_empties_and_fills_in_proportion() -> None:
    """15 of 50 L in two cans: 0 is empty, 50 both brim-full, 7.5 half of each."""
    vehicle, loadout = full_case()
    water = by_key(vehicle, loadout)["kind:water"]
    assert (water.low, water.now, water.high) == (0.0, 15.0, 50.0)
    fills = {v: [f.fill_l for f in water.put(loadout, v).liquids] for v in (0.0, 7.5, 15.0, 50.0)}
    assert fills == {0.0: [0.0, 0.0], 7.5: [5.0, 2.5], 15.0: [10.0, 5.0], 50.0: [20.0, 30.0]}


def test_people_leave_from_the_end_of_the_list_and_strangers_weigh_150_lb() -> None:
    """One more in the free seat weighs the standard's 150 lb; the first on the list stays to the last."""
    vehicle, loadout = full_case()
    people = by_key(vehicle, loadout)["people"]
    assert (people.low, people.now, people.high, people.whole) == (1, 2, 3, True)
    more = people.put(loadout, 3).people
    assert [who.mass_kg for who in more if who.seat == "back left"] == [pytest.approx(150 * 0.45359237)]
    assert pytest.approx(68.0388555, abs=1e-7) == STANDARD_KG
    assert [who.name for who in people.put(loadout, 1).people] == ["driver", "dog"]
    assert values_of(people).tolist() == [1, 2, 3]


def test_the_roofs_load_scales_where_it_stands() -> None:
    """Twice the load: twice the moment about every axis, and each zone's part stays its part."""
    vehicle, loadout = full_case()
    roof = by_key(vehicle, loadout)["roof"]
    one, two = (evaluate(vehicle, roof.put(loadout, roof.now * k)) for k in (1.0, 1.5))
    before = evaluate(vehicle, loadout)
    assert one.cg.aft_m == pytest.approx(before.cg.aft_m, rel=1e-12)
    assert one.cg.up_m == pytest.approx(before.cg.up_m, rel=1e-12)
    gain = two.rating("rear_axle").load - one.rating("rear_axle").load
    assert gain == pytest.approx(0.5 * 58.0 * 1.5 / 3.0, rel=1e-12)  # 58 kg at half the wheelbase


def test_a_tried_load_is_as_well_known_as_what_stands_there() -> None:
    """Sliding the roof to where it is leaves the width of the roof's doubt, but for what one scale shares."""
    vehicle, loadout = full_case()
    tent = replace(loadout.gear[1].item, plus_minus_kg=6.0, known="label")
    loadout = replace(loadout, gear=(loadout.gear[0], replace(loadout.gear[1], item=tent)), liquids=())
    roof = by_key(vehicle, loadout)["roof"]
    there = roof.put(loadout, roof.now)
    before, after = (Doubt(Shares(vehicle, each)) for each in (loadout, there))
    row = before.row("carrier_road")
    assert after.sd_kg[row] == pytest.approx(before.sd_kg[row], rel=1e-9)


def test_two_that_change_the_same_thing_are_refused() -> None:
    """The water in one can, and in all of them: one would undo the other."""
    vehicle, loadout = full_case()
    known = by_key(vehicle, loadout)
    with pytest.raises(BadValue, match=r"changes the same thing as .*; choose one of the two"):
        sweep(vehicle, loadout, known["kind:water"], known["fill:can"])
    with pytest.raises(BadValue, match="Load on the roof"):
        apart((known["item:tent"], known["roof"]))


def test_a_limit_that_is_not_known_is_named_and_never_binds() -> None:
    """Tires without a load index: their rows are listed as not judged."""
    vehicle, loadout = full_case()
    vehicle = replace(vehicle, front_tire=Tire(), rear_tire=Tire())
    known = by_key(vehicle, loadout)
    assert "front_kpa" not in known  # nothing is known of it, so there is nothing to slide
    found = sweep(vehicle, loadout, known["fuel"], known["zone:floor"], steps=5)
    assert "Front left tire" in found.not_known
    assert set(found.not_known).isdisjoint(found.names)
    bare = replace(vehicle, limits={})
    with pytest.raises(BadValue, match="none of them"):
        sweep(bare, loadout, known["fuel"], known["zone:floor"])


def test_less_air_lowers_only_the_limits_off_the_road() -> None:
    """At half the reference pressure the let-down tire carries half; on the road nothing of the map moves."""
    vehicle, loadout = full_case()
    known = by_key(vehicle, loadout)
    road = sweep(vehicle, loadout, known["front_kpa"], known["fuel"], condition="moving on road")
    assert np.ptp(road.consumed, axis=1).max() == 0.0
    trail = sweep(vehicle, loadout, known["front_kpa"], known["fuel"], condition="moving off road")
    assert (np.diff(trail.consumed, axis=1) <= 1e-12).all()


def test_settings_are_tried_together() -> None:
    """Three quantities at once are the same as one after the other; what is not moved stays as it was."""
    vehicle, loadout = full_case()
    known = by_key(vehicle, loadout)
    now = tried(loadout, {q: q.now for q in (known["front_kpa"], known["fuel"], known["people"])})
    assert now == loadout  # an untouched slider lets no tire down
    made = tried(loadout, {known["rear_kpa"]: 200.0, known["fuel"]: 10.0, known["people"]: 1.2})
    assert (made.rear_kpa, made.fuel_l, len(made.people)) == (200.0, 10.0, 2)
    with pytest.raises(BadValue, match="Fuel in the tank"):
        tried(loadout, {known["fuel"]: 1000.0})


def test_a_big_loadout_is_swept_whole() -> None:
    """Sixty items in twelve zones: 101 values to a side, everything finite, the binding ratings among the known."""
    vehicle, loadout = invented_vehicle(1), invented_loadout(1, items=60, zones=12)
    known = by_key(vehicle, loadout)
    found = sweep(vehicle, loadout, known["fuel"], known["people"])
    assert found.consumed.shape == (5, 101)
    other = sweep(vehicle, loadout, known["fuel"], known["item:item 3"])
    assert other.consumed.shape == (101, 101)
    assert np.isfinite(other.consumed).all()
    assert (other.over == (other.consumed > 1 + 1e-9)).all()
    assert math.isclose(
        float(other.consumed[0, 0]),
        tightest(evaluate(vehicle, known["item:item 3"].put(replace(loadout, fuel_l=0.0), 0.0)))[0],
        rel_tol=1e-9,
    )
    assert len(Shares(vehicle, loadout).rows) >= len(other.keys)
