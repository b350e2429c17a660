"""Properties of stance, slopes, and what costs what, for every vehicle and load; and the refusals."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from loadcalc.checks import Wheels, evaluate
from loadcalc.checks.stability.slopes import (
    axle_loads_on_grade,
    four_wheel_loads,
    grade_percent,
    gravity_on_body,
    lifted_wheels,
    slope_of,
    tip_margin_deg,
    wheel_loads_on_slope,
)
from loadcalc.checks.stability.stance import Stance, stance_of
from loadcalc.checks.stability.tipping import (
    Tips,
    first_lifts,
    give_taken_off_deg,
    lateral_g_at_tip,
    least_tip_limit,
    tip_angles,
    tip_limit_deg,
    worst_side,
)
from loadcalc.model import Item, Place, Stowed
from loadcalc.model.errors import BadValue
from tests.hand_case import LOADOUT, VEHICLE
from tests.strategies import STEADY, thousandths

SQUARE = Stance(
    mass_kg=2000.0, aft_m=1.5, left_m=0.0, up_m=0.75, wheelbase_m=3.0, front_track_m=1.5, rear_track_m=1.5,
    front_roll_share=0.5,
)  # fmt: skip


@st.composite
def stances(draw: st.DrawFn) -> Stance:
    """A body that stands on the level: its center inside the four contacts."""
    wheelbase_m = draw(thousandths(2.2, 3.6))
    stance = Stance(
        mass_kg=draw(thousandths(1000.0, 4000.0)),
        aft_m=wheelbase_m * draw(thousandths(0.2, 0.8)),
        left_m=draw(thousandths(-0.3, 0.3)),
        up_m=draw(thousandths(0.4, 1.6)),
        wheelbase_m=wheelbase_m,
        front_track_m=draw(thousandths(1.2, 1.9)),
        rear_track_m=draw(thousandths(1.2, 1.9)),
        front_roll_share=draw(thousandths(0.0, 1.0)),
    )
    return stance


SIDE, GRADE = thousandths(-35.0, 35.0), thousandths(-35.0, 35.0)


@STEADY
@given(stances(), thousandths(0.0, 0.3))
def test_a_lower_center_never_lowers_an_angle(stance: Stance, drop_m: float) -> None:
    """Neither a tip angle, nor a first wheel lift of a wheel that carries, nor the limit of any heading."""
    lower = replace(stance, up_m=stance.up_m - drop_m)

    assert all(low >= high for low, high in zip(tip_angles(lower), tip_angles(stance), strict=True))
    for low, high in zip(first_lifts(lower), first_lifts(stance), strict=True):
        assert high.angle_deg <= 0 or low.angle_deg >= high.angle_deg
    for downhill_deg in range(0, 360, 30):
        high_deg = tip_limit_deg(stance, downhill_deg=downhill_deg)
        assert tip_limit_deg(lower, downhill_deg=downhill_deg) >= high_deg


@STEADY
@given(stances(), SIDE, GRADE)
def test_a_mirrored_load_mirrors_the_sides(stance: Stance, side_deg: float, grade_deg: float) -> None:
    """Left becomes right: in the angles, the lifts, the limits, and every wheel."""
    mirrored = replace(stance, left_m=-stance.left_m)
    here, there = tip_angles(stance), tip_angles(mirrored)
    one = four_wheel_loads(stance, left_down_deg=side_deg, nose_up_deg=grade_deg)
    other = four_wheel_loads(mirrored, left_down_deg=-side_deg, nose_up_deg=grade_deg)

    assert (here.left_deg, here.right_deg) == pytest.approx((there.right_deg, there.left_deg), abs=1e-9)
    assert (here.nose_up_deg, here.nose_down_deg) == (there.nose_up_deg, there.nose_down_deg)
    assert first_lifts(stance)[0].angle_deg == pytest.approx(first_lifts(mirrored)[1].angle_deg, abs=1e-9)
    for downhill_deg in (20, 75, 110, 160):
        ours = tip_limit_deg(stance, downhill_deg=downhill_deg)
        assert ours == pytest.approx(tip_limit_deg(mirrored, downhill_deg=-downhill_deg), abs=1e-9)
    swapped = (other.front_right, other.front_left, other.rear_right, other.rear_left)
    assert tuple(one) == pytest.approx(swapped, abs=1e-9 * stance.mass_kg)


@STEADY
@given(stances())
def test_the_limit_of_a_heading_is_the_four_angles_where_they_hold(stance: Stance) -> None:
    """Straight to a side, and on equal tracks straight ahead and behind, the closed form is the simple one."""
    even = replace(stance, rear_track_m=stance.front_track_m)
    tips = tip_angles(even)
    limits = [tip_limit_deg(even, downhill_deg=d) for d in (90, 270, 180, 0)]
    uneven = [tip_limit_deg(stance, downhill_deg=d) for d in (90, 270)]

    assert limits == pytest.approx(list(tips), abs=1e-9)
    assert uneven == pytest.approx(list(tip_angles(stance)[:2]), abs=1e-9)


@STEADY
@given(stances(), thousandths(0.0, 360.0))
def test_no_heading_is_worse_than_the_least_limit(stance: Stance, downhill_deg: float) -> None:
    """The nearest edge of the four contacts is where it tips first, and it does so at that heading."""
    least_deg, worst_deg = least_tip_limit(stance)

    assert tip_limit_deg(stance, downhill_deg=downhill_deg) >= least_deg - 1e-9
    assert tip_limit_deg(stance, downhill_deg=worst_deg) == pytest.approx(least_deg, abs=1e-9)


@STEADY
@given(stances())
def test_the_first_wheel_lifts_before_it_tips(stance: Stance) -> None:
    """On either side; and at that angle the named wheel carries nothing while no other does less."""
    tips = tip_angles(stance)
    for lift, tip_deg, sign in zip(first_lifts(stance), tips[:2], (1.0, -1.0), strict=True):
        assert lift.angle_deg <= tip_deg + 1e-9
        if abs(lift.angle_deg) < 60:
            loads = four_wheel_loads(stance, left_down_deg=sign * lift.angle_deg, nose_up_deg=0.0)
            named = loads._asdict()[lift.wheel.replace(" ", "_")]
            assert named == pytest.approx(0.0, abs=1e-9 * stance.mass_kg)
            assert min(loads) == pytest.approx(named, abs=1e-9 * stance.mass_kg)


def both(stance: Stance, side_deg: float, grade_deg: float) -> dict[str, Any]:
    """A slope that the body stands on, as arguments; the example is given up otherwise."""
    slope = {"left_down_deg": side_deg, "nose_up_deg": grade_deg}
    assume(tip_margin_deg(stance, **slope) > 0.01)
    return slope


@STEADY
@given(stances(), SIDE, GRADE)
def test_wheel_loads_add_up_to_what_presses_on_the_ground(
    stance: Stance, side_deg: float, grade_deg: float
) -> None:
    """Sum: mass times the part of gravity square to the ground. Moments: those of the center. No wheel pulls."""
    slope = both(stance, side_deg, grade_deg)
    pull, wheels = gravity_on_body(**slope), wheel_loads_on_slope(stance, **slope)
    tiny = 1e-9 * stance.mass_kg
    over_kg_m = stance.front_track_m / 2 * (wheels.front_left - wheels.front_right)
    over_kg_m += stance.rear_track_m / 2 * (wheels.rear_left - wheels.rear_right)

    assert sum(wheels) == pytest.approx(stance.mass_kg * pull.down, abs=tiny)
    assert min(wheels) >= 0
    assert len(lifted_wheels(wheels)) <= 1
    aft = pull.down * stance.aft_m + pull.aft * stance.up_m
    rear_kg = wheels.rear_left + wheels.rear_right
    assert rear_kg * stance.wheelbase_m == pytest.approx(stance.mass_kg * aft, abs=10 * tiny)
    left = pull.down * stance.left_m + pull.left * stance.up_m
    assert over_kg_m == pytest.approx(stance.mass_kg * left, abs=10 * tiny)


@STEADY
@given(stances(), SIDE, GRADE)
def test_four_contacts_hold_until_one_lifts(stance: Stance, side_deg: float, grade_deg: float) -> None:
    """Without a load below zero both functions say the same; with one, the worst of them is at zero."""
    slope = both(stance, side_deg, grade_deg)
    four, stood = four_wheel_loads(stance, **slope), wheel_loads_on_slope(stance, **slope)
    if min(four) >= 0:
        assert tuple(stood) == pytest.approx(tuple(four), abs=1e-9 * stance.mass_kg)
    else:
        assert lifted_wheels(stood)
        assert four._asdict()[lifted_wheels(stood)[0].replace(" ", "_")] < 0


@STEADY
@given(stances())
def test_nothing_is_weighed_beyond_the_tip(stance: Stance) -> None:
    """Just below the side limit all is well; just above, the function refuses and names the limit."""
    limit_deg = tip_angles(stance).left_deg
    assume(1.0 < limit_deg < 59.0)
    wheel_loads_on_slope(stance, left_down_deg=limit_deg - 1e-6, nose_up_deg=0.0)

    with pytest.raises(BadValue, match=rf"{limit_deg:.2f} deg; choose a flatter slope"):
        wheel_loads_on_slope(stance, left_down_deg=limit_deg + 1e-6, nose_up_deg=0.0)


@STEADY
@given(GRADE, SIDE)
def test_two_inclinometers_tell_one_plane(grade_deg: float, side_deg: float) -> None:
    """The plane's steepness and fall give back both readings."""
    slope = slope_of(left_down_deg=side_deg, nose_up_deg=grade_deg)
    steep, turn = math.sin(math.radians(slope.slope_deg)), math.radians(slope.downhill_deg)

    assert steep * math.sin(turn) == pytest.approx(math.sin(math.radians(side_deg)), abs=1e-12)
    assert -steep * math.cos(turn) == pytest.approx(math.sin(math.radians(grade_deg)), abs=1e-12)


def test_a_vehicle_that_tips_on_the_level_says_so() -> None:
    """Far too much behind the rear axle: the nose-up angle is below zero, and the limit is zero all round."""
    item = Item(name="anvil", mass_kg=500.0)
    anvil = Stowed(item=item, zone="floor", count=9, place=Place(aft_m=4.5, up_m=0.8))
    stance = stance_of(evaluate(VEHICLE, replace(LOADOUT, gear=(anvil,))))

    assert tip_angles(stance).nose_up_deg < 0
    assert tip_limit_deg(stance, downhill_deg=0) == 0.0
    assert tip_margin_deg(stance, left_down_deg=0.0, nose_up_deg=0.0) == 0.0
    with pytest.raises(BadValue, match="rigid tip limit"):
        wheel_loads_on_slope(stance, left_down_deg=0.0, nose_up_deg=0.0)


def test_a_center_right_over_an_edge_stands_on_no_slope() -> None:
    """Over the rear axle line, level ground is its limit whichever way the ground falls."""
    edge = replace(SQUARE, aft_m=3.0)

    assert [tip_limit_deg(edge, downhill_deg=downhill) for downhill in (0, 90, 180, 270)] == [0.0] * 4
    assert least_tip_limit(edge) == pytest.approx((0.0, 180.0), abs=1e-9)


def test_a_wheel_with_a_trace_of_its_load_is_lifted() -> None:
    """A hundredth of a milligram beside half a ton is nothing; ten milligrams are something."""
    assert lifted_wheels(Wheels(500.0, 1e-8, 400.0, 300.0)) == ("front right",)
    assert lifted_wheels(Wheels(500.0, 1e-5, 400.0, 300.0)) == ()


def test_sides_are_named() -> None:
    """The side with the smaller angle, or neither."""
    assert worst_side(Tips(40.0, 41.0, 60.0, 60.0)) == ("left", 40.0)
    assert worst_side(Tips(41.0, 40.0, 60.0, 60.0)) == ("right", 40.0)
    assert worst_side(Tips(40.0, 40.0, 60.0, 60.0)) == ("either", 40.0)
    heavy_left = tip_angles(replace(SQUARE, left_m=0.05))
    assert worst_side(heavy_left)[0] == "left"
    assert lateral_g_at_tip(replace(SQUARE, left_m=0.05)) == pytest.approx((0.70 / 0.75, 0.80 / 0.75))


def test_roll_share_of_nought_or_one_lifts_the_other_axle() -> None:
    """All the moment on the rear axle lifts a rear wheel, all of it in front a front one; never at endless angles."""
    rear, _ = first_lifts(replace(SQUARE, front_roll_share=0.0))
    front, _ = first_lifts(replace(SQUARE, front_roll_share=1.0))

    assert (rear.wheel, front.wheel) == ("rear right", "front right")
    # Half the load on each axle, all the moment on one: the wheel is empty at 1.5 x 0.5 / 2 / 0.75 = 0.5.
    assert (rear.angle_deg, front.angle_deg) == pytest.approx((math.degrees(math.atan(0.5)),) * 2)


def test_give_is_an_explicit_share_of_the_tangent() -> None:
    """None taken off leaves the angle, some always lowers it, no angle of a body that tips anyway is made better."""
    assert give_taken_off_deg(45.0, give_share=0.0) == pytest.approx(45.0)
    assert give_taken_off_deg(45.0, give_share=0.5) == pytest.approx(math.degrees(math.atan(0.5)))
    assert give_taken_off_deg(-3.0, give_share=0.5) == -3.0
    with pytest.raises(TypeError):
        give_taken_off_deg(45.0)  # type: ignore[call-arg]  # no silent default: whoever asks must say how much
    with pytest.raises(BadValue, match="share taken off for give"):
        give_taken_off_deg(45.0, give_share=1.0)


@pytest.mark.parametrize(
    ("slope", "said"),
    [
        ({"left_down_deg": 61.0, "nose_up_deg": 0.0}, "side slope 61.0 is outside -60 to 60 deg"),
        ({"left_down_deg": 0.0, "nose_up_deg": -70.0}, "grade -70.0 is outside -60 to 60 deg"),
        ({"left_down_deg": 50.0, "nose_up_deg": 50.0}, "no plane a body can lie on"),
        ({"left_down_deg": math.nan, "nose_up_deg": 0.0}, "not a finite number"),
    ],
)
def test_angles_outside_the_range_are_refused(slope: dict[str, float], said: str) -> None:
    """The refusal names the angle, the value, and the range."""
    with pytest.raises(BadValue, match=said):
        four_wheel_loads(SQUARE, **slope)


def test_stances_that_cannot_be_are_refused() -> None:
    """No height, no tangent; a roll share is a share."""
    for wrong in ({"up_m": 0.0}, {"front_roll_share": 1.2}, {"mass_kg": 0.0}, {"rear_track_m": 0.0}):
        with pytest.raises(BadValue):
            replace(SQUARE, **wrong)
    with pytest.raises(BadValue, match="direction of the slope"):
        tip_limit_deg(SQUARE, downhill_deg=math.inf)


def test_grades_in_percent_and_on_axles() -> None:
    """One in one is a hundred percent; a climb loads the rear axle, a descent the front."""
    assert grade_percent(45.0) == pytest.approx(100.0)
    place = {"aft_m": 1.5, "up_m": 0.75, "wheelbase_m": 3.0}
    up, down = (axle_loads_on_grade(2000.0, **place, nose_up_deg=grade) for grade in (20.0, -20.0))
    assert up == pytest.approx(down[::-1])
    assert up[1] > up[0]
