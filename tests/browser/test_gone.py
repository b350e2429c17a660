"""The server is gone while a page is open: the page says so, keeps what is typed, and goes on when it is back."""

from __future__ import annotations

import re
from pathlib import Path

from playwright.sync_api import Browser, Page, expect

from tests.browser.lab import RUN_MS, Lab, Running, start_command

FRESH = True
PAGE = "02-gear-inventory.ipynb"
NEWS = ".loadout-notice"


def again(running: Running, page: Page) -> Running:
    """Type the command that the page shows, as it stands there."""
    command = page.locator(f"{NEWS} code").inner_text().split()
    assert command[:3] == ["python3", "-m", "workbook"]
    port = command[command.index("--port") + 1]
    return start_command(running.home, port=int(port))


def type_a_mass(page: Page, text: str) -> str:
    """Type into the first mass of the gear table and leave it with Tab. Returns the field's name."""
    field = page.get_by_role("textbox", name=re.compile("^Mass each, row ")).first
    field.scroll_into_view_if_needed()
    name = field.get_attribute("aria-label")
    assert name
    assert field.input_value() == "7.4 lb"
    field.click()
    page.keyboard.press("Control+A")
    page.keyboard.type(text)
    page.keyboard.press("Tab")
    return name


def test_a_page_outlives_its_server(browser: Browser, tmp_path: Path) -> None:
    """Killed: plain words with the command; a number typed then; and by that command the page is
    back with the number in its place and in the season. No window of JupyterLab's own in between."""
    running = start_command(tmp_path)
    lab = Lab(running, browser)
    page = lab.open_page(PAGE)
    page.wait_for_load_state("networkidle")  # JupyterLab opens the page of the address once more a second later
    running.process.kill()
    running.process.wait(30)
    news = page.locator(NEWS)
    expect(news).to_contain_text("The workbook is closed.", timeout=RUN_MS)
    name = type_a_mass(page, "7.5 kg")
    lab.screenshot(page, "gone")
    expect(page.locator(".jp-Dialog, .Toastify__toast")).to_have_count(0)

    second = again(running, page)
    expect(news).to_contain_text(f"Entered again as you had typed it: {name}: 7.5 kg.", timeout=RUN_MS)
    lab.wait_run(page)
    lab.screenshot(page, "back")
    assert page.evaluate("() => jupyterapp.shell.currentWidget.context.path") == PAGE
    field = page.get_by_role("textbox", name=name, exact=True)
    expect(field).to_have_value("16.5 lb")  # 7.5 kg / 0.45359237 kg per pound
    page.get_by_role("button", name="Seen").click()
    expect(news).to_have_count(0)
    page.reload()
    lab.wait_run(page)
    expect(field).to_have_value("16.5 lb")
    lab.context.close()
    code, printed = second.interrupt()
    assert code == 0, printed
