"""In which order is it loaded? What is needed last goes in first; what must be at hand goes in last."""

from __future__ import annotations

from dataclasses import dataclass

from loadcalc.checks.restraint.tied import piece_name
from loadcalc.model import Loadout
from loadcalc.model.loadout import Filled, Stowed
from loadcalc.model.things import Zone

ON_THE_ROAD = "on the road"


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One line of a zone's content: its name with how many, its mass [kg], and its zone."""

    name: str
    mass_kg: float
    zone: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadingStep:
    """One zone being loaded: its number as in the outline, its pieces in order, and their mass [kg]."""

    number: int
    zone: str
    pieces: tuple[Piece, ...]

    @property
    def mass_kg(self) -> float:
        """Mass of what is listed [kg]."""
        return sum(piece.mass_kg for piece in self.pieces)


def steps(loadout: Loadout) -> tuple[LoadingStep, ...]:
    """Zones in loading order, without what must be at hand.

    First the zones that are reached only when unloaded: inside ones, front and low first; then outside ones and the
    carrier. Zones that are reached on the road come last. In a zone: what must stay low, then the heavier first.
    """
    numbered = list(enumerate(loadout.zones, start=1))
    found = []
    for number, zone in sorted(numbered, key=lambda pair: _when(pair[1])):
        mine = [thing for thing in _aboard(loadout) if thing.zone == zone.name and not _at_hand(thing)]
        pieces = tuple(_piece(thing) for thing in sorted(mine, key=_low_and_heavy_first))
        if pieces:
            found.append(LoadingStep(number=number, zone=zone.name, pieces=pieces))
    return tuple(found)


def at_hand(loadout: Loadout) -> tuple[Piece, ...]:
    """What must be reachable: it goes in last, wherever it rides."""
    return tuple(_piece(thing) for thing in _aboard(loadout) if _at_hand(thing))


def _aboard(loadout: Loadout) -> tuple[Stowed | Filled, ...]:
    gear: tuple[Stowed | Filled, ...] = tuple(stowed for stowed in loadout.gear if stowed.count)
    return (*gear, *loadout.liquids)


def _at_hand(thing: Stowed | Filled) -> bool:
    return isinstance(thing, Stowed) and thing.item.keep_reachable


def _when(zone: Zone) -> tuple[bool, bool, bool, float, float]:
    place = zone.place
    return (zone.reach == ON_THE_ROAD, zone.on_carrier, not zone.in_cabin, place.aft_m, place.up_m)


def _low_and_heavy_first(thing: Stowed | Filled) -> tuple[bool, float]:
    low = isinstance(thing, Stowed) and thing.item.stay_low
    return (not low, -thing.mass_kg)


def _piece(thing: Stowed | Filled) -> Piece:
    return Piece(name=piece_name(thing), mass_kg=thing.mass_kg, zone=thing.zone)
