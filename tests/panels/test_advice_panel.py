"""The advice panel without a browser: what it shows of an answer, and what one press does to the season."""

from __future__ import annotations

import asyncio
import time
from dataclasses import replace
from html import escape
from pathlib import Path
from typing import Any

import ipywidgets as widgets
import pytest

from loadcalc.checks.findings.judge import evaluate
from loadcalc.model import Limit, Loadout, Place
from loadcalc.model.quantities import SI, US
from loadcalc.plan.advice.allowed import AdviceRules
from loadcalc.plan.advice.answers import EASED, LEAVE, LEGAL, LOWER, SINGLE, WHY, Lower, Within, lower_so_far
from loadcalc.plan.advice.plan import Added, Plan, checked
from loadcalc.plan.advice.problem import LEFT, Problem
from loadcalc.plan.advice.rearrange import MOST_MOVES, Point, curve
from loadcalc.plan.advice.solve import NOTHING, Solution
from loadcalc.plan.advice.unknown import Opened
from loadcalc.plan.advice.why import Short, WhyNot, why_not
from tests.advice_cases import loose_case
from tests.advice_hand import ZONES, hand_problem, stowed, zone
from tests.hand_case import CARRIER
from tests.season_help import FRIDAY, demo_season
from workbook.panels.advice import advice_words as words
from workbook.panels.advice import found_words
from workbook.panels.advice.advice import AdvicePanel
from workbook.panels.advice.advice_desk import CHANGED, LIMIT_S, TRIED, Adviser, point_plan, put_plan, shown
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.findings_words import headline


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A desk on a fresh copy of the demo season."""
    return Desk(demo_season(tmp_path, durable=False))


def riding(loadout: Loadout) -> dict[str, str]:
    """Where everything rides, by key."""
    return {**{s.item.key: s.zone for s in loadout.gear}, **{f.liquid.key: f.zone for f in loadout.liquids}}


def test_bringing_it_within_ratings_on_the_demo_is_one_entry_and_undo_takes_it_back(desk: Desk) -> None:
    """Over before, nothing known over after, every step where the plan said, one entry, and back again."""
    before, start = riding(desk.loadout), desk.season.version
    adviser = Adviser(desk)
    adviser.ask(LEGAL)
    (plan,) = adviser.shown.plans

    assert desk.report.over
    assert desk.season.version == start
    assert adviser.apply(plan)
    assert desk.season.version == start + 1
    assert evaluate(desk.season.vehicle, desk.season.loadout(FRIDAY)).over == ()
    changed = {
        key: riding(desk.loadout).get(key, "")
        for key, zone in before.items()
        if riding(desk.loadout).get(key) != zone
    }
    assert changed == {step.key: step.zone_to for step in plan.steps}
    assert desk.status == f"Kept in the ledger: {words.note(plan)}"
    assert headline(desk.report, US) in adviser.status
    desk.undo()
    assert riding(desk.loadout) == before
    assert adviser.status == ""  # what was said of the other loadout goes with it


def htmls(widget: widgets.Widget) -> list[str]:
    """All that a widget and those in it say."""
    said = [widget.value] if isinstance(widget, widgets.HTML) else []
    return [*said, *(text for child in getattr(widget, "children", ()) for text in htmls(child))]


def test_a_plan_says_no_less_than_the_departure_after_it(desk: Desk) -> None:
    """A cylinder past its date is overdue after any plan as well; the ratings alone would not say so."""
    desk.season.set_item("propane-cylinder", made_on="1990-01-01")
    desk.reload()
    panel = AdvicePanel(desk)
    panel.adviser.ask(LEGAL)
    (plan,) = panel.adviser.shown.plans
    after = headline(desk.judge(plan.loadout), US)

    assert "overdue or without a date" in after
    assert "overdue or without a date" not in headline(plan.after, US)
    assert f"After it: {escape(after)}" in "".join(htmls(panel.view))


def test_where_nothing_is_over_the_answer_is_the_judgment_and_no_pass(desk: Desk) -> None:
    """What is not known or overdue stands before the words that nothing is moved or left."""
    desk.season.set_limit("roof_off_road", Limit(limit_kg=120.0, read_at="invented"))
    desk.season.set_item("propane-cylinder", made_on="1990-01-01")
    desk.reload()
    adviser = Adviser(desk)
    for kind, end in ((LEGAL, "so advice moves nothing."), (LEAVE, "so advice leaves nothing home.")):
        adviser.ask(kind)
        assert adviser.shown.plans == ()
        assert adviser.shown.said == f"{headline(desk.report, US)} Every thing rides where it may, {end}"
    assert "without a known limit are not judged" in adviser.shown.said
    assert "overdue" in adviser.shown.said


def test_every_question_has_an_answer_on_the_demo(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """Words for each, plans that hold, and nothing written. Why nothing works is not proven in time, here or there."""
    monkeypatch.setitem(LIMIT_S, WHY, 2.0)
    start, adviser = desk.season.version, Adviser(desk)
    for kind in (LEGAL, LEAVE, WHY, SINGLE):
        adviser.ask(kind)
        assert adviser.status == ""
        assert adviser.shown.said
        for plan in adviser.shown.plans:
            assert plan.steps
            assert plan.after.loads_kg == evaluate(desk.vehicle, plan.loadout).loads_kg
        if kind in (LEGAL, LEAVE):
            assert adviser.shown.plans
            assert all(plan.after.over == () for plan in adviser.shown.plans)
    assert desk.season.version == start


def test_a_can_with_a_place_of_its_own_is_moved_to_the_zones_middle(desk: Desk) -> None:
    """The place it had was in the old zone; what is in it stays in it."""
    can = desk.loadout.liquids[1]
    key = f"{desk.season.find('loadout', FRIDAY)}/{can.liquid.key}"
    with desk.season.entry("its own place"):
        desk.season.put("filled", key, {"aft_m": 3.5, "left_m": 0.1, "up_m": 1.0})
    desk.reload()
    assert desk.loadout.liquids[1].place == Place(aft_m=3.5, left_m=0.1, up_m=1.0)
    rules = AdviceRules(side_m=1.0, may_add_to=frozenset({"zone:Cargo floor front"}))
    problem = Problem(desk.vehicle, desk.loadout, rules)
    thing = len(desk.loadout.gear) + 1
    floor = problem.zones.index("Cargo floor front")
    plan = checked(
        problem, tuple(floor if i == thing else z for i, z in enumerate(problem.stay)), within=False
    )

    assert plan is not None
    assert desk.do(lambda: put_plan(desk.season, FRIDAY, plan), "moved")
    moved = (
        desk.loadout.liquids[1] if desk.loadout.liquids[1].liquid == can.liquid else desk.loadout.liquids[-1]
    )
    assert (moved.liquid.key, moved.zone, moved.place) == (can.liquid.key, "Cargo floor front", None)
    assert moved.fill_l == pytest.approx(can.fill_l, abs=1e-12)
    assert evaluate(desk.vehicle, desk.loadout).cg.up_m == pytest.approx(plan.after.cg.up_m, abs=1e-12)


def test_advice_on_another_loadout_is_dropped(desk: Desk) -> None:
    """A slider moved, an edit elsewhere: the plans go away, and an old one cannot be applied."""
    adviser = Adviser(desk)
    adviser.ask(LEAVE)
    plan, start = adviser.shown.plans[0], desk.season.version
    desk.try_out(loadout=replace(desk.loadout, fuel_l=10.0))

    assert adviser.shown.plans == ()
    assert adviser.status == CHANGED
    assert not adviser.apply(plan)
    assert desk.season.version == start


def test_advice_on_what_is_only_tried_out_is_not_written_over_what_is_kept(desk: Desk) -> None:
    """Asked while less fuel is tried out: the plan was checked with less fuel, so it is refused until that is kept."""
    adviser = Adviser(desk)
    desk.try_out(loadout=replace(desk.loadout, fuel_l=10.0))
    adviser.ask(LEAVE)
    plan, start = adviser.shown.plans[0], desk.season.version

    assert not adviser.apply(plan)
    assert adviser.status == TRIED
    assert desk.season.version == start
    desk.reload()  # gone back
    adviser.ask(LEAVE)
    assert adviser.apply(adviser.shown.plans[0])


def test_words_follow_the_units_and_keep_the_plans(desk: Desk) -> None:
    """Switched to kilograms the same plans stand there, in kilograms."""
    panel = AdvicePanel(desk)
    panel.adviser.ask(LEAVE)
    steps = [plan.steps for plan in panel.adviser.shown.plans]
    assert " lb" in panel.adviser.shown.said
    desk.set_units("SI")

    assert " lb" not in panel.adviser.shown.said
    assert [plan.steps for plan in panel.adviser.shown.plans] == steps
    assert " lb" not in "".join(w.value for w in _of_kind(panel.view, widgets.HTML))


def _of_kind(root: widgets.Widget, kind: type) -> list[widgets.Widget]:
    found = [root] if isinstance(root, kind) else []
    for child in getattr(root, "children", ()):
        found += _of_kind(child, kind)
    return found


def test_the_panel_has_a_button_for_each_question_and_each_plan(desk: Desk) -> None:
    """What a reader may press, and a Stop that is off when nothing runs."""
    panel = AdvicePanel(desk)
    panel.adviser.ask(LEGAL)
    asked = _of_kind(panel.allow.view, widgets.Button)
    labels = [button.description for button in _of_kind(panel.view, widgets.Button) if button not in asked]

    assert labels[:6] == [
        "Bring it within ratings",
        "Lower it",
        "What stays home",
        "Why not",
        "Single moves",
        "Stop",
    ]
    assert [label for label in labels[6:]] == [f"Apply: {words.size_words(panel.adviser.shown.plans[0])}"]
    assert panel.stop.disabled


def test_the_page_answers_while_a_search_runs_and_stop_ends_it(desk: Desk) -> None:
    """In an event loop: seconds are counted, points shown as they come, other work goes on; Stop keeps the points."""

    async def press() -> tuple[list[str], int, float]:
        vehicle, loadout = loose_case(1)
        desk.vehicle, desk.loadout, desk.report = vehicle, loadout, evaluate(vehicle, loadout)
        panel = AdvicePanel(desk)
        adviser = panel.adviser
        seen: list[str] = []
        adviser.told.append(lambda: seen.append(adviser.status))
        adviser.ask(LOWER)
        job, ticks = adviser.job, 0
        start = time.monotonic()
        while adviser.job is not None and not any(" of the curve found" in line for line in seen):
            await asyncio.sleep(0.05)
            ticks += 1
            assert time.monotonic() - start < 120.0
        assert job is not None
        found = adviser.shown.points
        assert 1 < len(found) < MOST_MOVES + 1
        assert found_words.curve_rows(found, desk.report.cg.up_m, desk.units)[-1][1] in "".join(htmls(panel.result))
        assert _of_kind(panel.result, widgets.Dropdown) == []  # it would be drawn anew under the reader's hand
        adviser.stop()
        assert job._process.poll() is not None
        assert adviser.shown.points[: len(found)] == found
        assert len(_of_kind(panel.result, widgets.Dropdown)) == 1
        return seen, ticks, time.monotonic() - start

    seen, ticks, seconds = asyncio.run(press())
    assert seen[0].startswith("Looking for the lowest center of gravity … 0 s of at most 60 s")
    assert seen[-1].startswith("Stopped after")
    assert ticks > seconds / 0.05 / 4  # the loop was never held up for long


def plan_of(*gear: object, **fields: object) -> Plan:
    """A plan that takes the first thing from the roof to the rack and leaves the second."""
    problem = hand_problem(ZONES, gear, limits={"roof_road": Limit(limit_kg=100.0)}, carrier=CARRIER)  # type: ignore[arg-type]  # crates
    rack = problem.zones.index("rack")
    plan = checked(problem, (rack, LEFT))
    assert plan is not None
    return plan


def test_a_plan_in_words() -> None:
    """Its steps, what it does to the rating that changes, and where it leaves everything, in either unit."""
    plan = plan_of(stowed("anvil", 60.0, "roof"), stowed("tent", 20.0, "roof"))
    said = words.outcome_words(plan, plan.after, SI).splitlines()

    assert words.steps_words(plan, SI).splitlines() == [
        "Move: anvil (60 kg), roof → rack.",
        "Stays home: tent (20 kg), from roof.",
    ]
    # 30 kg of carrier stay on the roof of 100
    assert said[0] == "Vehicle roof, moving on road: 110% → 30%, 70 kg left."
    # the rack's own limit is not known; it was allowed by name
    assert said[-3:] == [
        "? Limit not known: as you allowed, it adds to",
        "Zone: rack: 60 kg more, 60 kg in all, limit not known.",
        f"After it: {headline(plan.after, SI)}",
    ]
    assert words.before_after(plan, SI) == [
        ("Zone: rack", "0 kg", "60 kg", "+60 kg", "? not known"),
        ("Vehicle roof, moving on road", "110%", "30%", "−80 kg", "70 kg left"),
    ]
    assert words.size_words(plan) == "1 move, 1 thing stays home"
    assert words.note(plan) == "Advice: move anvil to rack; tent stays home"
    assert "(132 lb)" in words.steps_words(plan, US)


def test_the_rules_are_told_in_the_readers_units() -> None:
    """4 L a kilogram is 0.479 gal a pound: 4 / 3.785412 x 0.45359237."""
    assert "a thing without a size takes 0.479 gal a pound;" in words.rules_words(AdviceRules(liters_per_kg=4.0), US)
    assert "a thing without a size takes 4 L a kilogram;" in words.rules_words(AdviceRules(liters_per_kg=4.0), SI)


def test_a_long_plan_has_a_short_note() -> None:
    """Four steps and more are only counted in the ledger's line."""
    plan = plan_of(stowed("anvil", 60.0, "roof"), stowed("tent", 20.0, "roof"))
    long = replace(plan, steps=plan.steps * 2)

    assert words.note(long) == "Advice: 2 moves, 2 things stay home"


def test_what_is_said_of_bringing_it_within_ratings() -> None:
    """Nothing to do, moves alone, leaving too, not sure, and nothing."""
    plan = plan_of(stowed("anvil", 60.0, "roof"), stowed("tent", 20.0, "roof"))
    sure = Solution(assign=(0,), proven=True)

    def said(some: Plan | None, found: Solution = sure, **fields: Any) -> str:
        return words.within_words(some, Within(found=found, **fields), plan.after, SI)

    nothing = said(replace(plan, steps=()))
    assert nothing.startswith(headline(plan.after, SI))
    assert nothing.endswith("Every thing rides where it may, so advice moves nothing.")
    assert said(replace(plan, steps=plan.moves)) == (
        "1 move will do by the known limits; it adds to 1 rating without one, as you allowed."
    )
    assert said(replace(plan, steps=plan.moves, after=plan.before)) == "1 move will do."
    assert said(plan, leaving=True).startswith("No rearrangement alone brings it within ratings")
    assert "found in time" in said(plan, leaving=True, sure=False)
    assert "not sure" not in said(plan)
    assert "Time ran out" in said(plan, replace(sure, proven=False))
    assert "Nothing that may be moved" in said(None)
    rack = Added(key="zone:rack", name="Zone: rack", added_kg=60.0, after_kg=75.0)
    no_way = "Adding to ratings without a known limit would not do either."
    assert said(plan, leaving=True, instead=Opened(asked=True)).endswith(no_way)
    assert no_way not in said(plan, leaving=True, instead=Opened(asked=True, sure=False))
    instead = said(plan, leaving=True, instead=Opened(added=(rack,), moves=2)).splitlines()
    assert instead[1].endswith("If advice might add to these, 2 moves would do:")
    assert instead[2] == "Zone: rack: 60 kg more, 75 kg in all, limit not known."


def test_the_curve_in_rows() -> None:
    """No allowed plan, a proven one, one with a gap, one of which nothing is known."""

    def point(moves: int, cost: float, bound: float, proven: bool) -> Point:
        return Point(moves=moves, found=Solution(assign=(0,), proven=proven, cost=cost, bound=bound))

    points = (
        Point(moves=0, found=NOTHING),
        point(1, 0.790, 0.790, True),
        point(2, 0.780, 0.7778, False),
        point(3, 0.775, float("nan"), False),
        Point(moves=4, found=Solution(assign=None, proven=False)),
    )
    assert found_words.curve_rows(points, 0.8, SI) == [
        ("0", "—", "—", "none within ratings"),
        ("1", "790 mm", "10 mm", "the lowest, to 1 mm"),
        ("2", "780 mm", "20 mm", "at most 3 mm lower is possible"),
        ("3", "775 mm", "25 mm", "how much lower is possible is not known"),
        ("4", "—", "—", "not known"),
    ]
    assert found_words.curve_words(points, 0.8, SI, eased=False) == (
        "Without a move, nothing is within ratings. "
        "The center of gravity is 800 mm up now; 3 moves can bring it down to 775 mm."
    )
    assert found_words.curve_words(points[:1], 0.8, SI, eased=False) == "No plan was found in this time."
    as_now = (point(0, 0.8, 0.8, True), point(1, 0.7998, 0.7998, True))
    stays = "With at most 1 move the center of gravity stays 800 mm up."
    assert found_words.curve_words(as_now, 0.8, SI, eased=False) == stays


def test_a_curve_that_ends_higher_says_so() -> None:
    """What is over now may be lower than anything within ratings: then nothing is brought down."""
    points = [
        Point(moves=n, found=Solution(assign=(0,), proven=True, cost=cost, bound=cost))
        for n, cost in ((2, 0.83), (3, 0.82))
    ]
    assert [row[2] for row in found_words.curve_rows(points, 0.8, SI)] == ["30 mm higher", "20 mm higher"]
    assert found_words.curve_words(points, 0.8, SI, eased=False) == (
        "With fewer than 2 moves, nothing is within ratings. "
        "The center of gravity is 800 mm up now; within ratings it is at least 820 mm up."
    )


def test_the_curve_names_no_more_moves_than_can_be_read_off_it() -> None:
    """Moves 3 and 4 gain less than the last digit, so two will do; 31 in stands under 31.1 in as 31.0 in."""
    points = [
        Point(moves=n, found=Solution(assign=(0,), proven=True, cost=inches * 0.0254, bound=inches * 0.0254))
        for n, inches in enumerate((31.3, 31.1, 31.02, 31.01, 30.98))
    ]
    rows = found_words.curve_rows(points, 31.3 * 0.0254, US)
    assert [row[1] for row in rows] == ["31.3 in", "31.1 in", "31.0 in", "31.0 in", "31.0 in"]
    assert [row[2] for row in rows] == ["0.0 in", "0.2 in", "0.3 in", "0.3 in", "0.3 in"]
    said = found_words.curve_words(points, 31.3 * 0.0254, US, eased=False)
    assert said == "The center of gravity is 31.3 in up now; 2 moves can bring it down to 31 in."


def test_how_well_heights_are_known_is_told_beside_the_curve(desk: Desk) -> None:
    """Each point to 1 mm; all rest on an estimate that is further off than that. The demo says where it is from."""
    problem = Problem(desk.vehicle, desk.loadout)
    lower = Lower(points=curve(problem.no_worse(), most_moves=1), eased=True)
    said = shown(LOWER, lower, problem, desk).said

    rows = found_words.curve_rows(lower.points, problem.report.cg.up_m, US)
    assert [row[3] for row in rows] == ["the lowest, to 0.04 in"] * 2
    assert f"({desk.vehicle.cg_height_from}). An estimate of it is easily 0.8 in off" in said
    begin = "No 15 moves bring it within ratings; “Bring it within ratings” tells what would. These plans make no"
    assert said.startswith(begin)
    assert "that of the empty vehicle (nobody said from where)." in found_words.doubt_words("", SI)


def test_a_curve_stopped_half_way_keeps_its_points() -> None:
    """As they came; after the search was eased only what came then."""
    one, two = (Point(moves=n, found=Solution(assign=(0,), proven=True, cost=0.8, bound=0.8)) for n in (1, 2))
    assert lower_so_far([one, two]) == Lower(points=(one, two))
    assert lower_so_far([two, EASED, one]) == Lower(points=(one,), eased=True)


def test_the_plan_of_a_point_is_judged_anew() -> None:
    """A point whose plan does not hold shows nothing."""
    problem = hand_problem(
        ZONES, (stowed("anvil", 60.0, "roof"),), limits={"roof_road": Limit(limit_kg=60.0)}
    )
    rack, roof = problem.zones.index("rack"), problem.zones.index("roof")
    points = tuple(
        Point(moves=n, found=Solution(assign=(place,), proven=True, cost=0.8, bound=0.8))
        for n, place in ((1, rack), (2, roof))
    )
    plan = point_plan(problem, points, 1)

    assert plan is not None
    assert plan.within
    assert point_plan(problem, points, 2) is not None  # over as before, not worse
    assert point_plan(problem, points, 3) is None


def test_why_not_in_words() -> None:
    """What would have to give, what clashes, what has no place, and what must come."""
    zones = (zone("roof", up_m=2.0, limit_kg=12.0, on_carrier=True), zone("rack", limit_kg=15.0))
    problem = hand_problem(zones, (stowed("anvil", 20.0, "roof", must_come=True),))
    said = found_words.why_words(why_not(problem), SI, ["anvil"])
    assert "Zone: rack: over by 5 kg, 33% of its limit." in said
    assert "at once: Zone: roof; Zone: rack." in said or "at once: Zone: rack; Zone: roof." in said
    assert "Marked as must come: anvil." in said
    aside = found_words.short_words(
        Short(key="side:left", name="Balance, left side", kind="side", over=9.0, share=0.3), SI
    )
    assert aside == "Balance, left side: outside the balance target by 30% of it."
    homeless = WhyNot(works=False, homeless=(("gas", ("fuel and gas ride outside the cabin",)),))
    assert (
        found_words.why_words(homeless, SI, [])
        == "No zone may take gas: fuel and gas ride outside the cabin."
    )
    assert "Bring it within ratings" in found_words.why_words(WhyNot(works=True), SI, [])
    assert "Time ran out" in found_words.why_words(WhyNot(works=False, proven=False), SI, [])


def test_the_wishes_are_stated() -> None:
    """Whoever reads a plan reads what it was held to."""
    said = words.rules_words(AdviceRules(), SI)

    for part in ("90%", "20 mm", "250 mm", "4 L a kilogram", "2 kg", "fuel and gas ride outside the cabin"):
        assert part in said
