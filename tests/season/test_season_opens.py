"""What a page needs is always there: a table that would take it away, or put in what no page can show, is refused."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from loadcalc.model import BadValue, Place
from loadcalc.model.quantities import SI
from loadcalc.season import Season, start_season
from loadcalc.season.file.schema import table_name
from loadcalc.season.tables.write import write_csv
from tests.open_pages import OpenPage, open_all
from tests.season_help import BLANK, FRIDAY, demo_season
from tests.widget_help import text_of
from workbook.panels.desk.desk import Desk
from workbook.panels.ledger.tables import TablePanel


@pytest.fixture
def season(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Season]:
    """An open copy of the demo season, which the pages open too."""
    with demo_season(tmp_path, durable=False) as opened:
        monkeypatch.setenv("LOADOUT_SEASON", str(opened.folder))
        yield opened


def come_in(season: Season, subject: str, change: dict[str, str] | None, *, removing: bool = False) -> str:
    """Bring a table in as a person does: as saved with cells of its first row changed, or its header alone.

    Returns what the page says.
    """
    text = write_csv(season.present, subject, SI).decode("utf-8-sig")
    header, *rows = csv.reader(io.StringIO(text, newline=""))
    for name, cell in (change or {}).items():
        rows[0][header.index(name)] = cell
    out = io.StringIO(newline="")
    csv.writer(out).writerows([header, *(rows if change else ())])
    panel = TablePanel(Desk(season))
    panel.remove.value = removing
    panel.offer(out.getvalue().encode(), f"{table_name(subject)}.csv")
    shown = re.sub("<[^>]*>", "", text_of(panel.view))
    panel.accept()
    return shown


def closed(pages: list[OpenPage]) -> None:
    """Let go of the pages."""
    for page in pages:
        page.close()


def test_the_last_departure_stays(season: Season) -> None:
    """A header-only table of loadouts with "delete what the file lacks": refused by name, and every page opens."""
    version = season.version
    said = come_in(season, "loadout", None, removing=True)
    assert "has no departure" in said
    assert "keep one" in said
    assert season.version == version
    closed(open_all())


def test_a_departure_goes_while_another_stays(season: Season) -> None:
    """By hand too: all but the last can be removed."""
    *others, last = season.loadout_names
    for name in others:
        season.remove("loadout", name)
    with pytest.raises(BadValue, match="keep one"):
        season.remove("loadout", last)
    assert season.loadout_names == (last,)


def test_a_season_is_not_started_without_a_departure(tmp_path: Path) -> None:
    """A folder of tables without one is refused, and leaves nothing behind."""
    tables = tmp_path / "tables"
    tables.mkdir()
    for file in BLANK.iterdir():
        if file.name != "loadouts.toml":
            (tables / file.name).write_bytes(file.read_bytes())
    with pytest.raises(BadValue, match="keep one"):
        start_season(tmp_path / "new" / "season", tables)
    assert not (tmp_path / "new").exists()


@pytest.mark.parametrize("day", ["9999-12-31", "0001-01-01", "1899-12-31", "2200-01-01"])
@pytest.mark.parametrize(
    ("subject", "field"),
    [("tire", "made_on"), ("item", "expires_on"), ("loadout", "date"), ("trip", "until"), ("event", "date")],
)
def test_a_day_that_no_calendar_of_ours_has(season: Season, subject: str, field: str, day: str) -> None:
    """Counting years on from it, or back, must stay possible: refused with the days that are read."""
    version = season.version
    said = come_in(season, subject, {field: day})
    assert "1900-01-01 to 2199-12-31" in said
    assert season.version == version


@pytest.mark.parametrize(
    ("field", "cell"),
    [("length_m", "0"), ("length_m", "0.9"), ("width_m", "0"), ("width_m", "4.1"), ("height_m", "5.1")],
)
def test_an_outline_that_no_vehicle_has(season: Season, field: str, cell: str) -> None:
    """It is refused with its name, its limits, and its unit."""
    said = come_in(season, "vehicle", {field: cell})
    assert re.search(rf"overall {field.removesuffix('_m')} {cell}\S* is outside [\d.]+ to [\d.]+ m;", said)


def test_a_center_below_the_ground(season: Season) -> None:
    """The empty vehicle's center on the ground, its tank above: without fuel it would lie below. Refused by name."""
    said = come_in(season, "vehicle", {"curb_up_m": "0"})
    assert "up of the vehicle without fuel" in said
    closed(open_all())


def test_a_trailer_needs_a_hitch(season: Season) -> None:
    """A loadout takes no trailer along while the vehicle has no hitch, and the hitch stays while one does."""
    season.set_trailer(name="Trailer", mass_kg=500.0, tongue_kg=50.0)
    season.set_vehicle("hitch", None)
    with pytest.raises(BadValue, match="hangs on a hitch that the vehicle doesn't have"):
        season.set_loadout(FRIDAY, trailer_on=True)
    season.set_vehicle("hitch", Place(aft_m=3.9, up_m=0.5))
    season.set_loadout(FRIDAY, trailer_on=True)
    with pytest.raises(BadValue, match="hangs on a hitch that the vehicle doesn't have"):
        season.set_vehicle("hitch", None)
    closed(open_all())


def test_a_ticket_tells_only_what_a_scale_can(season: Season) -> None:
    """No reading below nothing, no scale without a step."""
    season.add("weigh_in", name="Quarry", loadout=FRIDAY, total_kg=2500.0, left_entry=season.version)
    for field, cell in (("total_kg", "-1"), ("rear_axle_kg", "0"), ("resolution_kg", "0"), ("fuel_l", "-3")):
        assert "is outside" in come_in(season, "weigh_in", {field: cell}), field
    closed(open_all())


@pytest.mark.parametrize("entry", ["1", "99999"])
def test_a_ticket_of_a_time_when_its_loadout_was_not_there(season: Season, entry: str) -> None:
    """The pages open, and the scale's reading counts as one of another load: nothing tells that it is the same."""
    season.add_loadout("Sunday", like=FRIDAY, date="2099-05-15")
    season.add("weigh_in", name="Quarry", loadout="Sunday", total_kg=30_000.0, left_entry=season.version)
    come_in(season, "weigh_in", {"left_entry": entry})
    desk = Desk(season)
    assert desk.loadout_name == "Sunday"
    scale = [finding for finding in desk.report.findings if finding.rests_on == "the scale's reading"]
    assert scale
    assert not any(finding.is_bad for finding in scale)
    closed(open_all())
