"""A page's answer: it follows the slider, stays in sight, and speaks when the hand rests."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from loadcalc.model.quantities import US
from loadcalc.season import Season
from loadcalc.season.story.departures import Departure
from tests.browser.answer import answers
from tests.browser.lab import Lab
from tests.browser.sliders import press, slider
from workbook.panels.desk.answer import shown

FRIDAY, LOADOUT = "Friday departure", "03-loadout.ipynb"
NOTE_SAID = """() => {
  window.said = [];
  const region = document.querySelector('.an-said');
  const note = () => window.said.push(region.textContent);
  new MutationObserver(note).observe(region, { childList: true, characterData: true, subtree: true });
}"""
SCROLL = """top => document.querySelector('.jp-NotebookPanel:not(.lm-mod-hidden) .jp-WindowedPanel-outer')
  .scrollTo(0, top)"""


def scroll(page: Page, top: int) -> None:
    """Scroll the page."""
    page.evaluate(SCROLL, top)


def test_slider_and_answer_are_in_view_together(lab: Lab, season: Season) -> None:
    """On the smallest of the usual screens, and the answer is that of the loadout as the slider stands."""
    page = lab.open_page(LOADOUT, parts=False)
    page.set_viewport_size({"width": 1024, "height": 768})
    expect(page.locator(".an-verdict")).to_be_in_viewport()
    press(page, "Fuel in the tank", "Home", 1)
    expect(page.get_by_text("Kept in the ledger: Fuel in the tank: 0 gal")).to_be_visible()
    answers(page, Departure(season, FRIDAY).judge())
    for name in (season.loadout(FRIDAY).people[0].name, "Fuel in the tank"):
        expect(slider(page, name)).to_be_in_viewport()
    expect(page.locator(".an-tight")).to_be_in_viewport()
    expect(page.locator(".an-strip-box")).to_be_hidden()


def test_a_strip_stands_on_top_while_the_answer_is_out_of_view(lab: Lab, season: Season) -> None:
    """On a narrow screen, scrolled past it; it has two lines, and goes when one comes back."""
    page = lab.open_page(LOADOUT)
    page.set_viewport_size({"width": 800, "height": 900})
    strip = page.locator(".an-strip-box")
    scroll(page, 3000)
    expect(strip).to_be_visible()
    expect(strip).to_contain_text("over")
    expect(strip).to_contain_text("133%")
    box = strip.bounding_box()
    assert box is not None
    assert box["height"] < 60
    assert box["x"] + box["width"] <= 800
    lab.screenshot(page, "answer-strip")
    page.locator(".an-verdict").scroll_into_view_if_needed()
    expect(strip).to_be_hidden()


def test_it_speaks_once_when_the_hand_rests(lab: Lab, season: Season) -> None:
    """Ten moves of a slider are one sentence to a screen reader, and the page has no other region that tells it."""
    page = lab.open_page(LOADOUT, parts=False)
    expect(page.locator(".an-said")).not_to_be_empty()
    page.evaluate(NOTE_SAID)
    press(page, season.loadout(FRIDAY).people[0].name, "PageDown", 1)
    press(page, season.loadout(FRIDAY).people[0].name, "ArrowLeft", 9)
    page.wait_for_function("() => window.said.length > 0")
    expect(page.get_by_text("Kept in the ledger:")).to_be_visible()
    said = page.evaluate("() => window.said")
    now = shown(Departure(season, FRIDAY).judge(), US)
    assert said[-1].startswith(f"{now['strip']['words']}. ")
    for row in now["tight"]:
        assert f"{row['name']} {row['percent']}, {row['amount']} {row['unit']} {row['word']}" in said[-1]
    assert len(said) <= 2  # one, unless a busy machine made the hand rest half way
    assert page.locator("[aria-live]:has-text('Vehicle roof')").count() == 1


def test_what_is_folded_stays_open_and_leads_to_its_page(lab: Lab, season: Season) -> None:
    """The findings beyond the first: opened, they stay so while a slider moves; each names its page as a link."""
    page = lab.open_page(LOADOUT, parts=False)
    page.get_by_text("and 6 more", exact=True).click()
    last = page.locator(".an-more li").last
    expect(last).to_be_visible()
    press(page, "Fuel in the tank", "PageDown", 1)
    answers_with_fuel = page.locator(".an-amount").first
    expect(answers_with_fuel).to_be_visible()
    expect(last).to_be_visible()
    last.get_by_role("link", name="page 01").click()
    expect(page.get_by_role("heading", level=1).locator("visible=true")).to_contain_text("What may this vehicle carry")
    lab.wait_run(page)
