"""A whole season as one zip of plain text and back: the same ledger, entry by entry and change by change."""

from __future__ import annotations

import errno
import io
import json
import os
import sqlite3
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given

from loadcalc.model import BadValue, SeasonError
from loadcalc.season import Season, open_season
from loadcalc.season.keep import opening as files
from loadcalc.season.keep.archive import season_zip, start_from_zip
from tests.season.test_season_ledger import STEPS, Edit, _try
from tests.season_help import added_up, contents, demo_folder, demo_season, kept, records
from tests.strategies import tried


def tables(folder: Path) -> dict[str, list[Any]]:
    """Every row of the ledger and of the present, as the file holds them: text for text."""
    with sqlite3.connect(folder / "season.db") as db:
        found = {table: db.execute(f"SELECT * FROM {table} ORDER BY 1, 2, 3").fetchall() for table in TABLES}
    db.close()
    return found


def in_order(season: Season) -> list[tuple[str, str]]:
    """Everything that there ever was, in order of first entry."""
    rank = season.present.rank
    return sorted(rank, key=rank.__getitem__)


TABLES = ("entry", "change", "present", "thing")


@tried(8)
@given(steps=STEPS)
def test_out_and_in_again_is_the_same_season(
    tmp_path_factory: pytest.TempPathFactory, steps: list[Edit | str]
) -> None:
    """After any edits and undos: the season out of the zip has the same rows, the same past, and the same zip."""
    base = tmp_path_factory.mktemp("season")
    with demo_season(base, durable=False) as season:
        for step in steps:
            if callable(step):
                _try(season, step)
            else:
                season.undo()
        data = season_zip(season)
        with start_from_zip(base / "other", data, who="Dov") as other:
            other.verify()
            assert tables(other.folder) == tables(season.folder)
            assert other.entries() == season.entries()
            assert records(other) == records(season)
            assert in_order(other) == in_order(season)
            for entry in range(1, season.version + 1):
                assert other.present_at(entry) == season.present_at(entry)
            assert season_zip(other) == data
            assert other.undo() is None or kept(other.folder) == added_up(other.folder)


def test_it_is_plain_text(tmp_path: Path) -> None:
    """Each part is text that any program reads: what it is, the ledger line by line, the tables in SI."""
    with demo_season(tmp_path) as season:
        season.set_item("chainsaw", name="Säge\n=1+1", mass_kg=7.125)
        with zipfile.ZipFile(io.BytesIO(season_zip(season))) as package:
            texts = {name: package.read(name).decode("utf-8-sig") for name in package.namelist()}
    about = json.loads(texts["about.json"])
    lines = [json.loads(line) for line in texts["ledger.jsonl"].splitlines()]
    assert about["entries"] == len(lines) == 2
    assert about["changes"] == sum(len(line["changes"]) for line in lines)
    assert (lines[1]["who"], lines[1]["kind"]) == ("Marta", "edit")
    assert [change[1:5] for change in lines[1]["changes"]] == [
        ["item", "chainsaw", "name", "Säge\n=1+1"],
        ["item", "chainsaw", "mass_kg", 7.125],
    ]
    assert "chainsaw" in texts["tables/gear.csv"]
    assert texts["tables/gear.csv"].splitlines()[0].startswith("key,name,mass_kg,known")
    assert {name.partition("/")[0] for name in texts} == {"about.json", "ledger.jsonl", "tables"}


def test_the_ledger_goes_on_where_it_was(tmp_path: Path) -> None:
    """The season from a zip has the old undo, the old keys, and its next entry has the next number."""
    with demo_season(tmp_path) as season:
        season.add_item(name="Winch", mass_kg=9.0)
        season.remove("item", "winch")
        with start_from_zip(tmp_path / "other", season_zip(season), who="Dov") as other:
            assert other.next_undo == season.next_undo
            assert other.add_item(name="Winch", mass_kg=8.0) == "winch-2"  # keys are not given twice
            assert [(entry.id, entry.who) for entry in other.entries(2)] == [(4, "Dov"), (3, "Marta")]


def test_a_taken_folder_is_refused_untouched(tmp_path: Path) -> None:
    """A season is never replaced by one from a zip."""
    with demo_season(tmp_path) as season:
        data = season_zip(season)
    (tmp_path / "two").mkdir()
    folder = demo_folder(tmp_path / "two")
    before = contents(folder)
    with pytest.raises(SeasonError, match="open it with open_season, or choose another folder"):
        start_from_zip(folder, data)
    assert contents(folder) == before


def _parts(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        return {name: package.read(name) for name in package.namelist()}


def _packed(parts: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as package:
        for name, content in parts.items():
            package.writestr(name, content)
    return out.getvalue()


def _line(number: int, change: Callable[[dict[str, Any]], Any]) -> Callable[[dict[str, bytes]], None]:
    """Change one line of the ledger."""

    def edit(parts: dict[str, bytes]) -> None:
        lines = parts["ledger.jsonl"].splitlines()
        line = json.loads(lines[number])
        change(line)
        lines[number] = json.dumps(line).encode()
        parts["ledger.jsonl"] = b"\n".join(lines) + b"\n"

    return edit


def _about(**changed: Any) -> Callable[[dict[str, bytes]], None]:
    def edit(parts: dict[str, bytes]) -> None:
        parts["about.json"] = json.dumps({**json.loads(parts["about.json"]), **changed}).encode()

    return edit


def _set_was(line: dict[str, Any]) -> None:
    line["changes"][0][5] = 99.0


WRONG: list[tuple[Callable[[dict[str, bytes]], Any], str]] = [
    (lambda parts: parts.pop("about.json"), "does not say that this is a season"),
    (lambda parts: parts.pop("ledger.jsonl"), "is damaged or no season"),
    (_about(what="letters"), "does not say that this is a season"),
    (_about(form=99), "update the program"),
    (_about(form=None), "update the program"),
    (_about(entries=7), "holds 3 entries .* and should hold 7"),
    (lambda parts: parts.update({"ledger.jsonl": b""}), "has no entry"),
    (lambda parts: parts.update({"ledger.jsonl": parts["ledger.jsonl"][:-40]}), "line 3 can't be used"),
    (lambda parts: parts.update({"ledger.jsonl": b"\xff" + parts["ledger.jsonl"]}), "line 1|no season"),
    (_line(1, lambda line: line.update(at="Friday")), "line 2 can't be used"),
    (_line(1, lambda line: line.update(id=1)), "line 2 can't be used"),
    (_line(1, lambda line: line.update(id="two")), "line 2 can't be used"),
    (_line(1, lambda line: line.update(undoes=77)), "line 2 can't be used|FOREIGN KEY"),
    (_line(1, lambda line: line.pop("note")), "line 2 can't be used"),
    (_line(1, lambda line: line.update(changes=[[1, 2]])), "line 2 can't be used"),
    (_line(1, lambda line: line["changes"][0].__setitem__(1, 5)), "line 2 can't be used"),
    (_line(1, lambda line: line["changes"][0].__setitem__(4, float("nan"))), "line 2 can't be used"),
    (_line(1, _set_was), r"entry 2: change \d+ does not follow .*item chainsaw mass_kg"),
]


@pytest.mark.parametrize(("change", "words"), WRONG, ids=[words[:34] for _, words in WRONG])
def test_a_zip_that_is_no_good_makes_nothing(
    tmp_path: Path, change: Callable[[dict[str, bytes]], Any], words: str
) -> None:
    """Damaged, foreign, newer, or changed by hand so that it doesn't add up: said where, and no folder is made."""
    with demo_season(tmp_path) as season:
        season.set_item("chainsaw", mass_kg=7.0)
        season.set_item("chainsaw", mass_kg=8.0)
        parts = _parts(season_zip(season))
    change(parts)
    with pytest.raises((BadValue, SeasonError), match=words):
        start_from_zip(tmp_path / "other", _packed(parts))
    assert not (tmp_path / "other").exists()


@pytest.mark.parametrize("cut", ["short", "letter", "empty", "flipped"])
def test_what_is_no_zip_makes_nothing(tmp_path: Path, cut: str) -> None:
    """A file cut short, overwritten in the middle, or of another kind is refused in words."""
    with demo_season(tmp_path) as season:
        data = season_zip(season)
    flipped = bytearray(data)
    flipped[300:400] = bytes(100)
    wrong = {"short": data[:-5000], "letter": b"Dear crew", "empty": b"", "flipped": bytes(flipped)}[cut]
    with pytest.raises(BadValue, match="take a zip that was saved from a season's page"):
        start_from_zip(tmp_path / "other", wrong)
    assert not (tmp_path / "other").exists()


def test_no_room_for_the_new_season_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When the disk says it is full in the middle, no folder and no half a season is left."""
    with demo_season(tmp_path) as season:
        data = season_zip(season)

    def full(
        part: Path, path: Path
    ) -> bool:  # stands for the disk: its last step reports that there is no room
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(files, "give_name", full)
    with pytest.raises(SeasonError, match=r"can't be written \(No space left.*make room"):
        start_from_zip(tmp_path / "other", data)
    assert not (tmp_path / "other").exists()


def test_the_zip_is_of_one_moment(tmp_path: Path) -> None:
    """Saved while another notebook is in the middle of an edit, it holds what was kept before."""
    with demo_season(tmp_path) as here, open_season(tmp_path / "season") as there:
        with here.entry("Long"):
            here.set_item("chainsaw", mass_kg=7.0)
            data = season_zip(there)
        with start_from_zip(tmp_path / "other", data) as other:
            assert isinstance(other, Season)
            assert other.version == 1
