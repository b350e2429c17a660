"""What the desk tells while a hand moves, what when it rests, and that nothing slow is older than the words at rest."""

from __future__ import annotations

from pathlib import Path

import pytest

from loadcalc.model.quantities import US
from tests.panels.slide import slide
from tests.season_help import FRIDAY, demo_season
from workbook.panels.desk.answer import answer, shown
from workbook.panels.desk.board import loadout_board
from workbook.panels.desk.desk import FOLLOW_S, REST_S, Desk, Told
from workbook.panels.loadout.consumed import outline_view, ratings_chart
from workbook.widgets.dials.dials import Dials


class Clock:
    """Time that passes when a test says so."""

    def __init__(self) -> None:
        self.now = 0.0
        self.due: list[tuple[float, Told, Clock.Alarm]] = []

    class Alarm:
        """One thing that will be done."""

        canceled = False

        def cancel(self) -> None:
            """Don't."""
            self.canceled = True

    def wait(self, seconds: float, act: Told) -> Alarm:
        """Remember what is to be done."""
        alarm = Clock.Alarm()
        self.due.append((self.now + seconds, act, alarm))
        return alarm

    def to(self, now: float) -> None:
        """Let time pass."""
        self.now = now
        ready = [one for one in self.due if one[0] <= now + 1e-9]
        self.due = [one for one in self.due if one not in ready]
        for _, act, alarm in sorted(ready, key=lambda one: one[0]):
            if not alarm.canceled:
                act()


@pytest.fixture
def clock() -> Clock:
    """Time at its start."""
    return Clock()


@pytest.fixture
def desk(tmp_path: Path, clock: Clock) -> Desk:
    """A desk on the demo season whose time passes when the test says so."""
    return Desk(demo_season(tmp_path, durable=False), FRIDAY, wait=clock.wait)


def test_only_the_answer_hears_a_move_and_the_rest_of_the_page_follows(desk: Desk, clock: Clock) -> None:
    """Ten moves, a tenth of a second apart: one drawing at the end, of the loadout that the words tell; one entry."""
    board = loadout_board(desk)
    assert isinstance(board, Dials)
    view, chart = answer(desk, ratings_chart(desk)).children
    outline = outline_view(desk)
    drawn: list[str] = []
    chart.children[0].observe(lambda _: drawn.append("chart"), "_shown")
    outline.children[1].children[0].observe(lambda _: drawn.append("outline"), "value")
    start, key = desk.season.version, next(row["key"] for row in board.columns["People and animals"])
    for move in range(10):
        clock.to(move * FOLLOW_S * 0.7)
        slide(board, key, 100.0 + move)
        assert view.shown == shown(desk.report, US)
    assert drawn == []
    rested = clock.now
    clock.to(rested + FOLLOW_S)
    assert sorted(drawn) == ["chart", "outline"]
    assert desk.season.version == start
    clock.to(rested + REST_S)
    assert desk.season.version == start + 1
    assert desk.season.loadout(FRIDAY).people[0].mass_kg == pytest.approx(109 * 0.45359237, abs=1e-9)
    assert len(drawn) == 2  # what rests has been drawn


def test_nothing_slow_comes_after_a_newer_state(desk: Desk, clock: Clock) -> None:
    """A move, and an edit before it rests: all of the page shows the edit at once, and nothing comes later."""
    seen: list[float] = []
    desk.at_rest.append(lambda: seen.append(desk.loadout.fuel_l))
    desk.try_out(loadout=desk.season.loadout(desk.season.loadout_names[0]))
    desk.do(lambda: desk.season.set_fuel(FRIDAY, 3.0), "fuel")
    assert seen == [3.0]
    clock.to(10.0)
    assert seen == [3.0]


def test_a_page_that_is_left_hears_nothing_more(desk: Desk, clock: Clock) -> None:
    """What would have followed does not."""
    seen: list[str] = []
    desk.at_rest.append(lambda: seen.append("heard"))
    desk.try_out()
    desk.retire()
    clock.to(10.0)
    assert seen == []
