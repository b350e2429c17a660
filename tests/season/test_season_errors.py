"""A season that can't be used says so with the cure, and is left as it was."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from loadcalc.model import BadValue, SeasonError
from loadcalc.season import open_season, rebuild_season, restore_season, start_season
from loadcalc.season.keep import opening as files
from loadcalc.season.keep.archive import start_from_zip
from loadcalc.season.keep.copies import keep_copy
from tests.season_help import DEMO, PLAIN, ROOT, added_up, contents, demo_folder, demo_season, kept, records


def _cut_short(file: Path) -> None:
    file.write_bytes(file.read_bytes()[:-20_000])


def _cut_in_the_header(file: Path) -> None:
    file.write_bytes(file.read_bytes()[:50])


def _emptied(file: Path) -> None:
    file.write_bytes(b"")


def _a_letter(file: Path) -> None:
    file.write_text("Dear crew, " * 50)


def _another_database(file: Path) -> None:
    file.unlink()
    with sqlite3.connect(file) as db:
        db.execute("CREATE TABLE birds (name TEXT)")
    db.close()


def _overwritten(file: Path) -> None:
    data = bytearray(file.read_bytes())
    data[4096:12288] = bytes(8192)
    file.write_bytes(bytes(data))


def _from_the_future(file: Path) -> None:
    with sqlite3.connect(file) as db:
        db.execute("PRAGMA user_version = 99")
        db.execute("CREATE VIEW whatever_is_new AS SELECT 1")
    db.close()


DAMAGE: dict[Callable[[Path], None], str] = {
    _cut_short: "restore the folder from a copy",
    _cut_in_the_header: "restore the folder from a copy",
    _emptied: "restore the folder from a copy",
    _a_letter: "not a season file",
    _another_database: "not a season file",
    _overwritten: "restore the folder from a copy",
    _from_the_future: "update the program",
}


@pytest.mark.parametrize(("damage", "cure"), DAMAGE.items())
def test_a_file_that_is_no_good_is_refused_untouched(
    tmp_path: Path, damage: Callable[[Path], None], cure: str
) -> None:
    """Cut short, overwritten, foreign, or too new: an error with the cure, and not a byte changed."""
    folder = demo_folder(tmp_path)
    damage(folder / "season.db")
    before = contents(folder)
    with pytest.raises(SeasonError, match=cure):
        open_season(folder)
    assert contents(folder) == before


def test_what_is_not_there(tmp_path: Path) -> None:
    """A missing folder or file is named, with what to do; nothing is made."""
    with pytest.raises(SeasonError, match=r"there is no folder .*start_season"):
        open_season(tmp_path / "nowhere")
    with pytest.raises(SeasonError, match=r"holds no season\.db.*start_season"):
        open_season(tmp_path)
    assert list(tmp_path.iterdir()) == []


NO_FOLDER = ("x" * 300, "x/" * 3000, "~nosuchuser", "~nosuchuser/season", "a\x00b", "")


@pytest.mark.parametrize("name", NO_FOLDER, ids=["long", "deep", "nobody's", "in nobody's", "a zero in it", "none"])
def test_a_name_that_no_folder_can_have(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    """Every door says it in one short sentence, and makes nothing."""
    monkeypatch.chdir(tmp_path)
    doors: tuple[Callable[[str], object], ...] = (
        open_season, start_season, rebuild_season, restore_season, lambda folder: start_from_zip(folder, b""),
        lambda tables: start_season("new", tables),
    )  # fmt: skip
    for door in doors:
        with pytest.raises(SeasonError, match="choose another") as caught:
            door(name)
        assert len(str(caught.value)) < 200
        assert not list(tmp_path.iterdir())


def test_the_demo_tables_stay_as_they_are(tmp_path: Path) -> None:
    """Neither opening the demo's folder nor starting from it changes a byte there."""
    before = contents(DEMO)
    with pytest.raises(SeasonError, match="start_season"):
        open_season(DEMO)
    with start_season(tmp_path / "mine", DEMO) as season:
        season.set_item("chainsaw", mass_kg=1.0)
    assert contents(DEMO) == before


def test_starting_never_replaces_a_season(tmp_path: Path) -> None:
    """A folder with a season, or with what one left behind, is refused and stays as it was."""
    folder = demo_folder(tmp_path)
    before = contents(folder)
    with pytest.raises(SeasonError, match="open it with open_season"):
        start_season(folder, PLAIN)
    assert contents(folder) == before

    (folder / "season.db").rename(folder / "season.db-wal")
    with pytest.raises(SeasonError, match=r"season.db-wal, left by"):
        start_season(folder, PLAIN)
    assert list(contents(folder)) == ["season.db-wal"]


@pytest.mark.parametrize("links", [True, False], ids=["a disk with hard links", "one without"])
def test_the_second_of_two_starts_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, links: bool
) -> None:
    """Started twice at the same moment: the first one stays; and a start works on either sort of disk."""
    real = files._write

    def slow(part: Path, source: Path, who: str) -> None:
        real(part, source, who)
        if who == "second":  # by now the first has finished
            start_season(tmp_path / "season", DEMO, who="first").close()

    def no_link(part: Path, path: Path) -> None:
        raise OSError("this disk has no hard links")

    monkeypatch.setattr(files, "_write", slow)
    if not links:
        monkeypatch.setattr("os.link", no_link)
    with pytest.raises(SeasonError, match="by someone else a moment ago"):
        start_season(tmp_path / "season", PLAIN, who="second")
    with open_season(tmp_path / "season") as season:
        assert [entry.who for entry in season.entries()] == ["first"]
    assert list(contents(tmp_path / "season")) == ["season.db"]


def test_a_start_that_fails_leaves_nothing(tmp_path: Path) -> None:
    """When the tables are no good, neither a folder nor a half-made file is left."""
    tables = tmp_path / "tables"
    shutil.copytree(DEMO, tables)
    (tables / "gear.csv").write_text("name,mass_lb\nAnvil,2000\n")
    with pytest.raises(BadValue, match=r"gear.csv row 2, column mass_lb \(2000\)"):
        start_season(tmp_path / "new" / "season", tables)
    assert not (tmp_path / "new" / "season").exists()

    (tmp_path / "old").mkdir()
    with pytest.raises(SeasonError, match=r"holds no vehicle\.toml"):
        start_season(tmp_path / "old", tmp_path)
    assert list((tmp_path / "old").iterdir()) == []


@pytest.fixture
def readable_by_all() -> Iterator[Path]:
    """A season in a folder that another user may read but not write."""
    base = Path(tempfile.mkdtemp())
    folder = demo_folder(base)
    base.chmod(0o755)
    (folder / "season.db").chmod(0o444)
    folder.chmod(0o555)
    yield folder
    folder.chmod(0o755)
    shutil.rmtree(base)


@pytest.mark.skipif(os.name == "nt", reason="a folder's write permission works differently on Windows")
def test_a_read_only_folder_is_refused_untouched(readable_by_all: Path) -> None:
    """Opening or starting where one may not write gives the cure and touches nothing."""
    before = contents(readable_by_all)
    # Someone with all rights may write anywhere, so the program first gives them up.
    program = (
        "import os, sys\nfrom loadcalc.season import open_season, start_season\n"
        "if os.geteuid() == 0: os.setgroups([]); os.setgid(65534); os.setuid(65534)\n"
        "for go in (open_season, lambda f: start_season(f + '/more')):\n"
        "    try: go(sys.argv[1])\n"
        "    except Exception as error: print(type(error).__name__, error)"
    )
    command = [sys.executable, "-c", program, str(readable_by_all)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
    opening, starting = done.stdout.splitlines()

    assert opening.startswith("SeasonError")
    assert "is read-only: copy the folder to a place of your own" in opening
    assert starting.startswith("SeasonError")
    assert "choose another place" in starting
    assert contents(readable_by_all) == before


def test_a_full_disk_keeps_what_there_was(tmp_path: Path) -> None:
    """When there is no room, the edit is refused with the cure; later edits work once there is."""
    with demo_season(tmp_path) as season:
        before = records(season)
        pages = season.db.execute("PRAGMA page_count").fetchone()[0]
        season.db.execute(f"PRAGMA max_page_count = {pages}")  # SQLite then reports a full disk
        with pytest.raises(SeasonError, match=r"disk is full.*make room"):
            season.set_item("chainsaw", name="Saw " * 20_000)
        assert records(season) == before
        season.db.execute("PRAGMA max_page_count = 100000")
        season.set_item("chainsaw", count=2)
        assert season.version == 2
    assert kept(tmp_path / "season") == added_up(tmp_path / "season")


# The system then refuses to let any file grow beyond what it has: every write beyond fails, as on a full disk.
NO_ROOM = """
import resource, signal, sys
from loadcalc.season import open_season
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
season = open_season(sys.argv[1])
season.set_item("chainsaw", count=2)
room = resource.getrlimit(resource.RLIMIT_FSIZE)
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[2]), room[1]))
for number in range(1, 100):
    try:
        season.set_item("chainsaw", name="Saw " * 2000 + str(number))
    except Exception as error:
        print(type(error).__name__, error)
        break
    print(number)
resource.setrlimit(resource.RLIMIT_FSIZE, room)
season.set_item("chainsaw", count=3)
print("version", season.version)
season.verify()
"""


@pytest.mark.skipif(os.name == "nt", reason="Windows has no limit on the size of files to set")
def test_a_write_that_fails_half_way_keeps_what_there_was(tmp_path: Path) -> None:
    """The system itself refuses a write in the middle of an edit: told in words, nothing lost, later edits work."""
    folder = demo_folder(tmp_path)
    command = [sys.executable, "-c", NO_ROOM, str(folder), "400000"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    *numbers, refusal, version = done.stdout.splitlines()
    assert refusal.startswith("SeasonError")
    assert "the edit was not kept" in refusal
    assert numbers == [str(number) for number in range(1, len(numbers) + 1)]
    assert len(numbers) > 1
    assert version == f"version {len(numbers) + 3}"
    assert kept(folder) == added_up(folder)
    with open_season(folder) as season:
        saw = next(item for item in season.gear if item.key == "chainsaw")
        assert (saw.name, saw.count) == ("Saw " * 2000 + numbers[-1], 3)


def test_a_season_that_is_written_to_for_long_says_so(tmp_path: Path) -> None:
    """An edit that can't get its turn gives up with the cure, and is not half kept."""
    with demo_season(tmp_path) as here, open_season(tmp_path / "season") as there:
        there.db.execute("PRAGMA busy_timeout = 20")
        with here.entry("Long"), pytest.raises(SeasonError, match=r"another notebook .* try again"):
            there.set_item("chainsaw", count=2)
        there.set_item("chainsaw", count=3)
        assert (here.version, next(i.count for i in here.gear if i.key == "chainsaw")) == (2, 3)


def test_a_present_that_disagrees_is_noticed(tmp_path: Path) -> None:
    """`verify` finds a table that was changed behind the ledger's back."""
    with demo_season(tmp_path) as season:
        season.verify()
        season.db.execute("UPDATE present SET value = '99' WHERE key = 'chainsaw' AND field = 'mass_kg'")
        with pytest.raises(SeasonError, match="disagree"):
            season.verify()


def test_a_closed_season_says_so(tmp_path: Path) -> None:
    """Using a season after closing it is an error of the season, not of its database."""
    season = demo_season(tmp_path)
    season.close()
    season.close()
    with pytest.raises(SeasonError, match="open the season again"):
        season.set_item("chainsaw", count=2)


def test_half_a_character_is_refused_in_words(tmp_path: Path) -> None:
    """What a broken paste leaves behind is a bad value of its cell, not an error of the file."""
    season = demo_season(tmp_path, durable=False)
    before = season.version
    with pytest.raises(BadValue, match="holds a broken character; type it again"):
        season.set_item("chainsaw", name="Chain\udcffsaw")
    assert season.version == before
    assert next(item.name for item in season.gear if item.key == "chainsaw") == "Chainsaw"


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such modes")
def test_a_season_is_for_its_owner_alone(tmp_path: Path) -> None:
    """The season's file and its copies name people and what they weigh: others on the computer can't read them."""
    with start_season(tmp_path / "mine", DEMO) as season:
        season.set_item("chainsaw", mass_kg=7.0)
        season.set_item("chainsaw", mass_kg=8.0)
        keep_copy(season.db, season.folder, "by-hand")
        files_of = [path for path in season.folder.rglob("*") if path.is_file()]
        assert len(files_of) >= 4
        assert {oct(path.stat().st_mode & 0o777) for path in files_of} == {"0o600"}
