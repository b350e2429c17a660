"""How far off a number may be when nobody said: half-widths that stand in until something is weighed or measured.

Every one of them is a rule of the trade or an invention of this workbook, and says so. Enter better ones.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

from loadcalc.checks.weighing.doubts import SHARE_BY_HOW_KNOWN, Doubts, item_half_width_kg
from loadcalc.model import check
from loadcalc.model.facts import fact_rows
from loadcalc.model.things import Item

NO_SOURCE = "common practice, no source"
SAME = Doubts()  # what a weighing is held against and what is planned with rest on the same assumptions
OTHER_LIQUID = 0.05  # share of its density by which a liquid that is not in the fact table may be off


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumed:
    """Half-widths of the doubts that the records don't hold.

    scale_share : one bias in all that was weighed on the crew's own scale, of its mass [-].
    curb_share : of the curb mass [-]; curb_aft_m, curb_left_m : of its center of gravity [m].
    person_kg : of each person as dressed, with pockets and lunch [kg]; animal_share : of an animal's mass [-].
    carrier_share, container_share : of the carrier's and an empty container's mass [-].
    fill_share : of a container's capacity [-]; gauge_share : of the tank's capacity [-].
    trailer_share, tongue_share : of the trailer's mass and of its tongue weight [-].
    in_zone_share : how far an item may lie from its zone's middle, of the zone's length and width [-].
    zone_m : how far off the entered middle of a zone may be [m]; own_place_m : an item's own entered place [m].
    seat_m : how far off a seated person's center of mass may be [m].
    """

    scale_share: float = 0.01
    curb_share: float = SAME.curb_share
    curb_aft_m: float = 0.02
    curb_left_m: float = 0.01
    person_kg: float = SAME.person_kg
    animal_share: float = SAME.animal_share
    carrier_share: float = SAME.carrier_share
    container_share: float = 0.05
    fill_share: float = 0.02
    gauge_share: float = SAME.fuel_share
    trailer_share: float = 0.05
    tongue_share: float = 0.10
    in_zone_share: float = 0.25
    zone_m: float = 0.03
    own_place_m: float = 0.05
    seat_m: float = 0.05

    def __post_init__(self) -> None:
        for field in fields(self):
            share = field.name.endswith("_share")
            high, unit = (1.0, "") if share else (50.0, "kg") if field.name.endswith("_kg") else (2.0, "m")
            check.number(field.name.replace("_", " "), getattr(self, field.name), 0.0, high, unit)


def item_doubt_kg(item: Item) -> tuple[float, str]:
    """How far off the mass of one piece of an item may be.

    Parameters
    ----------
    item : with its plus or minus, if it has one, and how its mass is known.

    Returns
    -------
    (half-width [kg], words): what was entered, else a share by how it is known (loadcalc.checks.weighing.doubts).
    """
    half_kg = item_half_width_kg(item)
    if item.plus_minus_kg > 0:
        return half_kg, "as entered"
    return half_kg, f"{SHARE_BY_HOW_KNOWN[item.known]:.0%} for {item.known}: {NO_SOURCE}"


def density_share(kind: str) -> tuple[float, str]:
    """How far off the density of a liquid may be, from the spread of its rows in the fact table.

    Parameters
    ----------
    kind : "water", "gasoline", "diesel", "oil", or any other word.

    Returns
    -------
    (share, words): half of the spread over its middle [-], and where that comes from. Water spreads by its
    temperature, 4 to 40 °C; fuels by what their standard allows (from memory, as the table says).

    >>> round(density_share("water")[0], 4)
    0.0039
    """
    word = {"oil": "bar oil", "petrol": "gasoline"}.get(kind.casefold().strip(), kind.casefold().strip())
    found = [row for row in fact_rows("liquids") if row["liquid"] == word]
    if not found:
        return OTHER_LIQUID, f"{OTHER_LIQUID:.0%} for a liquid not in the table: {NO_SOURCE}"
    lows = [float(row["low_kg_per_l"] or row["density_kg_per_l"]) for row in found]
    highs = [float(row["high_kg_per_l"] or row["density_kg_per_l"]) for row in found]
    low, high = min(lows), max(highs)
    return (high - low) / (high + low), f"data/facts/liquids.csv, {found[0]['status']}"


def fuel_kind(density_kg_per_l: float) -> str:
    """Which fuel a tank's density [kg/L] is nearest to: "gasoline" or "diesel"."""
    known = {kind: _middle(kind) for kind in ("gasoline", "diesel")}
    return min(known, key=lambda kind: abs(known[kind] - density_kg_per_l))


def _middle(kind: str) -> float:
    row = next(row for row in fact_rows("liquids") if row["liquid"] == kind)
    return float(row["density_kg_per_l"])
