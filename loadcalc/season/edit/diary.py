"""What happened: records of dated item events and of trips, as the season keeps them.

An event has its own date beside the time at which it was entered. A trip keeps in one line of text what it
carried, so that ten years of trips stay small: `key:carried:used:broken`, with spaces between. What was in each
container stands as `key:left_l:back_l`; an empty last part is a container that nobody measured on return.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, NamedTuple

from loadcalc.model import check
from loadcalc.model.errors import BadValue
from loadcalc.model.things import HOW_KNOWN, LARGEST_ITEM_KG
from loadcalc.season.file.present import Fields

STATE_AFTER = {"lent": "lent", "returned": "", "lost": "lost", "found": "", "retired": "retired"}
MAY_WEIGH = ("bought", "weighed", "changed", "repaired")
EVENT_KINDS = ("weighed", "bought", "changed", "repaired", "inspected", *STATE_AFTER)


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One dated event of one item.

    mass_kg : mass of one since then [kg], None when it says nothing of it; plus_minus_kg : half-width of the
    doubt [kg]. count : how many pieces were lost, retired, or found; None: all of them.
    method : how it was inspected; until : good until, or expected back. who : who did it or has it.
    """

    key: str
    name: str
    item: str
    date: datetime.date
    kind: str
    mass_kg: float | None = None
    plus_minus_kg: float = 0.0
    known: str = "weighed"
    scale: str = ""
    resolution_kg: float | None = None
    count: int | None = None
    method: str = ""
    who: str = ""
    until: datetime.date | None = None
    note: str = ""

    def __post_init__(self) -> None:
        check.one_of("event", self.kind, EVENT_KINDS, self.name)
        check.one_of("how known", self.known, HOW_KNOWN, self.name)
        if self.mass_kg is not None:
            check.number("mass each", self.mass_kg, 0.0, LARGEST_ITEM_KG, "kg", self.name)
        elif self.kind == "weighed":
            raise BadValue("mass", "", "is missing", "give what the scale showed", self.name)
        if self.resolution_kg is not None:
            check.number("resolution", self.resolution_kg, 0.0, 100.0, "kg", self.name)
        check.number("plus or minus", self.plus_minus_kg, 0.0, LARGEST_ITEM_KG, "kg", self.name)
        if self.count is not None:
            check.number("count", self.count, 1, 1000, "", self.name)


class Took(NamedTuple):
    """One item on one trip: how many were carried, how many of them used, how many came back broken."""

    key: str
    carried: int
    used: int
    broken: int


class Poured(NamedTuple):
    """One container on one trip: what was in it on leaving and on return [L]; None: not measured."""

    key: str
    left_l: float
    back_l: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Trip:
    """One trip that was made.

    date, until : first and last day. left_entry : the ledger's entry at departure, None for a trip told from
    paper. people : keys of who went. gear_kg, liquids_kg : what it carried [kg], None when nobody knows.
    """

    key: str
    name: str
    date: datetime.date
    until: datetime.date
    loadout: str = ""
    left_entry: int | None = None
    people: tuple[str, ...] = ()
    distance_km: float | None = None
    packing_min: float | None = None
    gear_kg: float | None = None
    liquids_kg: float | None = None
    carried: str = ""
    poured: str = ""
    note: str = ""

    def __post_init__(self) -> None:
        if self.until < self.date:
            cure = f"give the day of departure, {self.date}, or a later one"
            raise BadValue("last day", self.until, "is before the first", cure, self.name)
        for field, most, unit in (
            ("distance_km", 1e6, "km"),
            ("packing_min", 1e5, "min"),
            ("gear_kg", 1e5, "kg"),
        ):
            if getattr(self, field) is not None:
                check.number(
                    field.rpartition("_")[0].replace("_", " "),
                    getattr(self, field),
                    0.0,
                    most,
                    unit,
                    self.name,
                )

    @property
    def days(self) -> int:
        """Days on the way, the first and the last counted."""
        return (self.until - self.date).days + 1

    @property
    def person_days(self) -> int:
        """People times days."""
        return self.days * len(self.people)

    @property
    def items(self) -> tuple[Took, ...]:
        """What it carried, item by item."""
        return read_took(self.carried)

    @property
    def liquids(self) -> tuple[Poured, ...]:
        """What was in its containers."""
        return read_poured(self.poured)


@lru_cache(maxsize=2048)
def read_took(text: str) -> tuple[Took, ...]:
    """Read what a trip carried from its line of text.

    Parameters
    ----------
    text : "key:carried:used:broken", with spaces between.

    >>> read_took("chainsaw:1:1:0 loppers:2:0:1")[1]
    Took(key='loppers', carried=2, used=0, broken=1)
    """
    found = []
    for part in text.split():
        try:
            key, *numbers = part.split(":")
            carried, used, broken = map(int, numbers)
        except ValueError:
            cure = "write key:carried:used:broken, like loppers:2:1:0"
            raise BadValue("what a trip carried", part, "can't be read", cure) from None
        if not (key and carried >= 1 and 0 <= used <= carried and 0 <= broken <= carried):
            cure = "used and broken are at most what was carried"
            raise BadValue("what a trip carried", part, "does not add up", cure)
        found.append(Took(key, carried, used, broken))
    return tuple(found)


@lru_cache(maxsize=2048)
def read_poured(text: str) -> tuple[Poured, ...]:
    """Read what was in a trip's containers from its line of text.

    Parameters
    ----------
    text : "key:left_l:back_l", with spaces between.

    >>> read_poured("water-can-1:18.9:4.5 oil:1:")[1]
    Poured(key='oil', left_l=1.0, back_l=None)
    """
    found = []
    for part in text.split():
        try:
            key, left, back = part.split(":")
            poured = Poured(key, float(left), float(back) if back else None)
        except ValueError:
            cure = "write key:liters on leaving:liters on return, like water-can-1:18.9:4.5"
            raise BadValue("what a trip poured", part, "can't be read", cure) from None
        for liters in (poured.left_l, poured.back_l):
            check.number("liters", liters or 0.0, 0.0, 1000.0, "L", key)
        if poured.back_l is not None and poured.back_l > poured.left_l:
            cure = "leave it out when the container was filled again on the way"
            problem = f"is more than the {poured.left_l:.4g} L on leaving"
            raise BadValue("what was left", f"{poured.back_l:.4g} L", problem, cure, key)
        found.append(poured)
    return tuple(found)


def took_text(items: Iterable[Took]) -> str:
    """Return the line of text for what a trip carried.

    Parameters
    ----------
    items : what it carried; with none of it, the item isn't written.
    """
    return " ".join(f"{i.key}:{i.carried}:{i.used}:{i.broken}" for i in items if i.carried)


def poured_text(liquids: Iterable[Poured]) -> str:
    """Return the line of text for what was in a trip's containers.

    Parameters
    ----------
    liquids : the containers.
    """
    return " ".join(
        f"{p.key}:{p.left_l:.10g}:{'' if p.back_l is None else format(p.back_l, '.10g')}" for p in liquids
    )


def event(key: str, fields: Fields) -> Event:
    """Build one event from its kept fields.

    Parameters
    ----------
    key, fields : as the season keeps them.
    """
    dates: dict[str, Any] = {
        name: datetime.date.fromisoformat(fields[name]) for name in ("date", "until") if name in fields
    }
    for need in ("name", "item", "kind", "date"):
        if need not in fields:
            raise BadValue(
                need, "", "is missing", "an event needs item, kind, and date", str(fields.get("name", key))
            )
    made: dict[str, Any] = {"key": key, **fields, **dates}
    return Event(**made)


def trip(key: str, fields: Fields) -> Trip:
    """Build one trip from its kept fields.

    Parameters
    ----------
    key, fields : as the season keeps them.
    """
    for need, cure in (("name", "give it a name"), ("date", "give the day of departure")):
        if need not in fields:
            raise BadValue(need, "", "is missing", cure, str(fields.get("name", key)))
    date = datetime.date.fromisoformat(str(fields["date"]))
    until = datetime.date.fromisoformat(str(fields.get("until", fields["date"])))
    people = tuple(str(fields.get("people", "")).split())
    return Trip(**{"key": key, **fields, "date": date, "until": until, "people": people})


def check_trip(key: str, fields: Fields) -> None:
    """Raise BadValue when a trip, or a line of what it carried, can't be true.

    Parameters
    ----------
    key, fields : as the season keeps them.
    """
    made = trip(key, fields)
    try:
        read_took(made.carried)
        read_poured(made.poured)
    except BadValue as error:
        raise error.at(made.name) from error
