"""Published and hand-worked values of slope, tip, and hitch against their table in tests/reference."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from loadcalc.checks.hitch import LEAST_TONGUE_SHARE, MOST_TONGUE_SHARE, SHARING_MOST, lever_on_axles
from loadcalc.checks.stability.slopes import axle_loads_on_grade, wheel_loads_on_slope
from loadcalc.checks.stability.stance import Stance, empty_stance, static_stability_factor
from loadcalc.checks.stability.tipping import (
    first_lifts,
    lateral_g_at_tip,
    tip_angles,
    tip_limit_deg,
    worst_side,
)
from tests.reference_rows import Row, case_id, half_last_digit, numbers, rows
from tests.season_help import demo_season

GRAVITY = 9.81
# A stance for whatever a row does not say: square, on the center line, midway.
PLAIN = {
    "mass_kg": 2000.0, "aft_m": 1.5, "left_m": 0.0, "up_m": 0.7, "wheelbase_m": 3.0, "front_track_m": 1.5,
    "rear_track_m": 1.5, "front_roll_share": 0.5,
}  # fmt: skip


def given(row: Row) -> dict[str, float]:
    """The inputs of a row: "name=number name=number"."""
    pairs = (part.split("=") for part in row["inputs"].split())
    return {name: float(value) for name, value in pairs}


def on_grade(stance: Stance, *, nose_up_deg: float) -> list[float]:
    """Front and rear axle of a stance on a grade [kg]."""
    place = {"aft_m": stance.aft_m, "up_m": stance.up_m, "wheelbase_m": stance.wheelbase_m}
    return list(axle_loads_on_grade(stance.mass_kg, **place, nose_up_deg=nose_up_deg))


def worked(row: Row) -> list[float]:
    """What the package says for a row, in the order of its `expected`."""
    inputs = given(row)
    stance = Stance(**{**PLAIN, **{name: inputs[name] for name in PLAIN if name in inputs}})
    slope = {
        name: inputs[name] for name in ("left_down_deg", "nose_up_deg", "downhill_deg") if name in inputs
    }
    match row["what"]:
        case "factor":
            return [static_stability_factor(**inputs)]
        case "side":
            return [worst_side(tip_angles(stance))[1]]
        case "lateral g":
            return [min(lateral_g_at_tip(stance))]
        case "grade":
            return on_grade(stance, **slope)
        case "lifted front":
            level, lifted = on_grade(stance, nose_up_deg=0.0)[0], on_grade(stance, **slope)[0]
            return [GRAVITY * (lifted / math.cos(math.radians(slope["nose_up_deg"])) - level)]
        case "wheels":
            return list(wheel_loads_on_slope(stance, **slope))
        case "first lift":
            return [lift.angle_deg for lift in first_lifts(stance)[:1]]
        case "limit":
            return [tip_limit_deg(stance, **slope)]
        case "lever":
            lever = lever_on_axles(**inputs)
            return [lever.front_kg, lever.rear_kg]
    raise AssertionError(f"no such check: {row['what']}")


CHECKED = [row for row in rows("stability.csv") if row["what"] not in ("fleet", "tongue", "sharing")]


@pytest.mark.parametrize("row", CHECKED, ids=case_id)
def test_stability_formulas(row: Row) -> None:
    """Each formula gives the stated value, to half its last digit."""
    expected = numbers(row["expected"])
    near = half_last_digit(row["expected"].split()[0])

    assert worked(row) == pytest.approx(expected, rel=0, abs=near * (1 + 1e-9))


def test_the_empty_demo_vehicle_stands_like_its_kind(tmp_path: Path) -> None:
    """Its factor is within 0.1 of the fleet average of SUVs, and inside the span of all averages."""
    fleet = {row["case"]: float(row["expected"]) for row in rows("stability.csv") if row["what"] == "fleet"}
    stance = empty_stance(demo_season(tmp_path, durable=False).vehicle)
    factor = static_stability_factor(
        front_track_m=stance.front_track_m, rear_track_m=stance.rear_track_m, up_m=stance.up_m
    )

    assert factor == pytest.approx(fleet["fleet average of SUVs"], abs=0.1)
    assert min(fleet.values()) < factor < max(fleet.values())


def test_the_tongue_shares_are_the_manuals() -> None:
    """The two ends of the span that manuals give."""
    stated = [float(row["expected"]) for row in rows("stability.csv") if row["what"] == "tongue"]

    assert stated == [LEAST_TONGUE_SHARE, MOST_TONGUE_SHARE]


def test_how_evenly_a_load_sharing_suspension_shares_is_what_the_rule_says() -> None:
    """What the margin of error takes for two linked axles is the published figure."""
    (stated,) = [float(row["expected"]) for row in rows("stability.csv") if row["what"] == "sharing"]
    assert stated == SHARING_MOST
