"""The weigh-in page as a hand uses it: enter a ticket, read the verdict, accept a correction, undo it."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from loadcalc.checks.weighing.weigh_in import expected_readings
from loadcalc.model.quantities import US
from loadcalc.season import Season
from tests.browser.lab import Lab
from workbook.panels.desk.desk import Desk
from workbook.panels.weigh_in import held_readings_words as held_readings
from workbook.panels.weigh_in import weigh_in_words
from workbook.panels.weigh_in.ticket_desk import UNLISTED_TEXT, read_doubts
from workbook.panels.weigh_in.tickets import tickets
from workbook.panels.weigh_in.weigh_in_accept import corrections, judged

FRIDAY, PAGE = "Friday departure", "07-weigh-in.ipynb"
POUND_KG = 0.45359237
CONTROLS = "[data-loadout-place=controls]"  # the name of the ticket stands on Redo, too


def write(page: Page, line: str, text: str, shown: str) -> None:
    """Type into one line of the ticket, and wait until it stands there as kept."""
    box = page.get_by_label(f"Value, row {line}", exact=True)
    box.fill(text)
    box.press("Enter")
    expect(box).to_have_value(shown)


def says(page: Page, sentence: str) -> None:
    """Wait for a sentence of the page's words."""
    expect(page.locator(".loadout-words").filter(has_text=sentence).first).to_be_visible()


def test_a_ticket_is_entered_a_correction_accepted_and_undone(lab: Lab, season: Season) -> None:
    """Two hundred pounds too many on the rear axle: the verdict, an accepted curb correction, and back again."""
    page = lab.open_page(PAGE)
    expected = expected_readings(season.vehicle, season.loadout(FRIDAY))
    says(page, weigh_in_words.expected_words(expected, US))
    start, was = season.version, season.vehicle
    page.locator(CONTROLS).get_by_role("button", name="New ticket").click()
    expect(page.get_by_text("Kept in the ledger: Weigh-in,")).to_be_visible()
    says(page, "Not judged yet")

    front, rear = (round(expected[f"{axle}_axle"][0] / POUND_KG / 20) * 20 for axle in ("front", "rear"))
    for line, pounds in (("Total", front + rear + 200), ("Front axle", front), ("Rear axle", rear + 200)):
        write(page, line, str(pounds), f"{pounds:,} lb")
    assert season.version == start + 4

    (_, key) = tickets(season)[0]
    doubts = read_doubts("2%", UNLISTED_TEXT["US"], US)
    result = judged(Desk(season, FRIDAY), key, doubts)
    assert not result.agrees
    over, *_ = held_readings.held_words(result.held, US).splitlines()
    assert over.startswith("The scale shows an overload: rear gross axle weight rating")
    for sentence in (over, weigh_in_words.verdict(result, US), weigh_in_words.suspect_words(result, US)):
        says(page, sentence)
    for row in held_readings.held_table(result.held, US)[1:]:
        cells = page.locator("tr").filter(has_text=row[0]).filter(has_text=row[1]).first.locator("td")
        expect(cells).to_have_text(list(row))
    picture = page.get_by_role("img", name="Scale against lists")
    expect(picture).to_contain_text("does not agree")
    expect(picture).to_contain_text(US.mass_change(result.readings[2].difference_kg))
    picture.scroll_into_view_if_needed()
    lab.screenshot(page, "weigh-in-ticket")

    curb = result.suspect("own:vehicle")
    assert curb is not None
    page.get_by_label("Correct", exact=True).select_option(weigh_in_words.correction_words(curb, US))
    by = page.get_by_label("by", exact=True)
    expect(by).to_have_value(weigh_in_words.whole(curb.shift_kg, US))
    by.fill("60 lb")
    by.press("Enter")
    page.get_by_role("button", name="Accept").click()
    kept = page.get_by_text("Kept in the ledger: Weigh-in,").filter(has_text="curb mass +60 lb")
    expect(kept).to_be_visible()
    entry = season.entries(1)[0]
    assert entry.kind == "weigh-in"
    assert entry.note.endswith("curb mass +60 lb")
    assert season.vehicle.curb_kg == pytest.approx(was.curb_kg + 60 * POUND_KG, rel=1e-9)
    says(page, weigh_in_words.verdict(judged(Desk(season, FRIDAY), key, doubts), US))

    page.get_by_role("button", name="Undo: Weigh-in,").click()
    expect(page.get_by_text("Undone: Weigh-in,")).to_be_visible()
    says(page, weigh_in_words.verdict(result, US))
    assert season.vehicle == was


def test_unlisted_gear_is_accepted(lab: Lab, season: Season) -> None:
    """Choose the zone, type the pounds, press Accept by key: the item rides there with what was typed."""
    page = lab.open_page(PAGE)
    pounds = round(expected_readings(season.vehicle, season.loadout(FRIDAY))["total"][0] / POUND_KG) + 160
    page.locator(CONTROLS).get_by_role("button", name="New ticket").press("Enter")
    write(page, "Total", str(pounds), f"{pounds:,} lb")
    says(page, "A total cannot tell zones apart")
    (_, key) = tickets(season)[0]
    result = judged(Desk(season, FRIDAY), key, read_doubts("2%", UNLISTED_TEXT["US"], US))
    rear = result.suspect("unlisted:Cargo deck rear")
    assert rear is not None
    by = page.get_by_label("by", exact=True)
    expect(by).to_have_value(weigh_in_words.whole(corrections(result)[0].shift_kg, US))
    page.get_by_label("Correct", exact=True).select_option(weigh_in_words.correction_words(rear, US))
    expect(by).to_have_value(weigh_in_words.whole(rear.shift_kg, US))
    by.fill("35 lb")
    by.press("Enter")
    page.get_by_role("button", name="Accept").press("Enter")
    expect(page.get_by_text("unlisted, cargo deck rear +35 lb")).to_be_visible()
    (stowed,) = [s for s in season.loadout(FRIDAY).gear if s.item.name == "Unlisted, Cargo deck rear"]
    assert stowed.zone == "Cargo deck rear"
    assert stowed.mass_kg == pytest.approx(35 * POUND_KG, rel=1e-9)


def test_nonsense_on_a_ticket_stays_marked_and_is_not_kept(lab: Lab, season: Season) -> None:
    """A word where a mass belongs is refused in place; the season holds nothing of it."""
    page = lab.open_page(PAGE)
    page.locator(CONTROLS).get_by_role("button", name="New ticket").click()
    says(page, "Not judged yet")
    start = season.version
    box = page.get_by_label("Value, row Rear axle", exact=True)
    box.fill("heavy")
    box.press("Enter")
    expect(box).to_have_attribute("aria-invalid", "true")
    expect(page.get_by_text("“heavy”").or_(page.get_by_text("'heavy'")).first).to_be_visible()
    assert season.version == start
