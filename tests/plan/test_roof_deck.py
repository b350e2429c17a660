"""What lies on the carrier and what is wrong with it, by hand-worked numbers."""

from __future__ import annotations

from dataclasses import replace

import pytest

from loadcalc.checks import evaluate
from loadcalc.checks.height import rack_top_m
from loadcalc.model import Filled, Liquid, NotFound, Size, Stowed
from loadcalc.plan.roof_layout import deck, moves
from tests.hand_case import VEHICLE
from tests.roof_case import BOX, CARRIER, LOADOUT, TUBE

LAID = moves.laid(LOADOUT, "stowed:Box", aft_m=1.4, left_m=0.2)  # 1.0 to 1.8 aft, 0.0 to 0.4 left


def test_only_what_rides_on_the_carrier_is_on_it() -> None:
    """The stove in the cabin is not; without a carrier nothing is."""
    assert [t.name for t in deck.things_on(LOADOUT)] == ["Box", "Tube", "Saw"]
    off = replace(LOADOUT, carrier=None, gear=())
    assert deck.things_on(off) == ()


def test_a_thing_stands_on_the_carriers_top() -> None:
    """1.9 m + half of 0.1 m + half of 0.3 m; a height of its own is kept when it is moved on."""
    place = deck.thing_on(LAID, "stowed:Box").place
    assert place is not None
    assert place.up_m == pytest.approx(2.1, abs=1e-12)
    raised = moves.laid(LAID, "stowed:Box", aft_m=1.6, left_m=0.0)
    raised = replace(
        raised,
        gear=tuple(replace(s, place=replace(s.place, up_m=2.3)) if s.place else s for s in raised.gear),
    )
    moved = deck.thing_on(moves.laid(raised, "stowed:Box", aft_m=2.0, left_m=0.0), "stowed:Box").place
    assert moved is not None
    assert moved.up_m == 2.3


def test_moving_a_box_moves_the_axles_by_its_lever() -> None:
    """20 kg moved 0.5 m aft: the rear axle gains 20 * 0.5 / wheelbase."""
    before = evaluate(VEHICLE, LAID)
    after = evaluate(VEHICLE, moves.laid(LAID, "stowed:Box", aft_m=1.9, left_m=0.2))
    gained = after.rear_axle_kg - before.rear_axle_kg
    assert gained == pytest.approx(20 * 0.5 / VEHICLE.wheelbase_m, abs=1e-9)


def test_a_thing_counts_in_the_zone_that_it_is_over() -> None:
    """The front zone ends 2.0 m aft; on the line between two it stays where it was."""
    assert deck.thing_on(LAID, "stowed:Box").zone == "Roof front"
    assert (
        deck.thing_on(moves.laid(LAID, "stowed:Box", aft_m=2.0, left_m=0.0), "stowed:Box").zone
        == "Roof front"
    )
    assert (
        deck.thing_on(moves.laid(LAID, "stowed:Box", aft_m=2.1, left_m=0.0), "stowed:Box").zone == "Roof rear"
    )


def test_a_covered_tie_point_is_named() -> None:
    """The box from 1.0 to 1.8 aft and 0.0 to 0.4 left leaves (1.1, 0.5) free; 0.15 m further left it does not."""
    assert deck.judge(LAID).covered == ()
    moved = moves.laid(LAID, "stowed:Box", aft_m=1.4, left_m=0.35)
    assert [(c.point.name, c.thing.name) for c in deck.judge(moved).covered] == [("front left", "Box")]


def test_overlap_and_overhang_are_measured() -> None:
    """Tube, 1.5 by 0.2, at 1.6 aft: 0.85 to 2.35, so 0.15 beyond the front edge; it shares 0.8 by 0.1 with the box."""
    both = moves.laid(LAID, "stowed:Tube", aft_m=1.6, left_m=0.0)
    found = deck.judge(both)
    assert [(o.one.name, o.other.name) for o in found.overlapping] == [("Box", "Tube")]
    assert found.overlapping[0].by == pytest.approx((0.8, 0.1), abs=1e-12)
    assert [h.thing.name for h in found.hanging] == ["Tube"]
    assert found.hanging[0].by == pytest.approx((0.15, 0.0, 0.0, 0.0), abs=1e-12)
    assert [t.name for t in found.not_laid_out] == ["Saw"]
    assert found.about("stowed:Saw").overlapping == ()
    assert len(found.about("stowed:Tube").overlapping) == 1


def test_a_turned_tube_lies_across() -> None:
    """1.5 m across a deck of 1.2 m: 0.15 m beyond both sides."""
    across = moves.laid(LOADOUT, "stowed:Tube", aft_m=2.0, left_m=0.0, turned=True)
    assert deck.judge(across).hanging[0].by == pytest.approx((0.0, 0.0, 0.15, 0.15), abs=1e-12)
    back = moves.laid(across, "stowed:Tube", aft_m=2.0, left_m=0.0, turned=False)
    assert deck.judge(back).hanging == ()


def test_what_is_not_laid_out_counts_at_its_zones_middle() -> None:
    """20 kg at 1.5 and 16 kg at 2.5: the center is 70 / 36 aft; laid out, the box counts where it lies."""
    load = deck.load_on(LOADOUT)
    assert load is not None
    assert load == pytest.approx((36.0, 70.0 / 36.0, 0.0), abs=1e-12)
    laid = deck.load_on(LAID)
    assert laid is not None
    assert laid == pytest.approx((36.0, (20 * 1.4 + 40) / 36.0, 20 * 0.2 / 36.0), abs=1e-12)
    assert deck.load_on(moves.unlaid(LAID, "stowed:Box")) == load
    assert deck.load_on(replace(LOADOUT, gear=())) is None


def test_several_pieces_are_one_bundle_with_their_mass() -> None:
    """Three tubes of 10 kg, 0.2 by 0.3: side by side and stacked to 0.6 by 0.3 or 0.4 by 0.6, the squarer."""
    three = replace(LOADOUT, gear=(Stowed(item=replace(TUBE, count=3), zone="Roof rear", count=3),))
    found = deck.things_on(three)[0]
    assert (found.name, found.mass_kg) == ("Tube × 3", 30.0)
    assert found.size == Size(length_m=1.5, width_m=0.4, height_m=0.6)


def test_a_thing_without_a_size_is_drawn_and_told() -> None:
    """An assumed size is never taken for a measured one; a can of 27 L is 0.3 m wide."""
    can = Filled(
        liquid=Liquid(name="Can", container_kg=1.0, capacity_l=27.0, density_kg_per_l=1.0),
        zone="Roof rear", fill_l=10.0,
    )  # fmt: skip
    some = replace(LOADOUT, gear=(Stowed(item=replace(BOX, size=None), zone="Roof front"),), liquids=(can,))
    assert [t.name for t in deck.judge(some).size_assumed] == ["Box", "Can"]
    assert deck.things_on(some)[1].footprint.width_m == pytest.approx(0.3, abs=1e-12)
    moved = moves.laid(some, "filled:Can", aft_m=2.2, left_m=0.1, turned=True)
    place = moved.liquids[0].place
    assert place is not None
    assert (place.aft_m, place.left_m) == (2.2, 0.1)
    assert place.up_m == pytest.approx(1.95 + 0.15, abs=1e-12)


def test_pinning_is_kept_with_the_thing() -> None:
    """On and off again."""
    on = moves.pinned(LAID, "stowed:Box", True)
    assert [t.pinned for t in deck.things_on(on)] == [True, False, False]
    assert moves.pinned(on, "stowed:Box", False) == LAID


def test_a_thing_that_is_not_there_is_named() -> None:
    """The message lists what is."""
    with pytest.raises(NotFound, match="Box, Tube, Saw"):
        moves.laid(LOADOUT, "stowed:Kayak", aft_m=2.0, left_m=0.0)


def test_the_deck_is_the_carrier_to_scale() -> None:
    """2.0 by 1.2 m around its place; things stand half its thickness above its middle."""
    found = deck.deck_of(CARRIER)
    assert (found.fore_m, found.rear_m) == (1.0, 3.0)
    assert (found.right_m, found.far_left_m) == (-0.6, 0.6)
    assert rack_top_m(CARRIER) == pytest.approx(1.95, abs=1e-12)
