"""Copies of a season kept beside its file: one a day, and one before anything drastic. Restore one of them.

They stand in the folder `copies`, each a season file of its own, made through SQLite's backup: whole, whoever is
writing at that moment. A day's copy is made when the season is first opened or edited that day, unless nothing
was written since the last one.
"""

from __future__ import annotations

import contextlib
import datetime
import json
import re
import sqlite3
from collections import Counter
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from loadcalc.model.errors import NotFound, SeasonError
from loadcalc.season.edit.book import Book
from loadcalc.season.file import ledger, schema
from loadcalc.season.file.ledger import Entry
from loadcalc.season.file.mend import open_whole, prove
from loadcalc.season.file.parts import give_name, part_file

FOLDER = "copies"
MOST_DAILY = 14
CLOCK_BEHIND = datetime.timedelta(hours=1)  # a clock that is set right by some minutes is no news
CLOCK_AHEAD = datetime.timedelta(days=400)  # a crew's winter is shorter
DAILY = "daily"
BEFORE_RESTORE = "before-restore"
BY_HAND = "by-hand"
_NAME = re.compile(r"season-(\d{4}-\d\d-\d\d)(?:T(\d{6}(?:-\d+)?)-([a-z0-9-]+))?\.db")
_NO_ROOM = "no copy of {path} could be made ({why}): make room on the disk, or free the folder {folder}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Copy:
    """One copy.

    name : of its file; day : when it was made, by the clock of then; why : "daily", "before-restore", "form-1".
    entry : the newest entry in it, 0 when that can't be read.
    """

    path: Path
    day: datetime.date
    why: str
    entry: int = 0

    @property
    def name(self) -> str:
        """Its file's name, by which it is chosen."""
        return self.path.name


@dataclass(frozen=True, slots=True, kw_only=True)
class Inside:
    """What a copy holds: how many entries, and the newest of them."""

    entries: int
    newest: Entry


def copies(folder: Path) -> tuple[Copy, ...]:
    """Return the copies in a season's folder, newest first; what else lies there is left alone.

    Newest is what holds the newest entry: the clock may have been wrong when a copy was made.
    """
    found = []
    for path in (folder / FOLDER).glob("season-*.db"):
        read = _NAME.fullmatch(path.name)
        with contextlib.suppress(ValueError, FileNotFoundError):  # a day that never was, or just cleared away
            if read:
                day = datetime.date.fromisoformat(read[1])
                entry = _newest_entry(path)
                order = entry, day, path.stat().st_mtime_ns, read[2] or ""
                found.append((order, Copy(path=path, day=day, why=read[3] or DAILY, entry=entry)))
    return tuple(copy for _, copy in sorted(found, key=lambda pair: pair[0], reverse=True))


def _newest_entry(path: Path) -> int:
    try:
        with schema.in_words(path), closing(open_whole(path, thorough=False)) as db:
            return ledger.last_id(db)
    except SeasonError:
        return 0


def find_copy(folder: Path, name: str = "") -> Copy:
    """Return the copy of that name, or the newest. Raises NotFound with the names that there are."""
    known = copies(folder)
    for copy in known:
        if name in ("", copy.name):
            return copy
    raise NotFound("copy of the season", name, tuple(copy.name for copy in known))


def look_into(copy: Copy, *, thorough: bool = True) -> Inside:
    """Return what a copy holds.

    Parameters
    ----------
    copy : one of :func:`copies`.
    thorough : whether all of it is searched for damage, which takes a moment for a long season; else only what is read.

    Raises
    ------
    SeasonError when it is damaged or from a newer program.
    """
    with schema.in_words(copy.path), closing(open_whole(copy.path, thorough=thorough)) as db:
        found = ledger.entries(db, 1)
        if not found:
            raise schema.DamagedFile(f"{copy.path} holds no entry: choose another copy")
        return Inside(entries=db.execute("SELECT count(*) FROM entry").fetchone()[0], newest=found[0])


def keep_copy(db: sqlite3.Connection, folder: Path, why: str, day: datetime.date | None = None) -> Path:
    """Make a copy of an open season file in its folder, and return where it is.

    Parameters
    ----------
    db : the season file, with no transaction of its own open.
    folder : the season's folder.
    why : DAILY, or another word that becomes part of the name.
    day : the day to name it by (default: today).

    Raises
    ------
    SeasonError when there is no room or right, or when the season itself is damaged; then nothing is left behind.
    """
    now = datetime.datetime.now()
    named = (day or now.date()).isoformat()
    plain = why == DAILY and not (folder / FOLDER / f"season-{named}.db").exists()
    stem = f"season-{named}" if plain else f"season-{named}T{now:%H%M%S}"
    tail = "" if plain else f"-{why}"
    try:
        (folder / FOLDER).mkdir(exist_ok=True)
        with part_file(folder / FOLDER) as part:
            write_whole(db, part)
            open_whole(part).close()  # nothing is called a copy that isn't proven
            for number in range(1, 100):
                path = folder / FOLDER / f"{stem}{f'-{number}' if number > 1 else ''}{tail}.db"
                if give_name(part, path):
                    return path
                if why == DAILY and _newest_entry(path) == ledger.last_id(db):  # two kernels in one morning
                    return path
    except (OSError, sqlite3.Error) as error:
        reason = getattr(error, "strerror", None) or str(error)
        text = _NO_ROOM.format(path=folder / schema.FILE, why=reason, folder=folder / FOLDER)
        raise SeasonError(text) from error
    finally:
        _rid_of_empty(folder / FOLDER)
    raise SeasonError(f"{folder / FOLDER} holds too many copies of this minute: clear some away")


def take_back(copy: Path) -> None:
    """Throw a copy away that was made for something that then did not happen."""
    with contextlib.suppress(OSError):
        copy.unlink()
    _rid_of_empty(copy.parent)


def _rid_of_empty(folder: Path) -> None:
    with contextlib.suppress(OSError):  # it holds something, or was never made
        folder.rmdir()


def write_whole(db: sqlite3.Connection, part: Path) -> None:
    """Write all of an open season file into the empty file `part`, as one file with nothing beside it."""
    with closing(sqlite3.connect(part, isolation_level=None)) as copy:
        db.backup(copy)
        copy.execute("PRAGMA journal_mode = DELETE")


def keep_daily(db: sqlite3.Connection, folder: Path, today: datetime.date) -> bool:
    """Make today's copy if there is none and anything is new; say whether today is settled.

    A season that holds its start alone can be started again, so it is not copied yet.
    """
    known = copies(folder)
    daily = [copy for copy in known if copy.why == DAILY and copy.entry]
    if daily and daily[0].day == today:  # an older one of that name is of another day on which the clock read so
        return True
    newest = ledger.entries(db, 1)
    if not newest or newest[0].kind == "start":
        return False
    if known and _holds(known[0], newest[0]):
        return True
    keep_copy(db, folder, DAILY, today)
    daily = [copy for copy in copies(folder) if copy.why == DAILY and copy.entry]
    for old in daily[MOST_DAILY:]:
        with contextlib.suppress(OSError, SeasonError):
            last = look_into(old, thorough=False).newest
            if _is_held(db, last) or any(_is_held_by(copy, last) for copy in copies(folder) if copy != old):
                old.path.unlink()
    return True


def _is_held(db: sqlite3.Connection, newest: Entry) -> bool:
    """Whether a file holds a copy's newest entry, so all before it too: a ledger is only added to."""
    held = ledger.entry(db, newest.id)
    return held is not None and (held.at, held.who, held.note) == (newest.at, newest.who, newest.note)


def _is_held_by(copy: Copy, newest: Entry) -> bool:
    try:  # proven: what may be the last to hold an entry is deleted for it
        with schema.in_words(copy.path), closing(open_whole(copy.path)) as db:
            return _is_held(db, newest)
    except SeasonError:
        return False


def _holds(copy: Copy, newest: Entry) -> bool:
    """Whether the copy's newest entry is this one. A copy that can't be read holds nothing.

    It was proven when it was made, and is again before it is restored; here it would take a second after ten years,
    at each opening of a day without anything new.
    """
    try:
        found = look_into(copy, thorough=False).newest
    except SeasonError:
        return False
    return (found.id, found.at) == (newest.id, newest.at)


def clock_said(db: sqlite3.Connection, now: datetime.datetime) -> str:
    """Return what is odd about the clock beside the newest entry; "" when nothing is."""
    newest = ledger.entries(db, 1)
    if not newest or -CLOCK_BEHIND < now - newest[0].at < CLOCK_AHEAD:
        return ""
    return (
        f"This computer's clock says {now.astimezone():%Y-%m-%d %H:%M}, but the newest entry was written on "
        f"{newest[0].at.astimezone():%Y-%m-%d %H:%M}. One of them is wrong: check the clock. Nothing is lost; the "
        "dates of entries, and what is due, go by it."
    )


class Keeper:
    """Stands before each edit of an open season: keeps the day's copy, and sees that the file is still the one.

    trouble : why today's copy could not be made, "" when it was. An edit is not held up by it; the page says it.
    clock : what is odd about this computer's clock, "" when nothing is.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.trouble = self.clock = ""
        self._path = folder / schema.FILE
        self._settled: datetime.date | None = None
        self._file = self._identity()

    def __call__(self, db: sqlite3.Connection) -> None:
        """Do both. Raises SeasonError when another file stands in the place of the one that is open."""
        if self._identity() != self._file:
            raise SeasonError(
                f"{self._path} was moved away or replaced since it was opened, and the edit was not kept: "
                "open the season again"
            )
        self.keep(db, datetime.date.today())

    def keep(self, db: sqlite3.Connection, today: datetime.date) -> None:
        """Keep the day's copy, once a day."""
        if today == self._settled:
            return
        try:
            with schema.in_words(self._path):
                self.clock = clock_said(db, datetime.datetime.now(datetime.UTC))
                done, self.trouble = keep_daily(db, self.folder, today), ""
        except SeasonError as error:
            done, self.trouble = True, str(error)  # tried once a day: a full disk stays full for a while
        self._settled = today if done else None

    def _identity(self) -> tuple[int, int] | None:
        try:
            found = self._path.stat()
        except OSError:
            return None
        return found.st_dev, found.st_ino


def restore(season: Book, name: str) -> Entry | None:
    """Make everything as it was in a copy, with one new entry; return it, None when nothing differs.

    Nothing is taken out of the ledger: what was written since stays in it, `undo` brings all of it back, and
    other notebooks that have the season open see the entry like any other. A copy of the present is kept first.

    Parameters
    ----------
    season : the open season.
    name : the copy's name, see :func:`copies`.

    Raises
    ------
    NotFound when there is no such copy; SeasonError when it is damaged or no copy of the present can be made.
    """
    copy = find_copy(season.folder, name)
    then = _held(copy)
    if not _differences(season, then):
        return None
    keep_copy(season.db, season.folder, BEFORE_RESTORE)
    with season.entry(f"Restored from the copy of {copy.day.isoformat()}", kind="restore") as draft:
        for (subject, key, field), value in _differences(season, then).items():
            season.put(subject, key, {field: value})
    return draft.entry


def what_differs(season: Book, name: str) -> dict[str, int]:
    """Return how many things of each subject are not now what they were in a copy. Parameters as :func:`restore`."""
    differing = _differences(season, _held(find_copy(season.folder, name)))
    things = {(subject, key) for subject, key, _ in differing}
    return dict(Counter(subject for subject, _ in sorted(things)))


def _held(copy: Copy) -> dict[tuple[str, str, str], Any]:
    """Return every value that a copy holds."""
    with schema.in_words(copy.path), closing(open_whole(copy.path, thorough=False)) as db:
        schema.refuse_damaged(db, copy.path)
        now = prove(db, copy.path).now
    return {place: json.loads(value) for place, (value, _) in now.items()}


def _differences(season: Book, then: dict[tuple[str, str, str], Any]) -> dict[tuple[str, str, str], Any]:
    """Return what must become what for the present to be `then`."""
    now = {
        (subject, key, field): value
        for subject, things in season.present.things.items()
        for key, fields in things.items()
        for field, value in fields.items()
    }
    gone = {place: None for place in now if place not in then}
    return {**gone, **{place: value for place, value in then.items() if now.get(place) != value}}
