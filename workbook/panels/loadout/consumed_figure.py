"""How much of each rating does this loadout use? One bar a rating, tightest first, the limit as a line."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from loadcalc.checks import RatingResult, Report
from loadcalc.model.quantities import Units
from workbook.panels.desk.html_text import clipped, escape
from workbook.panels.desk.palette import FONT, MARKS, PAPER, ROLES
from workbook.panels.desk.ratings_words import idle, on_board, percent, room, state

if TYPE_CHECKING:
    import plotly.graph_objects as go

TITLE = "How much of each rating does this loadout use?"
FULL = 100.0
DRAWN_TO = 135.0  # a longer bar ends here with an arrow's worth of words; the number says how far it goes
AXIS_END = 216.0  # room for the words beside the longest bar
ROW_PX, HEAD_PX, FOOT_PX = 44, 96, 34
WIDE_PX = 840  # as wide as a cell on a 1280 px screen; a live Plotly figure does not follow the cell's width
SUBTITLE_LETTERS = 118  # what fits one line of the chart
SHORT_LIST = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class ConsumedBar:
    """One bar as it is drawn: `within` and `beyond` the limit in percent of it, and the words beside it."""

    key: str
    name: str
    counts: str
    state: str
    within: float
    beyond: float
    number: str
    room: str


def bar(rating: RatingResult, units: Units) -> ConsumedBar:
    """Decide what one rating's bar shows."""
    share = 0.0 if rating.consumed is None else max(rating.consumed, 0.0)
    drawn = min(FULL * share, DRAWN_TO) if math.isfinite(share) else DRAWN_TO
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


def tick(b: ConsumedBar) -> str:
    """The two-line name of a bar."""
    counts = f"<span style='font-size:11px;color:{ROLES['quiet']}'>{escape(clipped(b.counts))}</span>"
    return f"{escape(clipped(b.name))}<br>{counts}"


def beside(b: ConsumedBar) -> str:
    """The words to the right of a bar: mark, number, room."""
    mark = MARKS[b.state]
    if b.state == "not known":
        return f"<span style='color:{ROLES['quiet']}'>{mark} {b.room}</span>"
    color = ROLES["alarm"] if b.state == "over" else ROLES["ink"]
    return (
        f"<span style='color:{color}'>{mark + ' ' if mark else ''}<b>{b.number}</b>  {escape(b.room)}</span>"
    )


def unknown_outline(shown: Sequence[ConsumedBar]) -> tuple[list[float | None], list[float | None]]:
    """Dotted empty boxes for the unknown limits, as one broken line: percent and row."""
    x: list[float | None] = []
    y: list[float | None] = []
    for row, b in enumerate(shown):
        if b.state == "not known":
            x += [FULL, 0.0, 0.0, FULL, None]
            y += [row - 0.26, row - 0.26, row + 0.26, row + 0.26, None]
    return x, y


def traces(shown: Sequence[ConsumedBar]) -> list[dict[str, Any]]:
    """The changing part of each trace, in the order in which `figure` makes them."""
    rows = list(range(len(shown)))
    x, y = unknown_outline(shown)
    return [
        {"x": [b.within for b in shown], "y": rows},
        {"x": [b.beyond for b in shown if b.beyond], "y": [row for row in rows if shown[row].beyond]},
        {"x": x, "y": y},
        {
            "x": [max(b.within + b.beyond, FULL) + 2.5 for b in shown],
            "y": rows,
            "text": [beside(b) for b in shown],
        },
    ]


def axes(shown: Sequence[ConsumedBar], subtitle: Sequence[str]) -> dict[str, Any]:
    """The changing part of the layout."""
    under = "<br>".join(escape(part) for part in subtitle)
    title = f"{TITLE}<br><span style='font-size:13px;color:{ROLES['quiet']}'>{under}</span>"
    return {
        "title.text": title,
        "height": HEAD_PX + FOOT_PX + ROW_PX * len(shown),
        "yaxis.tickvals": list(range(len(shown))),
        "yaxis.ticktext": [tick(b) for b in shown],
        "yaxis.range": [len(shown) - 0.4, -0.6],
        "shapes[0].y1": len(shown) - 0.4,
    }


def subtitle(report: Report, units: Units) -> tuple[str, str]:
    """What the figure is of, in two lines that fit the chart."""
    aboard = clipped(f"{on_board(report, units)}.")
    return "Tightest first. The line is the limit.", textwrap.shorten(aboard, SUBTITLE_LETTERS, placeholder=" …")


def figure(report: Report, units: Units, *, everything: bool = False, live: bool = True) -> go.FigureWidget:
    """Make the chart: a FigureWidget for a page, a plain Figure (`live=False`) for a picture."""
    import plotly.graph_objects as go

    shown = bars(report, units, everything=everything)
    within, beyond, outline, words = traces(shown)
    quiet = {"color": ROLES["quiet"]}
    hatch = {"shape": "/", "fgcolor": PAPER, "size": 6, "solidity": 0.35}
    chart = (go.FigureWidget if live else go.Figure)()
    chart.add_bar(orientation="h", marker_color=ROLES["load"], hoverinfo="skip", **within)
    chart.add_bar(
        orientation="h", marker={"color": ROLES["alarm"], "pattern": hatch}, hoverinfo="skip", **beyond
    )
    dotted = {"color": ROLES["quiet"], "width": 1.2, "dash": "dot"}
    chart.add_scatter(mode="lines", line=dotted, hoverinfo="skip", **outline)
    chart.add_scatter(mode="text", textposition="middle right", hoverinfo="skip", **words)
    line = {"color": ROLES["limit"], "width": 2}
    chart.update_layout(
        width=WIDE_PX,
        barmode="stack",
        bargap=0.45,
        showlegend=False,
        dragmode=False,
        hovermode=False,
        paper_bgcolor=PAPER,
        plot_bgcolor=PAPER,
        font={"family": FONT, "size": 14, "color": ROLES["ink"]},
        margin={"autoexpand": False, "l": 304, "r": 8, "t": HEAD_PX, "b": FOOT_PX},
        title={
            "x": 0.0,
            "xref": "container",
            "pad": {"l": 18},
            "y": 0.985,
            "yanchor": "top",
            "font": {"size": 20},
            "yref": "container",
            "automargin": False,
        },
        xaxis={
            "range": [0, AXIS_END],
            "tickvals": [0, 25, 50, 75, 100],
            "ticktext": ["0%", "25%", "50%", "75%", "100%"],
            "showgrid": False,
            "zeroline": False,
            "fixedrange": True,
            "tickfont": quiet,
        },
        yaxis={
            "showgrid": False,
            "zeroline": False,
            "fixedrange": True,
            "ticklabelstandoff": 8,
            "ticklabeloverflow": "allow",
        },
        shapes=[{"type": "line", "x0": FULL, "x1": FULL, "y0": -0.6, "y1": 0, "line": line}],
        modebar={
            "remove": ["toimage", "zoom", "pan", "select", "lasso", "zoomin", "zoomout", "autoscale", "reset"]
        },
    )
    chart.layout.title.pad.t = 18
    chart.update_layout(
        {key: value for key, value in axes(shown, subtitle(report, units)).items() if "[" not in key}
    )
    chart.layout.shapes[0].y1 = len(shown) - 0.4
    return chart


def redraw(chart: go.FigureWidget, report: Report, units: Units, *, everything: bool) -> None:
    """Bring a live chart up to date in one message to the browser."""
    shown = bars(report, units, everything=everything)
    layout = axes(shown, subtitle(report, units))
    with chart.batch_update():
        for trace, values in zip(chart.data, traces(shown), strict=True):
            for key, value in values.items():
                if list(trace[key] or ()) != value:
                    trace[key] = value
        for key, value in layout.items():
            chart.layout[key] = value
