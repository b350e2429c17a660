"""One cell of any table, read by what the description of a record's fields says of its column.

Tables that a season is started from and tables that are brought into one are read alike; a stranger's gear list is
not (`lists/gear_cells.py`): it says "~12 lb ± 0.5" where a table of ours has one bare value.
"""

from __future__ import annotations

import json
import re
from typing import Any

from loadcalc.model.errors import BadValue
from loadcalc.model.quantities_text import LONGEST_TEXT, clean, decimal_mark
from loadcalc.season.file.fields import PAIRS, TEXT, YES_NO, field_word
from loadcalc.season.tables.columns import TableColumn, column_of

_LONE = re.compile(r"([+-]?\d+)([.,])(\d+)")
_NUMBER = re.compile(r"[+-]?(\d+[.,]?\d*|[.,]\d+)([eE][+-]?\d{1,3})?")


def si(subject: str, header: str, cell: Any, where: str) -> tuple[str, Any]:
    """Return (field, value in SI) of one cell of a table written by hand; the value is None when the cell is empty.

    Parameters
    ----------
    subject : what the row is about, see :data:`loadcalc.season.file.fields.FIELDS`.
    header : what stands over the cell, see :func:`loadcalc.season.tables.columns.column_of`.
    cell : text, or what TOML has made of it.
    where : file, row, and column, for the error.

    Raises
    ------
    BadValue for a header that names no field, and for a cell that can't be used.
    """
    column = column_of(subject, header, where, keyed=False)
    if cell is None or cell == "":
        return column.field, None
    if isinstance(cell, dict) or (isinstance(cell, list) and column.kind != PAIRS):
        cure = f"write it as in {header} = 5"
        raise BadValue(field_word(column.field), cell, "is not one value", cure, where)
    return column.field, read_value(column, cell, where=where)


def read_value(column: TableColumn, cell: Any, *, comma: bool = False, where: str = "") -> Any:
    """Return what a cell that is not empty says, a number in SI.

    Parameters
    ----------
    column : the cell's column.
    cell : text, or what TOML has made of it.
    comma : whether the file has decimal commas.
    where : file, row, and column, for the error.

    Raises
    ------
    BadValue for a cell that can't be used, with the cure.
    """
    word = field_word(column.field)
    if column.is_number:
        return read_number(word, cell, comma=comma, where=where) * column.si
    if column.kind == YES_NO:
        said = str(cell).casefold()
        if said not in ("yes", "no", "true", "false"):
            raise BadValue(word, cell, "is neither yes nor no", "write yes or no", where)
        return said in ("yes", "true")
    if column.kind == PAIRS and isinstance(cell, str):
        try:
            return json.loads(cell)
        except (ValueError, RecursionError):  # the latter for very many brackets
            raise BadValue(
                word, cell, "can't be read", "write it as in [[240, 550], [260, 590]]", where
            ) from None
    return str(cell) if column.kind == TEXT else cell


def read_number(word: str, cell: Any, *, comma: bool = False, where: str = "") -> float:
    """Return the number in a cell, whose unit stands over it. Thousands marks have no place in these tables.

    Parameters
    ----------
    word : what it is, for the error.
    cell : text, or what TOML has made of it.
    comma : whether the file has decimal commas.
    where : file, row, and column, for the error.

    Raises
    ------
    BadValue for what could be two numbers, and for what is none.
    """
    text = str(cell)
    plain = clean(text) if len(text) <= LONGEST_TEXT and not isinstance(cell, bool) else ""
    if not _NUMBER.fullmatch(plain):
        cure = "write digits and a point, like 1234.5; the unit is in the column's name"
        raise BadValue(word, cell, "is not a plain number", cure, where)
    lone = _LONE.fullmatch(plain)
    if lone and not decimal_mark(plain.lstrip("+-")) and comma != (lone[2] == ","):
        cure = f'write "{lone[1]}{lone[3]}" or "{lone[1]}{"," if comma else "."}{lone[3]}"'
        raise BadValue(word, cell, "may be thousands or a decimal", cure, where)
    return float(plain.replace(",", "."))
