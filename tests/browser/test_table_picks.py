"""Rows that are picked, by mouse and by keys, and one column of them set at once; undo by keys; on the page too."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from loadcalc.season import Season
from tests.browser.lab import Lab, Running
from tests.browser.table_lab import RUN_ALL, ask, open_cells
from tests.season_help import FRIDAY

ROWS = 20
CELLS = (
    f"from tests.browser.table_owner import GearList\nnumber = {ROWS}",
    "gear = GearList(number)\ngear.table",
)


@pytest.fixture(scope="module")
def gear_page(running: Running, browser: Browser) -> Iterator[Page]:
    """A notebook with the gear table, open in the workbook; every test runs it afresh."""
    lab = Lab(running, browser)
    yield open_cells(lab, "picks", CELLS)
    lab.close()


@pytest.fixture
def page(gear_page: Page) -> Page:
    """A fresh table of 20 rows."""
    gear_page.evaluate("document.querySelectorAll('.wb-table').forEach((old) => old.classList.add('old'))")
    gear_page.evaluate(RUN_ALL)
    expect(gear_page.locator(".wb-table.old")).to_have_count(0)
    expect(gear_page.locator(".wb-row")).to_have_count(ROWS)
    return gear_page


def pick(page: Page, row: str) -> Locator:
    """The box that picks a row."""
    return page.get_by_label(f"Pick row {row}", exact=True)


def bar(page: Page) -> Locator:
    """The control that sets a column of the picked rows."""
    return page.get_by_role("group", name="Set one column of the picked rows")


def test_seven_rows_are_set_by_one_control_in_one_call(page: Page) -> None:
    """A click, a click with Shift, a choice, Set: one call to the owner with seven edits, one message."""
    pick(page, "Chainsaw").click()
    expect(bar(page)).to_contain_text("of 1 row to")
    pick(page, "Tarp").click(modifiers=["Shift"])
    expect(bar(page)).to_contain_text("of 7 rows to")
    bar(page).get_by_label("Column to set").select_option("Zone")
    bar(page).get_by_role("button", name="Set", exact=True).click()
    expect(bar(page).get_by_label("Zone for all picked rows")).to_be_focused()  # nothing is chosen yet
    bar(page).get_by_label("Zone for all picked rows").select_option("Roof")
    bar(page).get_by_role("button", name="Set", exact=True).click()
    expect(page.get_by_text("Zone of 7 rows set to Roof.", exact=True)).to_be_visible()
    zones = ask(page, "[one['zone'] for one in gear.items.values()]")
    assert zones[:8] == [*["Roof"] * 7, "Cab"]
    assert ask(page, "[len(call) for call in gear.calls]") == [6]  # one of them was there already


def test_rows_are_picked_by_keys_and_set(page: Page) -> None:
    """Shift and arrows, there and back; Space for one more; Control+Enter to the value; a letter, Enter."""
    zone = page.get_by_label("Zone, row Chainsaw", exact=True)
    zone.focus()
    press = page.keyboard.press
    for key in ("Shift+ArrowDown", "Shift+ArrowDown", "Shift+ArrowDown", "Shift+ArrowUp"):
        press(key)
    expect(bar(page)).to_contain_text("of 3 rows to")
    for key in ("ArrowDown", "ArrowDown", "Shift+Space"):
        press(key)
    expect(bar(page)).to_contain_text("of 4 rows to")
    expect(bar(page).get_by_label("Column to set")).to_have_value("zone")
    press("Control+Enter")
    page.keyboard.type("Hit")
    press("Enter")
    expect(page.get_by_text("Zone of 4 rows set to Hitch box.", exact=True)).to_be_visible()
    zones = ask(page, "[one['zone'] for one in gear.items.values()]")
    assert [n for n, zone in enumerate(zones[:7]) if zone == "Hitch box"] == [0, 1, 2, 4, 5]  # the last was there
    below = page.locator(".wb-row").nth(5).get_by_label("Zone")
    expect(below).to_be_focused()  # it goes on below the last one; none is picked now
    expect(bar(page)).to_be_hidden()


def test_all_that_the_search_shows_and_nothing_else(page: Page) -> None:
    """Ctrl+A picks what is shown; what a later search hides is let go."""
    page.get_by_label("Show rows containing").fill("rope")
    expect(page.get_by_text("3 of 20 rows")).to_be_visible()
    page.locator(".wb-row").first.get_by_label("Remark").focus()
    page.keyboard.press("Control+A")
    expect(bar(page)).to_contain_text("of 3 rows to")
    page.keyboard.press("Control+Enter")
    page.keyboard.type("dry")
    page.keyboard.press("Enter")
    expect(page.get_by_text("Remark of 3 rows set to dry.", exact=True)).to_be_visible()
    assert ask(page, "sum(one['remark'] == 'dry' for one in gear.items.values())") == 3
    expect(bar(page)).to_be_hidden()
    page.get_by_label("Show rows containing").fill("")
    page.get_by_label("Pick all rows shown").click()
    expect(bar(page)).to_contain_text("of 20 rows to")
    page.get_by_label("Show rows containing").fill("tarp")
    expect(bar(page)).to_contain_text("of 2 rows to")
    page.get_by_label("Show rows containing").fill("")
    expect(bar(page)).to_contain_text("of 2 rows to")
    bar(page).get_by_role("button", name="Unpick all").click()
    expect(bar(page)).to_be_hidden()


def test_a_value_that_is_refused_is_told_once_and_leaves_the_cells(page: Page) -> None:
    """No mass: one line names the rows, no cell is marked, the value still stands in the control."""
    page.get_by_label("Mass each [lb], row Chainsaw", exact=True).focus()
    page.keyboard.press("Shift+ArrowDown")
    page.keyboard.press("Control+Enter")
    page.keyboard.type("heavy")
    page.keyboard.press("Enter")
    said = "Not set: Chainsaw, Rope, 30 m: “heavy” is not a mass. Write a number and lb or kg, such as 38 lb."
    expect(page.get_by_text(said, exact=True)).to_be_visible()
    expect(page.locator(".wb-bad")).to_have_count(0)
    expect(bar(page).get_by_label("Mass each [lb] for all picked rows")).to_have_value("heavy")


def test_ticks_are_set_by_yes_and_no(page: Page) -> None:
    """Yes for three rows."""
    page.get_by_label("Comes along, row Loppers", exact=True).focus()
    page.keyboard.press("Shift+ArrowUp")
    page.keyboard.press("Control+Enter")
    page.keyboard.type("n")
    page.keyboard.press("Enter")
    expect(page.get_by_text("Comes along of 2 rows set to no.", exact=True)).to_be_visible()
    assert ask(page, "[one['comes'] for one in gear.items.values()][3:5]") == [False, False]


PLACES = ((7, "Drawer left", "dr"), (7, "Cargo deck rear", "cccc"), (6, "Roof platform front", "ro"))


def test_twenty_things_of_the_demo_find_their_zones(lab: Lab, season: Season) -> None:
    """Twenty things into three zones, by keys, in three entries; Ctrl+Z takes them back one by one."""
    page = lab.open_page("03-loadout.ipynb")
    table = page.get_by_role("group", name="What rides where", exact=True)
    keys = [item.key for item in season.gear][:20]
    start, presses = season.version, 0
    table.get_by_label("Rides in, row").first.focus()
    for count, zone, letters in PLACES:
        for key in (*["Shift+ArrowDown"] * (count - 1), "Control+Enter", *letters, "Enter"):
            page.keyboard.press(key)
            presses += 1
        expect(table.locator(".wb-report").first).to_have_text(f"Rides in of {count} rows set to {zone}.")
    where = {stowed.item.key: stowed.zone for stowed in season.loadout(FRIDAY).gear}
    assert [where[key] for key in keys] == [zone for count, zone, _ in PLACES for _ in range(count)]
    assert season.version == start + 3
    assert season.entries(1)[0].note == "6 rows: rides in Roof platform front"
    assert presses == 31

    page.keyboard.press("Control+Z")
    expect(table.get_by_text("Undone: 6 rows: rides in Roof platform front")).to_be_visible()
    page.keyboard.press("Control+Z")
    expect(table.get_by_text("Undone: 7 rows: rides in Cargo deck rear")).to_be_visible()
    page.keyboard.press("Control+Y")
    expect(table.get_by_text("Done again: 7 rows: rides in Cargo deck rear")).to_be_visible()


def test_keys_take_back_nothing_of_somebody_else(lab: Lab, season: Season) -> None:
    """Somebody else wrote since: Ctrl+Z says who and what, and does nothing."""
    page = lab.open_page("03-loadout.ipynb")
    table = page.get_by_role("group", name="What rides where", exact=True)
    first, second = season.gear[0], season.gear[1]
    place = table.get_by_label(f"Rides in, row {first.name}", exact=True)
    place.focus()  # a list holds its choices while it is entered
    place.select_option("Drawer right")
    expect(page.get_by_role("button", name=f"Undo: {first.name}")).to_be_visible()
    with season.entry("A second one"):
        season.set_item(second.key, count=second.count + 1)
    version = season.version
    place.focus()
    page.keyboard.press("Control+Z")
    expect(table.get_by_text("Not undone: “A second one”")).to_be_visible()
    assert season.version == version


def test_the_list_at_the_head_takes_back_and_brings_again(lab: Lab, season: Season) -> None:
    """Two entries; the older one goes by its line, the newer stays; Redo brings it again."""
    page = lab.open_page("03-loadout.ipynb")
    saw, other = season.gear[1], season.gear[6]
    for item, count in ((saw, saw.count + 3), (other, other.count + 3)):
        with season.entry(f"More of {item.name}"):
            season.set_item(item.key, count=count)
    expect(page.get_by_role("button", name=f"Undo: More of {other.name}")).to_be_visible()
    page.get_by_role("button", name="Last ten").click()
    page.get_by_role("button", name=f"Undo: More of {saw.name}").click()
    expect(page.get_by_text(f"Undone: More of {saw.name}")).to_be_visible()
    counts = {item.key: item.count for item in season.gear}
    assert (counts[saw.key], counts[other.key]) == (saw.count, other.count + 3)
    page.get_by_role("button", name=f"Redo: More of {saw.name}").first.click()
    expect(page.get_by_text(f"Done again: More of {saw.name}")).to_be_visible()
    assert {item.key: item.count for item in season.gear}[saw.key] == saw.count + 3
