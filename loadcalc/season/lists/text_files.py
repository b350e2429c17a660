"""Text files of a table: which encoding, which separator, which quotes. Every guess is told in a note."""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Callable
from itertools import islice

from loadcalc.model.errors import BadValue
from loadcalc.season import bounds
from loadcalc.season.lists.formula_guard import as_typed
from loadcalc.season.lists.gear_words import header_hits
from loadcalc.season.lists.raw_table import RawCell, RawGrid, RawRow

SEPARATORS = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars"}
SAMPLE_ROWS = 60
ODD_QUOTES = "the quotation marks do not add up, so each line is read on its own"
_MARKS = (  # UTF-32 before UTF-16: its mark begins with the same two bytes
    (b"\xff\xfe\x00\x00", "utf-32"), (b"\x00\x00\xfe\xff", "utf-32"),
    (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"), (b"\xef\xbb\xbf", "utf-8-sig"),
)  # fmt: skip


def read_text(
    data: bytes, filename: str, most_rows: int, judge: Callable[[str, str], float] | None = None
) -> RawGrid:
    """Return the rows of a text file that have something in them.

    Parameters
    ----------
    data, filename : the file. most_rows : more are refused.
    judge : how well a separator cuts the text, the higher the better (default: by the words of gear lists).

    Raises
    ------
    BadValue when it is not a text file or has more than `most_rows` rows.
    """
    text, notes = decode(data, filename)
    separator, skip = _separator(text, judge or _score)
    if separator != ",":
        notes.append(f"cells are separated by {SEPARATORS[separator]}")
    rows = []
    for number, values in enumerate(_records(text, separator, filename, notes), start=1):
        cells = tuple(RawCell(as_typed(value)) for value in values)
        if number <= skip or not any(cell.text.strip() for cell in cells):
            continue
        rows.append(RawRow(number, cells))
        bounds.refuse_above("rows", len(rows), most_rows, filename, "split it into smaller files")
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
    return max(SEPARATORS, key=lambda separator: judge(text, separator)), 0


def _score(text: str, separator: str) -> float:
    """Judge a separator: by the header words that it brings out, then by how evenly it cuts the rows."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    try:
        rows = [row for row in islice(reader, SAMPLE_ROWS) if any(cell.strip() for cell in row)]
    except csv.Error:
        return -1.0
    if not rows:
        return 0.0
    hits = max(header_hits(row) for row in rows)
    width, times = Counter(len(row) for row in rows).most_common(1)[0]
    even = 5.0 * times / len(rows) + 0.1 * min(width, 10) if width > 1 else 0.0
    return 10.0 * hits + even


def _records(text: str, separator: str, filename: str, notes: list[str]) -> list[list[str]]:
    """Cut text into records.

    A quotation mark that opens and never closes would swallow rows. So when the marks do not add up, each
    line is cut on its own, and in a line whose marks do not add up they are plain characters.
    """
    try:
        return _cut(text, separator)
    except csv.Error:
        notes.append(ODD_QUOTES)
    try:
        return [_cut_line(line, separator) for line in io.StringIO(text, newline=None)]
    except csv.Error as error:
        problem = f"cannot be cut into cells ({error})"
        raise BadValue("file", filename, problem, "save it as CSV again") from None


def _cut(text: str, separator: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True))


def _cut_line(line: str, separator: str) -> list[str]:
    try:
        found = _cut(line, separator)
    except csv.Error:
        found = list(csv.reader([line], delimiter=separator, quoting=csv.QUOTE_NONE))
    return found[0] if found else []
