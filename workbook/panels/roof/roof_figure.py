"""What lies where on the roof rack, to scale, as plain numbers and texts for the plan widget. Front on the left."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from loadcalc.model import Carrier, Loadout
from loadcalc.model.marks import isolated
from loadcalc.model.quantities import Units
from loadcalc.plan.roof_layout.deck import LayoutFaults, Thing, deck_of, judge, load_on, things_on
from loadcalc.plan.roof_layout.footprint import Footprint
from workbook.panels.desk.drawing import Frame
from workbook.panels.desk.html_text import clipped, cut
from workbook.panels.desk.palette import MARKS
from workbook.panels.roof.roof_words import told

TITLE = "What lies where on the roof rack?"
WIDTH_PX, SIDE_PX, TOP_PX, DEEPEST_PX = 560.0, 46.0, 58.0, 330.0
TRAY_SCALE, TRAY_GAP_PX = 0.5, 8.0
SLAT_PITCH_M, SLAT_M = 0.12, 0.05  # for orientation, where nobody has counted them
LETTER_PX, LINE_PX = 6.5, 14.0  # of a 12 px letter, on average, with room to spare


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """Words in a box: its lines, and whether they stand upright along its length."""

    lines: tuple[str, ...]
    upright: bool


def frame_of(deck: Footprint) -> Frame:
    """Where metres land: the whole deck in the page's width, not too deep."""
    wide = (WIDTH_PX - 2 * SIDE_PX) / max(deck.length_m, 0.1)
    px_per_m = min(wide, DEEPEST_PX / max(deck.width_m, 0.1))
    left_px = (WIDTH_PX - deck.length_m * px_per_m) / 2
    return Frame(
        px_per_m=px_per_m,
        across_px=left_px - deck.fore_m * px_per_m,
        down_px=TOP_PX - deck.right_m * px_per_m,
        grows_down=True,
    )


def scene(loadout: Loadout, units: Units) -> dict[str, Any]:
    """Everything the widget draws.

    Keys: width, height, px_per_m, across_px, down_px (the frame); deck; slats; bars; points; words; load; tray;
    boxes, each with its middle in pixels (cx, cy), its size as drawn (w, h) and to scale (full_w, full_h).
    """
    carrier = loadout.carrier
    if carrier is None:
        return {"width": WIDTH_PX, "height": 60.0, "boxes": [], "empty": "The roof rack is off the vehicle."}
    deck, found = deck_of(carrier), judge(loadout)
    frame, things = frame_of(deck), things_on(loadout)
    foot_px = frame.down(deck.far_left_m)
    loose = [thing for thing in things if thing.place is None]
    spots, tray = tray_of(loose, frame, foot_px + 44)
    boxes = [box_of(thing, found, deck, units, frame, spots) for thing in things]
    boxes.sort(key=lambda box: -box["full_w"] * box["full_h"])  # a small thing on a large one can be grasped
    return {
        "width": WIDTH_PX,
        "height": tray["y"] + tray["h"] + 10 if loose else foot_px + 36,
        "px_per_m": frame.px_per_m,
        "across_px": frame.across_px,
        "down_px": frame.down_px,
        "deck": rectangle(deck, frame),
        "slats": [rectangle(slat, frame) for slat in slats(deck, carrier.slats)],
        "bars": bars(carrier, frame, deck),
        "points": points(carrier, found, frame),
        "load": load(loadout, units, frame),
        "words": sides(frame, deck),
        "tray": tray if loose else None,
        "boxes": boxes,
        "empty": ""
        if things
        else "Nothing rides on the roof rack: choose a zone on it for something, on the loadout page.",
    }


def rectangle(box: Footprint, frame: Frame) -> dict[str, float]:
    """A footprint in pixels: x, y, w, h."""
    return {
        "x": frame.across(box.fore_m),
        "y": frame.down(box.right_m),
        "w": box.length_m * frame.px_per_m,
        "h": box.width_m * frame.px_per_m,
    }


def slats(deck: Footprint, counted: int) -> list[Footprint]:
    """Slats across the deck at an even pitch, the first and last at its ends: as counted, or some for orientation."""
    gaps = max(1, counted - 1 if counted else round((deck.length_m - SLAT_M) / SLAT_PITCH_M))
    pitch = (deck.length_m - SLAT_M) / gaps
    return [
        Footprint(
            aft_m=deck.fore_m + SLAT_M / 2 + n * pitch,
            left_m=deck.left_m,
            length_m=SLAT_M,
            width_m=deck.width_m,
        )
        for n in range(gaps + 1)
    ]


def bars(carrier: Carrier, frame: Frame, deck: Footprint) -> list[dict[str, Any]]:
    """Each bar with its two feet; its name stands above the deck."""
    return [
        {
            "x": frame.across(bar.aft_m),
            "y0": frame.down(-bar.half_span_m),
            "y1": frame.down(bar.half_span_m),
            "name": isolated(clipped(bar.name)),
            "name_y": min(frame.down(deck.right_m), frame.down(-bar.half_span_m)) - 16,
        }
        for bar in carrier.bars
    ]


def points(carrier: Carrier, found: LayoutFaults, frame: Frame) -> list[dict[str, Any]]:
    """Each tie point, and what it is covered by."""
    over: dict[str, list[str]] = {}
    for one in found.covered:
        over.setdefault(one.point.name, []).append(one.thing.name)
    return [
        {
            "x": frame.across(point.aft_m),
            "y": frame.down(point.left_m),
            "name": point.name,
            "mark": MARKS["over"] if point.name in over else "",
            "told": isolated(
                f"Tie point {point.name}"
                + (f", under {' and '.join(over[point.name])}" if point.name in over else ", free")
            ),
        }
        for point in carrier.tie_points
    ]


def load(loadout: Loadout, units: Units, frame: Frame) -> dict[str, Any] | None:
    """The center of what stands on the roof rack."""
    found = load_on(loadout)
    if found is None:
        return None
    return {
        "x": frame.across(found.aft_m),
        "y": frame.down(found.left_m),
        "told": f"Center of the load on the roof rack, {units.mass(found.mass_kg)}",
    }


def sides(frame: Frame, deck: Footprint) -> list[dict[str, Any]]:
    """Which way is which: words at the deck's edges."""
    fore, rear = frame.across(deck.fore_m), frame.across(deck.rear_m)
    middle = frame.across(deck.aft_m)
    top, foot = frame.down(deck.right_m), frame.down(deck.far_left_m)
    line = frame.down(0.0)
    return [
        {"x": fore - 12, "y": line + 4, "text": "front", "anchor": "end"},
        {"x": rear + 12, "y": line + 4, "text": "rear", "anchor": "start"},
        {"x": middle, "y": top - 34, "text": "right side", "anchor": "middle"},
        {"x": middle, "y": foot + 24, "text": "left side (driver's left hand)", "anchor": "middle"},
    ]


def tray_of(
    loose: list[Thing], frame: Frame, top_px: float
) -> tuple[dict[str, tuple[float, float]], dict[str, Any]]:
    """Places in pixels for what is not laid out yet, in rows under the deck at half size; and the tray around them."""
    scale = frame.px_per_m * TRAY_SCALE
    across, down, deep = SIDE_PX / 2 + TRAY_GAP_PX, top_px + 26, 0.0
    found: dict[str, tuple[float, float]] = {}
    for thing in loose:
        box = thing.footprint
        wide, high = max(box.length_m * scale, 16), max(box.width_m * scale, 16)
        if across + wide > WIDTH_PX - SIDE_PX / 2 and deep > 0:
            across, down, deep = SIDE_PX / 2 + TRAY_GAP_PX, down + deep + TRAY_GAP_PX, 0.0
        found[thing.key] = (across + wide / 2, down + high / 2)
        across, deep = across + wide + TRAY_GAP_PX, max(deep, high)
    tray = {
        "x": SIDE_PX / 2,
        "y": top_px,
        "w": WIDTH_PX - SIDE_PX,
        "h": down + deep + TRAY_GAP_PX - top_px,
        "text": "Not laid out yet, drawn at half size: drag onto the roof rack",
    }
    return found, tray


def box_of(
    thing: Thing,
    found: LayoutFaults,
    deck: Footprint,
    units: Units,
    frame: Frame,
    spots: dict[str, tuple[float, float]],
) -> dict[str, Any]:
    """One thing as a rectangle with its name and mass."""
    box, laid = thing.footprint, thing.place is not None
    full_w, full_h = box.length_m * frame.px_per_m, box.width_m * frame.px_per_m
    w, h = (full_w, full_h) if laid else (full_w * TRAY_SCALE, full_h * TRAY_SCALE)
    cx, cy = (frame.across(box.aft_m), frame.down(box.left_m)) if laid else spots[thing.key]
    mine = found.about(thing.key)
    wrong = bool(mine.overlapping or mine.hanging or mine.covered)
    mark = f"{MARKS['over']} " if wrong else ""
    pin = "● " if thing.pinned else ""
    label = label_of(f"{mark}{pin}{thing.name}", units.mass(thing.mass_kg), w, h)
    return {
        "key": thing.key,
        "name": thing.name,
        "cx": cx,
        "cy": cy,
        "w": w,
        "h": h,
        "full_w": full_w,
        "full_h": full_h,
        "laid": laid,
        "pinned": thing.pinned,
        "can_turn": not thing.key.startswith("filled:"),
        "can_pin": not thing.key.startswith("filled:"),
        "wrong": wrong,
        "size_known": thing.size_known,
        "lines": [isolated(line) for line in label.lines],
        "upright": label.upright,
        "told": isolated(told(thing, found, deck, units)),
    }


def label_of(name: str, mass: str, width_px: float, height_px: float) -> Label:
    """Fit name and mass into a box: two lines, or one, which may be cut; upright in a narrow box."""
    upright = width_px < height_px and width_px - 6 < LETTER_PX * len(name)
    along, deep = (height_px, width_px) if upright else (width_px, height_px)
    letters = int((along - 6) / LETTER_PX)
    if letters < 3:
        return Label(lines=(), upright=upright)
    if deep >= 2 * LINE_PX + 4:
        return Label(lines=(cut(name, letters), cut(mass, letters)), upright=upright)
    both = f"{name} {mass}"
    return Label(lines=(both if len(both) <= letters else cut(name, letters),), upright=upright)
