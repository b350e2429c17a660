"""Zips that somebody made to hurt, or edited by hand: refused by name, at once, with nothing left on the disk."""

from __future__ import annotations

import io
import json
import tracemalloc
import zipfile
from collections.abc import Callable
from pathlib import Path
from time import process_time
from typing import Any

import pytest

from loadcalc.model.errors import LoadcalcError
from loadcalc.season.keep.archive import season_zip, start_from_zip
from tests.season.test_season_archive import _about, _line, _packed, _parts
from tests.season_help import demo_season

Change = Callable[[dict[str, bytes]], Any]
NEAR_2_63 = 2**63 - 1


def _demo_parts(base: Path) -> dict[str, bytes]:
    """The demo season's zip with an edit and its undo after it, part by part."""
    with demo_season(base) as season:
        season.set_item("chainsaw", mass_kg=7.0)
        season.undo()
        return _parts(season_zip(season))


def _refused(base: Path, data: bytes) -> str:
    """Return the words with which a zip is refused; the folder isn't there afterwards."""
    with pytest.raises(LoadcalcError) as caught:
        start_from_zip(base / "other", data)
    assert not (base / "other").exists()
    return str(caught.value)


def _value(subject: str, key: str, field: str, value: Any) -> Change:
    """Let the first entry say another value, wherever the ledger names the one that it said."""

    def edit(parts: dict[str, bytes]) -> None:
        lines = [json.loads(line) for line in parts["ledger.jsonl"].splitlines()]
        first = next(change for change in lines[0]["changes"] if change[1:4] == [subject, key, field])
        first[4] = value
        for line in lines[1:]:
            for change in line["changes"]:
                if change[1:4] == [subject, key, field]:
                    change[5 if line is lines[1] else 4] = value
        _put(parts, lines)

    return edit


def _without(*subjects: str) -> Change:
    """Take every change of these subjects out of the ledger."""

    def edit(parts: dict[str, bytes]) -> None:
        lines = [json.loads(line) for line in parts["ledger.jsonl"].splitlines()]
        for line in lines:
            line["changes"] = [change for change in line["changes"] if change[1] not in subjects]
        _put(parts, lines)

    return edit


def _more(*rows: list[Any]) -> Change:
    """Let the last entry say more: (subject, key, field, value)."""

    def edit(parts: dict[str, bytes]) -> None:
        lines = [json.loads(line) for line in parts["ledger.jsonl"].splitlines()]
        number = max(change[0] for line in lines for change in line["changes"])
        lines[-1]["changes"] += [[number + n, *row, None] for n, row in enumerate(rows, start=1)]
        _put(parts, lines)

    return edit


def _put(parts: dict[str, bytes], lines: list[dict[str, Any]]) -> None:
    """Write a ledger that adds up in itself, with the counts that belong to it."""
    parts["ledger.jsonl"] = "".join(f"{json.dumps(line)}\n" for line in lines).encode()
    _about(changes=sum(len(line["changes"]) for line in lines))(parts)


WINCH = (["item", "winch", "name", "Winch"], ["item", "winch", "mass_kg", 9.0])
DEPARTURES = ("loadout", "stowed", "filled", "riding", "strapping", "trip", "weigh_in")
UNTRUE: list[tuple[str, Change, str]] = [
    ("a mass below nothing", _value("item", "chainsaw", "mass_kg", -5.0), "Chainsaw: mass each -5"),
    ("no wheelbase", _value("vehicle", "vehicle", "wheelbase_m", 0.0), "wheelbase 0"),
    ("text as a mass", _value("item", "loppers", "mass_kg", "heavy"), "item loppers mass_kg holds"),
    ("half a piece", _value("item", "loppers", "count", 2.0), "loppers count"),
    ("a day that is none", _value("loadout", "friday-departure", "date", "Friday"), "friday-departure"),
    ("a mass of 400 digits", _value("item", "loppers", "mass_kg", 10**400), "line 1"),
    ("an unknown field", _more(["item", "loppers", "color", "red"]), "item loppers color holds"),
    ("an unknown subject", _more(["spell", "one", "name", "Fire"]), "spell one name holds"),
    ("gear in a zone that isn't there", _more(*WINCH, ["stowed", "friday-departure/winch", "zone", "attic"]), "attic"),
    ("gear on a departure that isn't there", _more(["stowed", "never/loppers", "zone", "cargo-floor"]), "never"),
    ("two of one name", _more(*WINCH, ["item", "y", "name", "winch"], ["item", "y", "mass_kg", 1.0]), "already taken"),
    ("no departure", _without(*DEPARTURES), "has no departure"),
]  # fmt: skip


@pytest.mark.parametrize(("change", "words"), [row[1:] for row in UNTRUE], ids=[row[0] for row in UNTRUE])
def test_a_zip_that_adds_up_but_cannot_be_true_is_refused(tmp_path: Path, change: Change, words: str) -> None:
    """What no edit of a season could have made is no season, though its ledger follows entry by entry."""
    parts = _demo_parts(tmp_path)
    change(parts)
    said = _refused(tmp_path, _packed(parts))
    assert any(word in said for word in words.split("|")), said


def test_what_was_wrong_and_put_right_later_is_still_refused(tmp_path: Path) -> None:
    """A value of the wrong kind in the past would stop the page that looks back."""
    parts = _demo_parts(tmp_path)
    _line(1, lambda line: line["changes"][0].__setitem__(4, ["heavy"]))(parts)
    _line(2, lambda line: line["changes"][0].__setitem__(5, ["heavy"]))(parts)
    assert "line 2" in _refused(tmp_path, _packed(parts))


@pytest.mark.parametrize("value", ["9999-12-31", "0001-01-01"])
def test_what_an_older_program_let_in_and_was_put_right_comes_back(tmp_path: Path, value: str) -> None:
    """A day that no edit may give today stays in the past of a season, and is no reason to lose all of it."""
    parts = _demo_parts(tmp_path)
    _more(["item", "loppers", "made_on", value])(parts)
    assert "made on" in _refused(tmp_path, _packed(parts))
    lines = [json.loads(line) for line in parts["ledger.jsonl"].splitlines()]
    number = lines[-1]["changes"][-1][0] + 1
    right = {**lines[-1], "id": 4, "undoes": None, "changes": [[number, *lines[-1]["changes"][-1][1:4], None, value]]}
    _put(parts, [*lines, right])
    _about(entries=4)(parts)
    with start_from_zip(tmp_path / "other", _packed(parts)) as season:
        assert season.present_at(3).get("item", "loppers")["made_on"] == value  # type: ignore[index]  # it is there
        assert "made_on" not in season.present.get("item", "loppers")  # type: ignore[operator]  # and so is this


def _set(name: str, value: Any, number: int = 2) -> Change:
    return _line(number, lambda line: line.update({name: value}))


def _change_id(value: Any) -> Change:
    return _line(2, lambda line: line["changes"][0].__setitem__(0, value))


IDS: tuple[Any, ...] = (2**63, NEAR_2_63, 2**64, 10**30, 0, -1, 2.5, "3")
CHANGE_IDS: tuple[Any, ...] = (2**63, NEAR_2_63, 10**30, -1, 1, "9", 1e9, None)
UNDOES: tuple[Any, ...] = (3, 4, 2**63, 10**30, "2", [])
TIMES: tuple[Any, ...] = (
    "2026-05-15T08:00:00.000", "2026-05-15T08:00:00.000+02:00", "9999-12-31T23:59:59.999+00:00",
    "0001-01-01T00:00:00.000+23:59", "2026-05-15", 5, None, "",
)  # fmt: skip
TEXTS: tuple[Any, ...] = (5, None, [], "\ud800")
ODD_LINES: list[tuple[str, Change]] = [
    *((f"id {value!r:.9}", _set("id", value)) for value in IDS),
    ("id True", _set("id", True, 0)),
    *((f"change {value!r:.9}", _change_id(value)) for value in CHANGE_IDS),
    *((f"undoes {value!r:.9}", _set("undoes", value)) for value in UNDOES),
    *((f"at {value}", _set("at", value)) for value in TIMES),
    *((f"{name} {value!r}", _set(name, value)) for name in ("who", "kind", "note") for value in TEXTS),
    ("deep", lambda parts: parts.update({"ledger.jsonl": b"[" * 200_000})),
    ("deep value", _line(2, lambda line: line["changes"][0].__setitem__(4, json.loads("[" * 900 + "]" * 900)))),
    ("no object", lambda parts: parts.update({"ledger.jsonl": b"[]\n"})),
    ("a long number", lambda parts: parts.update({"ledger.jsonl": b"9" * 5000})),
]  # fmt: skip


@pytest.mark.parametrize("change", [row[1] for row in ODD_LINES], ids=[row[0] for row in ODD_LINES])
def test_a_line_that_no_season_writes_is_named(tmp_path: Path, change: Change) -> None:
    """Huge or odd ids, times without a zone, names that are no text, nesting without end: the line is named."""
    parts = _demo_parts(tmp_path)
    change(parts)
    said = _refused(tmp_path, _packed(parts))
    assert "line " in said or "entry " in said, said


@pytest.mark.parametrize("about", [b"[" * 50_000, b"9" * 5000, b"[]", b"\xff\xfe", b'{"what": []}'])
def test_an_odd_description_is_no_season(tmp_path: Path, about: bytes) -> None:
    """about.json that is deep, endless, or of another kind."""
    parts = {**_demo_parts(tmp_path), "about.json": about}
    assert "does not say that this is a season" in _refused(tmp_path, _packed(parts))


def _encrypted(data: bytes) -> bytes:
    """Set the flag "encrypted" of every part, in front of it and in the directory."""
    changed = bytearray(data)
    for mark, at in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        place = changed.find(mark)
        while place >= 0:
            changed[place + at] |= 1
            place = changed.find(mark, place + 1)
    return bytes(changed)


@pytest.mark.parametrize("packing", [zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA, -1, 99])
def test_an_encrypted_or_odd_zip_is_named(tmp_path: Path, packing: int) -> None:
    """A password, or a packing that we never use, is no reason for a traceback."""
    parts = _demo_parts(tmp_path)
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", packing if packing in (12, 14) else zipfile.ZIP_DEFLATED) as package:
        for name, content in parts.items():
            package.writestr(name, content)
    data = out.getvalue()
    if packing == -1:
        data = _encrypted(data)
    if packing == 99:  # no such method
        one = b"PK\x01\x02\x14\x03\x14\x00\x00\x00"
        assert one + b"\x08\x00" in data
        data = data.replace(one + b"\x08\x00", one + b"\x63\x00")
    assert "encrypted" in (said := _refused(tmp_path, data)) or "packed" in said, said


@pytest.mark.parametrize("name", ["about.json", "ledger.jsonl"])
def test_a_part_that_unpacks_to_far_too_much_is_not_unpacked(tmp_path: Path, name: str) -> None:
    """300 MB of spaces pack into 0.3 MB: refused in a moment, and without the memory."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as package:
        for part, content in _demo_parts(tmp_path).items():
            if part != name:
                package.writestr(part, content)
        with package.open(name, "w", force_zip64=True) as big:
            for _ in range(300):
                big.write(b" " * 1_000_000)
    tracemalloc.start()
    start = process_time()
    try:
        said = _refused(tmp_path, out.getvalue())
        assert process_time() - start < 2.0
        assert tracemalloc.get_traced_memory()[1] < 100e6
    finally:
        tracemalloc.stop()
    assert name in said
    assert "MB" in said


def test_a_zip_that_is_far_too_large_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Its directory alone could name millions of parts; one that could not come back says so when it is made."""
    data = _packed(_demo_parts(tmp_path))
    monkeypatch.setattr("loadcalc.season.bounds.ZIP_BYTES", 5000)
    assert "the most is 0.005 MB" in _refused(tmp_path, data)
    with demo_season(tmp_path / "again") as season, pytest.raises(LoadcalcError, match="keep a copy"):
        season_zip(season)


def test_a_line_that_is_far_too_long_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """One entry of a ledger is bounded too; a season whose zip could not come back says so when it is made."""
    data = _packed(_demo_parts(tmp_path))
    monkeypatch.setattr("loadcalc.season.bounds.ENTRY_BYTES", 5000)
    assert "line 1" in _refused(tmp_path, data)
    with demo_season(tmp_path / "again") as season, pytest.raises(LoadcalcError, match="entry 1"):
        season_zip(season)
