"""Names in letters that run from right to left stand beside their numbers and never turn them: in a real browser."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

import pytest
from playwright.sync_api import Browser, Page, expect

from loadcalc.checks import Judgment, evaluate
from loadcalc.model import Limit
from loadcalc.model.quantities import US
from loadcalc.season import Season
from tests.browser.lab import SCREENSHOTS, Lab
from tests.invented import invented_loadout, invented_vehicle
from tests.season_help import FRIDAY
from workbook.panels.desk.drawing import page as drawing
from workbook.panels.desk.drawing import words
from workbook.panels.desk.frame import html_list, html_table, lines
from workbook.panels.sheet.sheet import sheet_html

FRESH = True  # each test starts with no tab and no kernel

NAMES = ["אוהל גדול", "خيمة", "מיכל 20", "\u202eTarp", "\u2067Rope"]
# Where each piece of a text stands on the screen, from left to right; of what a line holds in several nodes too.
PLACES = """(element, pieces) => pieces.map((piece) => {
  const nodes = [], walk = document.createTreeWalker(element, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) nodes.push(walk.currentNode);
  for (const node of nodes) {
    const at = node.data.indexOf(piece);
    if (at < 0) continue;
    const range = document.createRange();
    range.setStart(node, at);
    range.setEnd(node, at + piece.length);
    const boxes = [...range.getClientRects()];
    return [Math.min(...boxes.map((b) => b.left)), Math.max(...boxes.map((b) => b.right))];
  }
  return null;
})"""

# The right edge and the top of the text before each node, and the left edge and top of the node.
BEFORE = """(nodes) => nodes.map((node) => {
  const range = document.createRange();
  range.selectNodeContents(node.previousSibling);
  const before = [...range.getClientRects()].filter((b) => b.width > 1);
  const name = before[before.length - 1], mass = node.getBoundingClientRect();
  return [Math.max(...before.filter((b) => b.top === name.top).map((b) => b.right)), name.top, mass.left, mass.top];
})"""


@pytest.fixture
def sheet(browser: Browser) -> Iterator[Page]:
    """An empty page of a browser."""
    page = browser.new_page(viewport={"width": 900, "height": 1100})
    yield page
    page.close()


def assert_in_order(page: Page, selector: str, *pieces: str) -> None:
    """Fail unless these pieces of a text stand on the screen from left to right."""
    found = page.locator(selector).first.evaluate(PLACES, list(pieces))
    assert None not in found, f"{pieces} in {page.locator(selector).first.inner_text()!r}"
    for (_, right), (left, _), piece in zip(found, found[1:], pieces, strict=False):
        assert right <= left + 0.5, f"{piece!r} is not left of what follows it: {found}"


def shown(name: str) -> str:
    """The first word of a name as it stands on a page: without marks that turn the direction."""
    return name.strip("\u202e\u2067").split(" ")[0]


@pytest.mark.parametrize("name", NAMES, ids=ascii)
def test_numbers_beside_a_name_keep_their_order(sheet: Page, name: str) -> None:
    """In sentences, lists, tables, and drawings: the name, then 1,250 lb, then 3 of 4."""
    text = f"{name}: 1,250 lb, 3 of 4; {name} (-2.5 in) 12"
    drawn = drawing(600, 60, text, [words(300, 30, text)])
    sheet.set_content(f"{lines(text)}{html_list([text])}{html_table(['Name'], [[text]])}{drawn}")
    for selector in ("div.loadout-words", "li", "td", "svg text"):
        assert_in_order(sheet, selector, shown(name), "1,250 lb", "3 of 4", ") 12")


def departure(names: list[str]) -> Judgment:
    """An invented departure whose things have these names."""
    loadout = invented_loadout(5, items=len(names), zones=2)
    gear = tuple(
        replace(stowed, item=replace(stowed.item, name=name))
        for stowed, name in zip(loadout.gear, names, strict=True)
    )
    return evaluate(invented_vehicle(5), replace(loadout, gear=gear))


def test_the_sheet_reads_from_left_to_right(sheet: Page) -> None:
    """Each thing on the load-up sheet has its mass behind its name, digits in order."""
    report = departure(NAMES)
    sheet.set_content(sheet_html(report, US))
    pairs = sheet.locator(".order i").evaluate_all(BEFORE)
    assert len(pairs) >= len(NAMES)
    for name_right, name_top, mass_left, mass_top in pairs:
        assert name_right <= mass_left + 0.5 or name_top < mass_top - 5
    assert "\u202e" not in sheet.content()
    sheet.screenshot(path=SCREENSHOTS / "right-to-left-sheet.png", full_page=True)


def test_the_pages_read_from_left_to_right(lab: Lab, season: Season) -> None:
    """On the loadout page: the sliders of people, the live sentences, and the undo button."""
    with season.entry("Names from right to left"):
        who = season.loadout(FRIDAY).people[0].key
        season.set_occupant(who, name="דנה 7")
        season.set_zone("Drawer left", name="מגירה 2", limit=Limit(limit_kg=1.0))
        season.set_item("chainsaw", name="משור שרשרת")
    page = lab.open_page("03-loadout.ipynb")
    expect(page.locator(".di-row").filter(has_text="דנה").first).to_be_visible()
    assert_in_order(page, ".di-row:has-text('דנה') .di-name", "דנה", "7", "driver")
    over = page.locator(".an-verdict", has_text="מגירה").first
    expect(over).to_be_visible()
    lab.screenshot(page, "right-to-left-loadout")
    sentence = over.inner_text()
    number = re.search(r"מגירה\u2069? 2[^0-9]*([\d,.]+)", sentence)
    assert number is not None, sentence
    assert_in_order(page, ".an-verdict:has-text('מגירה')", "מגירה", number[1])
    tick = ".ch-plot text:has-text('מגירה')"
    page.locator(tick).first.scroll_into_view_if_needed()
    assert_in_order(page, tick, "Zone", "מגירה", "2")
    lab.screenshot(page, "right-to-left-chart")
