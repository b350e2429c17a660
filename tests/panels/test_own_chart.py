"""Page 09's charts of one's own, without a browser."""

from __future__ import annotations

import json

import pandas as pd
import plotly.express as px
import plotly.graph_objects as go
import pytest

from loadcalc.model.errors import BadValue
from workbook.panels.desk.palette import PAPER, ROLES
from workbook.panels.own.own import plain

GEAR = pd.DataFrame({"zone": ["roof", "floor", "roof"], "kind": ["tent", "tool", "tool"], "kg": [20.0, 9.5, 3.0]})
DRAWN = {
    "bar": px.bar(GEAR, y="zone", x="kg", color="kind"),
    "line": px.line(GEAR, x="zone", y="kg", markers=True, hover_name="kind"),
    "scatter": px.scatter(GEAR, x="kg", y="zone", size="kg"),
    "box": px.box(GEAR, x="zone", y="kg"),
    "histogram": px.histogram(GEAR, x="kg"),
    "heat": px.density_heatmap(GEAR, x="zone", y="kind", z="kg"),
    "pie": px.pie(GEAR, names="zone", values="kg"),
    "violin": px.violin(GEAR, x="zone", y="kg"),
    "area": px.area(GEAR, x="zone", y="kg"),
}


@pytest.mark.parametrize("kind", DRAWN)
def test_what_the_page_carries_along_is_plain_data_that_plotly_takes(kind: str) -> None:
    """Whatever plotly.express makes of these arrives in the widget, in the page's look."""
    chart = plain(DRAWN[kind], "Where is it?")
    drawn = chart.figure
    assert json.loads(json.dumps(drawn)) == drawn
    made = go.Figure(data=drawn["data"], layout=drawn["layout"])
    assert [trace.type for trace in made.data] == [trace.type for trace in DRAWN[kind].data]
    assert (made.layout.title.text, made.layout.paper_bgcolor) == ("Where is it?", PAPER)
    assert "width" not in drawn["layout"]


def test_the_figure_that_came_in_stays_as_it_was() -> None:
    """Somebody goes on with it, for another look or to show it whole."""
    before = DRAWN["bar"].to_json()
    plain(DRAWN["bar"], "Where is it?")
    assert DRAWN["bar"].to_json() == before


def test_a_chart_says_its_question_and_what_it_draws() -> None:
    """And an empty one that there is nothing yet; markup in a title stays text."""
    assert plain(DRAWN["bar"], "Gear aboard").label == "Gear aboard: tent, tool"
    assert plain(px.line(GEAR[:0], x="zone", y="kg"), "Trips").label.startswith("Trips: nothing yet")
    evil = plain(DRAWN["line"], "<b>x</b>")
    assert "<b>" not in evil.figure["layout"]["title"]["text"]


def test_a_line_across_can_be_seen_in_the_dark() -> None:
    """A shape without a color of its own gets the limit's; one with a color keeps it."""
    lines = px.bar(GEAR, y="zone", x="kg").add_vline(10).add_vline(20, line_color="#123456")
    shapes = plain(lines, "How much?").figure["layout"]["shapes"]
    assert [shape["line"]["color"] for shape in shapes] == [ROLES["limit"], "#123456"]


def test_what_it_cannot_draw_is_refused_with_a_way() -> None:
    """A kind that is not in the bundle is named, and what to write instead."""
    with pytest.raises(BadValue, match=r"scatterpolar.*figure\.show\(\)"):
        plain(px.line_polar(r=[1, 2], theta=["a", "b"]), "Which way?")
