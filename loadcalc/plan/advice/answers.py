"""The five questions, each with one answer that can be sent from one process to another."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from loadcalc.model.errors import NotFound
from loadcalc.plan.advice.leave import Leave, what_to_leave
from loadcalc.plan.advice.problem import Problem
from loadcalc.plan.advice.rearrange import Point, curve, fewest_moves
from loadcalc.plan.advice.single import SingleMove, in_trouble, single_moves
from loadcalc.plan.advice.solve import TIME_LIMIT_S, Solution
from loadcalc.plan.advice.unknown import NO_WAY, Opened, opened
from loadcalc.plan.advice.why import WhyNot, why_not

Tell = Callable[[Any], None]
LEGAL, LOWER, LEAVE, WHY, SINGLE = "legal", "lower", "leave", "why", "single"
# said on the way
LEAVING_TOO = "leaving too"  # no rearrangement is within ratings, so things are left as well
EASED = "eased"  # no moves of the curve bring it within ratings, so the curve is drawn for what makes nothing worse


@dataclass(frozen=True, slots=True, kw_only=True)
class Within:
    """How to bring it within ratings.

    leaving : things are left home too, for moves alone won't do; why : when nothing will.
    sure : no rearrangement within ratings exists without leaving something, when `leaving`.
    instead : what would do without leaving anything if ratings without a known limit might be added to.
    """

    found: Solution
    leaving: bool = False
    sure: bool = True
    instead: Opened = NO_WAY
    why: WhyNot | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Lower:
    """The curve. eased : none of its moves bring it within ratings, so what is over may stay over, but not more so."""

    points: tuple[Point, ...]
    eased: bool = False

    @property
    def found(self) -> tuple[Point, ...]:
        """The points that have a plan."""
        return tuple(point for point in self.points if point.found.assign is not None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Single:
    """The ranked single moves. relief : ranked by what they take off what is over; else by how much lower."""

    moves: tuple[SingleMove, ...]
    relief: bool


def bring_within(problem: Problem, tell: Tell, time_limit_s: float) -> Within:
    """Fewest moves; when there is no such way, fewest things left home and then fewest moves; else why not."""
    found = fewest_moves(problem, time_limit_s=time_limit_s / 3)
    if found.assign is not None:
        return Within(found=found)
    tell(LEAVING_TOO)
    with_less = fewest_moves(problem, leaving=True, time_limit_s=time_limit_s / 3)
    left_s = time_limit_s / 3
    if with_less.assign is None:
        return Within(found=with_less, why=why_not(problem, leaving=True, time_limit_s=left_s))
    instead = opened(problem, time_limit_s=left_s)
    return Within(found=with_less, leaving=True, sure=found.proven, instead=instead)


def lower_it(problem: Problem, tell: Tell, time_limit_s: float) -> Lower:
    """The curve over plans within ratings; where there are none, for sure, over those that make nothing worse."""
    points = curve(problem, tell=tell, time_limit_s=time_limit_s)
    if (lower := Lower(points=points)).found or not points[-1].found.proven:
        return lower
    tell(EASED)
    return Lower(points=curve(problem.no_worse(), tell=tell, time_limit_s=time_limit_s), eased=True)


def lower_so_far(said: Sequence[Any]) -> Lower:
    """The curve as far as it was told before somebody stopped it; the points still missing are left out."""
    eased = EASED in said
    told = said[list(said).index(EASED) + 1 :] if eased else said
    return Lower(points=tuple(point for point in told if isinstance(point, Point)), eased=eased)


def leave_some(problem: Problem, tell: Tell, time_limit_s: float) -> Leave:
    """The smallest sets to leave home."""
    return what_to_leave(problem, time_limit_s=time_limit_s / 2)


def explain(problem: Problem, tell: Tell, time_limit_s: float) -> WhyNot:
    """Which limits clash when things are only moved."""
    return why_not(problem, time_limit_s=time_limit_s)


def rank_moves(problem: Problem, tell: Tell, time_limit_s: float) -> Single:
    """Single moves by relief while something is over and a move relieves it, else by how much lower."""
    ranked = single_moves(problem)
    if ranked or not in_trouble(problem):
        return Single(moves=ranked, relief=in_trouble(problem))
    return Single(moves=single_moves(problem.no_worse()), relief=False)


_BY_KIND: dict[str, Callable[[Problem, Tell, float], Any]] = {
    LEGAL: bring_within, LOWER: lower_it, LEAVE: leave_some, WHY: explain, SINGLE: rank_moves,
}  # fmt: skip


def answer(
    kind: str, problem: Problem, tell: Tell = lambda said: None, time_limit_s: float = TIME_LIMIT_S
) -> Any:
    """Answer one question.

    Parameters
    ----------
    kind : "legal", "lower", "leave", "why", or "single"; problem : the loadout.
    tell : hears what is known on the way: points of the curve, `LEAVING_TOO`, `EASED`.
    time_limit_s : then the best so far is the answer, and says that it is not proven [s].

    Returns
    -------
    Within, Lower, Leave, WhyNot, or Single.
    """
    if kind not in _BY_KIND:
        raise NotFound("question", kind, tuple(_BY_KIND))
    return _BY_KIND[kind](problem, tell, time_limit_s)
