"""The one idea: a rating is a limit, the masses that count, and a weight per kilogram for each of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from loadcalc.checks.balance import Wheels, wheel_shares
from loadcalc.checks.masses import ADDED_KINDS, CARRIER, OCCUPANT_KINDS, Mass
from loadcalc.checks.tires import tire_limit
from loadcalc.model.loadout import Loadout
from loadcalc.model.space import Place
from loadcalc.model.vehicle import CARRIER_LIMITS, UNKNOWN, VEHICLE_LIMITS, Limit, Vehicle

ALWAYS = "at all times"
ROAD, OFF_ROAD, PARKED = "moving on road", "moving off road", "parked"
WHEELS = (
    "Front left tire",
    "Front right tire",
    "Rear left tire",
    "Rear right tire",
)  # in the order of Wheels


@dataclass(frozen=True, slots=True, kw_only=True)
class RatingRow:
    """One rating before any mass is put in.

    key, name : for code and for people; group : "vehicle", "roof", "zone", "tire".
    limit : the most it may be [kg], with where it was read; condition : when it holds.
    counts : what counts against it, in words; share : kilograms that one kilogram of a mass adds [-].
    """

    key: str
    name: str
    group: str
    limit: Limit
    condition: str
    counts: str
    share: Callable[[Mass], float]


def rating_rows(vehicle: Vehicle, loadout: Loadout) -> tuple[RatingRow, ...]:
    """Every rating that this vehicle with this loadout has, known or not, in the order of the rooms."""
    return (
        *_vehicle_rows(vehicle),
        *_roof_rows(vehicle),
        *_carrier_rows(loadout),
        *_zone_rows(loadout),
        *_tire_rows(vehicle),
    )


def _everything(mass: Mass) -> float:
    return 1.0


def _added(mass: Mass) -> float:
    return float(mass.kind in ADDED_KINDS)


def _on_roof(mass: Mass) -> float:
    return float(mass.kind == CARRIER or mass.on_carrier)


def _on_carrier(mass: Mass) -> float:
    return float(mass.on_carrier)


def _on_roof_with_sleepers(mass: Mass) -> float:
    return float(mass.kind == CARRIER or mass.on_carrier or mass.sleeps_on_roof)


def _on_carrier_with_sleepers(mass: Mass) -> float:
    return float(mass.on_carrier or mass.sleeps_on_roof)


def _row(key: str, limit: Limit, condition: str, counts: str, share: Callable[[Mass], float]) -> RatingRow:
    roof = key in CARRIER_LIMITS or key.startswith("roof")
    name = CARRIER_LIMITS.get(key) or VEHICLE_LIMITS[key]
    return RatingRow(
        key=key,
        name=name,
        group="roof" if roof else "vehicle",
        limit=limit,
        condition=condition,
        counts=counts,
        share=share,
    )


def _vehicle_rows(vehicle: Vehicle) -> tuple[RatingRow, ...]:
    wheelbase_m = vehicle.wheelbase_m

    def front(mass: Mass) -> float:
        return 1.0 - mass.place.aft_m / wheelbase_m

    def rear(mass: Mass) -> float:
        return mass.place.aft_m / wheelbase_m

    ahead = "everything, by distance ahead of the rear axle"
    behind = "everything, by distance behind the front axle"
    added = "everyone and everything added to the vehicle"
    return (
        _row("gross", vehicle.limit("gross"), ALWAYS, "the whole vehicle as it stands", _everything),
        _row("front_axle", vehicle.limit("front_axle"), ALWAYS, ahead, front),
        _row("rear_axle", vehicle.limit("rear_axle"), ALWAYS, behind, rear),
        _row("placard", vehicle.limit("placard"), ALWAYS, added, _added),
    )


def _roof_rows(vehicle: Vehicle) -> tuple[RatingRow, ...]:
    standing = "carrier + what stands on it"
    sleeping = "carrier + what stands on it + sleepers"
    return (
        _row("roof_road", vehicle.limit("roof_road"), ROAD, standing, _on_roof),
        _row("roof_off_road", vehicle.limit("roof_off_road"), OFF_ROAD, standing, _on_roof),
        _row("roof_parked", vehicle.limit("roof_parked"), PARKED, sleeping, _on_roof_with_sleepers),
    )


def _carrier_rows(loadout: Loadout) -> tuple[RatingRow, ...]:
    carrier = loadout.carrier
    if carrier is None:
        return ()
    only, sleeping = "only what stands on it", "what stands on it + sleepers"
    return (
        _row("carrier_road", carrier.limit("carrier_road"), ROAD, only, _on_carrier),
        _row("carrier_off_road", carrier.limit("carrier_off_road"), OFF_ROAD, only, _on_carrier),
        _row("carrier_parked", carrier.limit("carrier_parked"), PARKED, sleeping, _on_carrier_with_sleepers),
    )


def _zone_rows(loadout: Loadout) -> tuple[RatingRow, ...]:
    def riding_in(zone_name: str) -> Callable[[Mass], float]:
        return lambda mass: float(mass.zone == zone_name)

    return tuple(
        RatingRow(
            key=f"zone:{zone.name}",
            name=f"Zone: {zone.name}",
            group="zone",
            limit=zone.limit,
            condition=ALWAYS,
            counts="what rides in it",
            share=riding_in(zone.name),
        )
        for zone in loadout.zones
    )


def _tire_rows(vehicle: Vehicle) -> tuple[RatingRow, ...]:
    front = tire_limit(vehicle.front_tire, vehicle.body_class)
    rear = tire_limit(vehicle.rear_tire, vehicle.body_class)
    limits = (front, front, rear, rear)

    @cache
    def at(place: Place) -> Wheels:
        return shares_of(vehicle, place)

    def on_wheel(corner: int) -> Callable[[Mass], float]:
        return lambda mass: at(mass.place)[corner]

    return tuple(
        RatingRow(
            key=f"tire:{key}",
            name=WHEELS[corner],
            group="tire",
            limit=limits[corner],
            condition=ALWAYS,
            counts="everything, by place",
            share=on_wheel(corner),
        )
        for corner, key in enumerate(Wheels._fields)
    )


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


def seats_taken(masses: tuple[Mass, ...]) -> tuple[Mass, ...]:
    """The people and animals that take a seat."""
    return tuple(mass for mass in masses if mass.in_seat and mass.kind in OCCUPANT_KINDS)


__all__ = [
    "ALWAYS",
    "OFF_ROAD",
    "PARKED",
    "ROAD",
    "UNKNOWN",
    "RatingRow",
    "rating_rows",
    "seats_taken",
    "shares_of",
]
