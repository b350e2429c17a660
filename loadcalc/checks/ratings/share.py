"""The share matrix: one row for each rating, one column for each mass, kilograms added per kilogram.

Everything that judges a loadout reads it. `matrix @ mass_kg` is the load on every rating; the same
product with many columns of masses judges many loadouts at once.
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from loadcalc.checks.ratings.margins import Margins
from loadcalc.checks.ratings.masses import Mass, masses
from loadcalc.checks.ratings.row import RatingRow
from loadcalc.checks.ratings.rows import rating_rows
from loadcalc.model.errors import BadValue
from loadcalc.model.loadout import Loadout
from loadcalc.model.vehicle import Vehicle

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import ArrayLike

CHUNK = 4096  # loadouts at a time: the working set stays in the processor's cache


class Shares:
    """The share matrix of one vehicle with one loadout's places.

    Attributes
    ----------
    rows : the ratings, R of them. masses : the masses, M of them.
    mass_kg : (M,) masses as the loadout has them [kg].
    matrix : (R, M) kilograms that one kilogram of a mass adds to a rating [-].
    limit_kg : (R,) limits [kg], nan where not known.

    Masses may change without a new matrix; a move to another place or seat needs a new one.
    """

    def __init__(self, vehicle: Vehicle, loadout: Loadout) -> None:
        import numpy as np

        self.vehicle = vehicle
        self.loadout = loadout
        self.masses: tuple[Mass, ...] = masses(vehicle, loadout)
        self.rows: tuple[RatingRow, ...] = rating_rows(vehicle, loadout)
        self.mass_kg = np.array([mass.mass_kg for mass in self.masses])
        shares = [[row.share(mass) for mass in self.masses] for row in self.rows]
        here = [0.0 if mass.towed else 1.0 for mass in self.masses]  # a trailer stands on its own wheels
        arms = [
            [on * getattr(mass.place, axis) for on, mass in zip(here, self.masses, strict=True)]
            for axis in ("aft_m", "left_m", "up_m")
        ]
        self._stacked = np.array([*shares, here, *arms])
        self.matrix = self._stacked[: len(self.rows)]
        limits = [row.limit.limit_kg for row in self.rows]
        self.limit_kg = np.array([np.nan if limit is None else limit for limit in limits])

    @cached_property
    def columns(self) -> dict[str, tuple[int, ...]]:
        """Where a thing stands in the matrix, by its key; several columns when it rides in several zones."""
        found: dict[str, tuple[int, ...]] = {}
        for index, mass in enumerate(self.masses):
            found[mass.key] = (*found.get(mass.key, ()), index)
        return found

    @cached_property
    def margins(self) -> Margins:
        """How far off each rating's load may be by what is assumed."""
        return Margins(self.vehicle, self.loadout, self.rows, self.masses)

    @cached_property
    def row(self) -> dict[str, int]:
        """Where a rating stands in the matrix, by its key."""
        return {row.key: index for index, row in enumerate(self.rows)}

    @cached_property
    def ideas(self) -> dict[str, tuple[int, ...]]:
        """Which rows stand for each rating, by its key; several where it can be worked out in several ways."""
        found: dict[str, tuple[int, ...]] = {}
        for index, row in enumerate(self.rows):
            found[row.rating_key] = (*found.get(row.rating_key, ()), index)
        return found

    def stacked(self, mass_kg: ArrayLike) -> np.ndarray:
        """Loads [kg], then total mass [kg], then the three moments [kg m], of one loadout: (R + 4,)."""
        return self._stacked.dot(mass_kg)

    def loads_kg(self, mass_kg: ArrayLike) -> np.ndarray:
        """Load on every rating [kg].

        Parameters
        ----------
        mass_kg : (M,) one loadout, or (N, M) many [kg].

        Returns
        -------
        array: (R,) or (N, R) [kg].
        """
        return self._product(mass_kg, self.matrix)

    def consumed(self, mass_kg: ArrayLike) -> np.ndarray:
        """Load over limit for every rating: (R,) or (N, R) [-]; nan where the limit is not known.

        A limit of zero is consumed 0 by nothing and infinitely by anything.
        """
        import numpy as np

        loads = self.loads_kg(mass_kg)
        with np.errstate(divide="ignore", invalid="ignore"):
            loads /= self.limit_kg
        nothing_allowed = self.limit_kg == 0
        loads[..., nothing_allowed] = np.where(loads[..., nothing_allowed] > 0, np.inf, 0.0)
        return loads

    def centers_m(self, mass_kg: ArrayLike) -> np.ndarray:
        """Center of gravity (aft, left, up) [m]: (3,) or (N, 3)."""
        sums = self._product(mass_kg, self._stacked[-4:])
        return sums[..., 1:] / sums[..., :1]

    def _product(self, mass_kg: ArrayLike, matrix: np.ndarray) -> np.ndarray:
        import numpy as np

        given = np.asarray(mass_kg, dtype=float)
        if given.shape[-1:] != (len(self.masses),):
            problem = f"does not end in the {len(self.masses)} masses of this loadout"
            raise BadValue("shape of the masses", given.shape, problem, "give one column for each mass")
        if given.ndim == 1:
            return matrix @ given
        flat = given.reshape(-1, given.shape[-1])
        out = np.empty((len(flat), len(matrix)))
        for start in range(0, len(flat), CHUNK):
            np.matmul(flat[start : start + CHUNK], matrix.T, out=out[start : start + CHUNK])
        return out.reshape(*given.shape[:-1], len(matrix))
