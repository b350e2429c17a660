"""What is refused leaves nothing behind, what was killed is cleared away, and an old page writes into no newer file."""

from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from loadcalc.model import SeasonError
from loadcalc.season import open_season, rebuild_season, start_season
from loadcalc.season.file import schema
from loadcalc.season.file.parts import LEFT_BEHIND_S
from loadcalc.season.keep.copies import keep_copy
from tests.season.test_season_forms import made
from tests.season_help import ROOT, demo_folder, demo_season, kept
from workbook.panels.desk.desk import Desk


def tree(folder: Path) -> dict[str, bytes | None]:
    """Everything under a folder, empty folders too."""
    found = sorted(folder.rglob("*"))
    return {str(path.relative_to(folder)): path.read_bytes() if path.is_file() else None for path in found}


def behind_its_back(folder: Path, *statements: str) -> None:
    """Change a season's file by other means."""
    with sqlite3.connect(folder / "season.db") as db:
        for statement in statements:
            db.execute(statement)
    db.close()


def _a_value_cut_short(folder: Path) -> None:
    trigger = _trigger(folder)
    behind_its_back(
        folder, "DROP TRIGGER change_no_update",
        """UPDATE change SET value = '"Chain' WHERE id = (SELECT max(id) FROM change WHERE field = 'name')""",
        """UPDATE present SET value = '"Chain' WHERE (subject, key, field) IN
           (SELECT subject, key, field FROM change WHERE value = '"Chain')""",
        trigger,
    )  # fmt: skip


def _a_value_of_bytes(folder: Path) -> None:
    trigger = _trigger(folder)
    behind_its_back(
        folder, "DROP TRIGGER change_no_update",
        "UPDATE change SET value = CAST(value AS BLOB) WHERE id = (SELECT max(id) FROM change WHERE value NOT NULL)",
        trigger,
    )  # fmt: skip


def _a_guard_gone(folder: Path) -> None:
    behind_its_back(folder, "DROP TRIGGER change_no_delete")


def _a_ledger_that_does_not_follow(folder: Path) -> None:
    trigger = _trigger(folder)
    behind_its_back(
        folder, "DROP TRIGGER change_no_update", "UPDATE change SET was = '1' WHERE was IS NULL AND id = 5", trigger
    )


def _trigger(folder: Path) -> str:
    with sqlite3.connect(folder / "season.db") as db:
        (sql,) = db.execute("SELECT sql FROM sqlite_master WHERE name = 'change_no_update'").fetchone()
    db.close()
    return str(sql)


ODD = (_a_value_cut_short, _a_value_of_bytes, _a_guard_gone, _a_ledger_that_does_not_follow)


@pytest.mark.parametrize("number", [1, 4, 5])
@pytest.mark.parametrize("damage", ODD)
def test_an_older_file_that_is_damaged_is_refused_untouched(
    tmp_path: Path, damage: Callable[[Path], None], number: int
) -> None:
    """It is not brought forward, and there is no copy of it and no folder for copies."""
    folder = made(tmp_path, number)
    damage(folder)
    before = tree(folder)
    with pytest.raises(schema.DamagedFile, match="rebuild it from its ledger"):
        open_season(folder)
    assert tree(folder) == before


def test_a_copy_that_is_refused_leaves_no_folder(tmp_path: Path) -> None:
    """Damage that came while the season was open: no copy is made of it, and no empty folder is left."""
    with demo_season(tmp_path) as season:
        folder = season.folder
        behind_its_back(
            folder, "DROP TRIGGER entry_no_update", "UPDATE entry SET note = 'other'"
        )
        with pytest.raises(SeasonError, match="not what was written"):
            keep_copy(season.db, folder, "by-hand")
        assert not (folder / "copies").exists()


def test_the_first_evening_is_rebuilt_without_any_copy(tmp_path: Path) -> None:
    """A season that has no copies yet: its ledger is whole, so it is written anew, and the damaged file kept."""
    folder = demo_folder(tmp_path)
    facts = kept(folder)
    behind_its_back(folder, "DROP VIEW history")
    with rebuild_season(folder) as season:
        season.verify()
    assert kept(folder) == facts
    assert [path.name.split("-")[0] for path in (folder / "copies").iterdir()] == ["damaged"]


KILLED = """
import os, signal, sys
from loadcalc.season.keep.opening import make_season
def fill(part):
    part.write_bytes(b"half of a season")
    os.kill(os.getpid(), signal.SIGKILL)
make_season(sys.argv[1], fill)
"""


@pytest.mark.skipif(os.name == "nt", reason="Windows has no SIGKILL")
def test_what_a_killed_import_left_is_cleared_away(tmp_path: Path) -> None:
    """By the next one who starts or opens a season there, once it is old enough to be nobody's."""
    folder = tmp_path / "season"
    killed = subprocess.run([sys.executable, "-c", KILLED, str(folder)], cwd=ROOT, timeout=60)
    assert killed.returncode == -signal.SIGKILL
    (part,) = folder.iterdir()
    assert part.suffix == ".part"
    beside = part.with_name(part.name + "-journal")
    beside.touch()
    start_season(folder).close()
    assert part.exists()  # an hour has not passed: somebody may be at it
    hour_ago = time.time() - LEFT_BEHIND_S - 60
    for path in (part, beside):
        os.utime(path, (hour_ago, hour_ago))
    open_season(folder).close()
    assert [path.name for path in folder.iterdir()] == ["season.db"]


def test_an_old_page_writes_into_no_newer_file(tmp_path: Path) -> None:
    """A newer program brought the file forward while the page stood open: it reads, and is told to restart."""
    with demo_season(tmp_path) as season:
        desk = Desk(season)
        behind_its_back(
            season.folder, f"PRAGMA user_version = {schema.SCHEMA_VERSION + 1}", "CREATE VIEW new AS SELECT 1"
        )
        version = season.version
        assert not desk.do(lambda: season.set_item("chainsaw", mass_kg=1.0), "Lighter")
        assert "this page is older than the season" in desk.status
        assert "start it again" in desk.status
        with pytest.raises(SeasonError, match="older than the season"):
            season.undo()
        assert season.version == version
        assert next(item for item in season.gear if item.key == "chainsaw").mass_kg > 1.0
