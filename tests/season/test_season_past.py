"""Events, trips, and undos in any order: every earlier day and every loadout that left can be had back exactly."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadcalc.model import LoadcalcError, Loadout, NotFound, SeasonError
from loadcalc.season import Season, open_season
from loadcalc.season.file.present import Present
from loadcalc.season.story.events import correct_event, record_event
from loadcalc.season.story.past import differences, inventory, past_at
from loadcalc.season.story.trips import as_it_left, entry_at_departure, record_trip, tick_item
from tests.season_help import FRIDAY, Facts, added_up, demo_season, kept
from tests.strategies import tried

Step = Callable[[Season], Any]
ITEMS = st.sampled_from(["chainsaw", "loppers", "rock-bar", "folding-table", "no such thing"])
KINDS = st.sampled_from(
    ["weighed", "bought", "lent", "returned", "lost", "found", "retired", "inspected", "eaten"]
)
DAYS = st.dates(datetime.date(2025, 1, 1), datetime.date(2026, 12, 31))
MASSES = st.sampled_from([None, 0.4, 7.25, -1.0, 900.0])
COUNTS = st.sampled_from([None, 1, 2])
ZONES = st.sampled_from(["Drawer left", "Cargo deck rear", None])
LOADOUTS = st.sampled_from([FRIDAY, "Scouting day", "Nowhere"])


def facts(present: Present) -> Facts:
    """A present, field by field."""
    return {
        (subject, key, field): value
        for subject, things in present.things.items()
        for key, fields in things.items()
        for field, value in fields.items()
    }


def steps() -> st.SearchStrategy[Step | str]:
    """What people enter, sensible and not."""
    return st.one_of(
        st.builds(
            lambda i, k, d, m, c: lambda s: record_event(s, i, k, d, mass_kg=m, count=c),
            ITEMS,
            KINDS,
            DAYS,
            MASSES,
            COUNTS,
        ),
        st.builds(
            lambda o, d, u: lambda s: record_trip(s, f"Trip {d}", d, o, used=[u]), LOADOUTS, DAYS, ITEMS
        ),
        st.builds(lambda i, m: lambda s: s.set_item(i, mass_kg=m), ITEMS, MASSES),
        st.builds(lambda i, z, c: lambda s: s.stow(FRIDAY, i, z, c), ITEMS, ZONES, COUNTS),
        st.builds(lambda i: lambda s: s.remove("item", i), ITEMS),
        st.builds(lambda m: lambda s: correct_event(s, s.events[-1].key, mass_kg=m), MASSES),
        st.builds(lambda i: lambda s: tick_item(s, s.trips[-1].key, i, used=1), ITEMS),
        st.builds(lambda: lambda s: s.set_loadout(FRIDAY, name="Saturday departure")),
        st.just("undo"),
    )


@tried(8)
@given(plan=st.lists(steps(), min_size=5, max_size=20))
def test_every_entry_can_be_gone_back_to(
    tmp_path_factory: pytest.TempPathFactory, plan: list[Step | str]
) -> None:
    """As of any entry: what the file held then; each trip: the loadout that left; each undo: the state before."""
    folder = tmp_path_factory.mktemp("season")
    with demo_season(folder, durable=False) as season:
        then = {season.version: kept(season.folder)}
        line = [kept(season.folder)]
        left: dict[str, Loadout] = {}
        for step in plan:
            version = season.version
            if not callable(step):
                _undo(season, line)
            else:
                before = {
                    key: season.loadout(str(fields["name"])) for key, fields in season.present.rows("loadout")
                }
                _try(season, step)
                if season.version > version:
                    line.append(kept(season.folder))
                for trip in season.trips:
                    if trip.name.startswith("Trip ") and trip.key not in left:
                        left[trip.key] = before[trip.loadout]
            assert season.version <= version + 1
            then[season.version] = kept(season.folder)
        season.verify()
        assert kept(season.folder) == added_up(season.folder)
        with open_season(season.folder) as fresh:
            assert all(facts(past_at(fresh, version).present) == held for version, held in then.items())
            for trip in fresh.trips:
                if trip.key in left:
                    assert as_it_left(fresh, trip) == (
                        past_at(fresh, trip.left_entry or 0).vehicle,
                        left[trip.key],
                    )


def _undo(season: Season, line: list[Facts]) -> None:
    if len(line) > 1:
        assert season.undo() is not None
        line.pop()
    assert kept(season.folder) == line[-1]


def _try(season: Season, step: Step) -> None:
    try:
        step(season)
    except (LoadcalcError, IndexError):
        return


def test_the_steps_above_do_something(tmp_path: Path) -> None:
    """The random steps are not all refused: a sensible one of each sort is kept."""
    with demo_season(tmp_path, durable=False) as season:
        start = season.version
        record_event(season, "loppers", "lost", "2026-05-20", count=1)
        record_trip(season, "Trip 1", "2026-05-15", FRIDAY, used=["loppers"])
        record_event(season, "chainsaw", "weighed", "2026-06-01", mass_kg=7.25)
        correct_event(season, season.events[-1].key, mass_kg=7.0)
        tick_item(season, "Trip 1", "chainsaw", used=1)
        assert season.version == start + 5
        assert season.fields("item", "chainsaw")["mass_kg"] == 7.0
        assert {took.key: took.used for took in season.trips[-1].items if took.used} == {"loppers": 1, "chainsaw": 1}


def test_a_trip_keeps_the_loadout_that_left(tmp_path: Path) -> None:
    """Whatever is moved, weighed, renamed, or removed afterwards, the loadout of then comes back."""
    with demo_season(tmp_path) as season:
        loadout, vehicle = season.loadout(FRIDAY), season.vehicle
        record_trip(season, "North fork", "2026-05-15", FRIDAY, until="2026-05-17")
        season.set_item("chainsaw", mass_kg=9.0, name="Big saw")
        season.stow(FRIDAY, "rock-bar", "Drawer left")
        season.remove("item", "loppers")
        season.set_zone("Cargo deck rear", name="Back deck")
        season.set_vehicle("curb_kg", 2300.0)
        season.remove("loadout", FRIDAY)
        trip = season.trips[-1]

        assert as_it_left(season, trip) == (vehicle, loadout)
        assert (trip.days, trip.people, trip.person_days) == (3, ("ines", "dov", "marta"), 9)
        assert trip.gear_kg == pytest.approx(sum(s.item.mass_kg * s.count for s in loadout.gear), abs=1e-9)
        assert {t.key: t.carried for t in trip.items} == {s.item.key: s.count for s in loadout.gear}


def test_a_trip_told_late_takes_the_loadout_of_its_departure(tmp_path: Path) -> None:
    """With the entry at departure, edits made since don't count; without a loadout there it is refused."""
    with demo_season(tmp_path) as season:
        departed = season.version
        loadout = season.loadout(FRIDAY)
        season.stow(FRIDAY, "rock-bar", None)
        season.add_loadout("Sunday", like=FRIDAY)
        record_trip(season, "Late", "2026-05-15", FRIDAY, left_entry=departed, used=["Rock bar"])

        assert as_it_left(season, season.trips[-1])[1] == loadout
        with pytest.raises(LoadcalcError, match="was not there yet at departure"):
            record_trip(season, "Later", "2026-05-15", "Sunday", left_entry=departed)
        with pytest.raises(LoadcalcError, match="was not carried on this trip"):
            record_trip(season, "Later", "2026-05-15", FRIDAY, used=["Rock bar"])
        assert entry_at_departure(season, datetime.date(2001, 1, 1)) == 1
        assert entry_at_departure(season, datetime.date(9000, 1, 1)) == season.version


def test_a_trip_inside_an_entry_holds_what_the_entry_did_first(tmp_path: Path) -> None:
    """Edits before the trip in the same block are part of what left."""
    with demo_season(tmp_path) as season:
        with season.entry("Off we go"):
            season.stow(FRIDAY, "rock-bar", None)
            record_trip(season, "North fork", "2026-05-15", FRIDAY)
        loadout = season.loadout(FRIDAY)
        season.stow(FRIDAY, "rock-bar", "Drawer left")

        assert as_it_left(season, season.trips[-1])[1] == loadout
        assert season.entries(2)[1].note == "Off we go"


def test_a_paper_trip_has_no_loadout_to_rebuild(tmp_path: Path) -> None:
    """A trip from before the ledger says so instead of showing another day's loadout."""
    with demo_season(tmp_path) as season:
        paper = next(trip for trip in season.trips if trip.left_entry is None)
        with pytest.raises(SeasonError, match="told from paper"):
            as_it_left(season, paper)


def test_the_past_is_had_by_entry_day_or_time(tmp_path: Path) -> None:
    """One entry, the end of its day, and its moment give the same; before the ledger there is nothing."""
    with demo_season(tmp_path) as season:
        season.set_item("chainsaw", mass_kg=7.0)
        first, last = season.entries()[-1], season.entries()[0]
        assert past_at(season, last.at).entry_id == last.id
        assert past_at(season, last.at.astimezone().date()).entry_id == last.id
        assert facts(past_at(season, first.at).present) != facts(season.present)
        assert past_at(season, last.id).gear == season.gear
        assert past_at(season, last.id).loadouts[0] == season.loadouts[0]
        for when in (datetime.date(2001, 1, 1), 0, last.id + 1):
            with pytest.raises(NotFound):
                past_at(season, when)


def test_inventory_before_the_ledger_goes_by_the_events(tmp_path: Path) -> None:
    """Before the first entry: masses as weighed by then, no traction boards yet, the table not lent yet."""
    with demo_season(tmp_path) as season:
        then = {line.key: line for line in inventory(season, datetime.date(2025, 4, 1))}
        assert then["tool-roll"].mass_kg == pytest.approx(22.6 * 0.45359237, abs=1e-9)
        assert "traction-board" not in then
        assert (then["folding-table"].state, then["folding-table"].told_later) == ("", False)
        lent = {line.key: line for line in inventory(season, datetime.date(2026, 5, 5))}["folding-table"]
        assert (lent.state, lent.told_later) == ("lent", True)


def test_inventory_on_a_day_of_the_ledger(tmp_path: Path) -> None:
    """On the day of an entry the inventory is the ledger's; differences to now are told item by item."""
    with demo_season(tmp_path) as season:
        today = season.entries(1)[0].at.astimezone().date()
        old = inventory(season)
        record_event(season, "chainsaw", "retired", today)
        record_event(season, "loppers", "lost", today, count=1)
        season.add_item(name="New saw", mass_kg=5.0)
        season.set_item("rock-bar", mass_kg=8.0)

        assert inventory(season, today) == inventory(season)
        told = {(name, what) for name, what, _, _ in differences(old, inventory(season))}
        assert told == {("Chainsaw", "state"), ("Loppers", "count"), ("New saw", "new"), ("Rock bar", "mass")}
        assert differences(inventory(season), old)[-1][1] == "gone"


def test_what_was_told_late_is_put_right(tmp_path: Path) -> None:
    """A weighing and a loss entered today for last month stand in last month's inventory, and are marked."""
    with demo_season(tmp_path) as season:
        season.add_item(name="Drill", mass_kg=2.0, count=3)
        record_event(season, "drill", "bought", "2026-03-01")
        record_event(season, "drill", "weighed", "2026-03-02", mass_kg=2.4, resolution_kg=0.1)
        record_event(season, "drill", "lost", "2026-03-10", count=1)
        record_event(season, "drill", "lent", "2026-03-20")

        def drill(day: datetime.date) -> Any:
            return next((line for line in inventory(season, day) if line.key == "drill"), None)

        assert drill(datetime.date(2026, 2, 28)) is None
        early = drill(datetime.date(2026, 3, 2))
        assert (early.mass_kg, early.known, early.plus_minus_kg, early.state) == (2.4, "weighed", 0.05, "")
        assert early.told_later
        assert drill(datetime.date(2026, 3, 20)).state == "lent"


def test_a_day_that_ends_with_an_event_is_the_ledgers(tmp_path: Path) -> None:
    """An event inside the cut is no later telling: the line stands as the ledger had it."""
    with demo_season(tmp_path) as season:
        key = record_event(season, "rock-bar", "weighed", "2026-01-01", mass_kg=8.0)
        today = season.entries(1)[0].at.astimezone().date()
        line = next(line for line in inventory(season, today) if line.key == "rock-bar")
        assert (line.mass_kg, line.told_later) == (8.0, False)
        assert key in season.ever("event")


def test_what_is_gone_keeps_its_last_name(tmp_path: Path) -> None:
    """Renamed, then removed: the ledger still knows what it was called last."""
    with demo_season(tmp_path) as season:
        season.set_item("loppers", name="Long loppers")
        season.remove("item", "loppers")
        assert season.ever("item")["loppers"] == "Long loppers"
        assert season.ever("item")["chainsaw"] == "Chainsaw"


def test_what_came_and_went_in_one_entry_leaves_no_place_behind(tmp_path: Path) -> None:
    """Two sessions list things in the same order, also after something was added and removed in one breath."""
    with demo_season(tmp_path) as season:
        with season.entry("Changed my mind"):
            season.add_item(name="Drill", mass_kg=2.0)
            season.remove("item", "drill")
            season.set_item("rock-bar", mass_kg=8.0)
        season.add_item(name="Auger", mass_kg=3.0)
        season.add_item(name="Drill", mass_kg=2.0)
        with open_season(season.folder) as fresh:
            assert [item.key for item in season.gear] == [item.key for item in fresh.gear]
