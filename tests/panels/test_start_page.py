"""What the start page puts first: the weightiest matters, and before any of them one's own vehicle."""

from pathlib import Path

from loadcalc.checks.findings.finding import OVER
from loadcalc.model.quantities import US
from loadcalc.season import start_season
from tests.season_help import BLANK, demo_season
from workbook.panels.desk.desk import Desk
from workbook.panels.loadout.start import BEGIN, URGENT, urgent
from workbook.panels.ratings.limits import NONE_KNOWN, limit_board


def test_the_three_weightiest_matters_come_first(tmp_path: Path) -> None:
    """Friday's roof is over: that leads, with its cure and the page where that is done."""
    desk = Desk(demo_season(tmp_path, durable=False))
    said = urgent(desk.report, desk.units)
    (over,) = (finding for finding in desk.report.findings if finding.kind == OVER)
    assert len(said) == URGENT
    assert over.what in said[0]
    assert said[0].endswith(f"(page {over.page}).")


def test_a_new_season_begins_with_ones_own_vehicle(tmp_path: Path) -> None:
    """Nothing is known of it: the way to enter it comes before what is not judged, and stands where sliders would."""
    desk = Desk(start_season(tmp_path / "new", BLANK))
    assert urgent(desk.report, US)[0] == BEGIN
    board, words = limit_board(desk).children
    assert (board.columns, NONE_KNOWN in words.value) == ({}, True)
