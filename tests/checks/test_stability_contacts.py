"""Slopes and tipping against MuJoCo: the same rigid body on four contacts, with gravity turned.

The body is the one of test_contacts.py, put together from the records mass by mass. On slopes up to 20 degrees
each wheel agrees to 0.01 kg, with the contact springs that the roll share stands for. Tipping is found by halving an
interval of angles; each is tilted to slowly and held for three seconds.
"""

from __future__ import annotations

import math
from dataclasses import replace

import mujoco
import numpy as np
import pytest

from loadcalc.checks.balance import Wheels
from loadcalc.checks.findings.judge import evaluate
from loadcalc.checks.stability.slopes import (
    axle_loads_on_grade,
    four_wheel_loads,
    gravity_on_body,
    lifted_wheels,
    wheel_loads_on_slope,
)
from loadcalc.checks.stability.stance import Stance, stance_of
from loadcalc.checks.stability.tipping import first_lifts, tip_angles, tip_limit_deg
from loadcalc.model import Item, Loadout, Place, Stowed, Vehicle
from tests.checks.test_contacts import GRAVITY, STIFFNESS, WITHIN_KG, Springs, scene
from tests.invented import invented_loadout, invented_vehicle

WITHIN_DEG = 0.02
GRIP = 100.0
TILT_STEPS = 200  # of ten milliseconds each
HOLD_STEPS = 3000  # three seconds: a body a hundredth of a degree beyond its balance has gone over by then
SLOPES = [(20.0, 0.0), (-12.0, 0.0), (0.0, 15.0), (8.0, -10.0), (-10.0, 9.0)]  # left down, nose up


def standing(vehicle: Vehicle, loadout: Loadout, springs: Springs) -> tuple[mujoco.MjModel, mujoco.MjData]:
    """The body as it is let go, level. It must lift or tip, not slide: a wheel with little load slips early."""
    model = mujoco.MjModel.from_xml_string(scene(vehicle, loadout, springs))
    model.geom_friction[:, 0] = GRIP
    return model, mujoco.MjData(model)


def lean(model: mujoco.MjModel, aft: float, left: float, down: float) -> None:
    """Turn gravity instead of the ground. The scene's axes point ahead, left, and up."""
    model.opt.gravity[:] = GRAVITY * np.array([-aft, left, -down])


def weighed(
    vehicle: Vehicle, loadout: Loadout, springs: Springs, *, left_down_deg: float, nose_up_deg: float
) -> Wheels:
    """Normal force of each wheel over g when the body has come to rest on the slope [kg]; 0 for one in the air."""
    model, data = standing(vehicle, loadout, springs)
    lean(model, *gravity_on_body(left_down_deg=left_down_deg, nose_up_deg=nose_up_deg))
    mujoco.mj_step(model, data, 4000)
    assert abs(data.qvel[2:]).max() < 1e-4, "the body has not come to rest"
    assert abs(data.qvel[:2]).max() < 1e-3, "the body slides"  # soft friction creeps by less
    found = dict.fromkeys(Wheels._fields, 0.0)
    for index in range(data.ncon):
        force = np.zeros(6)
        mujoco.mj_contactForce(model, data, index, force)
        pair = [model.geom(int(geom)).name for geom in (data.contact[index].geom1, data.contact[index].geom2)]
        found[next(name for name in pair if name != "ground")] += force[0] / GRAVITY
    return Wheels(**found)


def case(seed: int, springs: Springs) -> tuple[Vehicle, Loadout, Stance]:
    """An invented vehicle and loadout with the roll share of those springs, and how they stand."""
    vehicle, loadout = invented_vehicle(seed), invented_loadout(seed)
    vehicle = replace(vehicle, front_roll_share=springs.roll_share(vehicle))
    return vehicle, loadout, stance_of(evaluate(vehicle, loadout))


def top_heavy(seed: int, springs: Springs) -> tuple[Vehicle, Loadout, Stance]:
    """The same with a great mass far up, so that a wheel lifts on a slope that feet do not slip on."""
    vehicle, loadout, _ = case(seed, springs)
    tank = Item(name="tower", mass_kg=500.0)
    tower = Stowed(item=tank, zone=loadout.zones[0].name, count=3, place=Place(aft_m=2.4, up_m=2.6))
    loadout = replace(loadout, gear=(tower,))
    return vehicle, loadout, stance_of(evaluate(vehicle, loadout))


def by_plane(stance: Stance, springs: Springs, *, left_down_deg: float, nose_up_deg: float) -> list[float]:
    """Wheel loads of a rigid plane on four springs, solved as such: without the package's roll share [kg]."""
    front_m, rear_m = stance.front_track_m / 2, stance.rear_track_m / 2
    aft = np.array([0.0, 0.0, stance.wheelbase_m, stance.wheelbase_m])
    left = np.array([front_m, -front_m, rear_m, -rear_m])
    rate = np.array([springs.front, springs.front, springs.rear, springs.rear])
    plane = np.column_stack([np.ones(4), aft, left])
    sin_aft, sin_left = math.sin(math.radians(nose_up_deg)), math.sin(math.radians(left_down_deg))
    down = math.sqrt(1 - sin_aft**2 - sin_left**2)
    moments = [
        down,
        down * stance.aft_m + sin_aft * stance.up_m,
        down * stance.left_m + sin_left * stance.up_m,
    ]
    load = stance.mass_kg * np.array(moments)
    return list(rate * (plane @ np.linalg.solve(plane.T @ (rate[:, None] * plane), load)))


@pytest.mark.parametrize("ratio", [0.5, 1.0, 2.0])
@pytest.mark.parametrize("slope", SLOPES, ids=str)
def test_each_wheel_on_a_slope_is_that_of_contact(slope: tuple[float, float], ratio: float) -> None:
    """Side slope, climb, descent, and both at once: contact, plane fit, and package agree on every wheel."""
    springs = Springs(front=STIFFNESS * ratio)
    vehicle, loadout, stance = case(3, springs)
    angles = {"left_down_deg": slope[0], "nose_up_deg": slope[1]}
    ours = wheel_loads_on_slope(stance, **angles)

    assert by_plane(stance, springs, **angles) == pytest.approx(list(ours), abs=1e-6)
    assert tuple(weighed(vehicle, loadout, springs, **angles)) == pytest.approx(tuple(ours), abs=WITHIN_KG)


@pytest.mark.parametrize("grade_deg", [10.0, 20.0, 25.0, -20.0])
def test_axles_on_a_grade_are_those_of_contact(grade_deg: float) -> None:
    """Climb and descent, whatever the springs."""
    vehicle, loadout, stance = case(4, Springs())
    wheels = weighed(vehicle, loadout, Springs(), left_down_deg=0.0, nose_up_deg=grade_deg)
    axles = (wheels.front_left + wheels.front_right, wheels.rear_left + wheels.rear_right)

    place = {"aft_m": stance.aft_m, "up_m": stance.up_m, "wheelbase_m": stance.wheelbase_m}
    ours = axle_loads_on_grade(stance.mass_kg, **place, nose_up_deg=grade_deg)

    assert axles == pytest.approx(ours, abs=WITHIN_KG)


@pytest.mark.parametrize("side_deg", [18.0, -18.0])
def test_three_wheels_carry_what_contact_says(side_deg: float) -> None:
    """One wheel in the air: the other three by statics alone, and nobody tipped."""
    springs = Springs(front=4 * STIFFNESS)
    vehicle, loadout, stance = top_heavy(5, springs)
    angles = {"left_down_deg": side_deg, "nose_up_deg": 0.0}
    assert min(four_wheel_loads(stance, **angles)) < -20
    ours, theirs = wheel_loads_on_slope(stance, **angles), weighed(vehicle, loadout, springs, **angles)

    assert lifted_wheels(ours) == ("front right" if side_deg > 0 else "front left",)
    assert min(theirs) == 0.0
    # The springs of this 4.4 t body give enough to turn it by a thousandth of a degree, which is worth 20 g.
    assert tuple(theirs) == pytest.approx(tuple(ours), abs=3 * WITHIN_KG)


def test_the_first_wheel_lifts_where_contact_says() -> None:
    """A tenth of a degree before, all four feet press; a tenth after, the named one is in the air."""
    springs = Springs(front=4 * STIFFNESS)
    vehicle, loadout, stance = top_heavy(5, springs)
    lift, _ = first_lifts(stance)
    assert lift.angle_deg < 20
    wheel = Wheels._fields.index(lift.wheel.replace(" ", "_"))

    before = weighed(vehicle, loadout, springs, left_down_deg=lift.angle_deg - 0.1, nose_up_deg=0.0)
    after = weighed(vehicle, loadout, springs, left_down_deg=lift.angle_deg + 0.1, nose_up_deg=0.0)
    assert before[wheel] > 0
    assert after[wheel] == 0.0


def tips(vehicle: Vehicle, loadout: Loadout, slope_deg: float, downhill_deg: float) -> bool:
    """Whether the body goes over on this plane."""
    model, data = standing(vehicle, loadout, Springs())
    turn = math.radians(downhill_deg)
    for step in range(1, TILT_STEPS + 1):  # slowly, or the jolt of letting go throws it over
        steep = math.radians(slope_deg) * step / TILT_STEPS
        lean(model, -math.sin(steep) * math.cos(turn), math.sin(steep) * math.sin(turn), math.cos(steep))
        mujoco.mj_step(model, data, 10)
    mujoco.mj_step(model, data, HOLD_STEPS)
    upright = 1 - 2 * (data.qpos[4] ** 2 + data.qpos[5] ** 2)  # the body's own up against the plane's
    return bool(upright < math.cos(math.radians(2.0)))


def tip_by_contact_deg(vehicle: Vehicle, loadout: Loadout, downhill_deg: float) -> float:
    """The steepest plane on which the body stays, by halving an interval that knows nothing of the formula [deg]."""
    low, high = 20.0, 75.0
    while high - low > WITHIN_DEG / 4:
        middle = (low + high) / 2
        low, high = (low, middle) if tips(vehicle, loadout, middle, downhill_deg) else (middle, high)
    return (low + high) / 2


@pytest.mark.parametrize("downhill_deg", [90, 270, 180, 0, 125])
def test_it_tips_where_contact_says(downhill_deg: int) -> None:
    """To the left, the right, backward, forward, and across a corner."""
    vehicle, loadout, stance = case(2, Springs())
    expected_deg = tip_limit_deg(stance, downhill_deg=downhill_deg)
    straight = {90: 0, 270: 1}
    if downhill_deg in straight:
        assert expected_deg == pytest.approx(tip_angles(stance)[straight[downhill_deg]], abs=1e-9)

    assert tip_by_contact_deg(vehicle, loadout, downhill_deg) == pytest.approx(expected_deg, abs=WITHIN_DEG)
