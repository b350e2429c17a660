"""What advice may do besides the ratings: where a thing may ride, how full a zone may get, what a handling costs."""

from __future__ import annotations

from dataclasses import dataclass

from loadcalc.checks.gas import kind_of
from loadcalc.checks.gas_words import ASK
from loadcalc.model import check
from loadcalc.model.loadout import Filled, Loadout, Stowed
from loadcalc.model.space import Place, Size
from loadcalc.model.things import Zone
from loadcalc.model.vehicle import Vehicle

SLACK_M = 1e-9  # two sizes typed in inches may differ in the last bit of a float

Thing = Stowed | Filled


@dataclass(frozen=True, slots=True, kw_only=True)
class AdviceRules:
    """The wishes that advice keeps besides the ratings. All are planning figures: common practice, no source.

    fill : part of a zone's box that things may take up by their own boxes [-].
    side_m : how far to a side of the center line the center of gravity may end up [m].
    low_above_cg_m : what must stay low rides at most this far above the empty vehicle's center of gravity [m].
    liters_per_kg : room that a thing takes whose size nobody entered [L/kg].
    handling_kg : what taking one thing up and setting it down is worth, besides its mass [kg]. Never zero: the
        gain for each kilogram lifted is the same for every thing between the same two zones, so it ranks nothing.
    may_add_to : keys of ratings without a known limit that advice may add to all the same, because a person named them.
    """

    fill: float = 0.9
    side_m: float = 0.02
    low_above_cg_m: float = 0.25
    liters_per_kg: float = 4.0
    handling_kg: float = 2.0
    may_add_to: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        check.number("part of a zone that may be filled", self.fill, 0.0, 1.0, "")
        check.number("side tolerance", self.side_m, 0.0, 1.0, "m")
        check.number(
            "height of what stays low, above the center of gravity", self.low_above_cg_m, -2.0, 2.0, "m"
        )
        check.number("room of a thing of unknown size", self.liters_per_kg, 0.0, 100.0, "L/kg")
        check.number("worth of one handling", self.handling_kg, 0.01, 100.0, "kg")


def refusal(vehicle: Vehicle, zone: Zone, thing: Thing, rules: AdviceRules) -> str:
    """Why this thing must not ride in this zone, whoever puts it there; nothing when it may."""
    if breathed := shares_air(zone, thing):
        return breathed
    if not isinstance(thing, Stowed):
        return ""
    if thing.item.keep_reachable and zone.reach != "on the road":
        return "it must be reachable on the road"
    highest_m = vehicle.curb_cg.up_m + rules.low_above_cg_m
    if thing.item.stay_low and (zone.on_carrier or zone.place.up_m > highest_m):
        return "it must stay low"
    return ""


def shares_air(zone: Zone, thing: Thing) -> str:
    """Why fuel or gas must not ride in this zone. What nobody has said may stay where it is, and is not moved there."""
    kind = kind_of(thing.item if isinstance(thing, Stowed) else thing.liquid)
    if not kind or zone.in_cabin is False:
        return ""
    if kind == ASK:
        return "" if thing.zone == zone.name else "nobody has said whether it is fuel or gas"
    if zone.in_cabin is None:
        return "" if thing.zone == zone.name else "nobody has said whether people breathe there"
    return "fuel and gas ride outside the cabin"


def closed(vehicle: Vehicle, loadout: Loadout, zone: Zone) -> str:
    """Why nothing more may be put into a zone, whatever it is; nothing when it is open."""
    if zone.on_carrier and loadout.carrier is None:
        return "the roof rack is off the vehicle"
    sitting = {who.seat: who.name for who in loadout.people}
    if zone.name in sitting:
        return f"{sitting[zone.name]} rides there"
    for seat in vehicle.seats:
        if seat.name in sitting and _holds(zone, seat.place):
            return f"{sitting[seat.name]} sits there"
    return ""


def _holds(zone: Zone, place: Place) -> bool:
    size, middle = zone.size, zone.place
    return (
        abs(place.aft_m - middle.aft_m) < size.length_m / 2
        and abs(place.left_m - middle.left_m) < size.width_m / 2
        and abs(place.up_m - middle.up_m) < size.height_m / 2
    )


def fits(size: Size | None, zone: Zone, loadout: Loadout) -> bool:
    """Whether a thing's three sides go into a zone's, however it is turned; one of unknown size may.

    On the carrier the zones are parts of one floor, so there the carrier's own length and width count.
    """
    if size is None:
        return True
    length_m, width_m = zone.size.length_m, zone.size.width_m
    if zone.on_carrier and loadout.carrier is not None:
        length_m = max(length_m, loadout.carrier.size.length_m)
        width_m = max(width_m, loadout.carrier.size.width_m)
    room = sorted((length_m, width_m, zone.size.height_m))
    sides = sorted((size.length_m, size.width_m, size.height_m))
    return all(side <= most + SLACK_M for side, most in zip(sides, room, strict=True))


def size_of(thing: Thing) -> Size | None:
    """The outside measures of one piece, None when nobody entered them; a container's are not known."""
    return thing.item.size if isinstance(thing, Stowed) else None


def volume_l(thing: Thing, rules: AdviceRules) -> float:
    """Room that a thing takes, all its pieces [L].

    The boxes of its pieces; for a liquid the container's brim; without a size, its mass times `liters_per_kg`.
    """
    if not isinstance(thing, Stowed):
        return thing.liquid.capacity_l
    if thing.item.size is None:
        return thing.mass_kg * rules.liters_per_kg
    return thing.item.size.volume_l * thing.count
