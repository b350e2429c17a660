"""The doubts of places: where each mass really lies in its zone or seat, and where each zone's middle really is."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from loadcalc.checks.ratings.masses import GEAR, LIQUID, TONGUE, TRAILER, VEHICLE, Mass
from loadcalc.model.assumption import half_width
from loadcalc.plan.assumed import NO_SOURCE
from loadcalc.plan.source import Ground, Source

if TYPE_CHECKING:
    import numpy as np

SIDES = (("aft_m", "length_m"), ("left_m", "width_m"))


def place_sources(ground: Ground, of_masses: list[Source]) -> list[Source]:
    """Every doubt of a place that a rating hears of. Heights are left out: on level ground none does.

    Parameters
    ----------
    ground : the loadout and what is assumed; of_masses : the doubts of its masses, for the product of both.
    """
    return [*_own(ground, of_masses), *_zones(ground)]


def _own(ground: Ground, of_masses: list[Source]) -> Iterator[Source]:
    for column, mass in enumerate(ground.shares.masses):
        if mass.kind in (VEHICLE, TONGUE, TRAILER):  # the vehicle's own center has its doubt with its mass
            continue
        mean_kg, sd_kg = _mean_and_sd_kg(ground, column, of_masses)
        for axis, side in SIDES:
            half_m = max(_half_width_m(ground, column, mass, side), _assumed_m(mass, axis))
            # Mass and place are both in doubt: the variance of their product is (m² + u²) w², not m² w².
            yield Source(
                key=mass.key, name=mass.name, kind="place", half_width=half_m, unit="m",
                status=NO_SOURCE, gradient_kg=math.hypot(mean_kg, sd_kg) * ground.slopes[axis][:, column],
            )  # fmt: skip


def _assumed_m(mass: Mass, axis: str) -> float:
    """How far off the place of a seat or of the rack may be when it is assumed; a zone's is the zone's own doubt."""
    return 0.0 if mass.zone else mass.aft_off_m if axis == "aft_m" else mass.left_off_m


def _half_width_m(ground: Ground, column: int, mass: Mass, side: str) -> float:
    if not mass.zone:
        return ground.assumed.seat_m
    if column in ground.placed:
        return ground.assumed.own_place_m
    return ground.assumed.in_zone_share * getattr(ground.loadout.zone(mass.zone).size, side)


def _mean_and_sd_kg(ground: Ground, column: int, of_masses: list[Source]) -> tuple[float, float]:
    """The middle and the standard deviation of one column's mass by its own doubts; shared ones left out."""
    mass = ground.shares.masses[column]
    mean_kg, variance = mass.mass_kg, 0.0
    for source in of_masses:
        if source.key == mass.key and source.kind in ("mass", "fill"):
            times = _times(ground, column, source)
            mean_kg += times * source.shift
            variance += (times * source.sd) ** 2
    return mean_kg, math.sqrt(variance)


def _times(ground: Ground, column: int, source: Source) -> float:
    """Kilograms in this column for each unit of a doubt: how many pieces, or the density."""
    mass = ground.shares.masses[column]
    if mass.kind == GEAR:
        return float(ground.gear[column].count)
    if source.kind == "fill":
        return (
            ground.liquids[column].liquid.density_kg_per_l
            if mass.kind == LIQUID
            else ground.vehicle.tank.density_kg_per_l
        )
    return 1.0


def _zones(ground: Ground) -> Iterator[Source]:
    """All that rides at a zone's middle moves with it when that was measured wrong."""
    columns: dict[str, list[int]] = {}
    for column, mass in enumerate(ground.shares.masses):
        if mass.zone and column not in ground.placed:
            columns.setdefault(mass.zone, []).append(column)
    for zone, mine in columns.items():
        for axis, _ in SIDES:
            off_m = max(ground.assumed.zone_m, half_width(ground.loadout.zone(zone).assumed, axis))
            gradient: np.ndarray = ground.slopes[axis][:, mine] @ ground.shares.mass_kg[mine]
            yield Source(
                key=f"zone:{zone}", name=f"Middle of {zone}", kind="place", half_width=off_m,
                unit="m", status=NO_SOURCE, gradient_kg=gradient,
            )  # fmt: skip
