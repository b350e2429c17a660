"""How sure is each rating? Its 90 % interval and its chance of being over, and what to weigh first.

Each doubt is an even spread over its ± (loadcalc.checks.weighing.scales). The loads are straight lines in all that is
doubted, so a rating's variance is a sum of squares, and with many doubts of like size its distribution is normal.
Where one doubt makes up too much of it, it isn't: then `needs_draws` says so, and :mod:`loadcalc.plan.draws` draws it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from loadcalc.checks.ratings.report import ROUNDING
from loadcalc.checks.ratings.row import RatingRow
from loadcalc.checks.ratings.share import Shares
from loadcalc.checks.weighing.scales import EVEN_HALF_WIDTH
from loadcalc.model import check
from loadcalc.model.errors import NotFound
from loadcalc.plan.assumed import Assumed
from loadcalc.plan.source import NORMAL_90, WEIGHABLE, Ground, Source
from loadcalc.plan.source_masses import mass_sources
from loadcalc.plan.source_places import place_sources

if TYPE_CHECKING:
    import numpy as np

EVEN_KURTOSIS = -1.2  # of an even spread, against 0 of a normal one (computed)
# A quarter of the variance in one even doubt gives -1.2 / 16: the chance is then off by 0.2 points at most (the first
# term of Edgeworth's series is kurtosis / 24 · (z³ - 3 z) · φ(z), and that is 0.55 · kurtosis / 24 at most; computed).
MOST_KURTOSIS = 0.075
CLOSED, DRAWN = "formula", "simulation"


@dataclass(frozen=True, slots=True, kw_only=True)
class RatingDoubt:
    """One rating with its doubt.

    load_kg : as entered; mean_kg : as expected; low_kg, high_kg : nine in ten lie between them [kg].
    limit_kg : [kg] or None; chance_over : 0 to 1, None without a limit; method : CLOSED or DRAWN.
    """

    key: str
    name: str
    load_kg: float
    mean_kg: float
    low_kg: float
    high_kg: float
    limit_kg: float | None
    chance_over: float | None
    method: str

    @property
    def in_doubt(self) -> bool:
        """Whether the limit lies inside the interval."""
        return self.limit_kg is not None and self.low_kg < self.limit_kg < self.high_kg


@dataclass(frozen=True, slots=True, kw_only=True)
class Worth:
    """What it is worth to weigh one thing: how much narrower one rating's interval would be.

    narrower_kg : taken off half the width of its interval [kg]; share : of its variance [-]; plus_minus_kg : the
    thing's own ± as it counts against that rating [kg]; status : where that ± is from.
    """

    key: str
    name: str
    narrower_kg: float
    share: float
    plus_minus_kg: float
    status: str


class Doubt:
    """The doubts of one loadout, in closed form.

    Attributes
    ----------
    shares : the share matrix. sources : all doubts, S of them. load_kg : (R,) loads as entered [kg].
    mean_kg, sd_kg : (R,) mean and standard deviation of each rating's load [kg].
    effect_kg : (R, S) what one standard deviation of each doubt adds [kg].
    kurtosis : (R,) excess kurtosis: near 0 where a load is normal, below it where few doubts lead.
    """

    def __init__(self, shares: Shares, assumed: Assumed | None = None) -> None:
        import numpy as np

        ground = Ground(shares, assumed or Assumed())
        masses = mass_sources(ground)
        found = [source for source in (*masses, *place_sources(ground, masses)) if source.half_width > 0]
        self.shares = shares
        self.assumed = ground.assumed
        self.sources: tuple[Source, ...] = tuple(s for s in found if s.gradient_kg.any())
        rows = len(shares.rows)
        gradient_kg = np.array([source.gradient_kg for source in self.sources]).T.reshape(rows, -1)
        self.load_kg = shares.matrix @ shares.mass_kg
        self.mean_kg = self.load_kg + gradient_kg @ np.array([source.shift for source in self.sources])
        self.effect_kg = gradient_kg * np.array([source.sd for source in self.sources])
        variance = (self.effect_kg**2).sum(axis=1)
        self.sd_kg = np.sqrt(variance)
        fourth = EVEN_KURTOSIS * (self.effect_kg**4).sum(axis=1)
        self.kurtosis = np.divide(fourth, variance**2, out=np.zeros(rows), where=variance > 0)

    @cached_property
    def needs_draws(self) -> np.ndarray:
        """(R,) whether few doubts make up too much of a rating for the closed form to be trusted."""
        found: np.ndarray = abs(self.kurtosis) > MOST_KURTOSIS
        return found

    def chance_over(self, row: int) -> float | None:
        """Chance that a rating is over, by the closed form; None without a limit.

        Parameters
        ----------
        row : where the rating stands in the share matrix.

        Returns
        -------
        float: 1 - Φ((limit - mean) / sd) [-]; 0 or 1 when nothing of it is in doubt.
        """
        limit_kg, mean_kg, sd_kg = (float(a[row]) for a in (self.shares.limit_kg, self.mean_kg, self.sd_kg))
        if math.isnan(limit_kg):
            return None
        if sd_kg == 0:
            return float(mean_kg > limit_kg * (1 + ROUNDING))
        return 0.5 * math.erfc((limit_kg - mean_kg) / sd_kg / math.sqrt(2))

    def rating(self, key: str) -> RatingDoubt:
        """One rating by the closed form, whether that can be trusted or not (`needs_draws`)."""
        row = self.row(key)
        half_kg = NORMAL_90 * float(self.sd_kg[row])
        mean_kg = float(self.mean_kg[row])
        return self.result(row, mean_kg - half_kg, mean_kg + half_kg, self.chance_over(row), CLOSED)

    def result(
        self, row: int, low_kg: float, high_kg: float, chance: float | None, method: str
    ) -> RatingDoubt:
        """Put one rating's numbers together.

        Parameters
        ----------
        row : where it stands; low_kg, high_kg : its interval [kg]; chance : of being over [-]; method : how found.
        """
        rating: RatingRow = self.shares.rows[row]
        return RatingDoubt(
            key=rating.rating_key,
            name=rating.name,
            load_kg=float(self.load_kg[row]),
            mean_kg=float(self.mean_kg[row]),
            low_kg=low_kg,
            high_kg=high_kg,
            limit_kg=rating.limit.limit_kg,
            chance_over=chance,
            method=method,
        )

    def row(self, key: str) -> int:
        """Where a rating's worst row stands in the share matrix. Raises NotFound; seats are counted, not weighed."""
        if key not in self.shares.ideas:
            raise NotFound("rating with a margin of error", key, tuple(self.shares.ideas))
        return max(self.shares.ideas[key], key=lambda row: float(self.mean_kg[row] + self.sd_kg[row]))

    def weigh_first(self, key: str, most: int = 3) -> list[Worth]:
        """Rank the things by how much narrower a rating would be if they were weighed without a doubt.

        Parameters
        ----------
        key : the rating; most : how long a list.

        Returns
        -------
        list: half-width now minus half-width without the thing's own doubt [kg], largest first. What several
        things share (a scale's bias, a density) and where they lie is not taken away by weighing one of them.
        """
        check.number("length of the list", most, 1, 1000, "")
        variance = self.effect_kg[self.row(key)] ** 2
        whole = float(variance.sum())
        mine: dict[str, list[int]] = {}
        for index, source in enumerate(self.sources):
            if source.kind in WEIGHABLE and variance[index] > 0:
                mine.setdefault(source.key, []).append(index)
        worth = [self._worth(found, float(variance[found].sum()), whole) for found in mine.values()]
        return sorted(worth, key=lambda w: -w.narrower_kg)[:most]

    def _worth(self, found: list[int], part: float, whole: float) -> Worth:
        first = max((self.sources[index] for index in found), key=lambda s: s.half_width)
        return Worth(
            key=first.key,
            name=first.name,
            narrower_kg=NORMAL_90 * (math.sqrt(whole) - math.sqrt(max(whole - part, 0.0))),
            share=part / whole,
            plus_minus_kg=EVEN_HALF_WIDTH * math.sqrt(part),
            status=first.status,
        )
