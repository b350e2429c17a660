"""Weighbridge tickets of the season: one row for each thing on a ticket, read and written in the reader's units."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from loadcalc.checks.weighing.scales import Scale
from loadcalc.checks.weighing.ticket import READINGS
from loadcalc.model import check
from loadcalc.model.errors import BadValue, NotFound
from loadcalc.model.marks import isolated
from loadcalc.model.quantities import Units, read_mass_kg, read_volume_l
from loadcalc.season import Season
from loadcalc.season.story.departures import ticket_fields
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.edits import apply_edits
from workbook.widgets.table import Column, Edit, EditTable, Refusal

NOT_KNOWN = ("", "?")
DIVISION_KG = {"US": 20 * 0.45359237, "SI": 10.0}  # usual for vehicle scales; common practice
AS_SHOWN = "Empty where the ticket has none. Write what it shows, also when sums don't come out."
COLUMNS = [
    Column(key="what", title="On the ticket", kind="read-only", width="16em"),
    Column(
        key="value",
        title="Value",
        kind="text",
        width="16em",
        hint="Write a unit if it is another than shown.",
    ),
    Column(key="hint", title="What to write", kind="read-only", width="24em"),
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of a ticket: field of the season, how it is shown, how it is read."""

    field: str
    name: str
    show: Callable[[Any, Units], str]
    read: Callable[[str, Units, Season], Any]
    hint: str = ""


def _mass(text: str, units: Units, season: Season) -> float | None:
    if text.strip() in NOT_KNOWN:
        return None
    comma = units.decimal_comma
    return read_mass_kg(text, unit=units.mass_unit, field="reading", low=1.0, decimal_comma=comma)


def _division(text: str, units: Units, season: Season) -> float:
    comma = units.decimal_comma
    kg = read_mass_kg(text, unit=units.mass_unit, field="scale division", high=500.0, decimal_comma=comma)
    return Scale(resolution_kg=kg).resolution_kg


def _fuel(text: str, units: Units, season: Season) -> float | None:
    if text.strip() in NOT_KNOWN:
        return None
    most_l = season.vehicle.tank.capacity_l
    fuel_l = read_volume_l(text, unit=units.volume_unit, field="fuel")
    if fuel_l > most_l * (1 + 1e-9):
        raise BadValue(
            "fuel", text, f"is more than the tank's {units.volume(most_l)}", "read the gauge again"
        )
    return min(fuel_l, most_l)


def _day(text: str, units: Units, season: Season) -> str:
    return check.day("date", text).isoformat()


def _loadout(text: str, units: Units, season: Season) -> str:
    return season.loadout(text.strip()).name


def _yes_no(name: str, text: str) -> bool:
    word = text.strip().casefold()
    if word not in ("yes", "no", "y", "n"):
        raise BadValue(name, text, "is neither yes nor no", "write yes or no")
    return word.startswith("y")


def _people(text: str, units: Units, season: Season) -> bool:
    return _yes_no("people aboard", text)


def _pads(text: str, units: Units, season: Season) -> bool:
    return _yes_no("a pad under each wheel", text)


def _shown_yes_no(value: Any, units: Units) -> str:
    return "yes" if value else "no"


def _words(text: str, units: Units, season: Season) -> str:
    return text.strip()


def _shown_words(value: Any, units: Units) -> str:
    return str(value or "")


def _shown_mass(value: Any, units: Units) -> str:
    return "" if value is None else units.mass(value)


LINES = [
    Line(field="name", name="What you call it", show=_shown_words, read=_words),
    Line(field="date", name="Date", show=_shown_words, read=_day, hint="As 2026-05-31."),
    Line(
        field="loadout", name="Loadout that stood on the scale", show=_shown_words, read=_loadout,
        hint="Weigh it packed as it is listed, trailer off.",
    ),
    Line(
        field="scale", name="Which scale", show=_shown_words, read=_words,
    ),
    Line(
        field="pads", name="A pad under each wheel", show=_shown_yes_no, read=_pads,
        hint="yes or no. With one scale for all readings its error is in all of them alike.",
    ),
    Line(
        field="resolution_kg", name="Scale division", show=_shown_mass, read=_division,
        hint="The smallest step it shows; it stands on the scale's plate.",
    ),
    Line(
        field="people_aboard", name="People aboard", show=_shown_yes_no, read=_people,
        hint="yes or no: did the people of the loadout sit in it?",
    ),
    Line(
        field="fuel_l", name="Fuel in the tank", read=_fuel,
        show=lambda value, units: "" if value is None else units.volume(value),
        hint="By the gauge. Empty: as in the loadout.",
    ),
    *(
        Line(
            field=f"{key}_kg", name=name, show=_shown_mass, read=_mass,
            hint=AS_SHOWN if key == "total" else "",
        )
        for key, (name, _) in READINGS.items()
    ),
    Line(field="note", name="Note", show=_shown_words, read=_words),
]  # fmt: skip


def ticket_rows(fields: dict[str, Any], units: Units) -> tuple[list[dict[str, Any]], list[str]]:
    """Rows of the ticket's table, and their keys."""
    rows = [
        {"what": line.name, "value": line.show(fields.get(line.field), units), "hint": line.hint}
        for line in LINES
    ]
    return rows, [line.field for line in LINES]


def tickets(season: Season) -> list[tuple[str, str]]:
    """The season's tickets as (what a chooser shows, key), newest first."""
    rows = sorted(season.present.rows("weigh_in"), key=lambda row: str(row[1].get("date", "")), reverse=True)
    return [(isolated(f"{fields.get('name', key)}, {fields.get('date', 'no date')}"), key) for key, fields in rows]


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
    by_field = {line.field: line for line in LINES}

    def one(edit: Edit) -> None:
        line = by_field[edit.row_key]
        if line.field == "name" and not str(edit.text).strip():
            raise BadValue("name", "", "is empty", "give the ticket a name")
        if not current():
            raise NotFound("weigh-in", "", [key for _, key in tickets(desk.season)])
        desk.season.set(
            "weigh_in", current(), **{line.field: line.read(str(edit.text), desk.units, desk.season)}
        )

    def on_edit(edits: list[Edit]) -> list[Refusal]:
        name = ticket_fields(desk.season, current()).get("name", "Ticket")
        first = f"{by_field[edits[0].row_key].name.lower()} {edits[0].text}"
        return apply_edits(desk, edits, f"{name}: {first if len(edits) == 1 else f'{len(edits)} lines'}", one)

    rows, keys = ticket_rows(ticket_fields(desk.season, current()), desk.units)
    return EditTable(
        label="Weighbridge ticket", columns=COLUMNS, rows=rows, row_keys=keys, on_edit=on_edit, can_add=False,
        can_duplicate=False, can_remove=False, height="34rem",
    )  # fmt: skip
