"""The boxes of the outline: zones with loads, seats with who is in them, grouped where they hide each other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from loadcalc.checks import Report
from loadcalc.model import Place, Size
from loadcalc.model.quantities import Units
from workbook.panels.desk.drawing import Frame, box, words
from workbook.panels.desk.palette import ALARM_TINT, LOAD_TINT, MARKS, ROLES

SEAT = Size(length_m=0.5, width_m=0.5, height_m=0.75)
SAME_PLACE = 0.45  # two boxes sharing this much of the smaller one's area in a view are drawn as one


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A box to draw: a zone with its load, or a seat with who is in it.

    state : "over", "within", "not known", or "empty"; on_carrier : drawn on the roof.
    """

    number: str
    name: str
    place: Place
    size: Size
    mass_kg: float
    state: str
    on_carrier: bool = False


def spots(report: Report) -> list[Spot]:
    """Every zone in the loadout's order, then every taken seat."""
    found = []
    for number, zone in enumerate(report.shares.loadout.zones, start=1):
        rating = report.rating(f"zone:{zone.name}")
        state = (
            "empty"
            if rating.load == 0
            else "over"
            if rating.over
            else "within"
            if rating.known
            else "not known"
        )
        found.append(
            Spot(
                number=str(number),
                name=zone.name,
                place=zone.place,
                size=zone.size,
                mass_kg=rating.load,
                state=state,
                on_carrier=zone.on_carrier,
            )
        )
    for mass in report.shares.masses:
        if mass.in_seat:
            found.append(
                Spot(
                    number="",
                    name=mass.name,
                    place=mass.place,
                    size=SEAT,
                    mass_kg=mass.mass_kg,
                    state="within",
                )
            )
    return found


def merged(found: Sequence[Spot], *, plan: bool) -> list[list[Spot]]:
    """Group the zones, and the seats, that hide each other in one view: left behind right, drawer under deck."""
    groups: list[list[Spot]] = []
    for spot in found:
        for group in groups:
            alike = (spot.number == "", spot.on_carrier) == (group[0].number == "", group[0].on_carrier)
            if alike and _overlap(spot, group[0], plan=plan) > SAME_PLACE:
                group.append(spot)
                break
        else:
            groups.append([spot])
    return groups


def _overlap(a: Spot, b: Spot, *, plan: bool) -> float:
    """Shared part of the smaller box in one view [-]."""
    along = _shared(a.place.aft_m, a.size.length_m, b.place.aft_m, b.size.length_m)
    if plan:
        other = _shared(a.place.left_m, a.size.width_m, b.place.left_m, b.size.width_m)
        smaller = min(s.size.length_m * s.size.width_m for s in (a, b))
    else:
        other = _shared(a.place.up_m, a.size.height_m, b.place.up_m, b.size.height_m)
        smaller = min(s.size.length_m * s.size.height_m for s in (a, b))
    return along * other / smaller if smaller > 0 else 0.0


def _shared(a: float, a_size: float, b: float, b_size: float) -> float:
    return max(0.0, min(a + a_size / 2, b + b_size / 2) - max(a - a_size / 2, b - b_size / 2))


def _tints(states: Sequence[str]) -> tuple[str, str]:
    """Fill and line of a box whose zones have these states."""
    if "over" in states:
        return ALARM_TINT, ROLES["alarm"]
    return ("none" if set(states) == {"empty"} else LOAD_TINT), ROLES["load"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """A box on the page with its two words, and where the words go."""

    x: float
    y: float
    width: float
    height: float
    who: str
    load: str
    fill: str
    stroke: str
    dashed: bool
    seat: bool


def shape_of(group: Sequence[Spot], units: Units, frame: Frame, *, plan: bool) -> Shape:
    """The box around a group in one view."""
    fore = min(s.place.aft_m - s.size.length_m / 2 for s in group)
    rear = max(s.place.aft_m + s.size.length_m / 2 for s in group)
    spans = [(s.place.left_m, s.size.width_m) if plan else (s.place.up_m, s.size.height_m) for s in group]
    near, far = min(at - size / 2 for at, size in spans), max(at + size / 2 for at, size in spans)
    fill, stroke = _tints([spot.state for spot in group])
    mark = f"{MARKS['over']} " if any(spot.state == "over" for spot in group) else ""
    return Shape(
        x=frame.across(fore),
        y=min(frame.down(near), frame.down(far)),
        width=(rear - fore) * frame.px_per_m,
        height=(far - near) * frame.px_per_m,
        who="·".join(s.number or s.name for s in group),
        load=mark + f"{units.scale('mass').value(sum(s.mass_kg for s in group)):.0f}",
        fill=fill,
        stroke=stroke,
        dashed=plan and group[0].on_carrier,
        seat=group[0].number == "",
    )


def drawn(shapes: Sequence[Shape]) -> list[str]:
    """All boxes, then all words, so that no box covers a word."""
    large_first = sorted(shapes, key=lambda s: (s.dashed, -s.width * s.height))
    boxes = [
        box(
            s.x, s.y, s.width, s.height, fill="none" if s.dashed else s.fill, stroke=s.stroke, dashed=s.dashed
        )
        for s in large_first
    ]
    return [*boxes, *(_labels(shape) for shape in shapes)]


def _labels(s: Shape) -> str:
    x, y = s.x + s.width / 2, s.y + (16 if s.seat else s.height / 2)  # a seat's words stay clear of a zone's
    if s.dashed:  # a roof box lies over the cabin: its words go into its upper corner
        return words(s.x + 4, s.y + 12, f"{s.who}: {s.load}", size=11, color=s.stroke, anchor="start")
    if s.height < 26:
        return words(s.x - 4, y + 4, f"{s.who}: {s.load}", size=11, color=s.stroke, anchor="end")
    return words(x, y - 2, s.who, size=11) + words(x, y + 12, s.load, size=12, color=s.stroke, bold=True)
