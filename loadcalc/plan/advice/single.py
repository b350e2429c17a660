"""Single moves, ranked by what they win for the effort. All moves are judged at once.

The effort is the mass lifted and a fixed worth of one handling. For each kilogram alone the ranking would say nothing:
what a move does to a moment, for each kilogram moved, depends on the two zones only.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loadcalc.plan.advice.problem import LEFT, Assign, Problem

ENOUGH = 1e-9  # a gain below this is rounding


@dataclass(frozen=True, slots=True, kw_only=True)
class SingleMove:
    """One move and what it wins.

    thing : index; assign : where everything is after it.
    relief : how much less the ratings are over, each relative to its limit, all together [-]; a rule mended counts 1.
    lower_m : how much lower the center of gravity gets [m]. per_effort : gain for each kilogram of effort,
    which is the mass lifted plus the worth of a handling.
    """

    thing: int
    assign: Assign
    relief: float
    lower_m: float
    per_effort: float


def trouble(problem: Problem, loads: NDArray[np.float64]) -> NDArray[np.float64]:
    """What the ratings are over, each by its worst row and relative to its limit, summed: of (R, ...) loads, (...)."""
    scale = np.array([row.scale for row in problem.rows])
    keys = [row.key for row in problem.rows]
    once = list(dict.fromkeys(keys))
    shape = (-1,) + (1,) * (loads.ndim - 1)
    over = (loads - problem.most.reshape(shape)) / scale.reshape(shape)
    worst = np.zeros((len(once), *loads.shape[1:]))
    np.maximum.at(worst, [once.index(key) for key in keys], over)
    return worst.sum(axis=0)


def single_moves(problem: Problem, *, most: int = 8) -> tuple[SingleMove, ...]:
    """The moves of one thing that win most for their effort, best first.

    While a rating is over or a rule broken, the gain is the relief; then it is how far the center of gravity comes
    down. A move that makes any rating over which was not, or one that is over worse, is not among them.

    Parameters
    ----------
    problem : the loadout; most : how many.
    """
    things, zones = np.nonzero(problem.may[:, :LEFT])
    moves = zones != problem.now[things]
    things, zones = things[moves], zones[moves]
    if not len(things):
        return ()
    now = problem.loads(problem.stay)
    loads = now[:, None] + problem.adds[:, things, zones] - problem.adds[:, things, problem.now[things]]
    worse = (loads > problem.most[:, None]) & (loads > now[:, None] + ENOUGH)
    mended = np.isin(things, problem.misplaced)
    relief = trouble(problem, now) - trouble(problem, loads) + mended
    lower_m = (problem.up[things, problem.now[things]] - problem.up[things, zones]) / problem.report.mass_kg
    mass_kg = np.array([thing.mass_kg for thing in problem.things])[things]
    effort_kg = problem.rules.handling_kg + mass_kg
    gain = relief if in_trouble(problem) else lower_m
    per_effort = np.where(worse.any(axis=0) | (gain <= ENOUGH), -np.inf, gain / effort_kg)
    # ties go to what brings the center of gravity down more
    best = np.lexsort((-lower_m / effort_kg, -np.round(per_effort, 12)))
    return tuple(
        SingleMove(
            thing=int(things[move]),
            assign=_one(problem, int(things[move]), int(zones[move])),
            relief=float(relief[move]),
            lower_m=float(lower_m[move]),
            per_effort=float(per_effort[move]),
        )
        for move in best[:most]
        if np.isfinite(per_effort[move])
    )


def in_trouble(problem: Problem) -> bool:
    """Whether a rating is over or a rule broken as things are; those of rows that a move can change."""
    return bool(problem.broken(problem.stay) or problem.misplaced)


def _one(problem: Problem, thing: int, zone: int) -> Assign:
    return tuple(zone if i == thing else int(was) for i, was in enumerate(problem.now))
