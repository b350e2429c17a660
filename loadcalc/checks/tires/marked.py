"""What a tire may carry, from its sidewall."""

from __future__ import annotations

from functools import cache

from loadcalc.model.errors import BadValue
from loadcalc.model.facts import fact_rows
from loadcalc.model.limits import Limit
from loadcalc.model.vehicle import BODY_CLASSES, LOAD_INDEXES, Tire

PASSENGER_DIVISOR = (
    1.10  # FMVSS 120 (49 CFR 571.120) S5.1.2, as quoted in NHTSA interpretation nht76-1.47; published
)


@cache
def _table() -> dict[int, float]:
    return {int(row["load_index"]): float(row["load_kg"]) for row in fact_rows("tire_load_index")}


def load_index_kg(load_index: int) -> float:
    """Load that one tire with this load index carries at its marked pressure.

    Parameters
    ----------
    load_index : the number before the speed letter, 50 to 150 [-]

    Returns
    -------
    float: load at the marked pressure [kg]

    Raises
    ------
    BadValue: outside 50 to 150, the rows of the table here

    Notes
    -----
    Formula: the row of the load index in the table
    Source: load index table of ISO 4000-1, ETRTO, and TRA, data/facts/tire_load_index.csv
    Status: corroborated

    Examples
    --------
    The row of index 110 in tests/reference/load_index.csv.

    >>> load_index_kg(110)
    1060.0
    """
    lowest, highest = LOAD_INDEXES
    if load_index not in _table():
        problem = f"is outside the load indexes known here, {lowest} to {highest}"
        raise BadValue(
            "load index", load_index, problem, "read the sidewall again, or use the maker's load in kg"
        )
    return _table()[int(load_index)]


def tire_capacity_kg(load_index: int, *, marking: str, body_class: str) -> float:
    """Load that counts for one tire on this class of vehicle.

    A passenger-marked tire on a pickup, van, bus, trailer, or multipurpose vehicle counts for its load divided by 1.10.

    Parameters
    ----------
    load_index : the number before the speed letter, 50 to 150 [-]
    marking : "passenger" or "light truck"
    body_class : "passenger car" or "light truck"

    Returns
    -------
    float: load at the pressure marked for it [kg]; less air carries less

    Raises
    ------
    BadValue: a load index outside 50 to 150, or a marking or class that is not one of the choices

    Notes
    -----
    Formula: table load; ÷ 1.10 for a passenger-marked tire on a light truck
    Source: FMVSS 120 (49 CFR 571.120) S5.1.2, quoted in NHTSA interpretation nht76-1.47; the table of `load_index_kg`
    Status: corroborated; the divisor is published

    Examples
    --------
    Index 110 by that rule, 1060 kg / 1.10 (tests/reference/tire_derate.csv).

    >>> round(tire_capacity_kg(110, marking="passenger", body_class="light truck"), 1)
    963.6
    """
    if body_class not in BODY_CLASSES:
        choices = ", ".join(BODY_CLASSES)
        raise BadValue("body class", body_class, "is not a known choice", f"choose one of: {choices}")
    Tire(load_index=load_index, marking=marking)
    capacity_kg = load_index_kg(load_index)
    if marking == "passenger" and body_class == "light truck":
        return capacity_kg / PASSENGER_DIVISOR
    return capacity_kg


def tire_limit(tire: Tire, body_class: str) -> Limit:
    """The limit of one wheel by its tire, with where it was read; not known without a load index."""
    if tire.load_index is None:
        return Limit()
    capacity_kg = tire_capacity_kg(tire.load_index, marking=tire.marking, body_class=body_class)
    derated = tire.marking == "passenger" and body_class == "light truck"
    source = f"load index {tire.load_index}" + (", passenger-marked: ÷ 1.10" if derated else "")
    return Limit(limit_kg=capacity_kg, read_at=f"{tire.read_at or 'sidewall'} ({source})")
