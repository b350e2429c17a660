"""The chart widget in the browser: the width there is, the theme, the newest state, zoom, and the picture."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Locator, Page, expect

from tests.browser.lab import Lab
from tests.browser.table_lab import ask, open_cells
from workbook.panels.desk.palette import DARK_PAPER, DARK_ROLES, PAPER, ROLES

MAKE = """
import ipywidgets
from workbook.panels.desk.palette import DARK, FONT, PAPER, ROLES
from workbook.widgets.chart.chart import Chart

def made(load, name="A rating with a name that is long, much longer than a narrow chart, and goes on and on"):
    words = {"type": "scatter", "mode": "text", "x": [0], "y": [0], "text": [f"<b>{name}</b>"],
             "textposition": "middle right", "xaxis": "x2", "hoverinfo": "skip", "cliponaxis": False}
    bar = {"type": "bar", "orientation": "h", "x": [load], "y": [1], "marker": {"color": ROLES["load"]},
           "hovertemplate": f"{name}<extra></extra>"}
    layout = {"title": {"text": "How much of the rating is used by what came along on this trip?",
                        "subtitle": {"text": "The line is the limit.", "font": {"color": ROLES["quiet"]}}},
              "font": {"family": FONT, "size": 14, "color": ROLES["ink"]}, "height": 160, "showlegend": False,
              "paper_bgcolor": PAPER, "plot_bgcolor": PAPER, "margin": {"l": 8, "r": 90, "t": 0, "b": 30},
              "xaxis": {"range": [0, 140]}, "yaxis": {"visible": False, "fixedrange": True},
              "xaxis2": {"range": [0, 1], "overlaying": "x", "visible": False, "fixedrange": True}}
    return {"data": [bar, words], "layout": layout, "dark": DARK, "fit": {"texts": [1]}}

chart = Chart(made(80), "How much of it is used? 80%")
box = ipywidgets.Box([chart], layout=ipywidgets.Layout(width="700px"))
box.add_class("chart-box")
box
"""
TWO = "ipywidgets.VBox([Chart(made(10), 'One'), Chart(made(20), 'Two')])"
COLORS = """one => [getComputedStyle(one.querySelector('.main-svg')).backgroundColor,
  getComputedStyle(one.querySelector('.bars path')).fill].map(rgb => '#' + rgb.match(/\\d+/g).slice(0, 3)
    .map(part => (+part).toString(16).padStart(2, '0')).join(''))"""
OUTSIDE = """one => {
  const box = one.getBoundingClientRect();
  return [...one.querySelectorAll('text')].filter(text => text.textContent.trim()).filter(text => {
    const at = text.getBoundingClientRect();
    return at.left < box.left - 1 || at.right > box.right + 1 || at.top < box.top - 1 || at.bottom > box.bottom + 1;
  }).map(text => text.textContent);
}"""
THEME = "name => jupyterapp.commands.execute('apputils:change-theme', { theme: name })"


def opened(lab: Lab, name: str, *more: str) -> tuple[Page, Locator]:
    """A notebook with a chart, drawn."""
    page = open_cells(lab, name, (MAKE, *more))
    chart = page.locator(".chart-box .ch-root")
    expect(chart.locator(".bars path")).to_have_count(1)
    return page, chart


def test_one_bundle_serves_all_charts_of_a_tab(fresh_lab: Lab) -> None:
    """Three charts, one request for the file that draws them, and nothing of plotly's in the kernel."""
    asked: list[str] = []
    fresh_lab.context.on("request", lambda request: asked.append(request.url))
    page, _ = opened(fresh_lab, "chart-once", TWO)
    expect(page.locator(".js-plotly-plot .bars path")).to_have_count(3)
    assert len([url for url in asked if "plotly-cartesian.min.js" in url]) == 1
    assert ask(page, "sorted(n for n in __import__('sys').modules if n.startswith('plotly'))") == []


def test_a_chart_that_nobody_sees_is_drawn_when_it_is_shown(fresh_lab: Lab) -> None:
    """In a part that is closed it asks for nothing."""
    asked: list[str] = []
    fresh_lab.context.on("request", lambda request: asked.append(request.url))
    page = open_cells(fresh_lab, "chart-closed", [MAKE.replace('width="700px"', 'width="700px", display="none"')])
    expect(page.locator(".chart-box .ch-root")).to_have_count(1)
    page.wait_for_timeout(500)  # what it would ask for, it would have asked for by now
    assert not [url for url in asked if "plotly-cartesian" in url]
    ask(page, "setattr(box.layout, 'display', '')")
    expect(page.locator(".chart-box .bars path")).to_have_count(1)


def test_a_chart_takes_the_width_there_is_and_says_itself(lab: Lab) -> None:
    """At any width nothing stands outside of it: title and names fold or end in an ellipsis, whole on hover."""
    page, chart = opened(lab, "chart-width")
    plot = page.get_by_role("img", name="How much of it is used? 80%")
    whole = chart.get_by_text("goes on and on")
    for width in (1000, 700, 360):
        ask(page, f"setattr(box.layout, 'width', '{width}px')")
        expect(chart.locator(".main-svg").first).to_have_attribute("width", f"{chart.evaluate('x => x.clientWidth')}")
        assert chart.evaluate("x => x.clientWidth") > width - 20
        assert plot.evaluate(OUTSIDE) == []
        lab.screenshot(page, f"chart-{width}")
    expect(whole).to_have_count(0)
    assert chart.evaluate("x => x.scrollWidth <= x.clientWidth")
    bar = chart.locator(".bars path").bounding_box()
    assert bar is not None
    page.mouse.move(bar["x"] + bar["width"] / 2, bar["y"] + bar["height"] / 2)
    expect(chart.locator(".hoverlayer")).to_contain_text("much longer than a narrow chart")


def test_a_chart_follows_the_theme(lab: Lab) -> None:
    """Dark paper and lighter bars as soon as the theme changes, and back."""
    page, chart = opened(lab, "chart-theme")
    assert chart.evaluate(COLORS) == [PAPER, ROLES["load"]]
    page.evaluate(THEME, "JupyterLab Dark")
    expect(page.locator("body")).to_have_attribute("data-jp-theme-light", "false")
    try:
        page.wait_for_function(f"({COLORS})(document.querySelector('.chart-box .ch-root'))[0] === '{DARK_PAPER}'")
        assert chart.evaluate(COLORS) == [DARK_PAPER, DARK_ROLES["load"]]
        expect(page.locator("#jupyterlab-splash")).to_have_count(0)
        lab.screenshot(page, "chart-dark")
    finally:
        page.evaluate(THEME, "JupyterLab Light")
    page.wait_for_function(f"({COLORS})(document.querySelector('.chart-box .ch-root'))[0] === '{PAPER}'")


def test_a_chart_fits_the_paper_and_is_light_on_it(lab: Lab) -> None:
    """Printed from the dark theme and a wide window; after it the page is as it was."""
    page, chart = opened(lab, "chart-print")
    ask(page, "setattr(box.layout, 'width', '1100px')")
    page.set_viewport_size({"width": 1600, "height": 900})
    svg = chart.locator(".main-svg").first
    expect(svg).to_have_attribute("width", "1100")
    page.evaluate(THEME, "JupyterLab Dark")
    try:
        page.wait_for_function(f"({COLORS})(document.querySelector('.chart-box .ch-root'))[0] === '{DARK_PAPER}'")
        page.evaluate(f"""() => addEventListener('beforeprint', () => {{
          const chart = document.querySelector('.chart-box .ch-root');
          window.printed = [...({COLORS})(chart), chart.querySelector('.main-svg').getAttribute('width')];
        }})""")
        page.pdf()
        assert page.evaluate("printed") == [PAPER, ROLES["load"], "640"]
        expect(svg).to_have_attribute("width", "1100")
        assert chart.evaluate(COLORS) == [DARK_PAPER, DARK_ROLES["load"]]
    finally:
        page.evaluate(THEME, "JupyterLab Light")


def test_the_newest_state_is_what_stays(lab: Lab) -> None:
    """Forty states at once, the last one stays; its label is the one that is read."""
    page, chart = opened(lab, "chart-newest")
    ask(page, "[chart.draw(made(n, f'State {n}'), f'{n}%') for n in range(41)] and None")
    expect(chart.get_by_role("img")).to_have_attribute("aria-label", "40%")
    expect(chart.locator(".textpoint")).to_have_text("State 40")
    page.wait_for_timeout(300)  # an older one would come now
    expect(chart.locator(".textpoint")).to_have_text("State 40")


def test_a_zoom_stays_until_all_is_asked_for_and_the_picture_is_kept(lab: Lab, tmp_path: Path) -> None:
    """Drag to look closer; the next state keeps it; a button shows all again; another one saves the picture."""
    page, chart = opened(lab, "chart-zoom")
    plot = chart.locator(".nsewdrag").first.bounding_box()
    assert plot is not None
    middle = plot["y"] + plot["height"] * 0.8
    page.mouse.move(plot["x"] + plot["width"] * 0.5, middle)
    page.mouse.down()
    page.mouse.move(plot["x"] + plot["width"] * 0.8, middle, steps=5)
    page.mouse.up()
    ticks = chart.locator(".xtick")
    expect(ticks.get_by_text("70", exact=True)).to_have_count(1)
    expect(ticks.get_by_text("0", exact=True)).to_have_count(0)
    ask(page, "chart.draw(made(90, 'Another'), '90%')")
    expect(chart.locator(".textpoint")).to_have_text("Another")
    expect(ticks.get_by_text("70", exact=True)).to_have_count(1)
    chart.get_by_role("button", name="Show all of it").click()
    expect(ticks.get_by_text("0", exact=True)).to_have_count(1)
    expect(chart.get_by_role("button", name="Show all of it")).to_have_count(0)
    with page.expect_download() as download:
        chart.get_by_role("button", name="Save as picture").click()
    path = tmp_path / "chart.png"
    download.value.save_as(path)
    assert path.read_bytes().startswith(b"\x89PNG")


def test_a_chart_that_cannot_be_drawn_says_so_and_tries_again(fresh_lab: Lab) -> None:
    """Without its script there are words in its place; the next state finds the script."""
    fresh_lab.allow_error("plotly-cartesian")
    fresh_lab.context.route("**/plotly-cartesian.min.js*", lambda route: route.fulfill(status=503))
    page = open_cells(fresh_lab, "chart-broken", [MAKE])
    chart = page.locator(".chart-box .ch-root")
    expect(chart.get_by_role("status")).to_contain_text("could not be drawn")
    fresh_lab.context.unroute("**/plotly-cartesian.min.js*")
    ask(page, "chart.draw(made(50), '50%')")
    expect(chart.locator(".bars path")).to_have_count(1)
    expect(chart.get_by_role("status")).to_be_empty()
