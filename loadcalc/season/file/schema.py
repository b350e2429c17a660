"""The season file: its tables, how it is opened, and how SQLite's complaints are put into words.

Form 1 had views for what was kept then. Form 2 has one for each subject of today (trips, weigh-ins, events, the
parts of carrier and trailer, and so on), and the table `thing`. Form 3 has the curb mass's doubt and a tick for pads
on a weigh-in, form 4 the tires' pressures on the road, form 5 a mark of fuel or gas on a can, form 6 the seals by which
damage is told, form 7 a trailer's second axle, form 8 the style of the body and which part of it a seat or zone is:
measures that nobody entered are assumed from these. Entries and changes are the same in all. A further subject or field
is a further form: a new number here, and a line in :mod:`loadcalc.season.keep.upgrades`.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from functools import cache
from pathlib import Path
from threading import Lock
from weakref import WeakSet

from loadcalc.model.errors import LoadcalcError, SeasonError
from loadcalc.season.file.fields import FIELDS

FILE = "season.db"
APPLICATION_ID = 0x4C43414C  # "LCAL" in the file's header: tells a season from any other SQLite file
SCHEMA_VERSION = 8
BUSY_S = 5.0
# the two cures; which copies there are is for whoever opens the folder to say
RESTORE = "rebuild it from its ledger (rebuild_season), or restore the folder from a copy (restore_season)"
_MAGIC = b"SQLite format 3\x00"
_MODES = (b"\x01\x01\x00@  ", b"\x02\x02\x00@  ")  # bytes 18 to 23: how it is written (sqlite.org/fileformat2.html 1.3)

_TABLES = """
CREATE TABLE entry (
    id INTEGER PRIMARY KEY,
    at TEXT NOT NULL,                                  -- UTC, ISO 8601
    who TEXT NOT NULL,
    kind TEXT NOT NULL,                                -- start, edit, import, undo, weigh-in, trip, ...
    note TEXT NOT NULL,
    undoes INTEGER UNIQUE REFERENCES entry (id)
);
CREATE TABLE change (
    id INTEGER PRIMARY KEY,
    entry_id INTEGER NOT NULL REFERENCES entry (id),
    subject TEXT NOT NULL,
    key TEXT NOT NULL,
    field TEXT NOT NULL,
    value TEXT,                                        -- JSON, SI; NULL: taken away
    was TEXT,                                          -- JSON before this entry; NULL: was not there
    CHECK (value IS NOT was)
);
CREATE INDEX change_entry ON change (entry_id);
CREATE INDEX change_thing ON change (subject, key, id);
CREATE TABLE present (                                 -- what the changes add up to, kept in step
    subject TEXT NOT NULL,
    key TEXT NOT NULL,
    field TEXT NOT NULL,
    value TEXT NOT NULL,
    entry_id INTEGER NOT NULL REFERENCES entry (id),
    PRIMARY KEY (subject, key, field)
) WITHOUT ROWID;
{thing};
{seal};
CREATE VIEW history AS
    SELECT change.id, at, who, kind, note, subject, key, field, was, value, entry_id
    FROM change JOIN entry ON entry.id = entry_id ORDER BY change.id;
CREATE VIEW limits AS
    SELECT subject, key,
        max(CASE field WHEN 'limit_kg' THEN json_extract(value, '$') END) AS limit_kg,
        max(CASE field WHEN 'read_at' THEN json_extract(value, '$') END) AS read_at
    FROM present WHERE subject IN ('limit', 'zone') GROUP BY subject, key;
"""

# Which change first told of each thing: the order of every list. Kept, because finding it anew among the changes
# of ten years takes most of a second.
THING_TABLE = """
CREATE TABLE thing (
    subject TEXT NOT NULL,
    key TEXT NOT NULL,
    born INTEGER NOT NULL REFERENCES change (id),
    PRIMARY KEY (subject, key)
) WITHOUT ROWID"""

# What damage is told by, see loadcalc/season/file/seals.py.
SEAL_TABLE = """
CREATE TABLE seal (
    entry_id INTEGER PRIMARY KEY REFERENCES entry (id),
    ledger INTEGER NOT NULL,                           -- sum over every row of the ledger up to this entry
    present INTEGER NOT NULL,                          -- sum over every row of present and thing after it
    own INTEGER NOT NULL                               -- of these three numbers
)"""

# The same three refusals for both ledger tables. The one on INSERT stops INSERT OR REPLACE, which would
# delete the old row without asking the trigger on DELETE.
_GUARD = """
CREATE TRIGGER {table}_no_update BEFORE UPDATE ON {table} BEGIN SELECT RAISE(ABORT, '{why}'); END;
CREATE TRIGGER {table}_no_delete BEFORE DELETE ON {table} BEGIN SELECT RAISE(ABORT, '{why}'); END;
CREATE TRIGGER {table}_no_replace BEFORE INSERT ON {table}
    WHEN EXISTS (SELECT 1 FROM {table} WHERE {same}) BEGIN SELECT RAISE(ABORT, '{why}'); END;
"""
_SAME = {"entry": "id = NEW.id OR undoes = NEW.undoes", "change": "id = NEW.id"}
_WHY = "the ledger is append-only: correct it with a new entry"
_TABLE_NAMES = {
    "item": "gear", "occupant": "people", "stowed": "aboard_gear", "filled": "aboard_liquids",
    "riding": "aboard_people",
}  # fmt: skip

_CURES = {
    "SQLITE_FULL": "the disk is full, and the edit was not kept: make room, then repeat it",
    "SQLITE_READONLY": "it cannot be written to: copy the folder to a place of your own and open that",
    "SQLITE_CANTOPEN": "it cannot be opened for writing: keep the folder on this computer's own disk",
    "SQLITE_BUSY": f"another notebook wrote for over {BUSY_S:g} s, and the edit was not kept: try again",
    "SQLITE_CORRUPT": f"it is damaged or cut short: {RESTORE}",
    "SQLITE_NOTADB": f"it is not a season file, or it is damaged: {RESTORE}",
    "SQLITE_SCHEMA": f"its layout is damaged: {RESTORE}",
    "SQLITE_ERROR": f"its layout is damaged: {RESTORE}",
    "SQLITE_MISMATCH": f"it is damaged: {RESTORE}",
    "SQLITE_IOERR": "the disk failed, and the edit was not kept: check the disk, then open the season again",
}


class DamagedFile(SeasonError):
    """What stands in the season file's place is damaged, or was never a season."""


def create(path: Path) -> sqlite3.Connection:
    """Make a new season file at `path` (an empty file or none yet), and return the open connection."""
    db = sqlite3.connect(path, isolation_level=None, check_same_thread=False)
    lay_out(db)
    return db


def lay_out(db: sqlite3.Connection) -> None:
    """Make today's tables, guards, and views in an empty file."""
    db.execute("PRAGMA synchronous = FULL")
    db.execute("PRAGMA foreign_keys = ON")
    guards = "".join(_GUARD.format(table=table, same=same, why=_WHY) for table, same in _SAME.items())
    views = "".join(f"{view};" for view in views_of_today().values())
    stamps = f"PRAGMA application_id = {APPLICATION_ID}; PRAGMA user_version = {SCHEMA_VERSION};"
    tables = _TABLES.format(thing=THING_TABLE, seal=SEAL_TABLE)
    db.executescript(f"BEGIN; {tables} {guards} {views} {stamps} COMMIT;")


def refuse_other_layout(db: sqlite3.Connection, path: Path) -> None:
    """Raise DamagedFile when a table, guard, or view of today's form is missing or reads otherwise."""
    found = _layout(db)
    for (kind, name), sql in _layout_of_today().items():
        if found.get((kind, name)) != sql:
            raise DamagedFile(f"{path} is damaged (the {kind} {name} is not what it was): {RESTORE}")


@cache
def _layout_of_today() -> dict[tuple[str, str], str]:
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as db:
        lay_out(db)
        return _layout(db)


def _layout(db: sqlite3.Connection) -> dict[tuple[str, str], str]:
    """Return the statement that made each part of a file, its spaces evened."""
    rows = db.execute("SELECT type, name, sql FROM sqlite_master WHERE sql IS NOT NULL")
    return {(kind, name): " ".join(sql.split()) for kind, name, sql in rows}


def table_name(subject: str) -> str:
    """Return what a subject's table is called: its view, its file, its sheet."""
    return _TABLE_NAMES.get(subject, f"{subject}s")


def views_of_today() -> dict[str, str]:
    """Return the statement that makes each subject's view, by the view's name.

    The view "limits" is one of the fixed ones: it shows the zones' limits too.
    """
    return {
        table_name(subject): _view(table_name(subject), subject, fields)
        for subject, fields in FIELDS.items()
        if subject != "limit"
    }


def _view(view: str, subject: str, fields: dict[str, str]) -> str:
    """A view for people who look with a general SQLite browser: one row a thing, one column a field."""
    pick = "max(CASE field WHEN '{0}' THEN json_extract(value, '$') END) AS \"{0}\""
    columns = ", ".join(pick.format(field) for field in fields)
    return (
        f"CREATE VIEW {view} AS SELECT key, {columns} FROM present WHERE subject = '{subject}' GROUP BY key"
    )


class _Connection(sqlite3.Connection):
    """A connection that is known to be open, so that nobody in this process reads its file by other means.

    The system drops all locks of a process on a file when any part of the process closes it (POSIX advisory locks;
    sqlite.org/howtocorrupt.html 2.2, from memory). Another process would then take the season for its own, clear
    its log away, and what is written here would be lost.
    """

    def opened(self, path: Path) -> None:
        """Note which file this is."""
        self._file = _identity(path)
        _OPEN.setdefault(self._file, WeakSet()).add(self)

    def close(self) -> None:
        """Close the file."""
        super().close()
        _OPEN.get(self._file, WeakSet()).discard(self)


_OPEN: dict[tuple[int, int], WeakSet[_Connection]] = {}
_LOOKING = Lock()


def _identity(path: Path) -> tuple[int, int]:
    found = path.stat()
    return found.st_dev, found.st_ino


def connect(folder: Path, bring_forward: Callable[[sqlite3.Connection, Path], None]) -> sqlite3.Connection:
    """Open the season file in `folder`.

    Parameters
    ----------
    folder : the season's folder.
    bring_forward : what brings a file of an older form forward, see :mod:`loadcalc.season.keep.upgrades`.

    Raises
    ------
    SeasonError, with the cure, and touches nothing, when there is no folder, no season file, a file that is no
    season, one that is damaged or newer than this program, or no right to write.
    """
    path = folder / FILE
    with _LOOKING:
        _look(folder, path)
        with in_words(path):
            db = sqlite3.connect(
                path, timeout=BUSY_S, isolation_level=None, check_same_thread=False, factory=_Connection
            )
        db.opened(path)
    try:
        with in_words(path):
            _refuse(db, path)
            bring_forward(db, path)
            refuse_other_layout(db, path)
            _careful(db, path)
    except BaseException:
        db.close()
        raise
    return db


def _look(folder: Path, path: Path) -> None:
    """Refuse what can be seen without SQLite, which would write beside the file."""
    if not folder.is_dir():
        raise SeasonError(
            f"there is no folder {folder}: check the name, or start a season there with start_season"
        )
    if not path.is_file():
        raise SeasonError(
            f"{folder} holds no {FILE}: start a season there with start_season, or open another folder"
        )
    if not _OPEN.get(_identity(path)):
        _look_inside(path)
    if not (os.access(path, os.W_OK) and os.access(folder, os.W_OK)):
        raise SeasonError(f"{folder} is read-only: copy the folder to a place of your own and open that")


def _look_inside(path: Path) -> None:
    """Refuse what the first bytes tell. Not for a file that this process has open, see _Connection."""
    try:
        with path.open("rb") as file:
            header = file.read(100)
    except OSError as error:
        raise SeasonError(
            f"{path} cannot be read ({error.strerror}): ask its owner, or open another folder"
        ) from error
    if len(header) < 100:
        raise DamagedFile(f"{path} is empty or cut short: {RESTORE}")
    if not header.startswith(_MAGIC) or int.from_bytes(header[68:72], "big") != APPLICATION_ID:
        raise DamagedFile(
            f"{path} is not a season file: open another folder, or move that file away and start_season"
        )
    if header[18:24] not in _MODES:
        raise DamagedFile(f"{path} is damaged (its first bytes): {RESTORE}")


def _refuse(db: sqlite3.Connection, path: Path) -> None:
    """Refuse what SQLite can see without writing."""
    refuse_form(db, path)
    refuse_damaged(db, path)


def refuse_form(db: sqlite3.Connection, path: Path) -> None:
    """Raise SeasonError when an open file is of a newer program, DamagedFile when its form can't be right."""
    form = db.execute("PRAGMA user_version").fetchone()[0]
    if form > SCHEMA_VERSION and _layout(db) == _layout_of_today():
        raise DamagedFile(f"{path} is damaged (its form reads {form}): {RESTORE}")
    if form > SCHEMA_VERSION:
        raise SeasonError(
            f"{path} was written by a newer program (form {form}; this one knows {SCHEMA_VERSION}): "
            "update the program, then open it again"
        )
    if form < 1:
        raise DamagedFile(f"{path} has form {form}, which no program ever wrote: {RESTORE}")


def refuse_older_program(db: sqlite3.Connection, path: Path) -> None:
    """Raise SeasonError when the file was brought to another form since it was opened: then nobody may write."""
    if db.execute("PRAGMA user_version").fetchone()[0] != SCHEMA_VERSION:
        raise SeasonError(
            f"{path}: this page is older than the season, and the edit was not kept: close the workbook, start it "
            "again, and repeat the edit"
        )


def _careful(db: sqlite3.Connection, path: Path) -> None:
    """Have SQLite keep every edit the careful way."""
    db.execute("PRAGMA foreign_keys = ON")
    db.execute("PRAGMA synchronous = FULL")  # an edit that was confirmed must outlive a power cut
    if db.execute("PRAGMA journal_mode = WAL").fetchone()[0] != "wal":
        raise SeasonError(f"{path} can't be shared on this disk: keep the folder on this computer's own disk")


def refuse_damaged(db: sqlite3.Connection, path: Path) -> None:
    """Raise DamagedFile when SQLite finds damage in an open file."""
    damage = db.execute("PRAGMA integrity_check(1)").fetchone()[0]
    if damage != "ok":
        raise DamagedFile(f"{path} is damaged ({damage}): {RESTORE}")


@contextmanager
def in_words(path: Path) -> Iterator[None]:
    """Turn SQLite's errors into a SeasonError that says what to do, and what can't be read into DamagedFile."""
    try:
        yield
    except LoadcalcError:
        raise
    except (ValueError, TypeError, KeyError, OverflowError) as error:  # what a sound file never holds
        raise DamagedFile(f"{path} is damaged ({error}): {RESTORE}") from error
    except sqlite3.Error as error:
        if str(error).startswith("Could not decode"):  # Python's, so that it has no name
            raise DamagedFile(f"{path} is damaged ({error}): {RESTORE}") from error
        name = getattr(error, "sqlite_errorname", None) or ""
        cure = next((text for code, text in _CURES.items() if name.startswith(code)), None)
        kind = DamagedFile if cure and cure.endswith(RESTORE) else SeasonError
        raise kind(f"{path}: {cure or f'SQLite says {str(error)!r}; open the season again'}") from error
