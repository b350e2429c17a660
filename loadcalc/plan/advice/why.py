"""Why nothing works: which limits clash, and by how much they would have to give.

How much: every limit may be exceeded at a cost of what it is over, relative to itself, and the cheapest plan is taken.
Which: limits that had to give are made firm one after another until nothing works any more; of these, each one that
can be dropped without making it work is dropped. What is left can't all hold, and any one of them less would do.

Where it would work if things might be added to ratings whose limit nobody knows, that is the reason, and no other is
looked for.
"""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from loadcalc.plan.advice.problem import RATING, UNKNOWN, Assign, Problem, ProgramRow
from loadcalc.plan.advice.solve import TIME_LIMIT_S, Program, Solution
from loadcalc.plan.advice.unknown import NO_WAY, Opened, opened

NEAR = 0.03  # the smallest excess is found to within this part of itself: the last percent takes most of the time
CHANGE_COST = 1e-6  # of one move, against a limit exceeded by all of itself


@dataclass(frozen=True, slots=True, kw_only=True)
class Short:
    """A limit that would have to give. over : by how much [kg, L, or kg m]; share : of the limit itself [-].

    A limit that nobody knows gives by what is added to it [kg]; what part that is, nobody knows either.
    """

    key: str
    name: str
    kind: str
    over: float
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WhyNot:
    """Why nothing that may be moved brings the loadout within ratings.

    works : True when there is a way within ratings after all; then the rest is empty.
    short : the limits that would have to give, as little as possible together.
    least : no plan is over by less than this, each limit relative to itself, all together [-].
    instead : what would do if ratings without a known limit might be added to; then there is no other reason here.
    clash : limits that can't all hold, each of which is needed for that; proven : whether that is sure.
    homeless : (thing, reasons) for what no zone may take. beyond : what no thing aboard can change, seats for one.
    """

    works: bool
    short: tuple[Short, ...] = ()
    least: float = 0.0
    instead: Opened = NO_WAY
    clash: tuple[ProgramRow, ...] = ()
    proven: bool = True
    homeless: tuple[tuple[str, tuple[str, ...]], ...] = ()
    beyond: tuple[str, ...] = ()


def why_not(problem: Problem, *, leaving: bool = False, time_limit_s: float = TIME_LIMIT_S) -> WhyNot:
    """Say which limits keep every rearrangement from being within ratings, and by how much.

    Parameters
    ----------
    problem : the loadout; leaving : whether things may be left home, too; time_limit_s : for all of it [s].

    Returns
    -------
    WhyNot: `short` sums to the smallest relative excess there is, within three hundredths of it when proven, with
        nothing added to limits that nobody knows.
    """
    deadline = time.monotonic() + time_limit_s
    homeless = _homeless(problem, leaving)
    if homeless:
        return WhyNot(works=False, homeless=homeless, beyond=problem.over)
    first = _by_unknown(problem, leaving, time_limit_s / 2)
    if first.works or first.instead:
        return first
    found = _nearest(problem, leaving, deadline)
    if found.assign is None:
        return replace(first, proven=False)
    short = _short(problem, found.assign)
    if not short:
        return WhyNot(works=not problem.over, beyond=problem.over)
    clash, sure = _clash(problem, leaving, deadline)
    return WhyNot(
        works=False,
        short=short,
        least=max(found.bound - CHANGE_COST * (2 * len(problem.things) + 1), 0.0),
        instead=first.instead,
        clash=tuple(row for row in dict.fromkeys(problem.rows) if row.key in clash),
        proven=found.proven and first.proven and sure,
        beyond=problem.over,
    )


def _by_unknown(problem: Problem, leaving: bool, time_limit_s: float) -> WhyNot:
    """Whether it works as it is; else what would do if ratings without a known limit might be added to."""
    if all(row.kind != UNKNOWN for row in problem.rows):
        return WhyNot(works=False, beyond=problem.over)
    program = Program(problem, leaving=leaving)
    found = program.solve(program.costs(), time_limit_s=time_limit_s / 2)
    if found.assign is not None:
        return WhyNot(works=not problem.over, beyond=problem.over)
    instead = opened(problem, leaving=leaving, time_limit_s=time_limit_s / 2)
    proven = found.proven and instead.sure
    return WhyNot(works=False, instead=instead, proven=proven, beyond=problem.over)


def _nearest(problem: Problem, leaving: bool, deadline: float) -> Solution:
    """The plan that is least over.

    Known ratings give first: room is room, balance a wish. What nobody knows carries more only if nothing else will do.
    """
    ratings = frozenset(i for i, row in enumerate(problem.rows) if row.kind == RATING)
    known = frozenset(i for i, row in enumerate(problem.rows) if row.kind != UNKNOWN)
    for soft in dict.fromkeys((ratings, known, frozenset(range(len(problem.rows))))):
        program = Program(problem, leaving=leaving, soft=soft)
        half_s = max(deadline - time.monotonic(), 0.05) / 2
        found = program.solve(_hardly(problem, program), gap=NEAR, time_limit_s=half_s)
        if found.assign is not None:
            break
    return found


def _hardly(problem: Problem, program: Program) -> np.ndarray:
    """A cost for each change, too small to weigh against any limit, so that idle changes don't come along."""
    total_kg = sum(thing.mass_kg for thing in problem.things) or 1.0
    return CHANGE_COST * program.costs(move=1.0, leave=2.0, kg_moved=0.5 / total_kg)


def _homeless(problem: Problem, leaving: bool) -> tuple[tuple[str, tuple[str, ...]], ...]:
    found = []
    for index in problem.homeless:
        thing = problem.things[index]
        if leaving and not thing.must_come:
            continue
        reasons = (problem.why_not(problem.aboard[index], thing, zone) for zone in range(len(problem.zones)))
        found.append((thing.name, tuple(dict.fromkeys(reasons))))
    return tuple(found)


def _short(problem: Problem, assign: Assign) -> tuple[Short, ...]:
    """What a plan is over, each limit once: the worst of its rows."""
    over = problem.loads(assign) - problem.cap
    worst: dict[str, Short] = {}
    for number in problem.broken(assign):
        row, amount = problem.rows[number], float(over[number])
        short = Short(key=row.key, name=row.name, kind=row.kind, over=amount, share=amount / row.scale)
        worst[row.key] = max(short, worst.get(row.key, short), key=lambda one: one.share)
    return tuple(sorted(worst.values(), key=lambda short: short.share, reverse=True))


def _without(problem: Problem, firm: Sequence[str]) -> frozenset[int]:
    """The rows of all limits but these."""
    return frozenset(i for i, row in enumerate(problem.rows) if row.key not in firm)


def _clash(problem: Problem, leaving: bool, deadline: float) -> tuple[list[str], bool]:
    """Limits that can't all hold, by key, and whether each is known to be needed for that.

    Firm limits grow by what the easiest plan for those so far breaks, until there is no plan. Limits that nobody knows
    are none of them: this is asked only where adding to those would not help.
    """
    firm: list[str] = []
    while True:
        left_s = deadline - time.monotonic()
        if left_s <= 0:
            return firm, False
        program = Program(problem, leaving=leaving, without=_without(problem, firm))
        found = program.solve(_hardly(problem, program), gap=0.2, time_limit_s=left_s)
        if found.assign is None:
            break
        rows = (problem.rows[row] for row in problem.broken(found.assign))
        gave = dict.fromkeys(row.key for row in rows if row.kind != UNKNOWN)
        if not gave:
            return [], False  # it works after all: an earlier search had stopped too soon
        firm += gave
    if not found.proven:
        return firm, False
    return _needed(problem, leaving, firm, deadline)


def _needed(problem: Problem, leaving: bool, firm: list[str], deadline: float) -> tuple[list[str], bool]:
    """Of limits that can't all hold, those without which they could."""
    sure, kept = True, list(firm)
    for key in firm:
        less = [other for other in kept if other != key]
        left_s = deadline - time.monotonic()
        if left_s <= 0:
            return kept, False
        program = Program(problem, leaving=leaving, without=_without(problem, less))
        found = program.solve(0.0 * _hardly(problem, program), time_limit_s=left_s)
        if found.assign is None and found.proven:
            kept = less
        sure = sure and (found.assign is not None or found.proven)
    return kept, sure
