"""Draw the doubts: the chance that any rating is over, and the ratings that the closed form can't be trusted with.

A draw is a whole loadout, so that what is shared is shared: a scale that reads low does so for everything. All
normal doubts together are a few correlated loads, so only those are drawn, not each doubt.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from loadcalc.checks.ratings.report import ROUNDING
from loadcalc.model import check
from loadcalc.model.errors import BadValue
from loadcalc.plan.doubt import CLOSED, DRAWN, Doubt, RatingDoubt
from loadcalc.plan.source import EVEN_SD

if TYPE_CHECKING:
    import numpy as np

DRAWS = 100_000
CHUNK = 8192  # draws at a time: what is worked on stays in the processor's cache
SURE_SD = 6.0  # a load this many standard deviations from its limit is over once in a billion
LEADING = 0.02  # share of a rating's variance from which on a bounded doubt is drawn as such
RANK = 1e-9  # of a correlation's eigenvalues: below it is rounding
INTERVAL_DRAWS = 20_000  # for the interval of one rating; its ends are then good to 1 % of its width


class Drawing:
    """Loads drawn from a doubt's distribution. `add` more of them whenever there is time.

    doubt : what to draw from; seed : of the random numbers, so that a page says the same each time.
    Only ratings within SURE_SD standard deviations of their limit are drawn; the others' outcome is sure.
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
        self._even = _leading(doubt, self._rows)
        self._normal_factor = _normal_factor(doubt.effect_kg[self._rows][:, ~self._even])
        # An even number from 0 to 1 less a half, times this, is the doubt; the halves go into the margin.
        self._even_factor = 2 * EVEN_SD * doubt.effect_kg[self._rows][:, self._even]
        self._margin_kg = (room_kg[self._rows] + self._even_factor.sum(axis=1) / 2)[:, None]
        self._new = np.flatnonzero(~was_over[self._rows])
        self._new_sure = bool((self._sure_over & ~was_over).any())
        self._over = np.zeros(len(self._rows), dtype=np.int64)
        self._any = self._any_new = 0

    @property
    def numbers(self) -> tuple[int, int]:
        """How many normal and how many even random numbers one draw takes."""
        return self._normal_factor.shape[1], self._even_factor.shape[1]

    def numbers_of(self, count: int) -> tuple[np.ndarray, np.ndarray]:
        """Draw the random numbers alone: (k, count) normal ones, (u, count) even ones from 0 to 1."""
        normal, even = self.numbers
        return self._random.standard_normal((normal, count)), self._random.random((even, count))

    def add(self, draws: int = DRAWS) -> None:
        """Draw so many more loadouts."""
        check.number("draws", draws, 1, 1e9, "")
        left = int(draws)
        while left > 0:
            self._chunk(min(CHUNK, left))
            left -= CHUNK

    def _chunk(self, count: int) -> None:
        import numpy as np

        normal, even = self.numbers_of(count)
        sums = self._normal_factor @ normal
        if len(even):
            sums += self._even_factor @ even
        over = sums > self._margin_kg
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
        return [self.rating(row.key) for row in self.doubt.shares.rows]

    def rating(self, key: str) -> RatingDoubt:
        """One rating: by the closed form where that can be trusted, else as drawn."""
        row = self.doubt.row(key)
        if not self.doubt.needs_draws[row]:
            return self.doubt.rating(key)
        low_kg, high_kg = _drawn_interval_kg(self.doubt, row)
        return self.doubt.result(row, low_kg, high_kg, self.chance_over(key), DRAWN)


def _leading(doubt: Doubt, rows: np.ndarray) -> np.ndarray:
    """Which bounded doubts lead in one of these ratings and are drawn as such; the rest join the normal ones."""
    import numpy as np

    square = doubt.effect_kg[rows] ** 2
    whole = square.sum(axis=1, keepdims=True)
    share = np.divide(square, whole, out=np.zeros_like(square), where=whole > 0)
    found: np.ndarray = doubt.even & (share > LEADING).any(axis=0)
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
    """Between which loads nine in ten draws of one rating lie [kg]: its leading bounded doubts, one normal rest."""
    import numpy as np

    even = _leading(doubt, np.array([row]))
    effect = doubt.effect_kg[row]
    random = np.random.default_rng(row)
    drawn = float(np.sqrt((effect[~even] ** 2).sum())) * random.standard_normal(INTERVAL_DRAWS)
    for sd_kg in effect[even]:
        drawn += 2 * EVEN_SD * sd_kg * (random.random(INTERVAL_DRAWS) - 0.5)
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


__all__ = ["CLOSED", "DRAWN", "DRAWS", "Drawing", "draw"]
