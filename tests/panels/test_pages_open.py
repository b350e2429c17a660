"""Every page runs to its end on a season just started, the blank one included."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from loadcalc.model import Limit
from loadcalc.season import start_season
from tests.open_pages import open_all
from tests.season_help import BLANK, DEMO, ROOT, demo_folder
from tests.widget_help import text_of
from workbook.panels.desk.desk import Desk
from workbook.panels.what_if.what_if import WhatIf
from workbook.panels.what_if.what_if_map import MapPanel


@pytest.mark.parametrize("tables", [BLANK, DEMO], ids=["blank", "demo"])
def test_a_season_just_started_opens_on_every_page(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, tables: Path
) -> None:
    """Also the blank one, of which no limit is known yet."""
    monkeypatch.setenv("LOADOUT_SEASON", str(tmp_path / "season"))
    start_season(tmp_path / "season", tables).close()
    pages = open_all()
    what_if = next(page for page in pages if page.name.startswith("06"))
    assert ("There is no map: limits are not known" in what_if.words) == (tables == BLANK)
    for page in pages:
        page.close()


DRAWS = """
import sys
from tests.open_pages import OpenPage
from tests.store_page_text import PAGES
for page in PAGES[:-1]:
    OpenPage(page)
print("plotly" in sys.modules, len(PAGES))
"""


def test_no_page_that_draws_needs_plotly(tmp_path: Path) -> None:
    """Pages 00 to 08 run, charts included, in a kernel that imports nothing of it: that would take seconds."""
    demo_folder(tmp_path)
    place = os.environ | {"LOADOUT_SEASON": str(tmp_path / "season")}
    done = subprocess.run(
        [sys.executable, "-c", DRAWS], cwd=ROOT, env=place, capture_output=True, text=True, check=True
    )
    assert done.stdout.split() == ["False", "10"]


def test_a_season_without_zones_opens_on_every_page(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing can be stowed in it yet; a page that stands open follows when the last zone goes, and when one comes."""
    monkeypatch.setenv("LOADOUT_SEASON", str(tmp_path / "season"))
    with start_season(tmp_path / "season", BLANK) as season:
        before = open_all()
        kept = {zone.name: season.fields("zone", zone.name) for zone in season.zones}
        for name in kept:
            season.remove("zone", name)
        after = open_all()
        for page in (*before, *after):
            page.desk.look()
        season.add("zone", **next(iter(kept.values())))
        for page in (*before, *after):
            page.desk.look()
            page.close()


def test_the_map_comes_with_the_first_limit(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """And goes with the last: the page that stands open follows."""

    with start_season(tmp_path / "season", BLANK) as season:
        desk = Desk(season)
        panel = MapPanel(WhatIf(desk))
        assert panel.chart is None
        season.set_limit("gross", Limit(limit_kg=3000.0, read_at="door label"))
        desk.look()
        assert panel.chart in panel.view.children
        season.undo()
        desk.look()
        assert panel.chart not in panel.view.children
        assert "There is no map" in text_of(panel.view)
