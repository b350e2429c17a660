"""Enter what happened to an item, and see its history: a chart of its mass, its events, its trips."""

from __future__ import annotations

import datetime
from typing import Any

import ipywidgets as widgets

from loadcalc.checks.intervals import methods
from loadcalc.model import check
from loadcalc.model.errors import BadValue
from loadcalc.model.quantities import Units, read_count
from loadcalc.season import Season
from loadcalc.season.edit.diary import EVENT_KINDS, MAY_WEIGH
from loadcalc.season.story.due import check_kind
from loadcalc.season.story.events import of_item, record_event
from loadcalc.season.story.totals import item_trips, mass_points
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.dials import amount
from workbook.panels.desk.forms import ROW, button, chooser, enter, on_choice, refill, text_box
from workbook.panels.desk.frame import html_table, lines
from workbook.panels.ledger import ledger_words as say
from workbook.panels.ledger.mass_history_figure import mass_history_svg

SOME = ("lost", "found", "retired")
KIND_WORDS = {
    "weighed": "weighed: what the scale showed", "bought": "bought", "changed": "changed: something added or taken off",
    "repaired": "repaired", "inspected": "inspected", "lent": "lent: away for a while", "returned": "returned",
    "lost": "lost: out of the inventory", "found": "found again", "retired": "retired: out of the inventory",
}  # fmt: skip


def fields_for(kind: str) -> set[str]:
    """Which boxes an event of this kind has, beside its day and a note."""
    wanted = {"note", "who"}
    if kind in MAY_WEIGH:
        wanted |= {"mass", "scale", "resolution"}
    if kind in (*SOME, "weighed", "bought"):
        wanted.add("count")
    if kind in ("inspected", "lent"):
        wanted.add("until")
    if kind == "inspected":
        wanted.add("method")
    return wanted


def read_event(kind: str, typed: dict[str, str], units: Units) -> dict[str, Any]:
    """The fields of an event from what was typed; a pile that was weighed together is shared out evenly."""
    typed = {name: text.strip() for name, text in typed.items() if name in fields_for(kind)}
    fields: dict[str, Any] = {
        name: typed[name] for name in ("scale", "who", "method", "note") if typed.get(name)
    }
    pieces = read_count(typed["count"], field="pieces") if typed.get("count") else None
    if typed.get("until"):
        fields["until"] = check.day("until", typed["until"]).isoformat()
    if pieces is not None and kind != "weighed":
        fields["count"] = pieces
    if not typed.get("mass"):
        if kind == "weighed":
            raise BadValue("mass", "", "is empty", "write what the scale showed")
        return fields
    if pieces == 0:
        raise BadValue("pieces", 0, "were weighed", "write how many lay on the scale, or leave it empty")
    share = 1 / (pieces or 1) if kind == "weighed" else 1.0
    fields["mass_kg"] = amount("mass", typed["mass"], units, "mass") * share
    if typed.get("resolution"):
        fields["resolution_kg"] = amount("mass", typed["resolution"], units, "scale division", high=100.0)
        fields["plus_minus_kg"] = fields["resolution_kg"] / 2 * share
    return fields


def item_options(season: Season) -> list[tuple[str, str]]:
    """Every item that there ever was, by name; what is away or gone says so."""
    found = []
    for key, name in season.ever("item").items():
        fields = season.present.get("item", key)
        state = "removed" if fields is None else str(fields.get("state", ""))
        found.append((f"{name} ({state})" if state else name, key))
    return sorted(found, key=lambda pair: pair[0].casefold())


def event_form(desk: Desk) -> widgets.Widget:
    """Enter a dated event of an item: what it changes is kept in the same entry."""
    item, kind = chooser("Item"), chooser("What happened")
    day = text_box("On", "2026-05-15", value=str(datetime.date.today()))
    boxes: dict[str, Any] = {
        "mass": text_box("Mass"), "resolution": text_box("Scale division", "the smallest step it shows"),
        "scale": text_box("Scale", "which one"), "count": text_box("Pieces", "all of them when empty"),
        "method": chooser("How"), "until": text_box("Until", "2026-06-15"), "who": text_box("Who"),
        "note": text_box("Note", width="500px"),
    }  # fmt: skip
    hint = widgets.HTML()
    refill(kind, [(KIND_WORDS[name], name) for name in EVENT_KINDS])

    def show() -> None:
        options = [pair for pair in item_options(desk.season) if desk.season.present.get("item", pair[1])]
        refill(item, [("choose an item", ""), *options])
        boxes["mass"].placeholder = f"of one, in {desk.units.mass_unit}"
        turn()

    def turn() -> None:
        wanted = fields_for(kind.value)
        for name, box in boxes.items():
            box.layout.display = "" if name in wanted else "none"
        fields = desk.season.present.get("item", item.value)
        checks = check_kind(item.value, fields) if fields else ""
        refill(
            boxes["method"],
            [("looked over", "look"), *((name, name) for name in methods(checks) if name != "look")],
        )
        boxes["count"].placeholder = "one, when empty" if kind.value == "weighed" else "all when empty"
        boxes["who"].description = "To whom" if kind.value == "lent" else "Who did it"
        hint.value = lines(HINTS.get(kind.value, ""))

    def keep() -> None:
        typed = {name: str(box.value or "") for name, box in boxes.items()}

        def act() -> None:
            when = check.day("date", day.value)
            if not item.value:
                raise BadValue("item", "", "is not chosen", "choose what it happened to")
            record_event(
                desk.season, item.value, kind.value, when, **read_event(kind.value, typed, desk.units)
            )

        if enter(desk, act):
            for name in ("mass", "count", "until", "note"):
                boxes[name].value = ""

    show()
    for box in (item, kind):
        on_choice(box, turn)
    desk.records.append(show)
    first = widgets.HBox([item, kind, day], layout=ROW)
    rest = widgets.HBox(list(boxes.values()), layout=ROW)
    return widgets.VBox([first, rest, hint, button("Enter it", keep)])


GOES = (
    "Takes it out of the inventory and off every loadout; its history stays. "
    "For some of several, write how many."
)
HINTS = {
    "weighed": "Sets the item's mass, that it was weighed, and its ± (half a scale division), "
    "unless a later weighing is in the ledger already.",
    "lost": GOES,
    "retired": GOES,
    "lent": "It stays in the inventory, marked as away, until you enter that it was returned.",
    "bought": "A look back to an earlier day leaves it out. The number owned stands in the gear inventory.",
}  # fmt: skip


def history_rows(season: Season, key: str, units: Units) -> list[tuple[str, str, str]]:
    """An item's events and trips by day, newest first: day, what, in words."""
    rows = [
        (str(event.date), event.kind, say.event_words(event, units)) for event in of_item(season.events, key)
    ]
    for trip, carried, used, broken in item_trips(season.trips, key):
        did = f"{used} used" if used else "not used"
        rows.append(
            (
                str(trip.date),
                "trip",
                f"{trip.name}: {carried} carried, {did}{f', {broken} broken' if broken else ''}",
            )
        )
    for entry, change in season.history("item", key):
        if change.field == "mass_kg" and entry.kind not in ("event", "undo", "redo"):
            mass = say.said("mass_kg", change.value, units)
            rows.append(
                (
                    str(entry.at.astimezone().date()),
                    "entered" if change.was is None else "edited",
                    f"mass: {mass}",
                )
            )
        if change.field in ("name", "count") and change.was is not None:
            words = f"{change.field}: {change.was} to {'nothing' if change.value is None else change.value}"
            rows.append((str(entry.at.astimezone().date()), "edited", words))
    return sorted(rows, key=lambda row: row[0], reverse=True)


def item_history(desk: Desk) -> widgets.Widget:
    """One item: what it weighed over time, and what happened to it."""
    item, chart, table = chooser("Item"), widgets.HTML(), widgets.HTML()

    def show() -> None:
        refill(item, item_options(desk.season), default="tool-roll")
        name = desk.season.ever("item").get(item.value, "")
        chart.value = mass_history_svg(name, mass_points(desk.season, item.value), desk.units)
        rows = history_rows(desk.season, item.value, desk.units)
        table.value = (
            html_table(("Day", "What", "In words"), rows) if rows else lines("No event and no trip yet.")
        )

    show()
    on_choice(item, show)
    desk.records.append(show)
    return widgets.VBox([item, chart, table])
