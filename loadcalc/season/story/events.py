"""Put dated events of items into the ledger: bought, weighed, repaired, lent, lost, retired, ..."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from typing import Any

from loadcalc.model.errors import BadValue
from loadcalc.season.edit import diary
from loadcalc.season.edit.aboard import Aboard
from loadcalc.season.edit.diary import MAY_WEIGH, STATE_AFTER, Event
from loadcalc.season.file.fields import GONE

KNOWN_AFTER = {"weighed": "weighed", "bought": "label", "changed": "estimated", "repaired": "estimated"}


def record_event(season: Aboard, item: str, kind: str, date: datetime.date | str, **fields: Any) -> str:
    """Enter a dated event of one item, and what it changes, as one entry; return the event's key.

    A mass sets the item's mass, how it is known, and its doubt; for a weighing the doubt is half of the scale's
    resolution unless `plus_minus_kg` says otherwise. Lost and retired take the item out of the inventory and off
    every loadout; lent marks it as away; returned and found bring it back. An event with an earlier date than
    one already entered changes only the past: it never undoes the newer one.

    Parameters
    ----------
    season : where it is entered. item : key or name. kind : one of EVENT_KINDS. date : when it happened.
    fields : of an event: mass_kg (of one) [kg], scale, resolution_kg [kg], known, plus_minus_kg [kg], count, method,
        who, until, note.

    Returns
    -------
    str: the event's key.

    Raises BadValue or NotFound when it can't be true; then nothing is kept.
    """
    key = season.find("item", item)
    name = season.present.name("item", key)
    with season.entry(f"{name}: {kind} on {date}", kind="event"):
        given = {field: value for field, value in fields.items() if value not in (None, "")}
        made = season.add("event", name=_free_name(season, f"{date} {kind} {name}"), item=key, kind=kind,
                          date=str(date), **_filled_in(kind, given))  # fmt: skip
        _take_effect(season, diary.event(made, season.fields("event", made)))
    return made


def correct_event(season: Aboard, event: str, **fields: Any) -> None:
    """Correct an event with a new entry; what was entered first stays in the ledger.

    The item's mass follows when it is still the one that this event gave.

    Parameters
    ----------
    season : where it stands. event : its key or name. fields : what was wrong, as in `record_event`.
    """
    key = season.find("event", event)
    was = diary.event(key, season.fields("event", key))
    with season.entry(f"{was.name}: corrected", kind="event"):
        season.set("event", key, **fields)
        now = diary.event(key, season.fields("event", key))
        held = (season.present.get("item", now.item) or {}).get("mass_kg")
        if now.mass_kg is not None and held == was.mass_kg:
            _set_mass(season, now)


def of_item(events: Iterable[Event], item: str) -> list[Event]:
    """Return the events of one item, oldest first; those of one day in the order in which they were entered.

    Parameters
    ----------
    events : in the order in which they were entered. item : its key.
    """
    return sorted((event for event in events if event.item == item), key=lambda event: event.date)


def _filled_in(kind: str, given: dict[str, Any]) -> dict[str, Any]:
    """The fields as kept: how a mass is known, and its doubt."""
    if "mass_kg" not in given:
        return given
    if kind not in MAY_WEIGH:
        raise BadValue("mass", given["mass_kg"], f"does not belong to “{kind}”", "enter a weighing for it")
    filled = {"known": KNOWN_AFTER[kind], **given}
    if "plus_minus_kg" not in given and "resolution_kg" in given:
        filled["plus_minus_kg"] = given["resolution_kg"] / 2  # a rounded reading is good to half a step
    return filled


def _free_name(season: Aboard, name: str) -> str:
    """The name, with a number when two such events fell on one day."""
    taken = {str(fields.get("name")).casefold() for _, fields in season.present.rows("event")}
    names = (name if number == 1 else f"{name} ({number})" for number in range(1, len(taken) + 2))
    return next(free for free in names if free.casefold() not in taken)


def _take_effect(season: Aboard, event: Event) -> None:
    """Change the item as the event says, unless an event with a later date has already."""
    later = [other for other in _others(season, event) if other.date > event.date]
    if event.mass_kg is not None and not any(other.mass_kg is not None for other in later):
        _set_mass(season, event)
    if _some_of_them(season, event):
        return
    if event.kind in STATE_AFTER and not any(other.kind in STATE_AFTER for other in later):
        _set_state(season, event)


def _others(season: Aboard, event: Event) -> list[Event]:
    return [
        diary.event(key, fields)
        for key, fields in season.present.rows("event")
        if fields.get("item") == event.item and key != event.key
    ]


def _set_mass(season: Aboard, event: Event) -> None:
    season.put("item", event.item, {
        "mass_kg": event.mass_kg, "known": event.known, "plus_minus_kg": event.plus_minus_kg,
    })  # fmt: skip


def _some_of_them(season: Aboard, event: Event) -> bool:
    """Lower or raise the count when some pieces are lost or found; return whether it was so."""
    fields = season.fields("item", event.item)
    owned = int(fields.get("count", 1))
    if event.count is None or fields.get("state") in GONE:
        return False
    if event.kind in GONE and event.count < owned:
        season.put("item", event.item, {"count": owned - event.count})
        _carry_at_most(season, event.item, owned - event.count)
        return True
    if event.kind == "found":
        season.put("item", event.item, {"count": owned + event.count})
        return True
    return False


def _set_state(season: Aboard, event: Event) -> None:
    state = STATE_AFTER[event.kind]
    season.put("item", event.item, {"state": state or None})
    if state in GONE:
        _carry_at_most(season, event.item, 0)


def _carry_at_most(season: Aboard, item: str, left: int) -> None:
    """Carry no more of an item on any loadout than are left."""
    for key, fields in list(season.present.things.get("stowed", {}).items()):
        if key.partition("/")[2] == item and fields.get("count", 1) > left:
            if left:
                season.put("stowed", key, {"count": left})
            else:
                season.drop("stowed", key)
