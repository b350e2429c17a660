"""A second look at the columns of a gear list, and what to tell a reader about how they were taken."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise

from loadcalc.model.errors import BadValue
from loadcalc.model.quantities import Units, read_mass_kg
from loadcalc.model.quantities_text import LONGEST_TEXT
from loadcalc.season.lists.gear_rows import ListRules, numeric
from loadcalc.season.lists.gear_words import WORDS, words_of
from loadcalc.season.lists.list_columns import Columns
from loadcalc.season.lists.raw_table import RawTable
from loadcalc.season.lists.total_rows import Above

HEAVY_KG = 90.0
_BARE = re.compile(r"[~≈\s]*\d[\d.,\s]*\??\s*")


def second_look(raw: RawTable, columns: Columns, mapping: Mapping[str, str | int | None]) -> Columns:
    """Correct what header words alone get wrong, by what stands under them; a placing by hand stays.

    "#" over 1, 2, 3, ... (begun again in each part) numbers the lines and counts nothing. "Units" over
    numbers is a count.
    """
    at, notes = dict(columns.at), list(columns.notes)
    count = at.get("count")
    if count is not None and "count" not in mapping and _numbers_lines(raw, count):
        notes.append(f'"{columns.header["count"]}" numbers the lines, so it is not taken for a count')
        del at["count"]
    unit = at.get("mass_unit")
    if unit is not None and "mass_unit" not in mapping:
        texts = [row.cell(unit).text.strip() for row in raw.rows]
        if all(_is_bare(text) for text in texts if text):
            del at["mass_unit"]
            if "count" not in at:
                at["count"] = unit
                columns = replace(columns, header={**columns.header, "count": columns.header["mass_unit"]})
    header = {name: text for name, text in columns.header.items() if name in at}
    return replace(columns, at=at, header=header, notes=tuple(notes))


def _numbers_lines(raw: RawTable, column: int) -> bool:
    title = words_of(raw.header[column]) if column < len(raw.header) else ""
    texts = [row.cell(column).text.strip().rstrip(".") for row in raw.rows]
    numbers = [int(text) for text in texts if text.isdecimal() and len(text) < 6]
    steps = [after == before + 1 or (after == 1 and before > 1) for before, after in pairwise(numbers)]
    in_order = numbers[:1] == [1] and max(numbers, default=0) > 2 and all(steps)
    return title in ("#", "no", "num", "number") and in_order


def column_notes(raw: RawTable, rules: ListRules, units: Units, above: Above) -> list[str]:
    """Return what a reader should know of how the columns were taken."""
    columns = rules.columns
    notes = list(columns.notes)
    for name in ("mass", "total_mass"):
        if name in columns.at and name not in columns.unit and "mass_unit" not in columns.at:
            notes += _bare_notes(raw, rules, name, units)
    comma_fields = [name for name in numeric(columns) if rules.comma.get(name) and _commas(raw, rules, name)]
    commas = [columns.header[name] for name in comma_fields]
    if commas:
        notes.append(f"commas are taken for decimal commas in: {', '.join(commas)}")
    if "total_mass" in columns.at and "mass" not in columns.at:
        by = f'divided by "{columns.header["count"]}"' if "count" in columns.at else "divided by the count"
        notes.append(f'mass each is "{columns.header["total_mass"]}" {by}')
    if above.counts_line:
        title = columns.header.get("mass", WORDS["mass"])
        notes.append(f'check "{title}": by the total row it holds the mass of a whole line, not of one piece')
    return notes


def _commas(raw: RawTable, rules: ListRules, name: str) -> bool:
    return any("," in row.cell(rules.columns.at[name]).text for row in raw.rows)


def _bare_notes(raw: RawTable, rules: ListRules, name: str, units: Units) -> list[str]:
    """Tell which unit bare numbers were given, and whether that makes most of them very heavy."""
    column, unit = rules.columns.at[name], rules.unit[name]
    bare = [row.cell(column).text for row in raw.rows if _is_bare(row.cell(column).text)]
    if not bare:
        return []
    title = rules.columns.header[name]
    notes = [f'"{title}" has no unit in its header, so bare numbers in it are taken as {unit}']
    heavy = [text for text in bare if _kg(text, unit, rules.comma.get(name)) > HEAVY_KG]
    if len(bare) > 1 and 2 * len(heavy) > len(bare):
        smaller = "ounces" if units.name == "US" else "grams"
        limit = units.mass(HEAVY_KG)
        notes.append(f'check "{title}": most numbers come to more than {limit}; are they {smaller}?')
    return notes


def _is_bare(text: str) -> bool:
    return len(text) <= LONGEST_TEXT and bool(_BARE.fullmatch(text))


def _kg(text: str, unit: str, comma: bool | None) -> float:
    try:
        return read_mass_kg(text.strip(" ~≈?"), unit=unit, decimal_comma=comma)
    except BadValue:
        return 0.0
