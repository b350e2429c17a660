"""`python3 -m tests.damage --cases 1500 --seed 1`: damage season files at random, and see how each of them ends.

Each case damages the file of one season, with a sound copy beside it, or that copy, and goes by the doors that a
person has: open, rebuild, restore. What comes of it is read with plain SQL and held against the file as it was. It is
right, or it is refused with what is damaged; anything else is an error of the program. Also called by
test_season_damage.py.

Like `tests/__main__.py`, this file keeps to syntax that any Python 3 reads until it has found a good one.
"""

from __future__ import annotations

import argparse
import random
import shutil
import sqlite3
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Iterable
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from workbook.launcher.oldpython import require_python

Rows = dict[str, list[Any]]
PAGE = 4096


def _a_byte(rng: random.Random, data: bytearray) -> None:
    data[rng.randrange(len(data))] = rng.randrange(256)


def _a_bit(rng: random.Random, data: bytearray) -> None:
    data[rng.randrange(len(data))] ^= 1 << rng.randrange(8)


def _a_digit(rng: random.Random, data: bytearray) -> None:
    """A digit becomes another: what SQLite can never see."""
    digits = [place for place, byte in enumerate(data) if 48 <= byte <= 57]
    place = rng.choice(digits)
    data[place] = rng.choice([byte for byte in range(48, 58) if byte != data[place]])


def _a_letter(rng: random.Random, data: bytearray) -> None:
    letters = [place for place, byte in enumerate(data) if 97 <= byte <= 122]
    data[rng.choice(letters)] = rng.randrange(97, 123)


def _a_stretch(rng: random.Random, data: bytearray) -> None:
    start, length = rng.randrange(len(data)), rng.randrange(2, 600)
    data[start : start + length] = rng.randbytes(len(data[start : start + length]))


def _a_page_of_nothing(rng: random.Random, data: bytearray) -> None:
    start = rng.randrange(len(data) // PAGE) * PAGE
    data[start : start + PAGE] = bytes(PAGE)


def _a_page_twice(rng: random.Random, data: bytearray) -> None:
    one, two = (rng.randrange(len(data) // PAGE) * PAGE for _ in range(2))
    data[one : one + PAGE] = data[two : two + PAGE]


def _cut_short(rng: random.Random, data: bytearray) -> None:
    del data[rng.randrange(len(data)) :]


def _in_the_header(rng: random.Random, data: bytearray) -> None:
    data[rng.randrange(100)] = rng.randrange(256)


DAMAGE: tuple[Callable[[random.Random, bytearray], None], ...] = (
    _a_byte, _a_bit, _a_digit, _a_digit, _a_letter, _a_stretch, _a_page_of_nothing, _a_page_twice, _cut_short,
    _in_the_header,
)  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Sound:
    """A season as it was: its folder with one copy, what the file holds, and what the copy holds."""

    folder: Path
    now: Rows
    then: Rows
    copy: Path


def sound(base: Path) -> Sound:
    """Make the season: a start, edits by two people, an undo, a copy, more edits."""
    from loadcalc.season import open_season
    from loadcalc.season.keep.copies import BY_HAND, keep_copy
    from tests.season_help import FRIDAY, demo_folder

    folder = demo_folder(base)
    with open_season(folder, who="Marta") as season:
        season.set_item("chainsaw", mass_kg=7.0)
        season.add_loadout("Sunday", like=FRIDAY)
        season.undo()
        copy = keep_copy(season.db, folder, BY_HAND)
        then = rows(copy)
    with open_season(folder, who="Dov") as season:
        season.set_item("loppers", mass_kg=2.5)
        season.remove("item", "chainsaw")
        season.set_fuel(FRIDAY, 33.0)
    for other in (folder / "copies").iterdir():
        if other != copy:
            other.unlink()
    return Sound(folder=folder, now=rows(folder / "season.db"), then=then, copy=copy)


def rows(file: Path) -> Rows:
    """Every row of the ledger and of what it adds up to, by plain SQL; SQLite's own look at the file first."""
    tables = ("entry", "change", "present", "thing")
    with closing(sqlite3.connect(file)) as db:
        assert db.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        return {table: db.execute(f"SELECT * FROM {table} ORDER BY 1, 2, 3").fetchall() for table in tables}


def case(seed: int, was: Sound, folder: Path) -> dict[str, str]:
    """Damage one file and go by every door; return how each ended: "right", "refused", or what went wrong."""
    from loadcalc.season import open_season, rebuild_season, restore_season

    rng = random.Random(seed)
    damage = DAMAGE[seed % len(DAMAGE)]
    in_copy = rng.random() < 0.25
    data = bytearray((was.copy if in_copy else was.folder / "season.db").read_bytes())
    damage(rng, data)
    doors: dict[str, Callable[[], Any]] = {
        "open": lambda: open_season(folder), "rebuild": lambda: rebuild_season(folder),
        "restore": lambda: restore_season(folder),
    }  # fmt: skip
    ends = {}
    for door in ("restore",) if in_copy else doors:
        shutil.rmtree(folder, ignore_errors=True)
        shutil.copytree(was.folder, folder)
        (folder / "copies" / was.copy.name if in_copy else folder / "season.db").write_bytes(bytes(data))
        place = f"{door}, {'copy' if in_copy else 'file'} damaged"
        ends[place] = _end(doors[door], folder, was)
    return ends


def _end(go: Callable[[], Any], folder: Path, was: Sound) -> str:
    from loadcalc.model.errors import LoadcalcError

    try:
        with go() as season:
            season.verify()
            season.changes(season.version)
    except LoadcalcError as error:
        return "refused" if "damage" in str(error) or "not a season" in str(error) else f"refused, but says: {error}"
    except Exception as error:  # what a person must never see
        return f"raised {type(error).__name__}: {error}"
    found = rows(folder / "season.db")
    if found == was.now:
        return "right"
    if found == was.then:
        return "right, the copy's"
    # restored inside a sound ledger: every entry of before, one more, and every value as in the copy
    values = [row[:4] for row in found["present"]]
    grown = found["entry"][:-1] == was.now["entry"] and found["change"][: len(was.now["change"])] == was.now["change"]
    return "right, by an entry" if grown and values == [row[:4] for row in was.then["present"]] else "wrong"


def run(seeds: Iterable[int]) -> dict[str, Counter[str]]:
    """Go through the cases; return how often each door ended how. What went wrong is named with its seed."""
    ends: dict[str, Counter[str]] = {}
    with tempfile.TemporaryDirectory() as base:
        was = sound(Path(base))
        for seed in seeds:
            for door, end in case(seed, was, Path(base) / "case").items():
                good = end.startswith("right") or end == "refused"
                ends.setdefault(door, Counter())[end if good else f"seed {seed}: {end}"] += 1
    return ends


def main() -> int:
    """Run as many cases as asked for and print how they ended; 1 when one ended badly."""
    require_python()
    from workbook.launcher.environment import enter

    enter("tests.damage", with_tests=True)
    options = argparse.ArgumentParser(prog="python3 -m tests.damage")
    options.add_argument("--cases", type=int, default=1500)
    options.add_argument("--seed", type=int, default=0, help="of the first case")
    asked = options.parse_args()
    ends = run(range(asked.seed, asked.seed + asked.cases))
    for door, counted in sorted(ends.items()):
        print(f"{door}: {sum(counted.values())}")
        for end, count in counted.most_common():
            print(f"  {count:5} {end}")
    return int(any(end.startswith("seed") for counted in ends.values() for end in counted))


if __name__ == "__main__":
    sys.exit(main())
