"""A Plotly figure of somebody's own, in the look of the other charts."""

from __future__ import annotations

import json
from typing import Any

import plotly.graph_objects as go
from plotly.colors import qualitative

from workbook.panels.desk.html_text import escape
from workbook.panels.desk.palette import DARK, FONT, GRID, PAPER, ROLES

COLORS = (ROLES["load"], *qualitative.Safe)  # Plotly's colors that keep apart for the color-blind
SAID = 5  # traces that are named to people who can't see the chart


def own_figure(figure: go.Figure, title: str) -> dict[str, Any]:
    """The figure with its title and the page's type, paper, and colors, as plain data."""
    made = go.Figure(figure)
    made.update_layout(
        title={"text": escape(title)}, font={"family": FONT, "size": 14, "color": ROLES["ink"]},
        paper_bgcolor=PAPER, plot_bgcolor=PAPER, margin={"l": 20, "r": 24, "t": 12, "b": 48}, height=376,
        legend_title_text="", colorway=COLORS,
    )  # fmt: skip
    made.update_xaxes(title="", gridcolor=GRID, zeroline=False, automargin=True)
    made.update_yaxes(title="", gridcolor=GRID, automargin=True, rangemode="tozero")
    for number, trace in enumerate(made.data):
        color = COLORS[number % len(COLORS)]
        if trace.type in ("bar", "scatter", "box", "histogram", "violin"):
            trace.update(marker={"color": color})
        if trace.type == "scatter":
            trace.update(line={"color": color})
    for shape in made.layout.shapes:
        if shape.line.color is None:
            shape.line.color = ROLES["limit"]
    plain_data = json.loads(made.to_json())
    plain_data["layout"].pop("template", None)
    return {"data": plain_data["data"], "layout": plain_data["layout"], "dark": DARK}


def label(figure: go.Figure, title: str) -> str:
    """The chart for people who can't see it: its question, and what it draws."""
    names = [trace.name for trace in figure.data if trace.name]
    more = [f"{len(names) - SAID} more"] if len(names) > SAID else []
    return f"{title}: {', '.join([*names[:SAID], *more])}" if names else title


def has_something(trace: Any) -> bool:
    """Whether a trace has anything to draw, whatever its kind keeps it in."""
    held = (trace[key] for key in ("x", "y", "z", "values", "a") if key in trace)
    return any(values is not None and len(values) for values in held)
