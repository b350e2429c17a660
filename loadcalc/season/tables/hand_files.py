"""The files that a person writes by hand, CSV and TOML, read within bounds."""

from __future__ import annotations

import csv
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from loadcalc.model.errors import BadValue, SeasonError
from loadcalc.season import bounds

_PART = r"""[ \t]*(?:[\w-]+|"(?:[^"\\\n]|\\.)*"|'[^'\n]*')[ \t]*"""
_DOTS = re.compile(rf"(?:\.{_PART}){{{bounds.KEY_PARTS}}}")
_LATER = "start with fewer, and bring the others in as tables on page 08"


def csv_rows(path: Path, need: str = "name") -> Iterator[tuple[int, dict[str, str]]]:
    """Yield (row as a person counts, the header being row 1; column to cell) for each row not empty."""
    count = 0
    try:
        _refuse_large(path, bounds.TEXT_TABLE.file_bytes)
        with path.open(encoding="utf-8-sig", newline="") as file:
            lines = csv.reader(file, strict=True)
            header = [cell.strip() for cell in next(lines, [])]
            if need not in header or len(set(header)) < len(header):
                raise SeasonError(
                    f"{path.name} row 1: needs a column `{need}`, and each column once, commas between"
                )
            for cells in lines:
                if len(cells) != len(header) and any(cells):
                    problem = f"has {len(cells)} cells under {len(header)} columns"
                    cure = 'put a comma for each empty cell, and text that has commas between "'
                    raise SeasonError(f"{path.name} row {lines.line_num}: {problem}; {cure}")
                if any(cell.strip() for cell in cells):
                    count += 1
                    bounds.refuse_above("rows", count, bounds.TEXT_TABLE.rows, path.name, _LATER)
                    yield lines.line_num, dict(zip(header, (cell.strip() for cell in cells), strict=True))
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise SeasonError(
            f"{path.name} can't be read ({error}): save it as CSV in UTF-8, with commas"
        ) from error


def toml_tables(path: Path) -> dict[str, Any]:
    """Return what a TOML file holds."""
    try:
        _refuse_large(path, bounds.TOML_BYTES)
        text = path.read_text(encoding="utf-8-sig")
        _refuse_dots(text, path.name)
        found = tomllib.loads(text)
    except RecursionError:
        raise SeasonError(f"{path.name} can't be read: brackets stand too deep in each other; take some out") from None
    except (OSError, ValueError) as error:
        if isinstance(error, BadValue):
            raise
        raise SeasonError(f"{path.name} can't be read: {error}; correct that line") from error
    _refuse_wide(found, path.name)
    return found


def _refuse_large(path: Path, most_bytes: int) -> None:
    bounds.refuse_large(path.stat().st_size, most_bytes, path.name, _LATER)


def _refuse_dots(text: str, filename: str) -> None:
    """Refuse a key of very many parts: TOML's reader keeps each beginning of it."""
    found = _DOTS.search(text)
    if found:
        line = text.count("\n", 0, found.start()) + 1
        problem = f"has more than {bounds.KEY_PARTS} names with dots between"
        raise BadValue("line", line, problem, "take out what is no key of these tables", filename)


def _refuse_wide(tables: dict[str, Any], filename: str) -> None:
    """Refuse a whole number that TOML itself does not allow: Python can't always write it, so no message could."""
    left: list[Any] = [tables]
    while left:
        value = left.pop()
        if isinstance(value, (dict, list)):
            left.extend(value.values() if isinstance(value, dict) else value)
        elif isinstance(value, int) and value.bit_length() > 63:
            problem = "holds a whole number of more than 64 bits, which TOML does not allow"
            raise BadValue("file", filename, problem, "check the number and its unit")
