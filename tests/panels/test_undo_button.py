"""The Undo button takes back what it says and nothing else; what was found damaged stands under it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import ipywidgets as widgets
import pytest

from loadcalc.season import Season, open_season
from tests.season.test_season_damage import in_table, saw
from tests.season_help import demo_folder, demo_season
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.frame import head_strip


@dataclass
class Two:
    """A page, its head strip, and another window on the same season."""

    desk: Desk
    strip: widgets.Widget
    there: Season

    def buttons(self) -> dict[str, widgets.Button]:
        """The buttons that can be seen, by what they say."""
        found = [part for part in seen(self.strip) if isinstance(part, widgets.Button)]
        return {button.description: button for button in found}

    def press(self, name: str) -> None:
        """Press the one button that begins so."""
        (button,) = [button for said, button in self.buttons().items() if said.startswith(name)]
        assert not button.disabled
        button.click()


def seen(part: widgets.Widget) -> list[widgets.Widget]:
    """A part of the page and what is in it, without what is hidden."""
    if part.layout.display == "none":
        return []
    return [part, *(inner for child in getattr(part, "children", ()) for inner in seen(child))]


@pytest.fixture
def two(tmp_path: Path) -> Two:
    """A page, and Dov's window on the same season."""
    desk = Desk(demo_season(tmp_path, durable=False))
    return Two(desk, head_strip(desk), open_season(tmp_path / "season", who="Dov"))


def counts(season: Season) -> dict[str, int]:
    """How many chainsaws and loppers there are."""
    return {item.key: item.count for item in season.gear if item.key in ("chainsaw", "loppers")}


def four_saws(two: Two) -> None:
    """What this page does in each test."""
    two.desk.do(lambda: two.desk.season.set_item("chainsaw", count=4), "Four saws")


def test_a_click_takes_back_what_the_button_named(two: Two) -> None:
    """Somebody else wrote after the button was painted: what the button says goes back, what they wrote stays."""
    before = counts(two.there)
    four_saws(two)
    assert list(two.buttons()) == ["Undo: Four saws", "Last ten ▾"]
    two.there.set_item("loppers", count=5)
    two.press("Undo: Four saws")
    assert counts(two.there) == {"chainsaw": before["chainsaw"], "loppers": 5}
    assert two.desk.status == "Undone: Four saws"
    two.press("Undo: Loppers")
    assert counts(two.there) == before


def test_what_rests_on_it_is_named_and_nothing_is_done(two: Two) -> None:
    """Dov changed the same count since: the page says so, and both stay."""
    four_saws(two)
    with two.there.entry("Five saws"):
        two.there.set_item("chainsaw", count=5)
    version = two.there.version
    two.press("Undo: Four saws")
    assert two.there.version == version
    assert two.desk.status == "Not undone: “Four saws” stays: “Five saws” by Dov rests on it; take that back first"
    assert "Undo: Five saws" in two.buttons()


def test_redo_brings_it_again_and_goes_when_something_new_is_done(two: Two) -> None:
    """Undo, redo by the button that names it; after a new edit there is none."""
    before = counts(two.there)
    four_saws(two)
    two.press("Undo: ")
    two.press("Redo: Four saws")
    assert two.desk.status == "Done again: Four saws"
    assert counts(two.there)["chainsaw"] == 4
    two.press("Undo: Four saws")
    assert counts(two.there) == before
    two.desk.do(lambda: two.desk.season.set_item("loppers", count=6), "Six loppers")
    assert list(two.buttons()) == ["Undo: Six loppers", "Last ten ▾"]


def test_the_list_takes_back_any_that_nothing_rests_on(two: Two) -> None:
    """The four saws may go only once the five have, and the five come again only once the four have."""
    before = counts(two.there)
    four_saws(two)
    two.desk.do(lambda: two.desk.season.set_item("chainsaw", count=5), "Five saws")
    two.desk.do(lambda: two.desk.season.set_item("loppers", count=6), "Six loppers")
    two.press("Last ten")
    listed = list(two.buttons())[-3:]
    assert [two.buttons()[said].disabled for said in listed] == [False, False, True]
    assert listed[1:] == ["Undo: Five saws", "Stays: Four saws"]
    words = [part.value for part in seen(two.strip) if isinstance(part, widgets.HTML)]
    assert any("“Five saws” changed the same later; take that back first" in text for text in words)
    two.press("Undo: Five saws")
    two.press("Undo: Four saws")
    assert counts(two.there) == {"chainsaw": before["chainsaw"], "loppers": 6}
    assert [said for said in two.buttons() if "Five" in said] == ["Stays undone: Five saws"]
    two.press("Last ten")
    assert list(two.buttons()) == ["Undo: Six loppers", "Redo: Four saws", "Last ten ▾"]


def test_the_list_holds_ten(two: Two) -> None:
    """The newest ten, however many there are; also in a season in which nothing was done."""
    two.press("Last ten")
    assert list(two.buttons()) == ["Nothing to undo", "Last ten ▴"]
    for count in range(2, 14):
        two.desk.do(lambda count=count: two.desk.season.set_item("chainsaw", count=count), f"Saws {count}")  # type: ignore[misc]
    assert list(two.buttons())[2:] == [f"Stays: Saws {count}" for count in range(12, 3, -1)]


def test_keys_undo_only_what_this_page_did(two: Two) -> None:
    """Ctrl+Z: its own entries one by one; when somebody else's is newer it says so and does nothing."""
    before = counts(two.there)
    four_saws(two)
    two.there.set_item("loppers", count=5)
    version = two.there.version
    two.desk.undo_own()
    assert two.desk.status.startswith("Not undone: “Loppers: count")
    assert "by Dov is newer than what this page did" in two.desk.status
    assert two.there.version == version
    two.there.undo()
    two.desk.undo_own()
    assert two.desk.status == "Undone: Four saws"
    assert counts(two.there) == before
    version = two.there.version
    two.desk.undo_own()
    assert two.desk.status == "Nothing more to undo of what this page did"
    assert two.there.version == version


def test_what_was_put_right_is_said_on_the_page(tmp_path: Path) -> None:
    """A season whose table was damaged: the line stands at the head of the page, with its mark."""
    folder = demo_folder(tmp_path)
    in_table(saw(folder), "present", "6.25", "9.25")
    for said in (True, False):  # at the next opening there is nothing to say
        with open_season(folder) as season:
            texts = [child.value for child in head_strip(Desk(season)).children if isinstance(child, widgets.HTML)]
            assert any("▲ The season&#x27;s file was damaged: 1 value" in text for text in texts) == said
