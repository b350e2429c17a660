"""How steep may a plane be, falling any way, before a rigid body tips? A polar chart as SVG text.

The vehicle lies in the middle with its front to the left, as in all drawings. A point of a line lies where the ground
falls to, as far out as the slope is steep.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from loadcalc.checks import Report
from loadcalc.checks.stability.slopes import slope_of
from loadcalc.checks.stability.stance import Stance, empty_stance, stance_of
from loadcalc.checks.stability.tipping import give_taken_off_deg, tip_limit_deg
from workbook.panels.desk.drawing import box, disc, line, page, words
from workbook.panels.desk.palette import LOAD_TINT, MARKS, PAPER, ROLES
from workbook.panels.stability.slope_words import Lean, degrees, lies, margins

TITLE = "At which slope would a rigid body tip?"
WIDTH_PX, HEIGHT_PX = 440.0, 500.0
CENTER_X, CENTER_Y = 220.0, 274.0
PX_PER_DEG = 2.15
RINGS_DEG = (15, 30, 45, 60)
STEP_DEG = 3

Limit = Callable[[float], float]


def at(slope_deg: float, downhill_deg: float) -> tuple[float, float]:
    """Where on the page a slope lies: straight ahead (0) is to the left, to the left side (90) is down."""
    turn = math.radians(downhill_deg)
    return (
        CENTER_X - slope_deg * PX_PER_DEG * math.cos(turn),
        CENTER_Y + slope_deg * PX_PER_DEG * math.sin(turn),
    )


def curve(limit: Limit) -> list[tuple[float, float]]:
    """A limit over all headings as points on the page."""
    return [at(limit(downhill), downhill) for downhill in range(0, 360, STEP_DEG)]


def limit_of(stance: Stance) -> Limit:
    """The rigid tip limit over heading [deg]."""
    return lambda downhill_deg: tip_limit_deg(stance, downhill_deg=downhill_deg)


def polar_svg(report: Report, lean: Lean) -> str:
    """Draw the limit over heading: as loaded, empty, loaded after the allowance; and the slope that is set."""
    loaded, empty = limit_of(stance_of(report)), limit_of(empty_stance(report.shares.vehicle))

    def less_give(downhill_deg: float) -> float:
        return give_taken_off_deg(loaded(downhill_deg), give_share=lean.give_share)

    strokes = [
        words(14, 26, TITLE, size=17, anchor="start"),
        *_heading(report, lean),
        *_rings(),
        *_vehicle(report),
        line(curve(empty), color=ROLES["quiet"], width=1.3, closed=True, dashed=True),
        line(curve(less_give), color=ROLES["load"], width=1.6, closed=True),
        line(curve(loaded), color=ROLES["limit"], width=2.2, closed=True),
        *_slope(report, lean, loaded),
        *_legend(lean),
    ]
    return page(WIDTH_PX, HEIGHT_PX, alternative(report, lean), strokes)


def alternative(report: Report, lean: Lean) -> str:
    """The chart in words, for a reader who cannot see it."""
    loaded = limit_of(stance_of(report))
    ways = (("falling to the left", 90), ("to the right", 270), ("nose up", 180), ("nose down", 0))
    said = ", ".join(f"{name} {degrees(loaded(downhill))}" for name, downhill in ways)
    return f"{TITLE} As loaded: {said}. Set: {lies(lean)}; {_margin(report, lean)}."


def _heading(report: Report, lean: Lean) -> list[str]:
    """How to read it, and where the slope that is set stands in it."""
    read = (
        "Direction: where the ground falls to. Farther out: steeper.",
        "No line bounds a range to drive in.",
    )
    here = f"Dot: {lies(lean)}, {_margin(report, lean)}"
    color = _color(report, lean)
    quiet = [
        words(14, 46 + 16 * row, text, color=ROLES["quiet"], anchor="start") for row, text in enumerate(read)
    ]
    return [*quiet, words(14, 82, here, color=color, anchor="start", bold=True)]


def _margin(report: Report, lean: Lean) -> str:
    rigid_deg, left_deg = margins(report, lean)
    if rigid_deg <= 0:
        return f"{MARKS['over']} beyond the rigid limit"
    if left_deg <= 0:
        return f"{MARKS['over']} {degrees(rigid_deg)} to the rigid limit; none after allowance"
    return f"{degrees(rigid_deg)} to the rigid limit"


def _color(report: Report, lean: Lean) -> str:
    """Alarm from where the allowance has used up what there was."""
    return ROLES["alarm" if min(margins(report, lean)) <= 0 else "load"]


def _rings() -> list[str]:
    strokes = []
    for ring in RINGS_DEG:
        strokes.append(disc(CENTER_X, CENTER_Y, ring * PX_PER_DEG, fill="none", stroke=LOAD_TINT, width=1))
    for ring in RINGS_DEG:
        x, y = at(ring, 225)
        strokes.append(words(x, y, f"{ring}°", size=11, color=ROLES["quiet"]))
    far = RINGS_DEG[-1] + 22
    for downhill, text, more in (
        (0, "falls ahead", "nose down"),
        (180, "falls behind", "nose up"),
        (270, "falls to the right", ""),
        (90, "falls to the left", ""),
    ):
        x, y = at(far if more else far - 13, downhill)
        strokes.append(words(x, y, text, size=12, color=ROLES["quiet"]))
        if more:
            strokes.append(words(x, y + 15, more, size=12, color=ROLES["quiet"]))
    return strokes


def _vehicle(report: Report) -> list[str]:
    """The plan of the vehicle in the middle, small, to its own scale, so that nobody has to think which way it lies."""
    vehicle = report.shares.vehicle
    px_per_m = 60 / vehicle.outline.length_m
    long, wide = vehicle.outline.length_m * px_per_m, vehicle.outline.width_m * px_per_m
    nose = CENTER_X - long / 2
    return [
        box(nose, CENTER_Y - wide / 2, long, wide, fill=PAPER, stroke=ROLES["quiet"], round_px=6),
        line(
            [(nose + long * 0.3, CENTER_Y - wide / 2 + 3), (nose + long * 0.3, CENTER_Y + wide / 2 - 3)],
            color=LOAD_TINT,
        ),
        words(nose + 4, CENTER_Y + 4, "front", size=10, color=ROLES["quiet"], anchor="start"),
    ]


def _slope(report: Report, lean: Lean, loaded: Limit) -> list[str]:
    """The slope that is set: a dot, and from it the way to the limit of its direction."""
    slope = slope_of(left_down_deg=lean.left_down_deg, nose_up_deg=lean.nose_up_deg)
    color = _color(report, lean)
    here = at(slope.slope_deg, slope.downhill_deg)
    strokes = []
    if slope.slope_deg > 0:
        there = at(loaded(slope.downhill_deg), slope.downhill_deg)
        strokes.append(line([here, there], color=color, width=1.5, dashed=True))
    strokes.append(disc(*here, 7, fill=color, stroke=PAPER, width=2))
    return strokes


def _legend(lean: Lean) -> list[str]:
    rows = (
        ("loaded", ROLES["limit"], 2.2, False),
        ("empty", ROLES["quiet"], 1.3, True),
        (f"loaded, {lean.give_share:.0%} off for softness", ROLES["load"], 1.6, False),
    )
    strokes, x = [], 14.0
    for text, color, width, dashed in rows:
        y = HEIGHT_PX - 16
        strokes.append(line([(x, y - 4), (x + 26, y - 4)], color=color, width=width, dashed=dashed))
        strokes.append(words(x + 32, y, text, size=12, anchor="start"))
        x += 32 + 7.0 * len(text) + 14
    return strokes
