"""The lowest center of gravity: plans made from the relaxed program, dealt anew, and a proof that nothing is lower.

The proof is a question of its own: is there a plan a tenth of a millimeter lower than the best so far? Places that
cost more than that, by the relaxed program, drop out, and a solver answers no far sooner than it finds the best.
"""

from __future__ import annotations

import math
import time
from typing import TYPE_CHECKING

import numpy as np

from loadcalc.plan.advice.problem import LEFT, Assign, Problem
from loadcalc.plan.advice.redeal import Redeal, redealt
from loadcalc.plan.advice.relax import Relaxed, relaxed
from loadcalc.plan.advice.solve import NOTHING, TIME_LIMIT_S, Program, Solution

if TYPE_CHECKING:
    from numpy.typing import NDArray

CLOSE_M = 1e-4  # a plan within this of the lowest center of gravity counts as it [m]
# Found by trying, on invented loadouts of 60 things in 12 zones.
LOOK_S, DIRECT_S, FEW_MOVES_S = 0.5, 1.0, 2.0  # of looking for plans first, then of the solver's own search
SPELL_S, LEAST_S = 0.4, 0.05  # of proving, twice as long each time; what is too short to ask anything
ONE_START_S = 0.5  # the solver's time for one plan near the relaxed one
FREED = 8  # things in one place that a start frees with the divided ones
NEAR_M = 0.002  # how near a start is to the best of its kind [m]
SHAKE_M, GIVE_M = 5e-5, 5e-5  # how far costs are shaken for another start; how far a stuck plan may rise


def lowest(problem: Problem, *, most_moves: int | None = None, time_limit_s: float = TIME_LIMIT_S) -> Solution:
    """The lowest center of gravity for at most so many moves, everything within ratings, nothing left home.

    Parameters
    ----------
    problem : the loadout; most_moves : None for any number; time_limit_s : [s].

    Returns
    -------
    Found: cost and bound are heights of the center of gravity [m]; proven within a tenth of a millimeter.
    """
    if problem.over:
        return NOTHING
    search = Search(problem, most_moves, time.monotonic() + time_limit_s)
    if most_moves is None:
        search.look(LOOK_S)
    search.ask_solver(DIRECT_S if most_moves is None else FEW_MOVES_S)
    spell_s = SPELL_S
    while not search.ended:
        search.look(math.sqrt(spell_s))
        search.prove(spell_s)
        spell_s *= 2.0
    return search.found()


class Search:
    """The best plan so far, and the bound. Moments of height [kg m] inside, since the mass stays the same."""

    def __init__(self, problem: Problem, most_moves: int | None, deadline: float) -> None:
        self.problem, self.most_moves, self.deadline = problem, most_moves, deadline
        self.program = Program(problem)
        self.cost = self.program.costs(height=1.0)
        self.cuts: tuple[tuple[NDArray[np.float64], float], ...] = ()
        if most_moves is not None:
            self.cuts = ((self.program.moved.astype(float), float(most_moves)),)
        self.close_up = CLOSE_M * problem.report.mass_kg
        self.best: Assign | None = None
        self.best_up = np.inf
        self.fresh = False  # the best came from the solver, and was not dealt anew
        self.chance = np.random.default_rng(len(problem.things))  # the same each time
        self.relaxed = relaxed(self.program, self.cost, self.cuts)
        self.none = self.relaxed is None
        self.bound_up = problem.base_up + (self.relaxed.cost if self.relaxed else 0.0)

    @property
    def close(self) -> bool:
        """Whether nothing can be more than a tenth of a millimeter lower."""
        return self.best_up - self.bound_up <= self.close_up * (1.0 + 1e-9)

    @property
    def ended(self) -> bool:
        """Whether it is proven, there is nothing, or time is up."""
        return self.none or self.close or time.monotonic() >= self.deadline

    def look(self, spell_s: float) -> None:
        """Make plans and deal them anew, for so long, or until none can be made this way."""
        until = min(self.deadline, time.monotonic() + spell_s)
        relax = self.relaxed
        while relax is not None and not self.close and time.monotonic() < until:
            start = self.best if self.fresh else self._start(relax, until)
            self.fresh = False
            if start is None:
                return
            self._deal(start, until)
            relax = self._shaken()

    def _shaken(self) -> Relaxed | None:
        """The relaxed program with costs a little off: many plans in fractions are as low, and this finds another."""
        shake_up = SHAKE_M * self.problem.report.mass_kg
        return relaxed(
            self.program, self.cost + shake_up * self.chance.exponential(size=len(self.cost)), self.cuts
        )

    def _start(self, relax: Relaxed, until: float) -> Assign | None:
        """An allowed plan near the relaxed one: few things are divided there, so the solver only has to place these.

        Where that can't be done, some whole ones are freed as well, and then more.
        """
        whole = np.flatnonzero(relax.whole >= 0)
        self.chance.shuffle(whole)
        freed = FREED
        while freed < len(whole) and (left_s := until - time.monotonic()) > 0:
            held = whole[freed:]
            among = self.problem.may.copy()
            among[held] = False
            among[held, relax.whole[held]] = True
            found = self._solve(among, gap_m=NEAR_M, time_limit_s=min(left_s, ONE_START_S))
            if found.assign is not None:
                return found.assign
            freed *= 2
        return None

    def _solve(
        self,
        among: NDArray[np.bool_],
        *,
        gap_m: float,
        time_limit_s: float,
        below_up: float | None = None,
    ) -> Solution:
        """The solver's own search among some places, to a gap in height [m], only for plans below a moment [kg m]."""
        problem, program = self.problem, Program(self.problem, among=among)
        cost, cuts = program.costs(height=1.0), []
        if self.most_moves is not None:
            cuts.append((program.moved.astype(float), float(self.most_moves)))
        if below_up is not None:
            cuts.append((cost, below_up - problem.base_up))
        return program.solve(
            cost,
            offset=problem.base_up,
            gap=gap_m / problem.report.cg.up_m,
            cuts=tuple(cuts),
            time_limit_s=time_limit_s,
        )

    def _deal(self, start: Assign, until: float) -> None:
        assert self.relaxed is not None
        redeal = Redeal(
            self.problem,
            start,
            extra=self.relaxed.extra,
            bound_up=self.bound_up,
            most_moves=self.most_moves,
            chance=self.chance,
        )
        give = GIVE_M * self.problem.report.mass_kg
        self._take(redealt(redeal, wanted_up=self.bound_up + self.close_up, give=give, until=until))

    def _take(self, assign: Assign) -> bool:
        """Keep a plan if it is lower than the best, and the exact sums allow it."""
        up = self.problem.up_kgm(assign)
        better = up < self.best_up and self.problem.allowed(assign)
        if better:
            self.best, self.best_up = assign, up
        return better

    def ask_solver(self, spell_s: float) -> None:
        """The solver's own search, for so long; its bound is better than the relaxed one's."""
        if self.ended:
            return
        among = self.problem.may if self.best is None else self._cheap(self.best_up)
        left_s = max(min(spell_s, self.deadline - time.monotonic()), LEAST_S)
        found = self._solve(among, gap_m=0.9 * CLOSE_M, time_limit_s=left_s)
        if found.assign is None:
            self.none = self.best is None and found.proven
            self.bound_up = self.best_up if found.proven else self.bound_up  # what it has is the lowest
            return
        self.fresh = self._take(found.assign)
        if np.isfinite(found.bound):
            self.bound_up = max(self.bound_up, min(found.bound, self.best_up))

    def prove(self, spell_s: float) -> None:
        """Ask whether there is a plan lower than the best by more than what counts, for so long.

        Where that takes too long, ask for one that is far lower: that there is none is soon said, and raises the bound.
        """
        if self.best is None:
            self.ask_solver(spell_s)
            return
        until = min(self.deadline, time.monotonic() + spell_s)
        share = 1.0
        while not self.close and (left_s := until - time.monotonic()) > LEAST_S:
            below_up = self.bound_up + share * (self.best_up - self.close_up - self.bound_up)
            found = self._solve(
                self._cheap(below_up), gap_m=0.9 * CLOSE_M, time_limit_s=0.7 * left_s, below_up=below_up
            )
            if found.assign is not None:
                self.fresh = self._take(found.assign)
                return
            if found.proven:
                self.bound_up = below_up
            else:
                share /= 2.0

    def _cheap(self, up: float) -> NDArray[np.bool_]:
        """The places that a plan below this may use: the relaxed program says what each costs at least."""
        assert self.relaxed is not None
        return np.asarray(self.relaxed.extra <= up - self.problem.base_up - self.relaxed.cost)

    def found(self) -> Solution:
        """What it has come to, in meters."""
        if self.best is None:
            return Solution(assign=None, proven=self.none)
        assign = without_idle_moves(self.problem, self.best)
        cost_m, bound_m = self.problem.height_m(assign), self.bound_up / self.problem.report.mass_kg
        return Solution(assign=assign, proven=self.close, cost=cost_m, bound=min(bound_m, cost_m))


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
