"""A dated event of an item: its own date beside the entry's, what it changes, and what it must not change."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from loadcalc.model import BadValue, NotFound
from loadcalc.season import Season, open_season
from loadcalc.season.edit.diary import Poured, Took, poured_text, read_poured, read_took, took_text
from loadcalc.season.story.events import correct_event, record_event
from loadcalc.season.story.totals import mass_points
from tests.season_help import FRIDAY, demo_season


@pytest.fixture
def season(tmp_path: Path) -> Iterator[Season]:
    """An open copy of the demo season."""
    with demo_season(tmp_path) as opened:
        yield opened


def gear(season: Season) -> set[str]:
    """Keys of what is in the inventory."""
    return {item.key for item in season.gear}


def on_board(season: Season) -> dict[str, int]:
    """How many of each item ride on Friday."""
    return {stowed.item.key: stowed.count for stowed in season.loadout(FRIDAY).gear}


def test_a_weighing_sets_mass_and_doubt_in_the_same_entry(season: Season) -> None:
    """Half of the resolution is the doubt; the entry is one, of its own kind, and undo takes all of it back."""
    before = season.fields("item", "rock-bar")
    key = record_event(
        season, "Rock bar", "weighed", "2026-05-03", mass_kg=8.1, scale="quarry", resolution_kg=0.2, who="Dov"
    )
    entry = season.entries(1)[0]
    item = next(item for item in season.gear if item.key == "rock-bar")

    assert (item.mass_kg, item.known, item.plus_minus_kg) == (8.1, "weighed", 0.1)
    assert (entry.kind, entry.note) == ("event", "Rock bar: weighed on 2026-05-03")
    assert {change.subject for change in season.changes(entry.id)} == {"event", "item"}
    assert (season.events[-1].key, season.events[-1].scale, season.events[-1].who) == (key, "quarry", "Dov")
    season.undo()
    assert season.fields("item", "rock-bar") == before
    assert key not in [event.key for event in season.events]


def test_an_older_weighing_told_late_changes_the_past_only(season: Season) -> None:
    """Last year's ticket, found in a pocket, never overwrites this year's mass."""
    record_event(season, "chainsaw", "weighed", "2026-05-03", mass_kg=7.0)
    record_event(season, "chainsaw", "weighed", "2025-11-03", mass_kg=6.8)
    assert season.fields("item", "chainsaw")["mass_kg"] == 7.0
    assert [point.mass_kg for point in mass_points(season, "chainsaw")][-2:] == pytest.approx(
        [6.894604024, 7.0], abs=1e-9
    )


def test_lost_and_retired_leave_the_inventory_but_not_the_history(season: Season) -> None:
    """Off every loadout and out of the gear, its events and history still there, its name free again."""
    record_event(season, "chainsaw", "retired", "2026-06-01")
    assert "chainsaw" not in gear(season)
    assert "chainsaw" not in on_board(season)
    assert season.history("item", "chainsaw")[-1][1].value == "retired"
    with pytest.raises(BadValue, match="is retired"):
        season.stow(FRIDAY, "chainsaw", "Drawer left")

    new = season.add_item(name="Chainsaw", mass_kg=5.5)
    assert season.find("item", "Chainsaw") == new != "chainsaw"
    season.undo()
    season.undo()
    assert "chainsaw" in gear(season)
    assert on_board(season)["chainsaw"] == 1


def test_lent_is_away_and_comes_back(season: Season) -> None:
    """Lent stays in the inventory with its state; returned and found clear it, whatever the order of entry."""
    record_event(season, "loppers", "lent", "2026-06-01", who="the hikers", until="2026-06-20")
    assert season.fields("item", "loppers")["state"] == "lent"
    assert "loppers" in gear(season)
    record_event(season, "loppers", "returned", "2026-06-19")
    assert "state" not in season.fields("item", "loppers")
    record_event(season, "loppers", "lost", "2026-06-05")
    assert "state" not in season.fields("item", "loppers")


def test_some_of_several_are_lost_and_found(season: Season) -> None:
    """One of two loppers lost: one is left, on the loadout too; found again: two."""
    record_event(season, "loppers", "lost", "2026-06-01", count=1)
    assert season.fields("item", "loppers")["count"] == 1
    assert on_board(season)["loppers"] == 1
    record_event(season, "loppers", "found", "2026-06-02", count=1)
    assert season.fields("item", "loppers")["count"] == 2
    record_event(season, "loppers", "lost", "2026-06-03", count=2)
    assert "loppers" not in gear(season)
    assert season.fields("item", "loppers")["count"] == 2


@pytest.mark.parametrize(
    ("item", "kind", "date", "fields", "error"),
    [
        ("chainsaw", "weighed", "2026-05-03", {}, "mass.* is missing"),
        ("chainsaw", "weighed", "3 May", {"mass_kg": 7.0}, "is not a date"),
        ("chainsaw", "lent", "2026-05-03", {"mass_kg": 7.0}, "does not belong to"),
        ("chainsaw", "eaten", "2026-05-03", {}, "choose one of: weighed, bought"),
        ("chainsaw", "weighed", "2026-05-03", {"mass_kg": 900.0}, "500 kg"),
        ("chainsaw", "weighed", "2026-05-03", {"mass_kg": 7.0, "resolution_kg": -1.0}, "resolution"),
        ("chainsaw", "lost", "2026-05-03", {"count": 0}, "count"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_and_leaves_no_trace(
    season: Season, item: str, kind: str, date: str, fields: dict[str, float], error: str
) -> None:
    """Each refusal names what is wrong; nothing is kept."""
    version = season.version
    with pytest.raises(BadValue, match=error):
        record_event(season, item, kind, date, **fields)
    assert season.version == version
    with pytest.raises(NotFound):
        record_event(season, "no such thing", "lost", "2026-05-03")


def test_a_correction_is_a_new_entry(season: Season) -> None:
    """The wrong figure stays in the ledger; the item follows only while it still shows it."""
    key = record_event(season, "chainsaw", "weighed", "2026-05-03", mass_kg=70.0)
    correct_event(season, key, mass_kg=7.0)
    assert season.fields("item", "chainsaw")["mass_kg"] == 7.0
    assert [c.value for _, c in season.history("event", key) if c.field == "mass_kg"] == [70.0, 7.0]
    season.set_item("chainsaw", mass_kg=7.3)
    correct_event(season, key, mass_kg=7.1)
    assert season.fields("item", "chainsaw")["mass_kg"] == 7.3


def test_two_events_of_one_day_stand_side_by_side(season: Season) -> None:
    """The second weighing of a day is not refused for its name, and is the one that holds."""
    record_event(season, "chainsaw", "weighed", "2026-05-03", mass_kg=7.0)
    record_event(season, "chainsaw", "weighed", "2026-05-03", mass_kg=7.1)
    assert season.events[-1].name == "2026-05-03 weighed Chainsaw (2)"
    assert season.fields("item", "chainsaw")["mass_kg"] == 7.1


def test_who_wrote_is_the_name_that_was_typed(season: Season) -> None:
    """A typed name stands beside each entry from then on, in every session; emptied, the login name again."""
    season.set_setting(writer="Ines at the table")
    season.set_item("chainsaw", mass_kg=7.0)
    assert [entry.who for entry in season.entries(2)] == ["Ines at the table"] * 2
    with open_season(season.folder, who="Dov") as other:
        other.set_item("chainsaw", mass_kg=7.1)
        assert other.entries(1)[0].who == "Ines at the table"
        other.set_setting(writer="")
        assert other.entries(1)[0].who == "Dov"


def test_the_lines_of_a_trip_read_back(season: Season) -> None:
    """What a trip carried and poured is written in a line and read back the same; nonsense is refused."""
    took, poured = (
        (Took("a", 2, 1, 0), Took("b-2", 1, 0, 1)),
        (Poured("can", 18.9, 0.0), Poured("oil", 1.25, None)),
    )
    assert read_took(took_text(took)) == took
    assert read_poured(poured_text(poured)) == poured
    for line in ("a:1:2:0", "a:1", "a:x:0:0", ":1:0:0", "a:0:0:0"):
        with pytest.raises(BadValue):
            read_took(line)
    for line in ("can:1", "can:x:1", "can:1:-2"):
        with pytest.raises(BadValue):
            read_poured(line)
    with pytest.raises(BadValue, match="does not add up"):
        season.set("trip", season.trips[0].key, carried="chainsaw:1:2:0")
    with pytest.raises(BadValue, match="is before the first"):
        season.set("trip", season.trips[0].key, until="2001-01-01")
