"""Tie-down formulas of the two published benches, as plain functions. What is made of them stands in restraint.py.

49 CFR 393.100-114 binds commercial carriage and EN 12195-1 binds carriers where it is law; both serve here as a
yardstick only. Sources, and what of them is from memory: docs/restraint.md.
"""

from __future__ import annotations

from math import ceil, cos, radians, sin

from loadcalc.checks.restraint.strapping import GRAVITY
from loadcalc.model import check
from loadcalc.model.straps import DIRECT, OVER, WAYS

FOOT_M, POUND_KG = 0.3048, 0.45359237
FRICTION_PART = 0.75  # of static friction once a direct strap gives: CTU Code (2014), Annex 7, Appendix 2; published
ROUNDING = 1e-9


def tie_downs_needed(*, length_m: float, mass_kg: float, blocked: bool = False) -> int:
    """Fewest tie-downs for an article, by its length and mass.

    Parameters
    ----------
    length_m : of the article, along the vehicle [m]; mass_kg : [kg]; blocked : against forward movement by a headboard.

    Returns
    -------
    int: 49 CFR 393.110. Not blocked: up to 5 ft, 1 (2 over 1,100 lb); up to 10 ft, 2; longer, one more for each further
    10 ft or part. Blocked: one for each 10 ft or part. Read in reproductions.

    >>> tie_downs_needed(length_m=24 * 0.3048, mass_kg=500), tie_downs_needed(length_m=1.5, mass_kg=90)
    (4, 1)
    """
    feet = check.number("length", length_m, 0.0, 30.0, "m") / FOOT_M
    pounds = check.number("mass", mass_kg, 0.0, 20_000.0, "kg") / POUND_KG
    if blocked:
        return max(1, ceil(feet / 10 - ROUNDING))
    if feet <= 5 + ROUNDING:
        return 1 if pounds <= 1100 * (1 + ROUNDING) else 2
    return 2 + max(0, ceil((feet - 10) / 10 - ROUNDING))


def aggregate_limit_kg(*, straps: int, limit_kg: float, way: str) -> float:
    """Working load limit of all tie-downs of an article together.

    Parameters
    ----------
    straps : how many; limit_kg : of each, its weakest part [kg]; way : "over the top" counts whole, "direct" half.

    Returns
    -------
    float: [kg], 49 CFR 393.106(d)(1) and (3), the rule's words read in a reproduction. (d)(2) halves a strap that
    comes back to an anchor on its own side too: enter its limit halved, no way here tells it apart.

    >>> aggregate_limit_kg(straps=2, limit_kg=910.0, way="over the top")
    1820.0
    """
    check.one_of("way", way, WAYS)
    return straps * limit_kg * (0.5 if way == DIRECT else 1.0)


def aggregate_needed_kg(mass_kg: float) -> float:
    """Half of an article's mass: what its tie-downs' limits must add up to (49 CFR 393.106(d)) [kg].

    Parameters
    ----------
    mass_kg : of the article [kg].

    >>> aggregate_needed_kg(80.0)
    40.0
    """
    return check.number("mass", mass_kg, 0.0, 20_000.0, "kg") / 2.0


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

    (c - mu c_z) m g f_s / (2 mu sin(alpha) F_T), EN 12195-1:2010, frictional lashing (formula from memory; two legs
    at full tension and no k-factor read at tis-gdv.de).

    Parameters
    ----------
    acceleration_g : c [g]; friction : mu, over 0 to 1 [-]; mass_kg : m [kg].
    angle_deg : alpha, between strap and bed [deg]; tension_n : F_T, at most the STF of the label [N].
    factor : f_s [-]; down_g : c_z [g].

    Returns
    -------
    float: number of straps; 0 when friction alone is enough against sliding (tie it down all the same).

    >>> load = {"friction": 0.4, "mass_kg": 1000, "angle_deg": 75, "tension_n": 3000}
    >>> needed = straps_over_needed(acceleration_g=0.8, factor=1.25, **load)
    >>> round(needed, 4)
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

    m g (c - mu f_mu c_z) / (n (cos(alpha) cos(beta) + mu f_mu sin(alpha))), f_mu = 0.75 (published); EN 12195-1:2010,
    direct lashing (formula from memory).

    Parameters
    ----------
    acceleration_g : c [g]; friction : mu [-]; mass_kg : m [kg]; angle_deg : alpha, between strap and bed [deg].
    aside_deg : beta, seen from above between the strap and the direction it holds against [deg].
    straps : n, those that pull against this direction; down_g : c_z [g].

    Returns
    -------
    float: [N], to be held against the strap's lashing capacity; infinite when no strap pulls that way.

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
    """Sideways hold by friction: mu (m g + what straps press down) [N].

    Parameters
    ----------
    friction : mu [-]; mass_kg : m [kg]; pressed_n : downward force of the straps [N].

    >>> round(friction_hold_n(friction=0.5, mass_kg=100), 1)
    490.5
    """
    return friction * (mass_kg * GRAVITY + pressed_n)


def pressed_down_n(*, straps: int, angle_deg: float, tension_n: float, way: str) -> float:
    """Downward force of straps at a tension: two legs of each over the top, one of each direct strap [N].

    Parameters
    ----------
    straps : how many; angle_deg : between strap and bed [deg]; tension_n : in each leg [N]; way : see WAYS.

    >>> pressed_down_n(straps=2, angle_deg=90, tension_n=500, way="over the top")
    2000.0
    """
    check.one_of("way", way, WAYS)
    legs = 2 if way == OVER else 1
    return straps * legs * tension_n * sin(radians(angle_deg))


def wind_uplift_n(
    *, area_m2: float, speed_m_per_s: float, coefficient: float, density_kg_per_m3: float = 1.225
) -> float:
    """Lift of the wind on a flat piece: 1/2 rho v^2 C A.

    Parameters
    ----------
    area_m2 : seen from above [m2]; speed_m_per_s : air past the vehicle, its speed and the headwind [m/s].
    coefficient : C, an assumption, see docs/restraint.md [-].
    density_kg_per_m3 : rho, 1.225 at sea level (ISA 1976) [kg/m3].

    Returns
    -------
    float: [N].

    >>> round(wind_uplift_n(area_m2=1.1, speed_m_per_s=30, coefficient=1.0), 3)
    606.375
    """
    check.number("area", area_m2, 0.0, 20.0, "m2")
    check.number("speed", speed_m_per_s, 0.0, 80.0, "m/s")
    check.number("lift coefficient", coefficient, 0.0, 3.0, "")
    return 0.5 * density_kg_per_m3 * speed_m_per_s**2 * coefficient * area_m2
