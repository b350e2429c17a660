"""Plans that move things: the fewest moves to make everything legal, and the lowest center of gravity."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from random import Random

import numpy as np

from loadcalc.plan.advice.descend import descend
from loadcalc.plan.advice.problem import LEFT, Assign, Problem
from loadcalc.plan.advice.solve import NOTHING, TIME_LIMIT_S, Found, Program

MOST_MOVES = 15
CLOSE_M = 1e-4  # a plan within this of the lowest center of gravity counts as it [m]
FIRST_LOOK_S, ONE_TRY_S, FREE_THINGS = 1.0, 0.4, 14  # found by trying, on invented loadouts of 60 things


def fewest_moves(problem: Problem, *, leaving: bool = False, time_limit_s: float = TIME_LIMIT_S) -> Found:
    """The fewest moves after which no known rating is exceeded and no rule broken.

    With `leaving`, first the fewest things left behind, then the fewest moves. Ties go to the least mass handled;
    a kilogram left behind counts as two that are moved.

    Parameters
    ----------
    problem : the loadout; leaving : whether things may be left behind; time_limit_s : [s].

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


def lowest(problem: Problem, *, most_moves: int | None = None, time_limit_s: float = TIME_LIMIT_S) -> Found:
    """The lowest center of gravity for at most so many moves, everything legal, nothing left behind.

    Parameters
    ----------
    problem : the loadout; most_moves : None for any number; time_limit_s : [s].

    Returns
    -------
    Found: cost and bound are heights of the center of gravity [m]; proven within a tenth of a millimeter.
    """
    if problem.over:
        return NOTHING
    deadline = time.monotonic() + time_limit_s
    program = Program(problem)
    best, bound_m, look_s = NOTHING, -np.inf, FIRST_LOOK_S
    while True:
        found = _search(problem, program, most_moves, min(look_s, deadline - time.monotonic()))
        if np.isfinite(found.bound):
            bound_m = max(bound_m, found.bound)
        if found.assign is None and found.proven:
            return found
        if found.assign is not None and not best.cost <= problem.height_m(found.assign):
            best = replace(found, cost=problem.height_m(found.assign))
        if best.assign is not None and not found.proven:
            until = min(deadline, time.monotonic() + 2.0 * look_s)
            nearer = _nearer(problem, best.assign, bound_m, most_moves, until)
            best = replace(best, assign=nearer, cost=problem.height_m(nearer))
        done = found.proven or best.cost - bound_m <= CLOSE_M
        if done or time.monotonic() >= deadline:
            break
        look_s *= 4.0
    if best.assign is None:
        return Found(assign=None, proven=False)
    assign = without_idle_moves(problem, best.assign)
    cost_m = problem.height_m(assign)
    return Found(assign=assign, proven=done, cost=cost_m, bound=min(bound_m, cost_m))


def _search(problem: Problem, program: Program, most_moves: int | None, time_limit_s: float) -> Found:
    """The solver's own search; costs are heights [m]."""
    total_kg = problem.report.mass_kg
    return program.solve(
        program.costs(height=1.0 / total_kg),
        most_moves=most_moves,
        offset=problem.base_up / total_kg,
        gap=0.9 * CLOSE_M / problem.report.cg.up_m,
        time_limit_s=time_limit_s,
    )


def _nearer(
    problem: Problem, assign: Assign, bound_m: float, most_moves: int | None, deadline: float
) -> Assign:
    """The plan brought as near to the bound as time allows.

    The solver's bound is good from the start; a plan that comes near it takes it long. So most things are held where
    they are and the solver arranges a few anew, again and again, always others; between, plain exchanges.
    """
    chance = Random(len(problem.things))  # the same things in the same order each time
    best = descend(problem, assign, most_moves=most_moves)
    things = range(len(best))
    while problem.height_m(best) - bound_m > CLOSE_M and (left_s := deadline - time.monotonic()) > 0:
        free = set(chance.sample(things, min(FREE_THINGS, len(best))))
        program = Program(problem, held={i: where for i, where in enumerate(best) if i not in free})
        tried = _search(problem, program, most_moves, min(left_s, ONE_TRY_S))
        if tried.assign is not None:
            lower = descend(problem, tried.assign, most_moves=most_moves)
            best = min(best, lower, key=problem.height_m)
        if len(free) == len(best):
            break
    return best


def without_idle_moves(problem: Problem, assign: Assign) -> Assign:
    """The same plan without the moves that win nothing: what can go back where it was, goes back."""
    kept = list(assign)
    for thing in sorted(moved(problem, assign), key=lambda i: problem.things[i].mass_kg):
        back = [*kept[:thing], int(problem.now[thing]), *kept[thing + 1 :]]
        no_higher = problem.height_m(tuple(back)) <= problem.height_m(tuple(kept)) + 1e-9
        if no_higher and problem.allowed(tuple(back)):
            kept = back
    return tuple(kept)


def moved(problem: Problem, assign: Assign) -> tuple[int, ...]:
    """The things that a plan puts into another zone."""
    return tuple(
        i for i, (was, now) in enumerate(zip(problem.stay, assign, strict=True)) if now not in (was, LEFT)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """One point of the curve: at most `moves` moves, and what they can do."""

    moves: int
    found: Found


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
    tuple: one Point for each number of moves, from 0 up; no `assign` where nothing is legal with so few.
    """
    points: dict[int, Found] = {}
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
            found = Found(assign=earlier.assign, proven=found.proven or close, cost=earlier.cost, bound=bound)
        best.append(Point(moves=number, found=found))
    return tuple(best)


def _downward(problem: Problem, most_moves: int, time_limit_s: float) -> Iterator[tuple[int, Found]]:
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
