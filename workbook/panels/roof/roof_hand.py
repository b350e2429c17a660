"""What a hand on the plan does to the loadout, and how a thing's new place is written into the season."""

from __future__ import annotations

from loadcalc.model import Loadout
from loadcalc.model.quantities import Units
from loadcalc.plan.roof_layout import moves
from loadcalc.plan.roof_layout.deck import Thing, deck_of, thing_on, things_on
from loadcalc.plan.roof_layout.footprint import Footprint, clamp, snap
from loadcalc.season import Season
from workbook.widgets.roof_plan.roof_plan import Hand

STEPS_M = {"US": (0.0254, 0.00635), "SI": (0.02, 0.005)}  # a push, and a fine one: 1 and 1/4 in; 20 and 5 mm
AWAY_M = 0.12  # let go this far below the carrier, a box goes back to the tray


def step_m(units: Units, *, fine: bool = False) -> float:
    """How far one push goes [m]."""
    return STEPS_M[units.name][fine]


def deck_under(loadout: Loadout) -> Footprint:
    """The rectangle of the carrier that something lies on."""
    assert loadout.carrier is not None  # a thing lies on it
    return deck_of(loadout.carrier)


def changed(loadout: Loadout, hand: Hand, units: Units) -> Loadout:
    """The loadout after one thing that a hand did to a box."""
    thing = thing_on(loadout, hand.key)
    if hand.kind == "pin":
        return moves.pinned(loadout, hand.key, not thing.pinned) if thing.place is not None else loadout
    if hand.kind == "off":
        return moves.unlaid(moves.pinned(loadout, hand.key, False), hand.key)
    if hand.kind == "turn":
        return moves.turned(loadout, hand.key, not thing.turned)
    if hand.kind == "put":
        return put(loadout, thing)
    if hand.kind == "nudge":
        return nudged(loadout, thing, hand, step_m(units, fine=hand.fine))
    return dropped(loadout, thing, hand, step_m(units))


def dropped(loadout: Loadout, thing: Thing, hand: Hand, step: float) -> Loadout:
    """A box let go at a place: snapped, its middle over the deck; well below the deck it goes back to the tray."""
    deck = deck_under(loadout)
    if hand.left_m > deck.far_left_m + AWAY_M:
        return moves.unlaid(moves.pinned(loadout, thing.key, False), thing.key)
    box = clamp(thing.footprint.at(aft_m=hand.aft_m, left_m=hand.left_m), deck)
    at = clamp(snap(box, deck, _others(loadout, thing.key), step_m=step), deck)
    return moves.laid(loadout, thing.key, aft_m=at.aft_m, left_m=at.left_m)


def nudged(loadout: Loadout, thing: Thing, hand: Hand, step: float) -> Loadout:
    """A box pushed by whole steps; one that is not laid out yet is laid out first, where there is room."""
    if thing.place is None:
        return put(loadout, thing)
    deck, box = deck_under(loadout), thing.footprint
    at = clamp(box.at(aft_m=box.aft_m + hand.along * step, left_m=box.left_m + hand.across * step), deck)
    return moves.laid(loadout, thing.key, aft_m=at.aft_m, left_m=at.left_m)


def put(loadout: Loadout, thing: Thing) -> Loadout:
    """A box laid out at the free spot nearest to its zone's middle; without one, at that middle."""
    if thing.place is not None:
        return loadout
    at = moves.free_spot(thing.footprint, deck_under(loadout), _others(loadout, thing.key))
    return moves.laid(loadout, thing.key, aft_m=at.aft_m, left_m=at.left_m)


def _others(loadout: Loadout, key: str) -> list[Footprint]:
    return [t.footprint for t in things_on(loadout) if t.place is not None and t.key != key]


def keep_thing(season: Season, loadout: str, thing: Thing) -> None:
    """Write how a thing lies into the season: its place, zone, turn, and pin."""
    kind, _, key = thing.key.partition(":")
    if kind == "stowed":
        season.set_stowed(
            loadout, key, zone=thing.zone, place=thing.place, turned=thing.turned or None,
            pinned=thing.pinned or None,
        )  # fmt: skip
        return
    place = thing.place
    at = dict.fromkeys(("aft_m", "left_m", "up_m")) | (
        {} if place is None else {"aft_m": place.aft_m, "left_m": place.left_m, "up_m": place.up_m}
    )
    with season.entry(f"{loadout}: {thing.name}"):
        zone = season.find("zone", thing.zone)
        season.put("filled", f"{season.find('loadout', loadout)}/{key}", {"zone": zone, **at})
