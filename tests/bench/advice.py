"""Advice: how long the searches take and how close to the best they come, on invented loadouts from seeds.

Processor time, as everywhere here; a limit given to a search is time on the wall.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from math import comb, isfinite
from statistics import median
from typing import TypeVar

from loadcalc.plan.advice.leave import counted_sets, searched_sets
from loadcalc.plan.advice.problem import LEFT, Problem
from loadcalc.plan.advice.rearrange import CLOSE_M, curve, fewest_moves, lowest
from loadcalc.plan.advice.single import single_moves
from tests.advice_cases import leave_case, loose_case
from tests.bench.timing import in_turns, significant, spread, verdict

ITEMS, ZONES, SEEDS = 60, 12, range(5)
CENTER_S, LEAVE_S = 2.0, 0.2
TIGHT_S = 5.0
T = TypeVar("T")


def lines() -> Iterator[str]:
    """The part's lines of text."""
    yield f"\nAdvice: {ITEMS} items, {ZONES} zones, {len(SEEDS)} invented loadouts each; processor seconds"
    ordinary = [Problem(*loose_case(seed, ITEMS, ZONES)) for seed in SEEDS]
    yield from _center(ordinary)
    yield from _tight([Problem(*loose_case(seed, ITEMS, ZONES, squeeze=0.8)) for seed in SEEDS])
    yield from _other(ordinary)
    yield from _leave()


def _taken(call: Callable[[], T]) -> tuple[float, T]:
    start = time.process_time()
    found = call()
    return time.process_time() - start, found


def _center(problems: list[Problem]) -> Iterator[str]:
    times, close = [], 0
    for problem in problems:
        second, found = _taken(lambda problem=problem: lowest(problem, time_limit_s=20.0))  # type: ignore[misc]  # lambda's default
        times.append(second)
        close += found.assign is not None and found.cost - found.bound <= CLOSE_M
    quick = sum(second <= CENTER_S for second in times)
    met = close == len(problems) == quick
    yield (
        f"  lowest center, ordinary: {close} of {len(problems)} proven within 0.1 mm, "
        f"{significant(median(times))} s, longest {significant(max(times))} s; "
        f"{quick} within {CENTER_S:g} s; goal all: {verdict(met)}"
    )


def _tight(problems: list[Problem]) -> Iterator[str]:
    gaps = []
    for problem in problems:
        found = lowest(problem, time_limit_s=TIGHT_S)
        gap_mm = (found.cost - found.bound) * 1000.0
        gaps.append(
            "none found" if found.assign is None else significant(gap_mm) if isfinite(gap_mm) else "not known"
        )
    yield f"  lowest center, tight (zone limits 0.8 times), after {TIGHT_S:g} s: gap {', '.join(gaps)} mm (no goal)"


def _other(problems: list[Problem]) -> Iterator[str]:
    moves = [_taken(lambda problem=problem: fewest_moves(problem))[0] for problem in problems]  # type: ignore[misc]  # the same
    yield f"  fewest moves: {significant(median(moves))} s, longest {significant(max(moves))} s (no goal)"
    curves = [_taken(lambda problem=problem: curve(problem))[0] for problem in problems]  # type: ignore[misc]  # the same
    yield f"  curve of 0 to 15 moves: {significant(median(curves))} s, longest {significant(max(curves))} s (no goal)"
    times = in_turns({"moves": lambda: single_moves(problems[0])}, rounds=7)
    yield f"  all single moves ranked: {spread([second * 1e3 for second in times['moves']]).text()} ms (no goal)"


def _leave() -> Iterator[str]:
    times, same = [], 0
    for seed in SEEDS:
        problem = Problem(*leave_case(seed, ITEMS, ZONES))
        second, counted = _taken(lambda problem=problem: counted_sets(problem))  # type: ignore[misc]  # the same
        times.append(second)
        searched = [
            tuple(i for i, where in enumerate(found.assign or ()) if where == LEFT)
            for found in searched_sets(problem, 3)
        ]
        same += bool(counted) and len(counted[0]) == 4 and searched == counted[: len(searched)]
    met = same == len(SEEDS) and max(times) <= LEAVE_S
    yield (
        f"  what to leave, four of {ITEMS} ({comb(ITEMS, 4):,} sets): {significant(median(times) * 1e3)} ms, "
        f"longest {significant(max(times) * 1e3)} ms; the same sets by the integer program in {same} of {len(SEEDS)}; "
        f"goal {LEAVE_S:g} s and the same: {verdict(met)}"
    )
