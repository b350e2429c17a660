"""Advice: how long the searches take and what they prove, on invented loadouts from seeds.

Processor time, as everywhere here; only a limit given to a search is time on the wall.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from math import comb
from statistics import median
from typing import TypeVar

from loadcalc.model import Loadout, Vehicle
from loadcalc.plan.advice.allowed import AdviceRules
from loadcalc.plan.advice.leave import what_to_leave
from loadcalc.plan.advice.problem import LEFT, Problem
from loadcalc.plan.advice.rearrange import Point, curve, fewest_moves, lowest
from loadcalc.plan.advice.single import single_moves
from tests.advice_cases import allowing, counted_sets, leave_case, loose_case
from tests.advice_crew import crew_case
from tests.bench.timing import in_turns, significant, spread, verdict

ITEMS, ZONES, SEEDS = 60, 12, range(5)
CENTER_S, CURVE_S, LEAVE_S = 2.0, 8.0, 2.0
T = TypeVar("T")


def lines() -> Iterator[str]:
    """The part's lines of text."""
    yield f"\nAdvice: {ITEMS} items, {ZONES} zones, {len(SEEDS)} invented loadouts of each kind; processor seconds"
    loose = [_open(loose_case(seed, ITEMS, ZONES)) for seed in SEEDS]
    ordinary = [*loose, *(_open(crew_case(seed, 0.5, ITEMS)) for seed in SEEDS)]
    yield "  ordinary: zone limits twice the load or so; and the demo's vehicle and zones, half of the room taken"
    yield f"  lowest center, ordinary: {_center(ordinary, CENTER_S)}"
    yield f"  curve of 0 to 15 moves, ordinary: {_curve(ordinary)}"
    yield "  tight: zone limits 0.8 times that; and the demo's, three quarters of the room taken"
    squeezed = (_open(loose_case(seed, ITEMS, ZONES, squeeze=0.8)) for seed in SEEDS)
    yield f"  lowest center, tight: {_center([*squeezed, *(_open(crew_case(seed, 0.75, ITEMS)) for seed in SEEDS)])}"
    yield from _other(loose)
    yield from _leave()


def _open(case: tuple[Vehicle, Loadout]) -> Problem:
    """A case whose every rating without a limit may be added to: the more ways there are, the longer a search takes."""
    return Problem(*case, allowing(AdviceRules(), *case))


def _taken(call: Callable[[], T]) -> tuple[float, T]:
    start = time.process_time()
    found = call()
    return time.process_time() - start, found


def _center(problems: list[Problem], goal_s: float | None = None) -> str:
    taken = [_taken(lambda problem=problem: lowest(problem)) for problem in problems]  # type: ignore[misc]  # the same
    times, found = [second for second, _ in taken], [found for _, found in taken]
    proven = sum(one.proven for one in found)
    gaps_mm = [(one.cost - one.bound) * 1e3 for one in found if one.assign is not None]
    said = (
        f"{significant(median(times))} s, longest {significant(max(times))} s; {proven} of {len(found)} proven to 1 mm,"
        f" the worst {significant(max(gaps_mm), 2)} mm above its bound; {len(found) - len(gaps_mm)} without a plan"
    )
    return f"{said}; {_goal(goal_s, max(times), proven == len(found))}"


def _curve(problems: list[Problem]) -> str:
    """The whole curve, and how soon its first plan is told."""
    times, first, proven = [], [], 0
    for problem in problems:
        start = time.process_time()
        told: list[float] = []

        def tell(point: Point, told: list[float] = told) -> None:
            if point.found.assign is not None:
                told.append(time.process_time())

        points = curve(problem, tell=tell)
        times.append(time.process_time() - start)
        first.append(told[0] - start)
        proven += all(point.found.proven for point in points)
    said = f"{significant(median(times))} s, longest {significant(max(times))} s; first plan told after at most "
    said += f"{significant(max(first))} s; {proven} of {len(problems)} with every point proven to 1 mm"
    return f"{said}; {_goal(CURVE_S, max(times), proven == len(problems))}"


def _goal(goal_s: float | None, longest_s: float, proven: bool) -> str:
    if goal_s is None:
        return "no goal"
    return f"goal {goal_s:g} s and all proven: {verdict(longest_s <= goal_s and proven)}"


def _other(problems: list[Problem]) -> Iterator[str]:
    moves = [_taken(lambda problem=problem: fewest_moves(problem))[0] for problem in problems]  # type: ignore[misc]  # the same
    yield f"  fewest moves: {significant(median(moves))} s, longest {significant(max(moves))} s (no goal)"
    times = in_turns({"moves": lambda: single_moves(problems[0])}, rounds=7)
    yield f"  all single moves ranked: {spread([second * 1e3 for second in times['moves']]).text()} ms (no goal)"


def _leave() -> Iterator[str]:
    times, same = [], 0
    for seed in SEEDS:
        problem = _open(leave_case(seed, ITEMS, ZONES))
        second, leave = _taken(lambda problem=problem: what_to_leave(problem))  # type: ignore[misc]  # the same
        times.append(second)
        sets = [
            tuple(i for i, where in enumerate(one.assign or ()) if where == LEFT) for one in leave.fewest
        ]
        same += sets == counted_sets(problem, 4)[: len(sets)] and not counted_sets(problem, 3)
    met = same == len(SEEDS) and max(times) <= LEAVE_S
    yield (
        f"  what to leave, four of {ITEMS} ({comb(ITEMS, 4):,} sets), and the least mass: "
        f"{significant(median(times))} s, longest {significant(max(times))} s; "
        f"the same sets by counting all in {same} of {len(SEEDS)}; "
        f"goal {LEAVE_S:g} s and the same: {verdict(met)}"
    )
