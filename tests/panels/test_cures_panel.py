"""A page whose season is damaged says what is damaged and offers the two cures; each works, or says why not."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from loadcalc.season import open_season
from loadcalc.season.file.schema import DamagedFile
from loadcalc.season.keep.copies import copies
from tests.damage import rows
from tests.season.test_season_damage import in_table, saw
from tests.season_help import demo_folder
from workbook.panels.ledger import opening
from workbook.panels.ledger.cures import CurePanel


def opened(folder: Path, monkeypatch: pytest.MonkeyPatch) -> CurePanel:
    """The panel that a page shows in place of itself."""
    made: list[CurePanel] = []

    class Seen(CurePanel):
        def __init__(self, *args: Any) -> None:
            super().__init__(*args)
            made.append(self)

    shown: list[Any] = []
    monkeypatch.setattr(opening, "CurePanel", Seen)
    monkeypatch.setattr(opening, "display", shown.append)
    with pytest.raises(DamagedFile):
        opening.open_desk(folder)
    assert shown == [made[0].view]
    return made[0]


def damaged(tmp_path: Path) -> tuple[Path, Any]:
    """A season with one copy, an entry that came later, and damage in an entry that the copy holds."""
    folder = demo_folder(tmp_path)
    file = saw(folder)
    with open_season(folder) as season:
        season.set_item("loppers", mass_kg=2.5)
    was = rows(file)
    in_table(file, "change", "5.0", "9.0")
    return folder, was


def test_a_page_offers_to_rebuild_and_nothing_is_lost(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is damaged is named; one press, and every entry is as it was."""
    folder, was = damaged(tmp_path)
    panel = opened(folder, monkeypatch)
    assert "▲ This season can&#x27;t be opened" in panel.words.value
    assert "entry 2 is not what was written" in panel.words.value
    panel.rebuilt()
    assert "Rebuilt: the season holds 4 entries" in panel.done.value
    assert rows(folder / "season.db") == was
    open_season(folder).close()


def test_a_page_offers_a_copy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The chosen copy is put in place: the season as it was then."""
    folder, _ = damaged(tmp_path)
    panel = opened(folder, monkeypatch)
    (option,) = panel.which.options
    assert option[0].endswith("the day's copy, up to entry 2")
    panel.restored()
    assert "Brought back: the season holds 2 entries" in panel.done.value
    with open_season(folder) as season:
        assert next(item.mass_kg for item in season.gear if item.key == "chainsaw") == 5.0


def test_a_cure_that_does_not_help_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without a sound copy neither cure works: both say what is damaged, and the file stays as it is."""
    folder, _ = damaged(tmp_path)
    for copy in copies(folder):
        in_table(copy.path, "change", "5.0", "9.0")
    before = (folder / "season.db").read_bytes()
    panel = opened(folder, monkeypatch)
    panel.rebuilt()
    assert "▲ Not rebuilt:" in panel.done.value
    assert "entry 2 is not what was written" in panel.done.value
    panel.restored()
    assert "▲ Not brought back:" in panel.done.value
    assert (folder / "season.db").read_bytes() == before
