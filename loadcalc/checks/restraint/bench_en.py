"""A tied group by EN 12195-1:2010 on the road: over the top by friction, direct by pull. Formulas from memory."""

from __future__ import annotations

from math import ceil

from loadcalc.checks.restraint.bench_cfr import off_deg
from loadcalc.checks.restraint.lashing import direct_force_n, straps_over_needed
from loadcalc.checks.restraint.strapping import DIRECTIONS, EN, GRAVITY, Asked, asked_by, friction_of
from loadcalc.checks.restraint.tied import (
    FROM_MEMORY,
    NOT_ASKED,
    ROUNDING,
    Tied,
    Verdict,
    counted_tension_n,
    friction_lacking,
    limits_lacking,
    settle,
    strap_limit_kg,
)
from loadcalc.model.straps import OVER

SLACK_N = 1.0  # less than that in a strap is not told from nothing


def by_en(tied: Tied) -> tuple[Verdict, ...]:
    """Every verdict of this rule set on a group; it asks nothing upward on the road.

    Parameters
    ----------
    tied : the group and its straps.
    """
    return tuple(_en(tied, direction) for direction in DIRECTIONS)


def _en(tied: Tied, direction: str) -> Verdict:
    asked = asked_by(EN, direction)
    if asked is None:
        return Verdict(rule_set=EN, what=direction, state=NOT_ASKED, status=FROM_MEMORY)
    friction = friction_of(tied.strapping.surfaces).value
    if tied.strapping.way == OVER:
        return _en_over(tied, direction, asked, friction)
    return _en_direct(tied, direction, asked, friction)


def _en_over(tied: Tied, direction: str, asked: Asked, friction: float) -> Verdict:
    strapping = tied.strapping
    needed, tension_n = None, counted_tension_n(strapping) or 0.0
    acceleration_g = asked.acceleration_g * strapping.extra_factor
    by_friction = acceleration_g <= friction * asked.down_g
    if by_friction:
        needed = 0.0
    elif tension_n >= SLACK_N:
        raw = straps_over_needed(
            acceleration_g=acceleration_g, friction=friction, mass_kg=tied.mass_kg, down_g=asked.down_g,
            angle_deg=strapping.angle_deg, tension_n=tension_n, factor=asked.factor,
        )  # fmt: skip
        needed = float(ceil(raw - ROUNDING))
    elif not strapping.straps:
        needed = 1.0  # some strap is needed, however tight
    lacks = friction_lacking(strapping)
    if not by_friction:
        lacks = (*lacks, *(() if tension_n >= SLACK_N else ("the strap's tension",)), *limits_lacking(strapping))
    return settle(
        Verdict(
            rule_set=EN, what=direction, state="", unit="straps", needed=needed, given=float(strapping.straps),
            lacks=lacks, status=FROM_MEMORY,
        )
    )  # fmt: skip


def _en_direct(tied: Tied, direction: str, asked: Asked, friction: float) -> Verdict:
    strapping, limit_kg = tied.strapping, strap_limit_kg(tied.strapping)
    needed = direct_force_n(
        acceleration_g=asked.acceleration_g * strapping.extra_factor, friction=friction, mass_kg=tied.mass_kg,
        angle_deg=strapping.angle_deg, aside_deg=off_deg(strapping, direction), straps=strapping.straps // 2,
        down_g=asked.down_g,
    )  # fmt: skip
    given = None if limit_kg is None else limit_kg * GRAVITY
    if not strapping.straps:
        given = 0.0
    return settle(
        Verdict(
            rule_set=EN, what=direction, state="", unit="N a strap", needed=needed, given=given,
            lacks=(*friction_lacking(strapping), *(limits_lacking(strapping) if needed else ())), status=FROM_MEMORY,
        )
    )  # fmt: skip
