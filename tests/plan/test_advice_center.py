"""The parts of the search for the lowest center, each against every choice there is: the bound, deals, the proof."""

from __future__ import annotations

import time

import numpy as np
import pytest

from loadcalc.plan.advice.center import CLOSE_M, Search, lowest
from loadcalc.plan.advice.problem import LEFT, Assign, Problem
from loadcalc.plan.advice.redeal import Redeal, redealt
from loadcalc.plan.advice.relax import Relaxed, relaxed
from loadcalc.plan.advice.solve import Program
from tests.advice_cases import All, all_of, loose_case, problem_of
from tests.advice_hand import ZONES, hand_problem, stowed

SEEDS = range(0, 200, 5)
FEW = 2


def relaxed_of(problem: Problem, most_moves: int | None = None) -> Relaxed | None:
    """The relaxed program of height."""
    program = Program(problem)
    cuts = () if most_moves is None else ((program.moved.astype(float), float(most_moves)),)
    return relaxed(program, program.costs(height=1.0), cuts)


def allowed_by(every: All, most_moves: int | None) -> np.ndarray:
    """Which of all choices are allowed with so many moves."""
    return every.within & (every.moves <= (most_moves if most_moves is not None else every.moves.max()))


@pytest.mark.parametrize("most_moves", [None, FEW])
@pytest.mark.parametrize("seed", SEEDS)
def test_no_allowed_choice_is_below_the_bound_or_below_what_its_places_cost(
    seed: int, most_moves: int | None
) -> None:
    """What the relaxed program says of each place holds for each allowed choice that uses it."""
    problem = problem_of(seed)
    every = all_of(problem, leaving=False)
    relax = relaxed_of(problem, most_moves)
    allowed = allowed_by(every, most_moves)
    if relax is None:
        assert not allowed.any()
        return
    kg = problem.base_kg + sum(thing.mass_kg for thing in problem.things)
    beyond = every.height_m[allowed] * kg - problem.base_up - relax.cost
    assert (beyond >= -1e-6).all()
    for thing, where in enumerate(every.assign[allowed].T):
        assert (beyond >= relax.extra[thing, where] - 1e-6).all()


def redeal_of(problem: Problem, assign: Assign, most_moves: int | None = None) -> Redeal:
    """A redeal for which every place is cheap enough, and the bound far below."""
    return Redeal(
        problem,
        assign,
        extra=np.zeros(problem.may.shape),
        bound_up=-1e6,
        most_moves=most_moves,
        chance=np.random.default_rng(1),
    )


@pytest.mark.parametrize("most_moves", [None, FEW])
@pytest.mark.parametrize("seed", SEEDS)
def test_a_deal_is_the_lowest_of_all_that_these_zones_allow(seed: int, most_moves: int | None) -> None:
    """All things of two zones, or of all, dealt anew: what counting finds, from each of some allowed choices."""
    problem = problem_of(seed)
    every = all_of(problem, leaving=False)
    allowed = np.flatnonzero(allowed_by(every, most_moves))
    for zones in ([0, 1], [0, 2], [0, 1, 2]):
        for begin in allowed[:: max(1, len(allowed) // 5)]:
            start = tuple(int(place) for place in every.assign[begin])
            redeal = redeal_of(problem, start, most_moves)
            redeal.step(np.array(zones), 4096)
            still = ~np.isin(start, zones)
            same = (every.assign[allowed][:, still] == np.array(start)[still]).all(axis=1)
            inside = np.isin(every.assign[allowed][:, ~still], zones).all(axis=1)
            lowest_m = every.height_m[allowed][same & inside].min()
            assert problem.allowed(redeal.assign)
            assert problem.height_m(redeal.assign) == pytest.approx(lowest_m, abs=1e-8)


def test_some_deals_change_something() -> None:
    """The test before would pass if nothing were ever dealt and every start were the lowest: it is not so."""
    changed = 0
    for seed in SEEDS:
        problem = problem_of(seed)
        every = all_of(problem, leaving=False)
        for begin in np.flatnonzero(every.within)[:10]:
            changed += redeal_of(problem, tuple(every.assign[begin])).step(np.arange(3), 4096)
    assert changed > 10


@pytest.mark.parametrize("seed", range(4))
def test_many_deals_end_lower_and_allowed(seed: int) -> None:
    """On forty things, with all that the search gives: never higher than the start, always allowed, near the bound."""
    problem = Problem(*loose_case(seed, items=40, zones=8))
    relax = relaxed_of(problem)
    assert relax is not None
    search = Search(problem, None, time.monotonic() + 60.0)
    start = search._start(relax, time.monotonic() + 10.0)
    assert start is not None
    assert problem.allowed(start)
    redeal = Redeal(
        problem,
        start,
        extra=relax.extra,
        bound_up=problem.base_up + relax.cost,
        most_moves=None,
        chance=np.random.default_rng(seed),
    )
    before_up = redeal.up
    for size in (64, 256):
        redeal.step(np.arange(3), size, give=1.0)
        assert problem.allowed(redeal.assign)
        assert redeal.up <= before_up + 1.0 + 1e-6
        before_up = redeal.up
    best = redealt(redeal, wanted_up=-1e6, give=0.1, until=time.monotonic() + 5.0)
    assert problem.allowed(best)
    assert problem.up_kgm(best) < problem.up_kgm(start)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_proof_does_not_claim_too_much(seed: int) -> None:
    """From a poor plan and the relaxed bound alone: proving finds the lower plans, or no bound above the lowest."""
    problem = problem_of(seed)
    every = all_of(problem, leaving=False)
    if not every.within.any():
        return
    search = Search(problem, None, time.monotonic() + 60.0)
    poorest = np.flatnonzero(every.within)[np.argmax(every.height_m[every.within])]
    search._take(tuple(int(place) for place in every.assign[poorest]))
    for _ in range(50):
        if search.close:
            break
        search.prove(5.0)
        assert search.bound_up / problem.report.mass_kg <= every.height_m[every.within].min() + 1e-9
    assert search.close
    assert search.best_up / problem.report.mass_kg <= every.height_m[every.within].min() + CLOSE_M + 1e-9


def test_nothing_aboard_is_as_low_as_can_be() -> None:
    """No thing, nothing to decide; one thing that may stay in one place only, likewise."""
    empty = hand_problem(ZONES, ())
    assert lowest(empty).assign == ()
    assert lowest(empty).proven
    pinned = lowest(hand_problem(ZONES, (stowed("fridge", 20.0, "rack", pinned=True),)))
    assert pinned.assign == (1,)
    assert pinned.proven
    assert LEFT not in pinned.assign
