"""What the roof page says first: what is over or not known up there, worst first, and what an empty rack needs."""

from pathlib import Path

import pytest

from loadcalc.season.edit.straps import unstrap
from tests.season_help import FRIDAY, demo_season
from workbook.panels.desk.desk import Desk
from workbook.panels.roof.roof_answer_words import LAY_OUT, NO_STRAPS, roof_lead


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A desk on a fresh copy of the demo season."""
    return Desk(demo_season(tmp_path, durable=False))


def test_what_is_over_leads_and_what_is_not_known_follows(desk: Desk) -> None:
    """The roof is 50.3 lb over and three things are tied to nothing: both stand before every open question."""
    said = roof_lead(desk.report, desk.units)
    marks = [line[0] for line in said if line[0] in "▲?"]

    assert "Vehicle roof, moving off road (133%, over by 50.3 lb)" in said[0]
    assert marks == sorted(marks, reverse=True)
    assert marks.count("▲") == 3
    assert "Rides outside and is tied to nothing: Propane cylinder; Saw mix can; Bar oil jug." in said[1]
    assert "12 lifts are more than one person is asked for" in said[2]
    assert any("not known whether the straps are enough" in line.lower() for line in said)
    assert not any("page 05" in line for line in said)


def test_a_rack_with_nothing_laid_out_is_told_how_to_begin(desk: Desk) -> None:
    """Nothing laid out: the two ways to do it; without any strap: that nothing is known of how it is held."""
    assert roof_lead(desk.report, desk.units)[-1] == LAY_OUT
    for strapping in desk.loadout.straps:
        unstrap(desk.season, FRIDAY, strapping.key)
    desk.reload()

    assert roof_lead(desk.report, desk.units)[-2:] == [NO_STRAPS, LAY_OUT]


def test_an_empty_roof_asks_for_nothing(desk: Desk) -> None:
    """With the rack off and its things at home there is nothing to strap or to lay out."""
    with desk.season.entry("roof emptied"):
        for stowed in desk.loadout.gear:
            if stowed.zone.startswith("Roof"):
                desk.season.stow(FRIDAY, stowed.item.key, None)
        desk.season.set_loadout(FRIDAY, carrier_on=False)
    desk.reload()
    said = roof_lead(desk.report, desk.units)

    assert LAY_OUT not in said
    assert NO_STRAPS not in said
