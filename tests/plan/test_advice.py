"""Advice against every choice there is: the integer program gives what plain enumeration gives."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from loadcalc.checks.findings.judge import evaluate
from loadcalc.model import Stowed
from loadcalc.plan.advice.allowed import AdviceRules
from loadcalc.plan.advice.leave import CLOSE_KG, fewest_things, left_mass_kg, what_to_leave
from loadcalc.plan.advice.problem import LEFT, RATING, UNKNOWN, Problem
from loadcalc.plan.advice.rearrange import CLOSE_M, Point, curve, fewest_moves, lowest, moved
from tests.advice_cases import (
    All,
    all_of,
    allowing,
    counted_sets,
    leave_case,
    problem_of,
    random_assign,
    tight_case,
)

# of the first 200: all for which anything helps, and nine that are beyond help
CASES = (
    0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 13, 15, 16, 21, 24, 26, 32, 34, 35, 38, 46, 50, 52, 55, 58, 65, 67, 69, 70,
    78, 81, 82, 87, 88, 89, 91, 97, 101, 107, 108, 111, 115, 117, 118, 119, 120, 123, 124, 138, 151, 153, 157,
    162, 166, 175, 176, 178, 180, 192,
)  # fmt: skip


@cache
def counted(seed: int, *, leaving: bool = False) -> tuple[Problem, All]:
    """A small case, and every choice of places for it."""
    problem = problem_of(seed)
    return problem, all_of(problem, leaving=leaving)


@pytest.mark.parametrize("seed", range(20))
def test_the_rows_are_what_evaluate_says(seed: int) -> None:
    """Any arrangement, allowed or not: every rating's load, the total, and the height are the package's own."""
    problem = problem_of(seed, items=9, zones=5)
    assign = random_assign(problem, seed)
    report = evaluate(problem.vehicle, problem.rearranged(assign))
    known = {rating.key: rating.load for rating in report.ratings if rating.known and rating.unit == "kg"}
    loads = dict.fromkeys(known, -np.inf)  # of a rating that is worked out in several ways, the worst
    for row, load in zip(problem.rows, problem.loads(assign), strict=True):
        if row.kind == RATING:
            loads[row.key] = max(loads[row.key], load)

    assert loads == pytest.approx(known, abs=1e-9)
    assert problem.height_m(assign) == pytest.approx(report.cg.up_m, abs=1e-12)
    over = {rating.key for rating in report.over if rating.unit == "kg"}
    assert {
        problem.rows[row].key for row in problem.broken(assign) if problem.rows[row].kind == RATING
    } == over


@pytest.mark.parametrize("seed", range(20))
def test_what_nobody_knows_is_held_where_it_is(seed: int) -> None:
    """A rating without a limit is a row whose cap is what `evaluate` says it carries now, unless a person allowed it.

    Where it is worked out in several ways, that is the worst of them. One that is no row and not allowed can't be added
    to: put each thing into each place that it may have.
    """
    problem = problem_of(seed, items=6, zones=4)
    before = evaluate(problem.vehicle, problem.loadout)
    unknown = {
        row.key: load
        for row, load in zip(before.shares.rows, before.loads_kg, strict=True)
        if row.limit.limit_kg is None
    }
    caps = [cap for row, cap in zip(problem.rows, problem.cap, strict=True) if row.kind == UNKNOWN]
    shut = [row for row in problem.may_gain if row.rating_key not in problem.rules.may_add_to]
    assert caps == pytest.approx([before.rating(row.rating_key).load for row in shut], abs=1e-9)
    gains: set[str] = set()
    for thing, place in zip(*np.nonzero(problem.may), strict=True):
        where = LEFT if place == len(problem.zones) else int(place)
        assign = tuple(where if i == thing else z for i, z in enumerate(problem.stay))
        after = evaluate(problem.vehicle, problem.rearranged(assign))
        now = {key: after.loads_kg[after.shares.row[key]] for key in unknown}
        gains |= {key for key, load in unknown.items() if now[key] > load + 1e-9}
    assert gains == {row.key for row in problem.may_gain}


@pytest.mark.parametrize("seed", range(16))
def test_room_and_balance_are_what_adding_up_says(seed: int) -> None:
    """Liters in a zone, and the moment to a side, added up here from the records."""
    problem = problem_of(seed, items=9, zones=5)
    assign = random_assign(problem, seed)
    loadout = problem.rearranged(assign)
    report, rules = evaluate(problem.vehicle, loadout), problem.rules
    loads = dict(zip((row.key for row in problem.rows), problem.loads(assign), strict=True))
    for zone in loadout.zones:
        liters = sum(f.liquid.capacity_l for f in loadout.liquids if f.zone == zone.name)
        for stowed in loadout.gear:
            if stowed.zone == zone.name:
                box = stowed.item.size
                liters += stowed.mass_kg * rules.liters_per_kg if box is None else box.volume_l * stowed.count
        assert loads[f"room:{zone.name}"] == pytest.approx(liters, abs=1e-9)
    most_m = max(rules.side_m, abs(problem.report.cg.left_m))
    assert loads["side:left"] == pytest.approx((report.cg.left_m - most_m) * report.mass_kg, abs=1e-8)
    assert loads["side:right"] == pytest.approx((-report.cg.left_m - most_m) * report.mass_kg, abs=1e-8)


@pytest.mark.parametrize("seed", CASES)
def test_fewest_moves_is_what_counting_every_arrangement_gives(seed: int) -> None:
    """The same number of moves, and of those the least mass; and when there is none, none is claimed."""
    problem, every = counted(seed)
    found = fewest_moves(problem)

    assert found.proven
    if not every.within.any():
        assert found.assign is None
        return
    assert found.assign is not None
    assert problem.allowed(found.assign)
    best = every.moves[every.within].min()
    assert len(moved(problem, found.assign)) == best
    lightest_kg = every.handled_kg[every.within & (every.moves == best)].min()
    assert handled_kg(problem, found.assign) == pytest.approx(lightest_kg, abs=1e-6)


@pytest.mark.parametrize("seed", CASES)
def test_leaving_and_moving_together_is_what_counting_gives(seed: int) -> None:
    """First as few things left as can be, then as few moves, then the least mass handled."""
    problem, every = counted(seed, leaving=True)
    found = fewest_moves(problem, leaving=True)

    assert found.proven
    if not every.within.any():
        assert found.assign is None
        return
    assert found.assign is not None
    order = np.lexsort((every.handled_kg, every.moves, every.left, ~every.within))
    best = order[0]
    assert found.assign.count(LEFT) == every.left[best]
    assert len(moved(problem, found.assign)) == every.moves[best]
    assert handled_kg(problem, found.assign) == pytest.approx(every.handled_kg[best], abs=1e-6)


@pytest.mark.parametrize("seed", CASES)
def test_the_lowest_center_is_what_counting_gives(seed: int) -> None:
    """Within a millimeter of the lowest of all allowed arrangements, its bound not above that, and no idle move.

    Within ratings, where anything is; and where what is over may stay so, which leaves a choice in each case.
    """
    for problem in (counted(seed)[0], counted(seed)[0].no_worse()):
        every = all_of(problem, leaving=False)
        found = lowest(problem)

        assert found.proven
        if not every.within.any():
            assert found.assign is None
            continue
        best_m = every.height_m[every.within].min()
        assert found.assign is not None
        assert problem.allowed(found.assign)
        assert found.cost == pytest.approx(problem.height_m(found.assign), abs=1e-12)
        assert best_m - 1e-9 <= found.cost <= best_m + CLOSE_M
        assert found.bound <= best_m + 1e-9
        for thing in moved(problem, found.assign):
            back = (*found.assign[:thing], problem.stay[thing], *found.assign[thing + 1 :])
            assert not problem.allowed(back) or problem.height_m(back) > found.cost


@pytest.mark.parametrize("seed", CASES)
def test_every_point_of_the_curve_is_what_counting_gives(seed: int) -> None:
    """For each number of moves, none where none is allowed; never rising; never more moves than it says."""
    for problem in (counted(seed)[0], counted(seed)[0].no_worse()):
        every = all_of(problem, leaving=False)
        told: list[Point] = []
        points = curve(problem, most_moves=6, tell=told.append)

        assert [point.moves for point in points] == list(range(7))
        assert tuple(told) == points
        for point in points:
            few = every.within & (every.moves <= point.moves)
            assert point.found.proven
            assert (point.found.assign is not None) == bool(few.any())
            if point.found.assign is not None:
                assert len(moved(problem, point.found.assign)) <= point.moves
                assert problem.allowed(point.found.assign)
                lowest_m = every.height_m[few].min()
                assert lowest_m - 1e-9 <= point.found.cost <= lowest_m + CLOSE_M + 1e-9
                assert point.found.bound <= lowest_m + 1e-9
        heights = [point.found.cost for point in points if point.found.assign is not None]
        assert heights == sorted(heights, reverse=True)


@pytest.mark.parametrize("seed", CASES)
def test_what_to_leave_is_what_counting_gives(seed: int) -> None:
    """The sets of fewest things, lightest first; the least mass within 50 g, its bound not above it, nothing idle."""
    problem = problem_of(seed, items=7)
    every = all_of(problem, leaving=True, moving=False)
    leave = what_to_leave(problem)
    least = leave.least_mass
    assert least.proven
    if not every.within.any():
        assert leave.fewest == ()
        assert least.assign is None
        return
    best = np.flatnonzero(every.within & (every.left == every.left[every.within].min()))
    order = best[np.argsort(every.left_kg[best])][:5]
    assert [found.assign for found in leave.fewest] == [tuple(every.assign[i]) for i in order]
    assert all(found.proven for found in leave.fewest)
    assert least.assign is not None
    least_kg = every.left_kg[every.within].min()
    assert left_mass_kg(problem, least.assign) == least.cost
    assert least_kg - 1e-6 <= least.cost <= least_kg + CLOSE_KG
    assert least.bound <= least_kg + 1e-6
    for thing in np.flatnonzero(np.array(least.assign) == LEFT):
        assert not problem.allowed((*least.assign[:thing], problem.stay[thing], *least.assign[thing + 1 :]))


def test_four_of_many_to_leave_are_those_that_counting_finds() -> None:
    """Every set of up to four of thirty things is counted: 31,930 of them."""
    problem = Problem(*leave_case(1, items=30), AdviceRules())
    sets = counted_sets(problem, 4)
    found = fewest_things(problem, 6)

    assert len(sets) > 6
    assert [counted_sets(problem, size) for size in range(4)] == [[], [], [], []]
    assert [tuple(i for i, where in enumerate(one.assign or ()) if where == LEFT) for one in found] == sets[:6]
    least = what_to_leave(problem).least_mass  # a sum to the gram of what is over is not to be had, and not asked for
    assert least.cost <= found[0].cost + CLOSE_KG
    assert least.proven
    assert 0.0 < least.cost - least.bound <= CLOSE_KG


def handled_kg(problem: Problem, assign: tuple[int, ...]) -> float:
    """Mass of what a plan moves, and twice that of what it leaves [kg]."""
    changed = zip(problem.things, problem.stay, assign, strict=True)
    return sum(thing.mass_kg * (2.0 if now == LEFT else 1.0) for thing, was, now in changed if was != now)


def test_the_cases_are_of_every_kind() -> None:
    """Some are allowed, some need moves, some leaving, some are beyond help; and the center can mostly come down."""
    kinds: Counter[str] = Counter()
    for seed in CASES:
        moving, leaving = counted(seed)[1], counted(seed, leaving=True)[1]
        if moving.within.any():
            kinds["legal" if (moving.within & (moving.moves == 0)).any() else "moves"] += 1
        elif leaving.within.any():
            best = np.lexsort((leaving.moves, leaving.left, ~leaving.within))[0]
            kinds["leave and move" if leaving.moves[best] else "leave only"] += 1
        else:
            kinds["no"] += 1
        eased = counted(seed)[0].no_worse()
        kinds["lower"] += len(moved(eased, lowest(eased).assign or ())) > 0
    assert kinds.keys() == {"legal", "moves", "leave only", "leave and move", "no", "lower"}
    assert min(kinds["moves"], kinds["leave only"], kinds["leave and move"], kinds["no"]) > 5
    assert kinds["lower"] > 20


def test_a_case_that_is_full_to_the_last_gram_is_allowed() -> None:
    """Ten kilograms into a zone of ten: the solver's tolerance must neither forbid it nor overfill it."""
    vehicle, loadout = tight_case(3)
    stowed = replace(
        loadout.gear[0], item=replace(loadout.gear[0].item, mass_kg=10.0, size=None, hazard=""), pinned=False
    )
    zones = tuple(replace(zone, limit=replace(zone.limit, limit_kg=10.0)) for zone in loadout.zones)
    for mass_kg, fits in ((10.0, True), (10.000001, False)):
        heavy: Stowed = replace(stowed, item=replace(stowed.item, mass_kg=mass_kg))
        case = replace(vehicle, limits={}), replace(loadout, zones=zones, gear=(heavy,), liquids=())
        problem = Problem(*case, allowing(AdviceRules(), *case))
        found = fewest_moves(problem)
        assert (found.assign is not None) is fits
        assert found.proven
