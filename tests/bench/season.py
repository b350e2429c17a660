"""The season's file with 300 items aboard, against plain SQLite: opening and reading it, and one edit.

Processor time, and no waiting for the disk on either side: that is the same for both.
"""

from __future__ import annotations

import sqlite3
import tempfile
from collections.abc import Iterator
from itertools import count
from pathlib import Path

from loadcalc import open_season, start_season
from tests.bench.timing import in_turns, ratio, spread
from tests.season_help import DEMO, FRIDAY, records

ITEMS = 300


def lines() -> Iterator[str]:
    """The part's lines of text."""
    with tempfile.TemporaryDirectory() as folder:
        found = _measure(Path(folder))
    yield f"\nSeason: {ITEMS} items aboard, without waiting for the disk"
    ms = {name: spread([second * 1e3 for second in times]).text() for name, times in found.items()}
    yield f"  open and read every record      {ms['read']} ms"
    yield f"  SELECT the same rows            {ms['plain read']} ms"
    yield f"  time of plain SQLite            {ratio(found['read'], found['plain read']).text()} times (no goal)"
    yield f"  one edit, checked and kept      {ms['edit']} ms"
    yield f"  INSERT of one row               {ms['plain edit']} ms"
    yield f"  time of plain SQLite            {ratio(found['edit'], found['plain edit']).text()} times (no goal)"


def _measure(folder: Path) -> dict[str, list[float]]:
    season = start_season(folder / "season", DEMO)
    season.db.execute("PRAGMA synchronous = OFF")
    with season.entry("A long list"):
        for number in range(ITEMS - len(season.gear)):
            key = season.add_item(name=f"Thing {number}", mass_kg=0.1 * number)
            season.stow(FRIDAY, key, "Cargo deck rear")
    plain = sqlite3.connect(folder / "plain.db", isolation_level=None)
    plain.execute("PRAGMA journal_mode = WAL")
    plain.execute("PRAGMA synchronous = OFF")
    plain.execute("CREATE TABLE edit (id INTEGER PRIMARY KEY, value TEXT)")
    masses = count(1)

    def read() -> None:
        with open_season(season.folder) as fresh:
            records(fresh)

    def plain_read() -> None:
        db = sqlite3.connect(season.folder / "season.db")
        db.execute("SELECT subject, key, field, value FROM present").fetchall()
        db.close()

    found = in_turns(
        {
            "read": read,
            "plain read": plain_read,
            "edit": lambda: season.set_item("chainsaw", mass_kg=1.0 + next(masses) % 400),
            "plain edit": lambda: plain.execute("INSERT INTO edit (value) VALUES (?)", (str(next(masses)),)),
        }
    )
    plain.close()
    season.close()
    return found
