"""Marks that turn the direction of text, or that nobody sees: refused where text comes in, taken out of old seasons."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from loadcalc.model.errors import BadValue
from loadcalc.model.marks import without_marks
from loadcalc.model.quantities import SI
from loadcalc.season import Season, open_season, start_season
from loadcalc.season.edit import book
from loadcalc.season.keep.archive import season_zip, start_from_zip
from loadcalc.season.keep.copies import copies, restore, what_differs
from loadcalc.season.lists.gear_in import preview_gear, read_table
from loadcalc.season.tables.read import read_own
from loadcalc.season.tables.take import preview_table, take_in_table
from tests.season_help import DEMO, FRIDAY, demo_folder, demo_season

TURNING = [*"\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"]
OTHER = ["\x00", "\x07", "\x1b", "\x7f", "\x85", "\u2028", "\ufff9", "\U000e0041"]
PASSED_OVER = [*"\u00ad\u200b\u2060\ufeff"]
FINE = ["אוהל גדול", "خيمة ٣", "خانه\u200cها", "👨\u200d👩\u200d👧 tent", "cafe\u0301", "two\nlines", "a\tb", "帐篷"]


@pytest.fixture
def season(tmp_path: Path) -> Season:
    """An open copy of the demo season."""
    return demo_season(tmp_path, durable=False)


@pytest.mark.parametrize("mark", [*TURNING, *OTHER], ids=ascii)
def test_no_text_of_a_season_takes_such_a_mark(season: Season, mark: str) -> None:
    """Not as a new thing's name, a changed one's, nor in a setting: the error says which mark, where, and why."""
    entries = season.version
    for edit in (
        lambda: season.add_item(name=f"Tarp{mark} gk 3", mass_kg=3.0),
        lambda: season.set_item("chainsaw", name=f"Saw {mark}1"),
        lambda: season.set_zone("Drawer left", name=f"Drawer{mark}left"),
        lambda: season.add_loadout(f"Trip {mark}x", like=FRIDAY),
        lambda: season.set_setting(title=f"A{mark}b"),
    ):
        with pytest.raises(BadValue, match=f"U\\+{ord(mark):04X}") as refused:
            edit()
        assert "type it again" in refused.value.cure
        assert ("direction" in refused.value.problem) == (mark in TURNING)
        assert mark not in str(refused.value)
    assert season.version == entries


@pytest.mark.parametrize("name", FINE)
def test_letters_of_every_script_are_names(season: Season, name: str) -> None:
    """Hebrew, Arabic, joiners between letters, and accents are what people are called."""
    key = season.add_item(name=name, mass_kg=1.0)
    assert season.present.name("item", key) == name


@pytest.mark.parametrize("mark", PASSED_OVER, ids=ascii)
def test_a_mark_without_width_or_meaning_is_left_out(season: Season, mark: str) -> None:
    """It comes along with a paste, and does nothing: no reason to refuse."""
    key = season.add_item(name=f"{mark}Big{mark} tent {mark}", mass_kg=1.0)
    assert season.present.name("item", key) == "Big tent"


def test_a_table_with_such_a_mark_is_refused_by_its_row(season: Season) -> None:
    """An import says which row and cell, and takes the others."""
    out = io.StringIO(newline="")
    rows = [["name", "mass_kg", "kind"], ["Tarp\u202e3", "3", ""], ["Rope", "2", "a\u2067b"]]
    rows.append(["Pan", "1", "\ufeffpots"])
    csv.writer(out).writerows(rows)
    found = preview_table(season, read_own(out.getvalue().encode(), "gear.csv", "item"))
    assert [(r.row, r.cell, r.field) for r in found.refused] == [(2, "A2", "name"), (3, "C3", "kind")]
    take_in_table(season, read_own(out.getvalue().encode(), "gear.csv", "item"), found)
    assert season.fields("item", "Pan") == {"name": "Pan", "mass_kg": 1.0, "kind": "pots"}
    assert len(found.added) == 1

    keyed = "key,name,mass_kg\ntarp\u202e,Tarp,3\n".encode()
    assert [r.row for r in preview_table(season, read_own(keyed, "gear.csv", "item")).refused] == [2]


def test_a_foreign_list_with_such_a_mark_is_refused_by_its_row() -> None:
    """A gear list from elsewhere too."""
    text = "Item,Weight (kg),Kind\nTarp\u202e3,3,\nRope,2,a\u2067b\n\ufeffPan,1,pots\n"
    found = preview_gear(read_table(text.encode(), "list.csv"), (), SI)
    assert [(r.row, r.cell) for r in found.refused] == [(2, "A2"), (3, "C3")]
    assert all("direction of text" in r.reason for r in found.refused)
    assert [(row.item.name, row.item.kind) for row in found.added] == [("Pan", "pots")]


def test_hand_written_tables_with_such_a_mark_are_refused_by_their_row(tmp_path: Path) -> None:
    """So are the text tables that a season starts from."""
    tables = tmp_path / "tables"
    tables.mkdir()
    for file in DEMO.iterdir():
        (tables / file.name).write_bytes(file.read_bytes())
    gear = (tables / "gear.csv").read_text(encoding="utf-8")
    (tables / "gear.csv").write_text(gear.replace("Chainsaw", "Chain\u202esaw", 1), encoding="utf-8")
    with pytest.raises(BadValue, match=r"gear\.csv row"):
        start_season(tmp_path / "season", tables)


@pytest.fixture
def old(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A season folder that an older program let such names into."""
    folder = demo_folder(tmp_path)
    with open_season(folder) as season, monkeypatch.context() as patch:
        patch.setattr(book, "entered", lambda subject, field, value, where: value)
        season.set_item("chainsaw", name="Chain\u202esaw")
        season.set_item("crosscut-saw", name="Chain\u200fsaw", kind="\x07saws\u200b")
        season.set_zone("Drawer left", name="\u202e")
        season.set_item("crosscut-saw", mass_kg=4.0)
    return folder


def marked(season: Season) -> list[str]:
    """Return every text of the present that holds such a mark."""
    things = [fields for rows in season.present.things.values() for fields in rows.values()]
    texts = [text for fields in things for text in fields.values() if isinstance(text, str)]
    return [text for text in texts if without_marks(text) != text]


def test_an_old_season_opens_without_its_marks(old: Path) -> None:
    """One entry takes them out, and says so; names that only a mark told apart are told apart by a visible one."""
    with open_season(old) as season:
        newest = season.entries(1)[0]
        assert newest.note == "Marks that nobody sees taken out of names"
        assert marked(season) == []
        names = [season.present.name("item", key) for key in ("chainsaw", "crosscut-saw")]
        assert names == ["Chain[U+202E]saw", "Chain[U+200F]saw"]
        assert season.present.name("zone", "drawer-left") == "[U+202E]"
        assert season.fields("item", "crosscut-saw")["kind"] == "[U+0007]saws"
        season.verify()
    with open_season(old) as again:
        assert again.entries(1)[0] == newest


def test_undo_and_copies_of_an_old_season_work(old: Path) -> None:
    """What an undo or a copy brings back was there before: it is not refused; the next opening takes it out again."""
    with open_season(old) as season:
        while season.next_undo is not None:
            assert season.undo()
        assert season.present.name("item", "chainsaw") == "Chainsaw"
        restore(season, copies(old)[0].name)
        assert not what_differs(season, copies(old)[-1].name)
    with open_season(old) as season:
        assert marked(season) == []


def test_a_harmless_mark_goes_without_a_trace(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where a name is told from the others without it, nothing is left in its place; undo takes that back."""
    folder = demo_folder(tmp_path)
    with open_season(folder) as season, monkeypatch.context() as patch:
        patch.setattr(book, "entered", lambda subject, field, value, where: value)
        season.set_item("chainsaw", name="\u200eOld saw\u200e")
    with open_season(folder) as season:
        assert season.present.name("item", "chainsaw") == "Old saw"
        season.undo()
        assert season.present.name("item", "chainsaw") == "\u200eOld saw\u200e"
        season.set_item("chainsaw", mass_kg=6.0, name="\u200eOld saw\u200e")


def test_a_zip_of_an_old_season_opens_without_its_marks(old: Path, tmp_path: Path) -> None:
    """However a ledger with such names comes in, no page shows them."""
    with open_season(old) as season:
        data = season_zip(season)
    with start_from_zip(tmp_path / "other", data) as season:
        assert marked(season) == []
