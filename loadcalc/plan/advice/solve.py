"""The integer program: where each thing rides, as yes or no for each place it may have, solved by HiGHS.

Every answer is put into the exact sums again: a solver works to a millionth, a rating does not.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from loadcalc.plan.advice.problem import LEFT, SAME, Assign, Problem

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

TIME_LIMIT_S = 20.0
MOST_REPAIRS = 50  # answers that pass by the solver's tolerance and not by the exact sums


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """What a search found.

    assign : zone of each thing, LEFT for one left home; None when nothing was found.
    proven : True when nothing better exists (or, with no `assign`, when nothing exists at all).
    cost : of what was found; bound : no answer can cost less than this, nan when not known. Both may be known alone.
    """

    assign: Assign | None
    proven: bool
    cost: float = float("nan")
    bound: float = float("nan")


NOTHING = Solution(assign=None, proven=True)


def near(assign: Assign, cost: float, bound: float, close: float) -> Solution:
    """An answer that is proven when no other can cost less by more than `close`."""
    bound = min(bound, cost)
    return Solution(assign=assign, proven=cost - bound <= close + SAME, cost=cost, bound=bound)


def without_idle(problem: Problem, assign: Assign, cost: Callable[[Problem, Assign], float]) -> Assign:
    """The same choice without the changes that win nothing: what can go back where it was, goes back.

    problem : the loadout; assign : an allowed choice. cost : of a choice, which may not grow.
    """
    kept = assign
    changed = (i for i, now in enumerate(problem.stay) if assign[i] != now)
    for thing in sorted(changed, key=lambda i: problem.things[i].mass_kg):
        back = (*kept[:thing], problem.stay[thing], *kept[thing + 1 :])
        if cost(problem, back) <= cost(problem, kept) + SAME and problem.allowed(back):
            kept = back
    return kept


class Program:
    """The choices of one problem as columns, its rows as constraints.

    moves : things may change place; leaving : things may be left home.
    soft : rows, by index, that may be exceeded at a cost; all others are kept. Of a rating the worst row counts.
    without : rows that don't count at all.
    """

    def __init__(
        self,
        problem: Problem,
        *,
        moves: bool = True,
        leaving: bool = False,
        soft: frozenset[int] = frozenset(),
        without: frozenset[int] = frozenset(),
    ) -> None:
        self.problem = problem
        may = problem.may.copy()
        things = np.arange(len(problem.things))
        if not leaving:
            may[:, LEFT] = False
        if not moves:
            still = np.zeros_like(may)
            still[things, problem.now] = still[:, LEFT] = True
            may &= still
        self.stuck = not may.any(axis=1).all()
        self.thing, place = np.nonzero(may)
        self.place = np.where(place == len(problem.zones), LEFT, place)
        self.moved = (self.place != problem.now[self.thing]) & (self.place != LEFT)
        self.left = self.place == LEFT
        self.kept = [row for row in range(len(problem.rows)) if row not in without]
        self.soft = [row for row in self.kept if row in soft]
        self.checked = [row for row in self.kept if row not in soft]

    def costs(
        self,
        *,
        move: float = 0.0,
        leave: float = 0.0,
        kg_moved: float = 0.0,
        kg_left: float = 0.0,
        height: float = 0.0,
    ) -> Floats:
        """Cost of each column: for a move, for leaving home, for each kilogram of either, for each kg m up."""
        mass_kg = np.array([thing.mass_kg for thing in self.problem.things])[self.thing]
        up = self.problem.up[self.thing, self.place]
        return (
            (move + kg_moved * mass_kg) * self.moved + (leave + kg_left * mass_kg) * self.left + height * up
        )

    def solve(
        self,
        cost: Floats,
        *,
        most_moves: int | None = None,
        offset: float = 0.0,
        gap: float = 0.0,
        cuts: tuple[tuple[Floats, float], ...] = (),
        time_limit_s: float = TIME_LIMIT_S,
    ) -> Solution:
        """Find the cheapest choice of places.

        Parameters
        ----------
        cost : of each column, from `costs`. most_moves : things that may change place, None for any number.
        offset : added to every cost, so that `gap` is relative to something meant.
        gap : how far from the best it may stop, relative [-]; 0: the best itself.
        cuts : pairs (weights of the columns, the most their sum may be).
        time_limit_s : then the best so far is returned, not proven [s].
        """
        if self.stuck:
            return NOTHING
        deadline = time.monotonic() + time_limit_s
        own = list(cuts)
        if most_moves is not None:
            own.append((self.moved.astype(float), float(most_moves)))
        for _ in range(MOST_REPAIRS):
            result = self._milp(cost, offset, own, gap, max(deadline - time.monotonic(), 0.01))
            bound = float("nan") if result.mip_dual_bound is None else float(result.mip_dual_bound)
            if result.x is None:
                return Solution(assign=None, proven=result.status == 2, bound=bound)
            chosen = result.x[: len(self.thing)] > 0.5
            assign = self.assign(chosen)
            loads = self.problem.loads(assign)
            if all(loads[row] <= self.problem.most[row] for row in self.checked):
                proven = result.status == 0
                return Solution(assign=assign, proven=proven, cost=float(result.fun), bound=bound)
            own.append(self.not_again(chosen))
        return Solution(assign=None, proven=False)

    def assign(self, chosen: NDArray[np.bool_]) -> Assign:
        """The places that the chosen columns stand for."""
        places = np.full(len(self.problem.things), LEFT)
        places[self.thing[chosen]] = self.place[chosen]
        return tuple(int(place) for place in places)

    def columns_of(self, assign: Assign) -> NDArray[np.bool_]:
        """The columns that a choice of places stands for."""
        return np.array(assign)[self.thing] == self.place

    def not_again(self, chosen: NDArray[np.bool_]) -> tuple[Floats, float]:
        """A cut that excludes exactly this choice."""
        return chosen.astype(float), float(chosen.sum() - 1)

    def rows(self) -> tuple[list[int], Floats, Floats]:
        """The rows that can matter: which, what each column adds, and how much may be added.

        Each thing is somewhere, so what all its places have in common is counted once and for all: the gross rating
        of things that only move has nothing left to decide. What no choice can exceed is dropped.
        """
        problem = self.problem
        adds = problem.adds[:, self.thing, self.place]
        first = np.searchsorted(self.thing, np.arange(len(problem.things)))  # each thing's first column
        common = adds[:, first]
        adds = adds - common[:, self.thing]
        room = problem.most - problem.base - common.sum(axis=1)
        worst = np.maximum.reduceat(adds, first, axis=1).sum(axis=1) if len(first) else np.zeros(len(room))
        kept = [row for row in self.kept if row in self.soft or worst[row] > room[row]]
        return kept, adds[kept], room[kept]

    def one_place(self) -> Floats:
        """(N, columns): 1 for each column of a thing, which together are one."""
        table = np.zeros((len(self.problem.things), len(self.thing)))
        table[self.thing, np.arange(len(self.thing))] = 1.0
        return table

    def _milp(
        self, cost: Floats, offset: float, cuts: list[tuple[Floats, float]], gap: float, time_limit_s: float
    ) -> Any:
        from scipy.optimize import Bounds, LinearConstraint, milp
        from scipy.sparse import csr_array

        problem, columns = self.problem, len(self.thing)
        gives = list(dict.fromkeys(problem.rows[row].key for row in self.soft))
        soft = len(gives)
        kept, rows, room = self.rows()
        extra = np.array([weights for weights, _ in cuts]).reshape(len(cuts), columns)
        # a soft rating has a column that takes up what its rows are over, in their own scale; the last one is `offset`
        give = np.zeros((len(kept), soft))
        for row in self.soft:
            give[kept.index(row), gives.index(problem.rows[row].key)] = -problem.rows[row].scale
        matrix = np.zeros((len(problem.things) + len(rows) + len(cuts), columns + soft + 1))
        matrix[:, :columns] = np.vstack([self.one_place(), rows, extra])
        matrix[len(problem.things) : len(problem.things) + len(rows), columns : columns + soft] = give
        upper = np.concatenate([np.ones(len(problem.things)), room, [most for _, most in cuts]])
        lower = np.concatenate([np.ones(len(problem.things)), np.full(len(rows) + len(cuts), -np.inf)])
        wide = np.concatenate([cost, np.ones(soft), [offset]])
        kinds = np.concatenate([np.ones(columns), np.zeros(soft), [1]])  # a linear program would tell no bound
        most = np.concatenate([np.ones(columns), np.full(soft, np.inf), [1.0]])
        least = np.concatenate([np.zeros(columns + soft), [1.0]])
        return milp(
            wide,
            integrality=kinds,
            bounds=Bounds(least, most),
            constraints=LinearConstraint(csr_array(matrix), lower, upper),
            options={"mip_rel_gap": gap, "time_limit": time_limit_s, "disp": False},
        )
