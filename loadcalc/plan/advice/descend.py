"""Bring the center of gravity down from a plan that is legal already: single moves, and swaps of two things.

It proves nothing. A solver's bound says how far the plan may still be from the best.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from loadcalc.plan.advice.problem import LEFT, Assign, Problem

Floats = NDArray[np.float64]
ENOUGH = 1e-7  # kg m: a smaller gain is rounding


class Slope:
    """Where things are, what every row then carries, and the exchanges that bring the center down from there.

    most_moves : how many things may be away from where they are now, None for any number.
    """

    def __init__(self, problem: Problem, assign: Assign, most_moves: int | None) -> None:
        self.things = np.arange(len(problem.things))
        self.where = np.array(assign, dtype=int)
        # a place that a thing may not have is as high as can be
        self.up = np.where(problem.may, problem.up, np.inf)[:, :LEFT]
        adds, most = problem.adds[:, :, :LEFT], problem.most
        moved = np.ones_like(problem.up[:, :LEFT])
        moved[self.things, problem.now] = 0.0
        limit = len(self.things) if most_moves is None else most_moves
        self.adds = np.concatenate([adds, moved[None]])
        self.most = np.concatenate([most, [limit + 0.5]])
        base = np.concatenate([problem.base, [0.0]])
        self.loads = base + self.adds[:, self.things, self.where].sum(axis=1)

    def step(self) -> bool:
        """Do the exchange that brings the center down most; returns whether there was one."""
        for look in (self._single, self._swap):
            found = look()
            if found is not None:
                things, places = found
                before = self.adds[:, things, self.where[things]].sum(axis=1)
                self.loads += self.adds[:, things, places].sum(axis=1) - before
                self.where[things] = places
                return True
        return False

    def _best(self, gain: Floats, delta: Floats) -> int | None:
        """The largest gain among the exchanges after which every row still holds."""
        able = np.flatnonzero(gain > ENOUGH)
        holds = (delta[:, able] <= (self.most - self.loads)[:, None]).all(axis=0)
        good = able[holds]
        return int(good[np.argmax(gain[good])]) if len(good) else None

    def _single(self) -> tuple[NDArray[np.int64], NDArray[np.int64]] | None:
        gain = self.up[self.things, self.where][:, None] - self.up
        delta = self.adds - self.adds[:, self.things, self.where][:, :, None]
        best = self._best(gain.ravel(), delta.reshape(len(delta), -1))
        if best is None:
            return None
        thing, place = divmod(best, self.up.shape[1])
        return np.array([thing]), np.array([place])

    def _swap(self) -> tuple[NDArray[np.int64], NDArray[np.int64]] | None:
        here = self.adds[:, self.things, self.where]
        up = (
            self.up[self.things, self.where][:, None] - self.up[:, self.where]
        )  # thing i in the place of thing j
        first, second = np.triu_indices(len(self.things), 1)
        gain = up[first, second] + up[second, first]
        able = np.flatnonzero(gain > ENOUGH)
        first, second, gain = first[able], second[able], gain[able]
        there = self.adds[:, first, self.where[second]] + self.adds[:, second, self.where[first]]
        best = self._best(gain, there - here[:, first] - here[:, second])
        if best is None:
            return None
        things = np.array([first[best], second[best]])
        return things, self.where[things[::-1]]


def descend(
    problem: Problem, assign: Assign, *, most_moves: int | None = None, most_steps: int = 200
) -> Assign:
    """A plan no higher than this one, by exchanges that each keep everything legal.

    Parameters
    ----------
    problem : the loadout; assign : a legal plan that leaves nothing behind.
    most_moves : things that may be away from where they are now; most_steps : exchanges at most.
    """
    slope = Slope(problem, assign, most_moves)
    for _ in range(most_steps):
        if not slope.step():
            break
    lower = tuple(int(place) for place in slope.where)
    return lower if problem.allowed(lower) else assign
