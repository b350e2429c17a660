"""Ten years of 40 trips with 300 items aboard: opening the season, and one edit, against plain SQLite.

Each trip has a loadout of its own that is kept, which is the most that a season can be made to hold: 120,000 lines
of what rode where, besides what each trip carried. Processor time without waiting for the disk; the last lines are
time on the wall with every edit synced to the disk, as the season does it.
"""

from __future__ import annotations

import sqlite3
import tempfile
from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path
from time import perf_counter

from loadcalc.season import Season, open_season, start_season
from loadcalc.season.story.trips import record_trip
from tests.bench.timing import in_turns, ratio, spread, verdict
from tests.season_help import DEMO, FRIDAY

YEARS, TRIPS, ITEMS = 10, 40, 300
OPEN_S, EDIT_MS = 2.0, 50.0  # the goals
ZONES = ("Cargo floor front", "Cargo deck rear")


def lines() -> Iterator[str]:
    """The part's lines of text."""
    with tempfile.TemporaryDirectory() as base:
        folder = Path(base) / "season"
        yield f"\nTen years: {YEARS} x {TRIPS} trips, {ITEMS} items aboard each; making them takes a minute"
        build(folder)
        yield f"  the file                        {(folder / 'season.db').stat().st_size / 1e6:.0f} MB"
        opening = in_turns({"open": lambda: read(folder), "plain": lambda: plain_read(folder)}, rounds=5)
        took = spread(opening["open"])
        yield f"  open, all in memory             {took.text()} s, goal {OPEN_S:g} s: {verdict(took.median < OPEN_S)}"
        yield f"  time of a plain SELECT          {ratio(opening['open'], opening['plain']).text()} times"
        yield from _edits(folder, Path(base) / "plain.db")


def _edits(folder: Path, plain_file: Path) -> Iterator[str]:
    """Each sort of edit on the full season, and the insert that it is compared with."""
    plain = sqlite3.connect(plain_file, isolation_level=None)
    plain.executescript(
        "PRAGMA journal_mode = WAL; PRAGMA synchronous = OFF; CREATE TABLE edit (value TEXT);"
    )
    with open_season(folder) as season:
        season.db.execute("PRAGMA synchronous = OFF")
        calls: dict[str, Callable[[], object]] = {
            **edits(season),
            "INSERT of one row": lambda: plain.execute("INSERT INTO edit (value) VALUES ('1')"),
        }
        found = in_turns(calls, rounds=9)
        synced = [_synced(season, plain) for _ in range(15)]
    plain.close()
    base = found.pop("INSERT of one row")
    yield from _told(base, found)
    ms = [spread([pair[side] * 1e3 for pair in synced]) for side in (0, 1)]
    goal = f"goal {EDIT_MS:g} ms: {verdict(ms[0].median < EDIT_MS)}"
    yield f"  an item's mass, synced, wall    {ms[0].text()} ms, {goal}; INSERT synced {ms[1].text()} ms"


def _synced(season: Season, plain: sqlite3.Connection) -> tuple[float, float]:
    """Seconds on the wall [s] of one edit and of one insert, each synced to the disk."""
    for db in (season.db, plain):
        db.execute("PRAGMA synchronous = FULL")
    start = perf_counter()
    season.set_item("chainsaw", mass_kg=1.0 + start % 400)
    middle = perf_counter()
    plain.execute("INSERT INTO edit (value) VALUES ('1')")
    return middle - start, perf_counter() - middle


def _told(base: list[float], found: dict[str, list[float]]) -> Iterator[str]:
    yield f"  INSERT of one row               {spread([second * 1e3 for second in base]).text()} ms"
    for name, times in found.items():
        took = spread([second * 1e3 for second in times])
        goal = f"goal {EDIT_MS:g} ms: {verdict(took.median < EDIT_MS)}"
        yield f"  {name:31} {took.text()} ms, {goal}; {ratio(times, base).text()} times the INSERT"


def edits(season: Season) -> dict[str, Callable[[], object]]:
    """One edit of each sort; each call changes something."""
    number = count(1)
    last = season.loadout_names[-2]

    def toggled(first: str, second: str) -> str:
        return (first, second)[next(number) % 2]

    return {
        "an item's mass": lambda: season.set_item("chainsaw", mass_kg=1.0 + next(number) % 4000 / 10),
        "an item's place": lambda: season.stow(last, "chainsaw", toggled(*ZONES)),
        "a loadout's fuel": lambda: season.set_fuel(last, 10.0 + next(number) % 60),
        "a zone's name": lambda: season.set_zone(season.zones[5].name, name=f"Drawer {next(number)}"),
        "a person's mass": lambda: season.set_occupant("dov", mass_kg=60.0 + next(number) % 400 / 10),
        "undo": lambda: season.undo(),
    }


def build(folder: Path) -> None:
    """Make the season: every trip has a loadout like the last one's with some moves, then is recorded."""
    with start_season(folder, DEMO) as season:
        season.keeper = None
        season.db.execute("PRAGMA synchronous = OFF")
        with season.entry("A long list"):
            for number in range(ITEMS - len(season.gear)):
                season.add_item(name=f"Thing {number}", mass_kg=0.1 + number % 7)
        with season.entry("Packed"):
            aboard = {stowed.item.key for stowed in season.loadout(FRIDAY).gear}
            for item in season.gear:
                if item.key not in aboard:
                    season.stow(FRIDAY, item.key, ZONES[1])
        like = FRIDAY
        for trip in range(YEARS * TRIPS):
            year, week = divmod(trip, TRIPS)
            name, day = f"Trip {trip + 1}", f"{2015 + year}-{3 + week // 5:02d}-{1 + week % 5 * 5:02d}"
            with season.entry(f"Packed for {name}"):
                season.add_loadout(name, like=like, date=day)
                for number in range(5):
                    season.stow(name, f"thing-{(trip * 7 + number) % 200}", ZONES[trip % 2])
            record_trip(season, name, day, name, used=["chainsaw"], distance_km=100.0)
            like = name


def read(folder: Path) -> None:
    """Open the season and have what a page first asks for: the vehicle, the names, the newest loadout."""
    with open_season(folder) as season:
        assert season.vehicle
        assert season.loadout(season.loadout_names[-1])
        assert len(season.trips) == YEARS * TRIPS + 4


def plain_read(folder: Path) -> None:
    """The same rows with plain SQL."""
    db = sqlite3.connect(folder / "season.db")
    db.execute("SELECT subject, key, field, value FROM present").fetchall()
    db.close()
