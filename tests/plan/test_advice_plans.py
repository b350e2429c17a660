"""Advice on cases small enough to see through: where things may ride, plans judged anew, a job and its stop."""

from __future__ import annotations

import time
from dataclasses import replace
from typing import Any

import pytest

from loadcalc.model import (
    BadValue,
    Filled,
    Limit,
    Loadout,
    NotFound,
    Occupant,
    Place,
    Size,
    Vehicle,
)
from loadcalc.plan.advice.allowed import AdviceRules
from loadcalc.plan.advice.answers import LEAVING_TOO, answer
from loadcalc.plan.advice.job import Job
from loadcalc.plan.advice.leave import what_to_leave
from loadcalc.plan.advice.plan import checked
from loadcalc.plan.advice.problem import LEFT, Problem
from loadcalc.plan.advice.rearrange import fewest_moves, lowest
from loadcalc.plan.advice.single import single_moves
from loadcalc.plan.advice.why import why_not
from tests.advice_cases import loose_case
from tests.advice_hand import (
    CABIN,
    CAN,
    FREE,
    HATCH,
    RACK,
    ROOF,
    ZONES,
    hand_problem,
    stowed,
    zone,
)
from tests.hand_case import CARRIER, VEHICLE


def may(found: Problem, thing: int = 0) -> set[str]:
    """The zones that a thing may ride in."""
    return {name for name, allowed in zip(found.zones, found.may[thing], strict=False) if allowed}


@pytest.mark.parametrize(
    ("fields", "allowed"),
    [
        ({}, {"cabin", "rack", "roof", "hatch"}),
        ({"hazard": "fuel"}, {"rack", "roof", "hatch"}),
        ({"hazard": "gas"}, {"rack", "roof", "hatch"}),
        ({"keep_reachable": True}, {"cabin", "rack", "roof"}),
        ({"stay_low": True}, {"cabin", "rack", "hatch"}),
        ({"pinned": True}, {"rack"}),
        ({"pinned": True, "hazard": "fuel"}, {"rack"}),
        ({"size": Size(length_m=1.9, width_m=0.2, height_m=0.2)}, {"cabin", "rack", "roof", "hatch"}),
        ({"size": Size(length_m=2.1, width_m=0.2, height_m=0.2)}, {"rack"}),  # rides there, so it fits there
        ({"size": None}, {"cabin", "rack", "roof", "hatch"}),
    ],
)
def test_where_a_thing_may_ride(fields: dict[str, Any], allowed: set[str]) -> None:
    """Each wish and each danger closes the zones that it says."""
    assert may(hand_problem(ZONES, (stowed("box", 10.0, "rack", **fields),))) == allowed


@pytest.mark.parametrize(("kind", "allowed"), [("water", {"cabin", "rack"}), ("Gasoline", {"rack"})])
def test_fuel_in_a_can_stays_out_of_the_cabin(kind: str, allowed: set[str]) -> None:
    """A liquid that burns, by its kind; a can is never left home by advice."""
    can = Filled(liquid=replace(CAN, kind=kind), zone="cabin", fill_l=10.0)
    found = hand_problem((CABIN, RACK), (), liquids=(can,))

    assert may(found) == allowed
    assert not found.may[0, LEFT]


def test_the_side_on_a_stays_low_line() -> None:
    """What must stay low goes up to the tolerance above the empty vehicle's center of gravity, 0.7 m, and no more."""
    zones = (RACK, zone("just", up_m=0.949), zone("past", up_m=0.951))
    rules = replace(FREE, low_above_cg_m=0.25)

    assert may(hand_problem(zones, (stowed("anvil", 10.0, "rack", stay_low=True),), rules)) == {
        "rack",
        "just",
    }


def test_a_zone_that_somebody_takes_is_closed() -> None:
    """A dog in it, a person whose seat lies in it, or the carrier off: nothing is moved in, what is there may stay."""
    dog = Occupant(name="dog", mass_kg=20.0, seat="hatch", kind="animal")
    crew = (Occupant(name="Ines", mass_kg=80.0, seat="back right"), dog)
    bench = zone(
        "bench",
        place=Place(aft_m=2.1, left_m=-0.4, up_m=0.9),
        size=Size(length_m=0.5, width_m=0.5, height_m=0.5),
    )
    rack = replace(RACK, place=Place(aft_m=4.0, up_m=0.8))
    zones, gear = (rack, HATCH, bench, ROOF), (stowed("box", 5.0, "rack"), stowed("bag", 5.0, "bench"))
    found = hand_problem(zones, gear, people=crew, carrier=None)

    assert may(found, 0) == {"rack"}
    assert may(found, 1) == {"rack", "bench"}
    assert may(hand_problem(zones, gear), 0) == {"rack", "hatch", "bench", "roof"}


def test_what_breaks_a_rule_where_it_is_gets_moved() -> None:
    """Gas in the cabin is not allowed, though no rating is over: one move."""
    found = hand_problem(
        (CABIN, RACK), (stowed("cylinder", 10.0, "cabin", hazard="gas"), stowed("box", 5.0, "cabin"))
    )
    plan = checked(found, fewest_moves(found).assign or ())

    assert not found.allowed(found.stay)
    assert plan is not None
    assert [(step.name, step.zone_from, step.zone_to) for step in plan.moves] == [
        ("cylinder", "cabin", "rack")
    ]


def test_moves_first_then_leaving_as_few_as_can_be() -> None:
    """30 kg on a roof of 12; the rack takes 10: one goes down, one is left, not the must-come one."""
    gear = (
        stowed("tent", 10.0, "roof", must_come=True),
        stowed("table", 10.0, "roof"),
        stowed("chairs", 9.0, "roof"),
    )
    zones = (zone("roof", up_m=2.0, limit_kg=12.0, on_carrier=True), zone("rack", limit_kg=10.0))
    found = hand_problem(zones, gear)
    result = answer("legal", found)

    assert fewest_moves(found).assign is None
    assert result.leaving
    assert result.sure
    plan = checked(found, result.found.assign)
    assert plan is not None
    # left: one of table and chairs, the lighter; moved: one of the two that stay, both of 10 kg
    assert [step.name for step in plan.left] == ["chairs"]
    assert len(plan.moves) == 1


def test_what_no_thing_aboard_can_change_is_said() -> None:
    """A count that no move alters is named at once, not searched around."""
    found = hand_problem(ZONES, (stowed("box", 5.0, "rack"),))
    found.over = ("Seats",)

    assert fewest_moves(found).assign is None
    assert what_to_leave(found).fewest == ()
    assert why_not(found).beyond == ("Seats",)
    assert not why_not(found).works


def test_a_plan_that_does_not_hold_is_not_shown() -> None:
    """The last word is `evaluate`'s: the same limit that a search was told nothing of stops the plan."""
    gear = (stowed("anvil", 60.0, "roof"),)
    zones = (zone("roof", up_m=2.0, on_carrier=True), zone("rack", limit_kg=50.0))
    found = hand_problem(zones, gear)
    onto_rack = (1,)

    assert checked(found, onto_rack) is None
    assert checked(found, onto_rack, within=False) is None
    assert checked(found, (0,)) is not None


def test_what_a_plan_says_of_each_rating_is_what_evaluate_says() -> None:
    """Before and after, largest change first; notable is half a percent of the limit, or a limit crossed."""
    limits = {
        "roof_road": Limit(limit_kg=60.0),
        "gross": Limit(limit_kg=2600.0),
        "rear_axle": Limit(limit_kg=1200.0),
    }
    loadout_zones = (ROOF, zone("rack", place=Place(aft_m=3.0, up_m=0.8)))
    found = hand_problem(
        loadout_zones, (stowed("anvil", 40.0, "roof"), stowed("saw", 5.0, "roof")), limits=limits
    )
    plan = checked(found, fewest_moves(found).assign or ())

    assert plan is not None
    assert plan.moves[0].name == "anvil"
    shares = {change.after.key: change for change in plan.changes if change.notable}
    assert list(shares) == ["roof_road", "rear_axle"]
    assert shares["roof_road"].share == pytest.approx(-40 / 60, abs=1e-12)
    assert shares["rear_axle"].share == pytest.approx(40 * (3.0 - 1.5) / 3.0 / 1200, abs=1e-12)
    assert plan.before.rating("roof_road").over
    assert not plan.after.rating("roof_road").over
    assert plan.lower_m == pytest.approx(40 * (2.0 - 0.8) / plan.after.mass_kg, abs=1e-12)


def test_a_pinned_thing_may_be_left_but_not_moved() -> None:
    """Bolted where it is; whether it comes at all is another question."""
    found = hand_problem(ZONES, (stowed("fridge", 20.0, "rack", pinned=True),))

    assert found.may[0].tolist() == [False, True, False, False, True]
    assert lowest(found).assign == (1,)
    assert lowest(found).proven


def test_bad_rules_and_questions_are_refused() -> None:
    """A wish out of its range names itself; an unknown question names the known ones."""
    with pytest.raises(BadValue, match="side tolerance"):
        AdviceRules(side_m=-0.1)
    with pytest.raises(BadValue, match="may be filled"):
        AdviceRules(fill=1.5)
    with pytest.raises(NotFound, match="legal"):
        answer("cheapest", hand_problem(ZONES, ()))
    with pytest.raises(BadValue, match="places"):
        hand_problem(ZONES, (stowed("a", 1.0, "rack"),)).rearranged((0, 0))


def test_an_empty_loadout_needs_nothing() -> None:
    """No thing aboard: allowed as it is, nothing to leave, no move."""
    found = hand_problem(ZONES, ())

    assert fewest_moves(found).assign == ()
    assert lowest(found).assign == ()
    assert lowest(found).proven
    assert answer("lower", found).eased is False
    assert what_to_leave(found).fewest[0].assign == ()
    assert single_moves(found) == ()
    assert why_not(found).works


def case() -> tuple[Vehicle, Loadout]:
    """Three things on a roof that takes one, and a rack that takes one."""
    zones = (zone("roof", up_m=2.0, limit_kg=12.0, on_carrier=True), zone("rack", limit_kg=10.0))
    gear = (stowed("tent", 10.0, "roof"), stowed("table", 10.0, "roof"), stowed("chairs", 9.0, "roof"))
    return VEHICLE, Loadout(name="hand", zones=zones, gear=gear, carrier=CARRIER)


def test_a_job_gives_the_same_answer_as_asking_directly() -> None:
    """In a process of its own: what it said on the way, and the answer."""
    vehicle, loadout = case()
    job = Job("legal", vehicle, loadout, FREE)

    assert job.wait(120.0) == answer("legal", Problem(vehicle, loadout, FREE))
    assert job.said == [LEAVING_TOO]
    assert job.done
    assert not job.stopped


def test_a_job_that_is_refused_says_why() -> None:
    """The refusal's own words come back, not a trace."""
    job = Job("cheapest", *case(), FREE)

    assert job.wait(120.0) is None
    assert "'cheapest'" in job.refused


def test_a_job_stops_at_once_in_the_middle_of_a_search() -> None:
    """A search that would take a minute ends when told, and its process is gone."""
    vehicle, loadout = loose_case(5, squeeze=0.8)
    job = Job("lower", vehicle, loadout, time_limit_s=600.0)
    began = time.monotonic()
    while not job.said:  # the first points of the curve
        assert not job.look()
        assert time.monotonic() - began < 120.0
        time.sleep(0.02)
    before = time.monotonic()
    job.stop()

    assert time.monotonic() - before < 2.0
    assert job.stopped
    assert job.answer is None
    assert job._process.poll() is not None


def test_a_job_whose_process_dies_does_not_wait_for_ever() -> None:
    """It says that there is no answer."""
    job = Job("lower", *loose_case(5, squeeze=0.8), time_limit_s=600.0)
    job._process.kill()

    assert job.wait(60.0) is None
    assert job.refused == "the search ended without an answer"
