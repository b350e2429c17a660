"""Text files of a table: which encoding, which separator, which quotes. Every guess is told in a note."""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Callable, Iterable
from itertools import islice

from loadcalc.model.errors import BadValue
from loadcalc.season import bounds
from loadcalc.season.lists.formula_guard import as_typed
from loadcalc.season.lists.gear_words import header_hits
from loadcalc.season.lists.raw_table import EMPTY, RawCell, RawGrid, RawRow, right_of

SEPARATORS = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars"}
SAMPLE_ROWS, SAMPLE_CHARS = 60, 200_000
ODD_QUOTES = "the quotation marks do not add up, so each line is read on its own"
_MARKS = (  # UTF-32 before UTF-16: its mark begins with the same two bytes
    (b"\xff\xfe\x00\x00", "utf-32"), (b"\x00\x00\xfe\xff", "utf-32"),
    (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"), (b"\xef\xbb\xbf", "utf-8-sig"),
)  # fmt: skip


def read_text(
    data: bytes, filename: str, most: bounds.Bounds, judge: Callable[[str, str], float] | None = None
) -> RawGrid:
    """Return the rows of a text file that have something in them.

    Parameters
    ----------
    data, filename : the file. most : more is refused.
    judge : how well a separator cuts the text, the higher the better (default: by the words of gear lists).

    Raises
    ------
    BadValue when it is not a text file, or holds more than a season reads.
    """
    text, notes = decode(data, filename)
    separator, skip = _separator(text, judge or _score)
    if separator != ",":
        notes.append(f"cells are separated by {SEPARATORS[separator]}")
    rows = _rows(text, separator, skip, filename, most, notes)
    return RawGrid(rows, notes, separator=separator)


def decode(data: bytes, filename: str) -> tuple[str, list[str]]:
    """Return the text of a file and a note on its encoding when that is not UTF-8."""
    encoding = next((name for mark, name in _MARKS if data.startswith(mark)), "") or _unmarked(data)
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError:
        if encoding != "utf-8":
            cure = "save it again as CSV UTF-8"
            raise BadValue("file", filename, f"is damaged {encoding} text", cure) from None
        # Five bytes have no meaning in cp1252; a reader can see the mark that stands for them.
        encoding, text = "cp1252", data.decode("cp1252", errors="replace")
    if "\x00" in text:
        raise BadValue("file", filename, "is not a table of text", "save the list as CSV or XLSX")
    notes = [] if encoding.startswith("utf-8") else [f"the text is read as {encoding.upper()}"]
    return text, notes


def _unmarked(data: bytes) -> str:
    """Tell UTF-16 without a mark by its zero bytes: plain letters have one in every pair."""
    head = data[:400]
    if len(head) >= 4 and head.count(0) > 0.3 * len(head):
        return "utf-16-le" if head[1::2].count(0) > head[::2].count(0) else "utf-16-be"
    return "utf-8"


def _separator(text: str, judge: Callable[[str, str], float]) -> tuple[str, int]:
    """Return the separator, and how many lines to skip: 1 when the first line only names it ("sep=;")."""
    named = re.match(r"sep=([,;|\t])\r?\n", text, re.I)
    if named:
        return named[1], 1
    sample = text[:SAMPLE_CHARS]
    return max(SEPARATORS, key=lambda separator: judge(sample, separator)), 0


def _score(text: str, separator: str) -> float:
    """Judge a separator: by the header words that it brings out, then by how evenly it cuts the rows."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    try:
        rows = [row[: bounds.COLUMNS] for row in islice(reader, SAMPLE_ROWS) if any(map(str.strip, row))]
    except csv.Error:
        return -1.0
    if not rows:
        return 0.0
    hits = max(header_hits(row) for row in rows)
    width, times = Counter(len(row) for row in rows).most_common(1)[0]
    even = 5.0 * times / len(rows) + 0.1 * min(width, 10) if width > 1 else 0.0
    return 10.0 * hits + even


def _rows(
    text: str, separator: str, skip: int, filename: str, most: bounds.Bounds, notes: list[str]
) -> list[RawRow]:
    """Cut text into rows.

    A quotation mark that opens and never closes would swallow rows. So when the marks do not add up, each
    line is cut on its own, and in a line whose marks do not add up they are plain characters.
    """
    try:
        return _filled(_cut(text, separator), skip, filename, most, notes)
    except csv.Error:
        notes.append(ODD_QUOTES)
    lines = (_cut_line(line, separator) for line in io.StringIO(text, newline=None))
    try:
        return _filled(lines, skip, filename, most, notes)
    except csv.Error as error:
        problem = f"cannot be cut into cells ({error})"
        raise BadValue("file", filename, problem, "shorten that cell, or save it as CSV again") from None


def _filled(
    records: Iterable[list[str]], skip: int, filename: str, most: bounds.Bounds, notes: list[str]
) -> list[RawRow]:
    """Return the records that have something in them, counted as they come."""
    rows: list[RawRow] = []
    cells, beyond = 0, False
    for number, values in enumerate(records, start=1):
        bounds.refuse_above("lines", number, bounds.LINES, filename, "take out the empty ones")
        if number <= skip or not any(map(str.strip, values)):
            continue
        kept = values[: bounds.COLUMNS]
        cells += sum(map(bool, kept))
        beyond = beyond or any(map(str.strip, islice(values, bounds.COLUMNS, None)))
        rows.append(RawRow(number, tuple(RawCell(as_typed(value)) if value else EMPTY for value in kept)))
        bounds.refuse_above("rows", len(rows), most.rows, filename, "split it into smaller files")
        bounds.refuse_above("cells", cells, bounds.CSV_CELLS, filename, "split it into smaller files")
    notes.extend(right_of(beyond))
    return rows


def _cut(text: str, separator: str) -> Iterable[list[str]]:
    return csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)


def _cut_line(line: str, separator: str) -> list[str]:
    if not line.strip():
        return []
    try:
        found = list(_cut(line, separator))
    except csv.Error:
        found = list(csv.reader([line], delimiter=separator, quoting=csv.QUOTE_NONE))
    return found[0] if found else []
