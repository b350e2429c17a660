"""What to leave home when nothing else is to change: the fewest things, and the least mass.

Up to four things every set there is gets counted, so the answer is exact and needs no solver. The integer program
gives the same sets one by one, and goes on where more than four things must stay.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from loadcalc.plan.advice.problem import LEFT, Assign, Problem
from loadcalc.plan.advice.solve import NOTHING, TIME_LIMIT_S, Program, Solution

MOST_COUNTED = 4
MOST_SETS = 5

Floats = NDArray[np.float64]
Sets = NDArray[np.int64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Leave:
    """What to leave home.

    fewest : sets of as few things as possible, lightest first; least_mass : the set that weighs least.
    counted : True when all sets were counted through, False when the integer program searched.
    """

    fewest: tuple[Solution, ...]
    least_mass: Solution
    counted: bool


def what_to_leave(problem: Problem, *, time_limit_s: float = TIME_LIMIT_S) -> Leave:
    """The smallest sets of things to leave home, with everything else staying where it is.

    Parameters
    ----------
    problem : the loadout; time_limit_s : for each search [s].

    Returns
    -------
    Leave: both answers, for they differ; `fewest` is empty when nothing that may be left brings it within ratings.
    """
    least = least_mass(problem, time_limit_s=time_limit_s)
    if least.assign is None and least.proven:
        return Leave(fewest=(), least_mass=least, counted=False)
    sets = counted_sets(problem)
    if sets:
        found = tuple(_found(problem, left) for left in sets[:MOST_SETS])
        return Leave(fewest=found, least_mass=least, counted=True)
    searched = searched_sets(problem, MOST_SETS, time_limit_s=time_limit_s)
    return Leave(fewest=searched, least_mass=least, counted=False)


def _found(problem: Problem, left: tuple[int, ...]) -> Solution:
    return Solution(assign=left_home(problem, left), proven=True, cost=float(len(left)), bound=float(len(left)))


def left_home(problem: Problem, left: tuple[int, ...]) -> Assign:
    """Everything where it is, but these things left home."""
    return tuple(LEFT if i in left else zone for i, zone in enumerate(problem.stay))


def left_mass_kg(problem: Problem, assign: Assign) -> float:
    """Mass that a plan leaves home [kg]."""
    return sum(thing.mass_kg for thing, where in zip(problem.things, assign, strict=True) if where == LEFT)


def least_mass(problem: Problem, *, time_limit_s: float = TIME_LIMIT_S) -> Solution:
    """The set of least mass to leave home; cost and bound are kilograms.

    Parameters
    ----------
    problem : the loadout; time_limit_s : [s].
    """
    if problem.over:
        return NOTHING
    program = Program(problem, moves=False, leaving=True)
    # a thousandth of a gram for each thing: of two sets as heavy, the one of fewer things
    return program.solve(program.costs(leave=1e-6, kg_left=1.0), time_limit_s=time_limit_s)


def searched_sets(
    problem: Problem, how_many: int, *, time_limit_s: float = TIME_LIMIT_S
) -> tuple[Solution, ...]:
    """The sets of fewest things, lightest first, one by one by the integer program with a cut for each one found.

    Parameters
    ----------
    problem : the loadout; how_many : sets at most; time_limit_s : for each [s].
    """
    if problem.over:
        return ()
    program = Program(problem, moves=False, leaving=True)
    fewest = program.solve(program.costs(leave=1.0), time_limit_s=time_limit_s)
    if fewest.assign is None:
        return ()
    # How many, then how heavy, as two searches: in one the mass would be a tie-break finer than a solver sees.
    cuts = [(program.left.astype(float), float(fewest.assign.count(LEFT)))]
    found: list[Solution] = []
    for _ in range(how_many):
        result = program.solve(program.costs(kg_left=1.0), cuts=tuple(cuts), time_limit_s=time_limit_s)
        if result.assign is None:
            break
        found.append(replace(result, proven=result.proven and fewest.proven))
        cuts.append(program.not_again(program.columns_of(result.assign)))
    return tuple(found)


def counted_sets(problem: Problem, *, most: int = MOST_COUNTED) -> list[tuple[int, ...]]:
    """Every set of fewest things that brings it within ratings when left home, lightest first; all are counted.

    Parameters
    ----------
    problem : the loadout; most : things in a set at most.

    Returns
    -------
    list: sets of indexes of things, all of the same size; empty when no set of at most `most` does.
    """
    forced = problem.misplaced  # what must not stay where it is has to be left, when nothing moves
    if problem.over or any(problem.things[i].must_come for i in forced):
        return []
    stay = np.arange(len(problem.things))
    takes = problem.adds[:, stay, problem.now]
    need = problem.loads(problem.stay) - problem.most - takes[:, list(forced)].sum(axis=1)
    free = np.array([i for i in stay if problem.may[i, LEFT] and i not in forced], dtype=int)
    for size in range(most - len(forced) + 1):
        rows = _sets_of(size, takes[:, free], need)
        if len(rows):
            sets = [tuple(sorted((*forced, *(int(free[i]) for i in row)))) for row in rows]
            return sorted(sets, key=lambda left: sum(problem.things[i].mass_kg for i in left))
    return []


def _sets_of(size: int, takes: Floats, need: Floats) -> Sets:
    """Every set of `size` columns whose sum reaches `need` in every row: (sets, size) indexes.

    The hardest row is summed for all sets; the others only for the few that pass it.
    """
    number = takes.shape[1]
    if size == 0:
        return np.zeros((int((need <= 0).all()), 0), dtype=int)
    if size > number:
        return np.zeros((0, size), dtype=int)
    hardest = int(np.argmax(need / np.maximum(np.abs(takes).sum(axis=1), 1e-300))) if len(need) else 0
    row = takes[hardest]
    shorter = _all_sets(size - 1, number)
    sums = row[shorter].sum(axis=1)
    first = shorter[:, 0] if size > 1 else np.zeros(1)
    passed = []
    for column in range(number - size + 1):
        start = (
            int(np.searchsorted(first, column + 1)) if size > 1 else 0
        )  # sets are in order of their first column
        good = np.flatnonzero(sums[start:] + row[column] >= need[hardest]) + start
        if len(good):
            passed.append(np.column_stack([np.full(len(good), column), shorter[good]]))
    if not passed:
        return np.zeros((0, size), dtype=int)
    sets = np.vstack(passed)
    total = takes[:, sets[:, 0]].copy()
    for place in range(1, size):
        total += takes[:, sets[:, place]]
    return sets[(total >= need[:, None]).all(axis=0)]


def _all_sets(size: int, number: int) -> Sets:
    """All sets of `size` out of `number`, in order, one a row."""
    sets = np.zeros((1, 0), dtype=int)
    for _ in range(size):
        first = sets[:, 0] if sets.shape[1] else np.full(1, number)
        starts = (
            np.searchsorted(first, np.arange(number), side="right")
            if sets.shape[1]
            else np.zeros(number, int)
        )
        parts = [
            np.column_stack([np.full(len(sets) - start, column), sets[start:]])
            for column, start in zip(range(number), starts, strict=True)
        ]
        sets = np.vstack(parts) if parts else np.zeros((0, sets.shape[1] + 1), dtype=int)
    return sets
