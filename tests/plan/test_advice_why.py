"""Advice on cases small enough to see through: what to leave, why nothing works, single moves, how high it stays."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from loadcalc.checks.findings.judge import evaluate
from loadcalc.model import (
    BadValue,
    Limit,
)
from loadcalc.plan.advice import rearrange
from loadcalc.plan.advice.allowed import AdviceRules
from loadcalc.plan.advice.answers import answer
from loadcalc.plan.advice.leave import what_to_leave
from loadcalc.plan.advice.plan import checked
from loadcalc.plan.advice.problem import LEFT, Problem
from loadcalc.plan.advice.rearrange import CLOSE_M, Point, curve, fewest_moves, lowest, moved
from loadcalc.plan.advice.single import single_moves
from loadcalc.plan.advice.solve import Program, Solution, near
from loadcalc.plan.advice.why import NEAR, why_not
from tests.advice_cases import all_of, loose_case, problem_of
from tests.advice_crew import crew_case
from tests.advice_hand import (
    CABIN,
    RACK,
    ROOF,
    hand_problem,
    stowed,
    zone,
)

# of the first 120: all with several limits that clash, and some of each other kind
CLASHES = (
    0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 14, 15, 16, 18, 21, 22, 24, 26, 30, 31, 33, 35, 36, 41, 46, 50, 52, 59,
    65, 69, 76, 78, 86, 87, 97, 100, 101, 107, 115, 117, 118, 119,
)  # fmt: skip
# of the first 60: all that have a move to rank, and four that have none
MOVES = (
    0, 1, 2, 3, 4, 5, 6, 7, 10, 14, 17, 20, 22, 25, 30, 32, 33, 35, 39, 42, 49, 50, 53, 54, 55,
)  # fmt: skip


def test_the_gain_for_each_kilogram_ranks_nothing_and_effort_does() -> None:
    """Per kilogram, every thing between the same two zones wins the same; with a handling it does not."""
    found = Problem(*loose_case(1))
    moves = single_moves(found, most=10_000)
    lower: dict[tuple[int, int], set[float]] = {}
    for move in moves:
        pair = (found.things[move.thing].zone, move.assign[move.thing])
        lower.setdefault(pair, set()).add(round(move.lower_m / found.things[move.thing].mass_kg, 9))
    several = [
        pair
        for pair in lower
        if sum(1 for m in moves if (found.things[m.thing].zone, m.assign[m.thing]) == pair) > 1
    ]

    assert several
    assert all(len(lower[pair]) == 1 for pair in several)
    each_kg = {round(move.relief / found.things[move.thing].mass_kg, 9) for move in moves}
    assert len({round(move.per_effort, 9) for move in moves}) > 3 * len(each_kg)
    with pytest.raises(BadValue, match="worth of one handling"):
        AdviceRules(handling_kg=0.0)


@pytest.mark.parametrize("seed", MOVES)
def test_single_moves_are_those_that_evaluate_would_rank(seed: int) -> None:
    """Every single move judged by the package, one by one: what it takes off, what it makes worse, and the order."""
    found = problem_of(seed, items=6, zones=4)
    before = evaluate(found.vehicle, found.loadout)
    expected = []
    for thing, choice in enumerate(found.things):
        for place in range(len(found.zones)):
            assign = tuple(place if i == thing else z for i, z in enumerate(found.stay))
            if place == choice.zone or not found.may[thing, place]:
                continue
            after = evaluate(found.vehicle, found.rearranged(assign))
            worse = any(r.load > before.rating(r.key).load + 1e-9 for r in after.over)
            wishes = {found.rows[row].key for row in found.broken(assign)} - {r.key for r in after.over}
            gain = _over(before) - _over(after) + (thing in found.misplaced)
            if not found.broken(found.stay) and not found.misplaced:
                gain = before.cg.up_m - after.cg.up_m
            if gain > 1e-9 and not worse and not wishes:
                expected.append(gain / (found.rules.handling_kg + choice.mass_kg))
    moves = single_moves(found, most=100)

    assert [move.per_effort for move in moves] == pytest.approx(
        sorted(expected, reverse=True), rel=1e-6, abs=1e-9
    )


def _over(report: Any) -> float:
    return sum(r.consumed - 1.0 for r in report.over if r.unit == "kg")


def test_following_the_best_single_move_gets_stuck_where_the_program_does_not() -> None:
    """Roof 10 kg over; the rack is full of a box that could go into the hatch: two moves, of which none wins alone."""
    zones = (
        zone("roof", up_m=2.0, limit_kg=10.0, on_carrier=True),
        zone("rack", limit_kg=20.0),
        zone("hatch", limit_kg=15.0),
    )
    gear = (stowed("tent", 20.0, "roof"), stowed("box", 15.0, "rack"))
    found = hand_problem(zones, gear)
    plan = checked(found, fewest_moves(found).assign or ())

    assert single_moves(found) == ()
    assert plan is not None
    assert {(step.name, step.zone_to) for step in plan.moves} == {("tent", "rack"), ("box", "hatch")}


def test_of_sets_as_small_the_lightest_comes_first() -> None:
    """A sign the wrong way round would leave the heaviest; 8 kg over, and any of three would do."""
    gear = tuple(stowed(name, kg, "roof") for name, kg in (("a", 30.0), ("b", 9.0), ("c", 12.0), ("d", 7.0)))
    found = hand_problem((zone("roof", up_m=2.0, limit_kg=50.0, on_carrier=True),), gear)
    leave = what_to_leave(found)
    names = [
        [found.things[i].name for i, where in enumerate(f.assign or ()) if where == LEFT]
        for f in leave.fewest
    ]

    assert names == [["b"], ["c"], ["a"]]


def test_fewest_things_and_least_mass_are_two_answers() -> None:
    """10 kg over: one thing of 30 kg, or three of 4, 4, and 3 kg. Both are told."""
    gear = tuple(
        stowed(name, kg, "roof") for name, kg in (("anvil", 30.0), ("a", 4.0), ("b", 4.0), ("c", 3.0))
    )
    leave = what_to_leave(hand_problem((zone("roof", up_m=2.0, limit_kg=31.0, on_carrier=True),), gear))

    assert [(f.assign or ()).count(LEFT) for f in leave.fewest] == [1]
    assert (leave.least_mass.assign or ()).count(LEFT) == 3


def test_six_things_must_go() -> None:
    """Nine things of 10 kg and a little on a roof of 31: three may stay, and the lightest sets of six are named."""
    gear = tuple(stowed(f"bag {number}", 10.0 + number / 10, "roof") for number in range(9))
    leave = what_to_leave(hand_problem((zone("roof", up_m=2.0, limit_kg=31.0, on_carrier=True),), gear))

    assert [(found.assign or ()).count(LEFT) for found in leave.fewest] == [6] * 5
    assert [round(found.cost, 6) for found in leave.fewest[:2]] == [62.6, 62.6]  # of 93.6 kg
    assert all(found.proven for found in leave.fewest)


def test_why_nothing_works_names_what_clashes_and_by_how_much() -> None:
    """20 kg that must come: the roof takes 12 and the rack 15, so one is over by the least relative amount."""
    zones = (zone("roof", up_m=2.0, limit_kg=12.0, on_carrier=True), zone("rack", limit_kg=15.0))
    why = why_not(hand_problem(zones, (stowed("anvil", 20.0, "roof"), stowed("mat", 1.0, "rack"))))

    assert why.proven
    assert {row.name for row in why.clash} == {"Zone: roof", "Zone: rack"}
    assert [(short.name, round(short.over, 6)) for short in why.short] == [("Zone: rack", 5.0)]
    assert why.short[0].share == pytest.approx(5 / 15, rel=1e-9)
    assert why.least <= 5 / 15 <= why.least * (1 + NEAR) / (1 - NEAR) + 1e-4


def test_why_nothing_works_names_what_no_zone_takes() -> None:
    """Gas that must come, and only cabin zones."""
    why = why_not(
        hand_problem((CABIN, zone("deck", in_cabin=True)), (stowed("cylinder", 9.0, "deck", hazard="gas"),))
    )

    assert why.homeless == (("cylinder", ("fuel and gas ride outside the cabin",)),)


@pytest.mark.parametrize("seed", CLASHES)
def test_the_least_excess_and_the_clash_are_what_counting_gives(seed: int) -> None:
    """The relative excess is within its bound; the clash can't hold, and with any one less it can.

    Where it would help to add to what nobody knows, that is told instead of a clash: tests/plan/test_advice_unknown.py.
    """
    found = problem_of(seed)
    every = all_of(found, leaving=False)
    why = why_not(found)
    if every.within.any():
        assert why.works
        assert why.short == ()
        return
    assert not why.works
    if why.homeless:
        return
    assert why.proven
    if why.instead:
        return
    total = sum(short.share for short in why.short)
    loads = np.array([found.loads(tuple(row)) for row in every.assign])
    over = np.maximum(loads - found.cap, 0.0) * (loads > found.most) / [row.scale for row in found.rows]
    allowed = found.may[np.arange(len(found.things)), every.assign].all(axis=1)
    kinds = np.array([row.kind for row in found.rows])
    kept = [allowed & ~(over[:, firm] > 0).any(axis=1) for firm in (kinds != "rating", kinds == "unknown")]
    keys = np.array([row.key for row in found.rows])
    once = np.array(
        [over[:, keys == key].max(axis=1) for key in dict.fromkeys(keys)]
    )  # the worst row of each limit
    least = once[:, next(some for some in (*kept, allowed) if some.any())].sum(axis=0).min()
    assert why.least <= least + 1e-6
    assert least - 1e-9 <= total <= least * (1 + 2 * NEAR) + 2e-5
    assert not {row.kind for row in why.clash} & {"unknown"}
    clash = [row.key for row in why.clash]
    holds = loads <= found.most
    assert not (allowed & holds[:, np.isin(keys, clash)].all(axis=1)).any()
    for key in clash:
        less = [other for other in clash if other != key]
        assert (allowed & holds[:, np.isin(keys, less)].all(axis=1)).any()


def test_a_plan_makes_no_idle_moves() -> None:
    """Two zones of one height: nothing is carried from one to the other for a lower center of gravity."""
    zones = (RACK, zone("shelf"), zone("roof", up_m=2.0, on_carrier=True))
    gear = (stowed("a", 5.0, "rack"), stowed("b", 6.0, "shelf"), stowed("c", 7.0, "roof"))
    found = hand_problem(zones, gear)

    assert moved(found, lowest(found).assign or ()) == (2,)


def test_where_nothing_is_within_ratings_the_center_still_comes_down() -> None:
    """A rating that is over may stay over, but not more so; and nothing else gets over."""
    limits = {"gross": Limit(limit_kg=2000.0)}
    found = hand_problem((RACK, ROOF), (stowed("tent", 20.0, "roof"),), limits=limits)
    lower = answer("lower", found)
    last = lower.points[-1].found

    assert lower.eased
    assert found.zones[last.assign[0]] == "rack"
    assert checked(found, last.assign) is None
    plan = checked(found, last.assign, within=False)
    assert plan is not None
    assert not plan.within
    assert [rating.key for rating in plan.after.over] == ["gross"]


def test_the_curve_tells_its_points_as_they_come() -> None:
    """Whoever stops half way keeps what is known; a plan of fewer moves serves for more."""
    found = Problem(*loose_case(2, items=20, zones=6))
    heard: list[Point] = []
    points = curve(found, most_moves=5, tell=heard.append)

    assert sorted(point.moves for point in heard) == list(range(6))
    assert all(problem_allows(found, point) for point in points)


def problem_allows(found: Problem, point: Point) -> bool:
    """Whether a point's plan, when it has one, is allowed."""
    return point.found.assign is None or found.allowed(point.found.assign)


@pytest.mark.parametrize("time_limit_s", [0.05, 0.3])
def test_an_unproven_plan_states_its_gap(time_limit_s: float) -> None:
    """With no time to prove anything the plan is still allowed, and proven is what is within 1 mm of its bound."""
    for found in (Problem(*loose_case(0)), Problem(*loose_case(5, squeeze=0.8))):
        result = lowest(found, time_limit_s=time_limit_s)
        if result.assign is None:
            assert not result.proven or fewest_moves(found).assign is None
            continue
        assert found.allowed(result.assign)
        assert result.proven is (result.cost - result.bound <= CLOSE_M)


def test_an_answer_further_from_its_bound_than_counts_is_not_proven() -> None:
    """Half a millimeter is near enough, two are not, and of no bound nothing is known."""
    for bound, proven in ((0.7995, True), (0.798, False), (float("nan"), False)):
        assert near((0,), 0.8, bound, CLOSE_M).proven is proven


def test_a_plan_of_fewer_moves_serves_where_more_come_out_higher(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each search stops within 1 mm, so one more move may end higher: the lower plan stays, with the bound for more."""
    heights = {1: (0.8, 0.8), 2: (0.7905, 0.7905), 3: (0.791, 0.7902), 4: (0.789, 0.7885)}
    heights |= {5: (0.7, 0.7), 6: (0.699, 0.6985)}

    def searched(problem: Problem, *, most_moves: int, time_limit_s: float) -> Solution:
        if most_moves not in heights:
            return Solution(assign=None, proven=True)
        cost, bound = heights[most_moves]
        return Solution(assign=(most_moves,), proven=True, cost=cost, bound=bound)

    monkeypatch.setattr(rearrange, "lowest", searched)
    points = curve(hand_problem((RACK, ROOF), ()), most_moves=6)
    plans = [(point.found.assign, point.found.cost, point.found.bound) for point in points]

    assert plans[0][0] is None
    assert plans[2:5] == [((2,), 0.7905, 0.7905), ((2,), 0.7905, 0.7902), ((4,), 0.789, 0.7885)]
    assert plans[5:] == [((5,), 0.7, 0.7), ((6,), 0.699, 0.6985)]
    assert all(point.found.proven for point in points)



def test_time_that_ran_out_is_no_proof_that_nothing_is_within_ratings() -> None:
    """Asked for next to no time the curve has no plan; plans that keep what is over are for where none can be."""
    found = Problem(*crew_case(2, 0.5))
    lower = answer("lower", found, time_limit_s=0.001)

    assert fewest_moves(found).assign is not None
    assert not lower.eased


def test_soft_rows_are_charged_relative_to_themselves() -> None:
    """A kilogram over a small limit costs more than one over a large limit: the large one gives."""
    zones = (zone("roof", up_m=2.0, limit_kg=10.0, on_carrier=True), zone("rack", limit_kg=100.0))
    found = hand_problem(zones, (stowed("anvil", 110.0, "roof"),))
    program = Program(found, soft=frozenset(range(len(found.rows))))

    assert program.solve(program.costs()).assign == (1,)
