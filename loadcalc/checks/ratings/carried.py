"""What each bar of the carrier and each of its feet carries in a judged loadout, by both ideas of the platform."""

from __future__ import annotations

from dataclasses import dataclass

from loadcalc.checks.ratings.bars import PARTS, bar_key, bars_unjudged
from loadcalc.checks.ratings.report import RatingResult, Report
from loadcalc.model.carrier import Bar


@dataclass(frozen=True, slots=True, kw_only=True)
class Carried:
    """What one bar or foot carries: its rating, and the load by each idea [kg]."""

    rating: RatingResult
    bends_kg: float
    stiff_kg: float

    @property
    def uplift_kg(self) -> float:
        """Pull upward by the worse of the two ideas, 0 when there is none [kg]."""
        return max(0.0, -min(self.bends_kg, self.stiff_kg))


@dataclass(frozen=True, slots=True, kw_only=True)
class BarLoad:
    """One bar with its two feet."""

    bar: Bar
    whole: Carried
    left: Carried
    right: Carried


def bar_loads(report: Report) -> tuple[BarLoad, ...]:
    """What each bar and each foot carries, by both ideas of the platform; nothing where they can't be judged.

    Parameters
    ----------
    report : a judged loadout.

    Returns
    -------
    tuple: one for each bar, front to back [kg].
    """
    carrier = report.shares.loadout.carrier
    if carrier is None or bars_unjudged(carrier):
        return ()
    found = []
    for bar in carrier.bars:
        whole, left, right = (_carried(report, bar_key(bar, part)) for part in PARTS)
        found.append(BarLoad(bar=bar, whole=whole, left=left, right=right))
    return tuple(found)


def _carried(report: Report, key: str) -> Carried:
    loads = [report.loads_kg[row] for row in report.shares.ideas[key]]
    return Carried(rating=report.rating(key), bends_kg=loads[0], stiff_kg=loads[-1])
