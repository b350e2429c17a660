"""Seals: sums kept with each entry, by which damage is told that SQLite doesn't see.

A seal holds the sum of the CRC-32 of every row of the ledger up to its entry, and the same of the rows that these
add up to (the tables `present` and `thing`). CRC-32 tells any one damaged stretch of up to 32 bits for certain, and
misses one in 2**32 of the others (textbook, from memory). It tells damage; whoever wants to forge can seal anew.
"""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from dataclasses import dataclass, field
from typing import NamedTuple
from zlib import crc32

# quote() tells text from bytes and from nothing, so that a damaged type counts too
_ENTRY_ROWS = (
    "SELECT id, CAST(id || quote(at) || quote(who) || quote(kind) || quote(note) || quote(undoes) AS BLOB) FROM entry"
)
_ROW = (
    "CAST(id || ' ' || entry_id || quote(subject) || quote(key) || quote(field) || quote(value) || quote(was) AS BLOB)"
)
_CHANGE_ROWS = f"SELECT entry_id, {_ROW} FROM change"
_OF_ONE = f"{_ENTRY_ROWS} WHERE id = ?1 UNION ALL {_CHANGE_ROWS} WHERE entry_id = ?1"


class Broken(Exception):
    """A change that does not follow from the ones before it: its id, its entry's id, and its place."""

    def __init__(self, change: int, entry: int, place: tuple[str, str, str]) -> None:
        self.change, self.entry, self.place = change, entry, place
        super().__init__(f"change {change} of entry {entry} does not follow from the ones before it")


class Seal(NamedTuple):
    """The sums up to and with one entry."""

    entry_id: int
    ledger: int
    present: int

    @property
    def own(self) -> int:
        """What the seal itself is told by."""
        return crc32(f"{self.entry_id} {self.ledger} {self.present}".encode())


@dataclass(slots=True)
class Sum:
    """What a ledger adds up to.

    now : (subject, key, field) -> (value as JSON, entry); born : (subject, key) -> first change; seals : one an entry.
    """

    now: dict[tuple[str, str, str], tuple[str, int]] = field(default_factory=dict)
    born: dict[tuple[str, str], int] = field(default_factory=dict)
    seals: list[Seal] = field(default_factory=list)


def value_sum(subject: str, key: str, name: str, value: str, entry_id: int) -> int:
    """Return what one row of `present` counts."""
    return crc32(f"{subject}\x1f{key}\x1f{name}\x1f{value}\x1f{entry_id}".encode())


def thing_sum(subject: str, key: str, born: int) -> int:
    """Return what one row of `thing` counts."""
    return crc32(f"{subject}\x1f{key}\x1f{born}".encode())


def newest(db: sqlite3.Connection) -> Seal | None:
    """Return the newest entry's seal; one of nothing when there is no entry; None when it is missing or damaged."""
    (last,) = db.execute("SELECT ifnull(max(id), 0) FROM entry").fetchone()
    return _sound(db, "WHERE entry_id = ?", last).get(last) if last else Seal(0, 0, 0)


def write(db: sqlite3.Connection, seals: list[Seal]) -> None:
    """Write seals."""
    rows = [(*seal, seal.own) for seal in seals]
    db.executemany("INSERT INTO seal (entry_id, ledger, present, own) VALUES (?, ?, ?, ?)", rows)


def of_entry(db: sqlite3.Connection, entry_id: int) -> int:
    """Return what the rows of one entry count."""
    return sum(crc32(row) for _, row in db.execute(_OF_ONE, (entry_id,)))


def intact(db: sqlite3.Connection, present: int) -> bool:
    """Whether the ledger is what was sealed, and `present` what its tables should count."""
    seals = _sound(db)
    if len(seals) != db.execute("SELECT count(*) FROM entry").fetchone()[0]:
        return False
    last = max(seals.values(), default=Seal(0, 0, 0))
    return (last.ledger, last.present) == (_count(db), present)


def damaged(db: sqlite3.Connection) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Return the entries that are not what was sealed, and the newest ones that have no sound seal."""
    counts = _counts(db)
    seals = _sound(db)
    found: list[int] = []
    group: list[int] = []
    before = 0
    for number in sorted({*counts, *seals}):
        group.append(number)
        if number in seals:
            if before + sum(counts.get(one, 0) for one in group) != seals[number].ledger:
                found += group
            before, group = seals[number].ledger, []
    return tuple(found), tuple(group)


def add_up(db: sqlite3.Connection) -> Sum:
    """Add the ledger up, with the seals that belong to it. Raises Broken when its changes don't follow."""
    found = Sum()
    ledger = {number: crc32(row) for number, row in db.execute(_ENTRY_ROWS)}
    gained: dict[int, int] = defaultdict(int)
    last = 0
    sql = f"SELECT id, entry_id, subject, key, field, value, was, {_ROW} FROM change ORDER BY id"
    for number, entry_id, subject, key, name, value, was, row in db.execute(sql):
        place = subject, key, name
        before = found.now.pop(place, None)
        if was != (before and before[0]) or entry_id < last or entry_id not in ledger:
            raise Broken(number, entry_id, place)
        last = entry_id
        ledger[entry_id] += crc32(row)
        if before:
            gained[entry_id] -= value_sum(*place, *before)
        if value is not None:
            found.now[place] = value, entry_id
            gained[entry_id] += value_sum(*place, value, entry_id)
        if (subject, key) not in found.born:
            found.born[subject, key] = number
            gained[entry_id] += thing_sum(subject, key, number)
    seal = Seal(0, 0, 0)
    for entry_id in sorted(ledger):
        seal = Seal(entry_id, seal.ledger + ledger[entry_id], seal.present + gained[entry_id])
        found.seals.append(seal)
    return found


def settle(db: sqlite3.Connection, found: Sum) -> None:
    """Write all that is derived from the ledger anew. The caller holds a transaction."""
    for table in ("present", "thing", "seal"):
        db.execute(f"DELETE FROM {table}")
    rows = ((*place, *held) for place, held in found.now.items())
    db.executemany("INSERT INTO present (subject, key, field, value, entry_id) VALUES (?, ?, ?, ?, ?)", rows)
    things = ((*thing, number) for thing, number in found.born.items())
    db.executemany("INSERT INTO thing (subject, key, born) VALUES (?, ?, ?)", things)
    write(db, found.seals)


def _sound(db: sqlite3.Connection, which: str = "", *number: int) -> dict[int, Seal]:
    rows = db.execute(f"SELECT entry_id, ledger, present, own FROM seal {which}", number)
    return {row[0]: seal for row in rows if (seal := Seal(*row[:3])).own == row[3]}


def _count(db: sqlite3.Connection) -> int:
    return sum([crc32(row) for sql in (_ENTRY_ROWS, _CHANGE_ROWS) for _, row in db.execute(sql)])


def _counts(db: sqlite3.Connection) -> dict[int, int]:
    counts: dict[int, int] = defaultdict(int)
    for sql in (_ENTRY_ROWS, _CHANGE_ROWS):
        for number, row in db.execute(sql):
            counts[number] += crc32(row)
    return counts
