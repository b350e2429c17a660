"""Draw the doubts: the chance that any rating is over, and the ratings that the closed form can't be trusted with.

A draw is a whole loadout, so that what is shared is shared: a scale that reads low does so for everything. The doubts
that lead a rating are drawn evenly, each by itself. The many small ones together are as good as normal (the central
limit theorem), and normal doubts together are a few correlated loads, so only those are drawn.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from loadcalc.checks.ratings.report import ROUNDING
from loadcalc.checks.weighing.scales import EVEN_HALF_WIDTH
from loadcalc.model import check
from loadcalc.model.errors import BadValue
from loadcalc.plan.doubt import DRAWN, EVEN_KURTOSIS, Doubt, RatingDoubt

if TYPE_CHECKING:
    import numpy as np

DRAWS = 100_000
CHUNK = 2048  # draws at a time: what is worked on stays in the processor's cache, in memory that is used again
SURE_SD = 6.0  # a load this many standard deviations from its limit is over once in a billion
REST_BEND = 0.05  # of the small doubts that are drawn as normal, see _leading: 0.04 points of a chance at most
RANK = 1e-9  # of a correlation's eigenvalues: below it is rounding
INTERVAL_DRAWS = 20_000  # for the interval of one rating; its ends are then good to 1 % of its width


class Drawing:
    """Loads drawn from a doubt's distribution. `add` more of them whenever there is time.

    doubt : what to draw from; seed : of the random numbers, so that a page says the same each time.
    numbers : how many normal and how many even random numbers one draw takes.
    Only ratings within SURE_SD standard deviations of their limit are drawn; the others' outcome is sure. What is drawn
    is how far off a load is, in single precision: that is good to a hundredth of a gram in a hundred kilograms.
    """

    def __init__(self, doubt: Doubt, seed: int = 1) -> None:
        import numpy as np

        self.doubt = doubt
        self.draws = 0
        self._random = np.random.default_rng(seed)
        known = ~np.isnan(doubt.shares.limit_kg)
        limit_kg = np.where(known, doubt.shares.limit_kg * (1 + ROUNDING), np.inf)
        room_kg = limit_kg - doubt.mean_kg
        was_over = doubt.load_kg > limit_kg
        open_ = known & (abs(room_kg) <= SURE_SD * doubt.sd_kg) & (doubt.sd_kg > 0)
        self._sure_over = known & ~open_ & (room_kg < 0)
        self._rows = np.flatnonzero(open_)
        even = _leading(doubt, self._rows)
        effect_kg = doubt.effect_kg[self._rows]
        normal_factor = _normal_factor(effect_kg[:, ~even])
        # An even number from 0 to 1 less a half, times this, is the doubt; the halves go into the margin.
        even_factor = 2 * EVEN_HALF_WIDTH * effect_kg[:, even]
        self.numbers = normal_factor.shape[1], even_factor.shape[1]
        self._factor = np.hstack([normal_factor, even_factor]).astype(np.float32)
        self._margin_kg = (room_kg[self._rows] + even_factor.sum(axis=1) / 2).astype(np.float32)[:, None]
        self._new = np.flatnonzero(~was_over[self._rows])
        self._new_sure = bool((self._sure_over & ~was_over).any())
        self._over = np.zeros(len(self._rows), dtype=np.int64)
        self._any = self._any_new = 0
        self._intervals: dict[int, tuple[float, float]] = {}

    def numbers_of(self, count: int) -> np.ndarray:
        """Draw the random numbers alone: (k + u, count), k normal ones, then u even ones from 0 to 1."""
        import numpy as np

        normal, even = self.numbers
        found = np.empty((normal + even, count), dtype=np.float32)
        self._random.standard_normal(out=found[:normal], dtype=np.float32)
        self._random.random(out=found[normal:], dtype=np.float32)
        return found

    def add(self, draws: int = DRAWS) -> None:
        """Draw so many more loadouts."""
        check.number("draws", draws, 1, 1e9, "")
        left = int(draws)
        while left > 0:
            self._chunk(min(CHUNK, left))
            left -= CHUNK

    def _chunk(self, count: int) -> None:
        import numpy as np

        over = self._factor @ self.numbers_of(count) > self._margin_kg
        self._over += np.count_nonzero(over, axis=1)
        self._any += int(np.count_nonzero(np.logical_or.reduce(over, axis=0)))
        self._any_new += int(np.count_nonzero(np.logical_or.reduce(over[self._new], axis=0)))
        self.draws += count

    @property
    def any_over(self) -> float:
        """Chance that at least one rating is over [-]."""
        return 1.0 if self._sure_over.any() else self._share(self._any)

    @property
    def any_new_over(self) -> float:
        """Chance that at least one of the ratings is over that are within their limits as entered [-]."""
        return 1.0 if self._new_sure else self._share(self._any_new)

    def _share(self, count: int) -> float:
        if self.draws == 0:
            raise BadValue("draws", 0, "tell nothing", "add some")
        return count / self.draws

    def standard_error(self, chance: float) -> float:
        """How far off a drawn chance may be, as one standard error [-]: sqrt(p (1 - p) / draws)."""
        return math.sqrt(max(chance * (1 - chance), 1 / self.draws) / self.draws)

    def chance_over(self, key: str) -> float | None:
        """Chance that one rating is over, as drawn [-]; None without a limit."""
        row = self.doubt.row(key)
        if math.isnan(self.doubt.shares.limit_kg[row]):
            return None
        found = (self._rows == row).nonzero()[0]
        return self._share(int(self._over[found[0]])) if len(found) else float(self._sure_over[row])

    @property
    def ratings(self) -> list[RatingDoubt]:
        """Every rating in kilograms, in the order of the share matrix."""
        return [self.rating(key) for key in self.doubt.shares.ideas]

    def rating(self, key: str) -> RatingDoubt:
        """One rating: by the closed form where that can be trusted, else as drawn."""
        row = self.doubt.row(key)
        if not self.doubt.needs_draws[row]:
            return self.doubt.rating(key)
        if row not in self._intervals:
            self._intervals[row] = _drawn_interval_kg(self.doubt, row)
        low_kg, high_kg = self._intervals[row]
        return self.doubt.result(row, low_kg, high_kg, self.chance_over(key), DRAWN)


def _leading(doubt: Doubt, rows: np.ndarray) -> np.ndarray:
    """Which doubts lead in one of these ratings and are drawn evenly.

    The rest, the smallest ones, are as many as together are as good as normal: their standard deviation against the
    rating's, times their excess kurtosis, is REST_BEND at most. One even doubt beside a leading one, the worst case,
    then moves no chance by more than 0.0085 times that (computed, by integrating both).
    """
    import numpy as np

    square = doubt.effect_kg[rows] ** 2
    whole = square.sum(axis=1, keepdims=True)
    share = np.divide(square, whole, out=np.zeros_like(square), where=whole > 0)
    smallest_first = np.argsort(share, axis=1)
    ordered = np.take_along_axis(share, smallest_first, axis=1)
    rest, fourth = ordered.cumsum(axis=1), (ordered**2).cumsum(axis=1)
    bend = abs(EVEN_KURTOSIS) * np.divide(fourth, rest**1.5, out=np.zeros_like(rest), where=rest > 0)
    # The first of the small ones with which, and with all larger ones, they are no longer normal.
    first = [int(np.flatnonzero(row)[-1]) + 1 if row.any() else 0 for row in bend <= REST_BEND]
    found: np.ndarray = np.zeros(share.shape[1], dtype=bool)
    for row, start in enumerate(first):
        found[smallest_first[row, start:]] = True
    return found


def _normal_factor(effect_kg: np.ndarray) -> np.ndarray:
    """(rows, k) how k independent normal numbers make the correlated loads of these doubts [kg]."""
    import numpy as np

    covariance = effect_kg @ effect_kg.T
    sd = np.sqrt(np.diag(covariance))
    scale = np.where(sd > 0, sd, 1.0)
    size, turn = np.linalg.eigh(covariance / np.outer(scale, scale))
    keep = size > RANK * max(float(size.max(initial=0.0)), RANK)
    found: np.ndarray = scale[:, None] * turn[:, keep] * np.sqrt(size[keep])
    return found


def _drawn_interval_kg(doubt: Doubt, row: int) -> tuple[float, float]:
    """Between which loads nine in ten draws of one rating lie [kg]: its leading doubts evenly, one normal rest."""
    import numpy as np

    even = _leading(doubt, np.array([row]))
    effect = doubt.effect_kg[row]
    random = np.random.default_rng(row)
    drawn = float(np.sqrt((effect[~even] ** 2).sum())) * random.standard_normal(INTERVAL_DRAWS)
    for sd_kg in effect[even]:
        drawn += 2 * EVEN_HALF_WIDTH * sd_kg * (random.random(INTERVAL_DRAWS) - 0.5)
    low, high = np.quantile(drawn, (0.05, 0.95))
    return float(doubt.mean_kg[row] + low), float(doubt.mean_kg[row] + high)


def draw(doubt: Doubt, draws: int = DRAWS, seed: int = 1) -> Drawing:
    """Draw so many loadouts at once.

    Parameters
    ----------
    doubt : what to draw from; draws : how many; seed : of the random numbers.
    """
    drawing = Drawing(doubt, seed)
    drawing.add(draws)
    return drawing
