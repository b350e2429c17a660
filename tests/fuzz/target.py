"""What every target has: make an input, put it where it is read, take it in, and leave no trace for the next."""

from __future__ import annotations

import os
import random
import shutil
from pathlib import Path
from typing import ClassVar

from loadcalc.season import Season

Files = dict[str, bytes]  # an input: one file or several, by name
Stamp = dict[str, tuple[int, int]]


class Target:
    """One sort of input, and the door by which a person hands it over.

    name, share : how it is called, and how much of the time it gets. pages : how often a whole page is opened on
    what was accepted, which takes ten times as long as all the rest. folder : where it lives; nothing in it may change
    when an input is refused. season : what an accepted input has made or changed, for the pages to open.
    """

    name: ClassVar[str] = ""
    share: ClassVar[float] = 1.0
    pages: ClassVar[float] = 0.12

    def __init__(self, base: Path) -> None:
        self.folder = base / self.name.replace(" ", "-")
        self.season: Season | None = None

    def make(self, rng: random.Random) -> Files:
        """Return an input: the same for the same state of `rng`."""
        raise NotImplementedError

    def put(self, files: Files) -> None:
        """Put the files where they are read, in a folder that is otherwise as before the last input."""
        shutil.rmtree(self.folder, ignore_errors=True)
        self.folder.mkdir(parents=True)
        for name, content in files.items():
            place = self.folder / name
            place.parent.mkdir(exist_ok=True)
            place.write_bytes(content)

    def take(self, files: Files) -> bool:
        """Take the input in; return whether it was accepted. Raises LoadcalcError when it is refused by name."""
        raise NotImplementedError

    def leave(self) -> None:
        """Make ready for the next input."""
        self.close()

    def close(self) -> None:
        """Close what was opened; also after a failure."""
        if self.season is not None:
            self.season.close()
            self.season = None

    def stamp(self) -> Stamp:
        """Return what stands in the folder, without opening a file: a season may be open (DEVELOPERS.md says why)."""
        found: Stamp = {}
        for at, folders, files in os.walk(self.folder):
            found |= {os.path.join(at, name): (0, 0) for name in folders}
            for name in files:
                path = os.path.join(at, name)
                state = os.stat(path)
                # SQLite's notes on who reads, kept only while the file is open
                found[path] = (0, 0) if name.endswith("-shm") else (state.st_size, state.st_mtime_ns)
        return found
