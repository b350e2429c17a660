"""Start and open a season folder, and put a copy in the place of a file that can't be opened."""

from __future__ import annotations

import contextlib
import datetime
import getpass
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from loadcalc.model.errors import BadValue, SeasonError
from loadcalc.model.marks import without_marks
from loadcalc.season.edit.store import Season
from loadcalc.season.file import schema
from loadcalc.season.file.ledger import Change
from loadcalc.season.file.mend import gather, mend, open_whole, write_new
from loadcalc.season.file.parts import BESIDE, clear_left_behind, give_name, part_file
from loadcalc.season.keep.copies import FOLDER, Copy, Keeper, copies, find_copy, restore
from loadcalc.season.keep.upgrades import bring_forward
from loadcalc.season.tables.text_tables import read_into

_MOST_SHOWN = 60  # letters of a name that can't be
BLANK = Path(__file__).resolve().parents[3] / "data" / "blank"


def folder_of(name: str | Path) -> Path:
    """Return the path of a folder, which need not be there.

    Parameters
    ----------
    name : as typed; "~" stands for a home.

    Raises
    ------
    SeasonError when no folder can have that name.
    """
    try:
        path = Path(name).expanduser()
        with contextlib.suppress(FileNotFoundError, NotADirectoryError):
            path.stat()
        if str(name):
            return path
        reason = "it is empty"
    except RuntimeError:
        reason = "there is no such user"
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
    shown = str(name) if len(str(name)) <= _MOST_SHOWN else f"{str(name)[:_MOST_SHOWN]}…"
    raise SeasonError(f"{shown!r} can't be a folder's name ({reason}): choose another name")


def open_season(folder: str | Path, who: str = "") -> Season:
    """Open a season for reading and editing. Several notebooks may have it open at once.

    Parameters
    ----------
    folder : the season's folder.
    who : the name written beside each entry (default: this computer's user).

    Returns
    -------
    Season: open; close it, or put it in a `with` block

    Raises
    ------
    SeasonError, which says what to do, when the folder holds no season that can be used.
    """
    path = folder_of(folder)
    try:
        db = schema.connect(path, bring_forward)
        season = _proven(path, db, who or _user())
    except schema.DamagedFile as error:
        raise schema.DamagedFile(f"{error}{_offer(path)}") from error
    clear_left_behind(path)
    season.keeper = keeper = Keeper(path)
    keeper.keep(db, datetime.date.today())
    _take_out_marks(season)
    return season


def _take_out_marks(season: Season) -> None:
    """Write one entry that takes out of every text the unseen marks that older programs let in, if there are any."""
    odd = [
        Change(subject, key, field, value)
        for subject, things in season.present.things.items()
        for key, fields in things.items()
        for field, value in fields.items()
        if isinstance(value, str)
        and not (value.isascii() and value.isprintable())
        and without_marks(value) != value
    ]
    for named in (False, True):  # named where they are all that tells a name from another, or from nothing
        with contextlib.suppress(SeasonError, BadValue):  # a season that nobody can write to is still read
            plain = [change._replace(value=without_marks(change.value, named=named)) for change in odd]
            season.edit("Marks that nobody sees taken out of names", plain)
            return


def _proven(folder: Path, db: sqlite3.Connection, who: str) -> Season:
    """Return the season once its tables are proven against its ledger; the file is closed when they can't be."""
    season = Season(folder, db, who)
    try:
        season.prove(mend)
    except BaseException:
        season.close()
        raise
    return season


def _offer(folder: Path) -> str:
    """Name the newest copy beside a file that can't be opened, and what puts it in its place."""
    known = copies(folder)
    if not known:
        return ""
    return f"; the newest copy in its folder {FOLDER} is of {known[0].day}"


def rebuild_season(folder: str | Path, who: str = "") -> Season:
    """Write a damaged season anew from its ledger, and open it: nothing of it is lost.

    Every entry is proven by its seal first; those that are damaged are taken from the copies. The damaged file is
    moved to the folder of copies, named "damaged". A sound season is only opened.

    Parameters
    ----------
    folder : the season's folder.
    who : the name written beside each entry (default: this computer's user).

    Returns
    -------
    Season: open; close it, or put it in a `with` block

    Raises
    ------
    DamagedFile, naming them, when entries are damaged that no copy holds; SeasonError when the folder can't be used.
    """
    path = folder_of(folder)
    with contextlib.suppress(schema.DamagedFile):
        return open_season(path, who)
    with closing(gather(path / schema.FILE, [copy.path for copy in copies(path)])) as found:
        return _put_in_place(path, found, who)


def _put_in_place(folder: Path, ledger: sqlite3.Connection, who: str) -> Season:
    """Make a ledger that is proven the season of a folder; what stood there is moved to the copies."""
    with part_file(folder) as part:
        write_new(part, ledger)
        _set_aside(folder)
        _named(part, folder / schema.FILE)
    return open_season(folder, who)


def restore_season(folder: str | Path, name: str = "", who: str = "") -> Season:
    """Put a copy in the place of a season that is damaged or gone, and open it.

    A damaged file is not thrown away: it is moved to the folder of copies, named "damaged". When the season can
    be opened it is restored with a new entry, see :func:`loadcalc.season.keep.copies.restore`. A notebook that still
    has the damaged file open is told so at its next edit.

    Parameters
    ----------
    folder : the season's folder.
    name : which copy (default: the newest that isn't damaged).
    who : the name written beside each entry (default: this computer's user).

    Returns
    -------
    Season: open; close it, or put it in a `with` block

    Raises
    ------
    NotFound when there is no such copy; SeasonError when it is damaged, or when the season is of a newer program,
    read-only, or busy.
    """
    path = folder_of(folder)
    chosen, unsound = _sound_copy(path, name)
    if (path / schema.FILE).exists():
        try:
            season = open_season(path, who)
        except schema.DamagedFile:
            pass
        else:
            restore(season, chosen.name)
            season.notes += unsound
            return season
    with closing(open_whole(chosen.path)) as db:
        season = _put_in_place(path, db, who)
    season.notes += unsound
    return season


def _sound_copy(folder: Path, name: str) -> tuple[Copy, list[str]]:
    """Return the copy of that name, or the newest that is proven, and what was passed over."""
    passed: list[SeasonError] = []
    for copy in [find_copy(folder, name)] if name else copies(folder) or [find_copy(folder)]:
        try:
            open_whole(copy.path).close()
        except SeasonError as error:
            passed.append(error)
        else:
            return copy, [f"Passed over: {error}" for error in passed]
    raise passed[0]


def _set_aside(folder: Path) -> None:
    """Move a damaged file, and what SQLite put beside it, to the copies."""
    now = f"{datetime.datetime.now():%Y-%m-%dT%H%M%S}"
    (folder / FOLDER).mkdir(exist_ok=True)
    for suffix in BESIDE:
        old = folder / (schema.FILE + suffix)
        if old.exists():
            old.rename(folder / FOLDER / f"damaged-{now}.db{suffix}")


def start_season(folder: str | Path, tables: str | Path = BLANK, who: str = "") -> Season:
    """Make a season in `folder` out of text tables, and open it.

    Parameters
    ----------
    folder : where it will live; made when it isn't there, left as it was when anything goes wrong.
    tables : a folder of text tables, see :mod:`loadcalc.season.tables.text_tables` (default: a blank start).
    who : the name written beside each entry (default: this computer's user).

    Returns
    -------
    Season: open; close it, or put it in a `with` block

    Raises
    ------
    SeasonError when there is a season already or the folder can't be written to; BadValue, naming file, row,
    and column, for what the tables say.
    """
    source = folder_of(tables)
    return make_season(folder, lambda part: _write(part, source, who or _user()), who)


def make_season(folder: str | Path, fill: Callable[[Path], None], who: str = "") -> Season:
    """Make a season in `folder` out of whatever `fill` puts into its file, and open it.

    Parameters
    ----------
    folder : where it will live; made when it isn't there, left as it was when anything goes wrong.
    fill : fills an empty file with a whole season, and leaves it closed.
    who : the name written beside each entry (default: this computer's user).

    Raises
    ------
    SeasonError when there is a season already or the folder can't be written to; and what `fill` raises.
    """
    path = folder_of(folder)
    _refuse_taken(path)
    made = _make_folder(path)
    try:
        with part_file(path) as part:
            fill(part)
            _named(part, path / schema.FILE)
    except BaseException:
        for new in made:
            with contextlib.suppress(OSError):  # somebody else has put something there
                new.rmdir()
        raise
    return open_season(path, who)


def _refuse_taken(folder: Path) -> None:
    if (folder / schema.FILE).exists():
        raise SeasonError(
            f"{folder} holds a season already: open it with open_season, or choose another folder"
        )
    if known := copies(folder):
        raise SeasonError(
            f"{folder} holds copies of a season, the newest of {known[0].day}, but no {schema.FILE}: put one back with "
            "restore_season, or choose another folder"
        )
    for suffix in ("-wal", "-shm"):
        if (folder / (schema.FILE + suffix)).exists():
            left = schema.FILE + suffix
            raise SeasonError(
                f"{folder} holds {left}, left by a season that was moved away: bring it back together"
            )


def _make_folder(folder: Path) -> list[Path]:
    """Make the folder and those above it that aren't there; return what was made, the lowest first."""
    made = [one for one in (folder, *folder.parents) if not one.exists()]
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise SeasonError(
            f"the folder {folder} can't be made ({error.strerror}): choose another place"
        ) from error
    return made


def _write(part: Path, source: Path, who: str) -> None:
    """Fill a new season file from text tables, and leave it closed and whole."""
    with schema.in_words(part):
        db = schema.create(part)
    season = Season(part.parent, db, who)
    try:
        with season.entry(f"Season started from {source.name}", kind="start"):
            read_into(season, source)
        with schema.in_words(part):
            db.execute("PRAGMA journal_mode = WAL")
    finally:
        season.close()


def _named(part: Path, path: Path) -> None:
    """Give the finished file its name, unless another kernel was quicker."""
    try:
        named = give_name(part, path)
    except OSError as error:
        raise SeasonError(
            f"{path} can't be written ({error.strerror}): make room, or choose another place"
        ) from error
    if not named:
        raise SeasonError(f"{path} was started by someone else a moment ago: open it with open_season")


def _user() -> str:
    try:
        return getpass.getuser()
    except (KeyError, OSError, ImportError):  # a container without a user's name
        return ""
