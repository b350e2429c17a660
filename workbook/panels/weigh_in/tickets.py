"""Weighbridge tickets of the season: one row for each thing on a ticket, read and written in the reader's units."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from typing import Any

from loadcalc.checks.weighing.scales import Scale
from loadcalc.checks.weighing.ticket import READINGS
from loadcalc.model import check
from loadcalc.model.errors import BadValue, NotFound
from loadcalc.model.quantities import Units
from loadcalc.season import Season
from loadcalc.season.story.departures import ticket_fields
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.dials import amount
from workbook.panels.desk.measure import Measure, Read, mass, table_of, words
from workbook.widgets.table.table import Column, EditTable

NOT_KNOWN = ("", "?")
DIVISION_KG = {"US": 20 * 0.45359237, "SI": 10.0}  # usual for vehicle scales; common practice
AS_WRITTEN = "Empty where the ticket has none. Write what it shows, also when its sums don't come out."
COLUMNS = (
    Column(key="measure", title="On the ticket", kind="read-only", width="12em"),
    Column(key="value", title="Value", kind="text", width="9em", hint="Write a unit if it is not the one shown."),
    Column(key="where", title="What to write", kind="read-only", width="10em"),
)


def ticket_lines(desk: Desk, current: Callable[[], str]) -> list[Measure]:
    """Everything on the ticket whose key is `current()`: field of the season, how it is shown and read."""

    def line(field: str, name: str, show: Callable[[Any, Units], str], read: Read, where: str = "") -> Measure:
        def put(season: Season, value: Any) -> None:
            if not current():
                raise NotFound("weigh-in", "", [key for _, key in tickets(season)])
            season.set("weigh_in", current(), **{field: value})

        return Measure(
            key=field, name=name, show=lambda fields, units: show(fields.get(field), units),
            read=read, put=put, where=where,
        )  # fmt: skip

    def fuel(text: str, units: Units, name: str) -> float | None:
        if text.strip() in NOT_KNOWN:
            return None
        most_l = desk.season.vehicle.tank.capacity_l
        fuel_l = amount("volume", text, units, "fuel")
        fuel_l = units.scale("volume").at_most(fuel_l, most_l)
        if fuel_l > most_l:
            raise BadValue("fuel", text, f"is more than the tank's {units.volume(most_l)}", "read the gauge again")
        return fuel_l

    return [
        *(line(f"{key}_kg", name, _shown_mass, _reading) for key, (name, _) in READINGS.items()),
        line(
            "people_aboard", "People aboard", _shown_yes_no, _yes_no,
            "yes or no: did the people of the loadout sit in it?",
        ),
        line(
            "fuel_l", "Fuel in the tank", lambda value, units: "" if value is None else units.volume(value), fuel,
            "By the gauge. Empty: as in the loadout.",
        ),
        line("name", "What you call it", _shown_words, _name),
        line("date", "Date", _shown_words, _day, "As 2026-05-31."),
        line(
            "loadout", "Loadout that stood on the scale", _shown_words,
            lambda text, units, name: desk.season.loadout(text.strip()).name,
            "Weigh it packed as it is listed, trailer off.",
        ),
        line("scale", "Which scale", _shown_words, words),
        line(
            "pads", "A pad under each wheel", _shown_yes_no, _yes_no,
            "yes or no. With one scale for all readings its error is in all of them alike.",
        ),
        line(
            "resolution_kg", "Scale division", _shown_mass, _division,
            "The smallest step it shows; it stands on the scale's plate.",
        ),
        line("note", "Note", _shown_words, words),
    ]  # fmt: skip


def _reading(text: str, units: Units, name: str) -> float | None:
    return None if text.strip() in NOT_KNOWN else amount("mass", text, units, "reading", low=1.0)


def _division(text: str, units: Units, name: str) -> float:
    return Scale(resolution_kg=mass(text, units, "scale division", high_kg=500.0)).resolution_kg


def _name(text: str, units: Units, name: str) -> str:
    if not text.strip():
        raise BadValue("name", "", "is empty", "give the ticket a name")
    return text.strip()


def _day(text: str, units: Units, name: str) -> str:
    return check.day("date", text).isoformat()


def _yes_no(text: str, units: Units, name: str) -> bool:
    word = text.strip().casefold()
    if word not in ("yes", "no", "y", "n"):
        raise BadValue(name, text, "is neither yes nor no", "write yes or no")
    return word.startswith("y")


def _shown_yes_no(value: Any, units: Units) -> str:
    return "yes" if value else "no"


def _shown_words(value: Any, units: Units) -> str:
    return str(value or "")


def _shown_mass(value: Any, units: Units) -> str:
    return "" if value is None else units.mass(value)


def tickets(season: Season) -> list[tuple[str, str]]:
    """The season's tickets as (what a chooser shows, key), newest first."""
    rows = sorted(season.present.rows("weigh_in"), key=lambda row: str(row[1].get("date", "")), reverse=True)
    return [(f"{fields.get('name', key)}, {fields.get('date', 'no date')}", key) for key, fields in rows]


def new_ticket(desk: Desk, day: str | None = None) -> str:
    """Put an empty ticket for the loadout that is looked at into the season, as one entry; return its key."""
    desk.keep_now()
    day = day or datetime.date.today().isoformat()
    names = {str(fields.get("name")) for _, fields in desk.season.present.rows("weigh_in")}
    name = next(
        name
        for n in range(1, len(names) + 2)
        if (name := "Weigh-in" if n == 1 else f"Weigh-in {n}") not in names
    )
    made: list[str] = []

    def add() -> None:
        made.append(
            desk.season.add(
                "weigh_in", name=name, date=day, loadout=desk.loadout_name, scale="", people_aboard=True,
                resolution_kg=DIVISION_KG[desk.season.units], fuel_l=desk.loadout.fuel_l,
                left_entry=desk.season.version,
            )
        )  # fmt: skip

    kept = desk.do(add, f"{name}, {day}: new ticket for {desk.loadout_name}")
    return made[0] if kept else ""


def ticket_table(desk: Desk, current: Callable[[], str]) -> EditTable:
    """The editable table of the ticket whose key is `current()`."""

    def fields() -> dict[str, Any]:
        return ticket_fields(desk.season, current())

    return table_of(
        desk, "Weighbridge ticket", ticket_lines(desk, current), fields, "29rem",
        columns=COLUMNS, called=lambda: str(fields().get("name", "Ticket")),
    )  # fmt: skip
