"""Advice: how long the searches take and how close to the best they come, on invented loadouts from seeds.

Processor time, as everywhere here; only a limit given to a search is time on the wall.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from math import comb, isfinite
from statistics import median
from typing import TypeVar

from loadcalc.model import Loadout, Vehicle
from loadcalc.plan.advice.allowed import AdviceRules
from loadcalc.plan.advice.center import CLOSE_M, lowest
from loadcalc.plan.advice.leave import counted_sets, searched_sets
from loadcalc.plan.advice.problem import LEFT, Problem
from loadcalc.plan.advice.rearrange import curve, fewest_moves
from loadcalc.plan.advice.single import single_moves
from tests.advice_cases import allowing, leave_case, loose_case
from tests.advice_crew import crew_case
from tests.bench.timing import in_turns, significant, spread, verdict

ITEMS, ZONES, SEEDS = 60, 12, range(5)
CENTER_S, LEAVE_S = 2.0, 0.2
LONG_S, TIGHT_S = 15.0, 5.0
T = TypeVar("T")


def lines() -> Iterator[str]:
    """The part's lines of text."""
    yield f"\nAdvice: {ITEMS} items, {ZONES} zones, {len(SEEDS)} invented loadouts of each kind; processor seconds"
    ordinary = [_open(loose_case(seed, ITEMS, ZONES)) for seed in SEEDS]
    yield "  ordinary: zone limits twice the load or so; and the demo's vehicle and zones, half of the room taken"
    yield from _center([*ordinary, *(_open(crew_case(seed, 0.5, ITEMS)) for seed in SEEDS)])
    yield "  tight: zone limits 0.8 times that; and the demo's, three quarters of the room taken"
    squeezed = (_open(loose_case(seed, ITEMS, ZONES, squeeze=0.8)) for seed in SEEDS)
    yield from _tight([*squeezed, *(_open(crew_case(seed, 0.75, ITEMS)) for seed in SEEDS)])
    yield from _other(ordinary)
    yield from _leave()


def _open(case: tuple[Vehicle, Loadout]) -> Problem:
    """A case whose every rating without a limit may be added to: the more ways there are, the longer a search takes."""
    return Problem(*case, allowing(AdviceRules(), *case))


def _taken(call: Callable[[], T]) -> tuple[float, T]:
    start = time.process_time()
    found = call()
    return time.process_time() - start, found


def _center(problems: list[Problem]) -> Iterator[str]:
    """The plan after two seconds on the wall, held against the best that a longer search finds."""
    near = proven = 0
    over_mm, gaps_mm, times = [], [], []
    for problem in problems:
        start = time.monotonic()
        soon = lowest(problem, time_limit_s=CENTER_S)
        times.append(time.monotonic() - start)
        late = soon if soon.proven else lowest(problem, time_limit_s=LONG_S)
        over_mm.append(max(soon.cost - late.cost, 0.0) * 1e3)
        gaps_mm.append((soon.cost - max(soon.bound, late.bound)) * 1e3)
        near += over_mm[-1] <= CLOSE_M * 1e3
        proven += soon.proven
    yield (
        f"  lowest center, ordinary: after {CENTER_S:g} s {near} of {len(problems)} within 0.1 mm of the best that "
        f"{LONG_S:g} s find, the worst {significant(max(over_mm), 2)} mm off; "
        f"goal all: {verdict(near == len(problems))}"
    )
    yield (
        f"  proven within 0.1 mm by then: {proven}; median {significant(median(times))} s; "
        f"the rest at most {significant(max(gaps_mm), 2)} mm above the bound"
    )


def _tight(problems: list[Problem]) -> Iterator[str]:
    gaps = []
    for problem in problems:
        found = lowest(problem, time_limit_s=TIGHT_S)
        gap_mm = (found.cost - found.bound) * 1000.0
        none = "none, proven" if found.proven else "none found"
        gaps.append(
            none if found.assign is None else significant(gap_mm, 2) if isfinite(gap_mm) else "not known"
        )
    yield f"  lowest center, tight, after {TIGHT_S:g} s: gap {', '.join(gaps)} mm (no goal)"


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
        problem = _open(leave_case(seed, ITEMS, ZONES))
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
