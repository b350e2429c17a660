"""A loadout: what rides where, for one departure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from loadcalc.model import check
from loadcalc.model.carrier import Carrier, Trailer
from loadcalc.model.errors import BadValue, NotFound
from loadcalc.model.space import Place
from loadcalc.model.straps import Strapping
from loadcalc.model.things import Item, Liquid, Occupant, Zone

PRESSURES = {
    "front_road_kpa": "front road pressure",
    "rear_road_kpa": "rear road pressure",
    "front_kpa": "front trail pressure",
    "rear_kpa": "rear trail pressure",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Stowed:
    """`count` of an item in a zone, at the zone's own place unless `place` says otherwise.

    turned : its length lies across the vehicle; pinned : no advice may move it; group : what it is tied down with.
    """

    item: Item
    zone: str
    count: int = 1
    place: Place | None = None
    turned: bool = False
    pinned: bool = False
    group: str = ""

    def __post_init__(self) -> None:
        check.number("count", self.count, 0, 1000, "", self.item.name)
        if self.count != int(self.count):
            raise BadValue("count", self.count, "is not a whole number", "count whole pieces", self.item.name)

    @property
    def mass_kg(self) -> float:
        """Mass of all that rides [kg]."""
        return self.item.mass_kg * self.count


@dataclass(frozen=True, slots=True, kw_only=True)
class Filled:
    """A liquid's container in a zone with `fill_l` litres in it; group : what it is tied down with."""

    liquid: Liquid
    zone: str
    fill_l: float
    place: Place | None = None
    group: str = ""

    def __post_init__(self) -> None:
        self.liquid.mass_kg(self.fill_l)

    @property
    def mass_kg(self) -> float:
        """Mass of container and content [kg]."""
        return self.liquid.mass_kg(self.fill_l)


@dataclass(frozen=True, slots=True, kw_only=True)
class Loadout:
    """What rides where. Everything that `evaluate` needs besides the vehicle.

    zones : the places things may ride in; carrier : None when it is off the vehicle.
    people, gear, liquids : what comes along; fuel_l : fuel in the vehicle's own tank [L].
    trailer : None without one. straps : how each tied group is held. All pressures are cold, as a gauge shows them.
    front_road_kpa, rear_road_kpa : in the tires on the road [kPa]; None: what the placard asks for.
    front_kpa, rear_kpa : aired down to this for the trail [kPa]; None: not aired down.
    """

    name: str
    zones: tuple[Zone, ...] = ()
    carrier: Carrier | None = None
    people: tuple[Occupant, ...] = ()
    gear: tuple[Stowed, ...] = ()
    liquids: tuple[Filled, ...] = ()
    fuel_l: float = 0.0
    trailer: Trailer | None = None
    straps: tuple[Strapping, ...] = ()
    front_road_kpa: float | None = None
    rear_road_kpa: float | None = None
    front_kpa: float | None = None
    rear_kpa: float | None = None

    def __post_init__(self) -> None:
        for field in ("zones", "people", "gear", "liquids", "straps"):
            object.__setattr__(self, field, tuple(getattr(self, field)))
        check.name("loadout name", self.name)
        check.number("fuel", self.fuel_l, 0.0, 1000.0, "L")
        for name, word in PRESSURES.items():
            if getattr(self, name) is not None:
                check.number(word, getattr(self, name), 50.0, 1000.0, "kPa")
        check.unique("zone", (zone.name for zone in self.zones))
        check.unique("person", (person.key for person in self.people))
        check.unique("tied group", (strapping.key for strapping in self.straps))
        zones = {zone.name: zone for zone in self.zones}
        aboard: tuple[Stowed | Filled, ...] = (*self.gear, *self.liquids)
        for thing in aboard:
            self._check_stowed(thing, zones)

    def _check_stowed(self, thing: Stowed | Filled, zones: Mapping[str, Zone]) -> None:
        name = thing.item.name if isinstance(thing, Stowed) else thing.liquid.name
        zone = zones.get(thing.zone)
        if zone is None:
            raise NotFound(f"zone for {name},", thing.zone, tuple(zones))
        if zone.on_carrier and self.carrier is None and thing.mass_kg > 0:
            cure = "put the roof rack on or move the item"
            raise BadValue("zone", zone.name, "stands on the roof rack, which is off the vehicle", cure, name)

    def zone(self, name: str) -> Zone:
        """Return the zone of that name."""
        for zone in self.zones:
            if zone.name == name:
                return zone
        raise NotFound("zone", name, tuple(zone.name for zone in self.zones))

    def moved(self, item_key: str, zone: str) -> Loadout:
        """Return a loadout with every piece of one item in another zone."""
        if all(stowed.item.key != item_key for stowed in self.gear):
            raise NotFound("item on board", item_key, tuple(stowed.item.key for stowed in self.gear))
        gear = (replace(s, zone=zone, place=None) if s.item.key == item_key else s for s in self.gear)
        return replace(self, gear=tuple(gear))


def stow(places: Mapping[str, Iterable[Item]]) -> tuple[Stowed, ...]:
    """Put items into zones in one line: ``stow({"cargo floor": [saw, axe]})``; all that are owned ride.

    Parameters
    ----------
    places : the items of each zone, by the zone's name

    Returns
    -------
    tuple: what a Loadout takes as its gear, one for each item
    """
    return tuple(
        Stowed(item=item, zone=zone, count=item.count) for zone, items in places.items() for item in items
    )
