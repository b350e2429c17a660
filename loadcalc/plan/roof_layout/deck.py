"""What lies on the roof carrier, where, and what is wrong with how it lies.

A thing without a place of its own has not been laid out: it counts at its zone's middle, and has no footprint.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import fsum
from typing import NamedTuple

from loadcalc.model.carrier import Carrier, TiePoint
from loadcalc.model.errors import NotFound
from loadcalc.model.loadout import Filled, Loadout, Stowed
from loadcalc.model.space import Place, Size
from loadcalc.model.things import Zone
from loadcalc.plan.roof_layout.footprint import (
    Footprint,
    Overhang,
    Shared,
    bundle,
    covers,
    lying,
    overhang,
    shared,
)

NO_SIZE = Size(
    length_m=0.3, width_m=0.3, height_m=0.2
)  # assumed, and told so, until somebody measures the thing


@dataclass(frozen=True, slots=True, kw_only=True)
class Thing:
    """One line of gear, or one can, that rides on the roof rack.

    key : "stowed:" or "filled:" and the key of the item or liquid; name : with its count.
    size : of the whole bundle; size_known : False when nobody entered one and it is assumed.
    zone, zone_place : the zone it counts in, and where that zone's load acts.
    place : its own, None while it has not been laid out; turned : its length lies across the vehicle.
    pinned : nothing may move it but a hand; group : what it is tied down with; reachable : wanted on the way.
    """

    key: str
    name: str
    mass_kg: float
    size: Size
    size_known: bool
    zone: str
    zone_place: Place
    place: Place | None
    turned: bool
    pinned: bool
    group: str
    reachable: bool

    @property
    def footprint(self) -> Footprint:
        """The rectangle that it takes up, seen from above; around its zone's middle while not laid out."""
        long, wide = lying(self.size, turned=self.turned)
        at = self.place or self.zone_place
        return Footprint(aft_m=at.aft_m, left_m=at.left_m, length_m=long, width_m=wide)


class Overlapping(NamedTuple):
    """Two things that lie where only one can."""

    one: Thing
    other: Thing
    by: Shared


class Hanging(NamedTuple):
    """A thing that reaches beyond the carrier."""

    thing: Thing
    by: Overhang


class Covered(NamedTuple):
    """A tie point that cannot be reached once this is loaded."""

    point: TiePoint
    thing: Thing


@dataclass(frozen=True, slots=True, kw_only=True)
class LayoutFaults:
    """What is wrong with a layout, and what is not known of it."""

    overlapping: tuple[Overlapping, ...]
    hanging: tuple[Hanging, ...]
    covered: tuple[Covered, ...]
    not_laid_out: tuple[Thing, ...]
    size_assumed: tuple[Thing, ...]

    def about(self, key: str) -> LayoutFaults:
        """Return only what concerns one thing, by its key."""
        return LayoutFaults(
            overlapping=tuple(o for o in self.overlapping if key in (o.one.key, o.other.key)),
            hanging=tuple(h for h in self.hanging if h.thing.key == key),
            covered=tuple(c for c in self.covered if c.thing.key == key),
            not_laid_out=tuple(t for t in self.not_laid_out if t.key == key),
            size_assumed=tuple(t for t in self.size_assumed if t.key == key),
        )


class Load(NamedTuple):
    """What stands on the roof rack: mass [kg], and where its center is, aft and left [m]."""

    mass_kg: float
    aft_m: float
    left_m: float


def deck_of(carrier: Carrier) -> Footprint:
    """The carrier's rectangle, seen from above.

    Parameters
    ----------
    carrier : its place is taken for its middle.

    Returns
    -------
    Footprint: [m].
    """
    return Footprint(
        aft_m=carrier.place.aft_m,
        left_m=carrier.place.left_m,
        length_m=carrier.size.length_m,
        width_m=carrier.size.width_m,
    )


def things_on(loadout: Loadout) -> tuple[Thing, ...]:
    """Everything that rides on the roof rack, in the loadout's order.

    Parameters
    ----------
    loadout : each item or liquid is on one line of it, as a season keeps it.

    Returns
    -------
    tuple of Thing: empty without a carrier.
    """
    zones = {zone.name: zone for zone in loadout.zones if zone.on_carrier}
    aboard: tuple[Stowed | Filled, ...] = (*loadout.gear, *loadout.liquids)
    return tuple(_thing(one, zones[one.zone]) for one in aboard if one.zone in zones and loadout.carrier)


def thing_on(loadout: Loadout, key: str) -> Thing:
    """The thing of that key on the roof rack. Raises NotFound with the names of those there are."""
    found = things_on(loadout)
    for thing in found:
        if thing.key == key:
            return thing
    raise NotFound("thing on the roof rack", key, tuple(thing.name for thing in found))


def _thing(one: Stowed | Filled, zone: Zone) -> Thing:
    if isinstance(one, Stowed):
        item = one.item
        return Thing(
            key=f"stowed:{item.key}",
            name=item.name if one.count == 1 else f"{item.name} × {one.count}",
            mass_kg=one.mass_kg,
            size=bundle(item.size or NO_SIZE, one.count),
            size_known=item.size is not None,
            zone=zone.name,
            zone_place=zone.place,
            place=one.place,
            turned=one.turned,
            pinned=one.pinned,
            group=one.group,
            reachable=item.keep_reachable,
        )
    side_m = (one.liquid.capacity_l / 1000.0) ** (1.0 / 3.0)  # a can is entered by what it holds
    return Thing(
        key=f"filled:{one.liquid.key}",
        name=one.liquid.name,
        mass_kg=one.mass_kg,
        size=Size(length_m=side_m, width_m=side_m, height_m=side_m),
        size_known=False,
        zone=zone.name,
        zone_place=zone.place,
        place=one.place,
        turned=False,
        pinned=False,
        group="",
        reachable=False,
    )


def judge(loadout: Loadout) -> LayoutFaults:
    """What overlaps, hangs over, covers a tie point, or has not been laid out.

    Parameters
    ----------
    loadout : with its carrier on; without one nothing is found.

    Returns
    -------
    Found: each pair once, in the loadout's order.
    """
    carrier, things = loadout.carrier, things_on(loadout)
    laid = [thing for thing in things if thing.place is not None]
    deck = deck_of(carrier) if carrier else None
    pairs = [(one, other) for i, one in enumerate(laid) for other in laid[i + 1 :]]
    return LayoutFaults(
        overlapping=tuple(
            Overlapping(one, other, by)
            for one, other in pairs
            if (by := shared(one.footprint, other.footprint)).along_m > 0
        ),
        hanging=tuple(
            Hanging(t, beyond) for t in laid if deck and any(beyond := overhang(t.footprint, deck))
        ),
        covered=tuple(
            Covered(point, t)
            for point in (carrier.tie_points if carrier else ())
            for t in laid
            if covers(t.footprint, aft_m=point.aft_m, left_m=point.left_m)
        ),
        not_laid_out=tuple(t for t in things if t.place is None),
        size_assumed=tuple(t for t in things if not t.size_known),
    )


def load_on(loadout: Loadout) -> Load | None:
    """What stands on the roof rack and where its center is; None when it is empty. The carrier's own mass is not in it.

    Parameters
    ----------
    loadout : a thing that is not laid out counts at its zone's middle, as the ratings count it.

    Returns
    -------
    Load: mass [kg], aft and left of its center [m].
    """
    things = things_on(loadout)
    mass_kg = fsum(t.mass_kg for t in things)
    if mass_kg <= 0:
        return None
    at = [(t.mass_kg, t.place or t.zone_place) for t in things]
    return Load(
        mass_kg, fsum(m * p.aft_m for m, p in at) / mass_kg, fsum(m * p.left_m for m, p in at) / mass_kg
    )
