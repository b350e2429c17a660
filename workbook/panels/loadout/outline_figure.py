"""Where does the weight sit, and where is its center? Side and plan outlines, to scale, as SVG text."""

from __future__ import annotations

from collections.abc import Sequence

from loadcalc.checks import Report
from loadcalc.checks.ratings.rows import MEASURES
from loadcalc.checks.stability.stance import STANDS
from loadcalc.model import Vehicle
from loadcalc.model.quantities import Units
from workbook.panels.desk.drawing import Frame, box, disc, line, page, words
from workbook.panels.desk.palette import MARKS, PAPER, ROLES
from workbook.panels.desk.ratings_words import higher, on_board, percent, sideways
from workbook.panels.loadout.outline_boxes import Spot, drawn, merged, shape_of, spots

TITLE = "Where does the weight sit, and where is its center?"
WIDTH_PX, MARGIN_PX = 860.0, 40.0


def body(vehicle: Vehicle) -> list[tuple[float, float]]:
    """A plain outline of a wagon from the vehicle's own measures: (aft, up) corners [m]."""
    nose, tail = -vehicle.front_overhang_m, vehicle.outline.length_m - vehicle.front_overhang_m
    top, base = vehicle.outline.height_m, 0.52 * vehicle.tire_diameter_m
    long, waist = vehicle.outline.length_m, 0.60 * vehicle.outline.height_m
    return [
        (nose, base),
        (nose, waist - 0.06 * top),
        (nose + 0.06 * long, waist),
        (nose + 0.26 * long, waist + 0.03 * top),
        (nose + 0.37 * long, top - 0.02),
        (nose + 0.42 * long, top),
        (tail - 0.10 * long, top),
        (tail - 0.01 * long, waist),
        (tail, base),
    ]


def outline_svg(report: Report, units: Units) -> str:
    """Draw both views as one SVG picture: zone loads, axle and wheel loads, center of gravity empty and loaded."""
    vehicle, found = report.shares.vehicle, spots(report)
    px_per_m = (WIDTH_PX - 2 * MARGIN_PX) / max(vehicle.outline.length_m + 0.2, 1.0)
    tallest = max([vehicle.outline.height_m, *(s.place.up_m + s.size.height_m / 2 for s in found)])
    half_px = vehicle.outline.width_m / 2 * px_per_m
    ground_px = 92 + tallest * px_per_m
    middle_px = ground_px + 96 + half_px
    across_px = MARGIN_PX + (vehicle.front_overhang_m + 0.1) * px_per_m
    side = Frame(px_per_m=px_per_m, across_px=across_px, down_px=ground_px)
    plan = Frame(px_per_m=px_per_m, across_px=across_px, down_px=middle_px, grows_down=True)
    legend = (
        f"To scale; loads in {units.mass_unit}. Open dot: center of gravity, empty. Filled dot: as loaded. "
        "Dashed in the lower view: on the roof."
    )
    heading = [
        words(18, 30, TITLE, size=20, anchor="start"),
        words(18, 51, f"{on_board(report, units)}.", size=13, color=ROLES["quiet"], anchor="start"),
        words(18, 70, legend, size=13, color=ROLES["quiet"], anchor="start"),
    ]
    strokes = [*heading, *_side(report, units, side, found), *_plan(report, units, plan, found)]
    return page(WIDTH_PX, middle_px + half_px + 54, alternative(report, units, found), strokes)


def alternative(report: Report, units: Units, found: Sequence[Spot]) -> str:
    """The picture in words, for a reader who cannot see it."""
    loads = ", ".join(f"{s.name} {units.mass(s.mass_kg)}" for s in found if s.mass_kg > 0)
    return (
        f"Side and plan outline of the vehicle. {loads}. {_rise(report, units)}; {_sideways(report, units)}."
    )


def _weight(report: Report, units: Units, kg: float) -> str:
    """What an axle or a wheel carries; "≈" where it rests on what is assumed."""
    if report.shares.vehicle.not_known(*MEASURES):
        return "not known"
    return f"{'≈ ' if report.shares.margins.there else ''}{units.mass(kg, grouped=True)}"


def _rise(report: Report, units: Units) -> str:
    if report.shares.vehicle.not_known(*STANDS):
        return "center of gravity not known"
    up_m = report.cg.up_m
    rise = higher(up_m - report.shares.vehicle.curb_cg.up_m, units)
    return f"center of gravity {units.length(up_m)} up, {rise} than empty"


def _sideways(report: Report, units: Units) -> str:
    if report.shares.vehicle.not_known(*STANDS):
        return "center of gravity not known"
    return f"center of gravity {sideways(report.cg.left_m, units)}"


def _side(report: Report, units: Units, frame: Frame, found: Sequence[Spot]) -> list[str]:
    vehicle = report.shares.vehicle
    radius = vehicle.tire_diameter_m / 2
    strokes = [line([(14, frame.down(0)), (WIDTH_PX - 14, frame.down(0))], color=ROLES["quiet"], width=1)]
    strokes.append(line([(frame.across(a), frame.down(u)) for a, u in body(vehicle)], closed=True))
    strokes += _carrier(report, frame)
    for axle_m, key, name in (
        (0.0, "front_axle", "front axle"),
        (vehicle.wheelbase_m, "rear_axle", "rear axle"),
    ):
        at = frame.across(axle_m)
        strokes.append(disc(at, frame.down(radius), radius * frame.px_per_m, fill=PAPER))
        rating = report.rating(key)
        mark, color = MARKS["over"] + " " if rating.over else "", ROLES["alarm" if rating.over else "ink"]
        said = f"{mark}{name} {_weight(report, units, rating.load)} · {percent(rating)}"
        strokes.append(words(at, frame.down(0) + 21, said, size=13, color=color, bold=rating.over))
    strokes += drawn([shape_of(group, units, frame, plan=False) for group in merged(found, plan=False)])
    ends = [(frame.across(p.aft_m), frame.down(p.up_m)) for p in (vehicle.curb_cg, report.cg)]
    middle = frame.across(vehicle.wheelbase_m / 2)
    return [*strokes, *_centers(report, *ends), words(middle, frame.down(0) + 42, _rise(report, units), size=12)]


def _carrier(report: Report, frame: Frame) -> list[str]:
    carrier = report.shares.loadout.carrier
    if carrier is None:
        return []
    at = frame.across(carrier.place.aft_m - carrier.size.length_m / 2)
    thick = max(carrier.size.height_m * frame.px_per_m, 4)
    width = carrier.size.length_m * frame.px_per_m
    return [
        box(
            at,
            frame.down(carrier.place.up_m) - thick / 2,
            width,
            thick,
            fill=ROLES["quiet"],
            stroke=ROLES["quiet"],
        )
    ]


def _plan(report: Report, units: Units, frame: Frame, found: Sequence[Spot]) -> list[str]:
    vehicle = report.shares.vehicle
    long, wide = (m * frame.px_per_m for m in (vehicle.outline.length_m, vehicle.outline.width_m))
    strokes = [
        box(
            frame.across(-vehicle.front_overhang_m),
            frame.down(0) - wide / 2,
            long,
            wide,
            fill="none",
            stroke=ROLES["ink"],
            round_px=16,
        )
    ]
    strokes += _wheels(report, units, frame)
    inside = [spot for spot in found if not spot.on_carrier]
    roof = [spot for spot in found if spot.on_carrier]
    strokes += drawn(
        [shape_of(g, units, frame, plan=True) for g in (*merged(inside, plan=True), *merged(roof, plan=True))]
    )
    nose, quiet = frame.across(-vehicle.front_overhang_m) + 12, ROLES["quiet"]
    for text, y in (("right side", -wide / 2 + 18), ("front", 4), ("left side", wide / 2 - 10)):
        strokes.append(words(nose, frame.down(0) + y, text, size=11, color=quiet, anchor="start"))
    ends = [(frame.across(p.aft_m), frame.down(p.left_m)) for p in (vehicle.curb_cg, report.cg)]
    below = frame.down(0) + wide / 2 + 42
    middle = frame.across(vehicle.wheelbase_m / 2)
    return [*strokes, *_centers(report, *ends), words(middle, below, _sideways(report, units), size=12)]


def _wheels(report: Report, units: Units, frame: Frame) -> list[str]:
    vehicle, strokes = report.shares.vehicle, []
    long, thick = vehicle.tire_diameter_m * frame.px_per_m, 0.24 * frame.px_per_m
    for corner, kg in report.wheels_kg._asdict().items():
        front, left = corner.startswith("front"), corner.endswith("left")
        track = vehicle.front_track_m if front else vehicle.rear_track_m
        at = frame.across(0.0 if front else vehicle.wheelbase_m)
        middle = frame.down(track / 2 if left else -track / 2)
        strokes.append(box(at - long / 2, middle - thick / 2, long, thick, fill=PAPER, stroke=ROLES["ink"]))
        rating = report.rating(f"tire:{corner}")
        color = ROLES["alarm" if rating.over else "quiet"]
        edge = middle + (thick / 2 + 33 if left else -thick / 2 - 24)
        mark = f"{MARKS['over']} " if rating.over else ""
        strokes.append(words(at, edge, f"{mark}wheel {_weight(report, units, kg)}", size=12, color=color))
    return strokes


def _centers(report: Report, empty: tuple[float, float], loaded: tuple[float, float]) -> list[str]:
    if report.shares.vehicle.not_known(*STANDS):
        return []
    return [
        line([empty, loaded], dashed=True, width=1),
        disc(*empty, 7, fill=PAPER),
        disc(*loaded, 7, fill=ROLES["ink"]),
    ]


def key(report: Report, units: Units) -> list[tuple[str, str, str, str]]:
    """The list beside the picture: number, zone, load, and what its limit says."""
    told = []
    for spot in spots(report):
        if spot.number:
            rating = report.rating(f"zone:{spot.name}")
            limit = (
                "no limit known"
                if rating.limit is None
                else f"of {units.mass(rating.limit)} ({percent(rating)})"
            )
            told.append(
                (
                    spot.number,
                    spot.name,
                    units.mass(spot.mass_kg),
                    f"{MARKS[spot.state] + ' ' if spot.state == 'over' else ''}{limit}",
                )
            )
    return told
