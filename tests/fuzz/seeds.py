"""What is right to begin with, made anew for each run: lists, tables, folders, zips, a season's file."""

from __future__ import annotations

import io
import random
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Any

import openpyxl
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE

from loadcalc.model.quantities import SI, US
from loadcalc.season import Season, start_season
from loadcalc.season.file.fields import FIELDS
from loadcalc.season.file.present import Present
from loadcalc.season.keep.archive import season_zip, start_from_zip
from loadcalc.season.tables.gear_out import write_gear_csv
from loadcalc.season.tables.write import write_csv
from tests.fuzz import change, ledger
from tests.fuzz.target import Files
from tests.season_help import DEMO, FRIDAY, PLAIN, ROOT, demo_season


def workbook(rng: random.Random, title: str, table: change.Grid) -> bytes:
    """Return a table as XLSX: with odd cells, or with words or bytes of one of its parts changed."""
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    sheet.title = title
    for row in change.cells(rng, table) if rng.random() < 0.5 else table:
        sheet.append([_cell(rng, text) for text in row])
    out = io.BytesIO()
    book.save(out)
    data = change.steady(out.getvalue())
    return change.package(rng, data, rng.choice((change.words, change.raw))) if rng.random() < 0.6 else data


def _cell(rng: random.Random, text: str) -> Any:
    """Return a cell's text, as a number when it is one; without the letters that no XLSX can hold."""
    if rng.random() < 0.5 and text.replace(".", "", 1).isascii() and text.replace(".", "", 1).isdecimal():
        return float(text) if len(text) < 300 else int(float(text[:300]))
    return ILLEGAL_CHARACTERS_RE.sub("", text)[:32_000].encode("utf-8", "replace").decode()


@cache
def lists() -> tuple[bytes, ...]:
    """Return gear lists of others, and our own."""
    messy = [path.read_bytes() for path in sorted((ROOT / "tests" / "messy").iterdir())]
    with _demo() as season:
        return (*messy, *(write_gear_csv(season.gear, units, {}) for units in (SI, US)))


@cache
def saved() -> dict[str, tuple[bytes, bytes]]:
    """Return each of a season's tables as it is saved, in SI and in US units."""
    with _demo() as season:
        return {s: (write_csv(season.present, s, SI), write_csv(season.present, s, US)) for s in FIELDS}


@cache
def folders() -> tuple[Files, ...]:
    """Return the folders of text tables that a season is started from."""
    return tuple({path.name: path.read_bytes() for path in sorted(folder.iterdir())} for folder in (DEMO, PLAIN))


@cache
def zips() -> tuple[bytes, ...]:
    """Return two seasons as zips, one with a history, one hardly begun."""
    with _demo() as season, tempfile.TemporaryDirectory() as base:
        season.set_item("chainsaw", mass_kg=7.0)
        season.undo()
        season.add_loadout("Sunday", like=FRIDAY)
        season.remove("item", "loppers")
        with start_season(Path(base) / "blank", PLAIN) as blank:
            return ledger.steady(season_zip(season)), ledger.steady(season_zip(blank))


@cache
def file() -> tuple[bytes, Present]:
    """A season's file, and what it holds."""
    with tempfile.TemporaryDirectory() as base, start_from_zip(Path(base) / "season", zips()[0]) as season:
        return (season.folder / "season.db").read_bytes(), season.present


@contextmanager
def _demo() -> Iterator[Season]:
    with tempfile.TemporaryDirectory() as base, demo_season(Path(base)) as season:
        yield season
