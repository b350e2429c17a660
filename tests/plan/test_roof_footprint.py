"""Footprints on the carrier: overlap against counted cells, clamping and snapping for any rectangle."""

from __future__ import annotations

from math import ceil

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from loadcalc.model import Size
from loadcalc.plan.roof_layout.footprint import (
    MAGNET_M,
    TOUCH_M,
    Footprint,
    bundle,
    clamp,
    covers,
    lying,
    overhang,
    overlap,
    shared,
    snap,
)

CELL_M = 0.01
places = st.floats(-3, 3)
sides = st.floats(0.02, 2.0)
boxes = st.builds(Footprint, aft_m=st.floats(0, 4), left_m=st.floats(-2, 2), length_m=sides, width_m=sides)
cells = st.tuples(st.integers(0, 12), st.integers(0, 12), st.integers(1, 6), st.integers(1, 6))
DECK = Footprint(aft_m=2.0, left_m=0.0, length_m=2.0, width_m=1.2)


def of_cells(fore: int, right: int, long: int, wide: int) -> Footprint:
    """A footprint of whole cells."""
    return Footprint(
        aft_m=(fore + long / 2) * CELL_M,
        left_m=(right + wide / 2) * CELL_M,
        length_m=long * CELL_M,
        width_m=wide * CELL_M,
    )


def counted(fore: int, right: int, long: int, wide: int) -> set[tuple[int, int]]:
    """The cells that it covers, one by one."""
    return {(a, b) for a in range(fore, fore + long) for b in range(right, right + wide)}


@given(cells, cells)
def test_overlap_is_what_counting_cells_says(one: tuple[int, ...], other: tuple[int, ...]) -> None:
    """Two footprints overlap where they have a cell in common, by as many cells along and across as they share."""
    common = counted(*one) & counted(*other)
    found = shared(of_cells(*one), of_cells(*other))
    assert overlap(of_cells(*one), of_cells(*other)) == bool(common)
    assert found.along_m == pytest.approx(len({a for a, _ in common}) * CELL_M, abs=1e-12)
    assert found.across_m == pytest.approx(len({b for _, b in common}) * CELL_M, abs=1e-12)


@given(boxes, boxes)
def test_overlap_does_not_depend_on_who_is_asked(one: Footprint, other: Footprint) -> None:
    """The same answer both ways round, and everything overlaps itself."""
    assert shared(one, other) == shared(other, one)
    assert overlap(one, one)


@given(boxes, boxes, places, places)
def test_overlap_does_not_depend_on_the_origin(
    one: Footprint, other: Footprint, aft_m: float, left_m: float
) -> None:
    """Moving both alike changes nothing."""
    here = shared(one, other)
    assume(here.along_m == 0 or min(here) > 2 * TOUCH_M)  # at the very limit the last bit decides
    there = shared(
        one.at(aft_m=one.aft_m + aft_m, left_m=one.left_m + left_m),
        other.at(aft_m=other.aft_m + aft_m, left_m=other.left_m + left_m),
    )
    gap = min(
        abs(min(one.rear_m, other.rear_m) - max(one.fore_m, other.fore_m) - TOUCH_M),
        abs(min(one.far_left_m, other.far_left_m) - max(one.right_m, other.right_m) - TOUCH_M),
    )
    assume(gap > 1e-9)
    assert there.along_m == pytest.approx(here.along_m, abs=1e-9)
    assert there.across_m == pytest.approx(here.across_m, abs=1e-9)


def test_things_that_touch_do_not_overlap() -> None:
    """Side by side on typed inches, where floats disagree in the last bit."""
    inch = 0.0254
    one = Footprint(aft_m=7 * inch, left_m=0.0, length_m=14 * inch, width_m=9 * inch)
    other = Footprint(aft_m=14 * inch + 3.5 * inch, left_m=0.0, length_m=7 * inch, width_m=9 * inch)
    assert not overlap(one, other)
    assert overlap(one, other.at(aft_m=other.aft_m - 0.001, left_m=0.0))


@given(boxes)
def test_a_clamped_middle_is_over_the_deck_and_moves_no_further_than_it_must(box: Footprint) -> None:
    """Each direction by itself: inside stays, outside goes to the nearest edge; the size stays."""
    found = clamp(box, DECK)
    assert DECK.fore_m <= found.aft_m <= DECK.rear_m
    assert DECK.right_m <= found.left_m <= DECK.far_left_m
    assert (found.length_m, found.width_m) == (box.length_m, box.width_m)
    assert clamp(found, DECK) == found
    outside = max(DECK.fore_m - box.aft_m, box.aft_m - DECK.rear_m, 0.0)
    assert abs(found.aft_m - box.aft_m) == pytest.approx(outside, abs=1e-12)


@given(boxes, st.lists(boxes, max_size=4), st.floats(0.001, 0.1))
def test_snapping_moves_a_little_or_not_at_all(
    box: Footprint, others: list[Footprint], step_m: float
) -> None:
    """At most the magnet's reach or half a step, in each direction; where it landed it stays."""
    found = snap(box, DECK, others, step_m=step_m)
    most = max(MAGNET_M, step_m / 2) + 1e-12
    assert abs(found.aft_m - box.aft_m) <= most
    assert abs(found.left_m - box.left_m) <= most
    assert (found.length_m, found.width_m) == (box.length_m, box.width_m)


def test_an_edge_near_another_goes_to_it() -> None:
    """A box dropped 2 cm behind another touches it; 2 cm from the center line it is centered."""
    there = Footprint(aft_m=1.5, left_m=0.3, length_m=0.4, width_m=0.4)
    found = snap(Footprint(aft_m=1.97, left_m=-0.02, length_m=0.5, width_m=0.3), DECK, [there], step_m=0.02)
    assert found.fore_m == pytest.approx(there.rear_m, abs=1e-12)
    assert found.left_m == pytest.approx(0.0, abs=1e-12)


def test_away_from_every_edge_the_step_counts_from_the_front_edge() -> None:
    """Front edge at a whole step from the deck's, middle at a whole step from the center line."""
    found = snap(Footprint(aft_m=1.873, left_m=0.207, length_m=0.3, width_m=0.3), DECK, step_m=0.1)
    assert found.fore_m - DECK.fore_m == pytest.approx(0.7, abs=1e-12)
    assert found.left_m == pytest.approx(0.2, abs=1e-12)


@given(boxes)
def test_overhang_and_inside_agree(box: Footprint) -> None:
    """What hangs over by nothing lies within all four edges; else the edges say by how much."""
    over = overhang(box, DECK)
    inside = (
        box.fore_m >= DECK.fore_m - TOUCH_M
        and box.rear_m <= DECK.rear_m + TOUCH_M
        and box.right_m >= DECK.right_m - TOUCH_M
        and box.far_left_m <= DECK.far_left_m + TOUCH_M
    )
    assert any(over) != inside
    if over.front_m and over.rear_m:
        assert over.front_m + over.rear_m == pytest.approx(box.length_m - DECK.length_m, abs=1e-12)


def test_a_point_under_the_edge_is_covered() -> None:
    """On the edge a hook cannot be set either; a hand's room widens it."""
    box = Footprint(aft_m=2.0, left_m=0.0, length_m=1.0, width_m=0.5)
    assert covers(box, aft_m=2.5, left_m=0.25)
    assert not covers(box, aft_m=2.51, left_m=0.0)
    assert covers(box, aft_m=2.51, left_m=0.0, room_m=0.02)


@given(sides, sides, st.booleans())
def test_turning_swaps_the_sides(length_m: float, width_m: float, turned: bool) -> None:
    """A quarter turn and back is nothing."""
    size = Size(length_m=length_m, width_m=width_m, height_m=0.1)
    assert lying(size, turned=turned) == tuple(reversed(lying(size, turned=not turned)))


@given(st.integers(1, 30), st.floats(0.02, 0.5), st.floats(0.02, 0.5))
def test_a_bundle_holds_its_pieces_and_is_as_square_as_any(
    count: int, width_m: float, height_m: float
) -> None:
    """Enough room for all pieces, and no other number side by side would make its end more nearly square."""
    found = bundle(Size(length_m=1.0, width_m=width_m, height_m=height_m), count)
    across, high = round(found.width_m / width_m), round(found.height_m / height_m)
    assert across * high >= count
    every = [abs(n * width_m - ceil(count / n) * height_m) for n in range(1, count + 1)]
    assert abs(found.width_m - found.height_m) == pytest.approx(min(every), abs=1e-8)
