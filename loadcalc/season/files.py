"""Start and open a season folder."""

from __future__ import annotations

import contextlib
import getpass
import os
import tempfile
from pathlib import Path

from loadcalc.model.errors import SeasonError
from loadcalc.season import schema
from loadcalc.season.store import Season
from loadcalc.season.text_tables import read_into

BLANK = Path(__file__).resolve().parents[2] / "data" / "blank"


def open_season(folder: str | Path, who: str = "") -> Season:
    """Open a season for reading and editing. Several notebooks may have it open at once.

    Parameters
    ----------
    folder : the season's folder.
    who : the name written beside each entry (default: this computer's user).

    Raises
    ------
    SeasonError, which says what to do, when the folder holds no season that can be used.
    """
    path = Path(folder).expanduser()
    return Season(path, schema.connect(path), who or _user())


def start_season(folder: str | Path, tables: str | Path = BLANK, who: str = "") -> Season:
    """Make a season in `folder` out of text tables, and open it.

    Parameters
    ----------
    folder : where it will live; made when it isn't there, left as it was when anything goes wrong.
    tables : a folder of text tables, see :mod:`loadcalc.season.text_tables` (default: a blank start).
    who : the name written beside each entry (default: this computer's user).

    Raises
    ------
    SeasonError when there is a season already or the folder can't be written to; BadValue, naming file, row,
    and column, for what the tables say.
    """
    path, source = Path(folder).expanduser(), Path(tables).expanduser()
    _refuse_taken(path)
    made = _make_folder(path)
    try:
        part = _reserve(path)
        try:
            _write(part, source, who or _user())
            _name(part, path / schema.FILE)
        finally:
            for suffix in ("", "-journal", "-wal", "-shm"):
                part.with_name(part.name + suffix).unlink(missing_ok=True)
    except BaseException:
        if made:
            with contextlib.suppress(OSError):
                path.rmdir()
        raise
    return open_season(path, who)


def _refuse_taken(folder: Path) -> None:
    if (folder / schema.FILE).exists():
        raise SeasonError(
            f"{folder} holds a season already: open it with open_season, or choose another folder"
        )
    for suffix in ("-wal", "-shm"):
        if (folder / (schema.FILE + suffix)).exists():
            left = schema.FILE + suffix
            raise SeasonError(
                f"{folder} holds {left}, left by a season that was moved away: bring it back together"
            )


def _make_folder(folder: Path) -> bool:
    """Make the folder when it isn't there; say whether it was made."""
    if folder.is_dir():
        return False
    try:
        folder.mkdir(parents=True)
    except OSError as error:
        raise SeasonError(
            f"the folder {folder} can't be made ({error.strerror}): choose another place"
        ) from error
    return True


def _reserve(folder: Path) -> Path:
    """Return the path of a new empty file beside the one to be, so that naming it is one step of the disk."""
    try:
        handle, name = tempfile.mkstemp(prefix=".season-", suffix=".part", dir=folder)
    except OSError as error:
        raise SeasonError(
            f"{folder} can't be written to ({error.strerror}): choose a folder of your own"
        ) from error
    os.close(handle)
    return Path(name)


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


def _name(part: Path, path: Path) -> None:
    """Give the finished file its name, unless another kernel was quicker."""
    os.chmod(part, 0o644)
    try:
        os.link(part, path)  # unlike a rename, a link never replaces what is there
    except FileExistsError:
        raise SeasonError(
            f"{path} was started by someone else a moment ago: open it with open_season"
        ) from None
    except OSError:  # a disk without hard links
        if path.exists():
            raise SeasonError(
                f"{path} was started by someone else a moment ago: open it with open_season"
            ) from None
        os.rename(part, path)


def _user() -> str:
    try:
        return getpass.getuser()
    except (KeyError, OSError, ImportError):  # a container without a user's name
        return ""
