"""The published facts that a judgment of tie-downs rests on."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache

from loadcalc.model import check
from loadcalc.model.errors import BadValue
from loadcalc.model.facts import fact_rows

FORWARD, REARWARD, SIDEWAYS, UP = "forward", "rearward", "sideways", "up"
DIRECTIONS = (FORWARD, REARWARD, SIDEWAYS, UP)
CFR, EN = "49 CFR 393", "EN 12195-1"
MAT_SOURCE, MAT_STATUS = "49 CFR 393.108(g)", "corroborated"  # its words read in two reports of it, not in the code
GRAVITY = 9.81  # m/s2, as EN 12195-1 takes it (from memory); the standard gravity is 9.80665


@dataclass(frozen=True, slots=True, kw_only=True)
class Friction:
    """A coefficient of friction [-] with where it is from and how well it is known.

    cfr_at_most : what 49 CFR 393 counts at most, None where it does not say [-].
    """

    surfaces: str
    value: float
    source: str
    status: str
    cfr_at_most: float | None = None

    @property
    def by_cfr(self) -> Friction:
        """The same as 49 CFR 393 counts it: a friction mat without a marking is half of the weight, 393.108(g)."""
        most = self.cfr_at_most
        if most is None or self.value <= most:
            return self
        return replace(self, value=most, source=MAT_SOURCE, status=MAT_STATUS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What a rule set asks in one direction: acceleration [g], weight that presses down [g], safety factor [-]."""

    acceleration_g: float
    down_g: float
    factor: float
    source: str
    status: str


@cache
def friction_pairs() -> dict[str, Friction]:
    """The friction table (CTU Code 2014, Annex 7, Appendix 2; two rows from memory), by pair of surfaces."""
    return {
        row["surfaces"]: Friction(
            surfaces=row["surfaces"],
            value=float(row["friction"]),
            source=row["source"],
            status=row["status"],
            cfr_at_most=float(row["cfr_at_most"]) if row["cfr_at_most"] else None,
        )
        for row in fact_rows("friction_pairs")
    }


def friction_of(surfaces: str) -> Friction:
    """Friction of a pair of surfaces; of an unknown pair, the lowest in the table.

    Parameters
    ----------
    surfaces : a pair from the table, or "" when not known

    Returns
    -------
    Friction: coefficient [-], with its source and status

    Raises
    ------
    BadValue: a pair that is not in the table

    Notes
    -----
    Formula: the row of the pair in the table
    Source: CTU Code (2014), Annex 7, Appendix 2, data/facts/friction_pairs.csv
    Status: published; smooth concrete and the rubber mat from memory

    Examples
    --------
    The lowest of the table, for surfaces that nobody named.

    >>> friction_of("").value
    0.15
    """
    pairs = friction_pairs()
    if surfaces in pairs:
        return pairs[surfaces]
    if surfaces:
        raise BadValue("surfaces", surfaces, "is not in the friction table", "choose one of the table")
    low = min(pairs.values(), key=lambda pair: pair.value)
    return Friction(
        surfaces="not known: the lowest of the table", value=low.value, source=low.source, status=low.status
    )


@cache
def asked_by(rule_set: str, direction: str) -> Asked | None:
    """What a rule set asks in one direction.

    Parameters
    ----------
    rule_set : "49 CFR 393" or "EN 12195-1"
    direction : "forward", "rearward", "sideways", or "up"

    Returns
    -------
    Asked: acceleration [g], weight that presses down [g], and safety factor [-], with source and status; None: nothing

    Raises
    ------
    BadValue: a rule set or a direction that is not one of the choices

    Notes
    -----
    Formula: the row of the rule set and direction in the table
    Source: 49 CFR 393.102; EN 12195-1:2010 on the road; data/facts/securing_accelerations.csv
    Status: published; EN 12195-1 corroborated, its factor 1.25 forward from memory

    Examples
    --------
    49 CFR 393.102(a): 0.435 g in the forward direction.

    >>> asked_by("49 CFR 393", "forward").acceleration_g
    0.435
    """
    for row in fact_rows("securing_accelerations"):
        if (row["rule_set"], row["direction"]) == (rule_set, direction):
            return Asked(
                acceleration_g=float(row["acceleration_g"]),
                down_g=float(row["down_g"] or 1.0),
                factor=float(row["safety_factor"]),
                source=row["source"],
                status=row["status"],
            )
    check.one_of("rule set", rule_set, (CFR, EN))
    check.one_of("direction", direction, DIRECTIONS)
    return None


def unmarked_webbing_kg(width_mm: float) -> float:
    """Working load limit that synthetic webbing without a marking counts for. A marking overrides it.

    Parameters
    ----------
    width_mm : of the webbing; between two widths of the table the narrower one counts [mm]

    Returns
    -------
    float: limit [kg]

    Raises
    ------
    BadValue: narrower than the table's narrowest, 45 mm (1-3/4 in): nothing is known of it without a marking

    Notes
    -----
    Formula: the row of the width in the table
    Source: 49 CFR 393.108, synthetic webbing, data/facts/webbing_limits.csv
    Status: published, in a reproduction

    Examples
    --------
    The row of 2 in: 2,000 lb, printed as 910 kg (tests/reference/webbing_limits.csv).

    >>> unmarked_webbing_kg(50)
    910.0
    """
    table = [(float(row["width_mm"]), float(row["limit_kg"])) for row in fact_rows("webbing_limits")]
    within = [limit_kg for width, limit_kg in table if width <= width_mm]
    check.number("webbing width", width_mm, 0.0, 1000.0, "mm")
    if not within:
        problem = f"mm is narrower than the table's narrowest, {table[0][0]:g} mm"
        raise BadValue("webbing width", width_mm, problem, "use straps with a marked working load limit")
    return max(within)


def weakest_kg(*limits_kg: float | None) -> float | None:
    """The weakest part of a tie-down that is known.

    Parameters
    ----------
    *limits_kg : working load limits of strap, hook, ratchet, tie point, None where not known [kg]

    Returns
    -------
    float: limit [kg]; None when none is known

    Notes
    -----
    Formula: the least of the known limits
    Range: what is not known may be weaker still
    Source: 49 CFR 393.108(a)
    Status: published, in a reproduction

    Examples
    --------
    By that rule: a hook of 250 kg on a strap of 500 kg.

    >>> weakest_kg(500, None, 250)
    250
    """
    known = [limit for limit in limits_kg if limit is not None]
    return min(known) if known else None
