"""Where does the center of gravity go? Side and plan outline, and the way itself enlarged, as SVG text."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from loadcalc.model import Place, Vehicle
from loadcalc.model.quantities import Units
from loadcalc.plan.compare import Comparison
from workbook.panels.desk.drawing import Frame, box, disc, line, page, words
from workbook.panels.desk.palette import PAPER, ROLES
from workbook.panels.desk.ratings_words import sideways
from workbook.panels.loadout.outline_figure import body

TITLE = "Where does the center of gravity go?"
WIDTH_PX = 960.0
SMALL_PX, LARGE_PX = 400.0, 480.0  # widths of the outline and of the enlargement
LARGE_HIGH_PX, SMALL_HIGH_PX = 250.0, 210.0
LARGE_AT_PX = 460.0
LEAST_M = 0.02  # the enlargement shows at least so much, or rounding would look like a way
ROOM = 1.35  # how much more than the way itself the enlargement shows
INCH_M = 0.0254
BARS_M = {
    "in": [inches * INCH_M for inches in (0.1, 0.25, 0.5, 1.0, 2.0, 5.0)],
    "mm": [0.002, 0.005, 0.01, 0.02, 0.05, 0.1],
}


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """One view: which axis goes down the page, and whether it grows that way."""

    name: str
    axis: str
    grows_down: bool


SIDE = View(name="side", axis="up_m", grows_down=False)
PLAN = View(name="plan", axis="left_m", grows_down=True)


def stops(found: Comparison) -> list[Place]:
    """The loadouts' own centers of gravity, in order."""
    return [report.cg for report in found.reports]


def points(found: Comparison) -> list[Place]:
    """The whole way: each loadout's center and every step between."""
    way = [found.reports[0].cg]
    for steps in found.ways:
        way += [step.cg for step in steps]
    return way


def cg_path_svg(found: Comparison, units: Units) -> str:
    """Draw both views: the vehicle small with a box, and the box enlarged with the way step by step."""
    vehicle = found.reports[0].shares.vehicle
    legend = (
        "Numbered: a loadout. Small dot: a step on the way, one thing moved, added, or taken out. "
        "The box is enlarged on the right."
    )
    names = " · ".join(f"{n} {name}" for n, name in enumerate(found.names, start=1))
    strokes = [
        words(18, 30, TITLE, size=20, anchor="start"),
        words(18, 52, legend, size=13, color=ROLES["quiet"], anchor="start"),
        words(18, 74, names, size=13, anchor="start"),
    ]
    top = 92.0
    for view in (SIDE, PLAN):
        strokes += _view(found, vehicle, view, top, units)
        top += LARGE_HIGH_PX + 26
    return page(WIDTH_PX, top + 4, alternative(found, units), strokes)


def _view(found: Comparison, vehicle: Vehicle, view: View, top: float, units: Units) -> list[str]:
    middle, half_m = window(points(found), view)
    small = _small_frame(vehicle, view, top)
    strokes = [*_outline(vehicle, view, small)]
    x, y = small.across(middle[0]), small.down(middle[1])
    half_x, half_y = half_m * small.px_per_m, half_m * small.px_per_m * LARGE_HIGH_PX / LARGE_PX
    half_x, half_y = max(half_x, 5.0), max(half_y, 5.0)
    strokes.append(
        box(x - half_x, y - half_y, 2 * half_x, 2 * half_y, fill="none", stroke=ROLES["ink"], round_px=0)
    )
    for side in (-1, 1):
        corner = (x + half_x, y + side * half_y)
        far = (LARGE_AT_PX, top + (LARGE_HIGH_PX if side > 0 else 0.0))
        strokes.append(line([corner, far], color=ROLES["quiet"], width=0.8, dashed=True))
    return [*strokes, *_enlarged(found, view, middle, half_m, top, units)]


def window(way: Sequence[Place], view: View) -> tuple[tuple[float, float], float]:
    """Middle (aft, and up or left) and half-width [m] of what is enlarged: all of the way, with some room."""
    aft = [place.aft_m for place in way]
    other = [float(getattr(place, view.axis)) for place in way]
    wide = max(max(aft) - min(aft), (max(other) - min(other)) * LARGE_PX / LARGE_HIGH_PX, LEAST_M)
    middle = ((max(aft) + min(aft)) / 2, (max(other) + min(other)) / 2)
    return middle, wide / 2 * ROOM


def _small_frame(vehicle: Vehicle, view: View, top: float) -> Frame:
    size = vehicle.outline
    high_m = size.width_m if view is PLAN else size.height_m
    px_per_m = min(SMALL_PX / (size.length_m + 0.2), SMALL_HIGH_PX / high_m)
    across_px = 24 + (vehicle.front_overhang_m + 0.1) * px_per_m
    middle = top + LARGE_HIGH_PX / 2
    down_px = middle if view is PLAN else middle + high_m * px_per_m / 2
    return Frame(px_per_m=px_per_m, across_px=across_px, down_px=down_px, grows_down=view.grows_down)


def _outline(vehicle: Vehicle, view: View, frame: Frame) -> list[str]:
    if view is SIDE:
        radius = vehicle.tire_diameter_m / 2
        strokes = [line([(frame.across(a), frame.down(u)) for a, u in body(vehicle)], closed=True)]
        for axle_m in (0.0, vehicle.wheelbase_m):
            strokes.append(
                disc(frame.across(axle_m), frame.down(radius), radius * frame.px_per_m, fill=PAPER)
            )
        return strokes
    long, wide = (m * frame.px_per_m for m in (vehicle.outline.length_m, vehicle.outline.width_m))
    nose = frame.across(-vehicle.front_overhang_m)
    quiet = {"size": 11, "color": ROLES["quiet"], "anchor": "start"}
    return [
        box(nose, frame.down(0) - wide / 2, long, wide, fill="none", stroke=ROLES["ink"], round_px=12),
        line([(nose, frame.down(0)), (nose + long, frame.down(0))], color=ROLES["quiet"], width=0.8, dashed=True),
        words(nose + 8, frame.down(0) - wide / 2 + 15, "right side", **quiet),  # type: ignore[arg-type]  # a look, by name
        words(nose + 8, frame.down(0) + wide / 2 - 8, "left side", **quiet),  # type: ignore[arg-type]  # the same
    ]  # fmt: skip


def _enlarged(
    found: Comparison, view: View, middle: tuple[float, float], half_m: float, top: float, units: Units
) -> list[str]:
    px_per_m = LARGE_PX / (2 * half_m)
    x, y = LARGE_AT_PX + LARGE_PX / 2, top + LARGE_HIGH_PX / 2
    down = middle[1] if view.grows_down else -middle[1]
    frame = Frame(
        px_per_m=px_per_m, across_px=x - middle[0] * px_per_m, down_px=y - down * px_per_m, grows_down=view.grows_down
    )  # fmt: skip

    def at(place: Place) -> tuple[float, float]:
        return frame.across(place.aft_m), frame.down(getattr(place, view.axis))

    strokes = [box(LARGE_AT_PX, top, LARGE_PX, LARGE_HIGH_PX, fill=PAPER, stroke=ROLES["ink"], round_px=0)]
    low, high = middle[1] - half_m, middle[1] + half_m
    if view is PLAN and low < 0 < high:
        center = frame.down(0)
        if top < center < top + LARGE_HIGH_PX:
            ends = [(LARGE_AT_PX, center), (LARGE_AT_PX + LARGE_PX, center)]
            strokes.append(line(ends, color=ROLES["quiet"], width=0.8, dashed=True))
            x, quiet = LARGE_AT_PX + LARGE_PX - 8, ROLES["quiet"]
            strokes.append(words(x, center - 5, "center line", size=11, color=quiet, anchor="end"))
    way = [at(place) for place in points(found)]
    strokes.append(line(way, color=ROLES["load"], width=1.6))
    strokes += [disc(*spot, 2.5, fill=ROLES["load"], stroke=ROLES["load"]) for spot in way]
    strokes += _numbered([at(place) for place in stops(found)])
    return [*strokes, *_bar(view, px_per_m, top, units)]


def _numbered(spots: Sequence[tuple[float, float]]) -> list[str]:
    """Discs with the loadouts' numbers; those on the same spot share one disc."""
    strokes = []
    for n, (x, y) in enumerate(spots):
        same = [str(k + 1) for k, (a, b) in enumerate(spots) if abs(a - x) + abs(b - y) < 3]
        if int(same[0]) == n + 1:
            strokes.append(disc(x, y, 10 + 4 * (len(same) - 1), fill=PAPER))
            strokes.append(words(x, y + 4.5, "·".join(same), size=13, bold=True))
    return strokes


def _bar(view: View, px_per_m: float, top: float, units: Units) -> list[str]:
    """A bar of a round length, and which way is which."""
    fitting = [m for m in BARS_M[units.length_unit] if m * px_per_m <= LARGE_PX / 4] or [
        BARS_M[units.length_unit][0]
    ]
    long_m = fitting[-1]
    x, y = LARGE_AT_PX + LARGE_PX - 14, top + LARGE_HIGH_PX - 14
    ways = "up is up, aft to the right" if view is SIDE else "from above, left side down, aft to the right"
    return [
        line([(x - long_m * px_per_m, y), (x, y)], width=2),
        words(x, y - 7, units.length(long_m), size=12, anchor="end"),
        words(LARGE_AT_PX + 8, y, ways, size=12, color=ROLES["quiet"], anchor="start"),
    ]


def alternative(found: Comparison, units: Units) -> str:
    """The picture in words."""
    said = [
        f"{n}, {name}: {units.length(cg.aft_m)} aft, {units.length(cg.up_m)} up, {sideways(cg.left_m, units)}"
        for n, (name, cg) in enumerate(zip(found.names, stops(found), strict=True), start=1)
    ]
    return f"{TITLE} Side and plan outline. {'; '.join(said)}."
