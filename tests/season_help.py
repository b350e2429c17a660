"""For the season's tests: a fresh copy of the demo season, and the ledger added up by other means."""

from __future__ import annotations

import json
import shutil
import sqlite3
import tempfile
from functools import cache
from pathlib import Path
from typing import Any

from loadcalc.season import Season, open_season, start_season

ROOT = Path(__file__).resolve().parents[1]
DEMO, BLANK = ROOT / "data" / "demo", ROOT / "data" / "blank"
PLAIN = ROOT / "tests" / "plain_season"  # an invented vehicle with every measure entered, where a test needs numbers
FRIDAY = "Friday departure"
Facts = dict[tuple[str, str, str], Any]


@cache
def _started() -> bytes:
    """The demo season's file, made once."""
    with tempfile.TemporaryDirectory() as folder:
        start_season(Path(folder) / "season", DEMO, who="Ines").close()
        return (Path(folder) / "season" / "season.db").read_bytes()


def demo_folder(tmp_path: Path) -> Path:
    """Return a new folder with a season started from the demo tables."""
    folder = tmp_path / "season"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    (folder / "season.db").write_bytes(_started())
    return folder


def demo_season(tmp_path: Path, *, durable: bool = True) -> Season:
    """Return an open copy of the demo season; without `durable` it doesn't wait for the disk."""
    season = open_season(demo_folder(tmp_path), who="Marta")
    if not durable:
        season.db.execute("PRAGMA synchronous = OFF")
    return season


def kept(folder: Path) -> Facts:
    """What the table `present` holds, read with plain SQL."""
    with sqlite3.connect(folder / "season.db") as db:
        rows = db.execute("SELECT subject, key, field, value FROM present").fetchall()
    db.close()
    return {tuple(row[:3]): json.loads(row[3]) for row in rows}


def added_up(folder: Path) -> Facts:
    """What the changes add up to, oldest first, added up here with plain SQL."""
    facts: Facts = {}
    with sqlite3.connect(folder / "season.db") as db:
        rows = db.execute("SELECT subject, key, field, value, was FROM change ORDER BY id").fetchall()
    db.close()
    for subject, key, field, value, was in rows:
        thing = (subject, key, field)
        assert facts.get(thing) == (None if was is None else json.loads(was))
        facts.pop(thing, None)
        if value is not None:
            facts[thing] = json.loads(value)
    return facts


def records(season: Season) -> tuple[Any, ...]:
    """Every record of a season, for comparing before and after."""
    return (
        season.vehicle,
        season.carrier,
        season.zones,
        season.gear,
        season.people,
        season.liquids,
        season.loadouts,
    )


def contents(folder: Path) -> dict[str, bytes]:
    """Every file under a folder with its bytes."""
    return {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}
