"""A departure as the season knows it: its loadout, the checks of its gear, and what a scale has shown of it."""

from __future__ import annotations

import datetime

from loadcalc.checks.findings.judge import Judgment, evaluate
from loadcalc.checks.findings.of_things import CheckDue
from loadcalc.checks.weighing.against_ratings import HeldReading, readings_against_ratings
from loadcalc.model.errors import BadValue, NotFound
from loadcalc.model.loadout import Loadout
from loadcalc.model.vehicle import Vehicle
from loadcalc.season.edit.store import Season
from loadcalc.season.edit.tickets import has_reading, read_ticket
from loadcalc.season.file.present import Fields
from loadcalc.season.story.due import checks_due
from loadcalc.season.story.past import past_at

PADS = "pad"  # in a scale's name: tickets from before there was a line for it say it so


class Departure:
    """What is known of one departure beside its loadout. Made anew when the season has changed."""

    def __init__(self, season: Season, name: str) -> None:
        self.key = season.find("loadout", name)
        self.today = day_of(season, self.key)
        self.due = tuple(
            CheckDue(key=one.key, name=one.name, what=one.duty, on=one.on, source=one.source)
            for one in checks_due(season)
        )
        self._vehicle, self._loadout = season.vehicle, season.loadout(name)
        self._weighed, self._repacked = _weighed(season, self.key, self._vehicle, self._loadout)

    def judge(self, vehicle: Vehicle | None = None, loadout: Loadout | None = None) -> Judgment:
        """Judge it as it is kept, or as it would be.

        Parameters
        ----------
        vehicle, loadout : what is tried out; None: as the season has it.
        """
        packed = loadout or self._loadout
        repacked = self._repacked or rides(packed) != rides(self._loadout)
        return evaluate(
            vehicle or self._vehicle, packed, due=self.due, weighed=self._weighed, repacked=repacked, today=self.today
        )  # fmt: skip


def day_of(season: Season, key: str) -> datetime.date:
    """Return the day of a departure, today when it has none: what is overdue then is overdue.

    Parameters
    ----------
    season : an open season; key : of the loadout.
    """
    date = (season.present.get("loadout", key) or {}).get("date")
    return datetime.date.fromisoformat(str(date)) if date else datetime.date.today()


def rides(loadout: Loadout) -> tuple[object, ...]:
    """Return what a scale would notice of a loadout: who and what rides where, and how heavy it is.

    Parameters
    ----------
    loadout : what rides where.
    """
    gear = tuple((s.item.key, s.zone, s.place, s.mass_kg) for s in loadout.gear)
    liquids = tuple((f.liquid.key, f.zone, f.place, f.mass_kg) for f in loadout.liquids)
    people = tuple((who.key, who.seat, who.mass_kg) for who in loadout.people)
    return gear, liquids, people, loadout.fuel_l, loadout.carrier, loadout.trailer


def ticket_fields(season: Season, key: str) -> Fields:
    """Return what the season keeps of one ticket, the loadout by its name.

    Parameters
    ----------
    season : an open season; key : of the weigh-in.
    """
    kept = dict(season.present.get("weigh_in", key) or {})
    if "loadout" in kept:
        kept["loadout"] = season.present.name("loadout", kept["loadout"])
    kept.setdefault("pads", PADS in str(kept.get("scale", "")).casefold())
    return kept


def _weighed(
    season: Season, key: str, vehicle: Vehicle, loadout: Loadout
) -> tuple[tuple[HeldReading, ...], bool]:
    """The newest ticket of a loadout held against its ratings, and whether it was packed otherwise then."""
    mine = [
        (ticket, fields) for ticket, fields in season.present.rows("weigh_in") if fields.get("loadout") == key
    ]
    read = [row for row in mine if has_reading(row[1])]
    if not read:
        return (), False
    ticket, fields = max(read, key=lambda row: (str(row[1].get("date", "")), row[1].get("left_entry", 0)))
    found = readings_against_ratings(vehicle, loadout, read_ticket(ticket_fields(season, ticket)))
    then = fields.get("left_entry")
    return found, then is not None and _repacked(season, int(then), key, loadout)


def _repacked(season: Season, then: int, key: str, loadout: Loadout) -> bool:
    """Whether it is loaded otherwise now than at an entry; where the ledger can't tell, nothing says that it isn't."""
    try:
        return rides(past_at(season, then).loadout(key)) != rides(loadout)
    except (BadValue, NotFound):  # no such entry yet, or the loadout was not there yet
        return True
