"""Where each formula stops answering: it takes the ends of its range, and nothing just beyond them.

A range that slips by a percent is a number in the wrong unit that passes, or a right one that is refused.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from loadcalc.checks.balance import axle_loads, shift_of_center_m
from loadcalc.checks.hitch import lever_on_axles, pull_on_grade, tongue_share, trailer_axle_kg
from loadcalc.checks.lifting.niosh import lifting_index
from loadcalc.checks.mounts.beam import beam_shares, check_supports
from loadcalc.checks.restraint.lashing import (
    aggregate_needed_kg,
    direct_force_n,
    straps_over_needed,
    tie_downs_needed,
    wind_uplift_n,
)
from loadcalc.checks.restraint.strapping import unmarked_webbing_kg
from loadcalc.checks.stability.slopes import axle_loads_on_grade, gravity_on_body
from loadcalc.checks.stability.stance import Stance, static_stability_factor
from loadcalc.checks.stability.tipping import give_taken_off_deg
from loadcalc.checks.tires.relations import load_by_power_kg
from loadcalc.checks.tires.tire_sums import axle_tire_sum
from loadcalc.checks.weighing.axle_lift import AxleLift, lift_angle_deg, lifted_axle_kg, steep_enough
from loadcalc.checks.weighing.cg_height import LiftDoubts, height_from_lifts
from loadcalc.checks.weighing.corner_weights import cg_from_axle_weights, cg_from_wheel_weights
from loadcalc.checks.weighing.doubts import Doubts, item_half_width_kg
from loadcalc.checks.weighing.scales import Scale, rectangular_u, tolerance_divisions
from loadcalc.checks.weighing.ticket import Ticket
from loadcalc.model import Item, Limit, Size, Tire
from loadcalc.model.errors import BadValue

STANCE = Stance(
    mass_kg=2000.0, aft_m=1.4, left_m=0.0, up_m=0.8, wheelbase_m=2.8, front_track_m=1.6, rear_track_m=1.6,
    front_roll_share=0.5,
)  # fmt: skip
SCALE = Scale(resolution_kg=10.0)
BOX = Size(length_m=0.4, width_m=0.3, height_m=0.3)
OVER: dict[str, Any] = {
    "acceleration_g": 0.8, "friction": 0.3, "mass_kg": 60.0, "angle_deg": 60.0, "tension_n": 500.0, "factor": 1.25,
}  # fmt: skip
DIRECT: dict[str, Any] = {
    "acceleration_g": 0.8, "mass_kg": 60.0, "angle_deg": 45.0, "aside_deg": 0.0, "straps": 2,
}  # fmt: skip
WIND: dict[str, Any] = {"area_m2": 1.0, "speed_m_per_s": 30.0, "coefficient": 1.0}
POWER: dict[str, Any] = {
    "reference_kg": 1000.0, "reference_kpa": 250.0, "pressure_kpa": 200.0, "exponent": 0.8,
}  # fmt: skip
WHEELS: dict[str, Any] = {
    "front_left_kg": 500.0, "front_right_kg": 500.0, "rear_left_kg": 500.0, "rear_right_kg": 500.0,
    "wheelbase_m": 2.8, "front_track_m": 1.6, "rear_track_m": 1.6, "scale": SCALE,
}  # fmt: skip
HEIGHT: dict[str, Any] = {
    "lifts": [AxleLift(on_scale="front", axle_kg=900.0 + 10.0 * deg, angle_deg=deg) for deg in (0.0, 6.0, 12.0, 16.0)],
    "mass_kg": 2000.0, "wheelbase_m": 2.8, "radius_m": 0.4,
}  # fmt: skip
GRADE: dict[str, Any] = {"trailer_kg": 500.0, "nose_up_deg": 10.0, "ball_up_m": 0.5, "wheelbase_m": 2.8}

Range = tuple[Callable[[float], object], float, float]


def _with(call: Callable[..., object], given: dict[str, Any], field: str) -> Callable[[float], object]:
    return lambda value: call(**(given | {field: value}))


def _stance(field: str) -> Callable[[float], object]:
    return lambda value: replace(STANCE, **{field: value})


# What is asked with one number, the least and the most that it answers for.
RANGES: dict[str, Range] = {
    "axle loads: wheelbase": (lambda x: axle_loads(100.0, aft_m=1.0, wheelbase_m=x), 0.1, 30.0),
    "shift: total mass": (lambda x: shift_of_center_m(moved_kg=1.0, distance_m=1.0, total_kg=x), 1e-9, 1e6),
    "lever: wheelbase": (lambda x: lever_on_axles(50.0, wheelbase_m=x, behind_m=1.0), 0.1, 30.0),
    "lever: behind": (lambda x: lever_on_axles(50.0, wheelbase_m=2.8, behind_m=x), -30.0, 20.0),
    "tongue: trailer": (lambda x: tongue_share(tongue_kg=0.0, trailer_kg=x), 1e-9, 20_000.0),
    "tongue: on the hitch": (lambda x: tongue_share(tongue_kg=x, trailer_kg=500.0), 0.0, 500.0),
    "trailer's own axle": (lambda x: trailer_axle_kg(tongue_kg=x, trailer_kg=500.0), 0.0, 500.0),
    "pull: grade": (_with(pull_on_grade, GRADE, "nose_up_deg"), -60.0, 60.0),
    "pull: wheelbase": (_with(pull_on_grade, GRADE, "wheelbase_m"), 0.1, 30.0),
    "lifting index: limit": (lambda x: lifting_index(10.0, x), 1e-9, 100.0),
    "beam: bending": (
        lambda x: beam_shares(0.5, (0.0, 1.0, 2.0), bending_n_m2=x, support_n_per_m=1e5), 1e-3, 1e9,
    ),
    "beam: support": (
        lambda x: beam_shares(0.5, (0.0, 1.0, 2.0), bending_n_m2=1e3, support_n_per_m=x), 1e-3, 1e12,
    ),
    "tie-downs: length": (lambda x: tie_downs_needed(length_m=x, mass_kg=60.0), 0.0, 30.0),
    "tie-downs: mass": (lambda x: tie_downs_needed(length_m=1.0, mass_kg=x), 0.0, 1e9),
    "half of the mass": (aggregate_needed_kg, 0.0, 1e9),
    "straps over: friction": (_with(straps_over_needed, OVER, "friction"), 0.01, 1.0),
    "straps over: angle": (_with(straps_over_needed, OVER, "angle_deg"), 1.0, 90.0),
    "straps over: tension": (_with(straps_over_needed, OVER, "tension_n"), 1.0, 1e6),
    "direct straps: friction": (_with(direct_force_n, DIRECT, "friction"), 0.0, 1.0),
    "wind: area": (_with(wind_uplift_n, WIND, "area_m2"), 0.0, 1e6),
    "wind: speed": (_with(wind_uplift_n, WIND, "speed_m_per_s"), 0.0, 80.0),
    "wind: coefficient": (_with(wind_uplift_n, WIND, "coefficient"), 0.0, 3.0),
    "webbing: width": (unmarked_webbing_kg, 45.0, 1000.0),
    "slope: side": (lambda x: gravity_on_body(left_down_deg=x, nose_up_deg=0.0), -60.0, 60.0),
    "slope: grade": (lambda x: gravity_on_body(left_down_deg=0.0, nose_up_deg=x), -60.0, 60.0),
    "axles on a grade: wheelbase": (
        lambda x: axle_loads_on_grade(2000.0, aft_m=1.4, up_m=0.8, wheelbase_m=x, nose_up_deg=5.0), 0.1, 30.0,
    ),
    "stance: mass": (_stance("mass_kg"), 1e-9, 1e6),
    "stance: aft": (_stance("aft_m"), -20.0, 20.0),
    "stance: left": (_stance("left_m"), -5.0, 5.0),
    "stance: up": (_stance("up_m"), 0.05, 5.0),
    "stance: wheelbase": (_stance("wheelbase_m"), 0.1, 30.0),
    "stance: front track": (_stance("front_track_m"), 0.1, 5.0),
    "stance: rear track": (_stance("rear_track_m"), 0.1, 5.0),
    "stance: roll share": (_stance("front_roll_share"), 0.0, 1.0),
    "stability factor: up": (
        lambda x: static_stability_factor(front_track_m=1.6, rear_track_m=1.6, up_m=x), 0.05, 5.0,
    ),
    "give of springs and tires": (lambda x: give_taken_off_deg(40.0, give_share=x), 0.0, 0.9),
    "tire: load": (_with(load_by_power_kg, POWER, "reference_kg"), 0.0, 20_000.0),
    "tire: reference pressure": (_with(load_by_power_kg, POWER, "reference_kpa"), 50.0, 1000.0),
    "tire: pressure": (_with(load_by_power_kg, POWER, "pressure_kpa"), 50.0, 1000.0),
    "tire: exponent": (_with(load_by_power_kg, POWER, "exponent"), 0.01, 1.0),
    "tires on an axle": (
        _with(axle_tire_sum, {"tire": Tire(), "body_class": "light truck", "axle_limit": Limit()}, "tires"), 2, 4,
    ),
    "axle lift: load": (lambda x: AxleLift(on_scale="front", axle_kg=x, angle_deg=5.0), 1.0, 20_000.0),
    "axle lift: angle": (lambda x: AxleLift(on_scale="front", axle_kg=900.0, angle_deg=x), 0.0, 45.0),
    "axle lift: wheelbase": (lambda x: lift_angle_deg(rise_m=0.1, wheelbase_m=x), 1.0, 10.0),
    "axle lift: rise": (lambda x: lift_angle_deg(rise_m=x, wheelbase_m=2.0), 0.0, 2.0 * 0.5**0.5),
    "axle lift: steepest of all": (steep_enough, 15.0001, 45.0),
    "axle lift: what the scale will show": (
        lambda x: lifted_axle_kg(
            900.0, mass_kg=2000.0, up_m=0.8, radius_m=0.4, wheelbase_m=2.8, angle_deg=x
        ), 0.0, 45.0,
    ),
    "height: mass": (_with(height_from_lifts, HEIGHT, "mass_kg"), 200.0, 20_000.0),
    "height: wheelbase": (_with(height_from_lifts, HEIGHT, "wheelbase_m"), 1.0, 10.0),
    "height: radius": (_with(height_from_lifts, HEIGHT, "radius_m"), 0.15, 0.8),
    "lift doubts: reading": (lambda x: LiftDoubts(reading_kg=x), 0.0, 200.0),
    "lift doubts: angle": (lambda x: LiftDoubts(angle_deg=x), 0.0, 5.0),
    "lift doubts: mass": (lambda x: LiftDoubts(mass_kg=x), 0.0, 500.0),
    "lift doubts: radius": (lambda x: LiftDoubts(radius_m=x), 0.0, 0.1),
    "lift doubts: wheelbase": (lambda x: LiftDoubts(wheelbase_m=x), 0.0, 0.1),
    "axle weights: wheelbase": (
        lambda x: cg_from_axle_weights(front_kg=900.0, rear_kg=900.0, wheelbase_m=x, scale=SCALE), 1.0, 10.0,
    ),
    "axle weights: reading": (
        lambda x: cg_from_axle_weights(front_kg=900.0, rear_kg=x, wheelbase_m=2.8, scale=SCALE), 0.0, 20_000.0,
    ),
    "wheel weights: wheelbase": (_with(cg_from_wheel_weights, WHEELS, "wheelbase_m"), 0.8, 10.0),
    "wheel weights: track": (_with(cg_from_wheel_weights, WHEELS, "front_track_m"), 0.8, 10.0),
    "wheel weights: reading": (_with(cg_from_wheel_weights, WHEELS, "rear_left_kg"), 0.0, 20_000.0),
    **{f"doubts: {name}": (_with(Doubts, {}, name), 0.0, 1.0) for name in (
        "curb_share", "liquid_share", "carrier_share", "fuel_share", "split_share", "side_share",
    )},
    "doubts: unlisted gear": (lambda x: Doubts(unlisted_kg=x), 0.0, 500.0),
    "doubts: a person": (lambda x: Doubts(person_kg=x), 0.0, 100.0),
    "doubts: a place": (lambda x: Doubts(place_m=x), 0.0, 2.0),
    "doubts: pieces": (_with(item_half_width_kg, {"item": Item(name="tent", mass_kg=8.0)}, "count"), 0, 1000),
    "half-width": (rectangular_u, 0.0, 1e6),
    "scale: load in divisions": (tolerance_divisions, 0.0, 1e6),
    "scale: division": (lambda x: Scale(resolution_kg=x), 0.001, 500.0),
    "ticket: reading": (lambda x: Ticket(readings_kg={"total": x}, scale=SCALE), 1.0, 40_000.0),
}  # fmt: skip


@pytest.mark.parametrize(("ask", "least", "most"), RANGES.values(), ids=RANGES)
def test_both_ends_are_answered_and_nothing_beyond(
    ask: Callable[[float], object], least: float, most: float
) -> None:
    """Half a percent beyond either end, or a thousandth below zero, is refused."""
    ask(least)
    ask(most)
    for beyond in (least - max(0.005 * abs(least), 0.0 if least else 0.001), most + 0.005 * abs(most)):
        with pytest.raises(BadValue):
            ask(beyond)


def test_supports_are_a_centimeter_apart_or_more() -> None:
    """Two bars at 1 cm are two; at 9.9 mm the second is refused, and so is one bar alone."""
    check_supports((0.0, 0.01))
    with pytest.raises(BadValue, match=r"not 0\.01 m or more behind the bar before it"):
        check_supports((0.0, 0.0099))
    with pytest.raises(BadValue, match="fewer than the two"):
        check_supports((0.0,))


def test_two_slopes_together_are_no_steeper_than_a_plane() -> None:
    """Inclinometers at 45 and 45 degrees would be upright: sin² + sin² = 1, so nothing presses on the ground."""
    assert gravity_on_body(left_down_deg=44.9, nose_up_deg=44.9).down > 0
    with pytest.raises(BadValue, match="no plane a body can lie on"):
        gravity_on_body(left_down_deg=45.1, nose_up_deg=45.1)
