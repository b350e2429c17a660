"""Frozen records of a vehicle and its load, and the door where text becomes SI."""

from loadcalc.model.errors import BadValue, LoadcalcError, NotFound, SeasonError
from loadcalc.model.loadout import Filled, Loadout, Stowed, stow
from loadcalc.model.space import Place, Size
from loadcalc.model.things import Carrier, Item, Liquid, Occupant, Zone
from loadcalc.model.vehicle import FuelTank, Limit, Seat, Tire, Vehicle, cg_from_axles

__all__ = [
    "BadValue",
    "Carrier",
    "Filled",
    "FuelTank",
    "Item",
    "Limit",
    "Liquid",
    "LoadcalcError",
    "Loadout",
    "NotFound",
    "Occupant",
    "Place",
    "SeasonError",
    "Seat",
    "Size",
    "Stowed",
    "Tire",
    "Vehicle",
    "Zone",
    "cg_from_axles",
    "stow",
]
