"""Arranging the carrier: legal plans, proven best ones against all plans tried out, and why nothing fits."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from dataclasses import replace
from itertools import product

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from loadcalc.model import BadValue
from loadcalc.plan.roof_layout import arrange, deck
from loadcalc.plan.roof_layout.arrange import Arrangement, ArrangeSearch, Outcome
from loadcalc.plan.roof_layout.footprint import Footprint
from loadcalc.plan.roof_layout.layout_rules import (
    LayoutRules,
    RoofSpot,
    Task,
    applied,
    at_an_edge,
    broken,
    center,
    footprints,
    spread_m,
    task_of,
    together,
)
from tests.roof_case import LOADOUT, task, thing
from tests.strategies import tried

CELL_M = 0.1
FREE = LayoutRules(balance_m=None, tie_room_m=None, reach_m=None)


def run(job: Task, time_s: float = 20.0) -> tuple[Outcome, list[Arrangement]]:
    """Search to the end; every plan that came must be legal, and no worse than the one before."""
    heard: list[Arrangement] = []
    outcome = ArrangeSearch(job, time_s=time_s).run(heard.append)
    for plan in heard:
        assert broken(job, plan.spots) == ()
    assert [plan.number for plan in heard] == [*range(1, len(heard) + 1)]
    assert outcome.plans == len(heard)
    assert outcome.plan == (heard[-1] if heard else None)
    return outcome, heard


def every_plan(job: Task, cell_m: float) -> Iterator[dict[str, RoofSpot]]:
    """All plans on a coarse grid, one by one, legal or not."""
    ways = []
    for one in job.movable:
        mine = []
        for turned in (False, True):
            long, wide = one.size.length_m, one.size.width_m
            long, wide = (wide, long) if turned else (long, wide)
            for i, j in product(
                range(round((job.deck.length_m - long) / cell_m) + 1),
                range(round((job.deck.width_m - wide) / cell_m) + 1),
            ):
                mine.append(
                    RoofSpot(
                        job.deck.fore_m + i * cell_m + long / 2,
                        job.deck.right_m + j * cell_m + wide / 2,
                        turned,
                    )
                )
        ways.append(mine)
    for spots in product(*ways):
        yield {one.key: spot for one, spot in zip(job.movable, spots, strict=True)}


small = st.tuples(st.integers(1, 3), st.integers(1, 2), st.integers(1, 20))


@tried(8)
@example([(1, 1, 10), (1, 1, 20), (2, 2, 20)], True)  # the best lies right on the balance's limit
@given(st.lists(small, min_size=1, max_size=3), st.booleans())
def test_proven_best_is_the_best_of_all_plans(sizes: list[tuple[int, int, int]], balanced: bool) -> None:
    """On a deck of 4 by 3 cells, every plan tried out by itself: the same least spread, or none at all."""
    things = [thing(f"t{n}", float(kg), a * CELL_M, b * CELL_M) for n, (a, b, kg) in enumerate(sizes)]
    rules = LayoutRules(balance_m=0.04 if balanced else None, tie_room_m=None, reach_m=None)
    job = Task(
        deck=Footprint(aft_m=2.0, left_m=0.0, length_m=4 * CELL_M, width_m=3 * CELL_M),
        tie_points=(), things=tuple(things), rules=rules,
    )  # fmt: skip
    legal = [
        spread_m(job, footprints(job, spots)) for spots in every_plan(job, CELL_M) if not broken(job, spots)
    ]
    outcome = ArrangeSearch(job, cell_m=CELL_M).run()
    if legal:
        assert outcome.end == arrange.BEST
        assert outcome.plan is not None
        assert outcome.plan.spread_m == pytest.approx(min(legal), abs=1e-9)
    else:
        assert outcome.end == arrange.NOTHING_FITS
        assert outcome.cause is not None


def test_a_pinned_thing_is_a_wall() -> None:
    """A strip across the whole deck stays; the rest lies before and behind it."""
    strip = thing("strip", 5.0, 0.4, 1.2, at=(2.0, 0.0), pinned=True)
    job = task(strip, thing("a", 10.0, 0.8, 0.8), thing("b", 10.0, 0.8, 0.8))
    outcome, _ = run(job)
    assert outcome.end == arrange.BEST
    assert outcome.plan is not None
    assert set(outcome.plan.spots) == {"stowed:a", "stowed:b"}
    prints = footprints(job, outcome.plan.spots)
    assert sorted(p.aft_m < 2.0 for p in prints.values() if p != strip.footprint) == [False, True]


def test_tie_points_stay_free() -> None:
    """A thing as wide as the deck would cover a tie point at its middle; kept free, it lies beside it."""
    wide = thing("wide", 10.0, 0.6, 1.2)
    covered, _ = run(task(wide, tie_points=((2.0, 0.5),), rules=replace(FREE, may_turn=False)))
    assert covered.plan is not None
    assert covered.plan.spread_m == pytest.approx(0.0, abs=0.003)
    free, _ = run(task(wide, tie_points=((2.0, 0.5),), rules=LayoutRules(tie_room_m=0.03, may_turn=False)))
    assert free.plan is not None
    assert free.plan.spread_m == pytest.approx(0.33, abs=0.006)


def test_the_load_is_balanced_sideways() -> None:
    """30 kg and 10 kg: within 2 cm of the center line, and not so when that rule is off."""
    things = (thing("heavy", 30.0, 2.0, 0.5), thing("light", 10.0, 2.0, 0.5))
    job = task(*things, rules=LayoutRules(balance_m=0.02))
    outcome, _ = run(job)
    assert outcome.end == arrange.NOTHING_FITS  # side by side, 0.5 apart or more: 0.1 m off at the least
    assert outcome.cause is not None
    assert (outcome.cause.kind, outcome.cause.names) == (arrange.RULES, ("balance",))
    allowed, _ = run(task(*things, rules=LayoutRules(balance_m=0.11)))
    assert allowed.plan is not None
    _, left_m = center(job, footprints(job, allowed.plan.spots))
    assert abs(left_m) <= 0.11


def test_the_loads_center_keeps_to_its_forward_and_rearward_limits() -> None:
    """One box of 1.0 m may lie with its middle from 1.5 to 2.5 aft: limits decide where."""
    for rules, expected in (
        (LayoutRules(forward_m=2.3), 2.3), (LayoutRules(rearward_m=1.7), 1.7), (LayoutRules(gather_m=2.4), 2.4),
        (LayoutRules(), 2.0),
    ):  # fmt: skip
        outcome, _ = run(task(thing("box", 10.0, 1.0, 1.2), rules=rules))
        assert outcome.plan is not None
        assert outcome.plan.spots["stowed:box"].aft_m == pytest.approx(expected, abs=0.0051)


def test_a_group_stays_together() -> None:
    """Two light things at the ends would be better spread; as a group they lie side by side."""
    things = [thing("a1", 1.0, 0.5, 1.2, group="a"), thing("a2", 1.0, 0.5, 1.2, group="a")]
    heavy = thing("heavy", 30.0, 0.5, 1.2)
    apart, _ = run(task(*things, heavy, rules=LayoutRules(groups=False)))
    assert apart.plan is not None
    assert apart.plan.spots["stowed:heavy"].aft_m == pytest.approx(2.0, abs=0.01)
    outcome, _ = run(task(*things, heavy))
    assert outcome.end == arrange.BEST
    assert outcome.plan is not None
    spots = outcome.plan.spots
    order = sorted(spots, key=lambda key: spots[key].aft_m)
    assert order.index("stowed:heavy") != 1
    gap = abs(spots["stowed:a1"].aft_m - spots["stowed:a2"].aft_m) - 0.5
    assert gap <= 0.0505


def test_a_group_gathers_around_what_is_pinned_of_it() -> None:
    """The pinned one lies at the rear end: the other two lie by it, or by each other."""
    pin = thing("pin", 5.0, 0.4, 0.4, at=(2.8, 0.0), pinned=True, group="g")
    others = [thing(f"o{n}", 5.0, 0.4, 0.4, group="g") for n in range(2)]
    job = task(pin, *others, rules=replace(FREE, gather_m=1.2))
    outcome, _ = run(job)
    assert outcome.plan is not None
    assert max(spot.aft_m for spot in outcome.plan.spots.values()) >= 2.8 - 0.4 - 0.0505


def at(fore_m: float, right_m: float = 0.0) -> Footprint:
    """A square of 0.2 m by its front right corner."""
    return Footprint(aft_m=fore_m + 0.1, left_m=right_m + 0.1, length_m=0.2, width_m=0.2)


def test_what_hangs_together() -> None:
    """A chain does, over its links; a gap of 6 cm ends it; past a corner is still side by side."""
    assert together([at(0.0), at(0.5), at(0.25)])
    assert not together([at(0.0), at(0.5)])
    assert not together([at(0.0), at(0.26)])
    assert together([at(0.0), at(0.24, 0.24)])
    assert not together([at(0.0), at(0.2), at(1.0), at(1.2)])


def test_what_is_wanted_on_the_way_lies_at_an_edge() -> None:
    """A small box that would gather in the middle lies within reach of a side or of the rear."""
    kit = thing("kit", 5.0, 0.3, 0.3, reachable=True)
    job = task(kit, thing("a", 1.0, 0.3, 0.3), rules=LayoutRules(balance_m=None, reach_m=0.1))
    outcome, _ = run(job)
    assert outcome.plan is not None
    assert at_an_edge(footprints(job, outcome.plan.spots)["stowed:kit"], job.deck, 0.1)


def test_a_half_is_kept() -> None:
    """Told to lie behind, its middle does."""
    rules = LayoutRules(halves={"stowed:b": "front half"}, gather_m=3.0, balance_m=None)
    job = task(thing("a", 5.0, 0.6, 1.0), thing("b", 5.0, 0.6, 1.0), rules=rules)
    outcome, _ = run(job)
    assert outcome.plan is not None
    assert outcome.plan.spots["stowed:b"].aft_m <= 2.0 < outcome.plan.spots["stowed:a"].aft_m


# Why nothing fits ------------------------------------------------------------------------------------------


def cause(
    *things: deck.Thing, rules: LayoutRules = FREE, tie_points: tuple[tuple[float, float], ...] = ()
) -> arrange.Cause:
    """The cause of a task in which nothing fits."""
    outcome, heard = run(task(*things, rules=rules, tie_points=tie_points))
    assert outcome.end == arrange.NOTHING_FITS
    assert heard == []
    assert outcome.cause is not None
    return outcome.cause


def test_a_thing_too_large_is_named() -> None:
    """2.1 m on 2.0 by 1.2: neither way round."""
    found = cause(thing("mast", 5.0, 2.1, 0.1), thing("box", 5.0, 0.5, 0.5))
    assert (found.kind, found.names) == (arrange.TOO_LARGE, ("mast",))


def test_too_little_area_is_told_in_numbers() -> None:
    """Three of 1.0 by 1.0 m need 3.0 of 2.4 square metres."""
    found = cause(*(thing(f"t{n}", 5.0, 1.0, 1.0) for n in range(3)))
    assert found.kind == arrange.AREA
    assert (found.need_m2, found.have_m2) == pytest.approx((3.0, 2.4), abs=1e-12)


def test_things_that_clash_only_by_shape_are_named_when_one_less_would_do() -> None:
    """Three squares of 0.7 m need 1.47 of 2.4 square metres and do not fit; any one less does."""
    found = cause(*(thing(f"t{n}", 5.0, 0.7, 0.7) for n in range(3)))
    assert (found.kind, found.names) == (arrange.THINGS, ("t0", "t1", "t2"))


def test_the_rule_in_the_way_is_named() -> None:
    """A tie point in the middle of the deck leaves no room for 1.5 by 0.8; a pin in the middle neither."""
    found = cause(thing("big", 9.0, 1.5, 1.2), rules=LayoutRules(), tie_points=((2.0, 0.0),))
    assert (found.kind, found.names) == (arrange.RULES, ("tie points",))
    pin = thing("pin", 1.0, 0.1, 0.1, at=(2.0, 0.0), pinned=True)
    found = cause(thing("big", 9.0, 1.5, 1.0), pin)
    assert (found.kind, found.names) == (arrange.RULES, ("pinned",))


# Stopping --------------------------------------------------------------------------------------------------


def hard() -> Task:
    """Fourteen boxes, more than the solver proves in a minute."""
    sizes = [(0.5, 0.3), (0.4, 0.35), (0.6, 0.2), (0.3, 0.25), (0.45, 0.3), (0.35, 0.3), (0.55, 0.15)]
    things = [thing(f"t{n}", 3.0 + n, *sizes[n % 7]) for n in range(14)]
    return task(*things, rules=LayoutRules(balance_m=0.02))


def test_a_search_that_was_stopped_keeps_its_best_plan_and_claims_nothing() -> None:
    """Stopped at the first plan: a legal plan, said to be stopped, not proven."""
    job = hard()
    search = ArrangeSearch(job, time_s=60.0)
    found: list[Outcome] = []
    first = threading.Event()
    worker = threading.Thread(target=lambda: found.append(search.run(lambda plan: first.set())))
    worker.start()
    assert first.wait(60)
    search.stop()
    search.stop()
    worker.join(30)
    assert not worker.is_alive()
    assert found[0].end == arrange.STOPPED
    assert found[0].plan is not None
    assert broken(job, found[0].plan.spots) == ()


def test_time_up_is_not_proven() -> None:
    """Too little time for a proof: the end says so. A busy machine needs longer for its first plan."""
    for time_s in (1.5, 3.0, 6.0):
        outcome, heard = run(hard(), time_s=time_s)
        if heard:
            break
    assert heard
    assert outcome.end == arrange.TIME_UP


def test_stopped_before_it_began() -> None:
    """No plan, no cause, no claim."""
    search = ArrangeSearch(hard())
    search.stop()
    outcome = search.run()
    assert (outcome.end, outcome.plan, outcome.cause) == (arrange.STOPPED, None, None)


def test_nothing_to_move_is_already_best() -> None:
    """Everything pinned."""
    outcome, _ = run(task(thing("pin", 1.0, 0.1, 0.1, at=(2.0, 0.0), pinned=True)))
    assert outcome.end == arrange.BEST
    assert outcome.plan is not None
    assert outcome.plan.spots == {}


# With a loadout --------------------------------------------------------------------------------------------


def test_an_arranged_loadout_judges_clean() -> None:
    """What the plan says is what lies on the carrier, and nothing is wrong with it."""
    job = task_of(LOADOUT, LayoutRules())
    assert job is not None
    outcome, _ = run(job)
    assert outcome.plan is not None
    after = applied(LOADOUT, outcome.plan.spots)
    found = deck.judge(after)
    assert (found.overlapping, found.hanging, found.covered, found.not_laid_out) == ((), (), (), ())
    load = deck.load_on(after)
    assert load is not None
    assert (load.aft_m, load.left_m) == pytest.approx(
        center(job, footprints(job, outcome.plan.spots)), abs=1e-12
    )


def test_a_plan_for_something_that_left_meanwhile_is_passed_over() -> None:
    """A late plan must not bring a thing back."""
    assert applied(LOADOUT, {"stowed:Kayak": RoofSpot(2.0, 0.0, False)}) == LOADOUT


def test_the_check_sees_every_rule_broken() -> None:
    """Each rule's own counterexample."""
    pin = thing("pin", 1.0, 0.4, 0.4, at=(2.5, 0.0), pinned=True)
    a, b = thing("a", 9.0, 0.4, 0.4, group="g"), thing("b", 1.0, 0.4, 0.4, group="g", reachable=True)
    c = thing("c", 1.0, 0.2, 0.2)
    rules = LayoutRules(rearward_m=1.9, halves={"stowed:c": "front half"})
    job = task(pin, a, b, c, rules=rules, tie_points=((1.2, 0.0),))
    spots = {
        "stowed:a": RoofSpot(1.3, 0.3, False), "stowed:b": RoofSpot(2.2, 0.1, False),
        "stowed:c": RoofSpot(2.05, 0.45, False),
    }  # fmt: skip
    assert broken(job, spots) == ("pinned", "groups", "reachable", "halves", "balance")
    spots["stowed:a"] = RoofSpot(1.3, 0.0, False)
    spots["stowed:c"] = RoofSpot(3.0, 0.1, True)
    assert broken(job, spots)[:3] == ("fit", "pinned", "tie points")
    assert broken(job, {}) == ("fit",)
    rear = {**spots, "stowed:a": RoofSpot(2.8, 0.0, False)}
    assert "fore and aft" in broken(job, rear)


@pytest.mark.parametrize(
    "wrong", [{"balance_m": -0.1}, {"reach_m": 9.0}, {"halves": {"x": "left"}}, {"forward_m": 99.0}]
)
def test_a_rule_that_cannot_be_is_refused(wrong: dict[str, object]) -> None:
    """With the field and the limit."""
    with pytest.raises(BadValue):
        LayoutRules(**wrong)  # type: ignore[arg-type]  # wrong on purpose
