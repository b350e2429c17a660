"""Wheel loads against MuJoCo: a rigid body at rest on four contacts, weighed by its contact forces.

The body is put together from the records mass by mass, so totals, centers, and moments are MuJoCo's own.
What agrees, to 0.01 kg: the total, the axle sums, the sideways moment; the side sums where the tracks are
equal; and each wheel, when the contacts have the springs that `front_roll_share` stands for. What does not:
single wheels under other springs or on uneven ground. Statics can't see that, and the last tests say so.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import mujoco
import numpy as np
import pytest

from loadcalc.checks.balance import Wheels
from loadcalc.checks.findings.judge import evaluate
from loadcalc.model import Loadout, Place, Vehicle
from tests.invented import SEATS, invented_loadout, invented_vehicle

GRAVITY = 9.81
FOOT_M = 0.02  # radius of a contact sphere
STIFFNESS = 1e5  # of a direct spring, in MuJoCo's scale per unit of mass
DAMPING = 600  # times the time step stays under 2, or the contacts blow up
WITHIN_KG = 0.01
SEEDS = range(6)


@dataclass(frozen=True, kw_only=True)
class Springs:
    """Contact stiffness of the axles, and how far the front left foot is raised [m]."""

    front: float = STIFFNESS
    rear: float = STIFFNESS
    raised_m: float = 0.0

    def roll_share(self, vehicle: Vehicle) -> float:
        """Front share of the roll stiffness of four springs: k t^2 of the axle over that of both [-]."""
        front = self.front * vehicle.front_track_m**2
        return front / (front + self.rear * vehicle.rear_track_m**2)


def point_masses(vehicle: Vehicle, loadout: Loadout) -> Iterator[tuple[float, Place]]:
    """Every mass [kg] and its place, straight from the records: none of the package's own sums."""
    curb, tank = vehicle.curb_cg, vehicle.tank
    fuel_kg = vehicle.curb_fuel_l * tank.density_kg_per_l
    dry_kg = vehicle.curb_kg - fuel_kg
    yield (
        dry_kg,
        Place(
            aft_m=curb.aft_m + (curb.aft_m - tank.place.aft_m) * fuel_kg / dry_kg,
            left_m=curb.left_m + (curb.left_m - tank.place.left_m) * fuel_kg / dry_kg,
            up_m=curb.up_m + (curb.up_m - tank.place.up_m) * fuel_kg / dry_kg,
        ),
    )
    yield loadout.fuel_l * tank.density_kg_per_l, tank.place
    if loadout.carrier is not None:
        yield loadout.carrier.mass_kg, loadout.carrier.place
    for person in loadout.people:
        yield person.mass_kg, SEATS[person.seat]
    for gear in loadout.gear:
        yield gear.item.mass_kg * gear.count, gear.place or loadout.zone(gear.zone).place
    for can in loadout.liquids:
        content_kg = can.fill_l * can.liquid.density_kg_per_l
        yield can.liquid.container_kg + content_kg, can.place or loadout.zone(can.zone).place


def _mass(mass_kg: float, place: Place) -> str:
    # x points ahead, y left, z up, from the middle of the front axle on the ground; a small own inertia
    position = f"{-place.aft_m} {place.left_m} {place.up_m}"
    inertia = " ".join([str(0.01 * mass_kg)] * 3)
    return f'<body pos="{position}"><inertial pos="0 0 0" mass="{mass_kg}" diaginertia="{inertia}"/></body>'


def _foot(name: str, ahead_m: float, left_m: float, up_m: float, stiffness: float) -> str:
    return (
        f'<geom name="{name}" priority="1" type="sphere" size="{FOOT_M}" mass="0" condim="3" friction="2 0 0"'
        f' pos="{ahead_m} {left_m} {up_m}" solref="-{stiffness} -{DAMPING}" solimp=".95 .95 .001"/>'
    )


def scene(vehicle: Vehicle, loadout: Loadout, springs: Springs) -> str:
    """The vehicle as a free rigid body on four feet, as MJCF text."""
    front_m, rear_m = vehicle.front_track_m / 2, vehicle.rear_track_m / 2
    aft_m = -vehicle.wheelbase_m
    feet = (
        _foot("front_left", 0.0, front_m, FOOT_M + springs.raised_m, springs.front),
        _foot("front_right", 0.0, -front_m, FOOT_M, springs.front),
        _foot("rear_left", aft_m, rear_m, FOOT_M, springs.rear),
        _foot("rear_right", aft_m, -rear_m, FOOT_M, springs.rear),
    )
    masses = "".join(_mass(kg, place) for kg, place in point_masses(vehicle, loadout) if kg > 0)
    return f"""<mujoco><option timestep="0.001" cone="elliptic" integrator="implicitfast" impratio="10"
        tolerance="1e-12" iterations="200" gravity="0 0 {-GRAVITY}"/>
        <worldbody><geom name="ground" type="plane" size="50 50 1" friction="2 0 0" condim="3"/>
        <body name="vehicle"><freejoint/>{"".join(feet)}{masses}</body></worldbody></mujoco>"""


def weighed(vehicle: Vehicle, loadout: Loadout, springs: Springs) -> Wheels:
    """Load of each wheel when the body has come to rest: its normal force over g [kg]."""
    model = mujoco.MjModel.from_xml_string(scene(vehicle, loadout, springs))
    data = mujoco.MjData(model)
    for _ in range(4000):
        mujoco.mj_step(model, data)
    assert abs(data.qvel).max() < 1e-4, "the body has not come to rest"
    assert data.ncon == 4, "not every foot is on the ground"
    found: dict[str, float] = {}
    for index in range(data.ncon):
        force = np.zeros(6)
        mujoco.mj_contactForce(model, data, index, force)
        pair = (
            model.geom(int(data.contact[index].geom1)).name,
            model.geom(int(data.contact[index].geom2)).name,
        )
        found[next(name for name in pair if name != "ground")] = force[0] / GRAVITY
    return Wheels(**found)


def _case(seed: int) -> tuple[Vehicle, Loadout]:
    return invented_vehicle(seed), invented_loadout(seed)


def _axles(wheels: Wheels) -> tuple[float, float]:
    return wheels.front_left + wheels.front_right, wheels.rear_left + wheels.rear_right


def _moment_kg_m(vehicle: Vehicle, wheels: Wheels) -> float:
    front = vehicle.front_track_m / 2 * (wheels.front_left - wheels.front_right)
    return front + vehicle.rear_track_m / 2 * (wheels.rear_left - wheels.rear_right)


@pytest.mark.parametrize("seed", SEEDS)
def test_axles_and_sideways_moment_are_those_of_contact(seed: int) -> None:
    """Total, axle sums, and sideways moment agree with contact forces whatever the roll share says."""
    vehicle, loadout = _case(seed)
    report = evaluate(replace(vehicle, front_roll_share=seed / 5), loadout)
    wheels = weighed(vehicle, loadout, Springs())

    assert sum(wheels) == pytest.approx(report.mass_kg, abs=WITHIN_KG)
    assert _axles(wheels) == pytest.approx((report.front_axle_kg, report.rear_axle_kg), abs=WITHIN_KG)
    moment_kg_m = _moment_kg_m(vehicle, report.wheels_kg)
    assert _moment_kg_m(vehicle, wheels) == pytest.approx(moment_kg_m, abs=WITHIN_KG)


@pytest.mark.parametrize("seed", SEEDS)
def test_sides_are_those_of_contact_on_equal_tracks(seed: int) -> None:
    """With equal tracks the left and the right side agree too, whatever the roll share says."""
    vehicle, loadout = _case(seed)
    vehicle = replace(vehicle, rear_track_m=vehicle.front_track_m, front_roll_share=seed / 5)
    ours, theirs = evaluate(vehicle, loadout).wheels_kg, weighed(vehicle, loadout, Springs())

    left = (ours.front_left + ours.rear_left, theirs.front_left + theirs.rear_left)
    right = (ours.front_right + ours.rear_right, theirs.front_right + theirs.rear_right)
    assert left[0] == pytest.approx(left[1], abs=WITHIN_KG)
    assert right[0] == pytest.approx(right[1], abs=WITHIN_KG)


@pytest.mark.parametrize("ratio", [0.5, 1.0, 2.0])
@pytest.mark.parametrize("seed", SEEDS)
def test_each_wheel_is_that_of_four_springs(seed: int, ratio: float) -> None:
    """With the roll share of the contact springs, every single wheel agrees."""
    vehicle, loadout = _case(seed)
    springs = Springs(front=STIFFNESS * ratio)
    vehicle = replace(vehicle, front_roll_share=springs.roll_share(vehicle))

    ours, theirs = evaluate(vehicle, loadout).wheels_kg, weighed(vehicle, loadout, springs)
    assert tuple(theirs) == pytest.approx(tuple(ours), abs=WITHIN_KG)


@pytest.mark.parametrize("ratio", [0.5, 1.0, 2.0])
def test_four_springs_by_plane_fit(ratio: float) -> None:
    """The roll share formula is that of a rigid plane on four springs, solved without it."""
    vehicle, loadout = _case(1)
    springs = Springs(front=STIFFNESS * ratio)
    report = evaluate(replace(vehicle, front_roll_share=springs.roll_share(vehicle)), loadout)

    front_m, rear_m = vehicle.front_track_m / 2, vehicle.rear_track_m / 2
    aft = np.array([0.0, 0.0, vehicle.wheelbase_m, vehicle.wheelbase_m])
    left = np.array([front_m, -front_m, rear_m, -rear_m])
    rate = np.array([springs.front, springs.front, springs.rear, springs.rear])
    plane = np.column_stack([np.ones(4), aft, left])
    load = report.mass_kg * np.array([1.0, report.cg.aft_m, report.cg.left_m])
    by_plane = rate * (plane @ np.linalg.solve(plane.T @ (rate[:, None] * plane), load))
    assert tuple(by_plane) == pytest.approx(tuple(report.wheels_kg), abs=1e-6)


def test_single_wheels_are_not_fixed_by_statics() -> None:
    """Other springs than the roll share says: axles and moment hold, single wheels are off by kilograms."""
    vehicle, loadout = _case(1)
    far_left = tuple(replace(gear, place=Place(aft_m=2.0, left_m=0.7, up_m=0.9)) for gear in loadout.gear)
    loadout = replace(loadout, gear=far_left)
    report = evaluate(replace(vehicle, front_roll_share=0.2), loadout)
    wheels = weighed(vehicle, loadout, Springs())

    assert _axles(wheels) == pytest.approx((report.front_axle_kg, report.rear_axle_kg), abs=WITHIN_KG)
    assert abs(wheels.front_left - report.wheels_kg.front_left) > 5.0


def test_uneven_ground_moves_the_diagonal_only() -> None:
    """A foot longer by a hundredth of a millimeter moves load across the diagonal, which no sum shows."""
    vehicle, loadout = _case(2)
    flat = weighed(vehicle, loadout, Springs())
    tilted = weighed(vehicle, loadout, Springs(raised_m=-1e-5))

    assert tilted.front_left - flat.front_left > 10.0
    assert _axles(tilted) == pytest.approx(_axles(flat), abs=WITHIN_KG)
    assert _moment_kg_m(vehicle, tilted) == pytest.approx(_moment_kg_m(vehicle, flat), abs=WITHIN_KG)
