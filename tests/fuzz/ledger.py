"""Change what the ledger in a season's zip says, and mend it so that it follows again: then what it says counts."""

from __future__ import annotations

import io
import json
import random
import zipfile
from collections.abc import Callable
from typing import Any

from loadcalc.season.file.fields import DATE, FIELDS, NUMBER, PAIRS, WHOLE, YES_NO
from tests.fuzz.change import packed
from tests.fuzz.words import CHOICES, DAYS, NAMES

Lines = list[dict[str, Any]]
ODD_NUMBERS = (
    0.0, -0.0, -5.0, 1.0, 1e-320, 1e-9, 0.3, 2.5, 60.0, 4000.0, 99999.0, 1e15, 1e308, -1e308, 3, True, "3", None,
)  # fmt: skip
ODD_IDS: tuple[Any, ...] = (0, -1, 1, 2, 2**53, 2**63 - 1, 2**63, 10**30, 1.5, True, "1", None, [])
ODD_TIMES = (
    "2026-05-15T08:00:00.000+00:00", "2026-05-15T08:00:00", "1970-01-01T00:00:00.000+00:00",
    "2199-12-31T23:59:59.999+00:00", "9999-12-31T23:59:59.999+00:00", "0001-01-01T00:00:00.000+00:00", "", 5, None,
)  # fmt: skip
OF_KIND: dict[str, tuple[Any, ...]] = {
    NUMBER: ODD_NUMBERS,
    WHOLE: (0, 1, 2, -1, 3.0, 2.5, 10**6, 10**18, 2**63, 10**400, True, "2", None),
    DATE: (*DAYS, 5, None),
    YES_NO: (True, False, "yes", 1, None),
    PAIRS: ([], [[]], [[240.0, 550.0]], [[0.0, 0.0]], [[1.0]], "[[", 5, [[1e308, -1.0]] * 3, None),
}  # fmt: skip


def steady(data: bytes) -> bytes:
    """Return a season's zip as if it had been written at a fixed hour by a fixed hand, so that a seed says all."""
    lines, about = _read(data)
    for number, line in enumerate(lines):
        line |= {"at": f"2026-05-15T08:{number:02}:00.000+00:00", "who": "Ines"}
    return packed(None, _written(lines, about))


def edited(rng: random.Random, data: bytes) -> bytes:
    """Return a season's zip with its ledger edited; mostly it follows from entry to entry, and the counts are right."""
    lines, about = _read(data)
    for _ in range(rng.choice((1, 1, 2, 3))):
        rng.choice(EDITS)(rng, lines)
    if rng.random() < 0.9:
        lines = _following(lines)
    if rng.random() < 0.95:
        about |= {"entries": len(lines), "changes": sum(len(line["changes"]) for line in lines)}
    if rng.random() < 0.05:
        about[rng.choice(tuple(about))] = rng.choice((*ODD_IDS, *NAMES, 6, 7))
    return packed(rng, _written(lines, about))


def _read(data: bytes) -> tuple[Lines, dict[str, Any]]:
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        lines = [json.loads(line) for line in package.read("ledger.jsonl").splitlines()]
        return lines, json.loads(package.read("about.json"))


def _written(lines: Lines, about: dict[str, Any]) -> dict[str, bytes]:
    text = "".join(f"{json.dumps(line)}\n" for line in lines)
    return {"about.json": json.dumps(about).encode(), "ledger.jsonl": text.encode()}


def _odd(rng: random.Random, subject: Any, field: Any) -> Any:
    kind = FIELDS.get(str(subject), {}).get(str(field))  # an edit before may have made either anything
    return rng.choice(OF_KIND.get(str(kind), (*NAMES, *CHOICES, 5, None, ["x"])))


def _a_value(rng: random.Random, lines: Lines) -> None:
    """One field says something else."""
    if changes := rng.choice(lines)["changes"]:
        row = rng.choice(changes)
        row[4] = _odd(rng, row[1], row[3])


def _a_thing_goes(rng: random.Random, lines: Lines) -> None:
    """A thing, or all of its subject, was never there."""
    if changes := rng.choice(lines)["changes"]:
        _, subject, key, *_ = rng.choice(changes)
        whole = rng.random() < 0.3
        for line in lines:
            line["changes"] = [row for row in line["changes"] if row[1] != subject or not (whole or row[2] == key)]


def _a_thing_comes(rng: random.Random, lines: Lines) -> None:
    """A thing of any subject, with some of its fields."""
    subject = rng.choice(tuple(FIELDS))
    known = [row[2] for line in lines for row in line["changes"] if row[1] == subject]
    key = rng.choice((rng.choice(known or [""]), rng.choice(NAMES), f"friday-departure/{rng.choice(NAMES)}"))
    fields = rng.sample(tuple(FIELDS[subject]), rng.randint(1, min(4, len(FIELDS[subject]))))
    changes = rng.choice(lines)["changes"]
    changes += [[0, subject, key, field, _odd(rng, subject, field), None] for field in fields]


def _a_name_in_a_change(rng: random.Random, lines: Lines) -> None:
    """A subject, key, or field is called something else."""
    if changes := rng.choice(lines)["changes"]:
        rng.choice(changes)[rng.randrange(6)] = rng.choice((*NAMES, *FIELDS, *ODD_IDS, {}, 1.5))


def _of_an_entry(rng: random.Random, lines: Lines) -> None:
    """What an entry says of itself."""
    line = rng.choice(lines)
    name = rng.choice(("id", "at", "at", "who", "kind", "note", "undoes", "changes"))
    odd: tuple[Any, ...] = {"id": ODD_IDS, "undoes": ODD_IDS, "at": ODD_TIMES}.get(name, (*NAMES, 5, None, [], {}))
    line[name] = rng.choice(odd)
    if not isinstance(line["changes"], list) or rng.random() < 0.05:
        line["changes"] = []


def _an_entry_more(rng: random.Random, lines: Lines) -> None:
    """An entry comes twice, goes, or comes at another place."""
    at = rng.randrange(len(lines))
    line = json.loads(json.dumps(lines[at]))
    if rng.random() < 0.5 and len(lines) > 1:
        del lines[at]
    lines.insert(rng.randint(0, len(lines)), line)


EDITS: tuple[Callable[[random.Random, Lines], None], ...] = (
    _a_value, _a_value, _a_value, _a_value, _a_thing_goes, _a_thing_goes, _a_thing_comes, _a_thing_comes,
    _a_name_in_a_change, _of_an_entry, _an_entry_more,
)  # fmt: skip


def _following(lines: Lines) -> Lines:
    """Number the changes anew, and let each begin where the one before it ended."""
    now: dict[Any, Any] = {}
    number = 0
    for line in lines:
        kept = []
        for row in line["changes"]:
            place = json.dumps(row[1:4])
            was = now.get(place)
            if json.dumps(row[4]) != json.dumps(was):
                number += 1
                kept.append([number, *row[1:5], was])
                now[place] = row[4]
        line["changes"] = kept
    return lines
