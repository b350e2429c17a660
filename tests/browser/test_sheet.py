"""The load-up sheet on paper: how many pages the browser prints, and that names stay text."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from loadcalc.checks import Judgment, evaluate
from loadcalc.model.quantities import US
from tests.invented import invented_loadout, invented_vehicle
from tests.season_help import demo_season
from workbook.panels.desk.desk import Desk
from workbook.panels.sheet.sheet import sheet_html
from workbook.panels.sheet.sheet_panel import sheet_of, sheet_view

PAGE = re.compile(rb"/Type\s*/Page\b")
PAPERS = ("A4", "Letter")
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


def busy(items: int, zones: int) -> Judgment:
    """An invented vehicle with that much on board."""
    return evaluate(invented_vehicle(5), invented_loadout(5, items=items, zones=zones))


@pytest.mark.parametrize("size", PAPERS)
def test_the_demo_is_one_page(paper: Page, tmp_path: Path, size: str) -> None:
    """The demo's departure, with drawing, straps, ratings, and cautions, prints on one sheet."""
    paper.set_content(sheet_of(Desk(demo_season(tmp_path, durable=False)), "made 2026-05-15 07:00"))

    expect(paper.locator("#over")).to_be_hidden()
    for heading in ("Straps", "Tightest ratings", "Tires, cold", "Look at these first"):
        expect(paper.get_by_role("heading", name=heading)).to_be_visible()
    assert pages(paper, size) == 1


@pytest.mark.parametrize("size", PAPERS)
def test_a_large_loadout_shrinks_to_one_page(paper: Page, size: str) -> None:
    """150 things in 14 zones: smaller type, still one sheet."""
    paper.set_content(sheet_html(busy(150, 14), US))

    expect(paper.locator("#over")).to_be_hidden()
    type_pt = float(paper.locator("html").get_attribute("data-type").removesuffix("pt"))  # type: ignore[union-attr]  # None fails it
    assert 6.5 <= type_pt < 10
    assert pages(paper, size) == 1


@pytest.mark.parametrize("size", PAPERS)
def test_what_cannot_fit_says_so_and_prints_on_more(paper: Page, size: str) -> None:
    """900 things: no type that small can be read, so it runs over and its head says so, on paper too."""
    paper.set_content(sheet_html(busy(900, 20), US))

    expect(paper.locator("#over")).to_contain_text("too long for one sheet")
    expect(paper.locator("#over")).to_be_visible()
    paper.emulate_media(media="print")
    expect(paper.locator("#over")).to_be_visible()
    expect(paper.get_by_role("button", name="Print, or keep as PDF")).to_be_hidden()
    assert pages(paper, size) > 1


def test_long_names_leave_every_number_on_the_paper(paper: Page) -> None:
    """A loadout, a zone, and things named with 300 letters without a break: the sheet is no wider than its paper."""
    report = busy(3, 2)
    loadout = report.shares.loadout
    gear = tuple(replace(s, item=replace(s.item, name=s.item.name.ljust(300, "W"))) for s in loadout.gear)
    named = replace(loadout, name=loadout.name.ljust(300, "W"), gear=gear)
    paper.set_content(sheet_html(evaluate(report.shares.vehicle, named), US))

    assert paper.locator("#sheet").evaluate("sheet => sheet.scrollWidth - sheet.clientWidth") <= 0


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
    """As a page shows it: a frame with the fitted sheet, whose button prints the frame, and a link that saves."""
    html = sheet_of(Desk(demo_season(tmp_path, durable=False)))
    paper.set_content(f"<body>{sheet_view(html)}</body>")
    frame = paper.frame_locator("iframe[title='Load-up sheet']")
    expect(frame.locator("html")).to_have_attribute("data-type", re.compile("pt$"))
    inner = paper.frames[1]
    inner.evaluate("window.print = () => { document.body.dataset.printed = 'yes'; }")
    frame.get_by_role("button", name="Print, or keep as PDF").click()
    expect(frame.locator("body")).to_have_attribute("data-printed", "yes")
    with paper.expect_download() as saved:
        paper.get_by_role("link", name="load-up-sheet.html").click()
    assert saved.value.path().read_text(encoding="utf-8") == html
