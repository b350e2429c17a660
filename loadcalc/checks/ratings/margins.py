"""Between what and what a rating's load lies by what is assumed of the vehicle's measures.

Every assumed measure may be anywhere within its margin, all of them at once: so the two ends are the least and the most
that the load can be, not what it likely is (that is the margin of error, :mod:`loadcalc.plan.doubt`). Wider margins
give wider ends, and a true value within every margin gives a load between them. Loads run straight over places and
masses, so the ends lie at corners; on the roof's bars, whose shares bend, places between are tried too.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import cached_property
from itertools import product
from typing import TYPE_CHECKING

from loadcalc.checks.ratings.masses import CARRIER, FUEL, VEHICLE, Mass
from loadcalc.checks.ratings.row import RatingRow
from loadcalc.checks.ratings.rows import rating_rows
from loadcalc.model.assumption import half_width
from loadcalc.model.loadout import Loadout
from loadcalc.model.space import Place
from loadcalc.model.vehicle import Vehicle

if TYPE_CHECKING:
    import numpy as np

Share = Callable[[Mass], float]
TRACK_M = (0.8, 3.0)  # what a vehicle's record takes
TRACKS = ("front_track_m", "rear_track_m")
STEPS = 8  # between the ends of a place on the rack, whose bars share it out by curves
NOTHING_KG = 1e-6
CURB, SPLIT, FUELED, TANK = "curb mass", "its split between the axles", "fuel at curb mass", "place of the fuel tank"
TRACK, SEATS, ZONES, RACK = "tracks", "places of seats", "places of zones", "place of the roof rack"


class Margins:
    """The least and the most that each rating's load can be, for any masses of one loadout."""

    def __init__(
        self, vehicle: Vehicle, loadout: Loadout, rows: tuple[RatingRow, ...], masses: tuple[Mass, ...]
    ) -> None:
        self.vehicle, self.loadout, self.rows, self.masses = vehicle, loadout, rows, masses

    @cached_property
    def there(self) -> bool:
        """Whether anything that a load may rest on is assumed."""
        placed = any(m.off_kg or m.aft_off_m or m.left_off_m for m in self.masses)
        return placed or self._tank_off_m > 0 or any(half_width(self.vehicle.assumed, t) for t in TRACKS)

    def ends_kg(self, mass_kg: Sequence[float] | np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """The least and the most of each row [kg].

        Parameters
        ----------
        mass_kg : (M,) masses of the loadout [kg].

        Returns
        -------
        (low, high): (R,) each [kg].
        """
        import numpy as np

        given = np.asarray(mass_kg, dtype=float)
        off = np.array([mass.off_kg for mass in self.masses])
        light, heavy = np.maximum(given - off, 0.0), given + off
        swing = abs(self._tank_kg(given)) * self._tank_swing
        lows, highs = [], []
        for least, most in self._spans:
            highs.append(np.maximum(most * light, most * heavy).sum(axis=1) + swing)
            lows.append(np.minimum(least * light, least * heavy).sum(axis=1) - swing)
        return np.min(lows, axis=0), np.max(highs, axis=0)

    def rests_on(self, row: int, mass_kg: Sequence[float] | np.ndarray) -> tuple[str, ...]:
        """Which assumed measures move a row's load.

        Parameters
        ----------
        row : where it stands; mass_kg : (M,) masses of the loadout [kg].
        """
        import numpy as np

        given = np.asarray(mass_kg, dtype=float)
        found: dict[str, None] = {}
        (least, most), (other_least, other_most) = self._spans[0], self._spans[-1]
        for column, mass in enumerate(self.masses):
            if mass.off_kg and abs(self.rows[row].share(mass)) * mass.off_kg > NOTHING_KG:
                found |= dict.fromkeys(self._of_mass(mass))
            if (most[row, column] - least[row, column]) * given[column] > NOTHING_KG:
                found |= dict.fromkeys(self._of_place(mass))
        if abs(self._tank_kg(given)) * self._tank_swing[row] > NOTHING_KG:
            found[TANK] = None
        if (abs(most[row] - other_most[row]) + abs(least[row] - other_least[row])) @ given > NOTHING_KG:
            found[TRACK] = None
        return tuple(found)

    def _of_mass(self, mass: Mass) -> Iterator[str]:
        assumed = self.vehicle.assumed
        if mass.kind == VEHICLE and half_width(assumed, "curb_kg"):
            yield CURB
        if mass.kind == FUEL or half_width(assumed, "curb_fuel_l"):
            yield FUELED

    def _of_place(self, mass: Mass) -> Iterator[str]:
        if mass.kind != VEHICLE:
            yield RACK if mass.kind == CARRIER else ZONES if mass.zone else SEATS
        elif half_width(self.vehicle.assumed, "curb_aft_m"):
            yield SPLIT

    @cached_property
    def _spans(self) -> list[tuple[np.ndarray, np.ndarray]]:
        """The least and the most share of each mass in each row, once for narrow and once for wide tracks."""
        import numpy as np

        found = []
        for rows in self._rows():
            spans = [[_span(row.share, moved) for moved in self._moved] for row in rows]
            both = np.array(spans).reshape(len(rows), len(self.masses), 2)
            found.append((both[..., 0], both[..., 1]))
        return found

    def _rows(self) -> Iterator[tuple[RatingRow, ...]]:
        offs = {track: half_width(self.vehicle.assumed, track) for track in TRACKS}
        if not any(offs.values()):
            yield self.rows
            return
        for side in (-1.0, 1.0):  # no row knows both tracks, so both may be narrow at once
            front_m, rear_m = (getattr(self.vehicle, track) + side * off for track, off in offs.items())
            tracks = replace(self.vehicle, front_track_m=_track(front_m), rear_track_m=_track(rear_m))
            yield rating_rows(tracks, self.loadout)

    @cached_property
    def _moved(self) -> list[list[Mass]]:
        """Each mass at every place where it may make most or least of a share."""
        return [[replace(mass, place=place) for place in self._places(mass)] for mass in self.masses]

    def _places(self, mass: Mass) -> Iterator[Place]:
        if not (mass.aft_off_m or mass.left_off_m):
            yield mass.place
            return
        on_rack = mass.kind == CARRIER or mass.on_carrier
        steps = STEPS if on_rack and self.loadout.carrier and self.loadout.carrier.bars else 1
        aft = [mass.place.aft_m + mass.aft_off_m * (2 * n / steps - 1) for n in range(steps + 1)]
        left = (mass.place.left_m - mass.left_off_m, mass.place.left_m + mass.left_off_m)
        for aft_m, left_m in product(aft, left):
            yield replace(mass.place, aft_m=min(max(aft_m, -5.0), 20.0), left_m=min(max(left_m, -3.0), 3.0))

    @property
    def _tank_off_m(self) -> float:
        return half_width(self.vehicle.assumed, "tank_aft_m")

    def _tank_kg(self, mass_kg: np.ndarray) -> float:
        """Fuel now less fuel at curb mass: only that acts at the tank's place, the rest was weighed."""
        fuel = next(column for column, mass in enumerate(self.masses) if mass.kind == FUEL)
        return float(mass_kg[fuel]) - self.vehicle.curb_fuel_l * self.vehicle.tank.density_kg_per_l

    @cached_property
    def _tank_swing(self) -> np.ndarray:
        """(R,) how far each row's share of the fuel may be off by the tank's place [-]."""
        import numpy as np

        fuel = next(mass for mass in self.masses if mass.kind == FUEL)
        off = replace(fuel, aft_off_m=self._tank_off_m)
        moved = [replace(fuel, place=place) for place in self._places(off)]
        spans = [_span(row.share, moved) for row in self.rows]
        middle = [row.share(fuel) for row in self.rows]
        return np.array([max(high - at, at - low) for (low, high), at in zip(spans, middle, strict=True)])


def _span(share: Share, moved: list[Mass]) -> tuple[float, float]:
    """The least and the most share of one mass among the places where it may be."""
    found = [share(mass) for mass in moved]
    return min(found), max(found)


def _track(track_m: float) -> float:
    """A track as a vehicle can have it [m]."""
    return min(max(track_m, TRACK_M[0]), TRACK_M[1])
