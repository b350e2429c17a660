"""How large a file may be that a season reads: each bound once, checked before the costly step that it bounds.

While a kernel works on a file it answers to nothing else, and a small file can ask for a lot of work. So what is
counted is what costs: rows, cells, unpacked bytes, marks of XML. Ten busy years with 2,000 items stay under each.
docs/tables.md tells these numbers; a test holds it to them.
"""

from __future__ import annotations

import zipfile
from collections.abc import Iterable
from typing import NamedTuple

from loadcalc.model.errors import BadValue

MB = 1_000_000


class Bounds(NamedTuple):
    """The most bytes of a file of one kind, and the most rows with something in them."""

    file_bytes: int
    rows: int


GEAR_LIST = Bounds(5 * MB, 5_000)  # somebody else's, CSV or XLSX
OWN_TABLE = Bounds(20 * MB, 150_000)  # one of the season's own: 400 loadouts of 300 things are 120,000 rows
TEXT_TABLE = Bounds(5 * MB, 10_000)  # of the folder that a season is started from
TOML_BYTES, LOADOUTS = MB, 500  # in that folder: forty loadouts of 300 things have a third of a MB
COLUMNS = 200  # what stands further right is not read
LINES = 1_048_576  # as many as a spreadsheet has, empty ones counted
CSV_CELLS = 1_000_000  # with something in them
CELL_CHARS = 131_072  # as many as csv takes; what a trip carried is one cell, and 2,000 items take 60,000
KEY_PARTS = 16  # names between the dots of a TOML key
# Of an XLSX file:
UNPACKED_BYTES = 100 * MB  # by its directory: no part unpacks to more than is said there
PART_BYTES = 30 * MB  # of a part that is read
XLSX_CELLS = 100_000  # with something in them, in the sheet that is read
MERGES = 2_000  # groups of merged cells
SHEETS = "xl/worksheets/"
TAGS = {SHEETS: 700_000, "xl/sharedStrings.xml": 200_000, "": 60_000}  # of XML, in a part whose name begins so
ALL_TAGS = 1_500_000  # of all parts that are read, each time they are
MOST_ATTRIBUTES = 0.5  # for each tag allowed
# Of a season's zip. Ten busy years have 3 MB, unpacked 20, and 0.1 in one entry (tests/bench/decade.py). An entry
# is parsed at once, and one made of nothing but brackets takes 40 times its length in memory.
ZIP_BYTES = 25 * MB
ABOUT_BYTES, LEDGER_BYTES, ENTRY_BYTES = MB // 10, 200 * MB, 8 * MB


def refuse_above(what: str, found: int, most: int, filename: str, cure: str) -> None:
    """Raise BadValue when a file has more of something than a season reads.

    Parameters
    ----------
    what : what is counted, in the plural ("rows"). found, most : how many there are, and the most.
    filename, cure : for the message.
    """
    if found > most:
        raise BadValue("file", filename, f"has more than {most:,} {what}, the most that is read", cure)


def refuse_long(text: str, cell: str, filename: str) -> None:
    """Raise BadValue when a cell is longer than any that a season reads.

    Parameters
    ----------
    text : what stands in it. cell, filename : where.
    """
    if len(text) > CELL_CHARS:
        problem = f"has {len(text):,} characters; the most is {CELL_CHARS:,}"
        raise BadValue("cell", cell, problem, "shorten it", filename)


def refuse_large(found_bytes: int, most_bytes: int, filename: str, cure: str) -> None:
    """Raise BadValue when a file is larger than a season reads.

    Parameters
    ----------
    found_bytes, most_bytes : its size and the most [bytes]. filename, cure : for the message.
    """
    if found_bytes > most_bytes:
        size = f"is {found_bytes / MB:.1f} MB; the most is {most_bytes / MB:g} MB"
        raise BadValue("file", filename, size, cure)


def refuse_unpacking(entries: Iterable[zipfile.ZipInfo], most_bytes: int, filename: str, cure: str) -> None:
    """Raise BadValue when a package says that it unpacks to more than a season reads.

    Parameters
    ----------
    entries : its central directory. most_bytes : the most, all parts together [bytes].
    filename, cure : for the message.
    """
    unpacked_bytes = sum(entry.file_size for entry in entries)
    if unpacked_bytes > most_bytes:
        size = f"unpacks to {unpacked_bytes / MB:.0f} MB; the most is {most_bytes / MB:g} MB"
        raise BadValue("file", filename, size, cure)
