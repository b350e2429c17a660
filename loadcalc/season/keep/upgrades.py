"""Bring a season file of an older form forward, with a copy of it made first."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from pathlib import Path

from loadcalc.season.file import schema, seals
from loadcalc.season.file.mend import prove
from loadcalc.season.keep.copies import keep_copy, take_back

_FIXED_VIEWS = ("history", "limits")


def bring_forward(db: sqlite3.Connection, path: Path) -> None:
    """Bring the open season file at `path` to today's form; the file as it was stays among the copies.

    Entries and changes are not touched. When anything is in the way, the file stays as it is, and no copy is left.

    Raises
    ------
    SeasonError when there is no room or right for the copy; DamagedFile when the file is not what it should be.
    """
    form = _form(db)
    if form == schema.SCHEMA_VERSION:
        return
    prove(db, path)
    copy = keep_copy(db, path.parent, f"form-{form}")
    try:
        db.execute("BEGIN IMMEDIATE")
        while (form := _form(db)) < schema.SCHEMA_VERSION:  # another kernel may have been quicker
            _STEPS.get(form, _new_views)(db)
            db.execute(f"PRAGMA user_version = {form + 1}")
        schema.refuse_other_layout(db, path)
        db.execute("COMMIT")
    except BaseException:
        if db.in_transaction:
            db.execute("ROLLBACK")
        take_back(copy)
        raise


def _form(db: sqlite3.Connection) -> int:
    return int(db.execute("PRAGMA user_version").fetchone()[0])


def _to_form_2(db: sqlite3.Connection) -> None:
    """Add the table that says when each thing was first told of, and today's views."""
    db.execute(schema.THING_TABLE)
    db.execute(
        "INSERT INTO thing (subject, key, born) SELECT subject, key, min(id) FROM change GROUP BY subject, key"
    )
    _new_views(db)


def _to_form_6(db: sqlite3.Connection) -> None:
    """Add the seals. The tables stay as they are: when they are not what is sealed, the opening mends and says it."""
    db.execute(schema.SEAL_TABLE)
    try:
        seals.write(db, seals.add_up(db).seals)
    except seals.Broken as broken:
        raise schema.DamagedFile(f"its ledger is damaged ({broken}): {schema.RESTORE}") from broken


def _new_views(db: sqlite3.Connection) -> None:
    """Put today's views in place of the old ones: they show what is kept, and hold nothing themselves."""
    for (name,) in db.execute("SELECT name FROM sqlite_master WHERE type = 'view'").fetchall():
        if name not in _FIXED_VIEWS:
            db.execute(f'DROP VIEW "{name}"')
    for statement in schema.views_of_today().values():
        db.execute(statement)


# from this form to the next, where that is more than further fields, which are in the views
_STEPS: dict[int, Callable[[sqlite3.Connection], None]] = {1: _to_form_2, 5: _to_form_6}
