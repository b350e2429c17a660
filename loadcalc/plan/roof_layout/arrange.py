"""Arrange the carrier: the first legal plan at once, better ones as they come, stop at any time.

"Proven best" is said only when the solver has proven it, for these rules, on this grid. When nothing fits, the
reason is looked for: which thing is too large, whether the area is too small, which rule stands in the way.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from threading import Event
from typing import TYPE_CHECKING, Any

from loadcalc.model import check
from loadcalc.plan.roof_layout.footprint import overhang, overlap
from loadcalc.plan.roof_layout.layout_rules import DROPPABLE, RoofSpot, Task, broken, footprints, spread_m

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpSolver

CELL_M = 0.005
WORKERS = 2
TIME_S = 20.0  # how long better plans are looked for
WHY_S = 2.0  # how long each guess at the reason may take
ALL_WHY_S = 10.0  # how long all guesses together may take

BEST, STOPPED, TIME_UP, NOTHING_FITS, NOT_FOUND = "best", "stopped", "time up", "nothing fits", "not found"
TOO_LARGE, AREA, RULES, THINGS, TOGETHER = "too large", "area", "rules", "things", "together"


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrangement:
    """One legal arrangement.

    spots : where each thing lies, by its key; number : 1 for the first found; seconds : after the start [s].
    spread_m : how far the weight lies from where it gathers, on average along the vehicle [m].
    """

    spots: Mapping[str, RoofSpot]
    number: int
    seconds: float
    spread_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """Why nothing fits.

    kind : TOO_LARGE (names: things that fit neither way round), AREA (need_m2 of have_m2 [m2]), RULES (names:
        rules of which dropping any one lets it fit), THINGS (names: things of which leaving any one behind lets
        it fit), or TOGETHER (no single rule and no single thing is to blame).
    """

    kind: str
    names: tuple[str, ...] = ()
    need_m2: float = 0.0
    have_m2: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """How a search ended.

    end : BEST (proven, for these rules on this grid), STOPPED, TIME_UP, NOTHING_FITS (proven), NOT_FOUND (not proven).
    plan : the best one found, None when there is none; cause : why nothing fits, None when that was not found out.
    seconds : how long it took [s]; plans : how many were found, each better than the one before.
    """

    end: str
    plan: Arrangement | None
    cause: Cause | None
    seconds: float
    plans: int


class ArrangeSearch:
    """One search, to be run in a thread of its own and stopped from any other.

    task : what to arrange; cell_m : the grid [m]; time_s : how long to look for better plans [s].
    """

    def __init__(self, task: Task, *, cell_m: float = CELL_M, time_s: float = TIME_S) -> None:
        check.number("grid", cell_m, 1e-3, 0.1, "m")
        check.number("time", time_s, 0.01, 3600.0, "s")
        self.task = task
        self.cell_m = cell_m
        self.time_s = time_s
        self._stop = Event()
        self._guess_until, self._sure = 0.0, True
        self._solver: CpSolver | None = None

    def stop(self) -> None:
        """End the search soon; `run` returns with the best plan so far. May be called more than once."""
        self._stop.set()
        solver = self._solver
        if solver is not None:
            solver.stop_search()

    @property
    def stopped(self) -> bool:
        """Whether `stop` was called."""
        return self._stop.is_set()

    def run(self, on_plan: Callable[[Arrangement], None] | None = None) -> Outcome:
        """Search until the best plan is proven, the time is up, or `stop` is called.

        Parameters
        ----------
        on_plan : hears every plan, each better than the one before, in the thread that searches.

        Returns
        -------
        Outcome: with the best plan, or with the cause when nothing fits.
        """
        start = time.monotonic()
        found: list[Arrangement] = []

        def keep(spots: Mapping[str, RoofSpot]) -> None:
            if broken(self.task, spots):  # never seen; a plan that fails its check must not be shown
                return
            spread = spread_m(self.task, footprints(self.task, spots))
            found.append(
                Arrangement(spots=spots, number=len(found) + 1, seconds=time.monotonic() - start, spread_m=spread)
            )
            if on_plan is not None:
                on_plan(found[-1])

        end = self._solve(self.task, self.time_s, keep)
        cause = None
        if end in (NOTHING_FITS, NOT_FOUND):
            cause = self._cause()
        plan = found[-1] if found else None
        return Outcome(end=end, plan=plan, cause=cause, seconds=time.monotonic() - start, plans=len(found))

    def _solve(
        self, task: Task, time_s: float, keep: Callable[[Mapping[str, RoofSpot]], None], *, first: bool = False
    ) -> str:
        """Solve one program; `first` ends at the first plan. Returns how it ended."""
        from ortools.sat.python import cp_model

        from loadcalc.plan.roof_layout.solver_model import ArrangementModel

        if not task.movable:
            keep({})
            return BEST
        program = ArrangementModel(task, self.cell_m)
        if program.impossible:
            return NOTHING_FITS
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = WORKERS
        solver.parameters.max_time_in_seconds = time_s
        solver.parameters.stop_after_first_solution = first
        count = 0

        class Heard(cp_model.CpSolverSolutionCallback):
            """Hands every solution on."""

            def on_solution_callback(self) -> None:
                nonlocal count
                count += 1
                keep(program.spots(self.value))

        self._solver = solver
        try:
            status = NOT_FOUND if self.stopped else solver.solve(program.model, Heard())
        finally:
            self._solver = None
        return self._ended(cp_model, status, count)

    def _ended(self, cp_model: Any, status: Any, count: int) -> str:
        if status == cp_model.OPTIMAL:
            return BEST
        if status == cp_model.INFEASIBLE:
            return NOTHING_FITS
        if self.stopped:
            return STOPPED
        return TIME_UP if count else NOT_FOUND

    # Why nothing fits ---------------------------------------------------------------------------------------

    def _cause(self) -> Cause | None:
        """Look for the reason, the plainest first. None when it was stopped, or not proven within its time."""
        large = too_large(self.task)
        if large:
            return Cause(kind=TOO_LARGE, names=large)
        need_m2, have_m2 = areas_m2(self.task)
        if need_m2 > have_m2:
            return Cause(kind=AREA, need_m2=need_m2, have_m2=have_m2)
        self._guess_until, self._sure = time.monotonic() + ALL_WHY_S, True
        rules = tuple(name for name in self._in_force() if self._fits(self._without_rule(name)))
        if rules:
            return Cause(kind=RULES, names=rules)
        names = tuple(t.name for t in self.task.movable if self._fits(self._without_thing(t.key)))
        if names:
            return Cause(kind=THINGS, names=names)
        return Cause(kind=TOGETHER, need_m2=need_m2, have_m2=have_m2) if self._sure else None

    def _in_force(self) -> tuple[str, ...]:
        """Rules whose dropping changes the task at all."""
        return tuple(name for name in DROPPABLE if self._without_rule(name).rules != self.task.rules)

    def _without_rule(self, name: str) -> Task:
        task = self.task
        return Task(
            deck=task.deck, tie_points=task.tie_points, things=task.things, rules=task.rules.without(name)
        )

    def _without_thing(self, key: str) -> Task:
        task = self.task
        things = tuple(t for t in task.things if t.key != key)
        return Task(deck=task.deck, tie_points=task.tie_points, things=things, rules=task.rules)

    def _fits(self, task: Task) -> bool:
        """Whether there is a plan; False may also mean that none was found in time, and then nothing is sure."""
        found: list[Mapping[str, RoofSpot]] = []
        time_s = min(WHY_S, self._guess_until - time.monotonic())
        end = NOT_FOUND
        if time_s > 0 and not self.stopped:
            end = self._solve(task, time_s, found.append, first=True)
        self._sure &= bool(found) or end == NOTHING_FITS
        return bool(found)


def too_large(task: Task) -> tuple[str, ...]:
    """Names of things that lie on the deck neither way round.

    Parameters
    ----------
    task : what is to be arranged.

    Returns
    -------
    tuple of names, in the task's order; a can is square, and turning may be off.
    """
    deck, found = task.deck, []
    for thing in task.movable:
        box = thing.footprint
        ways = [(box.length_m, box.width_m)]
        if task.rules.may_turn:
            ways.append((box.width_m, box.length_m))
        if all(long > deck.length_m + 1e-9 or wide > deck.width_m + 1e-9 for long, wide in ways):
            found.append(thing.name)
    return tuple(found)


def areas_m2(task: Task) -> tuple[float, float]:
    """Area that the movable things need, and area of the deck that pinned things leave [m2].

    Parameters
    ----------
    task : what is to be arranged.

    Returns
    -------
    (needed, there) [m2]. Needing less than there is does not say that it fits. Pinned things that overlap or
    hang over are counted for all of their area, so that too little is never claimed where there is enough:
    then only the deck itself is taken.
    """
    need = sum(thing.footprint.area_m2 for thing in task.movable)
    have = task.deck.area_m2
    prints = [thing.footprint for thing in task.fixed]
    clean = not any(any(overhang(p, task.deck)) for p in prints) and not any(
        overlap(one, other) for i, one in enumerate(prints) for other in prints[i + 1 :]
    )
    return need, have - (sum(p.area_m2 for p in prints) if clean else 0.0)
