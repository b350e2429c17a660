"""The integer program with things in fractions: a bound that no plan can beat, and what each place costs beyond it.

Where only masses are short, the bound is nearly reached: every full zone is worth the same to every kilogram. What is
left to do is to fill the zones without gaps.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from loadcalc.plan.advice.solve import Program

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

WHOLE = 1.0 - 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Relaxed:
    """The best that fractions can do.

    cost : no choice of places costs less. whole : (N,) the zone of each thing that is in one place, -9 for the others.
    extra : (N, Z + 1) a choice that puts a thing there costs at least this more than `cost`; inf where it may not be.
    """

    cost: float
    whole: NDArray[np.int64]
    extra: Floats


def relaxed(program: Program, cost: Floats, cuts: tuple[tuple[Floats, float], ...] = ()) -> Relaxed | None:
    """Solve the program in fractions.

    Parameters
    ----------
    program : its soft rows may not be exceeded here. cost : of each column.
    cuts : pairs (weights of the columns, the most their sum may be).

    Returns
    -------
    Relaxed, or None when even fractions of things fit nowhere.
    """
    from scipy.optimize import linprog

    problem = program.problem
    if program.stuck:
        return None
    if not problem.things:  # nothing to decide: the solver refuses a program without columns
        return Relaxed(cost=0.0, whole=np.zeros(0, dtype=int), extra=np.zeros(problem.may.shape))
    one_place, things = program.one_place(), len(problem.things)
    _, rows, room = program.rows()
    limits = np.vstack([rows, *(weights for weights, _ in cuts)])
    most = np.concatenate([room, [most for _, most in cuts]])
    result = linprog(
        cost, A_ub=limits, b_ub=most, A_eq=one_place, b_eq=np.ones(things), bounds=(0.0, None), method="highs"
    )
    if result.x is None:
        return None
    extra = np.full(problem.may.shape, np.inf)
    prices = one_place.T @ result.eqlin.marginals + limits.T @ result.ineqlin.marginals
    extra[program.thing, program.place] = np.maximum(cost - prices, 0.0)
    whole = np.full(things, -9)
    sure = result.x > WHOLE
    whole[program.thing[sure]] = program.place[sure]
    return Relaxed(cost=float(result.fun), whole=whole, extra=extra)
