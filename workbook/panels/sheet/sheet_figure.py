"""The outline for paper: side view and plan next to each other, black on white, with the zones' numbers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial

from loadcalc.checks import Report
from loadcalc.model.quantities import Units
from workbook.panels.desk.drawing import Frame, box, disc, line, page, words
from workbook.panels.loadout.outline_boxes import Spot, merged, shape_of, spots
from workbook.panels.loadout.outline_figure import alternative, body

# 190 mm at 96 px an inch, so that a size in pixels holds on paper
WIDTH_PX, GAP_PX, EDGE_PX = 718.0, 20.0, 8.0
INK, PAPER = "#000", "#fff"
_words = partial(words, size=16, color=INK)  # 12 points


def sheet_outline(report: Report, units: Units) -> str:
    """Both views side by side, to one scale, as wide as a printed page."""
    vehicle, found = report.shares.vehicle, spots(report)
    half_px = (WIDTH_PX - GAP_PX) / 2
    reach = [(s.place.aft_m - s.size.length_m / 2, s.place.aft_m + s.size.length_m / 2) for s in found]
    nose_m = min([-vehicle.front_overhang_m, *(near for near, _ in reach)])
    tail_m = max([vehicle.outline.length_m - vehicle.front_overhang_m, *(far for _, far in reach)])
    px_per_m = (half_px - 2 * EDGE_PX) / max(tail_m - nose_m, 1.0)
    tallest_m = max([vehicle.outline.height_m, *(s.place.up_m + s.size.height_m / 2 for s in found)])
    wide_m = max([vehicle.outline.width_m, *(2 * abs(s.place.left_m) + s.size.width_m for s in found)])
    height = max(tallest_m, wide_m) * px_per_m + 40
    across_px = EDGE_PX - nose_m * px_per_m
    side = Frame(px_per_m=px_per_m, across_px=across_px, down_px=height - 28)
    plan = replace(side, across_px=across_px + half_px + GAP_PX, down_px=(height - 20) / 2, grows_down=True)
    captions = {
        half_px / 2: "From the left; dot: center of gravity",
        WIDTH_PX - half_px / 2: "From above, left below; dashed: roof",
    }
    notes = [_words(x, height - 5, text) for x, text in captions.items()]
    strokes = [*_side(report, units, side, found, half_px), *_plan(report, units, plan, found), *notes]
    return page(WIDTH_PX, height, alternative(report, units, found), strokes)


def _side(report: Report, units: Units, frame: Frame, found: Sequence[Spot], half_px: float) -> list[str]:
    vehicle, radius = report.shares.vehicle, report.shares.vehicle.tire_diameter_m / 2
    strokes = [line([(0, frame.down(0)), (half_px, frame.down(0))], color=INK, width=1)]
    corners = [(frame.across(aft_m), frame.down(up_m)) for aft_m, up_m in body(vehicle)]
    strokes.append(line(corners, closed=True, color=INK, width=1.2))
    for at in map(frame.across, (0.0, vehicle.wheelbase_m)):
        strokes.append(disc(at, frame.down(radius), radius * frame.px_per_m, fill=PAPER, stroke=INK))
    strokes += _boxes(found, units, frame, plan=False)
    center = report.cg
    return [*strokes, disc(frame.across(center.aft_m), frame.down(center.up_m), 4, fill=INK, stroke=INK)]


def _plan(report: Report, units: Units, frame: Frame, found: Sequence[Spot]) -> list[str]:
    vehicle = report.shares.vehicle
    long, wide = (m * frame.px_per_m for m in (vehicle.outline.length_m, vehicle.outline.width_m))
    start = frame.across(-vehicle.front_overhang_m)
    strokes = [
        box(start, frame.down(0) - wide / 2, long, wide, fill="none", stroke=INK, round_px=10),
        _words(start + 6, frame.down(0) + 4, "front", anchor="start"),
    ]
    strokes += _boxes(found, units, frame, plan=True)
    center = report.cg
    return [*strokes, disc(frame.across(center.aft_m), frame.down(center.left_m), 4, fill=INK, stroke=INK)]


def _boxes(found: Sequence[Spot], units: Units, frame: Frame, *, plan: bool) -> list[str]:
    """The zones' boxes with their numbers only (the loads stand in the list below), the seats' boxes bare."""
    inside, roof = ([s for s in found if s.on_carrier == up] for up in (False, True))
    groups = [*merged(inside, plan=plan), *merged(roof, plan=plan)]
    strokes, numbers = [], []
    for s in (shape_of(group, units, frame, plan=plan) for group in groups):
        fill = "none" if s.dashed or s.seat else PAPER
        strokes.append(box(s.x, s.y, s.width, s.height, fill=fill, stroke=INK, dashed=s.dashed))
        if s.dashed:  # a roof box lies over the cabin: its number goes into its lower corner
            numbers.append(_words(s.x + 4, s.y + s.height - 5, s.who, anchor="start", bold=True))
        elif not s.seat:
            numbers.append(_words(s.x + s.width / 2, s.y + s.height / 2 + 4, s.who, bold=True))
    return [*strokes, *numbers]
