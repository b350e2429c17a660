"""How much of each rating does this loadout use? One bar a rating, tightest first, the limit as a line.

The name stands over its bar, so that it has the width of the whole chart, and the numbers stand in a column beside it.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from loadcalc.checks import RatingResult, Report
from loadcalc.model.quantities import Units
from workbook.panels.desk.html_text import clipped, escape
from workbook.panels.desk.palette import DARK, FONT, MARKS, PAPER, ROLES
from workbook.panels.desk.ratings_words import idle, on_board, percent, room, state

TITLE = "How much of each rating does this loadout use?"
FULL = 100.0
DRAWN_TO = 135.0  # a longer bar ends here with a break mark; the number says how far it goes
AXIS_END = 138.0
ROW_PX, FOOT_PX = 38, 26
BAR_AT, BAR_HALF = 0.2, 0.16  # from the middle of its row, in rows
LINE_HALF = 0.24
NAME_AT = -0.24
LETTER_PX = {"number": 9.0, "room": 7.6}  # bold and plain type of 14 px, a wide letter
SUBTITLE_LETTERS = 240
HOVER_LETTERS = 44
SHORT_LIST = 12
SAID = 3  # ratings in the words for people who can't see the chart


@dataclass(frozen=True, slots=True, kw_only=True)
class ConsumedBar:
    """One bar as it is drawn: `within` and `beyond` the limit in percent of it, and the words beside it.

    broken : it goes on beyond where the chart ends.
    """

    key: str
    name: str
    counts: str
    state: str
    within: float
    beyond: float
    broken: bool
    number: str
    room: str


def bar(rating: RatingResult, units: Units) -> ConsumedBar:
    """Decide what one rating's bar shows."""
    share = 0.0 if rating.consumed is None else max(rating.consumed, 0.0)
    drawn = min(FULL * share, DRAWN_TO)
    condition = (
        "" if rating.condition == "at all times" or rating.condition in rating.name else rating.condition
    )
    return ConsumedBar(
        key=rating.key,
        name=rating.name,
        counts=", ".join(filter(None, (rating.counts, condition))),
        state=state(rating),
        within=min(drawn, FULL),
        beyond=max(drawn - FULL, 0.0),
        broken=FULL * share > DRAWN_TO,
        number=percent(rating),
        room=room(rating, units),
    )


def bars(report: Report, units: Units, *, everything: bool) -> list[ConsumedBar]:
    """The bars, tightest first. The short list has every overload, then the tightest of the rest.

    Limits that are not known stay in the short list too, except the zones': an unknown is not a pass.
    """
    if everything:
        return [bar(r, units) for r in report.ratings]
    known = [r for r in report.ratings if r.known and (r.over or r.unit == "kg") and not idle(r)]
    keep = max(len(report.over), SHORT_LIST)
    missing = [r for r in report.not_known if r.group != "zone" and not idle(r)]
    return [bar(r, units) for r in (*known[:keep], *missing)]


def left_out(report: Report, shown: Sequence[ConsumedBar], units: Units) -> str:
    """Say in words what the short list leaves out, so that nobody takes it for all."""
    keys = {b.key for b in shown}
    rest = [r for r in report.ratings if r.key not in keys]
    known = [r for r in rest if r.known and r.unit == "kg"]
    missing = sum(not r.known and not idle(r) for r in rest)
    said = []
    if known:
        said.append(f"{len(known)} more, at most {percent(known[0])} used")
    if missing:
        said.append(f"{missing} zone{'s' if missing > 1 else ''} without a known limit")
    return "Not drawn: " + "; ".join(said) + "." if said else "Every rating is drawn."


def name_text(b: ConsumedBar) -> str:
    """The name of a bar, and what counts against it."""
    return f"<b>{escape(b.name)}</b>  <span style='color:{ROLES['quiet']}'>{escape(b.counts)}</span>"


def number_text(b: ConsumedBar) -> str:
    """The percentage beside a bar, with the mark of its state."""
    if b.state == "not known":
        return f"<span style='color:{ROLES['quiet']}'>{MARKS[b.state]}</span>"
    mark = f"{MARKS[b.state]} " if MARKS[b.state] else ""
    return f"<b>{_tinted(mark + b.number, b)}</b>"


def room_text(b: ConsumedBar) -> str:
    """What is left of a rating, or by how much it is over."""
    return f"  {_tinted(escape(b.room), b)}"


def _tinted(text: str, b: ConsumedBar) -> str:
    color = {"over": "alarm", "not known": "quiet"}.get(b.state, "ink")
    return f"<span style='color:{ROLES[color]}'>{text}</span>"


def hover_text(b: ConsumedBar) -> str:
    """All that is known of a bar, the whole name included."""
    name, counts = (
        "<br>".join(map(escape, textwrap.wrap(clipped(text), HOVER_LETTERS))) for text in (b.name, b.counts)
    )
    number = "" if b.state == "not known" else f"{b.number}, "
    return f"<b>{name}</b><br>{counts}<br>{number}{escape(b.room)}"


def unknown_outline(shown: Sequence[ConsumedBar]) -> tuple[list[float | None], list[float | None]]:
    """Dotted empty boxes for the unknown limits, as one broken line: percent and row."""
    x: list[float | None] = []
    y: list[float | None] = []
    for row, b in enumerate(shown):
        if b.state == "not known":
            top, bottom = row + BAR_AT - BAR_HALF, row + BAR_AT + BAR_HALF
            x += [FULL, 0.0, 0.0, FULL, None]
            y += [top, top, bottom, bottom, None]
    return x, y


def traces(shown: Sequence[ConsumedBar]) -> list[dict[str, Any]]:
    """Bars within and beyond the limit, boxes of unknown limits, break marks, limits, and three sets of words."""
    rows = list(range(len(shown)))
    at = [row + BAR_AT for row in rows]
    over = [(b, y) for b, y in zip(shown, at, strict=True) if b.beyond]
    broken = [y for b, y in over if b.broken]
    outline_x, outline_y = unknown_outline(shown)
    hatch = {"shape": "/", "bgcolor": ROLES["alarm"], "fgcolor": PAPER, "size": 6, "solidity": 0.35}
    flat = {"type": "bar", "orientation": "h", "width": 2 * BAR_HALF}
    still = {"hoverinfo": "skip"}
    words = {"type": "scatter", "mode": "text", "xaxis": "x2", "cliponaxis": False, **still}
    return [
        {**flat, "x": [b.within for b in shown], "y": at, "marker": {"color": ROLES["load"]},
         "hovertext": [hover_text(b) for b in shown], "hovertemplate": "%{hovertext}<extra></extra>"},
        {**flat, "base": FULL, "x": [b.beyond for b, _ in over], "y": [y for _, y in over],
         "marker": {"color": ROLES["alarm"], "pattern": hatch}, **still},
        {"type": "scatter", "mode": "lines", "x": outline_x, "y": outline_y,
         "line": {"color": ROLES["quiet"], "width": 1.2, "dash": "dot"}, **still},
        {"type": "scatter", "mode": "markers", "x": [DRAWN_TO - 7.0] * len(broken) + [DRAWN_TO - 4.0] * len(broken),
         "y": broken * 2, "marker": {"symbol": "line-ne-open", "size": 22, "line": {"width": 4, "color": PAPER}},
         **still},
        {"type": "scatter", "mode": "lines", "x": [FULL, FULL, None] * len(rows),
         "y": [y for row in at for y in (row - LINE_HALF, row + LINE_HALF, None)],
         "line": {"color": ROLES["limit"], "width": 2}, **still},
        {**words, "x": [0.0] * len(rows), "y": [row + NAME_AT for row in rows], "textposition": "middle right",
         "text": [name_text(b) for b in shown]},
        {**words, "x": [1.0] * len(rows), "y": at, "textposition": "middle left",
         "text": [number_text(b) for b in shown]},
        {**words, "x": [1.0] * len(rows), "y": at, "textposition": "middle right",
         "text": [room_text(b) for b in shown]},
    ]  # fmt: skip


NAMES = 5  # the trace whose texts are cut to the chart's width


def subtitle(report: Report, units: Units) -> str:
    """What the figure is of."""
    aboard = clipped(f"Tightest first; the line is the limit. {on_board(report, units)}.")
    return textwrap.shorten(aboard, SUBTITLE_LETTERS, placeholder=" …")


def label(report: Report, units: Units, *, everything: bool = False) -> str:
    """The chart for people who can't see it: its question, and what stands in its first rows."""
    shown = bars(report, units, everything=everything)
    first = [f"{b.name}, {b.number}, {b.room}" for b in shown if b.state != "not known"][:SAID]
    unknown = sum(b.state == "not known" for b in shown)
    said = [*first, *([f"{unknown} drawn without a known limit"] if unknown else [])]
    return f"{TITLE} {'; '.join(said)}."


def figure(report: Report, units: Units, *, everything: bool = False) -> dict[str, Any]:
    """Make the chart as plain data for the widget (workbook/widgets/chart/)."""
    shown = bars(report, units, everything=everything)
    hidden = {"showgrid": False, "zeroline": False, "fixedrange": True}
    numbers = max((len(b.number) + 2 for b in shown), default=0)
    rooms = max((len(b.room) + 1 for b in shown), default=0)
    layout = {
        "height": FOOT_PX + ROW_PX * len(shown),
        "title": {"text": TITLE, "subtitle": {
            "text": escape(subtitle(report, units)), "font": {"color": ROLES["quiet"]},
        }},
        "font": {"family": FONT, "size": 14, "color": ROLES["ink"]},
        "paper_bgcolor": PAPER, "plot_bgcolor": PAPER,
        "margin": {"l": 3, "r": round(rooms * LETTER_PX["room"]) + 4, "t": 0, "b": FOOT_PX},
        "barmode": "overlay", "showlegend": False, "hovermode": "y", "hoverdistance": -1,
        "hoverlabel": {"bgcolor": PAPER, "bordercolor": ROLES["quiet"], "align": "left",
                       "font": {"color": ROLES["ink"], "size": 13}},
        "xaxis": {**hidden, "range": [0, AXIS_END], "fixedrange": False,
                  "tickvals": [0, 50, 100], "ticktext": ["0%", "50%", "100%"],
                  "tickfont": {"color": ROLES["quiet"], "size": 12}},
        "xaxis2": {**hidden, "range": [0, 1], "overlaying": "x", "visible": False},
        "yaxis": {**hidden, "range": [len(shown) - 0.5, -0.5], "visible": False},
    }  # fmt: skip
    fit = {"texts": [NAMES], "column_px": round(numbers * LETTER_PX["number"])}
    return {"data": traces(shown), "layout": layout, "dark": DARK, "fit": fit}
