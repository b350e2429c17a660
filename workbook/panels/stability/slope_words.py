"""What the stability page says of one slope: how it lies, what each wheel carries, and how far the rigid limit is."""

from __future__ import annotations

from dataclasses import dataclass

from loadcalc.checks import Report
from loadcalc.checks.balance import Wheels
from loadcalc.checks.stability.slopes import (
    axle_loads_on_grade,
    grade_percent,
    lifted_wheels,
    slope_of,
    tip_margin_deg,
    wheel_loads_on_slope,
)
from loadcalc.checks.stability.stance import stance_of
from loadcalc.checks.stability.tipping import give_taken_off_deg
from loadcalc.model.errors import BadValue
from loadcalc.model.quantities import Units
from workbook.panels.desk.palette import MARKS

USUAL_GIVE = 0.15
WHEEL_HEADS = ("Wheel", "On this slope", "On the level", "Against the level", "Its tire may carry", "State")


@dataclass(frozen=True, slots=True, kw_only=True)
class Lean:
    """How the vehicle lies, as two inclinometers show it, and the allowance for soft springs and tires.

    left_down_deg, nose_up_deg : [deg], right side down and nose down below zero. give_share : of the tangent [-].
    """

    left_down_deg: float = 0.0
    nose_up_deg: float = 0.0
    give_share: float = USUAL_GIVE


def degrees(angle_deg: float) -> str:
    """An angle to a tenth: "43.1°"."""
    return f"{angle_deg + 0.0:.1f}°".replace("-0.0°", "0.0°").replace("-", "−")


def lies(lean: Lean) -> str:
    """How it lies: "left side down 15°, nose up 5° (9%)"."""
    said = []
    if lean.left_down_deg:
        said.append(f"{'left' if lean.left_down_deg > 0 else 'right'} side down {abs(lean.left_down_deg):g}°")
    if lean.nose_up_deg:
        percent = abs(grade_percent(lean.nose_up_deg))
        said.append(
            f"nose {'up' if lean.nose_up_deg > 0 else 'down'} {abs(lean.nose_up_deg):g}° ({percent:.0f}%)"
        )
    return ", ".join(said) or "level"


def margins(report: Report, lean: Lean) -> tuple[float, float]:
    """Degrees from this slope to the rigid limit in its direction, and to that limit after the allowance [deg]."""
    stance = stance_of(report)
    slope = slope_of(left_down_deg=lean.left_down_deg, nose_up_deg=lean.nose_up_deg)
    rigid_deg = tip_margin_deg(stance, left_down_deg=lean.left_down_deg, nose_up_deg=lean.nose_up_deg)
    limit_deg = rigid_deg + slope.slope_deg
    return rigid_deg, give_taken_off_deg(limit_deg, give_share=lean.give_share) - slope.slope_deg


def wheels_on(report: Report, lean: Lean) -> Wheels | None:
    """Load of each wheel as it lies [kg], or None where a rigid body would tip."""
    try:
        return wheel_loads_on_slope(
            stance_of(report), left_down_deg=lean.left_down_deg, nose_up_deg=lean.nose_up_deg
        )
    except BadValue:
        return None


def pressed_words(report: Report, units: Units, lean: Lean) -> str:
    """What presses into the slope under each axle; nothing where it would tip."""
    wheels = wheels_on(report, lean)
    if wheels is None:
        return ""
    front, rear = wheels.front_left + wheels.front_right, wheels.rear_left + wheels.rear_right
    return f"Load pressing into the slope: front axle {units.mass(front)}, rear axle {units.mass(rear)}."


def slope_words(report: Report, units: Units, lean: Lean) -> str:
    """The slope in sentences: how it lies, what lifts or tips, and how far the limit is."""
    rigid_deg, left_deg = margins(report, lean)
    wheels = wheels_on(report, lean)
    slope_deg = slope_of(left_down_deg=lean.left_down_deg, nose_up_deg=lean.nose_up_deg).slope_deg
    if wheels is None:
        return (
            f"{MARKS['over']} It lies {lies(lean)}: beyond the rigid tip limit in this direction, "
            f"{degrees(slope_deg + rigid_deg)}. No wheel loads: it does not stand there."
        )
    said = [_lifted(wheels, lean)]
    where = "in its worst direction" if slope_deg == 0 else "in this direction"
    said.append(
        f"The rigid limit {where} is {degrees(slope_deg + rigid_deg)}, {degrees(rigid_deg)} from here; "
        f"after an allowance of {lean.give_share:.0%} for soft springs and tires, {_apart(left_deg)}. "
        "This is not room to drive in."
    )
    return "\n".join(said)


def _apart(left_deg: float) -> str:
    return f"{degrees(left_deg)} from here" if left_deg > 0 else f"{MARKS['over']} it is already passed"


def _lifted(wheels: Wheels, lean: Lean) -> str:
    lifted = lifted_wheels(wheels)
    if lifted:
        return f"{MARKS['over']} It lies {lies(lean)}: the {lifted[0]} wheel has lifted; three wheels carry all of it."
    return f"It lies {lies(lean)}: all four wheels carry."


def wheel_rows(report: Report, units: Units, lean: Lean) -> list[tuple[str, ...]]:
    """Each wheel on the slope and on the level, against what its tire may carry; empty where it would tip."""
    wheels = wheels_on(report, lean)
    if wheels is None:
        return []
    rows: list[tuple[str, ...]] = []
    for (corner, kg), level_kg in zip(wheels._asdict().items(), report.wheels_kg, strict=True):
        limit_kg = tire_limit_kg(report, corner)
        lifted = corner.replace("_", " ") in lifted_wheels(wheels)
        over = limit_kg is not None and kg > limit_kg
        state = "has lifted" if lifted else "over" if over else "limit not known" if limit_kg is None else ""
        rows.append(
            (
                corner.replace("_", " ").capitalize(),
                units.mass(kg, grouped=True),
                units.mass(level_kg, grouped=True),
                units.mass_change(kg - level_kg),
                "" if limit_kg is None else units.mass(limit_kg, grouped=True),
                f"{MARKS['over']} {state}" if lifted or over else state,
            )
        )
    return rows


def tire_limit_kg(report: Report, corner: str) -> float | None:
    """What one tire may carry, the less of on the road and aired down [kg]; None if not known."""
    keys = [key for key in (f"tire:{corner}", f"trail:{corner}") if key in report.shares.row]
    limits = [report.rating(key).limit for key in keys]
    return None if None in limits else min(limit for limit in limits if limit is not None)


def grade_words(report: Report, units: Units, grade_deg: float) -> str:
    """The axles on a climb and on a descent of the same grade, at rest or at a steady speed."""
    body, said = stance_of(report), []
    place = {"aft_m": body.aft_m, "up_m": body.up_m, "wheelbase_m": body.wheelbase_m}
    for sign, name in ((1, "Climbing"), (-1, "Descending")):
        axles_kg = axle_loads_on_grade(body.mass_kg, **place, nose_up_deg=sign * grade_deg)
        front, rear = (units.mass(kg, grouped=True) for kg in axles_kg)
        said.append(
            f"{name} {grade_deg:g}° ({grade_percent(grade_deg):.0f}%): front axle {front}, rear axle {rear}."
        )
    return " ".join(said)
