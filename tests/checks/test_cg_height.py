"""The center of gravity from a scale: height by lifting an axle, place by axle and wheel loads, and their doubts."""

from __future__ import annotations

import math
import statistics
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadcalc.checks.balance import wheel_shares
from loadcalc.checks.weighing.axle_lift import (
    AxleLift,
    height_from_one_lift_m,
    lift_angle_deg,
    lifted_axle_kg,
    steep_enough,
)
from loadcalc.checks.weighing.cg_height import LiftDoubts, coverage_factor, height_from_lifts
from loadcalc.checks.weighing.corner_weights import cg_from_axle_weights, cg_from_wheel_weights
from loadcalc.checks.weighing.scales import Scale, quadrature, rectangular_u, tolerance_divisions
from loadcalc.model.errors import BadValue
from tests.reference_rows import Row, case_id, half_last_digit, numbers, rows

MASS_KG, WHEELBASE_M, RADIUS_M = 2200.0, 2.85, 0.37
ANGLES = (0.0, 6.0, 11.0, 16.0, 11.0, 6.0, 0.0)  # up and down again


def readings(up_m: float, on_scale: str = "front", level_kg: float = 1150.0) -> list[AxleLift]:
    """Noiseless lifts of a vehicle whose center is at `up_m`."""
    return [
        AxleLift(
            on_scale=on_scale,
            angle_deg=angle,
            axle_kg=lifted_axle_kg(
                level_kg,
                mass_kg=MASS_KG,
                up_m=up_m,
                radius_m=RADIUS_M,
                wheelbase_m=WHEELBASE_M,
                angle_deg=angle,
            ),
        )
        for angle in ANGLES
    ]


def fit(lifts: list[AxleLift], **changed: float) -> float:
    """Height of the fitted center [m]."""
    given: dict[str, Any] = {"mass_kg": MASS_KG, "wheelbase_m": WHEELBASE_M, "radius_m": RADIUS_M} | changed
    return height_from_lifts(lifts, **given).up_m


@pytest.mark.parametrize("row", rows("cg_height.csv"), ids=case_id)
def test_worked_case_both_ways(row: Row) -> None:
    """The height gives the gain of the axle on the scale, and the gain gives the height back."""
    weight, wheelbase, radius, height, angle = (
        float(row[field]) for field in ("weight", "wheelbase", "radius", "height", "angle")
    )
    gain = lifted_axle_kg(
        0.0, mass_kg=weight, up_m=height, radius_m=radius, wheelbase_m=wheelbase, angle_deg=angle
    )
    back = height_from_one_lift_m(
        gain_kg=float(row["gain"]), mass_kg=weight, radius_m=radius, wheelbase_m=wheelbase, angle_deg=angle
    )

    assert gain == pytest.approx(float(row["gain"]), abs=half_last_digit(row["gain"]))
    assert back == pytest.approx(height, abs=1e-5)


def test_gain_is_that_of_moments_about_the_ground_contacts() -> None:
    """Turning the whole vehicle and taking moments about the contact points gives the same axle load."""
    theta, aft, up = math.radians(17.0), 1.3, 0.8
    center = aft * math.cos(theta) - (up - RADIUS_M) * math.sin(theta)  # ahead and down as the rear rises
    front_kg = MASS_KG * (1 - center / (WHEELBASE_M * math.cos(theta)))
    level_kg = MASS_KG * (1 - aft / WHEELBASE_M)

    ours = lifted_axle_kg(
        level_kg, mass_kg=MASS_KG, up_m=up, radius_m=RADIUS_M, wheelbase_m=WHEELBASE_M, angle_deg=17.0
    )
    assert ours == pytest.approx(front_kg, rel=1e-12)


@given(up_m=st.floats(0.45, 1.6), on_scale=st.sampled_from(["front", "rear"]))
def test_noiseless_lifts_give_the_hidden_height(up_m: float, on_scale: str) -> None:
    """Whatever the height and the axle, the fit gives it back to the last digits, with nothing left over."""
    result = height_from_lifts(
        readings(up_m, on_scale), mass_kg=MASS_KG, wheelbase_m=WHEELBASE_M, radius_m=RADIUS_M
    )

    assert result.up_m == pytest.approx(up_m, rel=1e-9)
    assert result.level_kg[on_scale] == pytest.approx(1150.0, rel=1e-9)
    assert max(map(abs, result.residuals_kg)) < 1e-6
    assert not result.rough


def test_both_axles_share_one_slope() -> None:
    """Lifting the rear and then the front, each with its own level load, still gives one height."""
    both = [*readings(0.78), *readings(0.78, "rear", 1050.0)]
    result = height_from_lifts(both, mass_kg=MASS_KG, wheelbase_m=WHEELBASE_M, radius_m=RADIUS_M)

    assert result.up_m == pytest.approx(0.78, rel=1e-9)
    assert result.level_kg == pytest.approx({"front": 1150.0, "rear": 1050.0}, rel=1e-9)


@given(st.permutations(range(len(ANGLES))))
def test_order_of_the_lifts_does_not_matter(order: list[int]) -> None:
    """The same readings in another order give the same height."""
    lifts = [
        replace(lift, axle_kg=lift.axle_kg + wobble)
        for lift, wobble in zip(readings(0.8), (3, -5, 4, -2, 6, -4, 1), strict=True)
    ]

    assert fit([lifts[i] for i in order]) == pytest.approx(fit(lifts), rel=1e-10)


def test_stated_doubt_holds_the_truth_as_often_as_it_says() -> None:
    """Of 400 noisy weighings, about 95 in 100 have the true height inside plus or minus."""
    rng, inside = np.random.default_rng(7), 0
    for _ in range(400):
        noisy = [
            AxleLift(
                on_scale="front",
                angle_deg=max(0.0, lift.angle_deg + (rng.normal(0, 0.1) if lift.angle_deg else 0.0)),
                axle_kg=lift.axle_kg + rng.normal(0, 3.0),
            )
            for lift in readings(0.8)
        ]
        result = height_from_lifts(
            noisy,
            mass_kg=MASS_KG + rng.normal(0, 10.0),
            wheelbase_m=WHEELBASE_M + rng.normal(0, 0.003),
            radius_m=RADIUS_M + rng.normal(0, 0.005),
        )
        inside += abs(result.up_m - 0.8) <= result.plus_minus_m

    assert 0.93 * 400 <= inside <= 400


def known_part_m(slope_kg: float, *, radius_m: float, wheelbase_m: float, mass_kg: float) -> float:
    """What is not known of radius, wheelbase, and mass, as doubt of the height: each by its derivative [m]."""
    by_wheelbase, by_mass = slope_kg / MASS_KG, slope_kg * WHEELBASE_M / MASS_KG**2
    return math.hypot(radius_m, by_wheelbase * wheelbase_m, by_mass * mass_kg)


def test_doubt_of_readings_that_lie_on_the_line() -> None:
    """The slope's doubt by the textbook, 3 kg / sqrt(sum of (tan - mean tan)²); the rest by derivatives."""
    tangents = [math.tan(math.radians(angle)) for angle in ANGLES]
    lean = math.sqrt(len(tangents) * statistics.pvariance(tangents))
    result = height_from_lifts(
        readings(0.8),
        mass_kg=MASS_KG,
        wheelbase_m=WHEELBASE_M,
        radius_m=RADIUS_M,
        doubts=LiftDoubts(angle_deg=0.0),
    )

    slope_kg = MASS_KG * (0.8 - RADIUS_M) / WHEELBASE_M
    rest_m = known_part_m(slope_kg, radius_m=0.005, wheelbase_m=0.003, mass_kg=10.0)
    assert result.slope_kg == pytest.approx(slope_kg, rel=1e-9)
    assert result.u_m == pytest.approx(math.hypot(3.0 / lean * WHEELBASE_M / MASS_KG, rest_m), rel=1e-9)
    assert result.plus_minus_m == pytest.approx(2 * result.u_m, rel=1e-5)  # all of it known: no Student's t


def test_doubt_of_readings_that_scatter_more_than_they_should() -> None:
    """Then the scatter about an ordinary line tells (GUM G.4): effective degrees of freedom, and their Student's t."""
    wobble = (9.0, -14.0, 12.0, -7.0, 15.0, -11.0, 4.0)
    lifts = [replace(one, axle_kg=one.axle_kg + kg) for one, kg in zip(readings(0.8), wobble, strict=True)]
    result = height_from_lifts(
        lifts, mass_kg=MASS_KG, wheelbase_m=WHEELBASE_M, radius_m=RADIUS_M, doubts=LiftDoubts(angle_deg=0.0)
    )

    tangents, loads = [lift.tangent for lift in lifts], [lift.axle_kg for lift in lifts]
    line = statistics.linear_regression(tangents, loads)
    left_kg = [
        kg - line.intercept - line.slope * tangent for tangent, kg in zip(tangents, loads, strict=True)
    ]
    scatter_kg = math.sqrt(sum(kg**2 for kg in left_kg) / 5)  # seven readings, two fitted numbers
    lean = math.sqrt(7 * statistics.pvariance(tangents))
    slope_m = scatter_kg / lean * WHEELBASE_M / MASS_KG
    u_m = math.hypot(slope_m, known_part_m(line.slope, radius_m=0.005, wheelbase_m=0.003, mass_kg=10.0))
    assert result.scatter_kg == pytest.approx(scatter_kg, rel=1e-9)
    assert result.residuals_kg == pytest.approx(left_kg, abs=1e-8)
    assert result.u_m == pytest.approx(u_m, rel=1e-9)
    freedom = 5 * (u_m / slope_m) ** 4
    assert result.plus_minus_m == pytest.approx(coverage_factor(freedom) * u_m, rel=1e-9)


def test_scatter_to_expect_from_the_angles_alone() -> None:
    """A degree of doubt is worth the slope times 1 + tan² for each reading; with a perfect scale nothing else is."""
    result = height_from_lifts(
        readings(0.8), mass_kg=MASS_KG, wheelbase_m=WHEELBASE_M, radius_m=RADIUS_M,
        doubts=LiftDoubts(reading_kg=0.0, angle_deg=1.0),
    )  # fmt: skip

    slope_kg = MASS_KG * (0.8 - RADIUS_M) / WHEELBASE_M
    steeper = [1 / math.cos(math.radians(angle)) ** 2 for angle in ANGLES]
    expected_kg = slope_kg * math.radians(1.0) * math.sqrt(statistics.fmean(part**2 for part in steeper))
    assert result.expected_kg == pytest.approx(expected_kg, rel=1e-6)


@pytest.mark.parametrize(("times", "rough"), [(1.99, False), (2.01, True)])
def test_twice_the_expected_scatter_is_rough(times: float, rough: bool) -> None:
    """Readings off the line by a pattern that leaves the line as it is, up to twice what 3 kg would give, and over."""
    pattern = (1.0, 0.0, 0.0, 0.0, 0.0, 0.0, -1.0)  # both on the level: no slope, no level load in it
    off_kg = times * 3.0 * math.sqrt(5 / 2)
    lifts = [
        replace(one, axle_kg=one.axle_kg + off_kg * part)
        for one, part in zip(readings(0.8), pattern, strict=True)
    ]
    result = height_from_lifts(
        lifts, mass_kg=MASS_KG, wheelbase_m=WHEELBASE_M, radius_m=RADIUS_M, doubts=LiftDoubts(angle_deg=0.0)
    )

    assert result.scatter_kg == pytest.approx(times * 3.0, rel=1e-9)
    assert result.rough is rough


def test_readings_better_than_their_scale_make_nothing_surer() -> None:
    """Scatter of nine tenths of what 3 kg would give: the scale's own 3 kg counts, which is known, so twice of it."""
    off_kg = 0.9 * 3.0 * math.sqrt(5 / 2)
    first, *between, last = readings(0.8)
    lifts = [
        replace(first, axle_kg=first.axle_kg + off_kg),
        *between,
        replace(last, axle_kg=last.axle_kg - off_kg),
    ]
    doubts = LiftDoubts(angle_deg=0.0)
    result, on_line = (
        height_from_lifts(given, mass_kg=MASS_KG, wheelbase_m=WHEELBASE_M, radius_m=RADIUS_M, doubts=doubts)
        for given in (lifts, readings(0.8))
    )

    assert result.u_m == pytest.approx(on_line.u_m, rel=1e-9)
    assert result.plus_minus_m == pytest.approx(2 * result.u_m, rel=1e-5)


def test_a_worse_scale_widens_the_doubt() -> None:
    """Ten times the scale's doubt gives a wider half-width, and the same height."""
    good = height_from_lifts(readings(0.8), mass_kg=MASS_KG, wheelbase_m=WHEELBASE_M, radius_m=RADIUS_M)
    poor = height_from_lifts(
        readings(0.8),
        mass_kg=MASS_KG,
        wheelbase_m=WHEELBASE_M,
        radius_m=RADIUS_M,
        doubts=LiftDoubts(reading_kg=30.0),
    )

    assert poor.plus_minus_m > 2 * good.plus_minus_m
    assert poor.up_m == pytest.approx(good.up_m, rel=1e-9)


def test_a_misread_angle_shows_in_the_residuals() -> None:
    """One lift written down four degrees wrong: the fit calls itself rough and the half-width grows."""
    lifts = readings(0.8)
    wrong = [replace(lifts[2], angle_deg=7.0), *(lift for i, lift in enumerate(lifts) if i != 2)]
    good = height_from_lifts(lifts, mass_kg=MASS_KG, wheelbase_m=WHEELBASE_M, radius_m=RADIUS_M)
    result = height_from_lifts(wrong, mass_kg=MASS_KG, wheelbase_m=WHEELBASE_M, radius_m=RADIUS_M)

    assert result.rough
    assert result.plus_minus_m > 2 * good.plus_minus_m
    assert max(range(len(wrong)), key=lambda i: abs(result.residuals_kg[i])) == 0


def test_small_angles_are_refused() -> None:
    """When no lift is over 15 degrees there is no height, and the message says what to do."""
    low = [replace(lift, angle_deg=lift.angle_deg * 0.9) for lift in readings(0.8)]

    with pytest.raises(BadValue, match=r"steepest lift 14.4 deg is too small.*over 15 deg; lift higher"):
        fit(low)
    with pytest.raises(BadValue, match="over 15 deg"):
        steep_enough(15.0)
    with pytest.raises(BadValue, match="over 15 deg"):
        height_from_one_lift_m(
            gain_kg=100.0, mass_kg=MASS_KG, radius_m=RADIUS_M, wheelbase_m=WHEELBASE_M, angle_deg=10.0
        )


def test_too_few_lifts_are_refused() -> None:
    """Two raised readings are not enough, nor is any number of them without a level one."""
    with pytest.raises(BadValue, match="raised readings 2 are too few"):
        fit([readings(0.8)[i] for i in (0, 2, 3)])
    with pytest.raises(BadValue, match="no reading on the level"):
        fit(readings(0.8)[1:-1])


def test_half_a_degree_still_counts_as_level() -> None:
    """A first reading at 0.5 degrees is the level one; at 0.503 it is a raised one, and none is level."""
    first, *raised = readings(0.8)[:-1]

    assert fit([replace(first, angle_deg=0.5), *raised]) == pytest.approx(
        0.8, abs=0.02
    )  # no refusal; it reads a little off
    with pytest.raises(BadValue, match="no reading on the level"):
        fit([replace(first, angle_deg=0.503), *raised])
    with pytest.raises(BadValue, match="raised readings 2 are too few"):
        fit([first, replace(first, angle_deg=0.5), *raised[:2]])


def test_the_wrong_axle_is_noticed() -> None:
    """When the axle on the scale loses load, the center would be below the axles: refused with the likely cause."""
    swapped = [replace(lift, axle_kg=2300.0 - lift.axle_kg) for lift in readings(0.8)]

    with pytest.raises(BadValue, match="below the axles; check which axle"):
        fit(swapped)


@pytest.mark.parametrize(
    ("field", "value", "says"),
    [("radius_m", 14.5, "radius"), ("wheelbase_m", 112.0, "wheelbase"), ("mass_kg", 2.2, "mass")],
)
def test_numbers_in_other_units_are_refused(field: str, value: float, says: str) -> None:
    """Inches or tons where meters or kilograms are meant do not pass."""
    with pytest.raises(BadValue, match=says):
        fit(readings(0.8), **{field: value})


def test_angle_from_rise() -> None:
    """A rise of half the wheelbase is 30 degrees; a rise beyond any lift is refused."""
    assert lift_angle_deg(rise_m=1.425, wheelbase_m=2.85) == pytest.approx(30.0, rel=1e-12)
    with pytest.raises(BadValue, match="rise"):
        lift_angle_deg(rise_m=2.8, wheelbase_m=2.85)


@given(
    aft=st.floats(0.9, 1.9), left=st.floats(-0.1, 0.1), roll=st.floats(0.2, 0.8), tracks=st.floats(1.4, 1.8)
)
def test_wheel_loads_give_the_center_back(aft: float, left: float, roll: float, tracks: float) -> None:
    """Whatever the springs do with single wheels, four wheel loads give mass, aft, and left of their center."""
    shares = wheel_shares(
        aft_m=aft,
        left_m=left,
        wheelbase_m=WHEELBASE_M,
        front_track_m=tracks,
        rear_track_m=1.6,
        front_roll_share=roll,
    )
    corners = {f"{corner}_kg": MASS_KG * share for corner, share in shares._asdict().items()}
    weighed = cg_from_wheel_weights(
        **corners,
        wheelbase_m=WHEELBASE_M,
        front_track_m=tracks,
        rear_track_m=1.6,
        scale=Scale(resolution_kg=5.0),
    )

    assert weighed.mass_kg == pytest.approx(MASS_KG, rel=1e-12)
    assert weighed.aft_m == pytest.approx(aft, rel=1e-9)
    assert weighed.left_m == pytest.approx(left, abs=1e-9)


def test_one_scale_makes_the_mass_less_sure_and_the_center_surer() -> None:
    """An error common to all wheels adds up in the mass, and mostly cancels in where the center is."""
    corners = {"front_left_kg": 560.0, "front_right_kg": 550.0, "rear_left_kg": 540.0, "rear_right_kg": 550.0}
    measures = {"wheelbase_m": WHEELBASE_M, "front_track_m": 1.6, "rear_track_m": 1.6}
    one = cg_from_wheel_weights(**corners, **measures, scale=Scale(resolution_kg=5.0))
    pads = cg_from_wheel_weights(**corners, **measures, scale=Scale(resolution_kg=5.0, one_scale=False))

    assert one.mass_u_kg > pads.mass_u_kg
    assert (one.left_u_m or math.inf) < (pads.left_u_m or 0.0)


def test_axle_weights_by_hand() -> None:
    """2600 and 2360 on a wheelbase of 112: 4960, and 2360 / 4960 of the way back."""
    weighed = cg_from_axle_weights(
        front_kg=2600.0, rear_kg=2360.0, wheelbase_m=2.8448, scale=Scale(resolution_kg=10.0)
    )

    assert weighed.mass_kg == 4960.0
    assert weighed.aft_m == pytest.approx(2.8448 * 2360 / 4960, rel=1e-12)
    assert weighed.left_m is None


def test_doubt_of_a_center_from_four_pads() -> None:
    """Each pad: one division of 10 either way and half of one for its display, 100/3 + 100/12 = 41.667 kg²."""
    pads, one_kg = Scale(resolution_kg=10.0, one_scale=False), math.sqrt(100 / 3 + 100 / 12)
    axles = cg_from_axle_weights(front_kg=1200.0, rear_kg=1000.0, wheelbase_m=2.75, scale=pads)
    wheels = cg_from_wheel_weights(
        front_left_kg=520.0, front_right_kg=480.0, rear_left_kg=520.0, rear_right_kg=480.0,
        wheelbase_m=2.8, front_track_m=1.6, rear_track_m=1.6, scale=pads,
    )  # fmt: skip

    assert axles.mass_u_kg == pytest.approx(one_kg * 2**0.5, rel=1e-12)
    # the ± that says the same is √3 of it: √(3 · 2 · 41.667) = 15.811 kg
    assert axles.mass_plus_minus_kg == pytest.approx(15.811, abs=0.0005)
    # the center is 1.25 m aft: a kilogram on the front axle draws it 1.25 m / 2200, on the rear 1.5 m / 2200
    assert axles.aft_u_m == pytest.approx(one_kg * math.hypot(1.25, 1.5) / 2200, rel=1e-12)
    assert wheels.mass_u_kg == pytest.approx(2 * one_kg, rel=1e-12)
    assert wheels.aft_u_m == pytest.approx(one_kg * 2 * 1.4 / 2000, rel=1e-12)
    # 0.032 m left of the center line: the left wheels are 0.768 m from it, the right ones 0.832 m
    assert wheels.left_u_m == pytest.approx(one_kg * math.sqrt(2 * (0.768**2 + 0.832**2)) / 2000, rel=1e-12)


def test_an_empty_scale_is_refused() -> None:
    """Nothing on the scale has no center."""
    with pytest.raises(BadValue, match="add up to nothing"):
        cg_from_axle_weights(front_kg=0.0, rear_kg=0.0, wheelbase_m=2.8, scale=Scale(resolution_kg=10.0))


def _uncertainty(row: Row) -> float:
    values = numbers(row["inputs"])
    kinds = {
        "rectangular": lambda: rectangular_u(values[0]),
        "quadrature": lambda: quadrature(*values),
        "pads": lambda: quadrature(*map(rectangular_u, values)),
        "one scale": lambda: sum(map(rectangular_u, values)),
        "coverage": lambda: coverage_factor(values[0]),
    }
    return kinds[row["kind"]]()


@pytest.mark.parametrize("row", rows("weighing_doubt.csv"), ids=case_id)
def test_uncertainties(row: Row) -> None:
    """Each rule of combining doubts gives its check value, to half its last digit."""
    assert _uncertainty(row) == pytest.approx(float(row["expected"]), abs=half_last_digit(row["expected"]))


@pytest.mark.parametrize("row", rows("scale_tolerance.csv"), ids=case_id)
def test_scale_tolerances(row: Row) -> None:
    """A scale may be wrong by as many divisions as the table says, step by step."""
    allowed = tolerance_divisions(
        float(row["divisions"]), row["scale_class"], newly_adjusted=row["newly_adjusted"] == "yes"
    )

    assert allowed == float(row["tolerance_divisions"])


def test_covariance_of_one_scale_and_of_pads() -> None:
    """Four readings of 300 divisions of 20: pads give 11.55 x 2, one scale 11.55 x 4, rounding on top of both."""
    four = [6000.0] * 4
    ones = np.ones(4)
    rounding = 4 * 20.0**2 / 12
    one = float(ones @ Scale(resolution_kg=20.0).covariance(four) @ ones)
    pads = float(ones @ Scale(resolution_kg=20.0, one_scale=False).covariance(four) @ ones)

    assert one - rounding == pytest.approx((4 * 20 / math.sqrt(3)) ** 2, rel=1e-12)
    assert pads - rounding == pytest.approx(4 * (20 / math.sqrt(3)) ** 2, rel=1e-12)


@given(
    readings_kg=st.lists(st.floats(100.0, 4000.0), min_size=2, max_size=7),
    division=st.sampled_from([1.0, 5.0, 10.0]),
)
def test_one_scale_is_never_surer_of_a_sum(readings_kg: list[float], division: float) -> None:
    """The doubt of a sum on one scale is never smaller than on independent pads."""
    ones = np.ones(len(readings_kg))
    one = ones @ Scale(resolution_kg=division).covariance(readings_kg) @ ones
    pads = ones @ Scale(resolution_kg=division, one_scale=False).covariance(readings_kg) @ ones

    assert one >= pads


@pytest.mark.parametrize(
    "make",
    [
        lambda: Scale(resolution_kg=0.0),
        lambda: Scale(resolution_kg=20.0, scale_class="V"),
        lambda: rectangular_u(-1.0),
        lambda: AxleLift(on_scale="middle", axle_kg=1000.0, angle_deg=5.0),
        lambda: AxleLift(on_scale="front", axle_kg=1000.0, angle_deg=60.0),
        lambda: LiftDoubts(angle_deg=-1.0),
    ],
)
def test_impossible_input_is_refused(make: object) -> None:
    """A scale without a division, a doubt below zero, a lift to sixty degrees: each is refused."""
    with pytest.raises(BadValue):
        make()  # type: ignore[operator]  # a table of calls
