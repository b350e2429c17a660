"""A Plotly figure of somebody's own, in the look of the other charts."""

from __future__ import annotations

from html import escape

import plotly.graph_objects as go
from plotly.colors import qualitative

from workbook.panels.desk.palette import FONT, PAPER, ROLES

COLORS = (ROLES["load"], *qualitative.Safe)  # Plotly's colors that keep apart for the color-blind


def plain(figure: go.Figure, title: str) -> go.Figure:
    """Give a figure its title and the page's type, paper, and colors; without anything drawn it says so.

    Parameters
    ----------
    figure : from plotly.express or made by hand. title : the question that it answers.
    """
    empty = not any(len(trace.x if trace.x is not None else ()) for trace in figure.data)
    figure.update_layout(
        title={"text": escape(title) + (": nothing yet" if empty else ""), "font": {"size": 20}},
        font={"family": FONT, "size": 14, "color": ROLES["ink"]}, paper_bgcolor=PAPER, plot_bgcolor=PAPER,
        margin={"l": 20, "r": 24, "t": 64, "b": 48}, height=440, legend_title_text="", colorway=COLORS,
    )  # fmt: skip
    figure.update_xaxes(title="", gridcolor="#e3e6e8", zeroline=False, automargin=True)
    figure.update_yaxes(title="", gridcolor="#e3e6e8", automargin=True, rangemode="tozero")
    for number, trace in enumerate(figure.data):
        color = COLORS[number % len(COLORS)]
        trace.update(
            marker={"color": color}, **({"line": {"color": color}} if trace.type == "scatter" else {})
        )
    return figure
