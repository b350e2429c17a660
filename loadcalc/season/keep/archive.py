"""A whole season as one zip of plain text, and a season out of such a zip.

    about.json       what this is, and how many entries and changes there are
    ledger.jsonl     the ledger: one line of JSON for each entry, oldest first, with its changes
    tables/*.csv     each table as it stood when the zip was made, in SI, for reading only

The ledger is everything: ids, dates, who, notes, undos, every change. The season that is made from it has the same
ledger, so the same history, keys, and present, and its zip is the same byte for byte.
"""

from __future__ import annotations

import datetime
import io
import json
import sqlite3
import struct
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from typing import IO, Any

from loadcalc.model.errors import BadValue, LoadcalcError
from loadcalc.model.quantities import SI
from loadcalc.season import bounds
from loadcalc.season.edit.store import Season
from loadcalc.season.edit.truth import check_all
from loadcalc.season.file import ledger, schema, seals
from loadcalc.season.file.fields import DATE, FIELDS, NUMBER, PAIRS, TEXT, WHOLE, YES_NO
from loadcalc.season.keep.opening import make_season
from loadcalc.season.tables.write import write_csv

ABOUT, LEDGER, TABLES = "about.json", "ledger.jsonl", "tables"
FORMAT = "season as plain text"
MOST_ID = 2**53
YEARS = range(1970, 2200)  # in which an entry can have been written, by however wrong a clock
_TIME = (1980, 1, 1, 0, 0, 0)  # the same season makes the same zip, whenever it is made
_ENTRY = ("id", "at", "who", "kind", "note", "undoes")
_CHANGE = ("id", "subject", "key", "field", "value", "was")
_NOT_OURS = "take a zip that was saved from a season's page, as it was saved"
_FORMS = {TEXT: str, NUMBER: float, WHOLE: int, YES_NO: bool}
_MOST = {ABOUT: bounds.ABOUT_BYTES, LEDGER: bounds.LEDGER_BYTES}
_COPY = "keep a copy of the season instead: what is larger can't be brought in again"
_ODD = (zipfile.BadZipFile, zlib.error, struct.error, EOFError, KeyError, ValueError, NotImplementedError, RuntimeError)
_ODD_LINE = (ValueError, TypeError, KeyError, AttributeError, OverflowError, RecursionError, sqlite3.IntegrityError)


def season_zip(season: Season) -> bytes:
    """Return the whole season as a zip of plain text.

    Parameters
    ----------
    season : the open season; it is read at one moment, whatever other notebooks write meanwhile.

    Raises
    ------
    BadValue when it is larger, or one entry longer, than may be brought in again.
    """
    lines, changes = season.ask(_ledger_lines)
    about = {
        "what": FORMAT, "form": schema.SCHEMA_VERSION, "entries": len(lines), "changes": changes,
        "encoding": "UTF-8", "units": "SI, named at the end of each field",
    }  # fmt: skip
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as package:
        _put(package, ABOUT, json.dumps(about, indent=1).encode() + b"\n")
        _put(package, LEDGER, "".join(f"{line}\n" for line in lines).encode("utf-8"))
        for subject in FIELDS:
            name = f"{TABLES}/{schema.table_name(subject)}.csv"
            _put(package, name, write_csv(season.present, subject, SI))
    bounds.refuse_large(out.tell(), bounds.ZIP_BYTES, "the zip", _COPY)
    return out.getvalue()


def _put(package: zipfile.ZipFile, name: str, content: bytes) -> None:
    entry = zipfile.ZipInfo(name, _TIME)
    entry.compress_type = zipfile.ZIP_DEFLATED
    entry.external_attr = 0o644 << 16
    package.writestr(entry, content)


def _ledger_lines(db: sqlite3.Connection) -> tuple[list[str], int]:
    """Return one line for each entry, and how many changes they hold. Values stay as the file has them."""
    changes: dict[int, list[str]] = {}
    count = 0
    for row in db.execute("SELECT entry_id, id, subject, key, field, value, was FROM change ORDER BY id"):
        number, *names, value, was = row
        parts = [_json(part) for part in names] + [value or "null", was or "null"]
        changes.setdefault(number, []).append(f"[{', '.join(parts)}]")
        count += 1
    lines = []
    for row in db.execute(f"SELECT {', '.join(_ENTRY)} FROM entry ORDER BY id"):
        fields = [f"{_json(name)}: {_json(value)}" for name, value in zip(_ENTRY, row, strict=True)]
        lines.append(f'{{{", ".join(fields)}, "changes": [{", ".join(changes.get(row[0], ()))}]}}')
        bounds.refuse_large(len(lines[-1].encode()), bounds.ENTRY_BYTES - 1, f"entry {row[0]}, as text", _COPY)
    return lines, count


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def start_from_zip(folder: str | Path, data: bytes, who: str = "") -> Season:
    """Make a season in `folder` out of a zip that :func:`season_zip` made, and open it.

    Parameters
    ----------
    folder : where it will live: a new or empty folder. It is left as it was when anything goes wrong.
    data : the zip.
    who : the name written beside later entries (default: this computer's user).

    Raises
    ------
    SeasonError when there is a season already or the folder can't be written to; BadValue when the zip is no
    season, is damaged, of a newer program, or holds a ledger that does not add up, with the line.
    """
    return make_season(folder, lambda part: _fill(part, data), who)


def _fill(part: Path, data: bytes) -> None:
    bounds.refuse_large(len(data), bounds.ZIP_BYTES, "the zip", _NOT_OURS)
    with _no_zip_of_ours(), zipfile.ZipFile(io.BytesIO(data)) as package:
        about = _about(package)
        with _open(package, LEDGER) as lines:
            found = _write(part, lines)
    wanted = about.get("entries"), about.get("changes")
    if found != wanted:
        problem = (
            f"holds {found[0]} entries and {found[1]} changes, and should hold {wanted[0]} and {wanted[1]}"
        )
        raise BadValue("zip", LEDGER, problem, _NOT_OURS)


@contextmanager
def _no_zip_of_ours() -> Iterator[None]:
    """Put into words whatever zipfile raises about a zip that is damaged, or packed in ways that it doesn't know."""
    try:
        yield
    except LoadcalcError:
        raise
    except _ODD as error:
        raise BadValue("zip", "", f"is damaged or no season ({error})", _NOT_OURS) from error


def _open(package: zipfile.ZipFile, name: str) -> IO[bytes]:
    """Open one part, packed as we pack; zipfile reads no more of it than its directory says."""
    part = package.getinfo(name)
    if part.flag_bits & 1:
        raise BadValue("zip", name, "is encrypted", _NOT_OURS)
    if part.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        raise BadValue("zip", name, "is packed in a way that we never use", _NOT_OURS)
    bounds.refuse_unpacking([part], _MOST[name], name, _NOT_OURS)
    return io.BufferedReader(package.open(part), 1 << 16)  # type: ignore[type-var]  # its own reading by lines is slow


def _about(package: zipfile.ZipFile) -> dict[str, Any]:
    """Return what the zip says it is."""
    try:
        with _open(package, ABOUT) as file:
            about = json.load(file)
    except BadValue:
        raise
    except (KeyError, ValueError, RecursionError):
        about = None
    if not isinstance(about, dict) or about.get("what") != FORMAT:
        raise BadValue("zip", ABOUT, "does not say that this is a season", _NOT_OURS)
    form = about.get("form")
    if not isinstance(form, int) or form > schema.SCHEMA_VERSION:
        problem = f"is of a newer program (this one knows form {schema.SCHEMA_VERSION})"
        raise BadValue("form", form, problem, "update the program, then bring it in again")
    return about


def _write(part: Path, lines: IO[bytes]) -> tuple[int, int]:
    """Fill the new season file; return how many entries and changes there were."""
    with schema.in_words(part), closing(schema.create(part)) as db:
        db.execute("BEGIN")
        counted = [0, 0]
        for number, line in enumerate(iter(lambda: lines.readline(bounds.ENTRY_BYTES), b""), start=1):
            bounds.refuse_large(len(line), bounds.ENTRY_BYTES - 1, f"{LEDGER} line {number}", _NOT_OURS)
            try:
                counted[1] += _write_entry(db, json.loads(line))
            except _ODD_LINE as error:
                raise BadValue("line", number, f"can't be used ({error})", _NOT_OURS, LEDGER) from error
            counted[0] += 1
        if not counted[0]:
            raise BadValue("ledger", LEDGER, "has no entry", _NOT_OURS)
        try:
            seals.settle(db, seals.add_up(db))
        except seals.Broken as broken:
            problem = f"does not follow from the ones before it ({' '.join(broken.place)})"
            raise BadValue("change", broken.change, problem, _NOT_OURS, f"entry {broken.entry}") from broken
        check_all(ledger.load(db))
        db.execute("COMMIT")
        db.execute("PRAGMA journal_mode = WAL")
    return counted[0], counted[1]


def _write_entry(db: sqlite3.Connection, line: dict[str, Any]) -> int:
    """Write one entry as it was; return how many changes it has. Only what an edit of a season writes is let in."""
    entry = [line[name] for name in _ENTRY]
    number, at, *texts, undoes = entry
    _whole("its id", number)
    if not all(isinstance(text, str) for text in (at, *texts)):
        raise ValueError("at, who, kind, or note is not text")
    when = datetime.datetime.fromisoformat(at)
    if when.year not in YEARS or when.astimezone(datetime.UTC).isoformat(timespec="milliseconds") != at:
        raise ValueError(f"{at} is not written as a season writes a time, or far from today")
    if undoes is not None and _whole("what it undoes", undoes) >= number:
        raise ValueError("it undoes one that isn't before it")
    db.execute(f"INSERT INTO entry ({', '.join(_ENTRY)}) VALUES (?, ?, ?, ?, ?, ?)", entry)
    rows = list(_change_rows(line))
    sql = f"INSERT INTO change (entry_id, {', '.join(_CHANGE)}) VALUES (?, ?, ?, ?, ?, ?, ?)"
    db.executemany(sql, rows)
    return len(rows)


def _change_rows(line: dict[str, Any]) -> Iterator[tuple[Any, ...]]:
    for number, subject, key, field, value, was in line["changes"]:
        _whole("a change's id", number)
        if not all(isinstance(name, str) for name in (subject, key, field)):
            raise ValueError("a subject, key, or field is not text")
        texts = [None if part is None else _json(part) for part in (value, was)]
        if value is not None and not _has_form(FIELDS.get(subject, {}).get(field, ""), value):
            raise ValueError(f"{subject} {key} {field} holds what a season never keeps there")
        yield line["id"], number, subject, key, field, *texts


def _has_form(kind: str, value: Any) -> bool:
    """Whether a value is one that some program has kept: of its field's kind, within whatever bounds there were."""
    if kind == DATE:
        with suppress(ValueError, TypeError):
            return datetime.date.fromisoformat(value).isoformat() == value
    if kind == PAIRS:
        return type(value) is list and all(_forms(pair) == [float, float] for pair in value)
    return type(value) is _FORMS.get(kind)


def _forms(pair: Any) -> list[type]:
    return [type(part) for part in pair] if type(pair) is list else []


def _whole(what: str, number: Any) -> int:
    if type(number) is not int or not 1 <= number <= MOST_ID:
        raise ValueError(f"{what} is not a whole number from 1 to 2**53")
    return number
