"""How well each mass on board is known: half-widths of doubt, stated, so that a scale can be held against them."""

from __future__ import annotations

from dataclasses import dataclass

from loadcalc.model import check
from loadcalc.model.assumption import half_width
from loadcalc.model.things import Item
from loadcalc.model.vehicle import Vehicle

SHARE_BY_HOW_KNOWN = {"weighed": 0.01, "label": 0.05, "estimated": 0.25}  # common practice, no source
LEAST_KG = 0.05  # nobody knows a piece of gear better than this


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubts:
    """The ± (loadcalc.checks.weighing.scales) of what nobody gave one. All are common practice, without a source.

    curb_share : of the curb mass [-]; unlisted_kg : of gear in each zone that no list holds [kg].
    person_kg : of each person, dressed, with what is in the pockets [kg]; animal_share : of an animal's mass [-].
    liquid_share, carrier_share : of a can with its content, and of the carrier [-].
    fuel_share : of the tank's capacity, as read from a gauge [-].
    split_share : of the curb mass, between the axles [-]; side_share : of an axle's load, between its wheels [-].
    place_m : how far a zone's load may act from where it is taken to act [m].
    """

    curb_share: float = 0.02
    unlisted_kg: float = 15.0
    person_kg: float = 3.0
    animal_share: float = 0.10
    liquid_share: float = 0.05
    carrier_share: float = 0.05
    fuel_share: float = 0.06
    split_share: float = 0.01
    side_share: float = 0.05
    place_m: float = 0.15

    def __post_init__(self) -> None:
        shares = ("curb", "animal", "liquid", "carrier", "fuel", "split", "side")
        for name in shares:
            check.number(f"± of {name}", getattr(self, f"{name}_share"), 0.0, 1.0, "(a share)")
        check.number("± of unlisted gear", self.unlisted_kg, 0.0, 500.0, "kg")
        check.number("± of a person", self.person_kg, 0.0, 100.0, "kg")
        check.number("± of a place", self.place_m, 0.0, 2.0, "m")


def curb_half_width_kg(vehicle: Vehicle, curb_share: float) -> float:
    """Half-width of the doubt of the curb mass.

    The vehicle's own plus or minus, if it has one; else a share of the mass; the margin of a curb mass that is assumed.

    Parameters
    ----------
    vehicle : with its curb mass; curb_share : [-].

    Returns
    -------
    float: [kg].
    """
    own_kg = vehicle.curb_plus_minus_kg or curb_share * vehicle.curb_kg
    return max(own_kg, half_width(vehicle.assumed, "curb_kg"))


def item_half_width_kg(item: Item, count: int = 1) -> float:
    """Half-width of the doubt of `count` pieces of an item.

    The item's own plus or minus, if it has one; else a share of its mass by how it is known: weighed 1 %, label 5 %,
    estimated 25 % (common practice, no source). All pieces share one doubt: whoever misjudged one misjudged all.

    Parameters
    ----------
    item : with its mass and how it is known; count : pieces [-].

    Returns
    -------
    float: [kg].

    >>> item_half_width_kg(Item(name="tent", mass_kg=8.0, known="estimated"), 2)
    4.0
    """
    check.number("count", count, 0, 1000, "", item.name)
    each_kg = item.plus_minus_kg or max(SHARE_BY_HOW_KNOWN[item.known] * item.mass_kg, LEAST_KG)
    return each_kg * count
