"""A notebook of somebody's own: its plotly figures are drawn, and nothing is loaded for them before."""

from __future__ import annotations

from playwright.sync_api import expect

from tests.browser.lab import Lab
from tests.browser.table_lab import RUN_ALL, open_cells

FRESH = True  # nothing may have loaded what draws a figure

SHOWN = """
import plotly.express as px
px.line_polar(r=[1, 3, 2], theta=["a", "b", "c"], title="Three ways").show()
"""
LAST = "px.bar(x=[1, 2], y=[3, 4])"
OURS = """
from workbook.widgets.chart.chart import Chart
Chart({"data": [{"type": "bar", "x": [1], "y": [2]}],
       "layout": {"height": 150, "font": {"size": 14, "family": "sans-serif"},
                  "margin": {"l": 20, "r": 20, "t": 0, "b": 20}}},
      "Ours")
"""


def test_a_figure_of_ones_own_draws_and_comes_only_then(lab: Lab) -> None:
    """No page loads plotly's extension; `show()`, and a figure at a cell's end, draw what no bundle of ours could."""
    asked: list[str] = []
    lab.context.on("request", lambda request: asked.append(request.url))
    lab.open_page("03-loadout.ipynb")
    assert not [url for url in asked if "jupyterlab-plotly" in url]
    page = open_cells(lab, "own-figures", (OURS, SHOWN, LAST))
    expect(page.locator(".js-plotly-plot .polarlayer .trace")).to_have_count(1)
    expect(page.locator(".jp-RenderedPlotly .bars path")).to_have_count(2)
    expect(page.locator(".ch-root .bars path")).to_have_count(1)
    expect(page.locator(".gtitle", has_text="Three ways")).to_be_visible()
    assert len([url for url in asked if "jupyterlab-plotly" in url and "remoteEntry" in url]) == 1
    lab.screenshot(page, "own-figures")
    page.evaluate(RUN_ALL)
    expect(page.locator(".js-plotly-plot .polarlayer .trace")).to_have_count(1)


def test_without_what_draws_it_there_are_words_and_the_next_run_draws(lab: Lab) -> None:
    """A figure whose extension did not come says so."""
    lab.allow_error("jupyterlab-plotly")
    lab.context.route("**/jupyterlab-plotly/**", lambda route: route.fulfill(status=503))
    page = open_cells(lab, "own-broken", (f"import plotly.express as px\n{LAST}",))
    expect(page.get_by_text("This chart could not be drawn.")).to_be_visible()
    lab.context.unroute("**/jupyterlab-plotly/**")
    page.evaluate(RUN_ALL)
    expect(page.locator(".jp-RenderedPlotly .bars path")).to_have_count(2)
