"""Which column of somebody's list holds what, and which row is its header."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from loadcalc.model.errors import BadValue, NotFound
from loadcalc.season.lists import gear_words as words
from loadcalc.season.lists.raw_table import NUMBER, RawRow, column_letters

HEADER_DEPTH = 30
_UNIT_ROW_WORDS = frozenset({"each", "ea", "pcs", "pc", "pieces", "-", "no.", "no", "text", "#", "number"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """Where each field stands: column numbers from 0, unit of bare numbers, and header words as typed."""

    at: Mapping[str, int]
    unit: Mapping[str, str]
    header: Mapping[str, str]
    notes: tuple[str, ...] = field(default=())


def header_index(rows: Sequence[RawRow]) -> int | None:
    """Return which of the first rows is the header: it names most fields, two at least, and has no number."""
    best, most = None, 1
    for index, row in enumerate(rows[:HEADER_DEPTH]):
        if any(cell.kind == NUMBER for cell in row.cells):
            continue
        hits = words.header_hits(cell.text for cell in row.cells)
        if hits > most:
            best, most = index, hits
    return best


def unit_row(row: RawRow, width: int) -> tuple[str, ...]:
    """Return the units of a second header line, one per column, or () when the row is no such line."""
    texts = [row.cell(column).text.strip() for column in range(max(width, len(row.cells)))]
    if any(len(text) > words.LONGEST_HEADER for text in texts):
        return ()
    bare = [re.sub(r"^[(\[]\s*|\s*[)\]]$", "", text) for text in texts]
    filled = [text for text in bare if text]
    if any(len(text) > 12 or text[:1].isdecimal() for text in filled):
        return ()  # an item and its numbers, as most rows are
    units = [text for text in filled if words.is_unit(text, "mass") or words.is_unit(text, "length")]
    others = {text.casefold() for text in filled if text not in units}
    if not units or others - _UNIT_ROW_WORDS:
        return ()
    return tuple(text if text in units else "" for text in bare)


def find_columns(
    header: Sequence[str], units_below: Sequence[str], mapping: Mapping[str, str | int | None] | None
) -> Columns:
    """Return which column holds which field.

    Parameters
    ----------
    header, units_below : the column names, and the units of a second header line if there is one.
    mapping : fields that the reader has placed by hand: field -> header text or column from 0, or None for
        "not in this file". It overrules the header words.
    """
    read = [words.meaning(text) for text in header]
    at = {name: column for name, column in _by_hand(header, mapping or {}).items() if column is not None}
    taken = set(at.values())
    for name in words.FIELDS:
        if name in (mapping or {}):
            continue
        candidates = [c for c in range(len(read)) if read[c][0] == name and c not in taken]
        if candidates:
            at[name] = min(candidates, key=lambda c: _rank(name, header[c]))
            taken.add(at[name])
    measured = {name: column for name, column in at.items() if name in words.MEASURES}
    unit = {name: _unit(name, column, read, units_below) for name, column in measured.items()}
    unused = [text for c, text in enumerate(header) if c not in taken and text.strip()]
    notes = (f"not used: {', '.join(unused)}",) if unused else ()
    titles = {name: _title(header, column) for name, column in at.items()}
    return Columns(at=at, unit={k: v for k, v in unit.items() if v}, header=titles, notes=notes)


def _title(header: Sequence[str], column: int) -> str:
    title = header[column].strip() if column < len(header) else ""
    return title or f"column {column_letters(column)}"


def _by_hand(header: Sequence[str], mapping: Mapping[str, str | int | None]) -> dict[str, int | None]:
    placed: dict[str, int | None] = {}
    for name, column in mapping.items():
        if name not in words.FIELDS:
            raise NotFound("field of a gear list", name, words.FIELDS)
        if column is None or isinstance(column, int):
            placed[name] = column
            continue
        wanted = words.words_of(column)
        found = [index for index, text in enumerate(header) if words.words_of(text) == wanted]
        if not found:
            raise NotFound("column", column, tuple(header))
        placed[name] = found[0]
    used = [column for column in placed.values() if column is not None]
    if len(set(used)) < len(used):
        raise BadValue("columns", str(dict(mapping)), "use one column twice", "give each field its own")
    return placed


def _rank(name: str, header: str) -> int:
    """Order columns that could hold the same field: by the order of the synonyms."""
    title, _ = words.without_unit(words.words_of(header), words.MEASURES.get(name, "mass"))
    synonyms = words.SYNONYMS.get(name, ())
    return synonyms.index(title) if title in synonyms else len(synonyms)


def _unit(name: str, column: int, read: Sequence[tuple[str, str]], units_below: Sequence[str]) -> str:
    """Return the unit of a column from its header, or from the line below it."""
    own = read[column][1] if column < len(read) else ""
    below = units_below[column] if column < len(units_below) else ""
    return own or (below if below and words.is_unit(below, words.MEASURES[name]) else "")
