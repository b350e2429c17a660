"""A Plotly figure of somebody's own, shown as the other charts are."""

from __future__ import annotations

import plotly.graph_objects as go

from loadcalc.model.errors import BadValue
from workbook.panels.own import own_figure
from workbook.widgets.chart.chart import DRAWN_TRACES, Chart

EMPTY = ": nothing yet"


def plain(figure: go.Figure, title: str) -> Chart:
    """Show a figure like the other charts; without anything drawn it says so.

    Parameters
    ----------
    figure : from plotly.express or made by hand. title : the question that it answers.

    Raises
    ------
    BadValue : for a kind of chart that the pages do not carry along; `figure.show()` draws it.
    """
    foreign = sorted({trace.type for trace in figure.data} - DRAWN_TRACES)
    if foreign:
        raise BadValue(
            "figure", ", ".join(foreign), "is a kind of chart that this page does not carry along",
            "end the cell with figure.show() instead of plain(figure, ...): that loads all of Plotly and draws it",
        )  # fmt: skip
    asked = title if any(map(own_figure.has_something, figure.data)) else title + EMPTY
    return Chart(own_figure.own_figure(figure, asked), own_figure.label(figure, asked))
