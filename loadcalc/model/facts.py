"""Fact tables: published values kept as text in `data/facts`, each row with its source and status."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

from loadcalc.model.errors import NotFound

FOLDER = Path(__file__).resolve().parents[2] / "data" / "facts"


@cache
def fact_rows(table: str) -> tuple[dict[str, str], ...]:
    """Return the rows of `data/facts/<table>.csv` as text, header to cell.

    Raises NotFound when there is no such table.
    """
    path = FOLDER / f"{table}.csv"
    if not path.is_file():
        raise NotFound("fact table", table, tuple(sorted(p.stem for p in FOLDER.glob("*.csv"))))
    with path.open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))
