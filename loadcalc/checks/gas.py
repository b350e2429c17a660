"""Gas cylinders and fuel cans: how full, how old, how much, and where they may not ride.

Rules of thumb and of commercial carriage, each with its source and status in `data/facts/gas_and_fuel.csv`. The maker's
stamp, the filler, and local law come first.
"""

from __future__ import annotations

import calendar
import datetime
from dataclasses import dataclass

from loadcalc.model import check
from loadcalc.model.facts import fact_rows
from loadcalc.model.loadout import Loadout

FUELS = ("gasoline", "petrol", "diesel", "kerosene", "white gas", "fuel", "saw mix")
GASES = ("propane", "butane", "gas")
HOLDERS = ("can", "canister", "cartridge", "cylinder", "bottle", "jug", "tank")
TESTS = ("making", "volumetric test", "proof pressure test", "outside look")


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

    mass_kg : with its container [kg]; fill_l : of a can, None for a cylinder [L].
    """

    name: str
    kind: str
    zone: str
    mass_kg: float
    in_cabin: bool
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
    Source: NFPA 58, the 42% and 80% rules, read in trade guides only; densities by CoolProp 8.0.0
    Status: from memory; the densities computed

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


def requalify_by(last: datetime.date, test: str = "making") -> datetime.date:
    """When a DOT 4-series cylinder is due again.

    12 years after making or a volumetric test, 10 after a proof pressure test (85 FR 68790, 2020), 5 after an outside
    look (from memory). The stamp and the filler come first.

    Parameters
    ----------
    last : date of making or of the last test; test : which it was, see TESTS.

    Returns
    -------
    date: the same day, that many years on.

    >>> requalify_by(datetime.date(2015, 4, 1)).year
    2027
    """
    check.one_of("test", test, TESTS)
    years = int(_rule("cylinder", f"requalified after {test}"))
    day = min(last.day, calendar.monthrange(last.year + years, last.month)[1])
    return last.replace(year=last.year + years, day=day)


def hazards(loadout: Loadout) -> tuple[Hazard, ...]:
    """Fuel and gas on board beside the vehicle's own tank: gear marked or named so, and cans by their content.

    Parameters
    ----------
    loadout : what rides where.
    """
    cabin = {zone.name for zone in loadout.zones if zone.in_cabin}
    gear = [
        Hazard(
            name=stowed.item.name,
            kind=kind,
            zone=stowed.zone,
            mass_kg=stowed.mass_kg,
            in_cabin=stowed.zone in cabin,
        )
        for stowed in loadout.gear
        if stowed.count and (kind := stowed.item.hazard or kind_of_holder(stowed.item.name))
    ]
    cans = [
        Hazard(
            name=filled.liquid.name,
            kind=kind,
            zone=filled.zone,
            mass_kg=filled.mass_kg,
            in_cabin=filled.zone in cabin,
            fill_l=filled.fill_l,
        )
        for filled in loadout.liquids
        if (kind := kind_of(filled.liquid.kind))
    ]
    return (*gear, *cans)


def kind_of(content: str) -> str:
    """ "gas", "fuel", or "" for what is in a can, by its name.

    Parameters
    ----------
    content : what a person called it.

    >>> kind_of("Saw mix (gasoline)"), kind_of("propane"), kind_of("water")
    ('fuel', 'gas', '')
    """
    said = content.casefold()
    if any(word in said for word in FUELS):
        return "fuel"
    return "gas" if any(word in said.split() for word in GASES) else ""


def kind_of_holder(name: str) -> str:
    """ "gas", "fuel", or "" for a piece of gear that nobody has marked, when its name tells: "Propane cylinder".

    Parameters
    ----------
    name : of the gear. Without a word for a holder ("cylinder", "can") it is not one: a gas stove holds none.

    >>> kind_of_holder("Propane cylinder"), kind_of_holder("Gas stove"), kind_of_holder("Water can")
    ('gas', '', '')
    """
    return kind_of(name) if set(name.casefold().split()) & set(HOLDERS) else ""
