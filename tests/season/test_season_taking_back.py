"""Any entry that nothing later rests on can be taken back, and comes again; the others add up to what is left."""

from __future__ import annotations

import json
import sqlite3
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadcalc.model import LoadcalcError
from loadcalc.model.errors import SeasonError
from loadcalc.season import Season, open_season
from loadcalc.season.edit.truth import check_all
from loadcalc.season.story.events import record_event
from loadcalc.season.story.totals import mass_points
from tests.season.test_season_ledger import Edit, edits
from tests.season_help import FRIDAY, Facts, added_up, demo_season, kept, records
from tests.strategies import tried

STEPS = st.lists(st.one_of(edits(), st.integers(0, 9)), min_size=6, max_size=25)


@pytest.fixture
def season(tmp_path: Path) -> Season:
    """A fresh season of the demo."""
    return demo_season(tmp_path, durable=False)


def what_holds(folder: Path) -> Facts:
    """What the entries add up to that were done and not taken back, in their order, as if the others had never been."""
    with sqlite3.connect(folder / "season.db") as db:
        undoes = dict(db.execute("SELECT undoes, id FROM entry WHERE undoes IS NOT NULL").fetchall())
        done = [number for (number,) in db.execute("SELECT id FROM entry WHERE undoes IS NULL ORDER BY id")]
        facts: Facts = {}
        for number in done:
            links, at = 1, number
            while at in undoes:
                links, at = links + 1, undoes[at]
            if links % 2:
                sql = "SELECT subject, key, field, value FROM change WHERE entry_id = ? ORDER BY id"
                for subject, key, field, value in db.execute(sql, (number,)):
                    facts[subject, key, field] = None if value is None else json.loads(value)
    db.close()
    return {place: value for place, value in facts.items() if value is not None}


@tried(8)
@given(steps=STEPS)
def test_what_is_taken_back_is_as_if_it_had_never_been(
    tmp_path_factory: pytest.TempPathFactory, steps: list[Edit | int]
) -> None:
    """Edits, and takings back of any of the last ten: what is left is true, and what holds adds up to it."""
    with demo_season(tmp_path_factory.mktemp("season"), durable=False) as season:
        for step in steps:
            if callable(step):
                _try(season, step)
            else:
                _take_back(season, step)
            check_all(season.present)
            assert kept(season.folder) == what_holds(season.folder) == added_up(season.folder)
        season.verify()
        with open_season(season.folder) as fresh:
            assert records(fresh) == records(season)


def _try(season: Season, edit: Edit) -> None:
    try:
        edit(season)
    except LoadcalcError:
        return


def _take_back(season: Season, which: int) -> None:
    """Take back one of the list; when that is allowed, it comes again as it was, and goes again."""
    standing = season.standings()
    if which >= len(standing):
        return
    chosen, before, version = standing[which], records(season), season.version
    try:
        gone = season.take_back(chosen.entry.id)
    except SeasonError as error:
        gone, said = None, str(error)
    if gone is None:
        assert said
        assert all(one.note in said for one in chosen.rests_on_it[:3])
        assert (records(season), season.version) == (before, version)
        return
    assert chosen.rests_on_it == ()
    assert gone.kind == ("undo" if chosen.holds else "redo")
    after = records(season)
    again = season.take_back(gone.id)
    assert again is not None
    assert again.kind == ("redo" if chosen.holds else "undo")
    assert records(season) == before
    assert season.take_back(again.id) is not None
    assert records(season) == after


def test_one_in_the_middle_goes_alone(season: Season) -> None:
    """The saw's count goes back; the loppers and the saw's mass, written later, stay."""
    count = {item.key: item.count for item in season.gear}["chainsaw"]
    with season.entry("Four saws"):
        season.set_item("chainsaw", count=4)
    saws = season.entries(1)[0]
    season.set_item("loppers", count=5)
    season.set_item("chainsaw", mass_kg=7.0)
    taken = season.take_back(saws.id)
    assert taken is not None
    assert (taken.kind, taken.note, taken.undoes) == ("undo", "Undo: Four saws", saws.id)
    now = {item.key: item for item in season.gear}
    assert (now["chainsaw"].count, now["chainsaw"].mass_kg, now["loppers"].count) == (count, 7.0, 5)
    with pytest.raises(SeasonError, match="“Four saws” was taken back already"):
        season.take_back(saws.id)


def test_what_something_rests_on_stays_and_says_so(season: Season) -> None:
    """The same value changed again later, by somebody else: that is named; once it has gone, the first may go."""
    with season.entry("Four saws"):
        season.set_item("chainsaw", count=4)
    saws = season.entries(1)[0]
    with open_season(season.folder, who="Dov") as there, there.entry("Five saws"):
        there.set_item("chainsaw", count=5)
    five = season.entries(1)[0]
    assert season.standing(saws).rests_on_it == (five,)
    with pytest.raises(SeasonError, match="“Four saws” stays: “Five saws” by Dov rests on it; take that back first"):
        season.take_back(saws.id)
    season.take_back(five.id)
    season.take_back(saws.id)
    assert season.standings()[0].note == "Four saws"


def test_a_thing_that_came_stays_while_anything_of_it_was_changed_or_it_rides(season: Season) -> None:
    """Another field of a new item counts; and an item that was stowed since can't go from under it."""
    season.add_item(name="Pole saw", mass_kg=3.0, key="pole-saw")
    came = season.entries(1)[0]
    season.set_item("pole-saw", kind="tools")
    assert season.standing(came).rests_on_it == (season.entries(1)[0],)
    season.undo()
    season.stow(FRIDAY, "pole-saw", "Drawer left")
    before = records(season)
    assert season.standing(came).rests_on_it == ()
    with pytest.raises(LoadcalcError):
        season.take_back(came.id)
    assert records(season) == before


def test_redo_goes_on_until_something_new_is_done(season: Season) -> None:
    """Undo twice, redo twice; a new edit ends redo, yet the list still brings back what rests on nothing."""
    start = records(season)
    season.set_item("chainsaw", count=4)
    one = records(season)
    season.set_item("loppers", count=5)
    two = records(season)
    season.undo()
    season.undo()
    assert records(season) == start
    assert season.redo() is not None
    assert records(season) == one
    assert season.redo() is not None
    assert records(season) == two
    assert season.redo() is None
    season.undo()
    season.set_item("rock-bar", count=2)
    assert season.next_redo is None
    assert season.redo() is None
    undone = next(one for one in season.standings() if not one.holds)
    back = season.take_back(undone.entry.id)
    assert back is not None
    assert back.kind == "redo"
    assert {item.key: item.count for item in season.gear}["loppers"] == 5


def test_the_start_of_a_season_is_never_offered(season: Season) -> None:
    """Its first entry is no edit."""
    assert season.standings() == ()
    with pytest.raises(SeasonError, match="entry 1 can't be taken back"):
        season.take_back(1)
    with pytest.raises(SeasonError, match="entry 99 can't be taken back"):
        season.take_back(99)


def test_a_weighing_that_came_again_is_one_point_of_the_curve(season: Season) -> None:
    """Undone and redone: the history of the mass is what it was."""
    record_event(season, "rock-bar", "weighed", "2026-05-03", mass_kg=8.1)
    season.set_item("chainsaw", mass_kg=7.25)
    told = mass_points(season, "rock-bar"), mass_points(season, "chainsaw")
    season.undo()
    season.undo()
    season.redo()
    season.redo()
    assert (mass_points(season, "rock-bar"), mass_points(season, "chainsaw")) == told
