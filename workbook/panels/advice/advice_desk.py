"""Asking for advice, without a browser: the question on its way, what is shown of the answer, and its one entry."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from loadcalc.plan.advice.allowed import AdviceRules
from loadcalc.plan.advice.answers import LEAVE, LEGAL, LOWER, SINGLE, WHY, Single, Within, lower_so_far
from loadcalc.plan.advice.job import Job
from loadcalc.plan.advice.leave import Leave
from loadcalc.plan.advice.plan import Plan, checked
from loadcalc.plan.advice.problem import Problem
from loadcalc.plan.advice.rearrange import Point
from loadcalc.plan.advice.solve import Solution
from loadcalc.plan.advice.why import WhyNot
from loadcalc.season import Season
from workbook.panels.advice import advice_words as words
from workbook.panels.advice import found_words
from workbook.panels.advice.unknown_words import kept_off_words, spent_words
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.findings_words import headline

LIMIT_S = {LEGAL: 45.0, LOWER: 60.0, LEAVE: 30.0, WHY: 30.0, SINGLE: 30.0}
LOOK_S = 0.2
CHANGED = "The loadout has changed since: ask again."
ALLOWED = "What advice may add to has changed: ask again."
TRIED = "Not applied: something is only tried out. Keep it as a loadout or go back first; then ask again."


@dataclass(frozen=True, kw_only=True)
class Shown:
    """What is shown of an answer: sentences, the plans that can be applied, and the points of the curve, if any."""

    said: str
    plans: tuple[Plan, ...] = ()
    points: tuple[Point, ...] = ()


def shown(kind: str, answer: Any, problem: Problem, desk: Desk) -> Shown:
    """Decide what to show of an answer. Every plan is judged anew here; one that does not hold is not shown.

    kind : the question; answer : as it came; problem : the loadout that was asked about.
    """
    units = desk.units
    if kind == LEGAL:
        return _within(answer, problem, desk)
    if kind == LOWER:
        said = found_words.curve_words(answer.points, problem.report.cg.up_m, units, eased=answer.eased)
        doubt = found_words.doubt_words(problem.vehicle.cg_height_from, units) if answer.found else ""
        return Shown(said=_lines(said, doubt, kept_off_words(problem)), points=answer.points)
    if kind == LEAVE:
        return _leave(answer, problem, desk)
    if kind == WHY:
        return Shown(said=found_words.why_words(answer, units, must_come(problem)))
    single: Single = answer
    plans = _held(checked(problem, move.assign, within=False) for move in single.moves)
    said = found_words.single_words(len(plans), relief=single.relief, over=bool(problem.report.over))
    return Shown(said=_lines(said, kept_off_words(problem)), plans=plans)


def _lines(*said: str) -> str:
    return "\n".join(filter(None, said))


def _within(answer: Within, problem: Problem, desk: Desk) -> Shown:
    plan = _plan(problem, answer.found)
    said = words.within_words(plan, answer, desk.report, desk.units)
    if plan is None:
        why = answer.why or WhyNot(works=False, proven=False)
        return Shown(said=f"{said}\n{found_words.why_words(why, desk.units, must_come(problem))}")
    return Shown(said=said, plans=(plan,) if plan.steps else ())


def _leave(answer: Leave, problem: Problem, desk: Desk) -> Shown:
    fewest = _held(_plan(problem, found) for found in answer.fewest)
    least = _plan(problem, answer.least_mass)
    said = found_words.leave_words(answer, desk.report, desk.units, fewest, least)
    if not fewest and least is None:
        said = _lines(said, kept_off_words(problem))
    plans = (*fewest, *((least,) if least and least.steps not in [plan.steps for plan in fewest] else ()))
    return Shown(said=said, plans=tuple(plan for plan in plans if plan.steps))


def _plan(problem: Problem, found: Solution) -> Plan | None:
    return None if found.assign is None else checked(problem, found.assign)


def _held(plans: Any) -> tuple[Plan, ...]:
    return tuple(plan for plan in plans if plan is not None)


def point_plan(problem: Problem, points: Sequence[Point], moves: int) -> Plan | None:
    """The plan of one point of the curve, judged anew; None where there is none."""
    for point in points:
        if point.moves == moves and point.found.assign is not None:
            return checked(problem, point.found.assign, within=False)
    return None


def must_come(problem: Problem) -> list[str]:
    """Names of the gear that must come."""
    return [thing.name for thing in problem.things if thing.must_come and not thing.liquid]


def put_plan(season: Season, loadout: str, plan: Plan) -> None:
    """Write a plan into the season, inside the entry that is open."""
    filled = {f.liquid.key: f for f in plan.before.shares.loadout.liquids}
    for step in plan.steps:
        if not step.liquid:
            season.stow(loadout, step.key, step.zone_to or None)
            continue
        can = filled[step.key]
        if can.place is not None:  # its own place was in the old zone
            season.set_fill(loadout, step.key, None)
        season.set_fill(loadout, step.key, can.fill_l, step.zone_to)


class Adviser:
    """One page's questions. `told` hears whenever there is something new to show.

    job : the question on its way, or None. shown : of the last answer. status : a line on how it stands.
    """

    def __init__(self, desk: Desk, rules: AdviceRules | None = None) -> None:
        self.desk, self.rules = desk, rules or AdviceRules()
        self.job: Job | None = None
        self.kind = ""
        self.answer: Any = None
        self.problem: Problem | None = None
        self.shown = Shown(said="")
        self.status = ""
        self.told: list[Callable[[], None]] = []
        self._said_of: object = None
        desk.numbers.append(self.heard)

    def allow(self, keys: frozenset[str]) -> None:
        """Let advice add to these ratings, whose limit nobody knows, and to no others; other answers are no answers."""
        if keys == self.rules.may_add_to:
            return
        asked = self.problem is not None
        self.rules = replace(self.rules, may_add_to=keys)
        self.drop()
        if asked:
            self._say(ALLOWED)

    def ask(self, kind: str) -> None:
        """Put a question. Without an event loop (outside a notebook) the answer is waited for."""
        self.drop()
        self.desk.keep_now()
        self.kind = kind
        self.problem = Problem(self.desk.vehicle, self.desk.loadout, self.rules)
        self.job = Job(kind, self.desk.vehicle, self.desk.loadout, self.rules, time_limit_s=LIMIT_S[kind])
        self._say(words.progress_words(kind, [], 0.0, LIMIT_S[kind]))
        try:
            asyncio.get_running_loop().call_later(LOOK_S, self._look, self.job)
        except RuntimeError:
            self.job.wait()
            self._look(self.job)

    def stop(self) -> None:
        """End the search now; a curve is shown as far as it is known."""
        if self.job is None:
            return
        job, self.job = self.job, None
        job.look()
        job.stop()
        if self.kind == LOWER:
            self._show(lower_so_far(job.said))
        self._say(f"Stopped after {job.elapsed_s:.0f} s.")

    def drop(self) -> None:
        """Forget the question and what was shown of its answer."""
        if self.job is not None:
            self.job.stop()
        self.job, self.answer, self.problem, self.shown = None, None, None, Shown(said="")

    def heard(self) -> None:
        """Something on the desk changed: words follow the units; advice on another loadout is no advice."""
        if self.problem is None:
            if self.status and self._said_of != (self.desk.loadout, self.desk.vehicle):
                self._say("")
            return
        if (self.problem.loadout, self.problem.vehicle) != (self.desk.loadout, self.desk.vehicle):
            self.drop()
            self._say(CHANGED)
        elif self.answer is not None:
            self._show(self.answer)
            self._tell()

    def apply(self, plan: Plan) -> bool:
        """Put a plan into the season as one entry; returns whether it was kept."""
        desk = self.desk
        desk.keep_now()
        if plan.before.shares.loadout != desk.loadout or plan.before.shares.vehicle != desk.vehicle:
            self.drop()
            self._say(CHANGED)
            return False
        if desk.loadout != desk.season.loadout(desk.loadout_name) or desk.vehicle != desk.season.vehicle:
            self._say(
                TRIED
            )  # the plan was checked on what is tried out, and would be written to what is kept
            return False
        if not self.rules.may_add_to.issuperset(added.key for added in plan.added):
            self.drop()
            self._say(ALLOWED)
            return False
        kept = desk.do(lambda: put_plan(desk.season, desk.loadout_name, plan), words.note(plan))
        self.drop()
        said = ["Applied as one entry; Undo takes it back.", *spent_words(plan, desk.units)]
        after = f"After it: {headline(desk.report, desk.units)}"
        self._say("\n".join([*said, after]) if kept else desk.status)
        return kept

    def _look(self, job: Job) -> None:
        if job is not self.job:
            return
        heard = len(job.said)
        if not job.look():
            if self.kind == LOWER and len(job.said) > heard and (so_far := lower_so_far(job.said)).found:
                self._show(so_far)
            self._say(words.progress_words(self.kind, job.said, job.elapsed_s, job.time_limit_s))
            asyncio.get_running_loop().call_later(LOOK_S, self._look, job)
            return
        self.job = None
        if job.refused:
            self._say(f"Not answered: {job.refused}")
            return
        self._show(job.answer)
        self._say("")

    def _show(self, answer: Any) -> None:
        assert self.problem is not None
        self.answer = answer
        self.shown = shown(self.kind, answer, self.problem, self.desk)

    def _say(self, status: str) -> None:
        self.status = status
        self._said_of = self.desk.loadout, self.desk.vehicle  # what was said of another loadout goes away
        self._tell()

    def _tell(self) -> None:
        for told in self.told:
            told()
