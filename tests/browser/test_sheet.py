"""The load-up sheet on paper: how many pages the browser prints, and that names stay text."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from loadcalc.checks import Judgment, evaluate
from loadcalc.model import Loadout
from loadcalc.model.quantities import US
from tests.invented import invented_loadout, invented_vehicle
from tests.season_help import demo_season
from workbook.panels.desk.desk import Desk
from workbook.panels.sheet.sheet import sheet_html
from workbook.panels.sheet.sheet_panel import sheet_of, sheet_view

PAGE = re.compile(rb"/Type\s*/Page\b")
PAPERS = ("A4", "Letter")
PAPER_PX = 718  # 190 mm
TYPE = """() => [...document.querySelectorAll('#sheet *')].filter(of => of.tagName !== 'title' && [...of.childNodes]
  .some(part => part.nodeType === Node.TEXT_NODE && part.textContent.trim())).map(of => {
  const style = getComputedStyle(of), drawing = of.closest('svg');
  const scale = drawing ? drawing.getBoundingClientRect().width / drawing.viewBox.baseVal.width : 1;
  const points = parseFloat(style.fontSize) * scale * 0.75;
  return {text: of.textContent, points, color: drawing ? style.fill : style.color};
})"""
CLIPPED = """() => [...document.querySelectorAll('#sheet *:not(svg *)')].filter(of =>
  (of.scrollWidth > of.clientWidth + 1 && getComputedStyle(of).display !== 'inline') ||
  of.getBoundingClientRect().right > innerWidth + 1).map(of => of.outerHTML)"""
MARKUP = "<img src=x onerror=\"document.title='run'\"><script>document.title='run'</script>"


@pytest.fixture
def paper(browser: Browser) -> Iterator[Page]:
    """A page of a browser that shows one sheet; a script error on it fails the test."""
    page = browser.new_page(viewport={"width": 900, "height": 1100})
    errors: list[str] = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    yield page
    page.close()
    assert errors == []


def pages(page: Page, paper: str) -> int:
    """How many pages are printed on this paper."""
    return len(PAGE.findall(page.pdf(format=paper)))


def on_paper(page: Page) -> None:
    """Show a sheet as it is printed, as wide as the paper between its margins."""
    page.set_viewport_size({"width": PAPER_PX, "height": 1000})
    page.emulate_media(media="print")


def aboard(loadout: Loadout) -> int:
    """How many lines of things there are to load."""
    return sum(stowed.count > 0 for stowed in loadout.gear) + len(loadout.liquids)


def busy(items: int, zones: int) -> Judgment:
    """An invented vehicle with that much on board."""
    return evaluate(invented_vehicle(5), invented_loadout(5, items=items, zones=zones))


def test_the_demo_is_read_by_headlamp(paper: Page, tmp_path: Path) -> None:
    """No letter under 12 points, drawing included, black on white; a box to tick for each thing; three pages."""
    desk = Desk(demo_season(tmp_path, durable=False))
    paper.set_content(sheet_of(desk, "made 2026-05-15 07:00"))
    for heading in (
        "Look at these first",
        "Who sits where",
        "Fill",
        "Tires, cold",
        "Straps",
        "Tightest ratings",
    ):
        expect(paper.get_by_role("heading", name=heading)).to_be_visible()
    things = aboard(desk.loadout)
    expect(paper.locator(".order .tick")).to_have_count(things)
    assert {size: pages(paper, size) for size in PAPERS} == {"A4": 3, "Letter": 3}  # two sheets, both sides

    on_paper(paper)
    told = paper.evaluate(TYPE)
    assert len(told) > things
    assert [line for line in told if line["points"] < 11.99] == []
    assert {line["color"] for line in told} == {"rgb(0, 0, 0)"}
    assert paper.evaluate(CLIPPED) == []
    expect(paper.get_by_role("button", name="Print, or keep as PDF")).to_be_hidden()


def test_a_large_loadout_prints_all_of_it_in_the_same_type(paper: Page) -> None:
    """900 things in 20 zones: more pages, no smaller letter, nothing beside the paper."""
    report = busy(900, 20)
    paper.set_content(sheet_html(report, US))
    on_paper(paper)

    expect(paper.locator(".order .tick")).to_have_count(aboard(report.shares.loadout))
    assert min(line["points"] for line in paper.evaluate(TYPE)) >= 11.99
    assert paper.evaluate(CLIPPED) == []
    assert pages(paper, "A4") > 3


def test_long_names_leave_every_number_on_the_paper(paper: Page) -> None:
    """A loadout, a zone, and things named with 300 letters without a break: the sheet is no wider than its paper."""
    report = busy(3, 2)
    loadout = report.shares.loadout
    gear = tuple(replace(s, item=replace(s.item, name=s.item.name.ljust(300, "W"))) for s in loadout.gear)
    named = replace(loadout, name=loadout.name.ljust(300, "W"), gear=gear)
    paper.set_content(sheet_html(evaluate(report.shares.vehicle, named), US))
    on_paper(paper)

    assert paper.evaluate(CLIPPED) == []


def test_names_with_markup_print_as_they_were_typed(paper: Page) -> None:
    """No image is made, no script runs; the tags stand on the sheet as letters."""
    report = busy(3, 2)
    loadout = report.shares.loadout
    gear = tuple(replace(s, item=replace(s.item, name=f"{s.item.name} {MARKUP}")) for s in loadout.gear)
    paper.set_content(sheet_html(evaluate(report.shares.vehicle, replace(loadout, gear=gear)), US))

    expect(paper.locator("#sheet")).to_contain_text(MARKUP)
    expect(paper.locator("#sheet img")).to_have_count(0)
    assert paper.title() == "invented: load-up sheet"


def test_the_frame_prints_itself_and_saves(paper: Page, tmp_path: Path) -> None:
    """As a page shows it: a frame whose button prints the frame, and a link that saves."""
    html = sheet_of(Desk(demo_season(tmp_path, durable=False)))
    paper.set_content(f"<body>{sheet_view(html)}</body>")
    frame = paper.frame_locator("iframe[title='Load-up sheet']")
    expect(frame.locator("#sheet")).to_be_visible()
    inner = paper.frames[1]
    inner.evaluate("window.print = () => { document.body.dataset.printed = 'yes'; }")
    frame.get_by_role("button", name="Print, or keep as PDF").click()
    expect(frame.locator("body")).to_have_attribute("data-printed", "yes")
    with paper.expect_download() as saved:
        paper.get_by_role("link", name="load-up-sheet.html").click()
    assert saved.value.path().read_text(encoding="utf-8") == html
