"""What a hand does on the pages: slide, type, paste, bring a list in, undo, reload; and what then stands there.

Every expected number is computed from the package on the season as it is on disk, and waited for exactly.
"""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Locator, Page, expect

from loadcalc import evaluate
from loadcalc.checks.findings.finding import NOT_KNOWN
from loadcalc.model.quantities import US
from loadcalc.season import Season
from tests.browser.answer import answers
from tests.browser.lab import Lab
from tests.browser.sliders import drag, number, slider
from tests.browser.table_lab import paste
from workbook.panels.desk import ratings_words as words
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.dials import liquid_dials

FRIDAY = "Friday departure"
STEPS_READ = """async rail => {
  const said = [];
  for (let step = 0; step <= Number(rail.max); step++) {
    rail.value = step;
    rail.dispatchEvent(new Event('input', { bubbles: true }));
    said.push(rail.getAttribute('aria-valuetext'));
  }
  return said;
}"""
LOADOUT, GEAR, RATINGS = "03-loadout.ipynb", "02-gear-inventory.ipynb", "01-vehicle-ratings.ipynb"


def kept(page: Page, note: str) -> None:
    """Wait until the page says that an edit is in the ledger."""
    expect(page.get_by_text(f"Kept in the ledger: {note}", exact=True)).to_be_visible()


def says(page: Page, sentence: str) -> None:
    """Wait for a sentence of the answer, or of the words below it."""
    expect(page.locator(".loadout-words, .an-root p").filter(has_text=sentence).first).to_be_visible()


def open_without_a_trace(lab: Lab, season: Season, name: str) -> Page:
    """Open a page; that is no edit, whatever the browser rounds: nothing comes for longer than a slider's rest."""
    start = season.version
    page = lab.open_page(name)
    page.wait_for_timeout(1500)
    assert season.version == start
    return page


def cell(page: Page, column: str, row: str) -> Locator:
    """One box of a table, by the name that a screen reader reads."""
    return page.get_by_label(f"{column}, row {row}", exact=True)


def choose(page: Page, column: str, row: str, words: str) -> None:
    """Enter a list in a table, which makes its choices, and choose."""
    cell(page, column, row).focus()
    cell(page, column, row).select_option(words)


def test_dragging_a_slider_moves_chart_outline_and_summary_together(lab: Lab, season: Season) -> None:
    """An empty tank: every view shows what the package computes from the season on disk; undo brings it back."""
    page = open_without_a_trace(lab, season, LOADOUT)
    full = evaluate(season.vehicle, season.loadout(FRIDAY))
    says(page, words.center(full, US))
    start = season.version
    drag(page, "Fuel in the tank", -0.2)
    kept(page, "Fuel in the tank: 0 gal")
    loadout, entries = season.loadout(FRIDAY), season.version - start
    assert entries <= 2  # one, unless a busy machine rested half way for as long as counts as a rest
    assert loadout.fuel_l == 0
    report = evaluate(season.vehicle, loadout)
    says(page, words.center(report, US))
    gross = report.rating("gross")
    expect(page.locator(".js-plotly-plot")).to_contain_text(words.percent(gross))
    expect(page.locator(".js-plotly-plot")).to_contain_text(words.room(gross, US))
    expect(page.locator("svg[role=img]").first).to_contain_text(
        f"rear axle {US.mass(report.rear_axle_kg, grouped=True)}"
    )
    expect(page.locator("svg[role=img]").first).not_to_contain_text(US.mass(full.rear_axle_kg, grouped=True))
    lab.screenshot(page, "loadout-empty-tank")
    for _ in range(entries):
        page.get_by_role("button", name="Undo: Fuel in the tank").click()
        expect(page.get_by_text("Undone: Fuel in the tank")).to_be_visible()
    says(page, words.center(full, US))
    assert season.loadout(FRIDAY).fuel_l == pytest.approx(full.shares.loadout.fuel_l, abs=1e-12)


def test_a_slider_by_keyboard_is_kept_as_one_entry(lab: Lab, season: Season) -> None:
    """Three presses of an arrow key are three pounds and one entry.

    On a machine busy with other work the page may rest between two presses for as long as counts as a rest; then it
    is tried again. Were each press an entry, no try would do.
    """
    page = lab.open_page(LOADOUT)
    person = season.loadout(FRIDAY).people[0]
    pounds = round(US.scale("mass").value(person.mass_kg))
    slider(page, person.name).focus()
    for _ in range(4):
        start, pounds = season.version, pounds + 3
        for _ in range(3):
            page.keyboard.press("ArrowRight")
        expect(page.get_by_text("Kept in the ledger:")).to_contain_text(f"{pounds} lb")
        assert season.loadout(FRIDAY).people[0].mass_kg == pytest.approx(pounds * 0.45359237, abs=1e-9)
        if season.version == start + 1:
            break
    assert season.version == start + 1


def test_a_number_is_typed_beside_its_slider(lab: Lab, season: Season) -> None:
    """With another unit, and nonsense: what was read stands there, what was not says why and is not kept."""
    page = lab.open_page(LOADOUT)
    who = season.loadout(FRIDAY).people[0]
    box = number(page, who.name)
    box.fill("75,5 kg")
    box.press("Enter")
    expect(box).to_have_value("166")  # 75.5 / 0.45359237 = 166.4
    expect(slider(page, who.name)).to_have_attribute("aria-valuetext", "166 lb")
    kept(page, f"{who.name} (driver): 166 lb")
    assert season.loadout(FRIDAY).people[0].mass_kg == 75.5
    box.fill("heavy")
    box.press("Enter")
    expect(box).to_have_attribute("aria-invalid", "true")
    expect(page.get_by_text("'heavy'")).to_be_visible()
    box.press("Escape")
    expect(box).to_have_value("166")
    expect(page.get_by_text("'heavy'")).to_be_hidden()
    assert season.loadout(FRIDAY).people[0].mass_kg == 75.5


def test_the_browser_writes_numbers_as_the_page_does(lab: Lab, season: Season) -> None:
    """Each step of the tank's slider reads as the package writes it, ties to the even digit included."""
    page = lab.open_page(LOADOUT)
    desk = Desk(season, FRIDAY)
    for units in ("US", "SI"):
        desk.set_units(units)
        rail = slider(page, "Fuel in the tank")
        expect(rail).to_have_attribute("aria-valuetext", re.compile(f"{desk.units.volume_unit}$"))
        dial = liquid_dials(desk.loadout, desk.vehicle, desk.units)[0]
        steps = round((dial.high - dial.low) / dial.step)
        said = rail.evaluate(STEPS_READ)
        assert said == [dial.text(dial.low + dial.step * step) for step in range(steps)] + [dial.text(dial.high)]


def test_an_edited_cell_is_kept_over_a_reload_and_nonsense_is_not_applied(lab: Lab, season: Season) -> None:
    """Edit, nonsense, reload: the edit stands there, the nonsense never was."""
    page = lab.open_page(GEAR)
    cell(page, "Mass each", "Chainsaw").fill("7,5 kg")
    cell(page, "Mass each", "Chainsaw").press("Enter")
    expect(cell(page, "Mass each", "Chainsaw")).to_have_value("16.5 lb")
    cell(page, "Mass each", "Loppers").fill("4000 kg")
    cell(page, "Mass each", "Loppers").press("Tab")
    expect(cell(page, "Mass each", "Loppers")).to_have_attribute("aria-invalid", "true")
    expect(page.get_by_text("4000 kg").first).to_be_visible()
    by_name = {item.name: item for item in season.gear}
    assert by_name["Chainsaw"].mass_kg == 7.5
    assert by_name["Loppers"].mass_kg < 10
    lab.screenshot(page, "gear-refused")
    page.reload()
    lab.wait_run(page)
    expect(cell(page, "Mass each", "Chainsaw")).to_have_value("16.5 lb")
    expect(cell(page, "Mass each", "Loppers")).to_have_value(US.mass(by_name["Loppers"].mass_kg))


def test_pasted_rows_are_one_entry(lab: Lab, season: Season) -> None:
    """A block from a spreadsheet fills down; a bad cell stays marked; one entry for the rest."""
    lab.context.grant_permissions(["clipboard-read", "clipboard-write"])
    page = lab.open_page(GEAR)
    start, gear = season.version, season.gear
    cell(page, "Mass each", gear[0].name).focus()
    paste(page, "9 lb\n400 g\nlots")
    expect(cell(page, "Mass each", gear[0].name)).to_have_value("9 lb")
    expect(cell(page, "Mass each", gear[1].name)).to_have_value("0.882 lb")  # 0.4 / 0.45359237 = 0.88185
    expect(cell(page, "Mass each", gear[2].name)).to_have_attribute("aria-invalid", "true")
    assert season.version == start + 1
    assert [item.mass_kg for item in season.gear[:3]] == [
        pytest.approx(9 * 0.45359237, abs=1e-12),
        0.4,
        gear[2].mass_kg,
    ]


def test_two_pages_do_not_lose_each_others_edits(lab: Lab, season: Season) -> None:
    """A zone chosen on one page shows on the other; each page's edit stays."""
    inventory, loading = lab.open_page(GEAR), lab.open_page(LOADOUT)
    item = season.loadout(FRIDAY).gear[0].item
    choose(loading, "Rides in", item.name, "Cargo floor front")
    expect(cell(inventory, "Rides in", item.name)).to_have_value("Cargo floor front")
    cell(inventory, "Mass each", item.name).fill("30 lb")
    cell(inventory, "Mass each", item.name).press("Enter")
    expect(loading.locator(".wb-row").filter(has_text=item.name).first).to_contain_text("30 lb")
    stowed = next(s for s in season.loadout(FRIDAY).gear if s.item.key == item.key)
    assert stowed.zone == "Cargo floor front"
    assert stowed.item.mass_kg == pytest.approx(30 * 0.45359237, abs=1e-12)


def test_a_person_is_added_and_rides(lab: Lab, season: Season) -> None:
    """Name and mass, nothing else: a fourth person, in the first free seat, on this departure; nothing in red."""
    page = lab.open_page(GEAR)
    people = page.get_by_role("group", name="People and animals")
    people.get_by_role("button", name="Add row").click()
    expect(people.get_by_text("New row, not saved yet: fill in Name, Mass, dressed")).to_be_visible()
    expect(people.locator(".wb-bad")).to_have_count(0)
    cell(page, "Name", "new row").fill("Pim")
    cell(page, "Name", "new row").press("Tab")
    cell(page, "Mass, dressed", "Pim").fill("150")
    cell(page, "Mass, dressed", "Pim").press("Tab")
    kept(page, "Pim: added")
    expect(cell(page, "On this departure", "Pim")).to_have_value("Rear center")
    expect(people.get_by_text("not saved yet")).to_have_count(0)
    assert [(who.name, who.seat) for who in season.loadout(FRIDAY).people][-1:] == [("Pim", "Rear center")]
    assert season.people[-1].mass_kg == pytest.approx(150 * 0.45359237, abs=1e-12)


def test_a_list_is_brought_in_after_a_look_at_it(lab: Lab, season: Season) -> None:
    """Choose a file, read the preview, take it in, find it in the table."""
    page = lab.open_page(GEAR)
    start = season.version
    content = "Item;Mass (kg);Qty\r\nTow rope;2,5;1\r\nBow saw;heavy;1\r\n".encode("utf-16")
    with page.expect_file_chooser() as chosen:
        page.get_by_role("button", name="Choose a file").click()
    chosen.value.set_files({"name": "crew.csv", "mimeType": "text/csv", "buffer": content})
    says(page, "1 added, 0 changed, 0 unchanged, 1 row refused")
    expect(page.get_by_text("“heavy”")).to_be_visible()
    assert season.version == start
    lab.screenshot(page, "import-preview")
    page.get_by_role("button", name="Import").click()
    expect(cell(page, "Mass each", "Tow rope")).to_have_value("5.51 lb")  # 2.5 / 0.45359237 = 5.5116
    assert season.version == start + 1
    with page.expect_download() as saved:
        page.get_by_role("link", name="gear.csv").click()
    assert b"Tow rope" in saved.value.path().read_bytes()


def test_an_emptied_limit_is_shown_as_not_known(lab: Lab, season: Season) -> None:
    """The chart says so, and the verdict no longer speaks of it."""
    page = open_without_a_trace(lab, season, RATINGS)
    cell(page, "Limit", "Vehicle roof, moving off road").fill("")
    cell(page, "Limit", "Vehicle roof, moving off road").press("Enter")
    expect(page.get_by_text("Kept in the ledger:")).to_contain_text("not known")
    report = evaluate(season.vehicle, season.loadout(FRIDAY))
    assert not report.rating("roof_off_road").known
    assert "Vehicle roof, moving off road" in [f.what for f in report.findings if f.kind == NOT_KNOWN]
    answers(page, Desk(season, FRIDAY).report)
    limits = page.get_by_role("group", name="Rating limits").locator(".wb-scroll")
    assert limits.evaluate(
        "box => box.scrollWidth <= box.clientWidth"
    )  # where to look is not beyond the edge
    # The browser prints the whole page, not only what is on the screen.
    assert len(re.findall(rb"/Type\s*/Page\b", page.pdf(format="Letter"))) > 3


def test_keys_on_a_control_are_the_control_s_own(lab: Lab, season: Season) -> None:
    """An arrow on a menu chooses there, and letters on a menu or a button are no commands that delete or move cells."""
    page = lab.open_page(LOADOUT)
    cells = "() => jupyterapp.shell.currentWidget.content.model.cells.length"
    active = "() => jupyterapp.shell.currentWidget.content.activeCellIndex"
    before, names = page.evaluate(cells), [loadout.name for loadout in season.loadouts]
    menu = page.get_by_label("Loadout", exact=True)
    menu.focus()
    page.keyboard.press("ArrowUp")
    expect(menu).to_have_value(names[0])
    expect(menu).to_be_focused()
    page.keyboard.press("ArrowDown")
    expect(menu).to_have_value(names[-1])
    for control in (menu, page.get_by_role("button", name="Copy this loadout")):
        control.focus()
        at = page.evaluate(active)
        for key in ("d", "d", "r", "b"):
            page.keyboard.press(key)
        assert page.evaluate(active) == at
    assert page.evaluate(cells) == before


def test_units_switch_on_the_whole_page_at_once(lab: Lab, season: Season) -> None:
    """Sliders, chart, outline, table, words: all in kilograms."""
    page = lab.open_page(LOADOUT)
    page.get_by_label("Units").select_option("kg, L, mm")
    kept(page, "Units: SI")
    expect(page.locator(".di-row").first).to_contain_text("kg")
    expect(page.locator(".js-plotly-plot")).not_to_contain_text(" lb")
    expect(page.locator("svg[role=img]").first).not_to_contain_text(" lb")
    expect(page.locator(".wb-row").first).not_to_contain_text(" lb")
    lab.screenshot(page, "loadout-si")
