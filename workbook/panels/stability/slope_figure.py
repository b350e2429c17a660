"""What does each wheel carry on this slope? The plan of the vehicle with its four wheels, as SVG text."""

from __future__ import annotations

import math

from loadcalc.checks import Report
from loadcalc.checks.balance import Wheels
from loadcalc.checks.stability.slopes import lifted_wheels, slope_of
from loadcalc.model.quantities import Units
from workbook.panels.desk.drawing import Frame, box, disc, line, page, words
from workbook.panels.desk.palette import LOAD_TINT, MARKS, ROLES
from workbook.panels.stability.slope_words import Lean, lies, tire_limit_kg, wheels_on

TITLE = "What does each wheel carry on this slope?"
WIDTH_PX, MARGIN_PX, TOP_PX = 440.0, 52.0, 104.0
FULL_PX2_PER_KG = 2.0  # area of a wheel's disc for one kilogram


def slope_svg(report: Report, units: Units, lean: Lean) -> str:
    """Draw the wheels with their loads as discs by area, dotted rings for the level, and an arrow down the slope."""
    vehicle, wheels = report.shares.vehicle, wheels_on(report, lean)
    px_per_m = (WIDTH_PX - 2 * MARGIN_PX) / vehicle.outline.length_m
    half_px = vehicle.outline.width_m / 2 * px_per_m
    middle_px = TOP_PX + 56 + half_px
    frame = Frame(
        px_per_m=px_per_m,
        across_px=MARGIN_PX + vehicle.front_overhang_m * px_per_m,
        down_px=middle_px,
        grows_down=True,
    )
    nose_px = frame.across(-vehicle.front_overhang_m)
    long_px = vehicle.outline.length_m * px_per_m
    strokes = [
        *_heading(units, lean),
        box(
            nose_px, middle_px - half_px, long_px, 2 * half_px, fill="none", stroke=ROLES["ink"], round_px=16
        ),
        words(nose_px + 10, middle_px + 4, "front", size=11, color=ROLES["quiet"], anchor="start"),
        words(MARGIN_PX / 2, middle_px - half_px + 12, "right", size=11, color=ROLES["quiet"]),
        words(MARGIN_PX / 2, middle_px + half_px - 4, "left", size=11, color=ROLES["quiet"]),
        *_wheels(report, units, frame, wheels),
        *_arrow(lean, frame, report),
    ]
    if wheels is None:
        said = f"{MARKS['over']} beyond the rigid limit: it tips"
        strokes.append(words(WIDTH_PX / 2, middle_px - 26, said, size=13, color=ROLES["alarm"], bold=True))
    return page(WIDTH_PX, middle_px + half_px + 58, alternative(report, units, lean), strokes)


def _heading(units: Units, lean: Lean) -> list[str]:
    """What it shows and how to read it."""
    read = (
        f"It lies {lies(lean)}.",
        "Seen from above, front on the left.",
        f"Disc: load by area, in {units.mass_unit}. Dotted ring: on the level.",
    )
    quiet = [
        words(14, 46 + 16 * row, text, color=ROLES["quiet"], anchor="start") for row, text in enumerate(read)
    ]
    return [words(14, 26, TITLE, size=17, anchor="start"), *quiet]


def alternative(report: Report, units: Units, lean: Lean) -> str:
    """The picture in words, for a reader who cannot see it."""
    wheels = wheels_on(report, lean)
    if wheels is None:
        return f"{TITLE} It lies {lies(lean)}: beyond the rigid tip limit."
    loads = ", ".join(
        f"{corner.replace('_', ' ')} {units.mass(kg, grouped=True)}"
        for corner, kg in wheels._asdict().items()
    )
    return f"{TITLE} It lies {lies(lean)}: {loads}."


def _wheels(report: Report, units: Units, frame: Frame, wheels: Wheels | None) -> list[str]:
    vehicle, strokes = report.shares.vehicle, []
    lifted = () if wheels is None else lifted_wheels(wheels)
    for index, (corner, level_kg) in enumerate(report.wheels_kg._asdict().items()):
        front, left = corner.startswith("front"), corner.endswith("left")
        track_m = vehicle.front_track_m if front else vehicle.rear_track_m
        x = frame.across(0.0 if front else vehicle.wheelbase_m)
        y = frame.down(track_m / 2 if left else -track_m / 2)
        kg = 0.0 if wheels is None else wheels[index]
        limit_kg = tire_limit_kg(report, corner)
        alarm = corner.replace("_", " ") in lifted or (limit_kg is not None and kg > limit_kg)
        color = ROLES["alarm"] if alarm else ROLES["load"]
        strokes.append(disc(x, y, _radius(kg), fill=LOAD_TINT, stroke=color, width=2))
        strokes.append(_dotted(x, y, _radius(level_kg)))
        long = 0.16 * frame.px_per_m
        strokes.append(line([(x - long, y), (x + long, y)], color=ROLES["ink"], width=5))
        if wheels is not None:
            word = "lifted" if corner.replace("_", " ") in lifted else "over its tire" if alarm else ""
            said = f"{MARKS['over'] + ' ' if alarm else ''}{units.mass(kg, grouped=True)}{' · ' + word if word else ''}"
            edge = y + 46 if left else y - 36
            strokes.append(words(x, edge, said, size=13, color=color if alarm else ROLES["ink"], bold=alarm))
    return strokes


def _radius(kg: float) -> float:
    return math.sqrt(max(kg, 0.0) * FULL_PX2_PER_KG / math.pi)


def _dotted(x: float, y: float, radius: float) -> str:
    look = f'fill="none" stroke="{ROLES["quiet"]}" stroke-width="1" stroke-dasharray="2 3"'
    return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius:.1f}" {look}/>'


def _arrow(lean: Lean, frame: Frame, report: Report) -> list[str]:
    """An arrow from the middle of the vehicle down the slope, longer when it is steeper."""
    slope = slope_of(left_down_deg=lean.left_down_deg, nose_up_deg=lean.nose_up_deg)
    if slope.slope_deg == 0:
        return []
    turn = math.radians(slope.downhill_deg)
    toward = (-math.cos(turn), math.sin(turn))
    x, y = frame.across(report.shares.vehicle.wheelbase_m / 2), frame.down(0.0)
    long = 14 + 1.0 * slope.slope_deg
    tip = (x + toward[0] * long, y + toward[1] * long)
    barbs = [
        (
            tip[0] - 9 * (toward[0] * 0.87 - side * toward[1] * 0.5),
            tip[1] - 9 * (toward[1] * 0.87 + side * toward[0] * 0.5),
        )
        for side in (1, -1)
    ]
    beside = (x + 12, y + (-8 if toward[1] > 0 else 18)) if abs(toward[1]) > 0.3 else (x, y - 10)
    return [
        disc(x, y, 3, fill=ROLES["ink"]),
        line([(x, y), tip], color=ROLES["ink"], width=2),
        line([barbs[0], tip, barbs[1]], color=ROLES["ink"], width=2),
        words(*beside, "downhill", size=12, anchor="start", color=ROLES["quiet"]),
    ]
