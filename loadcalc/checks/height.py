"""How tall the vehicle is as it is packed: what has to pass under a bridge, a branch, or a garage door."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from loadcalc.model.carrier import Carrier
from loadcalc.model.loadout import Filled, Loadout, Stowed
from loadcalc.model.vehicle import Vehicle


class Tallest(NamedTuple):
    """The height above the ground [m], what is up there, and the things whose own height nobody entered."""

    height_m: float
    what: str
    not_measured: tuple[str, ...]


def overall_height(vehicle: Vehicle, loadout: Loadout) -> Tallest:
    """The top of the highest thing on the roof rack, else of the rack, else of the body; a trailer is not in it.

    Soft tires, springs, and a load lower it; straps, antennas, and whatever is on no list make it taller.

    Parameters
    ----------
    vehicle : with its overall height
    loadout : what rides where; a thing without a size is taken to reach the top of its zone

    Returns
    -------
    Tallest: height [m], the name of what reaches it, and the names of the things without a size

    Notes
    -----
    Formula: most of: the body's height; the rack's middle + half its thickness; for each thing on the rack its middle +
        half its height where it is laid out, else the rack's top + its height
    Range: any loadout
    Source: elementary geometry, on level ground
    Status: computed

    Examples
    --------
    By hand: a rack with its top at 2.0 m, and on it a box 0.3 m high that is not laid out.

    >>> from loadcalc.model import Item, Place, Seat, FuelTank, Size, Zone
    >>> size, at = Size(length_m=1, width_m=1, height_m=0.2), Place(aft_m=1.5, up_m=1.9)
    >>> vehicle = Vehicle(name="wagon", curb_kg=2000, curb_cg=Place(aft_m=1.2, up_m=0.7), wheelbase_m=3,
    ...     front_track_m=1.5, rear_track_m=1.5, outline=Size(length_m=4.8, width_m=1.9, height_m=1.8),
    ...     front_overhang_m=0.8, tank=FuelTank(capacity_l=80, density_kg_per_l=0.8, place=Place(aft_m=2, up_m=0.5)),
    ...     seats=(Seat(name="driver", place=Place(aft_m=1.2, up_m=0.9)),))
    >>> box = Item(name="box", mass_kg=20, size=Size(length_m=1, width_m=0.5, height_m=0.3))
    >>> overall_height(vehicle, Loadout(name="trip", carrier=Carrier(name="rack", mass_kg=30, place=at, size=size),
    ...     zones=(Zone(name="platform", place=at, size=size, on_carrier=True),),
    ...     gear=(Stowed(item=box, zone="platform"),)))
    Tallest(height_m=2.3, what='box', not_measured=())
    """
    tops = [(vehicle.outline.height_m, vehicle.name)]
    carrier = loadout.carrier
    if carrier is None:
        return Tallest(*tops[0], ())
    tops.append((rack_top_m(carrier), carrier.name))
    without: list[str] = []
    for thing in _on_rack(loadout):
        name, size = (
            (thing.item.name, thing.item.size) if isinstance(thing, Stowed) else (thing.liquid.name, None)
        )
        if size is None:
            zone = loadout.zone(thing.zone)
            tops.append((max(rack_top_m(carrier), zone.place.up_m + zone.size.height_m / 2), name))
            without.append(name)
        elif thing.place is None:
            tops.append((rack_top_m(carrier) + size.height_m, name))
        else:
            tops.append((thing.place.up_m + size.height_m / 2, name))
    return Tallest(*max(tops, key=lambda top: top[0]), tuple(without))


def rack_top_m(carrier: Carrier) -> float:
    """Height of what things stand on: the middle of the rack and half its thickness, above ground [m]."""
    return carrier.place.up_m + carrier.size.height_m / 2


def _on_rack(loadout: Loadout) -> Iterator[Stowed | Filled]:
    zones = {zone.name for zone in loadout.zones if zone.on_carrier}
    aboard: tuple[Stowed | Filled, ...] = (*loadout.gear, *loadout.liquids)
    return (thing for thing in aboard if thing.zone in zones and thing.mass_kg > 0)
