"""One doubt: what is not known exactly, how far off it may be, and what it adds to each rating."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from loadcalc.checks.ratings.masses import GEAR, LIQUID, Mass
from loadcalc.checks.ratings.share import Shares
from loadcalc.checks.weighing.scales import rectangular_u
from loadcalc.model.loadout import Filled, Stowed
from loadcalc.model.space import Place
from loadcalc.plan.assumed import Assumed

if TYPE_CHECKING:
    import numpy as np

NORMAL_90 = (
    1.6448536269514722  # 90 % of a normal distribution lies within so many standard deviations (computed)
)
PROBE_M = 0.01  # shares run straight lines over places; on a deck that bends this near is the slope at the place
WEIGHABLE = ("mass", "fill")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Source:
    """One thing that is not known exactly.

    key, name : of the thing it belongs to; kind : "mass", "fill", "density", "place", or "scale".
    half_width : how far off it may be, `unit`; all values inside are as likely, and none outside.
    shift : its middle against what was entered [unit].
    gradient_kg : what one unit of it adds to each rating [kg per unit]; status : where the half-width is from.
    """

    key: str
    name: str
    kind: str
    half_width: float
    unit: str
    status: str
    gradient_kg: np.ndarray
    shift: float = 0.0

    @property
    def sd(self) -> float:
        """Standard deviation [unit]."""
        return rectangular_u(self.half_width)


class Ground:
    """What the sources of one loadout are worked out from."""

    def __init__(self, shares: Shares, assumed: Assumed) -> None:
        self.shares = shares
        self.assumed = assumed
        self.vehicle, self.loadout = shares.vehicle, shares.loadout

    def kind(self, *kinds: str) -> list[int]:
        """Columns of these kinds of masses."""
        return [column for column, mass in enumerate(self.shares.masses) if mass.kind in kinds]

    @cached_property
    def gear(self) -> dict[int, Stowed]:
        """Each piece of gear by its column."""
        return dict(zip(self.kind(GEAR), self.loadout.gear, strict=True))

    @cached_property
    def liquids(self) -> dict[int, Filled]:
        """Each liquid by its column."""
        return dict(zip(self.kind(LIQUID), self.loadout.liquids, strict=True))

    @cached_property
    def placed(self) -> frozenset[int]:
        """Columns of what has a place of its own instead of its zone's."""
        things: dict[int, Stowed | Filled] = {**self.gear, **self.liquids}
        return frozenset(column for column, thing in things.items() if thing.place is not None)

    @cached_property
    def slopes(self) -> dict[str, np.ndarray]:
        """How the share of each mass changes when it is moved aft or left: (R, M) [kg per kg and m]."""
        import numpy as np

        masses = self.shares.masses
        return {a: np.array([self.slope(mass, a) for mass in masses]).T for a in ("aft_m", "left_m")}

    def share(self, mass: Mass) -> np.ndarray:
        """What one kilogram of a mass adds to each rating, wherever it is put [kg per kg]."""
        import numpy as np

        return np.array([row.share(mass) for row in self.shares.rows])

    def slope(self, mass: Mass, axis: str) -> np.ndarray:
        """How that changes when the mass is moved aft or left [kg per kg and m]."""
        at = getattr(mass.place, axis)
        step = -PROBE_M if at > 0 else PROBE_M
        arms = {name: getattr(mass.place, name) for name in ("aft_m", "left_m", "up_m")}
        moved = replace(mass, place=Place(**{**arms, axis: at + step}))
        return (self.share(moved) - self.share(mass)) / step
