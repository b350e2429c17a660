"""What a hand does on the ledger page: enter a weighing, see its history, look back, tick a trip, undo.

Every expected number is computed from the package on the season as it is on disk, and waited for exactly.
"""

from __future__ import annotations

import datetime

from playwright.sync_api import Page, expect

from loadcalc.model.quantities import US
from loadcalc.season import Season
from loadcalc.season.story.past import differences, inventory
from loadcalc.season.story.totals import mass_points
from tests.browser.lab import Lab
from workbook.panels.ledger import ledger_words as say

LEDGER, FRIDAY = "08-season-ledger.ipynb", "Friday departure"


def kept(page: Page, note: str) -> None:
    """Wait until the page says that an entry is in the ledger."""
    expect(page.get_by_text(f"Kept in the ledger: {note}", exact=True)).to_be_visible()


def form(page: Page, button: str) -> Page:
    """The form that ends in this button."""
    found = page.locator(".jp-OutputArea-output").filter(has=page.get_by_role("button", name=button))
    found.scroll_into_view_if_needed()
    return found  # type: ignore[return-value]  # a locator offers the same look-ups


def write(part: Page, label: str, text: str) -> None:
    """Type into a box and leave it."""
    box = part.get_by_label(label, exact=True)
    box.fill(text)
    box.press("Tab")


def test_a_weighing_is_entered_seen_and_undone(lab: Lab, season: Season) -> None:
    """Type a ticket's mass for the rock bar: item, chart, history, and list show it; Undo takes it back everywhere."""
    page = lab.open_page(LEDGER)
    before = season.fields("item", "rock-bar")
    enter = form(page, "Enter it")
    enter.get_by_label("Item", exact=True).select_option(label="Rock bar")
    for label, text in {
        "On": "2026-06-01",
        "Mass": "18.9",
        "Scale division": "0.2",
        "Scale": "quarry",
    }.items():
        write(enter, label, text)
    enter.get_by_role("button", name="Enter it").click()
    kept(page, "Rock bar: weighed on 2026-06-01")

    event = season.events[-1]
    assert (event.item, event.kind, event.scale, US.mass(event.mass_kg or 0)) == (
        "rock-bar",
        "weighed",
        "quarry",
        "18.9 lb",
    )
    history = page.locator(".jp-OutputArea-output").filter(has=page.locator("svg[aria-label^='What did']"))
    history.get_by_label("Item", exact=True).select_option(label="Rock bar")
    points = mass_points(season, "rock-bar")
    label = (
        f"{points[-1].date}: {US.mass(points[-1].mass_kg)} plus or minus {US.mass(points[-1].plus_minus_kg)}"
    )
    expect(page.locator(f"svg[aria-label*='{label}']")).to_be_visible()
    expect(history.get_by_text(say.event_words(event, US), exact=True)).to_be_visible()
    lab.screenshot(page, "08-weighed")

    page.get_by_role("button", name="Undo: Rock bar: weighed on 2026-06-01").click()
    expect(page.get_by_text("Undone: Rock bar: weighed on 2026-06-01", exact=True)).to_be_visible()
    expect(page.locator(f"svg[aria-label*='{label}']")).to_have_count(0)
    assert season.fields("item", "rock-bar") == before


def test_looking_back_to_a_day(lab: Lab, season: Season) -> None:
    """The first of April 2025: what differs from now is told line by line; a day that is none is refused in words."""
    page = lab.open_page(LEDGER)
    day = page.get_by_label("As of", exact=True)
    day.scroll_into_view_if_needed()
    write(page, "As of", "2025-04-01")
    told = differences(inventory(season, datetime.date(2025, 4, 1)), inventory(season))
    assert len(told) > 3
    expect(page.get_by_text(f"{len(told)} differences to now.")).to_be_visible()
    for name, _, then, now in say.difference_rows(told, US):
        row = page.get_by_role("row").filter(has_text=name).filter(has_text=then).filter(has_text=now)
        expect(row.first).to_be_visible()
    lab.screenshot(page, "08-look-back")
    write(page, "As of", "spring")
    expect(page.get_by_text("write it as 2026-05-15")).to_be_visible()


def test_a_trip_is_entered_and_ticked(lab: Lab, season: Season) -> None:
    """Enter a trip from the loadout, tick the chainsaw as used, say what came back: the ledger has it, trip kind."""
    page = lab.open_page(LEDGER)
    enter = form(page, "Enter the trip")
    for label, text in {
        "Trip": "North fork",
        "First day": "2026-05-15",
        "Last day": "2026-05-17",
        "Distance": "120",
    }.items():
        write(enter, label, text)
    enter.get_by_label("Loadout", exact=True).select_option(label=FRIDAY)
    enter.get_by_role("button", name="Enter the trip").click()
    kept(page, "Trip: North fork")

    view = page.locator(".jp-OutputArea-output").filter(
        has=page.get_by_text("What was carried, used, and broken")
    )
    view.get_by_label("Trip", exact=True).select_option(label="2026-05-15 North fork")
    tick = page.get_by_label("Used, row Chainsaw", exact=True)
    tick.scroll_into_view_if_needed()
    tick.check()
    kept(page, "North fork: what was used")
    back = page.get_by_label("On return, row Water can 1", exact=True)
    back.scroll_into_view_if_needed()
    back.fill("1.5")
    back.press("Enter")
    kept(page, "North fork: what came back")

    trip = season.trips[-1]
    assert (trip.name, trip.days, season.entries(1)[0].kind) == ("North fork", 3, "trip")
    assert next(took.used for took in trip.items if took.key == "chainsaw") == 1
    assert US.volume(next(p.back_l for p in trip.liquids if p.key == "water-can-1") or 0) == "1.5 gal"
    lab.screenshot(page, "08-trip")


def test_the_name_of_who_writes(lab: Lab, season: Season) -> None:
    """A typed name stands beside the next entry, in the list too."""
    page = lab.open_page(LEDGER)
    write(page, "Who writes", "Marta of the trail crew")
    kept(page, "Written by Marta of the trail crew from here on")
    assert season.entries(1)[0].who == "Marta of the trail crew"
    cell = page.get_by_role("cell", name="Marta of the trail crew", exact=True)
    expect(cell.first).to_be_attached()
