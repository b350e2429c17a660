"""What a person reads in a page's answer."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from loadcalc.checks import Judgment
from loadcalc.model.quantities import US
from workbook.panels.desk.answer import shown


def answers(page: Page, judgment: Judgment) -> None:
    """Wait until the answer tells this verdict and these tightest ratings."""
    wanted = shown(judgment, US)
    box = page.locator(".an-root")
    for sentence in wanted["verdict"]:
        expect(box.locator(".an-verdict")).to_contain_text(sentence["words"])
    rows = [f"{'▲ ' if row['bad'] else ''}{row['percent']}" for row in wanted["tight"]]
    expect(box.locator(".an-percent")).to_have_text(rows)
    expect(box.locator(".an-amount")).to_have_text([row["amount"] for row in wanted["tight"]])
