"""What a hand does to a slider of the workbook's own boards."""

from __future__ import annotations

import re

from playwright.sync_api import Locator, Page


def slider(page: Page, label: str) -> Locator:
    """The slider whose name begins so."""
    return page.get_by_role("slider", name=re.compile(f"^\\W*{re.escape(label)}")).first


def number(page: Page, label: str) -> Locator:
    """The box with its number, to type in."""
    return page.get_by_role("textbox", name=re.compile(f"^\\W*{re.escape(label)}.*, in ")).first


def press(page: Page, label: str, key: str, times: int) -> None:
    """Press a key on a slider."""
    rail = slider(page, label)
    rail.scroll_into_view_if_needed()
    rail.focus()
    for _ in range(times):
        page.keyboard.press(key)


def drag(page: Page, label: str, share: float) -> None:
    """Pull a slider's knob to a share of its length with the mouse, in many small moves."""
    rail = slider(page, label)
    rail.scroll_into_view_if_needed()
    box = rail.bounding_box()
    assert box is not None
    part = float(rail.evaluate("rail => (rail.value - rail.min) / (rail.max - rail.min)"))
    knob = 16.0
    y = box["y"] + box["height"] / 2
    page.mouse.move(box["x"] + knob / 2 + (box["width"] - knob) * part, y)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] * share, y, steps=25)
    page.mouse.up()
