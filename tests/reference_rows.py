"""One reader for the tables of published check values in tests/reference."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from pathlib import Path

Row = dict[str, str]
FOLDER = Path(__file__).resolve().parent / "reference"


def rows(table: str) -> list[Row]:
    """Return the rows of tests/reference/<table> as text, header to cell.

    Raises ValueError for a row with too many or too few cells, and for a case that is there twice.
    """
    with (FOLDER / table).open(encoding="utf-8", newline="") as file:
        found = list(csv.DictReader(file))
    for number, row in enumerate(found, start=2):
        if None in row or None in row.values():
            raise ValueError(f"{table} line {number}: not as many cells as the header; quote a cell that holds a comma")
    cases = [row["case"] for row in found if "case" in row]
    twice = sorted({case for case in cases if cases.count(case) > 1})
    if twice:
        raise ValueError(f"{table}: case is there twice: {', '.join(twice)}")
    return found


def case_id(row: Mapping[str, str]) -> str:
    """Name of a test case: the case, then where its value stands."""
    return f"{row['case']} [{row['source']}, {row['locator']}, {row['status']}]"


def half_last_digit(printed: str) -> float:
    """Half a unit of the last digit of a printed number: as good as the print is.

    >>> half_last_digit("84.8"), half_last_digit("650")
    (0.05, 0.5)
    """
    decimals = len(printed.partition(".")[2])
    return 0.5 * 10.0**-decimals


def numbers(cell: str) -> list[float]:
    """Read a cell of numbers with spaces between: "150 180 160"."""
    return [float(part) for part in cell.split()]
