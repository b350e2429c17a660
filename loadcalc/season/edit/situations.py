"""Hold every loadout of a season against what an edit touched, without building them all anew.

After ten years there are hundreds of loadouts, most of them like one another. What an edit touches (a zone, an item)
can only make untrue what rides there, or that very thing; and whether it does depends on where the thing rides and
whether the carrier is on, not on the loadout's name. So each different situation is tried once, in a loadout made
up for it. When one of them can't be true, the loadouts themselves are built, and the first that fails says why.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from loadcalc.checks.ratings.masses import masses
from loadcalc.model.errors import BadValue, LoadcalcError
from loadcalc.model.vehicle import Vehicle
from loadcalc.season.edit import records
from loadcalc.season.file.fields import ABOARD
from loadcalc.season.file.present import Fields, Present

Thing = tuple[str, str]
_SWITCHES = ("carrier_on", "trailer_on")
_MADE_UP = "\x00"  # no key of a real loadout has it


def check_loadouts(present: Present, touched: Iterable[Thing]) -> None:
    """Raise when an edit has made a loadout untrue.

    Parameters
    ----------
    present : what the season would hold; without the edit it was true.
    touched : (subject, key) of everything that the edit changed.

    Raises
    ------
    BadValue or NotFound, from the first loadout that can't be true.
    """
    things = list(touched)
    vehicle = records.vehicle(present)
    own = {key.partition("/")[0] for subject, key in things if subject in ABOARD or subject == "loadout"}
    for key, _ in present.rows("loadout"):
        if key in own:
            _stand(vehicle, present, key)
    try:
        for made_up in _made_up(present, things):
            _stand(vehicle, made_up, _MADE_UP)
    except LoadcalcError:
        for key, _ in present.rows("loadout"):
            _stand(vehicle, present, key)


def _stand(vehicle: Vehicle, present: Present, key: str) -> None:
    """Put a loadout on the vehicle, mass by mass, as every page does first; raise what is wrong with it."""
    loadout = records.loadout(present, key)
    try:
        masses(vehicle, loadout)
    except BadValue as error:
        raise error.at(f"{loadout.name}, {error.where}" if error.where else loadout.name) from error


def _made_up(present: Present, things: list[Thing]) -> Iterator[Present]:
    """Yield a present with one made-up loadout for each different situation."""
    subjects = {subject for subject, _ in things}
    loadouts = present.things.get("loadout", {})
    if subjects & {"vehicle", "trailer", "carrier"}:
        fuel = max((fields.get("fuel_l", 0.0) for fields in loadouts.values()), default=0.0)
        for switches in {_switches(fields) for fields in loadouts.values()}:
            yield _with(present, switches, {}, fuel_l=fuel)
    for people, switches in _crews(present, things):
        yield _with(present, switches, {"riding": dict(people)})
    yield from _loads(present, things)


def _loads(present: Present, things: list[Thing]) -> Iterator[Present]:
    """Pack what rides in different ways into as few made-up loadouts as hold it."""
    packed: dict[tuple[Any, ...], list[dict[str, dict[str, Fields]]]] = {}
    seen: set[tuple[Any, ...]] = set()
    for subject, key, fields in _riders(present, things):
        loadout, _, thing = key.partition("/")
        switches = _switches(present.get("loadout", loadout) or {})
        situation = (subject, thing, switches, *sorted(fields.items()))
        if situation in seen:
            continue
        seen.add(situation)
        room = packed.setdefault(switches, [])
        place = next((one for one in room if thing not in one.get(subject, {})), None)
        if place is None:
            place = {}
            room.append(place)
        place.setdefault(subject, {})[thing] = fields
    for switches, room in packed.items():
        for riders in room:
            yield _with(present, switches, riders)


def _riders(present: Present, things: list[Thing]) -> Iterator[tuple[str, str, Fields]]:
    """Yield (subject, key, fields) of all gear and liquids aboard that the touched things may have made untrue."""
    zones = {key for subject, key in things if subject == "zone"}
    if any(subject == "carrier" for subject, _ in things):
        zones |= {key for key, fields in present.things.get("zone", {}).items() if fields.get("on_carrier")}
    for aboard in ("stowed", "filled"):
        riding = present.things.get(aboard, {})
        if zones:
            yield from (
                (aboard, key, fields) for key, fields in riding.items() if fields.get("zone") in zones
            )
        kind = ABOARD[aboard]
        for thing in (key for subject, key in things if subject == kind):
            for loadout in present.things.get("loadout", {}):
                key = f"{loadout}/{thing}"
                if key in riding:
                    yield aboard, key, riding[key]


def _crews(present: Present, things: list[Thing]) -> set[tuple[Any, ...]]:
    """Return the different crews, with their seats, when a seat, a zone, or a person was touched."""
    if not {subject for subject, _ in things} & {"seat", "zone", "occupant"}:
        return set()
    found = set()
    for loadout, fields in present.things.get("loadout", {}).items():
        people = present.aboard("riding", loadout)
        crew = tuple((who, _Frozen(at)) for who, at in people)
        found.add((crew, _switches(fields)))
    return found


class _Frozen(dict[str, Any]):
    """Fields that can be told apart in a set."""

    def __hash__(self) -> int:  # type: ignore[override]  # the base has none on purpose
        return hash(frozenset(self.items()))


def _switches(fields: Fields) -> tuple[tuple[str, Any], ...]:
    return tuple((name, fields[name]) for name in _SWITCHES if name in fields)


def _with(
    present: Present, switches: tuple[tuple[str, Any], ...], riders: dict[str, dict[str, Fields]], **more: Any
) -> Present:
    """Return the same season with one loadout, made up of these riders."""
    made_up = Present()
    made_up.things = {subject: things for subject, things in present.things.items() if subject not in _OWN}
    made_up.rank = _Rank(present.rank)
    for field, value in {"name": "made up", **dict(switches), **more}.items():
        made_up.put("loadout", _MADE_UP, field, value)
    for subject, things in riders.items():
        for thing, fields in things.items():
            for field, value in fields.items():
                made_up.put(subject, f"{_MADE_UP}/{thing}", field, value)
    return made_up


_OWN = {"loadout", *ABOARD}


class _Rank(dict[tuple[str, str], int]):
    """The order of a season, with some made-up things after it, and nothing copied."""

    def __init__(self, known: dict[tuple[str, str], int]) -> None:
        super().__init__()
        self._known = known

    def __missing__(self, thing: tuple[str, str]) -> int:
        return self._known[thing]
