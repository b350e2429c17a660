"""Is a group of things tied down as two published rule sets ask? Needed against given, direction by direction.

A yardstick for planning. 49 CFR 393 binds commercial carriage; EN 12195-1 is not for vehicles of 3,500 kg and less, and
its formulas are from memory here. Neither knows this carrier, these rails, or this road; makers' ratings and local law
come first.
"""

from __future__ import annotations

from loadcalc.checks.restraint.bench_cfr import by_cfr, pull_n
from loadcalc.checks.restraint.bench_en import by_en
from loadcalc.checks.restraint.lashing import wind_uplift_n
from loadcalc.checks.restraint.strapping import GRAVITY, UP
from loadcalc.checks.restraint.tied import FROM_MEMORY, WIND, Tied, Verdict, settle

ROAD_SPEED_M_PER_S = 29.0  # 65 miles an hour, for the wind under what lies flat; common practice, no source
LIFT_COEFFICIENT = (
    1.0  # an assumption, no source: a flat piece that the wind gets under; tilted sheets reach more
)


def judge(
    tied: Tied, *, speed_m_per_s: float = 0.0, lift_coefficient: float = LIFT_COEFFICIENT
) -> tuple[Verdict, ...]:
    """Hold a group against both rule sets, and against the wind when it is flat and a speed is given.

    Parameters
    ----------
    tied : the group and its straps; speed_m_per_s : air past the vehicle, 0 for none [m/s].
    lift_coefficient : of a flat piece, an assumption [-].

    Returns
    -------
    tuple: 49 CFR 393 first, then EN 12195-1, then the wind. Unknown friction takes the lowest of the table; of strap
    and tie point the weaker one counts; what rests on a limit that is not known is never told as covered.
    """
    found = (*by_cfr(tied), *by_en(tied))
    if tied.strapping.flat and speed_m_per_s > 0:
        return (*found, _wind(tied, speed_m_per_s, lift_coefficient))
    return found


def _wind(tied: Tied, speed_m_per_s: float, coefficient: float) -> Verdict:
    needed: float | None = None
    lacks: tuple[str, ...] = ("the size of every piece",)
    if tied.area_m2 is not None:
        needed = wind_uplift_n(area_m2=tied.area_m2, speed_m_per_s=speed_m_per_s, coefficient=coefficient)
        lacks = ()
    weight_n = tied.mass_kg * GRAVITY
    pull, more = pull_n(tied.strapping, UP, 0.0)
    if needed is not None and needed <= weight_n:
        pull, more = pull or 0.0, ()
    return settle(
        Verdict(
            rule_set=WIND, what=UP, state="", unit="N", needed=needed,
            given=None if pull is None else weight_n + pull, lacks=(*lacks, *more), status=FROM_MEMORY,
        )
    )  # fmt: skip
