"""The way that would open if things might be added to ratings whose limit nobody knows: to which, and how much.

Advice never takes it by itself. It is told, so that a person can look the limit up or name the rating.
"""

from __future__ import annotations

import time
from dataclasses import dataclass, replace

from loadcalc.plan.advice.plan import Added, checked
from loadcalc.plan.advice.problem import UNKNOWN, Problem
from loadcalc.plan.advice.rearrange import fewest_moves
from loadcalc.plan.advice.solve import TIME_LIMIT_S


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """What could be done if these ratings might be added to, and none of them can be spared.

    added : to which rating how much, largest first; empty: no way was found, whatever is added to.
    moves, left : how many things it moves and leaves home. sure : searched to the end.
    asked : whether there is any rating that might be added to.
    """

    added: tuple[Added, ...] = ()
    moves: int = 0
    left: int = 0
    sure: bool = True
    asked: bool = False

    def __bool__(self) -> bool:
        return bool(self.added)


NO_WAY = Opened()


def opened(problem: Problem, *, leaving: bool = False, time_limit_s: float = TIME_LIMIT_S) -> Opened:
    """The way within every known limit that adds to as few other ratings as it needs, to none of a roof if it can.

    Parameters
    ----------
    problem : for which there is no way without. leaving : whether things may be left home, where nothing else does.
    time_limit_s : for all of it [s].

    Returns
    -------
    Opened: false when there is no such way; then `sure` tells whether that is proven.
    """
    shut = frozenset(row.key for row in problem.rows if row.kind == UNKNOWN)
    if not shut:
        return NO_WAY
    inside = shut & _inside(problem)
    deadline = time.monotonic() + time_limit_s
    sure = True
    for leave in (False, True) if leaving else (False,):
        for keys in dict.fromkeys((inside, shut)):
            way, proven = _with(problem, keys, leave, deadline) if keys else (NO_WAY, True)
            sure = sure and proven
            if way:
                return _spared(problem, way, inside, leave, deadline)
    return Opened(sure=sure, asked=True)


def _inside(problem: Problem) -> set[str]:
    """The ratings that are rather added to than others: not of a roof, not of a hitch."""
    outside = {f"zone:{zone.name}" for zone in problem.loadout.zones if zone.mount}
    groups = ("zone", "vehicle", "tire")
    return {row.rating_key for row in problem.may_gain if row.group in groups and row.key not in outside}


def _spared(problem: Problem, way: Opened, inside: frozenset[str], leave: bool, deadline: float) -> Opened:
    """The same without each rating that it can do without; those of a roof or a hitch go first."""
    needed: set[str] = set()
    sure = way.sure
    while spare := [added.key for added in way.added if added.key not in needed]:
        key = next((key for key in spare if key not in inside), spare[0])
        less, proven = _with(problem, frozenset(added.key for added in way.added) - {key}, leave, deadline)
        sure = sure and (bool(less) or proven)
        if less:
            way = less
        else:
            needed.add(key)
    return replace(way, sure=sure)


def _with(problem: Problem, keys: frozenset[str], leave: bool, deadline: float) -> tuple[Opened, bool]:
    """The plan of fewest moves when these may be added to, too; and whether it is proven that there is none."""
    rules = replace(problem.rules, may_add_to=problem.rules.may_add_to | keys)
    wide = Problem(problem.vehicle, problem.loadout, rules)
    found = fewest_moves(wide, leaving=leave, time_limit_s=max(deadline - time.monotonic(), 0.01))
    plan = None if found.assign is None else checked(wide, found.assign)
    if plan is None:
        return NO_WAY, found.assign is None and found.proven
    added = tuple(one for one in plan.added if one.key in keys)
    return Opened(added=added, moves=len(plan.moves), left=len(plan.left), asked=True), True
