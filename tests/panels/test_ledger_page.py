"""What the ledger page shows and what its boxes write, without a browser."""

from __future__ import annotations

import datetime
from pathlib import Path

import ipywidgets as widgets
import pytest

from loadcalc.model.errors import BadValue
from loadcalc.model.quantities import SI, US
from loadcalc.season.edit.diary import EVENT_KINDS
from loadcalc.season.story.events import record_event
from loadcalc.season.story.past import differences, inventory
from loadcalc.season.story.totals import MassPoint, mass_points
from tests.season_help import FRIDAY, demo_season
from tests.widget_help import inside, text_of, walk
from workbook.panels.desk.desk import Desk
from workbook.panels.ledger import ledger, ledger_events
from workbook.panels.ledger import ledger_words as say
from workbook.panels.ledger.mass_history_figure import labeled, mass_history_svg, span

LB_KG, MI_KM = 0.45359237, 1.609344
DAY = datetime.date(2026, 6, 1)


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A desk on a fresh copy of the demo season."""
    return Desk(demo_season(tmp_path, durable=False))


def test_entries_are_filtered_and_tell_what_was_taken_back(desk: Desk) -> None:
    """Words, kind, and a limit narrow the list; an entry that was undone says by which."""
    record_event(desk.season, "chainsaw", "lent", DAY)
    desk.season.set_item("rock-bar", mass_kg=8.0)
    desk.season.undo()
    entries = desk.season.entries()
    rows = say.entry_rows(entries, 50)
    assert [row[0] for row in rows] == ["4", "3", "2", "1"]
    assert rows[1][4] == "Rock bar: mass (taken back by entry 4)"
    assert [row[3] for row in say.entry_rows(entries, 50, kind="event")] == ["event"]
    assert [row[0] for row in say.entry_rows(entries, 50, search="ROCK")] == ["4", "3"]
    assert len(say.entry_rows(entries, 2)) == 2


def test_changes_are_told_in_the_readers_units(desk: Desk) -> None:
    """A stowed item is named with its loadout; masses have their unit; absent values are a dash."""
    record_event(desk.season, "rock-bar", "weighed", DAY, mass_kg=8.0)
    rows = say.change_rows(desk.season.changes(2), desk.season, SI)
    assert ("item: Rock bar", "mass", "8.26 kg", "8 kg") in rows
    assert ("event: 2026-06-01 weighed Rock bar", "kind", "–", "weighed") in rows
    desk.season.stow(FRIDAY, "rock-bar", None)
    assert (
        say.change_rows(desk.season.changes(3), desk.season, US)[0][0] == f"item on board: Rock bar, {FRIDAY}"
    )
    assert say.said("distance_km", 164 * MI_KM, US) == "164 mi"
    assert (say.said("must_come", True, US), say.said("note", "x" * 90, US)) == ("yes", "x" * 79 + "…")
    assert say.said("carried", "a:1:0:0 b:2:0:0", US) == "2 items"


def test_the_writer_is_kept_and_stands_beside_entries(desk: Desk) -> None:
    """Typing a name writes it as an entry; from then on it stands beside each one."""
    box = inside(ledger.writer_box(desk), widgets.Text)
    box.value = "Ines"
    desk.season.set_item("rock-bar", mass_kg=8.0)
    assert {entry.who for entry in desk.season.entries(2)} == {"Ines"}
    assert box.value == "Ines"


def test_the_list_follows_and_shows_one_entrys_changes(desk: Desk) -> None:
    """A new entry comes in by itself; looking into it shows before and after."""
    view = ledger.entry_list(desk)
    desk.do(lambda: desk.season.set_item("rock-bar", mass_kg=8.0), "Rock bar lighter")
    assert "Rock bar lighter" in text_of(view)
    inside(view, widgets.Dropdown, "Look into").value = 2
    assert "18.2 lb" in text_of(view)
    inside(view, widgets.Text, "Find").value = "no such words"
    assert "0 of 2 entries" in text_of(view)


def test_looking_back(desk: Desk) -> None:
    """A day before the boards were bought: they are told as having come since; nonsense is refused in words."""
    view = ledger.look_back(desk)
    inside(view, widgets.Text, "As of").value = "2025-04-01"
    text = text_of(view)
    assert "At the end of 2025-04-01: 45 lines of gear" in text
    assert "new since then" in text
    assert "Traction board" in text
    inside(view, widgets.Text, "As of").value = "last spring"
    assert "write it as 2026-05-15" in text_of(view)


def test_differences_in_words(desk: Desk) -> None:
    """Mass, state, and number each say then and now."""
    rows = say.difference_rows(
        differences(inventory(desk.season, datetime.date(2025, 4, 1)), inventory(desk.season)), US
    )
    found = {(name, what): (then, now) for name, what, then, now in rows}
    assert found["Tool roll", "mass"] == (
        "1 at 22.6 lb ± 0.2 lb (weighed)",
        "1 at 24.8 lb ± 0.2 lb (weighed)",
    )
    assert found["Folding table", "state"][1].endswith(", lent")


def test_a_weighing_as_typed() -> None:
    """A pile of four on a scale that shows half pounds: a quarter each, and a quarter of half a step of doubt."""
    typed = {"mass": "12 lb", "resolution": "0.5", "count": "4", "scale": "quarry", "until": "", "note": " "}
    fields = ledger_events.read_event("weighed", typed, US)
    assert fields.pop("mass_kg") == pytest.approx(3 * LB_KG, rel=1e-12)
    assert fields.pop("plus_minus_kg") == pytest.approx(0.25 / 4 * LB_KG, rel=1e-12)
    assert fields.pop("resolution_kg") == pytest.approx(0.5 * LB_KG, rel=1e-12)
    assert fields == {"scale": "quarry"}


def test_boxes_that_an_event_does_not_have_are_not_read() -> None:
    """What was typed into a box that is hidden now counts for nothing; what is needed is asked for."""
    assert ledger_events.read_event("repaired", {"count": "3", "method": "look", "who": "Dov"}, US) == {
        "who": "Dov"
    }
    assert ledger_events.read_event("lost", {"count": "3", "mass": "2"}, US) == {"count": 3}
    assert ledger_events.read_event("lent", {"until": "2026-06-20"}, US) == {"until": "2026-06-20"}
    for typed, error in (
        ({}, "mass.*is empty"),
        ({"mass": "2", "count": "0"}, "how many lay"),
        ({"mass": "x"}, "mass"),
    ):
        with pytest.raises(BadValue, match=error):
            ledger_events.read_event("weighed", typed, US)
    with pytest.raises(BadValue, match="write it as 2026-05-15"):
        ledger_events.read_event("lent", {"until": "Friday"}, US)


@pytest.mark.parametrize("kind", EVENT_KINDS)
def test_every_kind_of_event_has_words_and_boxes(kind: str) -> None:
    """No kind is left without a name in the chooser."""
    assert ledger_events.KIND_WORDS[kind].startswith(kind)
    assert {"note", "who"} <= ledger_events.fields_for(kind)


def test_the_form_enters_a_weighing(desk: Desk) -> None:
    """The boxes filled in and the button pressed: event, mass, and doubt in one entry; the boxes are empty again."""
    view = ledger_events.event_form(desk)
    inside(view, widgets.Dropdown, "Item").value = "rock-bar"
    for label, value in {
        "On": "2026-06-01",
        "Mass": "18.5",
        "Scale division": "0.5",
        "Scale": "quarry",
    }.items():
        inside(view, widgets.Text, label).value = value
    inside(view, widgets.Button).click()
    item = next(item for item in desk.season.gear if item.key == "rock-bar")
    assert (desk.units.mass(item.mass_kg), item.known) == ("18.5 lb", "weighed")
    assert item.plus_minus_kg == pytest.approx(0.25 * LB_KG, rel=1e-12)
    assert desk.status == "Kept in the ledger: Rock bar: weighed on 2026-06-01"
    assert inside(view, widgets.Text, "Mass").value == ""
    inside(view, widgets.Text, "On").value = "yesterday"
    inside(view, widgets.Button).click()
    assert desk.status.startswith("Not kept: date “yesterday”") or "is not a date" in desk.status


def test_history_tells_events_trips_and_edits(desk: Desk) -> None:
    """Newest first: what happened to the axe, the trip that broke it, and a rename."""
    record_event(desk.season, "felling-axe", "repaired", DAY, note="new handle", who="Dov")
    desk.season.set_item("felling-axe", name="Axe")
    rows = ledger_events.history_rows(desk.season, "felling-axe", US)
    assert ("2026-06-01", "repaired", "by Dov, new handle") in rows
    assert ("2025-10-10", "trip", "Storm damage, east loop: 1 carried, not used, 1 broken") in rows
    assert ("edited", "name: Felling axe to Axe") in [row[1:] for row in rows]
    view = ledger_events.item_history(desk)
    inside(view, widgets.Dropdown).value = "felling-axe"
    assert "What did Axe weigh?" in text_of(view)


def test_gone_items_stay_in_the_chooser(desk: Desk) -> None:
    """Retired and removed items can still be looked at, and say so."""
    record_event(desk.season, "rock-bar", "retired", DAY)
    desk.season.remove("item", "loppers")
    names = [name for name, _ in ledger_events.item_options(desk.season)]
    assert {"Rock bar (retired)", "Loppers (removed)", "Folding table (lent)", "Chainsaw"} <= set(names)


def test_the_picture_of_a_mass(desk: Desk) -> None:
    """Every mass stands in its words; the scale holds every doubt and never makes a trend of rounding."""
    points = mass_points(desk.season, "tool-roll")
    svg = mass_history_svg("Tool <roll>", points, US)
    assert "Tool &lt;roll&gt;" in svg
    assert "2025-03-15: 22.6 lb plus or minus 0.2 lb, weighed" in svg
    low, high = span(points)
    assert low < points[0].mass_kg - 0.1
    assert high > points[-1].mass_kg + 0.1
    steady = (MassPoint(date=DAY, mass_kg=10.0, plus_minus_kg=0.0, known="weighed"),)
    assert span(steady)[1] - span(steady)[0] == pytest.approx(1.0, rel=1e-12)
    assert "No mass" in mass_history_svg("x", (), US)
    assert mass_history_svg("x", steady, SI).count("<circle") == 1
    assert labeled([0, 50, 100, 150, 300]) == [4, 3, 1]


def test_the_words_do_not_depend_on_the_day(desk: Desk) -> None:
    """The text that is stored in the page holds dates, not “overdue”."""
    text = say.season_words(desk.season, desk.report, desk.units)
    assert "Propane cylinder, requalification: due 2026-06-01." in text
    assert "overdue" not in text
    assert "16 dated events. 4 trips" in text


def test_hiding_one_row_hides_no_other(desk: Desk) -> None:
    """Every row has a layout of its own: what one panel hides stays on the others."""
    views = [ledger_events.event_form(desk), ledger.writer_box(desk), ledger.entry_list(desk)]
    rows = [w for view in views for w in walk(view) if isinstance(w, widgets.Box)]
    assert len({id(row.layout) for row in rows}) == len(rows)
