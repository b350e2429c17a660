"""Fuel and gas: what is either, how full a cylinder may be, how much there is, and where it may not ride.

Rules of thumb and of commercial carriage, each with its source and status in `data/facts/gas_and_fuel.csv`. The maker's
stamp, the filler, and local law come first. When a cylinder is due stands in :mod:`loadcalc.checks.intervals`.
"""

from __future__ import annotations

from dataclasses import dataclass

from loadcalc.checks.gas_words import ASK, AWAY, PERHAPS, SURE, said_by, said_by_group
from loadcalc.model import check
from loadcalc.model.facts import fact_rows
from loadcalc.model.loadout import Loadout
from loadcalc.model.things import NEITHER, Item, Liquid


@dataclass(frozen=True, slots=True, kw_only=True)
class FillLimit:
    """What a propane cylinder may hold by each rule [kg]. The lower one holds."""

    by_weight_kg: float
    by_volume_kg: float

    @property
    def limit_kg(self) -> float:
        """The lower of the two [kg]."""
        return min(self.by_weight_kg, self.by_volume_kg)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hazard:
    """Fuel or gas on board: what it is, where it rides, how much, and whether people breathe the same air.

    kind : "fuel", "gas", or "ask" for what may be either, or neither. mass_kg : with its container [kg].
    in_cabin : as its zone's; None when nobody has said. fill_l : of a can, None for gear [L].
    """

    name: str
    kind: str
    zone: str
    mass_kg: float
    in_cabin: bool | None
    fill_l: float | None = None


def _rule(what: str, rule: str) -> float:
    return next(
        float(row["value"]) for row in fact_rows("gas_and_fuel") if (row["what"], row["rule"]) == (what, rule)
    )


def _density(liquid: str, state: str) -> float:
    return next(
        float(row["density_kg_per_l"])
        for row in fact_rows("liquids")
        if (row["liquid"], row["state"]) == (liquid, state)
    )


def fill_limit(water_capacity_kg: float) -> FillLimit:
    """How much propane a cylinder may hold, by both rules.

    These are two limits, not one in other words: the lower holds.

    Parameters
    ----------
    water_capacity_kg : stamped on the cylinder as WC [kg]

    Returns
    -------
    FillLimit: both, with the lower one [kg]

    Raises
    ------
    BadValue: a water capacity outside 0.1 to 500 kg

    Notes
    -----
    Formula: by weight 0.42 · WC; by volume 0.80 · WC / water's density · propane's density at 60 °F (16 °C)
    Source: WAC 296-307-41037, Table U-4 (42 %); NFPA 58, in two trade guides (80 %); densities by CoolProp 8.0.0
    Status: published; the 80 % corroborated, the densities computed

    Examples
    --------
    A cylinder sold as "20 lb", WC 47.6 lb (tests/reference/gas_fill.csv), by arithmetic in pounds.

    >>> found = fill_limit(47.6 * 0.45359237)
    >>> round(found.by_weight_kg / 0.45359237, 2), round(found.by_volume_kg / 0.45359237, 2)
    (19.99, 19.31)
    """
    check.number("water capacity", water_capacity_kg, 0.1, 500.0, "kg")
    volume_l = water_capacity_kg / _density("water", "16 C (60 F)")
    by_volume_kg = _rule("cylinder", "fill by volume") * volume_l * _density("propane", "16 C (60 F)")
    return FillLimit(
        by_weight_kg=_rule("cylinder", "fill by weight") * water_capacity_kg, by_volume_kg=by_volume_kg
    )


def kind_of(thing: Item | Liquid) -> str:
    """Whether a thing is fuel, gas, or neither. Every page, the advice, the sheet, and the checks due read this.

    A person's mark decides; without one the kind, then the name (:mod:`loadcalc.checks.gas_words`).

    Parameters
    ----------
    thing : gear, or a can with what is in it.

    Returns
    -------
    str: "fuel", "gas", "" for neither, or "ask" where kind and name leave it in doubt. Empty or full is the same.

    >>> kind_of(Item(name="Gas bottles", mass_kg=15.0)), kind_of(Item(name="Gas stove", mass_kg=5.0))
    ('gas', '')
    >>> kind_of(Item(name="Jerry can", mass_kg=4.0)), kind_of(Item(name="Jerry can", mass_kg=4.0, hazard="neither"))
    ('ask', '')
    """
    if thing.hazard:
        return "" if thing.hazard == NEITHER else thing.hazard
    name, liquid = said_by(thing.name), isinstance(thing, Liquid)
    kind = said_by(thing.kind) if liquid else said_by_group(thing.kind)
    if kind in SURE:  # what a can holds was said; gear is in a group, and a funnel may be in the one for fuel
        return kind if liquid or name != AWAY else ASK
    if kind == AWAY and name in ("", AWAY, PERHAPS):
        return ""
    if name in SURE and not (liquid and kind == AWAY):  # a can said to hold water, and called petrol
        return name
    return ASK if {kind, name} & {*SURE, ASK, PERHAPS} else ""


def hazards(loadout: Loadout) -> tuple[Hazard, ...]:
    """Fuel and gas on board beside the vehicle's own tank, and what may be either; see :func:`kind_of`.

    Parameters
    ----------
    loadout : what rides where.

    Returns
    -------
    tuple of Hazard: gear, then cans.
    """
    air = {zone.name: zone.in_cabin for zone in loadout.zones}
    gear = [
        Hazard(name=s.item.name, kind=kind, zone=s.zone, mass_kg=s.mass_kg, in_cabin=air[s.zone])
        for s in loadout.gear
        if s.count and (kind := kind_of(s.item))
    ]
    cans = [
        Hazard(
            name=f.liquid.name,
            kind=kind,
            zone=f.zone,
            mass_kg=f.mass_kg,
            in_cabin=air[f.zone],
            fill_l=f.fill_l,
        )
        for f in loadout.liquids
        if (kind := kind_of(f.liquid))
    ]
    return (*gear, *cans)
