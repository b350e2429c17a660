"""The one idea: a rating is a limit, the masses that count, and a weight per kilogram for each of them."""

from __future__ import annotations

from collections.abc import Callable

from loadcalc.checks.ratings.bars import bar_rows
from loadcalc.checks.ratings.hitch import hitch_rows
from loadcalc.checks.ratings.masses import ADDED_KINDS, CARRIER, OCCUPANT_KINDS, Mass
from loadcalc.checks.ratings.row import RatingRow, entered_row
from loadcalc.checks.ratings.tires import tire_rows
from loadcalc.model.limits import ALWAYS
from loadcalc.model.loadout import Loadout
from loadcalc.model.vehicle import Vehicle


def rating_rows(vehicle: Vehicle, loadout: Loadout) -> tuple[RatingRow, ...]:
    """Every rating that this vehicle with this loadout has, known or not, in the order of the rooms."""
    return (
        *_vehicle_rows(vehicle),
        *_roof_rows(vehicle),
        *_carrier_rows(loadout),
        *bar_rows(loadout),
        *hitch_rows(vehicle, loadout),
        *_zone_rows(loadout),
        *tire_rows(vehicle, loadout),
    )


def _everything(mass: Mass) -> float:
    return float(not mass.towed)


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


def _vehicle_rows(vehicle: Vehicle) -> tuple[RatingRow, ...]:
    wheelbase_m = vehicle.wheelbase_m

    def front(mass: Mass) -> float:
        return 0.0 if mass.towed else 1.0 - mass.place.aft_m / wheelbase_m

    def rear(mass: Mass) -> float:
        return 0.0 if mass.towed else mass.place.aft_m / wheelbase_m

    ahead = "everything, by distance ahead of the rear axle"
    behind = "everything, by distance behind the front axle"
    added = "everyone and everything added to the vehicle"
    return (
        entered_row("gross", vehicle.limit("gross"), "the whole vehicle as it stands", _everything),
        entered_row("front_axle", vehicle.limit("front_axle"), ahead, front),
        entered_row("rear_axle", vehicle.limit("rear_axle"), behind, rear),
        entered_row("placard", vehicle.limit("placard"), added, _added),
    )


def _roof_rows(vehicle: Vehicle) -> tuple[RatingRow, ...]:
    standing = "roof rack + what stands on it"
    sleeping = "roof rack + what stands on it + sleepers"
    return (
        entered_row("roof_road", vehicle.limit("roof_road"), standing, _on_roof),
        entered_row("roof_off_road", vehicle.limit("roof_off_road"), standing, _on_roof),
        entered_row("roof_parked", vehicle.limit("roof_parked"), sleeping, _on_roof_with_sleepers),
    )


def _carrier_rows(loadout: Loadout) -> tuple[RatingRow, ...]:
    carrier = loadout.carrier
    if carrier is None:
        return ()
    only, sleeping = "only what stands on it", "what stands on it + sleepers"
    return (
        entered_row("carrier_road", carrier.limit("carrier_road"), only, _on_carrier),
        entered_row("carrier_off_road", carrier.limit("carrier_off_road"), only, _on_carrier),
        entered_row("carrier_parked", carrier.limit("carrier_parked"), sleeping, _on_carrier_with_sleepers),
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


def seats_taken(masses: tuple[Mass, ...]) -> tuple[Mass, ...]:
    """The people and animals that take a seat."""
    return tuple(mass for mass in masses if mass.in_seat and mass.kind in OCCUPANT_KINDS)
