"""Plans that move things: the fewest moves to be within ratings, and the lowest center for each number of moves."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from loadcalc.plan.advice.problem import LEFT, Assign, Problem
from loadcalc.plan.advice.solve import NOTHING, TIME_LIMIT_S, Program, Solution, near, without_idle

MOST_MOVES = 15
CLOSE_M = 1e-3  # what is this near to the lowest center counts as it: the empty vehicle's is no better known [m]


def fewest_moves(problem: Problem, *, leaving: bool = False, time_limit_s: float = TIME_LIMIT_S) -> Solution:
    """The fewest moves after which no known rating is exceeded and no rule broken.

    With `leaving`, first the fewest things left home, then the fewest moves. Ties go to the least mass handled;
    a kilogram left home counts as two that are moved.

    Parameters
    ----------
    problem : the loadout; leaving : whether things may be left home; time_limit_s : [s].

    Returns
    -------
    Solution: cost is things left * (number of things + 1) + moves, and at most one half for the mass handled.
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


def lowest(problem: Problem, *, most_moves: int | None = None, time_limit_s: float = TIME_LIMIT_S) -> Solution:
    """The lowest center of gravity for at most so many moves, everything within ratings, nothing left home.

    Parameters
    ----------
    problem : the loadout; most_moves : None for any number; time_limit_s : [s].

    Returns
    -------
    Solution: cost and bound are heights of the center of gravity [m]; proven when they are within a millimeter.
    """
    if problem.over:
        return NOTHING
    program = Program(problem)
    # the solver's gap is a part of the moment it ends at, which is no larger than with each thing where it is highest
    highest = problem.base_up + float(np.where(problem.may, problem.up, 0.0).max(axis=1, initial=0.0).sum())
    found = program.solve(
        program.costs(height=1.0),
        most_moves=most_moves,
        offset=problem.base_up,
        gap=CLOSE_M * problem.report.mass_kg / highest,
        time_limit_s=time_limit_s,
    )
    if found.assign is None:
        return Solution(assign=None, proven=found.proven)
    assign = without_idle(problem, found.assign, Problem.height_m)
    return near(assign, problem.height_m(assign), found.bound / problem.report.mass_kg, CLOSE_M)


def moved(problem: Problem, assign: Assign) -> tuple[int, ...]:
    """The things that a plan puts into another zone."""
    return tuple(
        i for i, (was, now) in enumerate(zip(problem.stay, assign, strict=True)) if now not in (was, LEFT)
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

    The last is searched first. Where it has no plan, none has; and numbers of moves between it and a plan that is as
    low need no search.

    Parameters
    ----------
    problem : the loadout; most_moves : the curve's end; time_limit_s : for the whole curve [s].
    tell : hears each point as soon as it is known, in order.

    Returns
    -------
    tuple: one Point for each number of moves, from 0 up; no `assign` where nothing is within ratings with so few.
    """
    deadline = time.monotonic() + time_limit_s
    last = lowest(problem, most_moves=most_moves, time_limit_s=time_limit_s / 4)
    points: list[Point] = []
    best = NOTHING
    for number in range(most_moves + 1):
        found = last
        if best.cost - last.bound <= CLOSE_M:
            found = replace(best, bound=last.bound)
        elif number < most_moves and not (last.proven and last.assign is None):
            left_s = max((deadline - time.monotonic()) / (most_moves - number), 0.05)
            found = lowest(problem, most_moves=number, time_limit_s=left_s)
        if best.assign is None or found.cost < best.cost:
            best = found
        else:  # a plan of fewer moves that is no higher; the bound is the one for so many
            best = near(best.assign, best.cost, found.bound, CLOSE_M)
        points.append(Point(moves=number, found=best))
        tell(points[-1])
    return tuple(points)
