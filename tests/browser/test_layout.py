"""A page as its reader finds it: one screen, parts that are closed until they are wanted, no code in sight."""

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.lab import Lab

GEAR, LOADOUT = "02-gear-inventory.ipynb", "03-loadout.ipynb"
WIDGETS = "() => jupyterapp.shell.currentWidget.content.widgets.length"
TOOLS = "#jp-menu-panel, .jp-SideBar, .jp-NotebookPanel-toolbar, .jp-CodeCell > .jp-Cell-inputWrapper, .jp-InputPrompt"


@pytest.fixture
def page(lab: Lab) -> Page:
    """The loadout page as it opens for the first time."""
    return lab.open_page(LOADOUT, parts=False)


def test_a_part_runs_when_it_is_opened_and_is_remembered(lab: Lab, page: Page) -> None:
    """Closed, its table does not exist anywhere; opened, it does; after a reload it is open still."""
    table = page.get_by_role("group", name="What rides where")
    button = page.get_by_role("button", name="What rides where?", exact=True)
    expect(button).to_have_attribute("aria-expanded", "false")
    assert table.count() == 0
    button.press("Enter")
    expect(table).to_be_visible()
    expect(button).to_have_attribute("aria-expanded", "true")
    page.reload()
    lab.wait_run(page)
    expect(table).to_be_visible()
    button.click()
    expect(table).to_be_hidden()


def test_the_code_and_the_tools_of_the_notebook_are_one_switch_away(page: Page) -> None:
    """No code, prompt, menu, or sidebar at first; all of them after one press, and gone after another."""
    tools = page.locator(TOOLS).locator("visible=true")
    assert tools.count() == 0
    page.get_by_role("button", name="Show the code").click()
    expect(page.get_by_text("desk = open_desk()")).to_be_visible()
    expect(page.locator("#jp-menu-panel")).to_be_visible()
    page.get_by_role("button", name="Hide the code").click()
    expect(page.get_by_text("desk = open_desk()")).to_be_hidden()
    assert tools.count() == 0


def test_the_row_of_names_leads_to_every_page(lab: Lab, page: Page) -> None:
    """The page in front is marked; a press opens another one beside it."""
    row = page.get_by_role("navigation", name="Pages").locator("visible=true")
    expect(row.get_by_role("button", name="Loadout")).to_have_attribute("aria-current", "page")
    row.get_by_role("button", name="Stability").click()
    expect(page.get_by_role("heading", level=1).locator("visible=true")).to_contain_text("tip?")
    lab.wait_run(page)
    expect(row.get_by_role("button", name="Stability")).to_have_attribute("aria-current", "page")


def test_a_narrow_window_has_a_list_of_pages_and_one_column(page: Page) -> None:
    """At 800 px the names stand in a list, and nothing reaches beyond the right edge of the page."""
    page.set_viewport_size({"width": 800, "height": 1280})
    expect(page.get_by_role("combobox", name="Page", exact=True)).to_be_visible()
    expect(page.get_by_role("button", name="Stability")).to_be_hidden()
    outer = page.locator(".jp-NotebookPanel:not(.lm-mod-hidden) .jp-WindowedPanel-outer")
    assert outer.evaluate("box => box.scrollWidth <= box.clientWidth")


def test_no_key_reaches_a_cell_that_nobody_sees(page: Page) -> None:
    """The notebook's own keys, which add and delete cells, are asleep while the code is hidden."""
    before = page.evaluate(WIDGETS)
    page.get_by_role("heading", level=1).click()
    for key in ("a", "b", "d", "d", "x"):
        page.keyboard.press(key)
    assert page.evaluate(WIDGETS) == before


def test_the_answer_covers_nothing_that_is_below_it(page: Page) -> None:
    """With a part open that takes the whole width, and the page at its end, the answer has left the screen to it."""
    page.get_by_role("button", name="How does the load stand on the vehicle?").click()
    picture = page.get_by_role("img", name="Side and plan outline")
    expect(picture.first).to_be_visible()
    page.locator("[data-loadout-place=caution]").scroll_into_view_if_needed()
    answer = page.locator("[data-loadout-place=answer] .jp-Cell-outputWrapper")
    for below in (picture.first, page.locator("[data-loadout-place=caution]")):
        boxes = [box.bounding_box() for box in (answer, below)]
        assert boxes[0] is not None
        assert boxes[1] is not None
        assert boxes[0]["y"] + boxes[0]["height"] <= boxes[1]["y"] + 1


def test_a_page_that_was_closed_opens_as_the_season_has_it(lab: Lab) -> None:
    """What was typed and not entered goes with the page: nothing is entered later, and nobody says that it was."""
    page = lab.open_page(GEAR)
    field = page.get_by_role("textbox", name=re.compile("^Mass each, row ")).first
    before = field.input_value()
    field.press_sequentially("9")
    page.evaluate("() => jupyterapp.shell.currentWidget.dispose()")
    page.evaluate("path => jupyterapp.commands.execute('docmanager:open', { path })", GEAR)
    lab.wait_run(page)
    expect(field).to_have_value(before)
    expect(page.locator(".loadout-notice")).to_have_count(0)
