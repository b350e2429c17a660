"""Trips on the page: enter one from a loadout, tick what was used, hold it against the last, add up the season."""

from __future__ import annotations

import datetime
from typing import Any

import ipywidgets as widgets

from loadcalc.model import check
from loadcalc.model.errors import BadValue
from loadcalc.model.quantities import Units, read_count
from loadcalc.season import Season
from loadcalc.season.edit.diary import Trip
from loadcalc.season.story.totals import against_the_last, season_sums
from loadcalc.season.story.trips import ALL, entry_at_departure, pour_back, record_trip, tick_item
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.dials import amount
from workbook.panels.desk.edits import apply_edits, takes_back
from workbook.panels.desk.forms import ROW, button, chooser, enter, on_choice, refill, text_box
from workbook.panels.desk.frame import html_table, lines
from workbook.panels.ledger import days_and_miles_words as miles
from workbook.panels.ledger import ledger_words as say
from workbook.widgets.table.table import Column, Edit, EditTable, Refusal

NOW, THEN = "as it stands now", "as it stood at the end of the first day"


def trip_form(desk: Desk) -> widgets.Widget:
    """Enter a trip that was made, with the loadout as it left."""
    today = str(datetime.date.today())
    name, loadout, stood = (
        text_box("Trip", "what it is called"),
        chooser("Loadout"),
        chooser("As it left", "420px"),
    )
    first, last = (
        text_box("First day", "2026-05-15", value=today),
        text_box("Last day", "same day when empty"),
    )
    far, packing, note = (
        text_box("Distance"),
        text_box("Packing took", "minutes, or 1:30"),
        text_box("Note", width="500px"),
    )
    refill(stood, [(NOW, False), (THEN, True)])

    def show() -> None:
        refill(loadout, [(name, name) for name in desk.season.loadout_names], desk.loadout_name)
        far.placeholder = "in mi" if desk.units.name == "US" else "in km"

    def keep() -> None:
        def act() -> None:
            day = check.day("first day", first.value)
            if not name.value.strip():
                raise BadValue("trip", "", "has no name", "write what it is called")
            record_trip(desk.season, name.value.strip(), day, loadout.value,
                until=check.day("last day", last.value) if last.value.strip() else None,
                left_entry=entry_at_departure(desk.season, day) if stood.value else None,
                distance_km=miles.read_distance_km(far.value, desk.units),
                packing_min=miles.read_minutes(packing.value), note=note.value.strip(),
            )  # fmt: skip

        if enter(desk, act):
            for box in (name, last, far, packing, note):
                box.value = ""

    show()
    desk.records.append(show)
    rows = [
        widgets.HBox(row, layout=ROW) for row in ([name, loadout, stood], [first, last, far, packing], [note])
    ]
    return widgets.VBox([*rows, button("Enter the trip", keep)])


def took_columns(trip: Trip) -> list[Column]:
    """Columns of the table of what a trip carried; piece counts only when something was there more than once."""
    columns = [
        Column(key="item", title="Item", kind="read-only", width="16em"),
        Column(key="carried", title="Carried", kind="read-only", align="right", width="5em"),
        Column(key="used", title="Used", kind="tick", hint="Ticked: used, all pieces of it."),
        Column(key="broke", title="Broke", kind="tick", hint="Ticked: came back broken, all pieces of it."),
    ]
    if any(took.carried > 1 for took in trip.items):
        columns += [
            Column(key="used_count", title="Pieces used", kind="number", hint="For some of several."),
            Column(key="broke_count", title="Pieces broken", kind="number", hint="For some of several."),
        ]
    return columns


def took_rows(season: Season, trip: Trip) -> tuple[list[dict[str, Any]], list[str]]:
    """Rows of what a trip carried, and the items' keys."""
    names = season.ever("item")
    rows = [
        {
            "item": names.get(took.key, took.key), "carried": str(took.carried), "used": took.used > 0,
            "broke": took.broken > 0, "used_count": str(took.used), "broke_count": str(took.broken),
        }
        for took in trip.items
    ]  # fmt: skip
    return rows, [took.key for took in trip.items]


def tick(season: Season, trip: str, edit: Edit) -> None:
    """Put one cell of the table of what a trip carried into the season."""
    column, text = edit.column, edit.text
    count = read_count(str(text), field="pieces") if column.endswith("count") else ALL if text else 0
    if column.startswith("used"):
        tick_item(season, trip, edit.row_key, used=count)
    else:
        tick_item(season, trip, edit.row_key, broken=count)


def poured_columns(units: Units) -> list[Column]:
    """Columns of the table of a trip's containers."""
    unit = units.volume_unit
    return [
        Column(key="liquid", title="Container", kind="read-only", width="16em"),
        Column(key="left", title="On leaving", kind="read-only", align="right", width="7em"),
        Column(key="back", title="On return", kind="number",
               hint=f"In {unit}. Empty: nobody measured, or it was filled on the way."),
    ]  # fmt: skip


def poured_rows(season: Season, trip: Trip, units: Units) -> tuple[list[dict[str, Any]], list[str]]:
    """Rows of what was in a trip's containers, and their keys."""
    names = season.ever("liquid")
    rows = [
        {
            "liquid": names.get(key, key), "left": units.volume(left_l),
            "back": "" if back_l is None else units.volume(back_l),
        }
        for key, left_l, back_l in trip.liquids
    ]  # fmt: skip
    return rows, [poured.key for poured in trip.liquids]


def trip_view(desk: Desk) -> widgets.Widget:
    """One trip: what was used, what broke, what came back, and how it compares to the one before."""
    which, words, against = chooser("Trip", "420px"), widgets.HTML(), widgets.HTML()

    def trip() -> Trip | None:
        return next((found for found in desk.season.trips if found.key == which.value), None)

    def ticked(edits: list[Edit]) -> list[Refusal]:
        made = trip()
        assert made is not None
        note = f"{made.name}: what was used"
        return apply_edits(desk, edits, note, lambda edit: tick(desk.season, made.key, edit), "trip")

    def poured(edits: list[Edit]) -> list[Refusal]:
        made = trip()
        assert made is not None

        def one(edit: Edit) -> None:
            text = str(edit.text).strip()
            back_l = amount("volume", text, desk.units, "on return") if text else None
            pour_back(desk.season, made.key, edit.row_key, back_l)

        return apply_edits(desk, edits, f"{made.name}: what came back", one, "trip")

    fixed = {"can_add": False, "can_duplicate": False, "can_remove": False}
    items = EditTable(
        label="What was carried, used, and broken", columns=took_columns(NO_TRIP),
        rows=[], row_keys=[], on_edit=ticked, height="22rem", on_undo=takes_back(desk), **fixed,
    )  # fmt: skip
    liquids = EditTable(
        label="Water and fuel", columns=poured_columns(desk.units), rows=[], row_keys=[], on_edit=poured,
        height="12rem", on_undo=takes_back(desk), **fixed,
    )  # fmt: skip

    def show() -> None:
        refill(which, [(f"{t.date} {t.name}", t.key) for t in reversed(desk.season.trips)])
        made = trip()
        for box in (which, items, liquids):
            box.layout.display = "none" if made is None else ""
        if made is None:
            words.value, against.value = lines(NO_TRIP_YET), ""
            items.show([], [])
            liquids.show([], [])
            return
        words.value = lines("\n".join(filter(None, (say.trip_words(made, desk.units), made.note))))
        items.show(*took_rows(desk.season, made), took_columns(made))
        liquids.show(*poured_rows(desk.season, made, desk.units), poured_columns(desk.units))
        rows = against_rows(desk.season, made.key, desk.units)
        table = html_table(("What", "This trip", "The one before"), rows) if rows else ""
        against.value = table + lines(against_words(desk.season, made.key))

    show()
    on_choice(which, show)
    desk.records.append(show)
    return widgets.VBox([which, words, items, liquids, against])


NO_TRIP_YET = "No trip is in the ledger yet: enter one under “Back from a trip?”, then tick here what was used."
NO_TRIP = Trip(key="", name="", date=datetime.date.min, until=datetime.date.min)


def against_rows(season: Season, key: str, units: Units) -> list[tuple[str, str, str]]:
    """A trip against the one before: numbers side by side, nothing for the first."""
    told = against_the_last(season.trips, key)
    if told is None:
        return []
    pair = (told.trip, told.before)

    def both(write: Any) -> tuple[str, str]:
        return write(pair[0]), write(pair[1])

    return [
        ("Trip", *both(lambda t: f"{t.date} {t.name}")),
        ("People × days", *both(lambda t: f"{len(t.people)} × {t.days}")),
        ("Distance", *both(lambda t: miles.distance(t.distance_km, units))),
        ("Gear carried", *both(lambda t: "–" if t.gear_kg is None else units.mass(t.gear_kg))),
        ("Packing", *both(lambda t: miles.minutes(t.packing_min))),
    ]  # fmt: skip


def against_words(season: Season, key: str) -> str:
    """What came along that wasn't on the trip before, or more of it, and the reverse."""
    told = against_the_last(season.trips, key)
    if told is None:
        return "It is the first trip in the ledger."
    names = season.ever("item")

    def listed(items: tuple[tuple[str, int], ...]) -> str:
        return ", ".join(
            f"{count} × {names.get(k, k)}" if count > 1 else names.get(k, k) for k, count in items
        )

    more, less = listed(told.more) or "nothing", listed(told.less) or "nothing"
    return f"New on this trip, or more of it: {more}.\nOnly on the one before, or less of it now: {less}."


def sums_view(desk: Desk) -> widgets.Widget:
    """What the trips add up to, all of them or one year's."""
    year, words, table = chooser("Year", "240px"), widgets.HTML(), widgets.HTML()

    def show() -> None:
        years = sorted({trip.date.year for trip in desk.season.trips}, reverse=True)
        refill(year, [("every year", 0), *((str(one), one) for one in years)])
        trips = [trip for trip in desk.season.trips if year.value in (0, trip.date.year)]
        words.value = lines(say.sums_words(season_sums(trips), desk.units))
        rows = [
            (str(t.date), t.name, f"{len(t.people)} × {t.days}", miles.distance(t.distance_km, desk.units),
             "–" if t.gear_kg is None else desk.units.mass(t.gear_kg), miles.minutes(t.packing_min))
            for t in reversed(trips)
        ]  # fmt: skip
        heads = ("Departed", "Trip", "People × days", "Distance", "Gear", "Packing")
        table.value = html_table(heads, rows, numbers=(3, 4, 5)) if rows else ""

    show()
    on_choice(year, show)
    desk.records.append(show)
    return widgets.VBox([year, words, table])
