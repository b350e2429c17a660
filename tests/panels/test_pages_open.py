"""Every page runs to its end on a season just started, the blank one included."""

from __future__ import annotations

from pathlib import Path

import pytest

from loadcalc.model import Limit
from loadcalc.season import start_season
from tests.open_pages import open_all
from tests.season_help import BLANK, DEMO
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
