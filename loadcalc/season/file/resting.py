"""Which entries of the ledger may be taken back, and what rests on the others. Plain SQL, no rules about loads.

Taking back is an entry too, so an entry, what took it back, what brought it again, and so on are one chain: it holds
as long as its chain has an odd length. Of a chain that began later and has an even length nothing is left.
"""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass

from loadcalc.season.file import ledger
from loadcalc.season.file.ledger import Entry

FIRST = "start"
UNDO, REDO = "undo", "redo"


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """One thing that was done, as the list of what can be taken back tells it.

    entry : the newest entry of its chain, which a new one would take back. note : what was done, as its first entry
    says it. holds : it is done now; else it was taken back, and would come again. rests_on_it : what was done later
    to the same values and still holds, newest first: while there is any, it stays.
    """

    entry: Entry
    note: str
    holds: bool
    rests_on_it: tuple[Entry, ...]


def newest(db: sqlite3.Connection, limit: int) -> list[Entry]:
    """Return the newest entries that nothing took back, newest first; the season's own start is none of them."""
    return ledger.entries_where(db, "entry.kind <> 'start' AND later.id IS NULL", limit)


def next_undo(db: sqlite3.Connection) -> Entry | None:
    """Return the newest entry that still holds and may be taken back, or None."""
    found = ledger.entries_where(db, "entry.kind NOT IN ('start', 'undo') AND later.id IS NULL", 1)
    return found[0] if found else None


def next_redo(db: sqlite3.Connection) -> Entry | None:
    """Return the newest entry that took something back, while nothing new was done since; else None."""
    undone = ledger.entries_where(db, "entry.kind = 'undo' AND later.id IS NULL", 1)
    done = ledger.entries_where(db, "entry.kind NOT IN ('undo', 'redo')", 1)
    return undone[0] if undone and done and undone[0].id > done[0].id else None


def standing(db: sqlite3.Connection, entry: Entry) -> Standing:
    """Return what an entry says of itself, and what rests on it."""
    return Standing(
        entry=entry,
        note=chain(db, entry)[-1].note,
        holds=entry.kind != UNDO,
        rests_on_it=rests_on(db, entry),
    )


def chain(db: sqlite3.Connection, entry: Entry) -> list[Entry]:
    """Return an entry, the one that it takes back, the one that this took back, and so on."""
    found = [entry]
    while found[-1].undoes is not None and (before := ledger.entry(db, found[-1].undoes)) is not None:
        found.append(before)
    return found


def rests_on(db: sqlite3.Connection, entry: Entry) -> tuple[Entry, ...]:
    """Return the later entries that changed what an entry changed and still hold, newest first.

    A field counts by itself; of a thing that came or went with the entry every field counts.
    """
    mine: dict[tuple[str, str], set[str]] = {}
    for change in ledger.changes_of(db, entry.id):
        mine.setdefault((change.subject, change.key), set()).add(change.field)
    came_or_went: dict[tuple[str, str], bool] = {}
    heads: dict[int, list[Entry]] = {}
    for number, subject, key, field in _later_touches(db, entry.id):
        thing = subject, key
        if thing not in came_or_went:
            came_or_went[thing] = _was_there(db, *thing, entry.id - 1) != _was_there(db, *thing, entry.id)
        later = ledger.entry(db, number)
        if later is not None and (field in mine[thing] or came_or_went[thing]):
            links = chain(db, later)
            known = heads.setdefault(links[-1].id, [])
            if later not in known:
                known.append(later)
    left = [max(links, key=lambda one: one.id) for links in heads.values() if len(links) % 2]
    return tuple(sorted(left, key=lambda one: one.id, reverse=True))


def _later_touches(db: sqlite3.Connection, entry_id: int) -> list[tuple[int, str, str, str]]:
    """Return (entry, subject, key, field) of every later change of the things that an entry changed."""
    sql = (
        "SELECT DISTINCT later.entry_id, later.subject, later.key, later.field FROM "
        "(SELECT DISTINCT subject, key FROM change WHERE entry_id = ?) AS mine "
        "JOIN change AS later ON later.subject = mine.subject AND later.key = mine.key AND later.entry_id > ?"
    )
    return db.execute(sql, (entry_id, entry_id)).fetchall()


def _was_there(db: sqlite3.Connection, subject: str, key: str, until: int) -> bool:
    """Whether there was such a thing once the entry `until` was written."""
    fields = {
        change.field: change.value
        for number, change in ledger.history(db, subject, key)
        if number <= until
    }
    return any(value is not None for value in fields.values())
