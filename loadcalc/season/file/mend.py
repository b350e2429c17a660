"""Mend a season file: write anew what is derived from its ledger, or the whole file from a ledger that is proven."""

from __future__ import annotations

import datetime
import json
import sqlite3
from collections.abc import Iterable
from contextlib import closing
from pathlib import Path

from loadcalc.model.errors import SeasonError
from loadcalc.season.file import ledger, schema, seals
from loadcalc.season.file.seals import Sum

_MOST_NAMED = 3
_PLAIN = """
CREATE TABLE entry (id INTEGER PRIMARY KEY, at, who, kind, note, undoes);
CREATE TABLE change (id INTEGER PRIMARY KEY, entry_id, subject, key, field, value, was);
CREATE TABLE seal (entry_id INTEGER PRIMARY KEY, ledger, present, own);
CREATE INDEX change_entry ON change (entry_id);
"""  # what takes anything that can still be read
_COLUMNS = {
    "entry": "id, at, who, kind, note, undoes",
    "change": "id, entry_id, subject, key, field, value, was",
    "seal": "entry_id, ledger, present, own",
}
_NUMBERS = {"entry": 1, "change": 2, "seal": 4}  # how many of the columns are whole numbers
_TEXTS = ("subject", "key", "field", "ifnull(value, '')", "ifnull(was, '')")
_ODD = " OR ".join(f"typeof({text}) != 'text'" for text in _TEXTS)
_OF = {"entry": "id", "change": "entry_id", "seal": "entry_id"}


def prove(db: sqlite3.Connection, path: Path) -> Sum:
    """Return what the ledger of an open file adds up to.

    Parameters
    ----------
    db : the file, of any form; :func:`loadcalc.season.file.schema.refuse_damaged` has passed it.
    path : where it is, for the message.

    Raises
    ------
    DamagedFile, naming the entries, when the ledger is not what was sealed or does not follow.
    """
    with schema.in_words(path):
        damaged, unsealed = seals.damaged(db) if _has(db, "seal") else ((), ())
        if damaged:
            raise schema.DamagedFile(f"{path} is damaged ({_named(damaged)} not what was written): {schema.RESTORE}")
        try:
            found = seals.add_up(db)
        except seals.Broken as broken:
            raise schema.DamagedFile(f"{path} is damaged ({broken}): {schema.RESTORE}") from broken
        if not _has(db, "seal") or not _sealed(db):
            _read_all(db)
        if unsealed and found.seals[-1].present != (ledger.load(db).total if _has(db, "present") else None):
            raise schema.DamagedFile(f"{path} is damaged ({_named(unsealed)} not proven): {schema.RESTORE}")
        return found


def _read_all(db: sqlite3.Connection) -> None:
    """Raise ValueError when something can't be read: in a file of an older form no seal tells it."""
    odd = db.execute(f"SELECT id FROM change WHERE {_ODD}").fetchone()
    if odd:
        raise ValueError(f"change {odd[0]} is not text")
    for (text,) in db.execute("SELECT DISTINCT value FROM change WHERE value IS NOT NULL"):
        json.loads(text)
    for (at,) in db.execute("SELECT at FROM entry"):
        datetime.datetime.fromisoformat(at)


def mend(db: sqlite3.Connection, path: Path) -> str:
    """Write the tables that are derived from the ledger anew, and return a line for people.

    Parameters
    ----------
    db : the open file, in no transaction.
    path : where it is, for the message.

    Raises
    ------
    DamagedFile when the ledger itself is damaged; then nothing is changed.
    """
    db.execute("BEGIN IMMEDIATE")
    try:
        found = prove(db, path)
        wrong = _wrong(db, found)
        seals.settle(db, found)
        db.execute("COMMIT")
    except BaseException:
        db.execute("ROLLBACK")
        raise
    if not wrong:
        return "A part of the season's file was damaged, and was written anew from its ledger: no value differed."
    named = "; ".join(wrong[:_MOST_NAMED]) + ("; …" if len(wrong) > _MOST_NAMED else "")
    count = "1 value was" if len(wrong) == 1 else f"{len(wrong)} values were"
    return f"The season's file was damaged: {count} not what the ledger says, and was put right from it ({named})."


def _wrong(db: sqlite3.Connection, found: Sum) -> list[str]:
    """Return what the kept present has otherwise than the ledger, in words."""
    sql = "SELECT {0}subject{1}, {0}key{1}, {0}field{1}, {0}value{1} FROM present".format("CAST(", " AS BLOB)")
    read = {tuple(row[:3]): row[3] for row in db.execute(sql)}
    wrong = []
    for place, (value, _) in found.now.items():
        if read.pop(tuple(part.encode() for part in place), None) != value.encode():
            wrong.append(f"{' '.join(place)} is {value}")
    return wrong + [" ".join(part.decode("utf-8", "replace") for part in place) + " is not there" for place in read]


def _named(entries: tuple[int, ...]) -> str:
    """Name entries in a sentence: "entry 7 is", "entries 7, 8 are"."""
    if len(entries) == 1:
        return f"entry {entries[0]} is"
    more = ", …" if len(entries) > _MOST_NAMED else ""
    return f"entries {', '.join(map(str, entries[:_MOST_NAMED]))}{more} are"


def _has(db: sqlite3.Connection, table: str) -> bool:
    sql = "SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = ?"
    return db.execute(sql, (table,)).fetchone() is not None


def open_whole(path: Path, *, thorough: bool = True) -> sqlite3.Connection:
    """Open a season file that nobody writes to, for reading.

    Parameters
    ----------
    path : the file.
    thorough : whether its ledger is proven, which takes a moment for a long season.

    Raises
    ------
    SeasonError when it is newer than this program; DamagedFile when it is no season or damaged.
    """
    with schema.in_words(path):
        db = sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro&immutable=1", uri=True, isolation_level=None)
        try:
            if db.execute("PRAGMA application_id").fetchone()[0] != schema.APPLICATION_ID:
                raise schema.DamagedFile(f"{path} is not a season file: choose another copy")
            schema.refuse_form(db, path)
            if thorough:
                schema.refuse_damaged(db, path)
                prove(db, path)
        except BaseException:
            db.close()
            raise
    return db


def gather(path: Path, copies: Iterable[Path]) -> sqlite3.Connection:
    """Return the ledger of a damaged file in a database in memory, with what is damaged taken from copies.

    Parameters
    ----------
    path : the damaged file; it is only read.
    copies : copies of the same season, the newest first; what isn't proven among them is passed over.

    Raises
    ------
    DamagedFile, naming the entries, when no copy holds what is damaged.
    """
    found = sqlite3.connect(":memory:", isolation_level=None)
    try:
        found.executescript(_PLAIN)
        with schema.in_words(path), closing(sqlite3.connect(path, isolation_level=None)) as db:
            whole = _take_what_is_there(db, found)
        for copy in copies:
            if lacking := (*(parts := seals.damaged(found))[0], *parts[1]):
                _take_from(copy, found, lacking)
        if not found.execute("SELECT count(*) FROM entry").fetchone()[0] or not (whole or _sealed(found)):
            raise schema.DamagedFile(f"{path} is damaged, and can't be told from itself what it held: {schema.RESTORE}")
        prove(found, path)
    except BaseException:
        found.close()
        raise
    return found


def _sealed(found: sqlite3.Connection) -> bool:
    return seals.newest(found) is not None


def _take_what_is_there(db: sqlite3.Connection, found: sqlite3.Connection) -> bool:
    """Take every row that can be read, from the front up to the damage and then from the back; whether all could."""
    db.text_factory = lambda text: text.decode("utf-8", "replace")
    db.execute("PRAGMA writable_schema = ON")  # so that a damaged view doesn't hide the tables
    whole = True
    for table, columns in _COLUMNS.items():
        marks = ", ".join("?" * len(columns.split(",")))
        for order in ("", "DESC"):
            try:
                for row in db.execute(f"SELECT {columns} FROM {table} ORDER BY 1 {order}"):
                    if all(isinstance(part, int) for part in row[: _NUMBERS[table]]):
                        found.execute(f"INSERT OR IGNORE INTO {table} VALUES ({marks})", row)
                break
            except sqlite3.Error:
                whole = False
    rows = found.execute("SELECT entry_id, ledger, present, own FROM seal").fetchall()
    unsound = [(row[0],) for row in rows if seals.Seal(*row[:3]).own != row[3]]
    found.executemany("DELETE FROM seal WHERE entry_id = ?", unsound)
    return whole


def _take_from(copy: Path, found: sqlite3.Connection, entries: Iterable[int]) -> None:
    """Put a copy's rows of some entries in the place of those that were found, when the copy is proven."""
    try:
        db = open_whole(copy)
    except SeasonError:
        return
    with closing(db):
        tables = [table for table in _COLUMNS if _has(db, table)]
        for number in entries:
            if not db.execute("SELECT 1 FROM entry WHERE id = ?", (number,)).fetchone():
                continue
            for table in tables:
                if table != "seal":
                    found.execute(f"DELETE FROM {table} WHERE {_OF[table]} = ?", (number,))
                sql = f"SELECT {_COLUMNS[table]} FROM {table} WHERE {_OF[table]} = ?"
                rows = db.execute(sql, (number,)).fetchall()
                marks = ", ".join("?" * len(_COLUMNS[table].split(",")))
                found.executemany(f"INSERT OR IGNORE INTO {table} VALUES ({marks})", rows)


def write_new(part: Path, db: sqlite3.Connection) -> None:
    """Fill an empty file with a season of today's form, out of a ledger that is proven.

    Parameters
    ----------
    part : the empty file; it is left closed.
    db : holds the ledger.
    """
    with schema.in_words(part), closing(schema.create(part)) as new:
        new.execute("BEGIN")
        for table in ("entry", "change"):
            marks = ", ".join("?" * len(_COLUMNS[table].split(",")))
            rows = db.execute(f"SELECT {_COLUMNS[table]} FROM {table} ORDER BY 1")
            new.executemany(f"INSERT INTO {table} ({_COLUMNS[table]}) VALUES ({marks})", rows)
        seals.settle(new, prove(db, part))
        new.execute("COMMIT")
        new.execute("PRAGMA journal_mode = WAL")
