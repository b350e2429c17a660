"""What does each bar and each foot of the carrier carry? The carrier from above, to scale, as SVG text."""

from __future__ import annotations

from collections.abc import Sequence

from loadcalc.checks import Report
from loadcalc.checks.ratings.carried import BarLoad, Carried, bar_loads
from loadcalc.checks.ratings.masses import Mass
from loadcalc.model import Carrier
from loadcalc.model.quantities import Units
from workbook.panels.desk.drawing import Frame, box, disc, line, page, words
from workbook.panels.desk.palette import ALARM_TINT, LOAD_TINT, MARKS, PAPER, ROLES
from workbook.panels.desk.ratings_words import percent

TITLE = "What does each bar and foot carry?"
WIDTH_PX, TOP_PX, SIDE_PX = 860.0, 96.0, 70.0


def bars_svg(report: Report, carrier: Carrier, units: Units) -> str:
    """Bars across the platform with their loads in the middle and a disc at each foot, sized by its load."""
    found = bar_loads(report)
    half_m = max([carrier.size.width_m / 2, *(bar.bar.half_span_m for bar in found)])
    nose_m = min([carrier.place.aft_m - carrier.size.length_m / 2, *(bar.bar.aft_m for bar in found)])
    tail_m = max([carrier.place.aft_m + carrier.size.length_m / 2, *(bar.bar.aft_m for bar in found)])
    px_per_m = min((WIDTH_PX - 2 * SIDE_PX) / max(tail_m - nose_m, 0.5), 230.0)
    middle_px = TOP_PX + 40 + half_m * px_per_m
    start_px = (WIDTH_PX - (tail_m - nose_m) * px_per_m) / 2
    frame = Frame(
        px_per_m=px_per_m, across_px=start_px - nose_m * px_per_m, down_px=middle_px, grows_down=True
    )
    legend = (
        "From above, front on the left, to scale. A disc is a foot: its area is its load. "
        "Blue lines: what stands on the platform."
    )
    heading = [
        words(18, 30, TITLE, size=20, anchor="start"),
        words(18, 51, legend, size=13, color=ROLES["quiet"], anchor="start"),
        words(
            18,
            72,
            f"{carrier.name}, loads in {units.mass_unit}",
            size=13,
            color=ROLES["quiet"],
            anchor="start",
        ),
    ]
    strokes = [
        *heading,
        _platform(carrier, frame),
        *(_thing(m, frame) for m in report.shares.masses if m.on_carrier),
    ]
    nose_px, quiet = frame.across(nose_m) - 12, ROLES["quiet"]
    for text, left_m in (("right", -half_m), ("front", 0.0), ("left", half_m)):
        strokes.append(words(nose_px, frame.down(left_m) + 4, text, size=11, color=quiet, anchor="end"))
    most_kg = max([1e-9, *(foot.rating.load_kg for bar in found for foot in (bar.left, bar.right))])
    for bar in found:
        strokes += _bar(bar, frame, units, most_kg)
    height = middle_px + half_m * px_per_m + 62
    return page(WIDTH_PX, height, alternative(found, units), strokes)


def alternative(found: Sequence[BarLoad], units: Units) -> str:
    """The picture in words."""

    def kg(carried: Carried) -> str:
        return units.mass(carried.rating.load_kg)

    said = [f"{b.bar.name} {kg(b.whole)}: left foot {kg(b.left)}, right foot {kg(b.right)}" for b in found]
    return f"The platform's bars from above, front to back. {'; '.join(said)}."


def _platform(carrier: Carrier, frame: Frame) -> str:
    long, wide = carrier.size.length_m * frame.px_per_m, carrier.size.width_m * frame.px_per_m
    x = frame.across(carrier.place.aft_m - carrier.size.length_m / 2)
    y = frame.down(carrier.place.left_m - carrier.size.width_m / 2)
    return box(x, y, long, wide, fill="none", stroke=ROLES["quiet"], round_px=6)


def _thing(mass: Mass, frame: Frame) -> str:
    """A thing's line on the platform: as long as the thing is, at its distance from the center line."""
    y, half = frame.down(mass.place.left_m), max(mass.length_m / 2, 0.03)
    ends = [(frame.across(mass.place.aft_m - half), y), (frame.across(mass.place.aft_m + half), y)]
    return line(ends, color=ROLES["load"], width=2)


def _bar(bar: BarLoad, frame: Frame, units: Units, most_kg: float) -> list[str]:
    x = frame.across(bar.bar.aft_m)
    span_px = bar.bar.half_span_m * frame.px_per_m
    ends = [(x, frame.down_px - span_px), (x, frame.down_px + span_px)]
    strokes = [line(ends, width=3)]
    for foot, y, beyond in ((bar.right, ends[0][1], -26), (bar.left, ends[1][1], 36)):
        over = foot.rating.over
        radius = 4 + 13 * (max(foot.rating.load_kg, 0.0) / most_kg) ** 0.5
        fill, stroke = (ALARM_TINT, ROLES["alarm"]) if over else (LOAD_TINT, ROLES["load"])
        strokes.append(disc(x, y, radius, fill=fill, stroke=stroke))
        strokes.append(words(x, y + beyond, _said(foot, units), size=12, color=_color(foot)))
    whole = bar.whole
    rim = ROLES["alarm" if whole.rating.over else "quiet"]
    strokes.append(box(x - 62, frame.down_px - 21, 124, 40, fill=PAPER, stroke=rim, opacity=1))
    strokes.append(words(x, frame.down_px - 5, bar.bar.name, size=12))
    strokes.append(words(x, frame.down_px + 12, _said(whole, units), size=12, color=_color(whole), bold=True))
    return strokes


def _said(carried: Carried, units: Units) -> str:
    rating = carried.rating
    mark = f"{MARKS['over']} " if rating.over else ""
    used = percent(rating) if rating.known else "limit ?"
    return f"{mark}{units.mass_number(rating.load_kg)} · {used}"


def _color(carried: Carried) -> str:
    return ROLES["alarm"] if carried.rating.over else ROLES["ink"]
