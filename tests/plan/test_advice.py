"""Advice against every choice there is: the integer program and the counting give what plain enumeration gives."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from loadcalc.checks.findings.judge import evaluate
from loadcalc.model import Stowed
from loadcalc.plan.advice.allowed import AdviceRules
from loadcalc.plan.advice.center import CLOSE_M, lowest, moved
from loadcalc.plan.advice.leave import counted_sets, least_mass, left_mass_kg, searched_sets
from loadcalc.plan.advice.problem import LEFT, RATING, UNKNOWN, Problem
from loadcalc.plan.advice.rearrange import curve, fewest_moves
from tests.advice_cases import all_of, allowing, problem_of, random_assign, tight_case

CASES = range(200)
FEWER = range(0, 200, 4)


@pytest.mark.parametrize("seed", range(60))
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


@pytest.mark.parametrize("seed", range(60))
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


@pytest.mark.parametrize("seed", range(40))
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
    problem = problem_of(seed)
    every = all_of(problem, leaving=False)
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
    problem = problem_of(seed)
    every = all_of(problem, leaving=True)
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
    """Within a tenth of a millimeter of the lowest of all allowed arrangements, and its bound is not above that."""
    problem = problem_of(seed)
    every = all_of(problem, leaving=False)
    found = lowest(problem)

    assert found.proven
    if not every.within.any():
        assert found.assign is None
        return
    best_m = every.height_m[every.within].min()
    assert found.assign is not None
    assert problem.allowed(found.assign)
    assert found.cost == pytest.approx(problem.height_m(found.assign), abs=1e-12)
    assert best_m - 1e-9 <= found.cost <= best_m + CLOSE_M
    assert found.bound <= best_m + 1e-9


@pytest.mark.parametrize("seed", FEWER)
def test_every_point_of_the_curve_is_what_counting_gives(seed: int) -> None:
    """For each number of moves, none where none is allowed; never rising; never more moves than it says."""
    problem = problem_of(seed)
    every = all_of(problem, leaving=False)
    points = curve(problem, most_moves=6)

    assert [point.moves for point in points] == list(range(7))
    for point in points:
        few = every.within & (every.moves <= point.moves)
        assert point.found.proven
        assert (point.found.assign is not None) == bool(few.any())
        if point.found.assign is not None:
            assert len(moved(problem, point.found.assign)) <= point.moves
            assert point.found.cost == pytest.approx(every.height_m[few].min(), abs=CLOSE_M)
    heights = [point.found.cost for point in points if point.found.assign is not None]
    assert heights == sorted(heights, reverse=True)


@pytest.mark.parametrize("seed", CASES)
def test_what_to_leave_is_the_same_by_three_ways(seed: int) -> None:
    """Counting sets, the program with cuts, and plain enumeration name the same sets; least mass likewise."""
    problem = problem_of(seed, items=7)
    every = all_of(problem, leaving=True, moving=False)
    counted, least = counted_sets(problem, most=8), least_mass(problem)
    if not every.within.any():
        assert counted == []
        assert searched_sets(problem, 6) == ()
        assert least.assign is None
        return
    fewest = every.left[every.within].min()
    mine = {tuple(np.flatnonzero(row == LEFT)) for row in every.assign[every.within & (every.left == fewest)]}
    assert set(counted) == mine
    masses = [left_mass_kg(problem, _left(problem, left)) for left in counted]
    assert masses == sorted(masses)
    searched = [tuple(np.flatnonzero(np.array(found.assign) == LEFT)) for found in searched_sets(problem, 6)]
    assert searched == counted[:6]
    assert least.assign is not None
    assert left_mass_kg(problem, least.assign) == pytest.approx(every.left_kg[every.within].min(), abs=1e-5)


def _left(problem: Problem, left: tuple[int, ...]) -> tuple[int, ...]:
    return tuple(LEFT if i in left else zone for i, zone in enumerate(problem.stay))


def handled_kg(problem: Problem, assign: tuple[int, ...]) -> float:
    """Mass of what a plan moves, and twice that of what it leaves [kg]."""
    changed = zip(problem.things, problem.stay, assign, strict=True)
    return sum(thing.mass_kg * (2.0 if now == LEFT else 1.0) for thing, was, now in changed if was != now)


def test_the_cases_are_of_every_kind() -> None:
    """Among the small cases some are allowed, some need moves, some leaving, some are beyond help: all is tested."""
    kinds = set()
    for seed in CASES:
        problem = problem_of(seed)
        moving, leaving = all_of(problem, leaving=False), all_of(problem, leaving=True)
        stays = moving.within & (moving.moves == 0)
        kinds.add(
            "legal"
            if stays.any()
            else "moves"
            if moving.within.any()
            else "leave"
            if leaving.within.any()
            else "no"
        )
        if leaving.within.any() and not moving.within.any():
            best = np.lexsort((leaving.moves, leaving.left, ~leaving.within))[0]
            kinds.add("leave and move" if leaving.moves[best] else "leave only")
    assert kinds == {"legal", "moves", "leave", "no", "leave and move", "leave only"}


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
        assert (fewest_moves(problem).assign is not None) is fits
