"""The same outputs as fast as plain NumPy and floats give them: sums by zone, then short formulas."""

from __future__ import annotations

import numpy as np

from loadcalc.checks.ratings.share import Shares
from tests.bench.outputs import Outputs

Lean = tuple[list[float], float, tuple[float, float, float]]


class LeanNumpy:
    """Everything that doesn't depend on the masses is worked out beforehand."""

    def __init__(self, shares: Shares) -> None:
        vehicle, loadout, masses = shares.vehicle, shares.loadout, shares.masses
        self.keys = [row.key for row in shares.rows]
        self.fixed = sum(1 for mass in masses if not mass.zone)
        names = [zone.name for zone in loadout.zones]
        slots = [
            index if not mass.zone else self.fixed + names.index(mass.zone)
            for index, mass in enumerate(masses)
        ]
        self.slot = np.array(slots)
        self.slots = self.fixed + len(names)
        places = [mass.place for mass in masses[: self.fixed]] + [zone.place for zone in loadout.zones]
        self.arms = np.array([[1.0, place.aft_m, place.left_m, place.up_m] for place in places]).T.copy()
        self.on_carrier = [self.fixed + index for index, zone in enumerate(loadout.zones) if zone.on_carrier]
        self.carrier = next(index for index, mass in enumerate(masses) if mass.kind == "carrier")
        self.sleepers = [index for index, mass in enumerate(masses) if mass.sleeps_on_roof]
        self.wheelbase_m = vehicle.wheelbase_m
        self.front_tilt = vehicle.front_roll_share / vehicle.front_track_m
        self.rear_tilt = (1.0 - vehicle.front_roll_share) / vehicle.rear_track_m

    def judge(self, mass_kg: np.ndarray) -> Lean:
        """Loads in the order of the package's rows [kg], total [kg], center [m]."""
        by_slot = np.bincount(self.slot, mass_kg, self.slots)
        total, aft, left, up = self.arms.dot(by_slot).tolist()
        kg = by_slot.tolist()
        rear = aft / self.wheelbase_m
        front = total - rear
        standing = 0.0
        for index in self.on_carrier:
            standing += kg[index]
        parked = standing
        for index in self.sleepers:
            parked += kg[index]
        carrier = kg[self.carrier]
        front_tilt, rear_tilt = left * self.front_tilt, left * self.rear_tilt
        loads = [
            total, front, rear, total - kg[0] - kg[1],
            carrier + standing, carrier + standing, carrier + parked, standing, standing, parked,
            *kg[self.fixed :],
            front / 2 + front_tilt, front / 2 - front_tilt, rear / 2 + rear_tilt, rear / 2 - rear_tilt,
        ]  # fmt: skip
        return loads, total, (aft / total, left / total, up / total)

    def outputs(self, mass_kg: np.ndarray) -> Outputs:
        """The same, by key."""
        loads, total, center = self.judge(mass_kg)
        return Outputs(loads_kg=dict(zip(self.keys, loads, strict=True)), mass_kg=total, center_m=center)
