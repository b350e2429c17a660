"""Relations between the load of a tire and its pressure, each with how well it is known.

All pressures are cold and as a gauge shows them.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from loadcalc.model import check
from loadcalc.model.errors import BadValue

LOWEST_KPA, HIGHEST_KPA = 50.0, 1000.0  # what a tire record takes at all


@dataclass(frozen=True, slots=True, kw_only=True)
class Relation:
    """One relation between load and pressure.

    exponent : n in load = reference load * (pressure / reference pressure) ** n [-]; 0 for a printed table.
    status, source : how well it is known and from where; words : as it stands beside a number.
    """

    key: str
    words: str
    exponent: float
    status: str
    source: str


_ALL = (
    Relation(
        key="table",
        words="the maker's printed table",
        exponent=0.0,
        status="entered",
        source="load and inflation table of the tire's maker",
    ),
    Relation(
        key="linear",
        words="in proportion to pressure",
        exponent=1.0,
        status="published",
        source="Daws, Inflation Pressures at Less-Than-Maximum Tire Loads (Tire Society 2009), eq. 9, as quoted",
    ),
    Relation(
        key="power 0.8",
        words="pressure to the power 0.8",
        exponent=0.8,
        status="from memory",
        source="said to be the European form (ETRTO); nobody here has read it there",
    ),
    Relation(
        key="power 0.7",
        words="pressure to the power 0.7",
        exponent=0.7,
        status="from memory",
        source="said to be the American form for light truck tires; nobody here has read it there",
    ),
    Relation(
        key="power 0.5",
        words="pressure to the power 0.5",
        exponent=0.5,
        status="from memory",
        source="P-metric design formula of the TRA yearbook, met on a forum only",
    ),
)
RELATIONS = {relation.key: relation for relation in _ALL}
BEST = "best known"  # the printed table inside its rows, else in proportion
CHOICES = (BEST, *RELATIONS)


def load_by_power_kg(
    *, reference_kg: float, reference_kpa: float, pressure_kpa: float, exponent: float
) -> float:
    """Load at a pressure from the load at the reference pressure.

    With the exponent 1 it is in proportion: below the reference the lowest of the forms here. More air carries no more.

    Parameters
    ----------
    reference_kg : load at the reference pressure [kg]
    reference_kpa : cold, gauge [kPa]
    pressure_kpa : cold, gauge [kPa]
    exponent : n, 1 unless somebody chooses another [-]

    Returns
    -------
    float: load at that pressure [kg]

    Raises
    ------
    BadValue: a pressure outside 50 to 1000 kPa, a load outside 0 to 20 t, or an exponent outside 0.01 to 1

    Notes
    -----
    Formula: load = reference load · (pressure / reference pressure)ⁿ, at most the reference load
    Source: n = 1: Daws, Inflation Pressures at Less-Than-Maximum Tire Loads (Tire Society 2009), eq. 9;
        0.8 said to be ETRTO's, 0.7 TRA's for light truck tires, 0.5 TRA's for P-metric tires
    Status: published, as quoted by a reader; the powers from memory

    Examples
    --------
    In proportion, by hand: 1000 · 200 / 250 (tests/reference/tire_pressure.csv).

    >>> load_by_power_kg(reference_kg=1000, reference_kpa=250, pressure_kpa=200, exponent=1.0)
    800.0
    """
    check.number("load at the reference pressure", reference_kg, 0.0, 20_000.0, "kg")
    check.number("reference pressure", reference_kpa, LOWEST_KPA, HIGHEST_KPA, "kPa")
    check.number("pressure", pressure_kpa, LOWEST_KPA, HIGHEST_KPA, "kPa")
    check.number("exponent", exponent, 0.01, 1.0, "")
    return float(reference_kg * min(1.0, pressure_kpa / reference_kpa) ** exponent)


def load_from_table_kg(table: tuple[tuple[float, float], ...], pressure_kpa: float) -> float:
    """Load at a pressure, between the rows of a printed table.

    Parameters
    ----------
    table : rows of (pressure [kPa], load [kg]) with rising pressure
    pressure_kpa : cold, gauge [kPa]

    Returns
    -------
    float: load [kg]

    Raises
    ------
    BadValue: no rows, or a pressure outside them: nothing is ever read beyond the first or the last

    Notes
    -----
    Formula: a straight line between neighboring rows
    Source: the load and inflation table of the tire's maker, as the owner copied it
    Status: computed

    Examples
    --------
    By hand: midway between two rows.

    >>> load_from_table_kg(((240.0, 900.0), (280.0, 1000.0)), 260.0)
    950.0
    """
    if not table:
        raise BadValue("load table", "", "has no rows", "copy the maker's printed table")
    low, high = table[0][0], table[-1][0]
    if not low <= pressure_kpa <= high:
        problem = f"kPa is outside the printed table, {low:g} to {high:g} kPa"
        raise BadValue("pressure", pressure_kpa, problem, "choose another relation, or air up")
    for (kpa_a, kg_a), (kpa_b, kg_b) in pairwise(table):
        if kpa_a <= pressure_kpa <= kpa_b:
            return kg_a + (kg_b - kg_a) * (pressure_kpa - kpa_a) / (kpa_b - kpa_a)
    return table[0][1]
