"""The stranger: a new folder, one walk around the vehicle, the first honest answer."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from loadcalc.season import open_season
from loadcalc.season.story.departures import Departure
from tests.browser.lab import Lab, start_command
from tests.panels.test_walk import STRANGER, STYLE
from workbook.panels.ratings.walk import MOST_NUMBERS, WALK

SAID = "What it says, row {}"
NAMES = {ask.key: ask.name for ask in WALK}


@pytest.fixture
def own(tmp_path: Path, browser: Browser) -> Iterator[Lab]:
    """The command on a folder that is not there yet."""
    command = start_command(tmp_path / "home", "--season", str(tmp_path / "mine"))
    lab = Lab(command, browser)
    yield lab
    lab.close()
    code, printed = command.interrupt()
    assert code == 0, printed


def test_fifteen_numbers_from_the_labels_give_the_first_answer(own: Lab, tmp_path: Path) -> None:
    """Nothing is judged before; then what is judged says what is assumed, on the page, on paper, and in the report."""
    page = own.open_page("01-vehicle-ratings.ipynb")
    answer = page.locator(".jp-Notebook")
    expect(answer.get_by_text("Nothing is judged").first).to_be_visible()
    typed = 0
    for key, text in (STYLE, *STRANGER.items()):
        cell = page.get_by_label(SAID.format(NAMES[key]), exact=True)
        cell.fill(text)
        cell.press("Enter")
        expect(cell).not_to_have_value("")
        typed += key != STYLE[0]
    assert typed <= MOST_NUMBERS
    own.screenshot(page, "01-first-evening")
    expect(answer.get_by_text("judged by what is assumed").first).to_be_visible()
    with open_season(tmp_path / "mine") as season:
        judgment = Departure(season, season.loadout_names[0]).judge()
    for rating in judgment.ratings:
        if rating.key in ("front_axle", "rear_axle", "tire:rear_left"):
            assert "assumed" in rating.assumed
    named = [f.what for f in judgment.findings if f.kind == "figure not measured"]
    assert any(what.startswith("Tracks") for what in named)
    paper = own.open_page("05-roof-carrier.ipynb")
    expect(paper.get_by_text("Tracks (tires and tip angles)").first).to_be_attached()
