"""How tall the packed vehicle is, and who sleeps on its roof: worked by hand on the case of tests/hand_case.py."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadcalc.checks import evaluate, overall_height, tip_angles
from loadcalc.checks.stability.stance import parked_stance, stance_of
from loadcalc.model import Item, Loadout, Place, Size, Stowed
from loadcalc.model.quantities import SI, US
from tests.hand_case import CARRIER, LOADOUT, SLEEPER, VEHICLE
from tests.season_help import demo_season
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.register import RegisterEdits
from workbook.panels.gear import kit
from workbook.panels.loadout.height_words import as_on_a_sign, height_sentence
from workbook.panels.loadout.summary_words import summary
from workbook.panels.stability.stability import Tilt, angles_view
from workbook.panels.stability.stability_words import parked_sentence
from workbook.widgets.table.table import Edit

# The rack is 0.5 m thick with its middle at 1.9 m: its top is at 2.15 m. Its zone is 0.5 m high around 2.0 m.
RACK_TOP_M, ZONE_TOP_M = 2.15, 2.25
TALL = Item(name="tall box", mass_kg=10.0, size=Size(length_m=0.5, width_m=0.5, height_m=0.4))


def with_gear(*gear: Stowed) -> Loadout:
    """The hand case with these things and no cans."""
    return replace(LOADOUT, gear=gear, liquids=())


def test_the_highest_of_body_rack_and_things_counts() -> None:
    """Body 1.9; rack 2.15; a box of 0.4 on it 2.55; laid out with its middle at 2.30 it reaches 2.50."""
    bare = replace(LOADOUT, carrier=None, gear=(), liquids=())
    assert overall_height(VEHICLE, bare) == (1.9, VEHICLE.name, ())
    rack = overall_height(VEHICLE, with_gear())
    assert (rack.what, rack.not_measured) == (CARRIER.name, ())
    assert rack.height_m == pytest.approx(RACK_TOP_M, abs=1e-12)
    box = overall_height(VEHICLE, with_gear(Stowed(item=TALL, zone="platform")))
    assert box.what == "tall box"
    assert box.height_m == pytest.approx(2.55, abs=1e-12)
    laid = Stowed(item=TALL, zone="platform", place=Place(aft_m=1.5, up_m=2.30))
    assert overall_height(VEHICLE, with_gear(laid)).height_m == pytest.approx(2.50, abs=1e-12)
    inside = Stowed(item=TALL, zone="floor")
    assert overall_height(VEHICLE, with_gear(inside)).what == CARRIER.name


def test_a_thing_without_a_size_is_named_and_reaches_its_zones_top() -> None:
    """Tent and can have no size: the zone's box is what is known, and the sentence says that it may be taller."""
    found = overall_height(VEHICLE, LOADOUT)
    assert found.height_m == pytest.approx(ZONE_TOP_M, abs=1e-12)
    assert (found.what, found.not_measured) == ("tent", ("tent", "can"))
    said = height_sentence(evaluate(VEHICLE, LOADOUT), SI)
    assert said.startswith(
        "Overall height as packed: about 2.25 m, to the top of tent. No height is entered for tent; can:"
    )
    assert "it may be taller" in said
    assert said in summary(evaluate(VEHICLE, LOADOUT), SI)


def test_a_height_is_rounded_up_as_a_sign_writes_it() -> None:
    """2.15 m is 84.65 in: 7 ft 1 in, never 7 ft 0 in; a whole number of inches stays one."""
    assert as_on_a_sign(RACK_TOP_M, US) == "7 ft 1 in"
    assert as_on_a_sign(84 * 0.0254, US) == "7 ft 0 in"
    assert [as_on_a_sign(m, SI) for m in (2.0, 2.001, 2.239)] == ["2.00 m", "2.01 m", "2.24 m"]


@given(high_m=st.floats(0.0, 2.0), more_m=st.floats(0.0, 1.0))
def test_a_taller_thing_never_makes_it_lower(high_m: float, more_m: float) -> None:
    """And it is never lower than the rack that the thing stands on."""
    heights = []
    for size_m in (high_m, high_m + more_m):
        item = replace(TALL, size=Size(length_m=0.5, width_m=0.5, height_m=size_m))
        heights.append(overall_height(VEHICLE, with_gear(Stowed(item=item, zone="platform"))).height_m)
    assert RACK_TOP_M - 1e-12 <= heights[0] <= heights[1] + 1e-12


def test_a_sleeper_on_the_roof_raises_the_parked_center_by_the_lever() -> None:
    """60 kg from a seat 0.9 m up to the rack's top at 2.15 m, from 0.4 m right to the middle, from 2.1 to 1.5 m aft."""
    report = evaluate(VEHICLE, LOADOUT)
    road, parked = stance_of(report), parked_stance(report)
    assert parked.mass_kg == road.mass_kg
    assert parked.up_m - road.up_m == pytest.approx(60 * (RACK_TOP_M - 0.9) / report.mass_kg, rel=1e-9)
    assert parked.left_m - road.left_m == pytest.approx(60 * 0.4 / report.mass_kg, rel=1e-9)
    assert parked.aft_m - road.aft_m == pytest.approx(60 * (1.5 - 2.1) / report.mass_kg, rel=1e-9)
    angle_deg = math.degrees(
        math.atan((0.75 - parked.left_m) / parked.up_m)
    )  # tracks are equal: half is 0.75
    said = parked_sentence(report, SI)
    assert said.startswith(
        f"Parked, with 1 asleep on the roof, a rigid body tips at {angle_deg:.1f}° (left side down), "
    )
    assert "2150 mm above the ground" in said
    nobody = replace(LOADOUT, people=(replace(SLEEPER, sleeps_on_roof=False),))
    assert parked_sentence(evaluate(VEHICLE, nobody), SI) == ""
    assert parked_stance(evaluate(VEHICLE, nobody)) == stance_of(evaluate(VEHICLE, nobody))


def test_ticking_two_sleepers_lowers_the_parked_angle_on_the_page(tmp_path: Path) -> None:
    """By the table of people: page 04 and the summary then tell a parked angle, lower than the one on the road."""
    desk = Desk(demo_season(tmp_path, durable=False))
    view = angles_view(desk, Tilt())
    assert "asleep on the roof" not in view.children[0].value
    people = kit.people(desk)
    who = [person.key for person in desk.loadout.people if person.kind == "person"][:2]
    edits = [Edit(kind="set", row_key=key, column="roof", text=True) for key in who]
    assert RegisterEdits(desk, people)(edits) == []
    now, then = tip_angles(stance_of(desk.report)), tip_angles(parked_stance(desk.report))
    lower_deg = min(now[:2]) - min(then[:2])
    assert lower_deg > 1.0
    assert f"with 2 asleep on the roof, a rigid body tips at {min(then[:2]):.1f}°" in view.children[0].value
    assert f"{lower_deg:.1f}° less than on the road" in summary(desk.report, US)
