"""The advice panel in the real JupyterLab: bring it within ratings, apply, undo; a search that is stopped."""

from __future__ import annotations

import re

from playwright.sync_api import Locator, Page, expect

from loadcalc import evaluate
from loadcalc.model.quantities import US
from loadcalc.season import Season
from tests.browser.lab import Lab
from tests.browser.table_lab import open_cells
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.findings_words import headline

FRIDAY = "Friday departure"
SEARCH_MS = 120_000
CELLS = (
    """from workbook.panels import head_strip, open_desk
from workbook.panels.advice.advice import advice_panel
desk = open_desk()
head_strip(desk)""",
    "advice_panel(desk)",
)


def button(page: Page, name: str) -> Locator:
    """A button of the panel by its words; an icon's own sign may stand before them."""
    return page.locator("button.jupyter-button").filter(has_text=re.compile(rf"^\W*{re.escape(name)}$"))


def press(page: Page, name: str) -> None:
    """Press a button of the panel."""
    button(page, name).click(timeout=SEARCH_MS)


def test_bring_it_within_ratings_apply_and_undo(lab: Lab, season: Season) -> None:
    """The demo is over; one press finds a plan, one applies it as one entry, every known row is within; undo."""
    page = open_cells(lab, "advice-within", CELLS)
    before = season.loadout(FRIDAY)
    assert evaluate(season.vehicle, before).over
    start = season.version
    press(page, "Bring it within ratings")
    apply = page.get_by_role("button", name="Apply: ")
    expect(apply).to_have_count(1, timeout=SEARCH_MS)
    assert season.version == start
    said = page.locator(".loadout-words").filter(has_text="No rearrangement alone brings it within ratings")
    expect(said).to_be_visible()
    page.locator("summary").first.click()
    lab.screenshot(page, "advice-within")
    apply.click()
    expect(page.get_by_text("Kept in the ledger: Advice: ")).to_be_visible(timeout=SEARCH_MS)
    assert season.version == start + 1
    report = Desk(season, FRIDAY).report
    known = [rating for rating in report.ratings if rating.known]
    assert known
    assert all(rating.consumed is not None and rating.consumed <= 1.0 for rating in known)
    expect(page.get_by_text(headline(report, US)).first).to_be_visible()
    lab.screenshot(page, "advice-applied")
    page.get_by_role("button", name="Undo: Advice").click()
    expect(page.get_by_text("Undone: Advice: ")).to_be_visible()
    assert season.loadout(FRIDAY) == before


def test_stop_ends_a_search_and_the_page_answers(lab: Lab, season: Season) -> None:
    """The curve takes seconds; its points are shown as they come; Stop is lit meanwhile, and what was found stays."""
    page = open_cells(lab, "advice-stop", CELLS)
    press(page, "Lower it")
    expect(page.get_by_text("of the curve found")).to_be_visible(timeout=SEARCH_MS)
    expect(page.get_by_text("Moves at most")).to_be_visible()
    expect(page.get_by_text("the lowest, to 0.04 in").first).to_be_visible()
    lab.screenshot(page, "advice-curve-coming")
    press(page, "Stop")
    expect(page.get_by_text("Stopped after")).to_be_visible(timeout=5_000)
    expect(button(page, "Bring it within ratings")).to_be_enabled()
    expect(button(page, "Stop")).to_be_disabled()
    expect(page.get_by_text("Moves at most")).to_be_visible()
    lab.screenshot(page, "advice-stopped")
    press(page, "Single moves")
    expect(button(page, "Apply: 1 move").first).to_be_visible(timeout=SEARCH_MS)
    press(page, "Why not")
    expect(page.get_by_text("However things are moved, something stays over.")).to_be_visible(
        timeout=SEARCH_MS
    )
    lab.screenshot(page, "advice-why")


def test_one_press_allows_the_zones_inside_and_the_plan_says_what_it_adds(lab: Lab, season: Season) -> None:
    """Nothing is ticked at first; seven zones by one press; the plan names the zone, and so does the page after it."""
    page = open_cells(lab, "advice-allow", CELLS)
    press(page, "Single moves")
    floor = page.get_by_role("checkbox", name="Cargo floor front")
    expect(page.get_by_text("Nothing was added to 11 ratings without a known limit")).to_be_visible(
        timeout=SEARCH_MS
    )
    expect(floor).not_to_be_checked()
    page.get_by_role("button", name="Tick all 7").click()
    expect(floor).to_be_checked()
    expect(page.get_by_role("checkbox", name="Roof platform front")).not_to_be_checked()
    expect(page.get_by_text("What advice may add to has changed: ask again.")).to_be_visible()
    press(page, "Single moves")
    expect(page.get_by_text("? Limit not known: as you allowed, it adds to").first).to_be_visible(
        timeout=SEARCH_MS
    )
    lab.screenshot(page, "advice-allowed")
    before = evaluate(season.vehicle, season.loadout(FRIDAY))
    button(page, "Apply: 1 move").first.click()
    expect(page.get_by_text("Applied as one entry; Undo takes it back.")).to_be_visible(timeout=SEARCH_MS)
    after = evaluate(season.vehicle, season.loadout(FRIDAY))
    (gained,) = (r for r in after.not_known if r.load > before.rating(r.key).load)
    in_all = US.mass(gained.load_kg)
    expect(page.get_by_text(f"{gained.name}: ")).to_contain_text(f"{in_all} in all, limit not known.")
