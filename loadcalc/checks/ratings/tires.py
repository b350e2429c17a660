"""The tires as ratings: a row for each wheel at its road pressure, and one more for each that is aired down."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from loadcalc.checks.balance import Wheels, wheel_shares
from loadcalc.checks.ratings.masses import Mass
from loadcalc.checks.ratings.row import RatingRow
from loadcalc.checks.tires.inflation import road_limit, trail_limit
from loadcalc.model.limits import ALWAYS, OFF_ROAD, Limit
from loadcalc.model.loadout import Loadout
from loadcalc.model.space import Place
from loadcalc.model.vehicle import Vehicle

WHEELS = (
    "Front left tire",
    "Front right tire",
    "Rear left tire",
    "Rear right tire",
)  # in the order of Wheels


def tire_rows(vehicle: Vehicle, loadout: Loadout) -> tuple[RatingRow, ...]:
    """Each wheel at the pressure its tire has on the road, then each wheel whose tire this loadout airs down."""

    @cache
    def at(place: Place) -> Wheels:
        return shares_of(vehicle, place)

    def on_wheel(corner: int) -> Callable[[Mass], float]:
        return lambda mass: 0.0 if mass.towed else at(mass.place)[corner]

    def row(corner: int, limit: Limit | None, kind: str, name: str, condition: str) -> tuple[RatingRow, ...]:
        if limit is None:
            return ()
        made = RatingRow(
            key=f"{kind}:{Wheels._fields[corner]}",
            name=f"{WHEELS[corner]}{name}",
            group="tire",
            limit=limit,
            condition=condition,
            counts="everything, by place",
            share=on_wheel(corner),
        )
        return (made,)

    road, trail = _on_road(vehicle, loadout), _aired_down(vehicle, loadout)
    return tuple(
        made
        for kind, name, condition, limits in (
            ("tire", "", ALWAYS, road),
            ("trail", ", aired down", OFF_ROAD, trail),
        )
        for corner, limit in enumerate(limits)
        for made in row(corner, limit, kind, name, condition)
    )


def _on_road(vehicle: Vehicle, loadout: Loadout) -> tuple[Limit | None, ...]:
    front = road_limit(vehicle.front_tire, vehicle.body_class, loadout.front_road_kpa)
    rear = road_limit(vehicle.rear_tire, vehicle.body_class, loadout.rear_road_kpa)
    return front, front, rear, rear


def _aired_down(vehicle: Vehicle, loadout: Loadout) -> tuple[Limit | None, ...]:
    """Limits at the trail pressure, None for an axle whose tires are not aired down."""
    front, rear = (
        None if kpa is None else trail_limit(tire, vehicle.body_class, kpa)
        for tire, kpa in ((vehicle.front_tire, loadout.front_kpa), (vehicle.rear_tire, loadout.rear_kpa))
    )
    return front, front, rear, rear


def shares_of(vehicle: Vehicle, place: Place) -> Wheels:
    """What one kilogram at `place` adds to each wheel of this vehicle [kg per kg]."""
    return wheel_shares(
        aft_m=place.aft_m,
        left_m=place.left_m,
        wheelbase_m=vehicle.wheelbase_m,
        front_track_m=vehicle.front_track_m,
        rear_track_m=vehicle.rear_track_m,
        front_roll_share=vehicle.front_roll_share,
    )
