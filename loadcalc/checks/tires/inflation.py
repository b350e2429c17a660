"""What a tire may carry at less than its reference pressure, by a stated relation.

The maker's printed table comes first. Without one, or outside its rows, load falls in proportion to pressure:
the conservative form. Other forms exist; none is used unless somebody chooses it. All pressures are cold
and as a gauge shows them.
"""

from __future__ import annotations

from dataclasses import replace

from loadcalc.checks.tires.marked import PASSENGER_DIVISOR, tire_limit
from loadcalc.checks.tires.relations import (
    BEST,
    CHOICES,
    HIGHEST_KPA,
    LOWEST_KPA,
    RELATIONS,
    Relation,
    load_by_power_kg,
    load_from_table_kg,
)
from loadcalc.model import check
from loadcalc.model.errors import BadValue
from loadcalc.model.limits import Limit
from loadcalc.model.vehicle import Tire

KPA_PER_PSI = 6.894757293168361  # NIST SP 811 App. B.8; corroborated
CAUTION = (
    "Common practice, no source: with less air than the placard drive slowly and not far, the softer the slower; "
    "corner gently, since a soft tire can leave its rim; feel for heat at every stop; and air up to the placard "
    "before the road. The numbers here are for tires standing still."
)


def speed_caution(pressure_kpa: float | None, placard_kpa: float | None) -> str:
    """What to say beside a trail pressure.

    Parameters
    ----------
    pressure_kpa : cold, gauge [kPa], or None when the tires are not aired down.
    placard_kpa : cold pressure on the tire placard [kPa], or None when not known.

    Returns
    -------
    str: the caution (common practice, no source), or "" at the placard's pressure and above.

    >>> speed_caution(240.0, 240.0)
    ''
    """
    if pressure_kpa is None:
        return ""
    if placard_kpa is None:
        return f"The placard's pressure is not known, so this counts as aired down. {CAUTION}"
    return CAUTION if pressure_kpa < placard_kpa * (1 - check.ROUNDING) else ""


def relation_for(tire: Tire, pressure_kpa: float, relation: str = BEST) -> Relation:
    """Which relation holds: the chosen one, or by default the printed table inside its rows, else proportion.

    Parameters
    ----------
    tire : with its printed table, if any; pressure_kpa : cold, gauge [kPa]; relation : one of CHOICES.
    """
    check.one_of("relation of load and pressure", relation, CHOICES)
    if relation != BEST:
        return RELATIONS[relation]
    rows = tire.pressure_table
    inside = bool(rows) and rows[0][0] <= pressure_kpa <= rows[-1][0]
    return RELATIONS["table" if inside else "linear"]


def _divisor(tire: Tire, body_class: str) -> float:
    return PASSENGER_DIVISOR if tire.marking == "passenger" and body_class == "light truck" else 1.0


def capacity_at_kg(tire: Tire, body_class: str, pressure_kpa: float, relation: str = BEST) -> float:
    """What one tire may carry at a pressure.

    Never more than its load index carries; below the first row of its printed table no more
    than that row in proportion to pressure.
    A passenger-marked tire on a light truck counts for its load divided by 1.10 (checks/tires/marked.py).

    Parameters
    ----------
    tire : markings and pressures
    body_class : "passenger car" or "light truck"
    pressure_kpa : cold, gauge [kPa]
    relation : "best known" (the printed table inside its rows, else in proportion), or one of RELATIONS

    Returns
    -------
    float: load of one tire [kg]

    Raises
    ------
    BadValue: load index or reference pressure not known, or a pressure outside 50 to 1000 kPa or the printed table

    Notes
    -----
    Formula: `load_from_table_kg` or `load_by_power_kg`, below a printed table its first row in proportion at most;
        ÷ 1.10 for a passenger-marked tire on a light truck
    Source: the maker's printed table; else P / Pmax = L / Lmax, Daws 2009, eq. 9
    Status: published, as quoted by a reader; the powers from memory

    Examples
    --------
    In proportion, by hand: half of the 1060 kg of index 110 at half the pressure (tests/reference/tire_pressure.csv).

    >>> tire = Tire(load_index=110, marking="light truck", reference_kpa=450.0)
    >>> capacity_at_kg(tire, "light truck", 225.0)
    530.0
    """
    check.number("pressure", pressure_kpa, LOWEST_KPA, HIGHEST_KPA, "kPa")
    used = relation_for(tire, pressure_kpa, relation)
    full_kg = tire_limit(tire, body_class).limit_kg
    rows, divisor = tire.pressure_table, _divisor(tire, body_class)
    if used.key == "table":
        return _no_more_than(full_kg, load_from_table_kg(rows, pressure_kpa) / divisor)
    under_table = bool(rows) and pressure_kpa < rows[0][0]
    if under_table and (full_kg is None or tire.reference_kpa is None):
        return _no_more_than(full_kg, _below_table_kg(rows, pressure_kpa) / divisor)
    if full_kg is None:
        raise BadValue("load index", "", "is not known", "read it on the sidewall")
    if tire.reference_kpa is None:
        cure = "read on the sidewall at which pressure the load holds"
        raise BadValue("reference pressure", "", "is not known", cure)
    load_kg = load_by_power_kg(
        reference_kg=full_kg,
        reference_kpa=tire.reference_kpa,
        pressure_kpa=pressure_kpa,
        exponent=used.exponent,
    )
    if under_table:
        return min(load_kg, _below_table_kg(rows, pressure_kpa) / divisor)
    if rows and pressure_kpa > rows[-1][0]:
        return max(load_kg, min(rows[-1][1] / divisor, full_kg))
    return load_kg


def _below_table_kg(rows: tuple[tuple[float, float], ...], pressure_kpa: float) -> float:
    """Below its first printed row a tire carries that row's load in proportion to pressure, never all of it."""
    return rows[0][1] * pressure_kpa / rows[0][0]


def _no_more_than(most_kg: float | None, load_kg: float) -> float:
    return load_kg if most_kg is None else min(load_kg, most_kg)


def trail_limit(tire: Tire, body_class: str, pressure_kpa: float, relation: str = BEST) -> Limit:
    """The limit of one wheel at a trail pressure, with the relation and its status.

    Parameters
    ----------
    tire : markings and pressures; body_class : "passenger car" or "light truck".
    pressure_kpa : cold, gauge [kPa]; relation : one of CHOICES.

    Returns
    -------
    Limit: [kg]; not known, with the reason in `read_at`, where `capacity_at_kg` refuses.

    >>> tire = Tire(load_index=110, marking="light truck", reference_kpa=450.0)
    >>> trail_limit(tire, "light truck", 225.0).limit_kg
    530.0
    """
    try:
        capacity_kg = capacity_at_kg(tire, body_class, pressure_kpa, relation)
    except BadValue as error:
        return Limit(
            read_at=f"not known at {shown(pressure_kpa)}: {error.field} {error.problem}; {error.cure}"
        )
    used = relation_for(tire, pressure_kpa, relation)
    source = tire_limit(tire, body_class).read_at or tire.read_at or "printed table"
    trail = ", trail only" if tire.placard_kpa is None or pressure_kpa < tire.placard_kpa else ""
    return Limit(
        limit_kg=capacity_kg,
        read_at=f"{source}, at {shown(pressure_kpa)}{trail}: {used.words} ({used.status})",
    )


def shown(pressure_kpa: float) -> str:
    """A pressure in both units, as it stands beside a limit.

    Parameters
    ----------
    pressure_kpa : cold, gauge [kPa].
    """
    return f"{pressure_kpa:.0f} kPa ({pressure_kpa / KPA_PER_PSI:.0f} psi)"


def road_limit(tire: Tire, body_class: str, set_kpa: float | None = None) -> Limit:
    """The limit of one wheel on the road: what its tire carries at the pressure that is in it.

    Without a pressure, or without knowing at which one the load index holds, the marked load stands in, and the limit
    says what it takes for granted.

    Parameters
    ----------
    tire : markings and pressures.
    body_class : "passenger car" or "light truck".
    set_kpa : cold, gauge, for this departure; None: the placard's [kPa].

    Returns
    -------
    Limit: [kg], with its pressure and relation in `read_at`; not known without a load index or a printed table.

    >>> tire = Tire(load_index=110, marking="light truck", reference_kpa=450.0, placard_kpa=300.0)
    >>> round(road_limit(tire, "light truck").limit_kg, 1), road_limit(tire, "light truck", 450.0).limit_kg
    (706.7, 1060.0)
    """
    marked = tire_limit(tire, body_class)
    kpa = set_kpa or tire.placard_kpa
    found = marked if kpa is None else trail_limit(tire, body_class, kpa)
    if marked.limit_kg is None or (kpa is not None and found.limit_kg is not None):
        return found
    holds = "its load index holds at a pressure that nobody entered"
    if tire.reference_kpa is not None:
        holds = f"its load index holds at {shown(tire.reference_kpa)}"
    then = "it has that pressure" if kpa is None else f"{shown(kpa)} is enough for it"
    return replace(marked, assumed=f"{holds}; taken for granted that {then}")


def pressure_needed_kpa(tire: Tire, body_class: str, load_kg: float, relation: str = BEST) -> float:
    """The least pressure at which one tire may carry a load, by the chosen relation; for the trail.

    The inverse of `capacity_at_kg`, by halving the interval, so that both always agree.

    Parameters
    ----------
    tire : markings and pressures
    body_class : "passenger car" or "light truck"
    load_kg : on this wheel [kg]
    relation : "best known" (the printed table inside its rows, else in proportion), or one of RELATIONS

    Returns
    -------
    float: cold, gauge [kPa]; at least 50 kPa, or the first row of a printed table when that is chosen

    Raises
    ------
    BadValue: no pressure carries that load, or what `capacity_at_kg` refuses

    Notes
    -----
    Formula: the least pressure at which `capacity_at_kg` is the load or more
    Source: the maker's printed table; else P / Pmax = L / Lmax, Daws 2009, eq. 9
    Status: published, as quoted by a reader; the powers from memory

    Examples
    --------
    In proportion, by hand: 530 kg is half of what index 110 carries at 450 kPa (tests/reference/tire_pressure.csv).

    >>> tire = Tire(load_index=110, marking="light truck", reference_kpa=450.0)
    >>> round(pressure_needed_kpa(tire, "light truck", 530.0), 6)
    225.0
    """
    check.number("wheel load", load_kg, 0.0, 20_000.0, "kg")
    check.one_of("relation of load and pressure", relation, CHOICES)
    rows = tire.pressure_table
    low, high = (rows[0][0], rows[-1][0]) if relation == "table" and rows else (LOWEST_KPA, _top_kpa(tire))
    most_kg = capacity_at_kg(tire, body_class, high, relation)
    if load_kg > most_kg * (1 + check.ROUNDING):
        problem = f"kg is more than the {most_kg:.0f} kg that this tire carries at any pressure"
        raise BadValue(
            "wheel load", load_kg, problem, "carry less there, or fit tires with a higher load index"
        )
    if capacity_at_kg(tire, body_class, low, relation) >= load_kg:
        return low
    for _ in range(80):
        middle = (low + high) / 2
        enough = capacity_at_kg(tire, body_class, middle, relation) >= load_kg * (1 - check.ROUNDING)
        low, high = (low, middle) if enough else (middle, high)
    return high


def _top_kpa(tire: Tire) -> float:
    """The pressure from which on more air carries no more."""
    tops = [kpa for kpa in (tire.reference_kpa, *(row[0] for row in tire.pressure_table[-1:])) if kpa]
    return max(tops, default=HIGHEST_KPA)
