"""What to leave home when nothing else is to change: the fewest things, and the least mass."""

from __future__ import annotations

from dataclasses import dataclass, replace

from loadcalc.plan.advice.problem import LEFT, Assign, Problem
from loadcalc.plan.advice.solve import NOTHING, TIME_LIMIT_S, Program, Solution, near, without_idle

MOST_SETS = 5
CLOSE_KG = 0.05  # what is this near to the least mass counts as it: half of a tenth of a kilogram, the last digit shown


@dataclass(frozen=True, slots=True, kw_only=True)
class Leave:
    """What to leave home.

    fewest : sets of as few things as possible, lightest first; least_mass : the set that weighs least.
    """

    fewest: tuple[Solution, ...]
    least_mass: Solution


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
        return Leave(fewest=(), least_mass=least)
    return Leave(fewest=fewest_things(problem, time_limit_s=time_limit_s), least_mass=least)


def left_mass_kg(problem: Problem, assign: Assign) -> float:
    """Mass that a plan leaves home [kg]."""
    return sum(thing.mass_kg for thing, where in zip(problem.things, assign, strict=True) if where == LEFT)


def least_mass(problem: Problem, *, time_limit_s: float = TIME_LIMIT_S) -> Solution:
    """The set of least mass to leave home, within 50 g; cost and bound are kilograms.

    Parameters
    ----------
    problem : the loadout; time_limit_s : [s].
    """
    if problem.over:
        return NOTHING
    program = Program(problem, moves=False, leaving=True)
    # the solver's gap is a part of what it ends at: the mass aboard, and what is left, which is no more than that
    whole_kg = problem.report.mass_kg
    found = program.solve(
        program.costs(kg_left=1.0), offset=whole_kg, gap=CLOSE_KG / (2.0 * whole_kg), time_limit_s=time_limit_s
    )
    if found.assign is None:
        return Solution(assign=None, proven=found.proven)
    assign = without_idle(problem, found.assign, left_mass_kg)
    return near(assign, left_mass_kg(problem, assign), found.bound - whole_kg, CLOSE_KG)


def fewest_things(
    problem: Problem, how_many: int = MOST_SETS, *, time_limit_s: float = TIME_LIMIT_S
) -> tuple[Solution, ...]:
    """The sets of fewest things, lightest first, one by one with a cut for each one found.

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
