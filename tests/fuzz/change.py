"""Change files at random: their bytes, their words and lines, the cells of a table, the parts of a package."""

from __future__ import annotations

import csv
import io
import random
import re
import zipfile
from collections.abc import Callable

from tests.fuzz.words import anything, letters

MOST_BYTES = 400_000  # of an input: small files with a large cost are what is looked for
_HOUR = re.compile(rb"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ")
PACKINGS = (zipfile.ZIP_DEFLATED,) * 12 + (zipfile.ZIP_STORED, zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA)
_WORD = re.compile(r"[^\s,;\"'=\[\]{}<>|:]+")


def raw(rng: random.Random, data: bytes) -> bytes:
    """Change bytes: flip, put in, take out, repeat, cut short."""
    changed = bytearray(data)
    for _ in range(rng.choice((1, 1, 2, 5))):
        at = rng.randint(0, len(changed))
        end = at + rng.choice((1, 4, 40, 400))
        how = rng.randrange(5)
        if how == 0:
            changed[at:at] = rng.randbytes(rng.choice((1, 2, 8)))
        elif how == 1:
            del changed[at:end]
        elif how == 2:
            changed[at:end] = changed[at:end] * rng.choice((2, 3, 50))
        elif how == 3 and rng.random() < 0.2:
            del changed[at:]
        elif changed:
            changed[at % len(changed)] ^= 1 << rng.randrange(8)
    return bytes(changed[:MOST_BYTES])


def words(rng: random.Random, data: bytes) -> bytes:
    """Change a text: put other words in the place of some, or lines, or letters."""
    text = data.decode("utf-8", "replace")
    for _ in range(rng.choice((1, 1, 1, 2, 4))):
        text = rng.choice((_a_word, _a_word, _a_word, _a_line, letters))(rng, text)[:MOST_BYTES]
    return text.encode("utf-8", "surrogatepass")


def _a_word(rng: random.Random, text: str) -> str:
    found = list(_WORD.finditer(text))
    if not found:
        return anything(rng)
    one, other = rng.choice(found), rng.choice(found)
    new = other[0] if rng.random() < 0.3 else anything(rng)
    return text[: one.start()] + new + text[one.end() :]


def _a_line(rng: random.Random, text: str) -> str:
    lines = text.splitlines(keepends=True) or [""]
    at, other = rng.randrange(len(lines)), rng.randrange(len(lines))
    how = rng.randrange(4)
    if how == 0:
        del lines[at]
    elif how == 1:
        lines.insert(at, lines[other])
    elif how == 2:
        lines[at], lines[other] = lines[other], lines[at]
    else:
        lines[at:at] = [lines[other]] * rng.choice((2, 30, 300))
    return "".join(lines)


Grid = list[list[str]]


def grid(data: bytes) -> Grid:
    """Return the cells of a CSV file with commas."""
    return list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))


def cells(rng: random.Random, table: Grid) -> Grid:
    """Change the cells of a table, now and then its rows or columns."""
    changed = [list(row) for row in table] or [[""]]
    for _ in range(rng.choice((1, 1, 2, 3, 8))):
        row = rng.choice(changed)
        at = rng.randrange(len(row)) if row else 0
        how = rng.random()
        if how < 0.75:
            row[at : at + 1] = [anything(rng)]
        elif how < 0.8:
            changed.insert(rng.randrange(len(changed) + 1), list(row))
        elif how < 0.85 and len(changed) > 1:
            del changed[rng.randrange(1, len(changed))]
        elif how < 0.9:
            for other in changed:
                del other[at : at + 1]
        elif how < 0.95:
            for other in changed:
                other.insert(at, anything(rng) if rng.random() < 0.5 else "")
        else:
            del row[at : at + 1]
    return changed


def as_csv(rng: random.Random, table: Grid) -> bytes:
    """Write a table as text, in one of the ways in which programs do."""
    out = io.StringIO()
    mark = rng.choice((",", ",", ",", ";", "\t", "|"))
    csv.writer(out, delimiter=mark, quoting=rng.choice((csv.QUOTE_MINIMAL, csv.QUOTE_ALL))).writerows(table)
    how = rng.choice(("utf-8", "utf-8", "utf-8-sig", "utf-16", "cp1252"))
    return out.getvalue().encode(how, "replace" if how != "utf-8" else "surrogatepass")


def steady(data: bytes) -> bytes:
    """Return an XLSX file as if it had been written at a fixed hour, so that a seed says all."""
    return packed(None, {name: _HOUR.sub(b"2026-05-15T08:00:00Z", part) for name, part in _parts(data).items()})


def _parts(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as old:
        return {name: old.read(name) for name in old.namelist()}


def package(rng: random.Random, data: bytes, change: Callable[[random.Random, bytes], bytes]) -> bytes:
    """Change one part of a zip, and pack it again."""
    parts = _parts(data)
    name = rng.choice(list(parts))
    how = rng.random()
    if how < 0.05:
        del parts[name]
    elif how < 0.1:
        parts[rng.choice(list(parts))] = parts[name]
    else:
        parts[name] = change(rng, parts[name])
    return packed(rng, parts)


def packed(rng: random.Random | None, parts: dict[str, bytes]) -> bytes:
    """Pack parts as a zip, as everybody does; with `rng` now and then otherwise, or with an odd header."""
    how = rng.choice(PACKINGS) if rng else zipfile.ZIP_DEFLATED
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", how, compresslevel=1) as new:
        for name, content in parts.items():
            new.writestr(zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0)), content, how)
    data = bytearray(out.getvalue())
    if rng and rng.random() < 0.1:  # a byte of a header: flags, sizes, method, name
        place = rng.choice([found.start() for found in re.finditer(rb"PK(\x03\x04|\x01\x02|\x05\x06)", data)])
        data[min(place + rng.randrange(46), len(data) - 1)] = rng.randrange(256)
    return bytes(data)
