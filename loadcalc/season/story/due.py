"""What has to be checked, and when: gas cylinders, fire extinguishers, straps, first aid, tires, anything that expires.

The intervals are those of :mod:`loadcalc.checks.intervals`.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from loadcalc.checks.gas import kind_of
from loadcalc.checks.gas_words import GAS, filled_once
from loadcalc.checks.intervals import CYLINDER, NO_CHECKS, Rule, rules
from loadcalc.model.errors import BadValue
from loadcalc.season.edit import records
from loadcalc.season.edit.diary import Event
from loadcalc.season.edit.store import Season
from loadcalc.season.file.fields import GONE
from loadcalc.season.file.present import Fields
from loadcalc.season.story.events import of_item

SOON_DAYS = 60
TIRES = {"front": "Front tires", "rear": "Rear tires", "spare": "Spare tire"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """One check of one thing. on : the day it is due, None when no date is known. since : what it is counted from."""

    key: str
    name: str
    duty: str
    what: str
    on: datetime.date | None
    since: str
    status: str
    source: str

    def state(self, today: datetime.date) -> str:
        """Return "overdue", "due soon", "in order", or "date not known".

        Parameters
        ----------
        today : the day on which it is asked.
        """
        if self.on is None:
            return "date not known"
        days = (self.on - today).days
        return "overdue" if days < 0 else "due soon" if days <= SOON_DAYS else "in order"


def tire_made_on(code: str) -> datetime.date:
    """Return the Monday of the week that a tire's code names: "2319" is week 23 of 2019.

    Parameters
    ----------
    code : the last four digits of the code after DOT, or all of it.

    Valid for tires made since 2000. Source: 49 CFR 574.5 (from memory; several public pages agree).

    >>> tire_made_on("DOT U2LL LMLR 5107")
    datetime.date(2007, 12, 17)
    """
    digits = "".join(code.split())[-4:]
    try:
        return datetime.date.fromisocalendar(2000 + int(digits[2:]), int(digits[:2]), 1)
    except ValueError:
        cure = "give the last four digits after DOT: week and year, like 2319"
        raise BadValue("tire code", code, "names no week of a year", cure) from None


def checks_due(season: Season) -> tuple[Due, ...]:
    """Return every check of everything that has a kind of check or expires, soonest first, unknown dates before them.

    Parameters
    ----------
    season : the season, its tires included.
    """
    present, events = season.present, season.events
    found: list[Due] = []
    for key, fields in present.rows("item"):
        if fields.get("state") not in GONE:
            checked = {**fields, "check_kind": check_kind(key, fields)}
            found += _of_thing(key, str(fields.get("name", key)), checked, of_item(events, key))
    for axle, name in TIRES.items():
        fields = present.get("tire", axle) or {}
        if fields and (axle != "spare" or "made_on" in fields):
            found += _of_thing(axle, name, {**fields, "check_kind": "tire"}, _looks(axle, name, fields))
    return tuple(sorted(found, key=lambda due: (due.on or datetime.date.min, due.name)))


def check_kind(key: str, fields: Fields) -> str:
    """What an item is for its checks, one of `check_kinds`: what was said; else gas that can be filled again; or "".

    Parameters
    ----------
    key, fields : the item, as the season keeps it.
    """
    if said := str(fields.get("check_kind") or ""):
        return "" if said == NO_CHECKS else said
    item = records.item(key, fields)
    return CYLINDER if kind_of(item) == GAS and not filled_once(item.name) else ""


def _looks(axle: str, name: str, fields: Fields) -> list[Event]:
    """A tire is no item, so that the day it was last looked at is a field of its own."""
    day = _date(fields.get("looked_on"))
    return [Event(key=axle, name=name, item=axle, date=day, kind="inspected", method="look")] if day else []


def _of_thing(key: str, name: str, fields: Fields, events: Sequence[Event]) -> list[Due]:
    kind = str(fields.get("check_kind", ""))
    made = _date(fields.get("made_on"))
    mine = [rule for rule in rules() if rule.kind == kind]
    duties = dict.fromkeys(rule.duty for rule in mine)
    found = [_duty(key, name, [r for r in mine if r.duty == duty], made, events) for duty in duties]
    if expires := _date(fields.get("expires_on")):
        found.append(
            Due(key=key, name=name, duty="expires", what="replace what expires", on=expires,
                since="the date on it", status="entered", source="the date on it")
        )  # fmt: skip
    return found


def _duty(
    key: str, name: str, mine: Sequence[Rule], made: datetime.date | None, events: Sequence[Event]
) -> Due:
    """One duty: counted from the newest of what the rules count from."""
    by_after = {rule.after: rule for rule in mine}
    last: tuple[datetime.date, Rule, datetime.date | None] | None = None
    if made is not None and "made" in by_after:
        last = made, by_after["made"], None
    for event in _inspections(events, by_after):
        if last is None or event.date >= last[0]:
            last = event.date, by_after[event.method], event.until
    if last is None:
        rule = mine[0]
        since, on = "no date of manufacture or inspection is known: read the stamp or label", None
    else:
        since = "made" if last[1].after == "made" else f"{last[1].after} inspection"
        since, rule, on = f"{since} on {last[0]}", last[1], last[2] or last[1].due_on(last[0])
    return Due(key=key, name=name, duty=rule.duty, what=rule.what, on=on, since=since, status=rule.status,
               source=rule.source)  # fmt: skip


def _inspections(events: Sequence[Event], by_after: dict[str, Rule]) -> Iterable[Event]:
    return (event for event in events if event.kind == "inspected" and event.method in by_after)


def _date(text: object) -> datetime.date | None:
    return datetime.date.fromisoformat(str(text)) if text else None
