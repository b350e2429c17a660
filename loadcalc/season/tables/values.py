"""One cell of a table at a time: a value as text, and text as the value that is kept.

A number in SI is written in full, so that it comes back to the last bit. In other units it has ten digits. A cell
that was not touched leaves the number in the season as it was, also when a spreadsheet has rounded it to the
fifteen digits that it shows.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterable
from typing import Any

from loadcalc.model.errors import BadValue
from loadcalc.season.file.fields import DATE, NUMBER, TEXT, WHOLE, YES_NO, field_word, stored
from loadcalc.season.file.present import Fields
from loadcalc.season.tables.cells import read_value
from loadcalc.season.tables.columns import KEY, TableColumn, key_parts, points_at
from loadcalc.season.tables.names import Names

DIGITS = 10  # of a number that is not in SI
SHOWN_DIGITS = 15  # of a number in a spreadsheet
MOST_IN_A_CELL = 32_767  # characters, of an XLSX cell (from memory); a longer text is only whole in CSV
_ODD = "\x00-\x08\x0b-\x1f\x7f\ufffe\uffff"
_TO_ESCAPE = re.compile(rf"[{_ODD}]|_(?=x[0-9A-Fa-f]{{4}}[_{_ODD}])")
_ESCAPED = re.compile(r"_x([0-9A-Fa-f]{4})_")


def row_texts(names: Names, subject: str, columns: Iterable[TableColumn], key: str, fields: Fields) -> list[str]:
    """Return what stands in a thing's row, "" for a value that is not there."""
    parts = dict(zip(key_parts(subject).items(), key.partition("/")[::2], strict=False))
    told = {KEY: key, **{header: names.name((of,), part) for (header, of), part in parts.items()}}
    return [
        told[column.field]
        if column.field in told
        else value_text(names, subject, column, fields.get(column.field))
        for column in columns
    ]


def value_text(names: Names, subject: str, column: TableColumn, value: Any) -> str:
    """Return a field's value as its cell has it: in the column's unit, another thing by its name."""
    if value is None:
        return ""
    if places := points_at(subject, column.field):
        return names.name(places, value)
    if column.kind == NUMBER:
        return number_text(value, column.si)
    if column.kind == YES_NO:
        return "yes" if value else "no"
    if column.kind in (TEXT, DATE, WHOLE):
        return str(value)
    return json.dumps(value, ensure_ascii=False)


def number_text(value: float, si: float) -> str:
    """Return a number in a unit of which one is `si`; a whole one without its idle zero.

    >>> number_text(6.894604024, 1.0), number_text(6.894604024, 0.45359237)
    ('6.894604024', '15.2')
    """
    text = repr(float(value)) if si == 1.0 else format(value / si, f".{DIGITS}g")
    return text.removesuffix(".0")


def read_cell(names: Names, subject: str, column: TableColumn, text: str, comma: bool, was: Any) -> Any:
    """Return the value that a cell gives a field, in the form that is kept; None for an empty cell.

    Parameters
    ----------
    names : where the names of other things are looked up.
    subject : what the row is about.
    column : the cell's column.
    text : what stands in it.
    comma : whether this file has decimal commas.
    was : the field's value now, which stays when the cell still shows it.

    Raises
    ------
    BadValue for a cell that can't be used, with the cure.
    """
    body = text.strip()
    if was is not None:
        shown = value_text(names, subject, column, was)
        if body in (shown.strip(), unescaped(cut(escaped(shown))).strip()):
            return was
    if not body:
        return None
    if places := points_at(subject, column.field):
        found = names.key(places, body)
        if found is None:
            cure = "correct the spelling, or add it first"
            raise BadValue(field_word(column.field), text, "is not there", cure)
        return found
    value = read_value(column, body, comma=comma)
    if column.is_number and was is not None and _same(was, value, column.si):
        return was
    return stored(subject, column.field, value)


def _same(one: float, other: float, si: float) -> bool:
    """Whether two numbers are one in the digits that a file holds (half a unit of the last one)."""
    digits = SHOWN_DIGITS if si == 1.0 else DIGITS
    return math.isclose(one, other, rel_tol=0.6 * 10.0 ** (1 - digits), abs_tol=0.0)


def cut(text: str) -> str:
    """Return text that an XLSX cell can hold, with a mark where it was cut."""
    return text if len(text) <= MOST_IN_A_CELL else f"{text[: MOST_IN_A_CELL - 1]}\u2026"


def escaped(text: str) -> str:
    r"""Return text that any file can hold: a control mark as `_x0007_`, as in XLSX itself.

    >>> escaped("a\x07b"), escaped("_x0007_")
    ('a_x0007_b', '_x005F_x0007_')
    """
    return _TO_ESCAPE.sub(lambda found: f"_x{ord(found[0]):04X}_", text)


def unescaped(text: str) -> str:
    """Return text as it was before :func:`escaped`."""
    return _ESCAPED.sub(lambda found: chr(int(found[1], 16)), text)
