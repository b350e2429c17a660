"""Make a file in two steps: write it under a name of its own, then give it its name in one step of the disk.

Whoever is killed in between leaves a `.part` file, which nothing reads, and never half of the real one.
"""

from __future__ import annotations

import contextlib
import os
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from loadcalc.model.errors import SeasonError

PREFIX, SUFFIX = ".season-", ".part"
BESIDE = ("", "-journal", "-wal", "-shm")  # what SQLite may have put beside a file
LEFT_BEHIND_S = 3600.0


@contextmanager
def part_file(folder: Path) -> Iterator[Path]:
    """Give the path of a new empty file in `folder`; whatever of it is left at the end is cleared away.

    What somebody who was killed left there before is cleared away too.

    Raises SeasonError when the folder can't be written to.
    """
    clear_left_behind(folder)
    try:
        handle, name = tempfile.mkstemp(prefix=PREFIX, suffix=SUFFIX, dir=folder)
    except OSError as error:
        raise SeasonError(
            f"{folder} can't be written to ({error.strerror}): choose a folder of your own"
        ) from error
    os.close(handle)
    part = Path(name)
    try:
        yield part
    finally:
        for suffix in BESIDE:
            part.with_name(part.name + suffix).unlink(missing_ok=True)


def give_name(part: Path, path: Path) -> bool:
    """Give the finished file its name; return False, and change nothing, when there is such a file already."""
    os.chmod(part, 0o600)  # a season names people and says what they weigh
    try:
        os.link(part, path)  # unlike a rename, a link never replaces what is there
    except FileExistsError:
        return False
    except OSError:  # a disk without hard links
        if path.exists():
            return False
        os.rename(part, path)
    _sync(path.parent)
    return True


def clear_left_behind(folder: Path) -> None:
    """Clear away parts that somebody who was killed left behind, once they are old enough to be nobody's."""
    for part in folder.glob(f"{PREFIX}*{SUFFIX}*"):
        with contextlib.suppress(OSError):
            if time.time() - part.stat().st_mtime > LEFT_BEHIND_S:
                part.unlink()


def _sync(folder: Path) -> None:
    """Have the disk keep the new name; some systems can't be asked, and then it comes by itself."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
