"""The ledger: dated entries of field-by-field changes, only ever added to. Plain SQL, no rules about loads.

Nothing here opens or ends a transaction: the caller holds one (see :mod:`loadcalc.season.edit.book`).
"""

from __future__ import annotations

import datetime
import json
import sqlite3
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any, NamedTuple

from loadcalc.season.file import seals
from loadcalc.season.file.present import Present


class Change(NamedTuple):
    """One field of one thing: what it becomes (None: taken away), and what it was.

    Give the first four; `was` is filled in by the ledger.
    """

    subject: str
    key: str
    field: str
    value: Any
    was: Any = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One dated line of the ledger.

    at : UTC; kind : "start", "edit", "import", "undo", "redo", "weigh-in", "trip", ...
    undoes : the entry that this one takes back; undone_by : the entry that took this one back.
    """

    id: int
    at: datetime.datetime
    who: str
    kind: str
    note: str
    undoes: int | None = None
    undone_by: int | None = None


_ENTRY = (
    "SELECT entry.id, entry.at, entry.who, entry.kind, entry.note, entry.undoes, later.id FROM entry "
    "LEFT JOIN entry AS later ON later.undoes = entry.id "
)
_CHANGE = "SELECT subject, key, field, value, was FROM change "


def last_id(db: sqlite3.Connection) -> int:
    """Return the id of the newest entry, 0 when there is none."""
    return int(db.execute("SELECT ifnull(max(id), 0) FROM entry").fetchone()[0])


def load(db: sqlite3.Connection) -> Present:
    """Return the present as the file keeps it, things in the order in which they were first entered."""
    present = Present()
    present.fill(
        db.execute("SELECT subject, key, born FROM thing"),
        db.execute("SELECT subject, key, field, value, entry_id FROM present"),
    )
    return present


def replay(db: sqlite3.Connection, until: int | None = None) -> Present:
    """Return what the changes add up to, up to and with entry `until` (all of them without it)."""
    present = Present()
    bound = last_id(db) if until is None else until
    for change in _changes(db.execute(_CHANGE + "WHERE entry_id <= ? ORDER BY id", (bound,))):
        present.put(*change[:4])
    return present


def changes_since(db: sqlite3.Connection, entry_id: int) -> Iterator[Change]:
    """Yield the changes of every entry after `entry_id`, oldest first."""
    return _changes(db.execute(_CHANGE + "WHERE entry_id > ? ORDER BY id", (entry_id,)))


def changes_of(db: sqlite3.Connection, entry_id: int) -> tuple[Change, ...]:
    """Return the changes of one entry."""
    return tuple(_changes(db.execute(_CHANGE + "WHERE entry_id = ? ORDER BY id", (entry_id,))))


def history(db: sqlite3.Connection, subject: str, key: str) -> list[tuple[int, Change]]:
    """Return every change of one thing with its entry's id, oldest first."""
    sql = _CHANGE.replace("SELECT", "SELECT entry_id,") + "WHERE subject = ? AND key = ? ORDER BY id"
    rows = db.execute(sql, (subject, key)).fetchall()
    return [(row[0], change) for row, change in zip(rows, _changes(row[1:] for row in rows), strict=True)]


def key_used(db: sqlite3.Connection, subject: str, key: str) -> bool:
    """Whether a thing ever had this key: keys are not given twice, so a history is one thing's."""
    sql = "SELECT 1 FROM change WHERE subject = ? AND key = ? LIMIT 1"
    return db.execute(sql, (subject, key)).fetchone() is not None


def entries(db: sqlite3.Connection, limit: int | None = None) -> list[Entry]:
    """Return entries, newest first."""
    rows = db.execute(_ENTRY + "ORDER BY entry.id DESC LIMIT ?", (-1 if limit is None else limit,))
    return [_entry(row) for row in rows]


def entry_by(db: sqlite3.Connection, when: datetime.datetime) -> int:
    """Return the id of the newest entry written by `when`, 0 when there is none."""
    at = when.astimezone(datetime.UTC).isoformat(timespec="milliseconds")
    return int(db.execute("SELECT ifnull(max(id), 0) FROM entry WHERE at <= ?", (at,)).fetchone()[0])


def born(db: sqlite3.Connection, subject: str) -> dict[str, int]:
    """Return the entry that first told of each thing of a subject, by its key."""
    sql = "SELECT key, min(entry_id) FROM change WHERE subject = ? GROUP BY key"
    return {str(key): int(number) for key, number in db.execute(sql, (subject,))}


def names(db: sqlite3.Connection, subject: str) -> dict[str, str]:
    """Return the last name of every thing of a subject that there ever was, by its key."""
    sql = (
        "SELECT key, value FROM change WHERE subject = ? AND field = 'name' AND value IS NOT NULL ORDER BY id"
    )
    return {str(key): str(json.loads(name)) for key, name in db.execute(sql, (subject,))}


def entry(db: sqlite3.Connection, entry_id: int) -> Entry | None:
    """Return one entry, or None."""
    row = db.execute(_ENTRY + "WHERE entry.id = ?", (entry_id,)).fetchone()
    return _entry(row) if row else None


def entries_where(db: sqlite3.Connection, condition: str, limit: int) -> list[Entry]:
    """Return the newest entries of which a condition holds, newest first; `later` is what took the entry back."""
    rows = db.execute(f"{_ENTRY}WHERE {condition} ORDER BY entry.id DESC LIMIT ?", (limit,))
    return [_entry(row) for row in rows]


def append(
    db: sqlite3.Connection,
    *,
    who: str,
    kind: str,
    note: str,
    changes: Iterable[Change],
    undoes: int | None = None,
) -> Entry:
    """Add one entry with its changes, bring the kept present along, and seal it."""
    seal = seals.newest(db)
    at = datetime.datetime.now(datetime.UTC).isoformat(timespec="milliseconds")
    sql = "INSERT INTO entry (at, who, kind, note, undoes) VALUES (?, ?, ?, ?, ?)"
    entry_id = db.execute(sql, (at, who, kind, note, undoes)).lastrowid
    rows = [(entry_id, c.subject, c.key, c.field, _json(c.value), _json(c.was)) for c in changes]
    db.executemany(
        "INSERT INTO change (entry_id, subject, key, field, value, was) VALUES (?, ?, ?, ?, ?, ?)", rows
    )
    new = db.execute(
        "INSERT OR IGNORE INTO thing (subject, key, born) "
        "SELECT subject, key, min(id) FROM change WHERE entry_id = ? GROUP BY subject, key "
        "RETURNING subject, key, born",
        (entry_id,),
    ).fetchall()
    if seal is not None:  # an unsealed entry is sealed when the season is next opened, see mend.py
        gained = sum(seals.thing_sum(*row) for row in new) + sum(_gained(db, row) for row in rows)
        number = int(entry_id or 0)
        sums = seal.ledger + seals.of_entry(db, number), seal.present + gained
        seals.write(db, [seals.Seal(number, *sums)])
    gone = [row[1:4] for row in rows if row[4] is None]
    kept = [(*row[1:5], entry_id) for row in rows if row[4] is not None]
    db.executemany("DELETE FROM present WHERE subject = ? AND key = ? AND field = ?", gone)
    db.executemany(
        "INSERT OR REPLACE INTO present (subject, key, field, value, entry_id) VALUES (?, ?, ?, ?, ?)", kept
    )
    return Entry(
        id=int(entry_id or 0),
        at=datetime.datetime.fromisoformat(at),
        who=who,
        kind=kind,
        note=note,
        undoes=undoes,
    )


def _gained(db: sqlite3.Connection, row: tuple[Any, ...]) -> int:
    """Return what the table `present` will count more for one change: its row in place of the one there."""
    entry_id, subject, key, field, value, was = row
    place = subject, key, field
    more = 0 if value is None else seals.value_sum(*place, value, entry_id)
    if was is None:
        return more
    sql = "SELECT entry_id FROM present WHERE subject = ? AND key = ? AND field = ?"
    held = db.execute(sql, place).fetchone() or (0,)
    return more - seals.value_sum(*place, was, held[0])


def _json(value: Any) -> str | None:
    return None if value is None else json.dumps(value, ensure_ascii=False, allow_nan=False)


def _changes(rows: Iterable[tuple[Any, ...]]) -> Iterator[Change]:
    for subject, key, field, value, was in rows:
        after = None if value is None else json.loads(value)
        yield Change(subject, key, field, after, None if was is None else json.loads(was))


def _entry(row: tuple[Any, ...]) -> Entry:
    number, at, who, kind, note, undoes, undone_by = row
    return Entry(
        id=number, at=datetime.datetime.fromisoformat(at), who=who, kind=kind, note=note, undoes=undoes,
        undone_by=undone_by,
    )  # fmt: skip
