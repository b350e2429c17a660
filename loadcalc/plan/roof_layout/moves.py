"""What a hand does to the carrier: lay a thing somewhere, turn it, pin it, take it off the plan."""

from __future__ import annotations

from dataclasses import replace

from loadcalc.checks.height import rack_top_m
from loadcalc.model.errors import BadValue
from loadcalc.model.loadout import Loadout
from loadcalc.model.space import Place
from loadcalc.model.things import Zone
from loadcalc.plan.roof_layout.deck import Thing, thing_on
from loadcalc.plan.roof_layout.footprint import Footprint, clamp, covers, overlap

SEARCH_M = 0.05  # how finely a free spot is looked for


def zone_at(loadout: Loadout, *, aft_m: float, left_m: float, now: str) -> str:
    """The zone on the roof rack that a place belongs to.

    Parameters
    ----------
    loadout : its zones; aft_m, left_m : the place [m]; now : the zone that it counts in now.

    Returns
    -------
    str: the present zone where the place is still over it, else the first zone on the roof rack that it is over,
        else the present zone.
    """
    over = [
        zone.name
        for zone in loadout.zones
        if zone.on_carrier and covers(_zone_footprint(zone), aft_m=aft_m, left_m=left_m)
    ]
    return now if now in over or not over else over[0]


def _zone_footprint(zone: Zone) -> Footprint:
    return Footprint(
        aft_m=zone.place.aft_m,
        left_m=zone.place.left_m,
        length_m=zone.size.length_m,
        width_m=zone.size.width_m,
    )


def laid(loadout: Loadout, key: str, *, aft_m: float, left_m: float, turned: bool | None = None) -> Loadout:
    """Return the loadout with one thing lying elsewhere on the roof rack.

    It stands on the roof rack's top; a thing that has a place of its own keeps its height. It counts in the
    zone that it is then over.

    Parameters
    ----------
    loadout : with its carrier on; key : of the thing; aft_m, left_m : its middle [m].
    turned : its length lies across the vehicle; None leaves that as it is.

    Returns
    -------
    Loadout: everything else as it was.
    """
    carrier, thing = loadout.carrier, thing_on(loadout, key)
    if carrier is None:
        raise BadValue("carrier", "", "is off the vehicle", "put it on first")
    up_m = rack_top_m(carrier) + thing.size.height_m / 2 if thing.place is None else thing.place.up_m
    place = Place(aft_m=aft_m, left_m=left_m, up_m=up_m)
    zone = zone_at(loadout, aft_m=aft_m, left_m=left_m, now=thing.zone)
    return _changed(loadout, key, zone=zone, place=place, turned=turned)


def unlaid(loadout: Loadout, key: str) -> Loadout:
    """Return the loadout with one thing (by its key) not laid out: it counts at its zone's middle again."""
    thing_on(loadout, key)
    return _changed(loadout, key, place=None)


def pinned(loadout: Loadout, key: str, on: bool) -> Loadout:
    """Return the loadout with one thing (by its key) pinned where it lies, or not, as `on` says. A can has no pin."""
    thing_on(loadout, key)
    return _changed(loadout, key, pinned=on)


def turned(loadout: Loadout, key: str, on: bool) -> Loadout:
    """Return the loadout with one thing (by its key) turned about its middle, or not, as `on` says. A can is square."""
    thing_on(loadout, key)
    return _changed(loadout, key, turned=on)


def restored(loadout: Loadout, thing: Thing) -> Loadout:
    """Return the loadout with one `thing` lying exactly as it says: place, height, zone, turn, and pin."""
    thing_on(loadout, thing.key)
    return _changed(
        loadout, thing.key, zone=thing.zone, place=thing.place, turned=thing.turned, pinned=thing.pinned
    )


def _changed(loadout: Loadout, key: str, **fields: object) -> Loadout:
    kind, _, own = key.partition(":")
    given = {name: value for name, value in fields.items() if name == "place" or value is not None}
    if kind == "filled":
        rest = {name: value for name, value in given.items() if name in ("zone", "place")}
        cans = (replace(f, **rest) if f.liquid.key == own else f for f in loadout.liquids)  # type: ignore[arg-type]  # a Filled's own fields
        return replace(loadout, liquids=tuple(cans))
    on = {zone.name for zone in loadout.zones if zone.on_carrier}
    gear = (replace(s, **given) if s.item.key == own and s.zone in on else s for s in loadout.gear)  # type: ignore[arg-type]  # a Stowed's own fields
    return replace(loadout, gear=tuple(gear))


def free_spot(box: Footprint, deck: Footprint, others: list[Footprint]) -> Footprint:
    """The place on the deck, nearest to where a box is, at which it overlaps nothing.

    Parameters
    ----------
    box : the rectangle; deck : what it is to lie on; others : what lies there.

    Returns
    -------
    Footprint: on a grid of SEARCH_M; over the deck and where it is when no place on that grid is free.
    """
    room_aft, room_left = deck.length_m - box.length_m, deck.width_m - box.width_m
    if room_aft < 0 or room_left < 0:
        return clamp(box, deck)
    spots = [
        box.at(
            aft_m=deck.fore_m + box.length_m / 2 + along,
            left_m=deck.right_m + box.width_m / 2 + across,
        )
        for along in _tries(room_aft, box.fore_m - deck.fore_m)
        for across in _tries(room_left, box.right_m - deck.right_m)
    ]
    spots.sort(key=lambda at: (at.aft_m - box.aft_m) ** 2 + (at.left_m - box.left_m) ** 2)
    free = (at for at in spots if not any(overlap(at, other) for other in others))
    return next(free, clamp(box, deck))


def _tries(room_m: float, now_m: float) -> list[float]:
    steps = [n * SEARCH_M for n in range(int(room_m / SEARCH_M) + 1)]
    return [*steps, room_m, min(max(now_m, 0.0), room_m)]
