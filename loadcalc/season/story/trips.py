"""Put trips into the ledger, and rebuild the loadout exactly as it left."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping
from typing import Any

from loadcalc.model import Loadout, Vehicle
from loadcalc.model.errors import BadValue, SeasonError
from loadcalc.season.edit import diary
from loadcalc.season.edit.diary import Poured, Took, Trip, poured_text, took_text
from loadcalc.season.edit.store import Season
from loadcalc.season.story.past import Past, end_of, past_at

ALL = -1  # as many as were carried
Counts = Mapping[str, int] | Iterable[str]


def record_trip(
    season: Season,
    name: str,
    date: datetime.date | str,
    loadout: str,
    *,
    used: Counts = (),
    broken: Counts = (),
    back_l: Mapping[str, float] | None = None,
    left_entry: int | None = None,
    **fields: Any,
) -> str:
    """Enter a trip that was made, as one entry; return its key.

    What it carried is taken from the loadout as the ledger stood at `left_entry`; from then on the trip holds
    that entry's id, so the loadout can be rebuilt exactly, whatever is edited afterwards.

    Parameters
    ----------
    season : where it is entered. name : what the trip is called. date : day of departure. loadout : key or name.
    used, broken : how many of each item (by key or name); a plain list of items means all that were carried.
    back_l : what was left in each container on return [L].
    left_entry : the ledger's entry at departure; None takes the loadout as it stands now.
    fields : until (last day), distance_km [km], packing_min [min], note.

    Returns
    -------
    str: the trip's key.

    Raises BadValue or NotFound when it can't be true; then nothing is kept.
    """
    with season.entry(f"Trip: {name}", kind="trip") as draft:
        entry_id = left_entry or (season.version + 1 if draft.was else season.version)
        past = Past(season.present, entry_id) if left_entry is None else past_at(season, left_entry)
        key = _loadout_key(past, season, loadout)
        left = season.loadout_of(key) if left_entry is None else past.loadout(key)
        items = _took(left, _counts(season, used), _counts(season, broken))
        liquids = _poured(
            left, {season.find("liquid", which): liters for which, liters in (back_l or {}).items()}
        )
        kept = {
            "loadout": key, "left_entry": entry_id, "people": " ".join(_riders(left)),
            "gear_kg": sum(stowed.mass_kg for stowed in left.gear),
            "liquids_kg": sum(filled.mass_kg for filled in left.liquids),
            "carried": took_text(items), "poured": poured_text(liquids),
        }  # fmt: skip
        return season.add("trip", name=name, date=str(date), **{**kept, **_given(fields)})


def record_paper_trip(season: Season, name: str, date: datetime.date | str, **fields: Any) -> str:
    """Enter a trip that was made before the ledger, from what was written on paper; return its key.

    Parameters
    ----------
    season : where it is entered. name : what the trip is called. date : day of departure.
    fields : of a trip: until, people, distance_km [km], packing_min [min], carried, poured, gear_kg [kg], note.
    """
    with season.entry(f"Trip: {name}", kind="trip"):
        return season.add("trip", name=name, date=str(date), **_given(fields))


def tick_item(
    season: Season, trip: str, item: str, *, used: int | None = None, broken: int | None = None
) -> None:
    """Say of one item of a trip how many pieces were used and how many broke; None leaves what was said before.

    Parameters
    ----------
    season : where the trip stands. trip, item : key or name. used, broken : pieces, `ALL` for as many as were carried.
    """
    key, which = season.find("trip", trip), item_key(season, item)
    with season.entry(
        f"{season.present.name('trip', key)}: {season.present.name('item', which)}", kind="trip"
    ):
        made = diary.trip(key, season.fields("trip", key))
        _refuse_strangers({which: 1}, {took.key for took in made.items})
        items = [
            Took(
                which, took.carried,
                _pieces(used, took.carried, took.used), _pieces(broken, took.carried, took.broken),
            )
            if took.key == which else took for took in made.items
        ]  # fmt: skip
        diary.read_took(took_text(items))
        season.set("trip", key, carried=took_text(items))


def pour_back(season: Season, trip: str, liquid: str, back_l: float | None) -> None:
    """Say what was left in one container of a trip on return.

    Parameters
    ----------
    season : where the trip stands. trip, liquid : key or name. back_l : what was left [L]; None: nobody measured.
    """
    key, which = season.find("trip", trip), season.find("liquid", liquid)
    with season.entry(
        f"{season.present.name('trip', key)}: {season.present.name('liquid', which)}", kind="trip"
    ):
        made = diary.trip(key, season.fields("trip", key))
        liquids = [Poured(k, left, back_l if k == which else back) for k, left, back in made.liquids]
        diary.read_poured(poured_text(liquids))
        season.set("trip", key, poured=poured_text(liquids))


def item_key(season: Season, item: str) -> str:
    """Return an item's key, also that of one which is gone from the season.

    Parameters
    ----------
    season : the season. item : key or name.
    """
    return item if item in season.ever("item") else season.find("item", item)


def as_it_left(season: Season, trip: Trip) -> tuple[Vehicle, Loadout]:
    """Return vehicle and loadout exactly as they were at departure, by replaying the ledger.

    Parameters
    ----------
    season : the season. trip : one that was entered with its loadout.

    Raises SeasonError for a trip that was told from paper.
    """
    if trip.left_entry is None or not trip.loadout:
        raise SeasonError(f"{trip.name} was told from paper: no loadout stands in the ledger for it")
    past = past_at(season, trip.left_entry)
    return past.vehicle, past.loadout(trip.loadout)


def entry_at_departure(season: Season, date: datetime.date) -> int:
    """Return the ledger's newest entry at the end of the day of departure, the first one for earlier days.

    Parameters
    ----------
    season : the season. date : day of departure.
    """
    return max(season.entry_by(end_of(date)), 1)


def _loadout_key(past: Past, season: Season, which: str) -> str:
    if past.present.get("loadout", which):
        return which
    for key, fields in past.present.rows("loadout"):
        if str(fields.get("name", key)).casefold() == which.strip().casefold():
            return key
    key = season.find("loadout", which)
    if past.present.get("loadout", key) is None:
        cure = "choose a later departure, or the loadout as it stands now"
        raise BadValue("loadout", which, "was not there yet at departure", cure)
    return key


def _riders(left: Loadout) -> list[str]:
    return [person.key for person in left.people if person.kind == "person"]


def _took(left: Loadout, used: Mapping[str, int], broken: Mapping[str, int]) -> list[Took]:
    carried: dict[str, int] = {}
    for stowed in left.gear:
        carried[stowed.item.key] = carried.get(stowed.item.key, 0) + stowed.count
    _refuse_strangers({**used, **broken}, carried)
    return [
        Took(key, count, _pieces(used.get(key), count, 0), _pieces(broken.get(key), count, 0))
        for key, count in carried.items()
        if count
    ]


def _pieces(said: int | None, carried: int, was: int) -> int:
    return was if said is None else carried if said == ALL else said


def _counts(season: Season, given: Counts) -> dict[str, int]:
    said = dict(given) if isinstance(given, Mapping) else dict.fromkeys(given, ALL)
    return dict(zip(season.find_all("item", said), map(int, said.values()), strict=True))


def _refuse_strangers(said: Mapping[str, int], carried: Iterable[str]) -> None:
    strangers = set(said) - set(carried)
    if strangers:
        cure = "tick only what was on board"
        raise BadValue("item", ", ".join(sorted(strangers)), "was not carried on this trip", cure)


def _poured(left: Loadout, back: Mapping[str, float]) -> list[Poured]:
    aboard = {filled.liquid.key: filled.fill_l for filled in left.liquids}
    strangers = set(back) - set(aboard)
    if strangers:
        raise BadValue(
            "container", ", ".join(sorted(strangers)), "was not carried on this trip", "leave it out"
        )
    return [Poured(key, fill_l, back.get(key)) for key, fill_l in aboard.items()]


def _given(fields: Mapping[str, Any]) -> dict[str, Any]:
    found = {name: value for name, value in fields.items() if value not in (None, "")}
    return {name: str(value) if isinstance(value, datetime.date) else value for name, value in found.items()}
