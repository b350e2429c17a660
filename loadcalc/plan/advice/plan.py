"""A plan as people read it: what moves, what is left, and every rating before and after, judged anew."""

from __future__ import annotations

from dataclasses import dataclass
from math import fsum

from loadcalc.checks.findings.judge import Judgment, evaluate
from loadcalc.checks.ratings.report import RatingResult
from loadcalc.model.loadout import Loadout
from loadcalc.plan.advice.problem import SAME, Assign, Problem

NOTABLE = 0.005  # half a percent of the limit
ADDED_KG = 1e-6  # what is less than a milligram more is rounding


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanStep:
    """One thing that a plan moves or leaves. zone_to : where it goes, "" when it is left home."""

    key: str
    name: str
    liquid: bool
    mass_kg: float
    zone_from: str
    zone_to: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RatingChange:
    """One rating before and after a plan."""

    before: RatingResult
    after: RatingResult

    @property
    def more(self) -> float:
        """By how much the load grows [the rating's unit]: exactly what moves, without the rounding of all the rest."""
        adds = [part.adds for part in self.after.parts]
        return fsum([*adds, *(-part.adds for part in self.before.parts)])

    @property
    def share(self) -> float:
        """By how much of the limit the load changes [-]."""
        return (self.after.load - self.before.load) / (self.before.limit or 1.0)

    @property
    def notable(self) -> bool:
        """Whether it is worth a word: by half a percent of the limit, or over before or after."""
        return abs(self.share) >= NOTABLE or (self.before.over != self.after.over)


@dataclass(frozen=True, slots=True, kw_only=True)
class Added:
    """What a plan adds to one rating [kg], and what that rating carries after it [kg]."""

    key: str
    name: str
    added_kg: float
    after_kg: float


@dataclass(frozen=True, kw_only=True)
class Plan:
    """A plan that was judged anew. loadout : as it would be; steps : moves first, then what is left.

    within : no known rating is exceeded, nothing is added to a limit that nobody knows and nobody allowed by name,
        and every rule about where things ride is kept.
    """

    steps: tuple[PlanStep, ...]
    loadout: Loadout
    before: Judgment
    after: Judgment
    within: bool

    @property
    def moves(self) -> tuple[PlanStep, ...]:
        """What goes into another zone."""
        return tuple(step for step in self.steps if step.zone_to)

    @property
    def left(self) -> tuple[PlanStep, ...]:
        """What is left home."""
        return tuple(step for step in self.steps if not step.zone_to)

    @property
    def lower_m(self) -> float:
        """How much lower the center of gravity gets [m]."""
        return self.before.cg.up_m - self.after.cg.up_m

    @property
    def changes(self) -> tuple[RatingChange, ...]:
        """Every known rating before and after, largest change first."""
        known = (change for change in self._all if change.after.known)
        return tuple(sorted(known, key=lambda change: abs(change.share), reverse=True))

    @property
    def assumed(self) -> tuple[RatingChange, ...]:
        """The ratings that carry more and whose limit is known by assumption only, largest change first."""
        return tuple(change for change in self.changes if change.after.assumed and change.more > ADDED_KG)

    @property
    def added(self) -> tuple[Added, ...]:
        """What is added to ratings without a known limit, largest first."""
        more = (change for change in self._all if not change.after.known and change.more > ADDED_KG)
        found = (
            Added(key=one.after.key, name=one.after.name, added_kg=one.more, after_kg=one.after.load_kg)
            for one in more
        )
        return tuple(sorted(found, key=lambda added: added.added_kg, reverse=True))

    @property
    def _all(self) -> tuple[RatingChange, ...]:
        return tuple(RatingChange(before=self.before.rating(r.key), after=r) for r in self.after.ratings)


def checked(problem: Problem, assign: Assign, *, within: bool = True) -> Plan | None:
    """Judge a plan with `evaluate`, whatever the search said of it; None when it does not hold.

    Parameters
    ----------
    problem : the loadout; assign : where everything goes.
    within : whether no known rating may be over; without it, no rating may be over that was not, or over by more.
        Nothing is added to a limit that nobody knows either way, unless the rules allow it by name.

    Returns
    -------
    Plan, or None: a plan that does not hold is never shown.
    """
    loadout = problem.rearranged(assign)
    after = evaluate(problem.vehicle, loadout)
    kept = all(problem.may[i, where] for i, where in enumerate(assign))
    plan = Plan(
        steps=_steps(problem, assign),
        loadout=loadout,
        before=problem.report,
        after=after,
        within=not after.over and kept,
    )
    if any(added.key not in problem.rules.may_add_to for added in plan.added):
        return None
    return plan if plan.within or (not within and not _worse(plan)) else None


def _worse(plan: Plan) -> bool:
    return any(r.load > plan.before.rating(r.key).load + SAME for r in plan.after.over)


def _steps(problem: Problem, assign: Assign) -> tuple[PlanStep, ...]:
    zones = (*problem.zones, "")
    steps = [
        PlanStep(
            key=thing.key,
            name=thing.name,
            liquid=thing.liquid,
            mass_kg=thing.mass_kg,
            zone_from=zones[thing.zone],
            zone_to=zones[where],
        )
        for thing, where in zip(problem.things, assign, strict=True)
        if where != thing.zone
    ]
    return tuple(sorted(steps, key=lambda step: (not step.zone_to, -step.mass_kg)))
