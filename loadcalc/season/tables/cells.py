"""Cells of text tables that a person writes by hand: read them, and turn them into SI by column name."""

from __future__ import annotations

import csv
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from loadcalc.model.errors import BadValue, SeasonError
from loadcalc.model.quantities_text import LONGEST_TEXT
from loadcalc.model.unit_names import GALLON, INCH, POUND, PSI
from loadcalc.season import bounds
from loadcalc.season.file.fields import FIELDS, NUMBER, PAIRS, TEXT, WHOLE, YES_NO, field_word

_LB, _IN, _GAL, _PSI = map(float, (POUND, INCH, GALLON, PSI))
TO_SI = {
    "lb_per_gal": ("kg_per_l", _LB / _GAL), "kg_per_l": ("kg_per_l", 1.0),
    "lb": ("kg", _LB), "oz": ("kg", _LB / 16), "kg": ("kg", 1.0), "g": ("kg", 0.001),
    "in": ("m", _IN), "ft": ("m", 12 * _IN), "m": ("m", 1.0), "cm": ("m", 0.01), "mm": ("m", 0.001),
    "psi": ("kpa", _PSI), "kpa": ("kpa", 1.0), "bar": ("kpa", 100.0),
    "mi": ("km", 63360 * _IN / 1000), "km": ("km", 1.0),
    "gal": ("l", _GAL), "qt": ("l", _GAL / 4), "l": ("l", 1.0),
}  # fmt: skip
UNIT = re.compile(rf"_({'|'.join(sorted(TO_SI, key=len, reverse=True))})$")
_PART = r"""[ \t]*(?:[\w-]+|"(?:[^"\\\n]|\\.)*"|'[^'\n]*')[ \t]*"""
_DOTS = re.compile(rf"(?:\.{_PART}){{{bounds.KEY_PARTS}}}")
_LATER = "start with fewer, and bring the others in as tables on page 08"
_PLAIN = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?")


def si(subject: str, column: str, cell: Any, where: str) -> tuple[str, Any]:
    """Return (field, value in SI) of one cell; the value is None when the cell is empty.

    Parameters
    ----------
    subject : what the row is about, see :data:`loadcalc.season.file.fields.FIELDS`.
    column : a field of the subject, in its own unit or any like one in TO_SI: "mass_lb" is mass_kg.
    cell : text, or what TOML has made of it.
    where : file, row, and column, for the error.
    """
    known = FIELDS[subject]
    found = None if column in known else UNIT.search(column)
    unit, factor = TO_SI[found[1]] if found else ("", 1.0)
    field = UNIT.sub(f"_{unit}", column) if unit else column
    if field not in known:
        cure = f"choose among: {', '.join(known)} (or the same in another unit, like mass_lb)"
        raise BadValue("column", column, "is not known", cure, where)
    if cell is None or cell == "":
        return field, None
    if isinstance(cell, dict) or (isinstance(cell, list) and known[field] != PAIRS):
        raise BadValue(field_word(field), cell, "is not one value", f"write it as in {column} = 5", where)
    if known[field] == YES_NO:
        return field, _yes_no(field, cell, where)
    if known[field] in (NUMBER, WHOLE):
        return field, plain_number(field, cell, where) * factor
    return field, str(cell) if known[field] == TEXT else cell


def plain_number(field: str, cell: Any, where: str) -> float:
    """Return a number; its unit is in the column's name, so only digits may stand in the cell."""
    text = str(cell)
    if isinstance(cell, bool) or len(text) > LONGEST_TEXT or not _PLAIN.fullmatch(text):
        cure = "write digits and a point, like 1234.5; the unit is in the column's name"
        raise BadValue(field_word(field), cell, "is not a plain number", cure, where)
    return float(text)


def _yes_no(field: str, cell: Any, where: str) -> bool:
    word = str(cell).casefold()
    if word not in ("yes", "no", "true", "false"):
        raise BadValue(field_word(field), cell, "is neither yes nor no", "write yes or no", where)
    return word in ("yes", "true")


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
