"""A tied group by 49 CFR 393.100-114: tie-downs counted, their limits added, and the accelerations of 393.102.

The rule binds commercial carriage; here it is a yardstick.
"""

from __future__ import annotations

from math import cos, radians, sin

from loadcalc.checks.restraint.lashing import (
    aggregate_limit_kg,
    aggregate_needed_kg,
    friction_hold_n,
    pressed_down_n,
    tie_downs_needed,
)
from loadcalc.checks.restraint.strapping import CFR, DIRECTIONS, GRAVITY, SIDEWAYS, UP, asked_by, friction_of
from loadcalc.checks.restraint.tied import (
    COUNT,
    PUBLISHED,
    TOGETHER,
    Tied,
    Verdict,
    counted_tension_n,
    friction_lacking,
    limits_lacking,
    settle,
    strap_limit_kg,
)
from loadcalc.model.straps import OVER, Strapping


def by_cfr(tied: Tied) -> tuple[Verdict, ...]:
    """Every verdict of this rule set on a group.

    Parameters
    ----------
    tied : the group and its straps.
    """
    return (_count(tied), _together(tied), *(_cfr(tied, direction) for direction in DIRECTIONS))


def _count(tied: Tied) -> Verdict:
    needed: float | None = None
    lacks: tuple[str, ...] = ("the length of every piece",)
    if tied.length_m is not None:
        blocked = tied.strapping.blocked
        needed = float(tie_downs_needed(length_m=tied.length_m, mass_kg=tied.mass_kg, blocked=blocked))
        lacks = ()
    return settle(
        Verdict(
            rule_set=CFR, what=COUNT, state="", unit="straps", needed=needed,
            given=float(tied.strapping.straps), lacks=lacks,
        )
    )  # fmt: skip


def _together(tied: Tied) -> Verdict:
    strapping, limit_kg = tied.strapping, strap_limit_kg(tied.strapping)
    given = None
    if limit_kg is not None:
        given = aggregate_limit_kg(straps=strapping.straps, limit_kg=limit_kg, way=strapping.way)
    elif not strapping.straps:
        given = 0.0
    return settle(
        Verdict(
            rule_set=CFR, what=TOGETHER, state="", unit="kg", needed=aggregate_needed_kg(tied.mass_kg), given=given,
            lacks=limits_lacking(strapping),
        )
    )  # fmt: skip


def _cfr(tied: Tied, direction: str) -> Verdict:
    """The rule gives accelerations; the sum of friction and pull is plain statics of our own."""
    strapping, asked = tied.strapping, asked_by(CFR, direction)
    assert asked is not None
    friction = friction_of(strapping.surfaces).by_cfr
    needed = asked.acceleration_g * strapping.extra_factor * tied.mass_kg * GRAVITY
    by_friction = 0.0 if direction == UP else friction_hold_n(friction=friction.value, mass_kg=tied.mass_kg)
    status = asked.status if direction == UP or friction.status == PUBLISHED else friction.status
    unsure = () if direction == UP else friction_lacking(strapping)
    pull, lacks = (0.0, ()) if by_friction >= needed else pull_n(strapping, direction, friction.value)
    given = None if pull is None else by_friction + pull
    return settle(
        Verdict(
            rule_set=CFR, what=direction, state="", unit="N", needed=needed, given=given, lacks=(*unsure, *lacks),
            status=status,
        )
    )  # fmt: skip


def pull_n(strapping: Strapping, direction: str, friction: float) -> tuple[float | None, tuple[str, ...]]:
    """What straps add in one direction [N], and what is not known of it.

    Parameters
    ----------
    strapping : how the group is tied down; direction : forward, rearward, sideways, up; friction : mu [-].

    Returns
    -------
    tuple: (force [N] or None, what lacks). Over the top: friction times what the tension presses down; up: that
    itself. Direct: the limit of those straps that pull that way, by their angles.
    """
    lacks = limits_lacking(strapping)
    if not strapping.straps:
        return 0.0, ()
    if strapping.way == OVER:
        tension_n = counted_tension_n(strapping)
        if tension_n is None:
            return None, ("the strap's tension", *lacks)
        pressed_n = pressed_down_n(
            straps=strapping.straps, angle_deg=strapping.angle_deg, tension_n=tension_n, way=strapping.way
        )
        return (pressed_n if direction == UP else friction * pressed_n), lacks
    limit_kg = strap_limit_kg(strapping)
    if limit_kg is None:
        return None, lacks
    return limit_kg * GRAVITY * _reach(strapping, direction), lacks


def _reach(strapping: Strapping, direction: str) -> float:
    """How many straps' worth of pull direct straps give in one direction [-].

    Direct straps come in opposite pairs: half of them, rounded down, hold against any one way.
    """
    angle = radians(strapping.angle_deg)
    if direction == UP:
        return strapping.straps * sin(angle)
    return (strapping.straps // 2) * cos(angle) * cos(radians(off_deg(strapping, direction)))


def off_deg(strapping: Strapping, direction: str) -> float:
    """Angle seen from above between a direct strap and the direction that it holds against [deg].

    Parameters
    ----------
    strapping : how the group is tied down; direction : forward, rearward, sideways.
    """
    return 90.0 - strapping.aside_deg if direction == SIDEWAYS else strapping.aside_deg
