"""The carrier's bars and feet as ratings: a row for each idea of how the platform shares out what stands on it.

Both ideas are straight lines in the masses (checks/mounts), so each is a row; a rating is the worse of its rows. With
two bars both are the lever, and one row is enough.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from loadcalc.checks.mounts.bars import bar_shares, foot_loads_kg
from loadcalc.checks.mounts.beam import check_supports
from loadcalc.checks.ratings.masses import CARRIER, Mass
from loadcalc.checks.ratings.row import RatingRow
from loadcalc.model.assumption import not_known
from loadcalc.model.carrier import Bar, Carrier
from loadcalc.model.errors import BadValue
from loadcalc.model.limits import ALWAYS
from loadcalc.model.loadout import Loadout

BENDS, STIFF = "bends", "stiff"
PARTS = {"": "", "left": ", left foot", "right": ", right foot"}


def bars_unjudged(carrier: Carrier) -> str:
    """Why nothing can be said of a carrier's bars, or "" when it can.

    Parameters
    ----------
    carrier : with the bars that were entered.
    """
    if not carrier.bars:
        return "its bars are not entered"
    if not_known(carrier.assumed, "aft_m"):
        return "where it lies is not entered"
    try:
        check_supports([bar.aft_m for bar in carrier.bars])
    except BadValue as error:
        return f"{error.field} {error.value} {error.problem}"
    return ""


def bar_rows(loadout: Loadout) -> tuple[RatingRow, ...]:
    """Each bar and each of its feet, by each idea of the platform.

    Parameters
    ----------
    loadout : whose carrier it is; none, when it is off or its bars can't be judged.
    """
    carrier = loadout.carrier
    if carrier is None or bars_unjudged(carrier):
        return ()
    ideas = (BENDS,) if len(carrier.bars) == 2 else (BENDS, STIFF)
    return tuple(row for number in range(len(carrier.bars)) for row in _rows(carrier, number, ideas))


def _rows(carrier: Carrier, number: int, ideas: tuple[str, ...]) -> Iterator[RatingRow]:
    bar = carrier.bars[number]
    for part, word in PARTS.items():
        key = bar_key(bar, part)
        for idea in ideas:
            yield RatingRow(
                key=key if idea == BENDS else f"{key} ({idea})",
                rating=key,
                name=f"Roof bar: {bar.name}{word}",
                group="roof",
                limit=bar.foot_limit if part else bar.limit,
                condition=ALWAYS,
                counts="roof rack + what stands on it, by place",
                share=_share(carrier, number, part, stiff=idea == STIFF),
            )


def bar_key(bar: Bar, part: str = "") -> str:
    """The key of a bar's rating, or of one of its feet.

    Parameters
    ----------
    bar : of the carrier; part : "", "left", or "right".
    """
    return f"bar:{bar.name}:{part}" if part else f"bar:{bar.name}"


def _share(carrier: Carrier, number: int, part: str, *, stiff: bool) -> Callable[[Mass], float]:
    bars_m = tuple(bar.aft_m for bar in carrier.bars)
    half_span_m = carrier.bars[number].half_span_m

    def share(mass: Mass) -> float:
        if not (mass.kind == CARRIER or mass.on_carrier):
            return 0.0
        whole = bar_shares(mass.place.aft_m, mass.length_m, bars_m, stiff=stiff)[number]
        if not part:
            return whole
        left, right = foot_loads_kg(whole, whole * mass.place.left_m, half_span_m)
        return left if part == "left" else right

    return share
