"""The Undo button takes back what it says and nothing else; what was found damaged stands under it."""

from __future__ import annotations

from pathlib import Path

import ipywidgets as widgets
import pytest

from loadcalc.season import Season, open_season
from tests.season.test_season_damage import in_table, saw
from tests.season_help import demo_folder, demo_season
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.frame import head_strip

Two = tuple[Desk, list[widgets.Button], Season]


@pytest.fixture
def two(tmp_path: Path) -> Two:
    """A page with its buttons that show (undo, that instead, leave), and another window on the same season."""
    desk = Desk(demo_season(tmp_path, durable=False))
    strip = head_strip(desk)
    return (
        desk,
        [child for child in strip.children if isinstance(child, widgets.Button)],
        open_season(tmp_path / "season", who="Dov"),
    )


def shown(buttons: list[widgets.Button]) -> list[str]:
    """The names of the buttons that can be seen."""
    return [button.description for button in buttons if button.layout.display != "none"]


def counts(season: Season) -> dict[str, int]:
    """How many chainsaws and loppers there are."""
    return {item.key: item.count for item in season.gear if item.key in ("chainsaw", "loppers")}


def test_a_click_takes_back_what_the_button_named(two: Two) -> None:
    """Somebody else wrote after the button was painted: nothing is undone, it is said, and both are offered."""
    desk, buttons, there = two
    before = counts(there)
    desk.do(lambda: desk.season.set_item("chainsaw", count=4), "Four saws")
    assert shown(buttons) == ["Undo: Four saws"]
    there.set_item("loppers", count=5)
    version = there.version
    buttons[0].click()
    assert there.version == version
    assert counts(there) == {"chainsaw": 4, "loppers": 5}
    assert desk.status.startswith("Not undone: “Four saws” is no longer the newest; since then came “Loppers: ")
    assert desk.status.endswith("” by Dov")
    instead, leave = shown(buttons)
    assert instead.startswith("Undo that instead: Loppers")
    assert leave == "Leave all as it is"

    buttons[2].click()
    assert shown(buttons)[0].startswith("Undo: Loppers")
    assert len(shown(buttons)) == 1
    assert counts(there) == {"chainsaw": 4, "loppers": 5}
    buttons[0].click()
    buttons[0].click()
    assert counts(there) == before


def test_the_newer_one_is_undone_when_that_is_meant(two: Two) -> None:
    """Asked, and answered with the other one by name: that one is undone; and asked again when that has changed too."""
    desk, buttons, there = two
    desk.do(lambda: desk.season.set_item("chainsaw", count=4), "Four saws")
    there.set_item("loppers", count=5)
    buttons[0].click()
    there.set_item("loppers", count=6)
    buttons[1].click()
    assert counts(there) == {"chainsaw": 4, "loppers": 6}
    assert "is no longer the newest" in desk.status
    buttons[1].click()
    assert counts(there) == {"chainsaw": 4, "loppers": 5}
    assert desk.status.startswith("Undone: Loppers")
    assert len(shown(buttons)) == 1


def test_what_was_put_right_is_said_on_the_page(tmp_path: Path) -> None:
    """A season whose table was damaged: the line stands at the head of the page, with its mark."""
    folder = demo_folder(tmp_path)
    in_table(saw(folder), "present", "6.25", "9.25")
    for said in (True, False):  # at the next opening there is nothing to say
        with open_season(folder) as season:
            texts = [child.value for child in head_strip(Desk(season)).children if isinstance(child, widgets.HTML)]
            assert any("▲ The season&#x27;s file was damaged: 1 value" in text for text in texts) == said
