"""Page 09 as somebody who writes a line of Python uses it."""

from __future__ import annotations

from playwright.sync_api import expect

from tests.browser.lab import Lab


def test_the_examples_draw_and_a_changed_cell_draws_anew(lab: Lab) -> None:
    """Three charts under open code; another number in a cell and Shift+Enter, and the chart shows as many ratings."""
    page = lab.open_page("09-your-own.ipynb")
    charts = page.locator(".js-plotly-plot")
    expect(charts).to_have_count(3)
    expect(page.get_by_text("4 trips are entered")).to_be_visible()
    rows = charts.nth(1).locator(".ytick")
    rows.first.scroll_into_view_if_needed()
    expect(rows).to_have_count(8)
    for number in range(3):
        charts.nth(number).scroll_into_view_if_needed()
        lab.screenshot(page, f"09-chart-{number + 1}")
    page.locator(".cm-line").filter(has_text="nlargest(8)").get_by_text("8", exact=True).dblclick()
    page.keyboard.type("3")
    page.keyboard.press("Shift+Enter")
    expect(rows).to_have_count(3)
