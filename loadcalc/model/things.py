"""What can ride: zones to put it in, items, people and animals, liquids, and the carrier."""

from __future__ import annotations

from dataclasses import dataclass

from loadcalc.model import check
from loadcalc.model.assumption import Assumption
from loadcalc.model.body_styles import SPOTS
from loadcalc.model.errors import BadValue
from loadcalc.model.limits import UNKNOWN, Limit
from loadcalc.model.space import Place, Size

HOW_KNOWN = ("weighed", "label", "estimated")
REACHES = ("on the road", "when unloaded")
OCCUPANTS = ("person", "animal")
NEITHER = "neither"
HAZARDS = ("", "fuel", "gas", NEITHER)  # a person's mark; "": nobody has said
LARGEST_ITEM_KG = 500.0
MOUNTS = {
    "on_carrier": ("On the roof rack", "On the rack or platform on the roof."),
    "on_hitch": ("On the hitch", "Hangs on the receiver behind the vehicle."),
}  # a zone's field: its words, and more of them; what rides there counts on the ratings of what it is mounted on


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone:
    """A place where things ride.

    place : where its load is taken to act (the middle of what is usually in it) [m].
    limit : the zone's own limit, if it has one.
    on_carrier : True when it stands on the roof carrier; on_hitch : when it hangs on the hitch receiver.
    in_cabin : True when it shares the air that people breathe, False when it does not, None when nobody has said;
        what is mounted outside (MOUNTS) does not.
    reach : "on the road" or "when unloaded".
    spot : which part of a usual vehicle it is (SPOTS), from which its place is assumed while nobody has measured it.
    assumed : what of its place and size nobody entered.
    """

    name: str
    place: Place
    size: Size
    limit: Limit = UNKNOWN
    on_carrier: bool = False
    on_hitch: bool = False
    in_cabin: bool | None = None
    reach: str = "on the road"
    spot: str = ""
    assumed: tuple[Assumption, ...] = ()

    def __post_init__(self) -> None:
        check.name("zone name", self.name)
        check.one_of("reach", self.reach, REACHES)
        check.one_of("spot", self.spot, SPOTS, self.name)
        places = [words[0].lower() for field, words in MOUNTS.items() if getattr(self, field)]
        if len(places) + bool(self.in_cabin) > 1:
            both = " and ".join([*places, *["in the cabin"] * bool(self.in_cabin)])
            raise BadValue("zone", self.name, f"is both {both}", "choose one")
        if places:
            object.__setattr__(self, "in_cabin", False)

    @property
    def mount(self) -> str:
        """The field of MOUNTS that says what it is mounted on, "" when it is in or on the body."""
        return next((field for field in MOUNTS if getattr(self, field)), "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One line of gear.

    mass_kg : mass of one [kg]; known : how it is known; plus_minus_kg : half-width of the doubt [kg].
    must_come : never left behind; stay_low, keep_reachable : wishes for where it rides.
    hazard : a person's mark: "fuel" or "gas" for what must never share the cabin's air, "neither", or "" for no mark,
        and then its kind and name tell.
    count : how many are owned. key : stays the same when the name is changed (default: the name).
    """

    name: str
    mass_kg: float
    known: str = "estimated"
    plus_minus_kg: float = 0.0
    count: int = 1
    size: Size | None = None
    kind: str = ""
    expendable: bool = False
    must_come: bool = False
    stay_low: bool = False
    keep_reachable: bool = False
    hazard: str = ""
    key: str = ""

    def __post_init__(self) -> None:
        check.name("item name", self.name)
        check.number("mass each", self.mass_kg, 0.0, LARGEST_ITEM_KG, "kg", self.name)
        check.number("plus or minus", self.plus_minus_kg, 0.0, LARGEST_ITEM_KG, "kg", self.name)
        check.one_of("how known", self.known, HOW_KNOWN, self.name)
        check.one_of("hazard", self.hazard, HAZARDS, self.name)
        check.number("count", self.count, 0, 1000, "", self.name)
        if self.count != int(self.count):
            raise BadValue("count", self.count, "is not a whole number", "count whole pieces", self.name)
        object.__setattr__(self, "key", self.key or self.name)


@dataclass(frozen=True, slots=True, kw_only=True)
class Occupant:
    """A person or animal: mass as dressed [kg], and the seat (or zone, for an animal) it rides in."""

    name: str
    mass_kg: float
    seat: str
    kind: str = "person"
    sleeps_on_roof: bool = False
    key: str = ""

    def __post_init__(self) -> None:
        check.name("name", self.name)
        check.number("mass", self.mass_kg, 0.0, 300.0, "kg", self.name)
        check.name("seat", self.seat, self.name)
        check.one_of("kind", self.kind, OCCUPANTS, self.name)
        object.__setattr__(self, "key", self.key or self.name)


@dataclass(frozen=True, slots=True, kw_only=True)
class Liquid:
    """A container with something to pour.

    container_kg : the empty container [kg]; capacity_l : brim-full [L]; density_kg_per_l : [kg/L].
    kind : what is in it. hazard : as an item's.
    """

    name: str
    container_kg: float
    capacity_l: float
    density_kg_per_l: float
    kind: str = "water"
    hazard: str = ""
    key: str = ""

    def __post_init__(self) -> None:
        check.name("name", self.name)
        check.number("empty container", self.container_kg, 0.0, LARGEST_ITEM_KG, "kg", self.name)
        check.number("capacity", self.capacity_l, 0.0, 500.0, "L", self.name)
        check.number("density", self.density_kg_per_l, 0.05, 3.0, "kg/L", self.name)
        check.one_of("hazard", self.hazard, HAZARDS, self.name)
        object.__setattr__(self, "key", self.key or self.name)

    def mass_kg(self, fill_l: float) -> float:
        """Mass of the container with `fill_l` [L] in it [kg]."""
        check.number("fill", fill_l, 0.0, self.capacity_l, "L", self.name)
        return self.container_kg + fill_l * self.density_kg_per_l
