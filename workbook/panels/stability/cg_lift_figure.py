"""Does the axle gain load in a straight line? Readings and line above, what is left over below."""

from __future__ import annotations

from loadcalc.checks.weighing.cg_height import HeightFit
from loadcalc.model.quantities import Units
from workbook.panels.desk.drawing import box, disc, line, page, words
from workbook.panels.desk.palette import LOAD_TINT, PAPER, ROLES

WIDTH, HEIGHT = 680.0, 400.0
LEFT, RIGHT = 92.0, 640.0
TOP, MIDDLE = 46.0, 238.0  # the readings
SHADED = "off the line; shaded: what scale and angles explain"
REST, BOTTOM = 276.0, 352.0  # what is left over


def lift_svg(fit: HeightFit, units: Units, invented: bool = False) -> str:
    """Readings against tan(tilt) with the fitted line; how far off it they lie, and what scale and angles explain."""
    steepest = max(lift.tangent for lift in fit.lifts) * 1.05
    gains = [lift.axle_kg - fit.level_kg[lift.on_scale] for lift in fit.lifts]
    most = max(*gains, fit.slope_kg * steepest)
    least = min(0.0, *gains)
    band = 2 * fit.expected_kg
    tallest = max(band * 1.5, *(abs(kg) * 1.15 for kg in fit.residuals_kg))

    def x(tangent: float) -> float:
        return LEFT + tangent / steepest * (RIGHT - LEFT)

    def y(gain_kg: float) -> float:
        return MIDDLE - (gain_kg - least) / (most - least) * (MIDDLE - TOP)

    def left_over(kg: float) -> float:
        return (REST + BOTTOM) / 2 - kg / tallest * (BOTTOM - REST) / 2

    strokes = [
        words(20, 22, "Does the axle gain load in a straight line?", size=15, anchor="start", bold=True),
        words(RIGHT, 22, "? invented readings" if invented else "", anchor="end", color=ROLES["alarm"], bold=True),
        line([(x(0), y(0)), (x(steepest), y(fit.slope_kg * steepest))], color=ROLES["load"], width=2),
        line([(LEFT, MIDDLE), (RIGHT, MIDDLE)], color=ROLES["quiet"], width=1),
        words(LEFT - 8, y(0) + 4, "0", anchor="end", color=ROLES["quiet"]),
        words(LEFT - 8, TOP + 8, units.mass_change(most), anchor="end", color=ROLES["quiet"]),
        words(LEFT, TOP - 4, "axle gains", anchor="start", color=ROLES["quiet"]),
        box(
            LEFT, left_over(band), RIGHT - LEFT, left_over(-band) - left_over(band),
            fill=LOAD_TINT, stroke="none", round_px=0,
        ),
        line([(LEFT, left_over(0)), (RIGHT, left_over(0))], color=ROLES["load"], width=2),
        words(LEFT - 8, left_over(band) + 4, units.mass_change(band), anchor="end", color=ROLES["quiet"]),
        words(LEFT - 8, left_over(-band) + 4, units.mass_change(-band), anchor="end", color=ROLES["quiet"]),
        words(LEFT, REST - 12, SHADED, anchor="start", color=ROLES["quiet"]),
    ]  # fmt: skip
    for lift, gain, residual in zip(fit.lifts, gains, fit.residuals_kg, strict=True):
        odd = abs(residual) > band
        fill = ROLES["alarm"] if odd else PAPER if lift.on_scale == "front" else LOAD_TINT
        strokes += [
            disc(x(lift.tangent), y(gain), 5, fill=fill),
            disc(x(lift.tangent), left_over(residual), 5, fill=fill),
        ]
        if odd:
            strokes.append(
                words(
                    x(lift.tangent) + 9,
                    left_over(residual) + 4,
                    "▲ look again",
                    color=ROLES["alarm"],
                    anchor="start",
                )
            )
    strokes += [
        words(x(tangent), BOTTOM + 22, f"{angle:.0f}°", color=ROLES["quiet"])
        for angle, tangent in _ticks(fit)
    ]
    strokes.append(
        words((LEFT + RIGHT) / 2, BOTTOM + 40, "tilt, spaced by its tangent", color=ROLES["quiet"])
    )
    return page(WIDTH, HEIGHT, alt(fit, units), strokes)


def _ticks(fit: HeightFit) -> list[tuple[float, float]]:
    """Tilts to label: each that was read, those closer than two degrees only once."""
    shown: list[tuple[float, float]] = []
    for lift in sorted(fit.lifts, key=lambda lift: lift.angle_deg):
        if not shown or lift.angle_deg - shown[-1][0] > 2.0:
            shown.append((lift.angle_deg, lift.tangent))
    return shown


def alt(fit: HeightFit, units: Units) -> str:
    """The picture in one sentence."""
    return (
        f"{len(fit.lifts)} readings against the tangent of the tilt; the line gives a height of "
        f"{units.length(fit.up_m)}, plus or minus {units.length(fit.plus_minus_m)}; "
        f"the largest distance from the line is {units.mass(max(map(abs, fit.residuals_kg)))}"
    )
