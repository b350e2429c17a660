"""Doubt: what is shared, the joint chance, and what to weigh first."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given

from loadcalc.checks import Shares
from loadcalc.model import Item, Limit, Loadout, NotFound, stow
from loadcalc.model.errors import BadValue
from loadcalc.plan.assumed import Assumed, density_share, fuel_kind
from loadcalc.plan.doubt import Doubt
from loadcalc.plan.draws import Drawing, draw
from loadcalc.plan.source import NORMAL_90
from tests.doubt_records import SURE, plain_case
from tests.hand_case import LOADOUT, VEHICLE
from tests.strategies import STEADY, Case, cases

# What is shared -------------------------------------------------------------------------------------------


def weighed(count: int) -> Loadout:
    """That many boxes of 10 kg, weighed on the crew's scale, each perfectly but for it."""
    boxes = [Item(name=f"box {n}", mass_kg=10.0, known="weighed", plus_minus_kg=1e-9) for n in range(count)]
    return replace(LOADOUT, gear=stow({"floor": boxes}), liquids=())


def test_a_scales_bias_is_shared_by_all_that_it_weighed() -> None:
    """Four boxes on one scale are four times as far off as one, not twice."""
    one, four = (Doubt(Shares(VEHICLE, weighed(n)), replace(SURE, scale_share=0.02)) for n in (1, 4))
    row = one.row("zone:floor")
    assert one.sd_kg[row] == pytest.approx(0.2 / math.sqrt(3), rel=1e-6)
    assert four.sd_kg[row] == pytest.approx(4 * 0.2 / math.sqrt(3), rel=1e-6)


def test_pieces_of_one_item_share_its_doubt_wherever_they_ride() -> None:
    """Two pieces in two zones: whoever misjudged one misjudged both."""
    item = Item(name="jug", mass_kg=10.0, plus_minus_kg=2.0)
    loadout = replace(LOADOUT, gear=stow({"floor": [item], "platform": [item]}), liquids=())
    doubt = Doubt(Shares(replace(VEHICLE, curb_fuel_l=100.0), loadout), SURE)
    assert doubt.sd_kg[doubt.row("gross")] == pytest.approx(2 * 2.0 / math.sqrt(3), rel=1e-12)


def test_the_fuel_that_was_weighed_with_the_vehicle_is_no_doubt() -> None:
    """As much in the tank as at the curb weighing: its density does not matter, at any axle."""
    vehicle = replace(VEHICLE, curb_fuel_l=80.0)
    doubt = Doubt(Shares(vehicle, replace(LOADOUT, fuel_l=80.0, gear=(), liquids=())), SURE)
    assert not [s for s in doubt.sources if s.key == "own:fuel"]
    emptier = Doubt(Shares(vehicle, replace(LOADOUT, fuel_l=30.0, gear=(), liquids=())), SURE)
    share, _ = density_share(fuel_kind(0.8))
    expected = 50.0 * 0.8 * share / math.sqrt(3)
    assert emptier.sd_kg[emptier.row("gross")] == pytest.approx(expected, rel=1e-12)


def test_the_joint_chance_knows_what_hangs_together() -> None:
    """Two ratings of one load: any is over as often as the tighter one; the sum of chances would be wrong."""
    limit = Limit(limit_kg=88.0)
    vehicle = replace(VEHICLE, limits={"roof_road": limit, "roof_off_road": limit})
    doubt = Doubt(Shares(vehicle, LOADOUT))
    drawing = draw(doubt)
    one, other = drawing.chance_over("roof_road"), drawing.chance_over("roof_off_road")
    assert one == other
    assert one is not None
    assert 0.2 < one < 0.8
    assert drawing.any_over == one


def test_independent_ratings_multiply() -> None:
    """Two zones with a guessed box each: 1 - (1 - p)(1 - q).

    20 ± 4 kg lies evenly between 16 and 24: three eighths of that are over 21, and of 10 ± 4 kg over 11.
    """
    boxes = {
        "floor": [Item(name="a", mass_kg=20.0, plus_minus_kg=4.0)],
        "platform": [Item(name="b", mass_kg=10.0, plus_minus_kg=4.0)],
    }
    zones = tuple(
        replace(z, limit=Limit(limit_kg=kg)) for z, kg in zip(LOADOUT.zones, (11.0, 21.0), strict=True)
    )
    loadout = replace(LOADOUT, zones=zones, gear=stow(boxes), liquids=(), people=())
    drawing = draw(Doubt(Shares(VEHICLE, loadout), SURE))
    expected = 1 - (1 - 3 / 8) ** 2
    assert drawing.any_over == pytest.approx(
        expected, abs=4 * math.sqrt(expected * (1 - expected) / drawing.draws)
    )


def test_what_is_over_already_is_told_apart_from_what_may_become_so() -> None:
    """A sure overload makes the joint chance 1; the chance that another joins it stays its own."""
    vehicle, loadout = plain_case()
    vehicle = replace(vehicle, limits={**vehicle.limits, "roof_off_road": Limit(limit_kg=20.0)})
    drawing = draw(Doubt(Shares(vehicle, loadout)))
    assert drawing.any_over == 1.0
    assert 0.0 < drawing.any_new_over < 1.0


# What to weigh first --------------------------------------------------------------------------------------


def test_the_ranking_is_what_weighing_each_would_do() -> None:
    """Weigh each thing in turn and look: the list is right in order and in kilograms."""
    names = ("winch", "bag", "stove", "tarp")
    guessed = [Item(name=n, mass_kg=30.0, plus_minus_kg=a) for n, a in zip(names, (9, 6, 4, 1), strict=True)]
    loadout = replace(LOADOUT, gear=stow({"floor": guessed[:2], "platform": guessed[2:]}), liquids=())
    # Nothing else moves with a mass, or weighing it would take that away too.
    doubt = Doubt(Shares(VEHICLE, loadout), replace(SURE, person_kg=3.0))
    row = doubt.row("rear_axle")
    narrower = {}
    for item in guessed:
        gear = tuple(
            replace(s, item=replace(s.item, plus_minus_kg=1e-9)) if s.item.name == item.name else s
            for s in loadout.gear
        )
        after = Doubt(Shares(VEHICLE, replace(loadout, gear=gear)), doubt.assumed)
        narrower[item.name] = NORMAL_90 * float(doubt.sd_kg[row] - after.sd_kg[row])
    ranked = [w for w in doubt.weigh_first("rear_axle", 10) if w.name in narrower]
    assert [w.name for w in ranked] == sorted(narrower, key=lambda n: -narrower[n])
    for worth in ranked:
        assert worth.narrower_kg == pytest.approx(narrower[worth.name], abs=1e-6)


def test_only_three_and_only_what_counts() -> None:
    """Three by default, and nobody is told to weigh what the rating does not hear of."""
    doubt = Doubt(Shares(*plain_case()))
    assert len(doubt.weigh_first("gross")) == 3
    assert {w.name for w in doubt.weigh_first("zone:platform", 9)} == {"tent", "can"}


@given(case=cases())
@STEADY
def test_more_doubt_is_never_narrower(case: Case) -> None:
    """Doubling the assumed doubts widens or keeps every interval, and none is upside down."""
    shares = Shares(*case)
    less = Doubt(shares)
    more = Doubt(shares, Assumed(curb_share=0.04, person_kg=6.0, zone_m=0.06, seat_m=0.10, scale_share=0.02))
    assert (more.sd_kg >= less.sd_kg - 1e-9).all()
    for key in shares.ideas:
        told = less.rating(key)
        assert told.low_kg <= told.mean_kg <= told.high_kg
        assert told.chance_over is None or 0.0 <= told.chance_over <= 1.0


def test_without_doubt_the_chance_is_the_verdict() -> None:
    """Nothing in doubt: 0 for what is within its limit, exactly full included, and 1 for what is over."""
    vehicle = replace(
        VEHICLE,
        curb_fuel_l=100.0,
        limits={"roof_road": Limit(limit_kg=30.0), "gross": Limit(limit_kg=2029.9)},
    )
    loadout = replace(LOADOUT, people=(), gear=(), liquids=(), fuel_l=100.0)
    drawing = draw(Doubt(Shares(vehicle, loadout), SURE), 100)
    assert drawing.rating("roof_road").chance_over == 0.0
    assert drawing.rating("gross").chance_over == 1.0
    assert drawing.rating("placard").chance_over is None
    assert drawing.any_over == 1.0


def test_draws_can_be_added_and_repeat() -> None:
    """The same seed tells the same; more draws are counted; no draws tell nothing."""
    doubt = Doubt(Shares(*plain_case()))
    one, other = draw(doubt, 20_000, seed=4), draw(doubt, 20_000, seed=4)
    assert one.any_over == other.any_over
    one.add(5_000)
    assert one.draws == 25_000
    with pytest.raises(BadValue, match="add some"):
        _ = Drawing(doubt).any_over
    with pytest.raises(NotFound, match="rating with a margin of error"):
        doubt.rating("seats")
    with pytest.raises(BadValue, match="curb share"):
        Assumed(curb_share=1.5)
