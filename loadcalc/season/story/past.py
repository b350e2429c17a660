"""Looking back: the season as its ledger stood at an entry, and the inventory as it was on any day.

Two dates stand beside each other: when something happened, and when it was written down. `Past` is the ledger cut
at an entry, exactly. `inventory` is that cut, put right by events that were written down later (or before the
ledger began) with a date of their own.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from loadcalc.model import Item, Loadout, Vehicle
from loadcalc.model.errors import NotFound
from loadcalc.season.edit import records
from loadcalc.season.edit.diary import STATE_AFTER, Event
from loadcalc.season.edit.store import Season
from loadcalc.season.file import ledger
from loadcalc.season.file.fields import GONE
from loadcalc.season.file.present import Fields, Present
from loadcalc.season.story.events import of_item

FIRST_ENTRY = 1


class Past:
    """A season as its ledger stood at one entry. For reading only."""

    def __init__(self, present: Present, entry_id: int) -> None:
        self.present = present
        self.entry_id = entry_id

    @property
    def vehicle(self) -> Vehicle:
        """The vehicle with its limits of then."""
        return records.vehicle(self.present)

    @property
    def gear(self) -> tuple[Item, ...]:
        """Every item that was owned."""
        rows = self.present.rows("item")
        return tuple(records.item(key, fields) for key, fields in rows if fields.get("state") not in GONE)

    @property
    def loadouts(self) -> tuple[Loadout, ...]:
        """The loadouts of then, in the order in which they were added."""
        return tuple(records.loadout(self.present, key) for key, _ in self.present.rows("loadout"))

    def loadout(self, key: str) -> Loadout:
        """Return a loadout as it was, by its key.

        Parameters
        ----------
        key : it never changes, whatever the loadout was called.
        """
        return records.loadout(self.present, key)


@dataclass(frozen=True, slots=True, kw_only=True)
class Owned:
    """One line of the inventory on some day.

    mass_kg : of one [kg]; plus_minus_kg : half-width of its doubt [kg]. state : "" (here), "lent", "lost", "retired".
    told_later : the day is put right by an event that was entered after it.
    """

    key: str
    name: str
    kind: str
    count: int
    mass_kg: float
    plus_minus_kg: float
    known: str
    state: str = ""
    told_later: bool = False


def end_of(day: datetime.date) -> datetime.datetime:
    """Return the last moment of a day, by this computer's clock.

    Parameters
    ----------
    day : the day.
    """
    return datetime.datetime.combine(day, datetime.time.max).astimezone()


def past_at(season: Season, when: int | datetime.date) -> Past:
    """Return the season as its ledger stood.

    Parameters
    ----------
    season : the season.
    when : an entry by its id, or the end of a day, or a time.

    Raises
    ------
    NotFound when the ledger had not begun by then, or has no such entry.
    """
    if isinstance(when, datetime.datetime):
        number = season.entry_by(when)
    else:
        number = season.entry_by(end_of(when)) if isinstance(when, datetime.date) else when
    if not 1 <= number <= season.version:
        raise NotFound("entry", str(when), ("1", "...", str(season.version)))
    return Past(season.present_at(number), number)


def inventory(season: Season, day: datetime.date | None = None) -> tuple[Owned, ...]:
    """Return the inventory at the end of a day, what is lent, lost, and retired included with its state.

    Parameters
    ----------
    season : the season. day : the day; None is now.

    A day before the ledger began is told by what the ledger began with and by the events' own dates: what was bought
    later is not there yet, and a mass is the last one weighed by then.
    """
    if day is None:
        return tuple(_owned(key, fields) for key, fields in season.present.rows("item"))
    cut = season.entry_by(end_of(day))
    base = season.present_at(cut or FIRST_ENTRY)
    born = season.ask(lambda db: ledger.born(db, "event"))
    events: dict[str, list[Event]] = {}
    for event in season.events:
        events.setdefault(event.item, []).append(event)
    rows = []
    for key, fields in [*base.rows("item"), *_bought_before_entered(season, base, events, day)]:
        owned = _put_right(_owned(key, fields), of_item(events.get(key, ()), key), born, day, cut)
        if owned is not None:
            rows.append(owned)
    return tuple(rows)


def _owned(key: str, fields: Fields) -> Owned:
    item = records.item(key, fields)
    return Owned(
        key=key, name=item.name, kind=item.kind, count=item.count, mass_kg=item.mass_kg, known=item.known,
        plus_minus_kg=item.plus_minus_kg, state=str(fields.get("state", "")),
    )  # fmt: skip


def _bought_before_entered(
    season: Season, base: Present, events: Mapping[str, Sequence[Event]], day: datetime.date
) -> list[tuple[str, Fields]]:
    """Items that the cut doesn't hold yet, though they were bought by that day."""
    return [
        (key, fields)
        for key, fields in season.present.rows("item")
        if base.get("item", key) is None
        and any(event.kind == "bought" and event.date <= day for event in events.get(key, ()))
    ]


def _put_right(
    owned: Owned, events: Sequence[Event], born: Mapping[str, int], day: datetime.date, cut: int
) -> Owned | None:
    """One line of the inventory, with what the cut did not know; None when it wasn't bought yet."""
    bought = [event.date for event in events if event.kind == "bought"]
    if bought and min(bought) > day:
        return None
    then = [event for event in events if event.date <= day]
    later = [event for event in then if born.get(event.key, 0) > cut]
    known = {
        "mass_kg": owned.mass_kg, "known": owned.known, "plus_minus_kg": owned.plus_minus_kg,
        "count": owned.count, "state": "" if cut == 0 else owned.state,
    }  # fmt: skip
    if weighings := [event for event in then if event.mass_kg is not None]:
        last = weighings[-1]
        if last in later:
            known |= {"mass_kg": last.mass_kg, "known": last.known, "plus_minus_kg": last.plus_minus_kg}
    for event in later:
        if event.kind in GONE and event.count is not None and event.count < owned.count and cut:
            known["count"] = owned.count - event.count
    whole = [event for event in then if event.kind in STATE_AFTER and event.count is None]
    if whole and whole[-1] in later:
        known["state"] = STATE_AFTER[whole[-1].kind]
    return Owned(key=owned.key, name=owned.name, kind=owned.kind, told_later=bool(later), **known)  # type: ignore[arg-type]  # each value was an Owned's or an Event's own


def differences(
    then: Sequence[Owned], now: Sequence[Owned]
) -> list[tuple[str, str, Owned | None, Owned | None]]:
    """Return (name, what differs, line then, line now) for every item that differs.

    Parameters
    ----------
    then, now : two inventories. What differs is one of "new", "gone", "state", "mass", "count", "name".
    """
    before, after = {line.key: line for line in then}, {line.key: line for line in now}
    found: list[tuple[str, str, Owned | None, Owned | None]] = []
    for key in dict.fromkeys((*before, *after)):
        was, line = before.get(key), after.get(key)
        if was is None or line is None:
            found.append(((line or was).name, "gone" if line is None else "new", was, line))  # type: ignore[union-attr]  # one is there
            continue
        for field, word in (("state", "state"), ("mass_kg", "mass"), ("count", "count"), ("name", "name")):
            if getattr(was, field) != getattr(line, field):
                found.append((line.name, word, was, line))
    return found
