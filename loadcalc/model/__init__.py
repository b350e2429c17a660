"""Frozen records of a vehicle and its load, and the door where text becomes SI."""

from loadcalc.model.carrier import Bar, Carrier, TiePoint, Trailer
from loadcalc.model.errors import BadValue, LoadcalcError, NotFound, SeasonError
from loadcalc.model.limits import Limit
from loadcalc.model.loadout import Filled, Loadout, Stowed, stow
from loadcalc.model.space import Place, Size
from loadcalc.model.things import Item, Liquid, Occupant, Zone
from loadcalc.model.vehicle import FuelTank, Seat, Tire, Vehicle, cg_from_axles
