"""The question about limits that nobody knows, without a browser: what it asks, and how long a tick holds."""

from __future__ import annotations

from pathlib import Path

import ipywidgets as widgets
import pytest

from loadcalc.model import Limit
from loadcalc.plan.advice.answers import SINGLE
from tests.advice_unknown_case import ROOF_ZONES
from tests.season_help import FRIDAY, demo_season
from workbook.panels.advice.advice import AdvicePanel
from workbook.panels.advice.advice_allow import offered
from workbook.panels.advice.advice_desk import ALLOWED
from workbook.panels.advice.unknown_words import ASKED, INSIDE, ROOF
from workbook.panels.desk.desk import Desk

SEVEN = {
    "zone:Door pockets",
    "zone:Rear footwell right",
    "zone:Rear seat right",
    "zone:Cargo floor front",
    "zone:Cargo deck left",
    "zone:Cargo deck right",
    "zone:Cargo deck rear",
}


@pytest.fixture
def panel(tmp_path: Path) -> AdvicePanel:
    """The panel on a fresh copy of the demo season."""
    return AdvicePanel(Desk(demo_season(tmp_path, durable=False)))


def of_kind(root: widgets.Widget, kind: type) -> list[widgets.Widget]:
    """All widgets of a kind, in order."""
    found = [root] if isinstance(root, kind) else []
    for child in getattr(root, "children", ()):
        found += of_kind(child, kind)
    return found


def press(panel: AdvicePanel, tooltip: str) -> None:
    """Press a button of the question, told by what it says under the pointer."""
    (button,) = (b for b in of_kind(panel.allow.view, widgets.Button) if b.tooltip == tooltip)
    button.click()


def test_each_rating_that_may_be_added_to_is_asked_about_by_name_and_none_is_ticked(
    panel: AdvicePanel,
) -> None:
    """Seven zones inside; last the roof, with its two zones and its two ratings for parking."""
    found = offered(panel.adviser)
    asked = {offer.key: offer.title for offer in found}

    assert {key for key, title in asked.items() if title == INSIDE} == SEVEN
    assert {key for key, title in asked.items() if title == ROOF} == {
        *ROOF_ZONES,
        "roof_parked",
        "carrier_parked",
    }
    assert found[-1].title == ROOF
    boxes = of_kind(panel.allow.view, widgets.Checkbox)
    assert [box.description for box in boxes] == [offer.label for offer in found]
    assert not any(box.value for box in boxes)
    assert panel.adviser.rules.may_add_to == frozenset()
    assert ASKED in of_kind(panel.allow.view, widgets.HTML)[0].value


def test_one_press_ticks_all_zones_inside_and_no_roof(panel: AdvicePanel) -> None:
    """Seven zones for one press, one of them taken back by hand, and all of them by another press."""
    press(panel, f"{INSIDE}: tick all")
    assert panel.adviser.rules.may_add_to == SEVEN
    assert {key for key, box in panel.allow.ticks.items() if box.value} == SEVEN
    panel.allow.ticks["zone:Rear seat right"].value = False
    assert panel.adviser.rules.may_add_to == SEVEN - {"zone:Rear seat right"}
    press(panel, f"{INSIDE}: untick all")
    assert panel.adviser.rules.may_add_to == frozenset()
    assert not any(box.value for box in panel.allow.ticks.values())


def test_a_tick_makes_an_older_answer_no_answer(panel: AdvicePanel) -> None:
    """What was found under other rules goes away, and the page says why."""
    panel.adviser.ask(SINGLE)
    assert panel.adviser.shown.said
    panel.allow.ticks["zone:Cargo floor front"].value = True

    assert panel.adviser.shown.plans == ()
    assert panel.adviser.status == ALLOWED
    assert panel.result.children == ()


def test_a_limit_that_is_entered_is_asked_about_no_more(panel: AdvicePanel) -> None:
    """Its tick goes with it; the others stay."""
    press(panel, f"{INSIDE}: tick all")
    desk = panel.desk
    desk.do(lambda: desk.season.set_limit("zone:Cargo floor front", Limit(limit_kg=150.0)), "found the label")

    assert panel.adviser.rules.may_add_to == SEVEN - {"zone:Cargo floor front"}
    assert "zone:Cargo floor front" not in panel.allow.ticks
    assert all(panel.allow.ticks[key].value for key in panel.adviser.rules.may_add_to)


def test_another_loadout_starts_with_nothing_ticked(panel: AdvicePanel) -> None:
    """A permission is for the departure that a person looked at when giving it."""
    desk = panel.desk
    desk.do(lambda: desk.season.add_loadout("Saturday", like=FRIDAY), "another")
    press(panel, f"{INSIDE}: tick all")
    desk.choose("Saturday")

    assert panel.adviser.rules.may_add_to == frozenset()
    assert not any(box.value for box in panel.allow.ticks.values())
    desk.choose(FRIDAY)
    assert panel.adviser.rules.may_add_to == frozenset()


def test_applying_a_plan_keeps_what_is_ticked(panel: AdvicePanel) -> None:
    """One departure, one permission: the next question is asked with the same ticks."""
    press(panel, f"{INSIDE}: tick all")
    panel.adviser.ask(SINGLE)
    plan = panel.adviser.shown.plans[0]
    assert plan.added
    assert panel.adviser.apply(plan)

    assert panel.adviser.rules.may_add_to == SEVEN
    assert panel.adviser.status.startswith("Applied as one entry")


def test_where_every_limit_is_known_nothing_is_asked(panel: AdvicePanel) -> None:
    """Then there is nothing to read and nothing to tick."""
    desk = panel.desk

    def know() -> None:
        for offer in offered(panel.adviser):
            desk.season.set_limit(offer.key, Limit(limit_kg=500.0))

    desk.do(know, "every label found")
    assert panel.allow.view.children == ()
