"""Small cases for the tests of advice, to see through by eye: large zones, crates, and only the limits given."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from loadcalc.model import Item, Limit, Liquid, Loadout, Place, Size, Stowed
from loadcalc.model.things import Zone
from loadcalc.plan.advice.allowed import AdviceRules
from loadcalc.plan.advice.problem import Problem
from tests.advice_cases import allowing
from tests.hand_case import CARRIER, VEHICLE

BIG = Size(length_m=2.0, width_m=1.5, height_m=1.0)
CRATE = Size(length_m=0.5, width_m=0.4, height_m=0.3)
CAN = Liquid(name="gas can", kind="gasoline", container_kg=3.0, capacity_l=20.0, density_kg_per_l=0.75)
FREE = AdviceRules(side_m=1.0)


def zone(name: str, up_m: float = 0.8, limit_kg: float | None = None, **fields: Any) -> Zone:
    """A large zone in the middle of the vehicle."""
    place = Place(aft_m=1.5, up_m=up_m)
    return Zone(name=name, **{"place": place, "size": BIG, "limit": Limit(limit_kg=limit_kg), **fields})


def stowed(name: str, mass_kg: float, where: str, pinned: bool = False, **fields: Any) -> Stowed:
    """One crate."""
    return Stowed(
        item=Item(name=name, mass_kg=mass_kg, **{"size": CRATE, **fields}), zone=where, pinned=pinned
    )


def hand_problem(
    zones: tuple[Zone, ...], gear: tuple[Stowed, ...], rules: AdviceRules = FREE, **fields: Any
) -> Problem:
    """A problem on the hand case's vehicle, with the limits given here and no others.

    Whatever has no limit may be added to, unless `careful` is given: most of these cases are about something else.
    """
    careful = fields.pop("careful", False)
    vehicle = replace(VEHICLE, limits=fields.pop("limits", {}))
    loadout = Loadout(name="hand", zones=zones, gear=gear, **{"carrier": CARRIER, **fields})
    return Problem(vehicle, loadout, rules if careful else allowing(rules, vehicle, loadout))


CABIN = zone("cabin", in_cabin=True)
RACK = zone("rack", in_cabin=False)
ROOF = zone("roof", up_m=2.0, on_carrier=True)
HATCH = zone("hatch", reach="when unloaded", in_cabin=False)
ZONES = (CABIN, RACK, ROOF, HATCH)
