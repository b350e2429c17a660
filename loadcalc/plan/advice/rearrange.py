"""Plans that move things: the fewest moves to be within ratings, and the lowest center for each number of moves."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from loadcalc.plan.advice.center import CLOSE_M, lowest, moved
from loadcalc.plan.advice.problem import Problem
from loadcalc.plan.advice.solve import NOTHING, TIME_LIMIT_S, Program, Solution

MOST_MOVES = 15


def fewest_moves(problem: Problem, *, leaving: bool = False, time_limit_s: float = TIME_LIMIT_S) -> Solution:
    """The fewest moves after which no known rating is exceeded and no rule broken.

    With `leaving`, first the fewest things left home, then the fewest moves. Ties go to the least mass handled;
    a kilogram left home counts as two that are moved.

    Parameters
    ----------
    problem : the loadout; leaving : whether things may be left home; time_limit_s : [s].

    Returns
    -------
    Found: cost is things left * (number of things + 1) + moves, and at most one half for the mass handled.
    """
    if problem.over:
        return NOTHING
    program = Program(problem, leaving=leaving)
    return program.solve(_in_order(problem, program), time_limit_s=time_limit_s)


def _in_order(problem: Problem, program: Program) -> np.ndarray:
    """Things left, then moves, then kilograms: each weighs more than all that come after it together."""
    total_kg = sum(thing.mass_kg for thing in problem.things) or 1.0
    return program.costs(
        move=1.0, leave=len(problem.things) + 1.0, kg_moved=0.25 / total_kg, kg_left=0.5 / total_kg
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """One point of the curve: at most `moves` moves, and what they can do."""

    moves: int
    found: Solution


def curve(
    problem: Problem,
    *,
    most_moves: int = MOST_MOVES,
    time_limit_s: float = 3 * TIME_LIMIT_S,
    tell: Callable[[Point], None] = lambda point: None,
) -> tuple[Point, ...]:
    """The lowest center of gravity for 0, 1, 2 ... moves.

    Parameters
    ----------
    problem : the loadout; most_moves : the curve's end; time_limit_s : for the whole curve [s].
    tell : hears each point as soon as it is known.

    Returns
    -------
    tuple: one Point for each number of moves, from 0 up; no `assign` where nothing is within ratings with so few.
    """
    points: dict[int, Solution] = {}
    for number, found in _downward(problem, most_moves, time_limit_s):
        points[number] = found
        tell(Point(moves=number, found=found))
    best: list[Point] = []
    for number in range(most_moves + 1):
        found = points[number]
        earlier = best[-1].found if best else NOTHING
        if earlier.assign is not None and not earlier.cost > found.cost:
            # A plan of fewer moves that is no higher; the bound for more moves still is the one found for them.
            close = earlier.cost - found.bound <= CLOSE_M
            bound = min(found.bound, earlier.cost)
            found = Solution(assign=earlier.assign, proven=found.proven or close, cost=earlier.cost, bound=bound)
        best.append(Point(moves=number, found=found))
    return tuple(best)


def _downward(problem: Problem, most_moves: int, time_limit_s: float) -> Iterator[tuple[int, Solution]]:
    """From many moves to few: a plan that used fewer than it might answers the numbers between, too."""
    deadline = time.monotonic() + time_limit_s
    number = most_moves
    while number >= 0:
        left_s = max(deadline - time.monotonic(), 0.05) / (number + 1) * 2
        found = lowest(problem, most_moves=number, time_limit_s=left_s)
        if found.assign is None:
            # With still fewer moves there is nothing either, or it is as little known.
            for fewer in range(number, -1, -1):
                yield fewer, found
            return
        used = len(moved(problem, found.assign))
        for same in range(number, used - 1, -1):
            yield same, found
        number = used - 1
