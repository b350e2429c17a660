"""Tie-down formulas of the two rule sets, as plain functions. What is made of them: bench_cfr.py and bench_en.py.

49 CFR 393.100-114 binds commercial carriage and EN 12195-1 binds carriers where it is law; both serve here as a
yardstick only. Sources, and what of them is from memory: docs/restraint.md.
"""

from __future__ import annotations

from math import ceil, cos, radians, sin

from loadcalc.checks.restraint.strapping import GRAVITY
from loadcalc.model import check
from loadcalc.model.straps import DIRECT, OVER, WAYS

FOOT_M, POUND_KG = 0.3048, 0.45359237
FRICTION_PART = (
    0.75  # of static friction once a direct strap gives: CTU Code (2014), Annex 7, Appendix 2; published
)
ROUNDING = 1e-9
MOST_KG, MOST_M2 = 1e9, 1e6  # beyond all that a loadout can hold: too much of it is a result, never an error


def tie_downs_needed(*, length_m: float, mass_kg: float, blocked: bool = False) -> int:
    """Fewest tie-downs for an article, by its length and mass.

    Parameters
    ----------
    length_m : of the article, along the vehicle [m]
    mass_kg : of the article [kg]
    blocked : True when a headboard or the like stops it from moving forward

    Returns
    -------
    int: number of tie-downs [-]

    Raises
    ------
    BadValue: a length outside 0 to 30 m, or a mass outside 0 to 1e9 kg

    Notes
    -----
    Formula: not blocked: 1 up to 5 ft and 1,100 lb; 2 up to 10 ft; then 1 more for each further 10 ft or part;
        blocked: 1 for each 10 ft or part
    Source: 49 CFR 393.110(b), (c)
    Status: published, in reproductions

    Examples
    --------
    24 ft by that rule, and the agency's own example of 5 ft and 1,100 lb (tests/reference/tie_down_counts.csv).

    >>> tie_downs_needed(length_m=24 * 0.3048, mass_kg=500), tie_downs_needed(length_m=5 * 0.3048, mass_kg=498.9)
    (4, 1)
    """
    feet = check.number("length", length_m, 0.0, 30.0, "m") / FOOT_M
    pounds = check.number("mass", mass_kg, 0.0, MOST_KG, "kg") / POUND_KG
    if blocked:
        return max(1, ceil(feet / 10 - ROUNDING))
    if feet <= 5 + ROUNDING:
        return 1 if pounds <= 1100 * (1 + ROUNDING) else 2
    return 2 + max(0, ceil((feet - 10) / 10 - ROUNDING))


def aggregate_limit_kg(*, straps: int, limit_kg: float, way: str) -> float:
    """Working load limit of all tie-downs of an article together.

    The rule halves a strap that comes back to an anchor on its own side too, (d)(2): enter its limit halved, no way
    here tells it apart.

    Parameters
    ----------
    straps : how many [-]
    limit_kg : working load limit of each, its weakest part [kg]
    way : "over the top" counts whole, "direct" counts half

    Returns
    -------
    float: limits together [kg]

    Raises
    ------
    BadValue: a way that is not one of the two

    Notes
    -----
    Formula: Σ limits; half for a strap from the article to a tie point
    Range: any number of straps of one kind
    Source: 49 CFR 393.106(d)(1) and (3)
    Status: published, in a reproduction

    Examples
    --------
    Two 2 in straps of 2,000 lb over the top (tests/reference/half_weight.csv), in pounds.

    >>> aggregate_limit_kg(straps=2, limit_kg=2000.0, way="over the top")
    4000.0
    """
    check.one_of("way", way, WAYS)
    return straps * limit_kg * (0.5 if way == DIRECT else 1.0)


def aggregate_needed_kg(mass_kg: float) -> float:
    """What the limits of an article's tie-downs must add up to: half of its mass.

    Parameters
    ----------
    mass_kg : of the article [kg]

    Returns
    -------
    float: limits needed together [kg]

    Raises
    ------
    BadValue: a mass outside 0 to 1e9 kg

    Notes
    -----
    Formula: mass / 2
    Source: 49 CFR 393.106(d)
    Status: published, in a reproduction

    Examples
    --------
    By that rule: a crate of 3,000 lb (tests/reference/half_weight.csv), in pounds.

    >>> aggregate_needed_kg(3000.0)
    1500.0
    """
    return check.number("mass", mass_kg, 0.0, MOST_KG, "kg") / 2.0


def straps_over_needed(
    *,
    acceleration_g: float,
    friction: float,
    mass_kg: float,
    angle_deg: float,
    tension_n: float,
    factor: float,
    down_g: float = 1.0,
) -> float:
    """Straps over the top that hold a load by friction alone, not rounded up.

    Parameters
    ----------
    acceleration_g : c [g]
    friction : μ, 0.01 to 1 [-]
    mass_kg : m [kg]
    angle_deg : α, between strap and bed, 1 to 90 [deg]
    tension_n : T, at most the STF of the label [N]
    factor : fₛ, 1.25 forward, else 1.1 on the road [-]
    down_g : c_z, the weight that presses down [g]

    Returns
    -------
    float: number of straps [-]; 0 when friction alone is enough against sliding (tie it down all the same)

    Raises
    ------
    BadValue: friction, angle, or tension outside its range

    Notes
    -----
    Formula: (c − μ · c_z) · m · g · fₛ / (2 · μ · sin α · T), g = 9.81 m/s²
    Source: EN 12195-1:2010, frictional lashing; two legs at full tension and no k-factor read at tis-gdv.de
    Status: from memory

    Examples
    --------
    Wood on plywood, forward; the formula from memory, the arithmetic by hand (tests/reference/lashing.csv).

    >>> load = {"friction": 0.4, "mass_kg": 1000, "angle_deg": 75, "tension_n": 3000}
    >>> round(straps_over_needed(acceleration_g=0.8, factor=1.25, **load), 4)
    2.1158
    """
    check.number("friction", friction, 0.01, 1.0, "")
    check.number("strap angle", angle_deg, 1.0, 90.0, "degrees from the bed")
    check.number("strap tension", tension_n, 1.0, 1e6, "N")
    lacking = max(0.0, acceleration_g - friction * down_g) * mass_kg * GRAVITY * factor
    return lacking / (2.0 * friction * sin(radians(angle_deg)) * tension_n)


def direct_force_n(
    *,
    acceleration_g: float,
    friction: float,
    mass_kg: float,
    angle_deg: float,
    aside_deg: float,
    straps: int,
    down_g: float = 1.0,
) -> float:
    """Force in each of the direct straps that pull against one direction.

    Parameters
    ----------
    acceleration_g : c [g]
    friction : μ, 0 to 1 [-]
    mass_kg : m [kg]
    angle_deg : α, between strap and bed [deg]
    aside_deg : β, seen from above between the strap and the direction it holds against [deg]
    straps : n, those that pull against this direction [-]
    down_g : c_z, the weight that presses down [g]

    Returns
    -------
    float: to be held against the strap's lashing capacity [N]; infinite when no strap pulls that way

    Raises
    ------
    BadValue: friction outside 0 to 1

    Notes
    -----
    Formula: m · g · (c − 0.75 μ · c_z) / (n · (cos α · cos β + 0.75 μ · sin α)), g = 9.81 m/s²
    Source: EN 12195-1:2010, direct lashing; the 0.75 in CTU Code (2014), Annex 7, Appendix 2
    Status: from memory; the 0.75 published

    Examples
    --------
    Two straps forward; the formula from memory, the arithmetic by hand (tests/reference/lashing.csv).

    >>> force = direct_force_n(acceleration_g=0.8, friction=0.4, mass_kg=1000, angle_deg=45, aside_deg=0, straps=2)
    >>> round(force, 1)
    2668.0
    """
    check.number("friction", friction, 0.0, 1.0, "")
    held = friction * FRICTION_PART
    lacking = max(0.0, acceleration_g - held * down_g) * mass_kg * GRAVITY
    angle, aside = radians(angle_deg), radians(aside_deg)
    pull = straps * (cos(angle) * cos(aside) + held * sin(angle))
    if lacking <= 0.0:
        return 0.0
    return lacking / pull if pull > 1e-12 else float("inf")


def friction_hold_n(*, friction: float, mass_kg: float, pressed_n: float = 0.0) -> float:
    """Sideways hold by friction, of the load's weight and of what straps press down.

    Parameters
    ----------
    friction : μ [-]
    mass_kg : m [kg]
    pressed_n : F, downward force of the straps [N]

    Returns
    -------
    float: hold [N]

    Notes
    -----
    Formula: μ · (m · g + F), g = 9.81 m/s²
    Range: dry surfaces at rest; wet, oily, or icy is lower
    Source: the law of friction
    Status: computed

    Examples
    --------
    By hand: half of 100 kg times 9.81.

    >>> round(friction_hold_n(friction=0.5, mass_kg=100), 1)
    490.5
    """
    return friction * (mass_kg * GRAVITY + pressed_n)


def pressed_down_n(*, straps: int, angle_deg: float, tension_n: float, way: str) -> float:
    """Downward force of straps at a tension: two legs of each over the top, one of each direct strap.

    Parameters
    ----------
    straps : n [-]
    angle_deg : α, between strap and bed [deg]
    tension_n : T, in each leg [N]
    way : "over the top" or "direct"

    Returns
    -------
    float: force downward [N]

    Raises
    ------
    BadValue: a way that is not one of the two

    Notes
    -----
    Formula: over the top 2 · n · T · sin α; direct n · T · sin α
    Range: the same tension in both legs, no loss at the edges
    Source: elementary statics
    Status: computed

    Examples
    --------
    By hand: two straps straight down, four legs of 500 N.

    >>> pressed_down_n(straps=2, angle_deg=90, tension_n=500, way="over the top")
    2000.0
    """
    check.one_of("way", way, WAYS)
    legs = 2 if way == OVER else 1
    return straps * legs * tension_n * sin(radians(angle_deg))


def wind_uplift_n(
    *, area_m2: float, speed_m_per_s: float, coefficient: float, density_kg_per_m3: float = 1.225
) -> float:
    """Lift of the wind on a flat piece.

    Parameters
    ----------
    area_m2 : A, seen from above [m2]
    speed_m_per_s : v, air past the vehicle: its speed and the headwind [m/s]
    coefficient : C, an assumption: 1.0 for a flat piece that the wind gets under, more for a tilted sheet [-]
    density_kg_per_m3 : ρ, 1.225 at sea level [kg/m3]

    Returns
    -------
    float: lift [N]

    Raises
    ------
    BadValue: an area outside 0 to 1e6 m², a speed outside 0 to 80 m/s, or a coefficient outside 0 to 3

    Notes
    -----
    Formula: ½ · ρ · v² · C · A
    Source: dynamic pressure; ρ of ISA 1976 by fluids 1.3.1; C has no source
    Status: computed

    Examples
    --------
    By hand at 30 m/s (tests/reference/wind_force.csv).

    >>> round(wind_uplift_n(area_m2=1.1, speed_m_per_s=30, coefficient=1.0), 3)
    606.375
    """
    check.number("area", area_m2, 0.0, MOST_M2, "m2")
    check.number("speed", speed_m_per_s, 0.0, 80.0, "m/s")
    check.number("lift coefficient", coefficient, 0.0, 3.0, "")
    return 0.5 * density_kg_per_m3 * speed_m_per_s**2 * coefficient * area_m2
