"""Advice spends no limit that nobody knows, unless a person allows it by name; then it says so."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path
from random import Random

import numpy as np
import pytest

from loadcalc.checks.findings.judge import evaluate
from loadcalc.model import Limit, Place
from loadcalc.model.quantities import SI, US
from loadcalc.plan.advice.allowed import AdviceRules
from loadcalc.plan.advice.answers import LEAVE, LEGAL, LOWER, SINGLE, WHY, answer
from loadcalc.plan.advice.leave import what_to_leave
from loadcalc.plan.advice.plan import Plan, checked
from loadcalc.plan.advice.problem import LEFT, UNKNOWN, Problem
from loadcalc.plan.advice.rearrange import fewest_moves
from loadcalc.plan.advice.single import single_moves
from loadcalc.plan.advice.unknown import opened
from loadcalc.plan.advice.why import why_not
from tests.advice_cases import All, all_of, allowing
from tests.advice_crew import crew_case
from tests.advice_hand import FREE, hand_problem, stowed, zone
from tests.advice_unknown_case import ROOF_LIMITS, ROOF_ZONES, SPOOL, SPOOL_KG, gappy_case, spool_season
from tests.season_help import FRIDAY, demo_season
from workbook.panels.advice import advice_words as words
from workbook.panels.advice.advice_desk import Adviser, Shown, point_plan, shown
from workbook.panels.advice.unknown_words import offers
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.findings_words import headline
from workbook.panels.desk.ratings_words import percent

FRONT = frozenset({*ROOF_LIMITS, ROOF_ZONES[0]})  # what a move onto the front of the roof adds to

# of the first 80: those that have a plan
PLANS = (
    6, 9, 10, 11, 12, 13, 15, 16, 21, 23, 24, 26, 27, 28, 30, 31, 32, 34, 35, 38, 42, 43, 46, 47, 49, 50, 51,
    52, 53, 55, 58, 63, 65, 66, 67, 69, 70, 71, 78, 79,
)  # fmt: skip
# of the first 120: all where adding to an unknown limit would open a way, and some of each other kind
SHUT = (
    0, 1, 2, 3, 4, 14, 15, 16, 21, 22, 24, 46, 51, 55, 69, 78, 86, 89, 92, 101, 112, 118,
)  # fmt: skip


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A desk on the season whose roof nobody knows anything of."""
    return Desk(spool_season(tmp_path))


@pytest.fixture(scope="module")
def reader(tmp_path_factory: pytest.TempPathFactory) -> Desk:
    """A desk that nothing is written to: only its units and words are used."""
    return Desk(spool_season(tmp_path_factory.mktemp("reader")))


def test_ninety_kilograms_are_not_put_on_a_roof_of_which_nothing_is_known(desk: Desk) -> None:
    """Were an unknown limit no limit, one move would do. It is not offered, and what is in the way is named."""
    adviser = Adviser(desk)
    for kind in (LEGAL, WHY):
        adviser.ask(kind)

        assert adviser.shown.plans == ()
        said = adviser.shown.said.splitlines()
        begin = next(i for i, line in enumerate(said) if line.endswith("1 move would do:"))
        named = said[begin + 1 : begin + 1 + len(FRONT)]
        of = {desk.report.rating(key).name for key in FRONT}
        assert {line.rpartition(": ")[0] for line in named} == of
        assert all(f": {US.mass(SPOOL_KG)} more, " in line and "limit not known" in line for line in named)
        assert "page 01" in said[begin + 1 + len(FRONT)]
    adviser.ask(SINGLE)
    assert [
        step.name for plan in adviser.shown.plans for step in plan.steps if step.zone_to.startswith("Roof")
    ] == []


def test_what_a_person_allows_by_name_is_used_and_told(desk: Desk) -> None:
    """The same with the seven ratings named: one move; the outcome says what it adds to each, before the verdict."""
    adviser = Adviser(desk)
    adviser.allow(FRONT)
    adviser.ask(LEGAL)
    (plan,) = adviser.shown.plans
    said = words.outcome_words(plan, plan.after, US).splitlines()

    assert [(step.name, step.zone_to) for step in plan.steps] == [(SPOOL, "Roof platform front")]
    before, after = desk.report, evaluate(desk.vehicle, plan.loadout)
    for key in FRONT:
        in_all = US.mass(before.rating(key).load_kg + SPOOL_KG)
        assert (
            f"{after.rating(key).name}: {US.mass(SPOOL_KG)} more, {in_all} in all, limit not known." in said
        )
    assert said[-1] == f"After it: {headline(after, US)}"
    assert adviser.apply(plan)
    assert desk.season.loadout(FRIDAY) == plan.loadout
    assert all(after.rating(key).name in adviser.status for key in FRONT)


def test_a_limit_known_by_assumption_only_is_used_and_named(tmp_path: Path) -> None:
    """Somebody guessed what the floor carries: advice may use it, and each plan that does says what it rests on."""
    season = demo_season(tmp_path, durable=False)
    season.set_limit("zone:Cargo floor front", Limit(limit_kg=120.0, read_at="a guess by Ines"))
    adviser = Adviser(Desk(season))
    adviser.ask(SINGLE)
    onto = [p for p in adviser.shown.plans if p.steps[0].zone_to == "Cargo floor front"]

    assert onto
    for plan in adviser.shown.plans:
        said = words.outcome_words(plan, plan.after, US)
        begin = "? Limit only assumed (a guess by Ines): Zone: Cargo floor front "
        more = f"{US.mass(plan.steps[0].mass_kg)} more, {percent(plan.after.rating('zone:Cargo floor front'))} used."
        assert (begin + more in said) is (plan in onto)


@pytest.mark.parametrize("spared", sorted(FRONT))
def test_one_rating_that_is_not_named_is_enough_to_refuse(desk: Desk, spared: str) -> None:
    """Six of seven allowed: the spool stays off the front of the roof."""
    problem = Problem(desk.vehicle, desk.loadout, AdviceRules(may_add_to=FRONT - {spared}))
    spool = next(i for i, thing in enumerate(problem.things) if thing.name == SPOOL)
    front = problem.zones.index("Roof platform front")
    up = tuple(front if i == spool else z for i, z in enumerate(problem.stay))

    assert fewest_moves(problem).assign is None
    assert checked(problem, up) is None
    assert checked(problem, up, within=False) is None


def test_a_plan_of_what_is_allowed_no_more_is_not_applied(desk: Desk) -> None:
    """The plan goes away when its permission does, and one that somebody still holds is refused."""
    adviser = Adviser(desk)
    adviser.allow(FRONT)
    adviser.ask(LEGAL)
    (plan,), start = adviser.shown.plans, desk.season.version
    adviser.allow(FRONT - {"roof_road"})

    assert adviser.shown == Shown(said="")
    assert adviser.status == "What advice may add to has changed: ask again."
    assert not adviser.apply(plan)
    assert desk.season.version == start


def plans_of(kind: str, problem: Problem, desk: Desk) -> list[Plan]:
    """Every plan that the panel would show as an answer, the curve's among them."""
    found = shown(kind, answer(kind, problem), problem, desk)
    points = (point_plan(problem, found.points, point.moves) for point in found.points)
    return [*found.plans, *(plan for plan in points if plan is not None)]


def spent_kg(problem: Problem, plan: Plan) -> dict[str, float]:
    """What a plan adds to ratings without a limit, by `evaluate` alone [kg]."""
    before, after = (evaluate(problem.vehicle, loadout) for loadout in (problem.loadout, plan.loadout))
    gains = {rating.key: after.rating(rating.key).load - rating.load for rating in before.not_known}
    return {key: kg for key, kg in gains.items() if kg > 1e-6}


@pytest.mark.parametrize("seed", PLANS)
def test_no_plan_adds_to_what_nobody_knows_unless_allowed_and_then_it_is_told(seed: int, reader: Desk) -> None:
    """Random loadouts with gaps, and a random part of the gaps allowed: every plan of every question."""
    vehicle, loadout = gappy_case(seed)
    rules = allowing(AdviceRules(side_m=0.2), vehicle, loadout, (0.0, 0.3, 0.7, 1.0)[seed % 4], seed)
    problem = Problem(vehicle, loadout, rules)
    for kind in (LEGAL, LOWER, LEAVE, SINGLE):
        for plan in plans_of(kind, problem, reader):
            spent = spent_kg(problem, plan)
            assert spent.keys() <= rules.may_add_to
            assert {one.key: one.added_kg for one in plan.added} == pytest.approx(spent, abs=1e-9)
            said = words.outcome_words(plan, plan.after, SI)
            for one in plan.added:
                assert f"{one.name}: " in said
            assert headline(plan.after, SI) in said


def test_the_gaps_are_of_every_kind_and_some_are_spent(reader: Desk) -> None:
    """The test before would pass if no plan ever were near an unknown limit: here zones, roof, axles, and tires are."""
    groups, spent = set(), 0
    for seed in PLANS:
        vehicle, loadout = gappy_case(seed)
        for row in Problem(vehicle, loadout, AdviceRules()).may_gain:
            groups.add("axle" if row.key.endswith("_axle") else row.group)
        problem = Problem(vehicle, loadout, allowing(AdviceRules(side_m=0.2), vehicle, loadout))
        spent += any(spent_kg(problem, plan) for plan in plans_of(LEGAL, problem, reader))
    assert {"zone", "roof", "axle", "tire"} <= groups
    assert spent > 10


@pytest.mark.parametrize("seed", range(2))
def test_the_demos_zones_are_not_spent(seed: int, reader: Desk) -> None:
    """The demo's vehicle and other things: nine zones and two ratings of the roof have no limit, inside and on top."""
    problem = Problem(*crew_case(seed, 0.5, items=30))
    for kind in (LEGAL, LEAVE, SINGLE):
        for plan in plans_of(kind, problem, reader):
            assert spent_kg(problem, plan) == {}
    for point in answer(LOWER, problem, time_limit_s=2.0).points:
        if point.found.assign is not None:
            judged = checked(problem, point.found.assign, within=False)
            assert judged is not None
            assert spent_kg(problem, judged) == {}


def within_known(problem: Problem, every: All) -> np.ndarray:
    """Which choices keep every known limit, in the first column, and which add to each of the others: (C, 1 + K)."""
    loads = np.array([problem.loads(tuple(row)) for row in every.assign]).reshape(len(every.assign), -1)
    known = np.array([row.kind != UNKNOWN for row in problem.rows], dtype=bool)
    may = problem.may[np.arange(len(problem.things)), every.assign].all(axis=1)
    holds = loads <= problem.most
    return np.column_stack([may & holds[:, known].all(axis=1), ~holds[:, ~known]])


@pytest.mark.parametrize("seed", SHUT)
def test_what_would_open_the_way_is_what_counting_gives(seed: int) -> None:
    """No way by known limits alone: the ratings named do, none of them can be spared, and with no fewer moves."""
    vehicle, loadout = gappy_case(seed)
    problem = Problem(vehicle, loadout, AdviceRules(side_m=0.2))
    every = all_of(problem, leaving=False)
    if every.within.any() or problem.homeless:
        return
    way = opened(problem)
    table = within_known(problem, every)
    within, spends = table[:, 0], table[:, 1:]
    keys = [row.key for row in problem.rows if row.kind == UNKNOWN]
    assert way.sure
    assert bool(way) == bool(within.any())
    assert way.asked == (UNKNOWN in {row.kind for row in problem.rows})
    assert why_not(problem).instead == way
    if not way:
        return
    named = {added.key for added in way.added}
    others = np.array([key not in named for key in keys])
    does = within & ~spends[:, others].any(axis=1)
    assert way.moves == every.moves[does].min()
    for less in combinations(sorted(named), len(named) - 1):
        shut = np.array([key not in less for key in keys])
        assert not (within & ~spends[:, shut].any(axis=1)).any()


def test_the_cases_above_are_of_both_kinds() -> None:
    """Some have a way by unknown limits only, some have none even so."""
    kinds = set()
    for seed in SHUT:
        problem = Problem(*gappy_case(seed), AdviceRules(side_m=0.2))
        if fewest_moves(problem).assign is None and not problem.homeless:
            kinds.add(bool(opened(problem)))
    assert kinds == {True, False}


def test_a_zone_inside_is_named_before_a_roof() -> None:
    """40 kg too much in the rack; shelf and roof have no limits: the shelf alone will do, though the roof would too."""
    zones = (zone("rack", limit_kg=10.0), zone("roof", up_m=2.0, on_carrier=True), zone("shelf"))
    for order in (zones, (zones[0], zones[2], zones[1])):
        way = opened(hand_problem(order, (stowed("anvil", 50.0, "rack"),), careful=True))
        assert [(one.key, one.added_kg, one.after_kg) for one in way.added] == [("zone:shelf", 50.0, 50.0)]


def test_leaving_things_home_opens_no_way_unless_asked() -> None:
    """60 kg in a rack of 10, a shelf of unknown limit and little room: one thing goes there, one stays home."""
    zones = (zone("rack", limit_kg=10.0), zone("shelf", size=stowed("s", 1.0, "rack").item.size))
    gear = (stowed("anvil", 30.0, "rack", must_come=True), stowed("vise", 30.0, "rack"))
    rules = AdviceRules(side_m=1.0, fill=1.0)
    problem = hand_problem(zones, gear, rules, careful=True)

    assert not opened(problem)
    way = opened(problem, leaving=True)
    assert (way.moves, way.left, [one.key for one in way.added]) == (1, 1, ["zone:shelf"])
    assert why_not(problem, leaving=True).instead == way


def test_things_may_change_places_in_a_zone_of_which_nothing_is_known() -> None:
    """The shelf carries 12 kg now: 12 kg may take its place, 13 kg may not."""
    zones = (zone("roof", up_m=2.0, limit_kg=12.0, on_carrier=True), zone("shelf"))
    for kg, fits in ((12.0, True), (13.0, False)):
        gear = (stowed("box", 12.0, "shelf"), stowed("bag", kg, "roof", stay_low=True))
        problem = hand_problem(zones, gear, careful=True, limits={})
        assert problem.may_gain
        allowed = Problem(
            problem.vehicle, problem.loadout, AdviceRules(side_m=1.0, may_add_to=frozenset(ROOF_LIMITS))
        )
        assert (fewest_moves(allowed).assign == (0, 1)) is fits


def test_an_axle_without_a_limit_takes_no_more() -> None:
    """One kilogram half way to the front axle more is told of that axle, and refused; to the rear it may go."""
    zones = (
        zone("middle", limit_kg=90.0, place=Place(aft_m=1.5, up_m=0.8)),
        zone("fore", limit_kg=90.0, place=Place(aft_m=0.0, up_m=0.8)),
        zone("aft", limit_kg=90.0, place=Place(aft_m=3.0, up_m=0.8)),
    )
    limits = {"rear_axle": Limit(limit_kg=2000.0), "gross": Limit(limit_kg=3000.0)}
    found = hand_problem(zones, (stowed("box", 20.0, "middle"),), careful=True, limits=limits)
    tires = frozenset(f"tire:{end}_{side}" for end in ("front", "rear") for side in ("left", "right"))
    problem = Problem(found.vehicle, found.loadout, AdviceRules(side_m=1.0, may_add_to=tires))
    allowed = Problem(found.vehicle, found.loadout, AdviceRules(side_m=1.0, may_add_to=tires | {"front_axle"}))

    assert {row.key for row in found.may_gain} == tires | {"front_axle"}
    assert checked(problem, (2,)) is not None
    assert checked(problem, (1,)) is None
    plan = checked(allowed, (1,))
    assert plan is not None
    # half of its 20 kg stood on the front axle, all of it does now
    front = next(one for one in plan.added if one.key == "front_axle")
    assert front.added_kg == pytest.approx(10.0, abs=1e-9)


def test_what_stays_home_may_not_load_an_axle_of_unknown_limit() -> None:
    """A thing behind the rear axle lightens the front one: left home, it would load it by a third of its mass."""
    behind = zone("behind", limit_kg=90.0, place=Place(aft_m=4.0, up_m=0.8))
    limits = {"rear_axle": Limit(limit_kg=830.0)}
    gear = (stowed("winch", 30.0, "behind"),)
    careful = hand_problem((behind,), gear, careful=True, limits=limits)
    free = hand_problem((behind,), gear, limits=limits)

    assert "front_axle" in {row.key for row in careful.may_gain}
    assert what_to_leave(careful).fewest == ()
    (found,) = what_to_leave(free).fewest
    plan = checked(free, found.assign or ())
    assert plan is not None
    assert plan.added[0].added_kg == pytest.approx(30.0 * (4.0 - 3.0) / 3.0, abs=1e-9)
    assert found.assign == (LEFT,)


def barred(desk: Desk, bar_kg: float | None, foot_kg: float | None) -> None:
    """Make every limit of the roof known and generous, and put it on three bars with these limits [kg]."""
    season = desk.season

    def enter() -> None:
        for key in (*ROOF_LIMITS, *ROOF_ZONES):
            season.set_limit(key, Limit(limit_kg=900.0, read_at="invented"))
        for name, aft_m in (("Front", 1.2), ("Middle", 2.0), ("Rear", 2.8)):
            if name not in [bar.name for bar in season.carrier.bars]:  # type: ignore[union-attr]  # it has one
                season.add("bar", name=name, aft_m=aft_m, half_span_m=0.6)
            season.set("bar", name, limit=Limit(limit_kg=bar_kg), foot_limit_kg=foot_kg)

    assert desk.do(enter, "bars")


def test_a_foot_that_is_full_keeps_the_spool_off_the_roof(desk: Desk) -> None:
    """Every limit of roof and carrier is generous, but a foot carries 20 kg: that decides, as any rating does."""
    barred(desk, 300.0, 300.0)
    adviser = Adviser(desk)
    adviser.ask(LEGAL)
    assert [(s.name, s.zone_to[:4]) for s in adviser.shown.plans[0].steps] == [(SPOOL, "Roof")]
    barred(desk, 300.0, 20.0)
    adviser.ask(LEGAL)
    assert SPOOL not in [step.name for plan in adviser.shown.plans for step in plan.moves]


def test_bars_and_feet_of_unknown_limits_are_asked_about_once_each(desk: Desk) -> None:
    """Two ways of sharing the load out are two rows and one rating: one name to tick, and one amount told."""
    barred(desk, None, None)
    feet = {f"bar:{bar}{foot}" for bar in ("Front", "Middle", "Rear") for foot in ("", ":left", ":right")}
    problem = Problem(desk.vehicle, desk.loadout)
    offered = [offer.key for offer in offers(problem.may_gain, desk.loadout)]
    assert sorted(offered) == sorted(feet)
    way = opened(problem)
    assert {one.key for one in way.added} <= feet
    assert len({one.key for one in way.added}) == len(way.added)
    assert fewest_moves(Problem(desk.vehicle, desk.loadout, AdviceRules(may_add_to=frozenset(feet)))).assign


def test_idle_ratings_stay_out_of_the_way(tmp_path: Path) -> None:
    """The demo's hitch has a rating without a limit, and nothing can be moved onto it: it is not asked about."""
    season = demo_season(tmp_path, durable=False)
    problem = Problem(season.vehicle, season.loadout(FRIDAY))

    assert not problem.report.rating("hitch_off_road").known
    assert "hitch_off_road" not in {row.key for row in problem.may_gain}
    assert "hitch_off_road" not in {row.key for row in problem.rows}
    assert {"roof_parked", "carrier_parked", "zone:Cargo floor front"} <= {
        row.key for row in problem.may_gain
    }


def test_a_single_move_adds_to_nothing_unknown() -> None:
    """Of every move there is: those onto an unknown limit are never ranked, whatever they win."""
    for seed in range(40):
        problem = Problem(*gappy_case(seed, items=8, zones=5), AdviceRules(side_m=0.5))
        for move in single_moves(problem, most=1000):
            plan = checked(problem, move.assign, within=False)
            assert plan is not None
            assert spent_kg(problem, plan) == {}


def test_any_rearrangement_that_spends_is_refused_by_the_last_judge() -> None:
    """Whatever a search would say: random arrangements judged by `checked` alone."""
    refused = 0
    for seed in range(150):
        problem = Problem(*gappy_case(seed), AdviceRules(side_m=1.0))
        random = Random(seed)
        assign = tuple(random.choice([*range(len(problem.zones)), LEFT]) for _ in problem.things)
        plan = checked(problem, assign, within=False)
        if plan is None:
            refused += 1
        else:
            assert spent_kg(problem, plan) == {}
    assert 0 < refused < 150
    assert FREE.may_add_to == frozenset()
