"""The pages as they open: hand and answer in one view, nothing cut off, no long page."""

import pytest
from playwright.sync_api import Page, ViewportSize, expect

from tests.browser.lab import Lab

SIZES = ((1280, 800), (1024, 768), (800, 1280))
ZOOMED = (640, 400)  # what a window of 1280 x 800 has at 200 %
MOST_SCREENS = 3
# Each page, what a hand takes hold of there, and words of its answer.
PAGES = {
    "00-start.ipynb": ("a", "One rating is over: Vehicle roof, moving off road"),
    "01-vehicle-ratings.ipynb": (".di-rail", "One rating is over: Vehicle roof, moving off road"),
    "03-loadout.ipynb": (".di-rail", "One rating is over: Vehicle roof, moving off road"),
    "04-stability.ipynb": (".di-rail", "Sideways, a rigid body like it tips at"),
    "05-roof-carrier.ipynb": (".rp-svg", "1 over, 11 not known"),
    "06-what-if.ipynb": (".di-rail", "Tightest: vehicle roof, moving off road"),
    "08-season-ledger.ipynb": ("select", "What is due?"),
    "07-weigh-in.ipynb": ("button", "No ticket yet. Weigh it by axle"),
}
# What reaches beyond its own right edge, so that some of it can't be seen; a wide table scrolls in a frame of its own.
CLIPPED = """panel => [...panel.querySelectorAll('.jp-Cell:not([data-loadout-folded])')]
  .filter(cell => cell.dataset.loadoutPlace !== 'words')
  .flatMap(cell => [cell, ...cell.querySelectorAll('*')])
  .filter(node => node.clientWidth > 0 && node.scrollWidth > node.clientWidth + 1)
  .filter(node => node.clientWidth > 1 && getComputedStyle(node).overflowX !== 'visible' && !node.closest('.wb-scroll'))
  .map(node => `${node.tagName}.${node.className}: ${node.scrollWidth} > ${node.clientWidth}`)"""
BEYOND = """panel => [...panel.querySelectorAll('.jp-OutputArea-output')]
  .filter(node => node.closest('[data-loadout-place]')?.dataset.loadoutPlace !== 'words')
  .filter(node => node.scrollWidth > node.clientWidth + 1)
  .map(node => `${node.textContent.slice(0, 60)}: ${node.scrollWidth} > ${node.clientWidth}`)"""


def size(width: int, height: int) -> ViewportSize:
    """A window of that many pixels."""
    return {"width": width, "height": height}


def clipped(page: Page) -> list[str]:
    """What of the page in front is cut off at its right edge."""
    panel = page.locator(".jp-NotebookPanel:not(.lm-mod-hidden)")
    outer = panel.locator(".jp-WindowedPanel-outer")
    wide = outer.evaluate("box => box.scrollWidth > box.clientWidth ? ['the page'] : []")
    return [*wide, *panel.evaluate(CLIPPED), *panel.evaluate(BEYOND)]


@pytest.fixture(params=PAGES, scope="module")
def name(request: pytest.FixtureRequest) -> str:
    """A page; all tests of one before the next, so that it stays in its tab."""
    return str(request.param)


def test_a_page_opens_as_one_screen(lab: Lab, name: str) -> None:
    """Nothing scrolled, in every window: the control's upper edge and the answer's first words are on the screen,
    nothing is cut off, and with all parts closed the page is at most three windows high."""
    page = lab.open_page(name, parts=False)
    control, words = PAGES[name]
    outer = page.locator(".jp-NotebookPanel:not(.lm-mod-hidden) .jp-WindowedPanel-outer")
    for width, height in SIZES:
        page.set_viewport_size(size(width, height))
        hand = page.locator("[data-loadout-place=controls]").locator(control).first
        answer = page.locator("[data-loadout-place=answer]").get_by_text(words).first
        expect(hand).to_be_in_viewport()
        expect(answer).to_be_in_viewport(ratio=1)
        lab.screenshot(page, f"first-{name[:2]}-{width}")
        assert outer.evaluate("box => box.scrollHeight") <= MOST_SCREENS * height
        assert clipped(page) == []
    page.set_viewport_size(size(*ZOOMED))
    assert clipped(page) == []


def test_nothing_is_cut_off_with_every_part_open(lab: Lab, name: str) -> None:
    """At every width and at 200 %."""
    page = lab.open_page(name)
    for width, height in (*SIZES, ZOOMED):
        page.set_viewport_size(size(width, height))
        assert clipped(page) == []
