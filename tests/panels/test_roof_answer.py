"""What the roof page says above the verdict: straps, lifts, and what a rack with nothing laid out needs."""

from pathlib import Path

import pytest

from loadcalc.season.edit.straps import tie, tie_can, unstrap
from tests.season_help import FRIDAY, demo_season
from workbook.panels.desk.desk import Desk
from workbook.panels.roof.roof_answer_words import LAY_OUT, NO_RACK, NO_STRAPS, roof_lead


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A desk on a fresh copy of the demo season."""
    return Desk(demo_season(tmp_path, durable=False))


def test_straps_and_lifts_are_counted_with_the_mark_of_the_worst(desk: Desk) -> None:
    """Three things tied to nothing, one group not known; 12 heavy lifts and 8 without a number, by the findings."""
    assert roof_lead(desk.report)[:2] == [
        "▲ Straps: 3 things outside tied to nothing; 1 group of which it is not known whether the straps are enough.",
        "▲ Lifts: 12 more than one person is asked for; 8 without a number. Get help.",
    ]


def test_what_nobody_knows_is_never_a_pass(desk: Desk) -> None:
    """With every loose thing tied, the group that nobody knows enough of still leads, with the mark of a question."""
    tie(desk.season, FRIDAY, "Propane cylinder", "Hand tools")
    for key in ("Saw mix can", "Bar oil jug"):
        tie_can(desk.season, FRIDAY, key, "Hand tools")
    desk.reload()

    assert roof_lead(desk.report)[0].startswith(("? Straps: ", "▲ Straps: "))
    assert "tied to nothing" not in roof_lead(desk.report)[0]
    assert "not known whether the straps are enough" in roof_lead(desk.report)[0]


def test_a_rack_with_nothing_laid_out_is_told_how_to_begin(desk: Desk) -> None:
    """Nothing laid out: the two ways to do it; without any strap: that nothing is known of how it is held."""
    assert roof_lead(desk.report)[-1] == LAY_OUT
    for strapping in desk.loadout.straps:
        unstrap(desk.season, FRIDAY, strapping.key)
    desk.reload()

    assert roof_lead(desk.report)[-2:] == [NO_STRAPS, LAY_OUT]


def test_an_empty_roof_asks_only_for_a_rack(desk: Desk) -> None:
    """With the rack off and its things at home there is nothing to strap or to lay out."""
    with desk.season.entry("roof emptied"):
        for stowed in desk.loadout.gear:
            if stowed.zone.startswith("Roof"):
                desk.season.stow(FRIDAY, stowed.item.key, None)
        desk.season.set_loadout(FRIDAY, carrier_on=False)
    desk.reload()
    said = roof_lead(desk.report)

    assert said[-1] == NO_RACK
    assert LAY_OUT not in said
    assert NO_STRAPS not in said
