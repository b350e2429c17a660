"""A season of 2,000 items and of names as long as a page is wide: it opens, filters, is edited, and prints whole.

Times are printed (-s), not judged: what makes them is how much stands in the page, and that is counted.
"""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Locator, Page, expect

from loadcalc.season import Season
from loadcalc.season.tables.read import read_own
from loadcalc.season.tables.take import preview_table, take_in_table
from tests.browser.lab import Lab

FRESH = True  # each test starts with no tab and no kernel

ITEMS = 2000
GEAR, LOADOUT = "02-gear-inventory.ipynb", "03-loadout.ipynb"
FRIDAY = "Friday departure"
MOST_ROWS, MOST_OPTIONS = 250, 600  # in the page at once, whatever the season holds
# The browser is busy for longer than a widget's script is waited for, once the first table is on its way.
BUSY_ONCE = """
  const make = URL.createObjectURL.bind(URL);
  let busy = false;
  URL.createObjectURL = (what) => {
    if (what.type === 'text/javascript' && !busy) {
      busy = true;
      const end = performance.now() + 2500;
      while (performance.now() < end);
    }
    return make(what);
  };
"""
FILTER = """async ([label, words]) => {
  const table = document.querySelector(`.wb-table[aria-label="${label}"]`);
  const filter = table.querySelector('.wb-filter');
  filter.value = words;
  const start = performance.now();
  filter.dispatchEvent(new Event('input', { bubbles: true }));
  await new Promise((done) => requestAnimationFrame(() => setTimeout(done, 0)));
  return performance.now() - start;
}"""

# Words beyond the right edge of what shows them, by node of text.
OUT_OF_SIGHT = """() => {
  const found = [], range = document.createRange();
  const right = (one) => one.getBoundingClientRect().right;
  const note = (what, beyond, text) => { if (beyond > 2) found.push([what, Math.round(beyond), text.slice(0, 40)]); };
  for (const output of document.querySelectorAll('.jp-OutputArea-output')) {
    const words = document.createTreeWalker(output, NodeFilter.SHOW_TEXT);
    while (words.nextNode()) {
      const node = words.currentNode;
      const elsewhere = 'style, select, pre, [hidden], .wb-scroll';
      if (!node.textContent.trim() || node.parentElement.closest(elsewhere)) continue;
      range.selectNodeContents(node);
      if (range.getBoundingClientRect().width) note('output', right(range) - right(output), node.textContent);
    }
  }
  for (const slider of document.querySelectorAll('.di-row')) {
    const rail = slider.querySelector('.di-rail').getBoundingClientRect();
    const name = slider.querySelector('.di-name');
    range.selectNodeContents(name);
    note('slider', right(range) - rail.left, name.textContent);
    note('rail', 60 - rail.width, name.textContent);
  }
  for (const fixed of document.querySelectorAll('.wb-fixed')) {
    note('cell', right(fixed) - right(fixed.closest('.wb-cell')), fixed.textContent);
    note('cell', fixed.scrollWidth - fixed.clientWidth, fixed.textContent);
  }
  return found;
}"""


def bring_in(season: Season, count: int) -> None:
    """Take in a gear.csv that makes the season hold so many items, the further ones "Peg 0" and on."""
    rows = [f"Peg {n},{0.1 + n % 7 / 10:.1f},1" for n in range(count - len(season.gear))]
    raw = read_own("\n".join(["name,mass_kg,count", *rows]).encode(), "gear.csv", "item")
    take_in_table(season, raw, preview_table(season, raw))
    assert len(season.gear) == count


def table(page: Page, label: str) -> Locator:
    """One table of the page."""
    return page.get_by_role("group", name=label, exact=True)


def cell(page: Page, column: str, row: str) -> Locator:
    """One box of a table, by the name that a screen reader reads."""
    return page.get_by_label(f"{column}, row {row}", exact=True)


def is_bounded(page: Page, label: str) -> None:
    """However long the table is, only what is near the eye stands in the page."""
    assert 0 < table(page, label).locator(".wb-row").count() <= MOST_ROWS
    assert page.locator(".jp-Notebook option").count() <= MOST_OPTIONS


def filtered(page: Page, label: str, words: str, found: int) -> None:
    """Type into the table's filter; so many rows must be found."""
    ms = page.evaluate(FILTER, [label, words])
    print(f"\n{label}, “{words}”: {ms:.0f} ms")
    said = f"{found} of {ITEMS} rows" if words else f"{ITEMS} rows"
    expect(table(page, label).locator(".wb-count")).to_have_text(said)
    is_bounded(page, label)


def test_the_inventory_of_2000_items_opens_and_is_edited(lab: Lab, season: Season) -> None:
    """On a browser that is busy at the wrong moment: no script fails, every table hears, hands reach every row."""
    demo = len(season.gear)
    bring_in(season, ITEMS)
    lab.context.add_init_script(BUSY_ONCE)
    page = lab.open_page(GEAR)
    label, names = "Gear that the crew owns", [item.name for item in season.gear]
    filtered(page, label, "peg", ITEMS - demo)
    filtered(page, label, "", ITEMS)
    scroll = table(page, label).locator(".wb-scroll")
    scroll.evaluate("box => { box.scrollTop = 900 * 33; }")
    cell(page, "Mass each", names[910]).click()
    for _ in range(70):
        page.keyboard.press("ArrowDown")
    expect(cell(page, "Mass each", names[980])).to_be_focused()
    expect(cell(page, "Mass each", names[980])).to_be_in_viewport()
    is_bounded(page, label)
    page.keyboard.type("9 lb")  # half way through typing the eye goes to the last row
    scroll.evaluate("box => { box.scrollTop = box.scrollHeight; }")
    expect(cell(page, "Item", names[-1])).to_be_in_viewport()
    is_bounded(page, label)
    page.keyboard.press("Enter")
    expect(cell(page, "Mass each", names[981])).to_be_focused()
    expect(cell(page, "Mass each", names[981])).to_be_in_viewport()
    page.keyboard.press("ArrowUp")
    expect(cell(page, "Mass each", names[980])).to_have_value("9 lb", timeout=30_000)
    lab.screenshot(page, "large-inventory")
    table(page, label).get_by_role("button", name="Add row").click()
    expect(cell(page, "Item", "new row")).to_be_focused(timeout=30_000)
    table(page, label).get_by_role("button", name="Remove row new row").click()
    expect(table(page, label).locator(".wb-count")).to_have_text(f"{ITEMS} rows", timeout=30_000)
    assert season.gear[980].mass_kg == pytest.approx(9 * 0.45359237, abs=1e-12)


def name_wide(season: Season) -> None:
    """Give a name of 300 letters without a break to one of all that page 03 names."""
    loadout = season.loadout(FRIDAY)
    named = {
        "item": loadout.gear[0].item.key, "occupant": loadout.people[0].key, "zone": loadout.gear[0].zone,
        "liquid": loadout.liquids[0].liquid.key, "carrier": "carrier", "loadout": FRIDAY,
    }  # fmt: skip
    with season.entry("long names"):
        for subject, which in named.items():
            name = subject.ljust(300, "W")
            season.set_carrier(name=name) if which == "carrier" else season.set(subject, which, name=name)


def is_all_in_sight(page: Page) -> None:
    """No word is beyond the edge of its output, no name lies over a slider, and no cell leaves its column."""
    for width, height in ((1024, 768), (1280, 800)):
        page.set_viewport_size({"width": width, "height": height})
        page.wait_for_function("width => window.innerWidth === width", arg=width)
        assert page.evaluate(OUT_OF_SIGHT) == [], width


def test_the_loading_of_2000_items_with_long_names_is_filtered_and_chosen(lab: Lab, season: Season) -> None:
    """A list of places is made when its cell is entered; a choice by key is kept; paper gets every row."""
    bring_in(season, ITEMS)
    name_wide(season)
    page = lab.open_page(LOADOUT)
    label, wide = "What rides where", "loadout".ljust(300, "W")
    table(page, label).scroll_into_view_if_needed()  # out of sight it is not laid out
    is_all_in_sight(page)
    lab.screenshot(page, "wide-loadout")
    filtered(page, label, "peg 1953", 1)
    choice = cell(page, "Rides in", "Peg 1953")
    choice.focus()
    zones = ["stays home", *(zone.name for zone in season.loadout(wide).zones)]
    expect(choice.locator("option")).to_have_text(zones)
    page.keyboard.press("Enter")  # into the list; the arrows outside of it lead to other rows
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Tab")
    expect(page.get_by_text(re.compile("Kept in the ledger: Peg 1953"))).to_be_visible()
    expect(choice).to_have_value(zones[1])
    expect(choice.locator("option")).to_have_count(1)
    assert next(s.zone for s in season.loadout(wide).gear if s.item.name == "Peg 1953") == zones[1]
    filtered(page, label, "", ITEMS)
    lab.screenshot(page, "large-loadout")
    page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
    expect(table(page, label).locator(".wb-row")).to_have_count(ITEMS)
    page.evaluate("window.dispatchEvent(new Event('afterprint'))")
    is_bounded(page, label)
