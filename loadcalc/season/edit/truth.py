"""Check what an edit touched: the result must be something that can be true.

An edit whose result raises BadValue or NotFound here is not kept. What an undo brings back was checked
when it was first written, so taking back never gets stuck.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from loadcalc.checks.intervals import NO_CHECKS, check_kinds
from loadcalc.model.check import one_of
from loadcalc.model.errors import BadValue, NotFound
from loadcalc.model.limits import RATINGS
from loadcalc.season.edit import diary, records
from loadcalc.season.edit.situations import check_loadouts
from loadcalc.season.edit.tickets import check_ticket
from loadcalc.season.file.fields import ABOARD, GONE, NAMED, STATES, UNITS, stored, subject_word
from loadcalc.season.file.present import Fields, Present

_ALONE: dict[str, Callable[[str, Fields], object]] = {
    "item": records.item, "liquid": records.liquid,
    "limit": records.limit, "tire": records.tire, "weigh_in": check_ticket,
    "event": diary.event, "trip": diary.check_trip, "bar": records.bar, "tie_point": records.tie_point,
    "strapping": records.strapping,
}  # fmt: skip
_PLACED: dict[str, Callable[[Present, str, Fields], object]] = {"zone": records.zone, "seat": records.seat}
_VEHICLE = {"vehicle", "seat", "tire", "limit"}
_CARRIER = {"carrier", "limit", "bar", "tie_point"}
_TRAILER = {"trailer", "limit"}


def check(present: Present, touched: Iterable[tuple[str, str]]) -> None:
    """Rebuild every record that the touched things are part of; raise what is wrong with the first."""
    things = list(touched)
    subjects = {subject for subject, _ in things}
    if not present.things.get("loadout"):
        raise BadValue("season", "", "has no departure", "keep one, even an empty one: every page shows it")
    for subject, key in things:
        check_thing(present, subject, key)
    for subject in subjects.intersection(NAMED):
        check_names(present, subject)
    if subjects & _VEHICLE:
        records.vehicle(present)
    if subjects & _CARRIER:
        records.carrier(present)
    if subjects & _TRAILER:
        records.trailer(present)
    if subjects & {"seat", "zone"}:
        for key, _ in present.rows("occupant"):
            records.occupant(present, key)
    _check_orphans(present, things)
    check_loadouts(present, things)


def check_all(present: Present) -> None:
    """Hold everything that there is to every rule; raise what is wrong with the first that can't be true.

    Parameters
    ----------
    present : what a season would hold, whoever put it together.

    Raises
    ------
    BadValue or NotFound.
    """
    there = [(subject, key) for subject, things in present.things.items() for key in things]
    for subject, key in there:
        for field, value in (present.get(subject, key) or {}).items():
            stored(subject, field, value, key)
    check(present, [*there, ("vehicle", "vehicle")])


def check_thing(present: Present, subject: str, key: str) -> None:
    """Rebuild one thing that stands by itself, when it is there."""
    fields = present.get(subject, key)
    if fields is None:
        return
    if subject in _ALONE:
        _ALONE[subject](key, fields)
    if subject in _PLACED:
        _PLACED[subject](present, key, fields)
    if subject == "limit":
        one_of("rating", key, RATINGS)
    if subject == "occupant":
        records.occupant(present, key)
    if subject == "item":
        one_of("state", fields.get("state", ""), STATES, str(fields.get("name", key)))
    if subject == "item" and "check_kind" in fields and fields["check_kind"]:
        kinds = (*check_kinds(), NO_CHECKS)
        one_of("kind of check", fields["check_kind"], kinds, str(fields.get("name", key)))
    if subject == "setting" and "units" in fields:
        one_of("units", fields["units"], UNITS)


def check_names(present: Present, subject: str) -> None:
    """Raise when two things of a subject have names that differ only in case; what is gone frees its name."""
    seen: set[str] = set()
    for key, fields in present.rows(subject):
        check_name(subject, key, fields, seen)


def check_name(subject: str, key: str, fields: Fields, seen: set[str]) -> None:
    """Raise when a thing's name is among those that were seen, in whatever case; then it is seen too."""
    if fields.get("state") in GONE:
        return
    name = fields.get("name", key)
    if name.casefold() in seen:
        raise BadValue(f"{subject_word(subject)} name", name, "is already taken", "give it another name")
    seen.add(name.casefold())


def refuse_taken(present: Present, subject: str, name: str, key: str = "") -> None:
    """Raise BadValue when a thing of a subject has this name, whatever the case, and is not the one of that key."""
    for other, fields in present.rows(subject):
        taken = str(fields.get("name", other)).casefold() == name.casefold() and fields.get("state") not in GONE
        if taken and other != key:
            raise BadValue("name", name, "is taken by another", "give each its own name")


def _check_orphans(present: Present, things: list[tuple[str, str]]) -> None:
    for subject, key in things:
        loadout_key = key.partition("/")[0]
        if subject in ABOARD and present.get(subject, key) and present.get("loadout", loadout_key) is None:
            raise NotFound("loadout", loadout_key, tuple(key for key, _ in present.rows("loadout")))
        if subject == "loadout" and present.get(subject, key) is None:
            left = [name for kind in ABOARD for name, _ in present.aboard(kind, key)]
            if left:
                raise BadValue(
                    "loadout", key, f"still carries {', '.join(left)}", "take everything off it too"
                )
