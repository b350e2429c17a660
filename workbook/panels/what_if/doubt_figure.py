"""How sure is each rating? Its load with nine in ten, in percent of its limit, as SVG text."""

from __future__ import annotations

from collections.abc import Sequence

from loadcalc.model.quantities import Units
from loadcalc.plan.doubt import RatingDoubt
from workbook.panels.desk.drawing import box, disc, line, page, words
from workbook.panels.desk.palette import ALARM_TINT, LOAD_TINT, MARKS, PAPER, ROLES
from workbook.panels.what_if.doubt_words import chance_words, interval_words

TITLE = "How sure is each rating?"
WIDTH_PX, HEAD_PX, ROW_PX, FOOT_PX = 960.0, 86.0, 40.0, 30.0
NAMES_PX, WORDS_PX = 300.0, 690.0  # where the scale begins and ends
LOW, HIGH = 0.5, 1.4  # of the limit: what the scale shows; beyond it an arrow says so
TICKS = (0.5, 0.75, 1.0, 1.25)
LIKELY = 0.05  # from this chance of being over on a rating is marked


def across(share: float) -> float:
    """Pixel of a share of the limit; held inside the scale."""
    held = min(max(share, LOW), HIGH)
    return NAMES_PX + (held - LOW) / (HIGH - LOW) * (WORDS_PX - NAMES_PX)


def mark_of(told: RatingDoubt) -> str:
    """The mark of a rating: over as entered, or likely enough to be."""
    if told.limit_kg is not None and told.load_kg > told.limit_kg:
        return MARKS["over"]
    return "△" if (told.chance_over or 0.0) >= LIKELY else ""


def doubt_svg(found: Sequence[RatingDoubt], units: Units) -> str:
    """Draw one row a rating: a bar from the 5th to the 95th percentile, a dot at what was entered, the limit's line."""
    bottom = HEAD_PX + ROW_PX * len(found)
    legend = (
        "Share of its limit. Bar: nine times in ten the load lies in it. Dot: as entered. "
        "▲ over as entered, △ a chance of 5% or more."
    )
    strokes = [
        words(18, 30, TITLE, size=20, anchor="start"),
        words(18, 54, legend, size=13, color=ROLES["quiet"], anchor="start"),
        words(WORDS_PX + 20, HEAD_PX - 8, "chance of being over", size=12, color=ROLES["quiet"], anchor="start"),
    ]  # fmt: skip
    for share in TICKS:
        strokes.append(words(across(share), bottom + 18, f"{share:.0%}", size=12, color=ROLES["quiet"]))
    for number, told in enumerate(found):
        strokes += _row(told, HEAD_PX + ROW_PX * (number + 0.5), units)
    limit = [(across(1.0), HEAD_PX - 4), (across(1.0), bottom + 2)]
    strokes.append(line(limit, color=ROLES["limit"], width=2))
    return page(WIDTH_PX, bottom + FOOT_PX, alternative(found, units), strokes)


def _row(told: RatingDoubt, y: float, units: Units) -> list[str]:
    limit_kg = told.limit_kg
    strokes = [words(NAMES_PX - 14, y + 4, _short(told.name), size=13, anchor="end")]
    if not limit_kg:
        said = "limit not known" if limit_kg is None else "nothing allowed"
        return [*strokes, words(NAMES_PX + 6, y + 4, said, size=12, color=ROLES["quiet"], anchor="start")]
    low, at, high = (kg / limit_kg for kg in (told.low_kg, told.load_kg, told.high_kg))
    mark = mark_of(told)
    color = ROLES["alarm"] if mark else ROLES["load"]
    left, right = across(low), across(high)
    fill = ALARM_TINT if mark else LOAD_TINT
    strokes.append(box(left, y - 8, max(right - left, 2.0), 16, fill=fill, stroke=color))
    strokes.append(disc(across(at), y, 4, fill=color if LOW <= at <= HIGH else PAPER, stroke=color))
    if not LOW <= at <= HIGH:
        said = f"{at:.0%} →" if at > HIGH else f"← {at:.0%}"
        x, anchor = (across(at) - 9, "end") if at > HIGH else (across(at) + 9, "start")
        strokes.append(words(x, y + 4, said, size=12, color=color, anchor=anchor))
    chance = f"{mark + ' ' if mark else ''}{chance_words(told.chance_over)}"
    loud = {"size": 14, "color": ROLES["alarm" if mark else "ink"], "bold": bool(mark)}
    strokes.append(words(WORDS_PX + 20, y + 4, chance, anchor="start", **loud))  # type: ignore[arg-type]  # a look, by name
    strokes.append(
        words(WIDTH_PX - 14, y + 4, interval_words(told, units), size=12, color=ROLES["quiet"], anchor="end")
    )
    return strokes


def _short(name: str) -> str:
    """The name without what stands in brackets after it, when it is too long for its column."""
    return name if len(name) <= 40 else name.partition(" (")[0]


def alternative(found: Sequence[RatingDoubt], units: Units) -> str:
    """The picture in words."""
    said = [
        f"{told.name}: {interval_words(told, units)}, chance of being over {chance_words(told.chance_over)}"
        for told in found
    ]
    return f"{TITLE} {'; '.join(said)}."
