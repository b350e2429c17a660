"""The one idea: a rating is a limit, the masses that count, and a weight per kilogram for each of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from loadcalc.checks.ratings.bars import bar_rows
from loadcalc.checks.ratings.hitch import hitch_rows
from loadcalc.checks.ratings.masses import ADDED_KINDS, CARRIER, OCCUPANT_KINDS, Mass
from loadcalc.checks.ratings.row import RatingRow, entered_row
from loadcalc.checks.ratings.tires import tire_rows
from loadcalc.model.limits import ALWAYS, Limit
from loadcalc.model.loadout import Loadout
from loadcalc.model.vehicle import Vehicle

MEASURES = {
    "curb_kg": "curb mass", "wheelbase_m": "wheelbase", "front_track_m": "front track", "rear_track_m": "rear track",
}  # fmt: skip


def rating_rows(vehicle: Vehicle, loadout: Loadout) -> tuple[RatingRow, ...]:
    """Every rating that this vehicle with this loadout has, known or not, in the order of the rooms."""
    found = (
        *_vehicle_rows(vehicle),
        *_roof_rows(vehicle),
        *_carrier_rows(loadout),
        *bar_rows(loadout),
        *hitch_rows(vehicle, loadout),
        *_zone_rows(loadout),
        *tire_rows(vehicle, loadout),
    )
    return tuple(_judged(row, vehicle) for row in found)


def _judged(row: RatingRow, vehicle: Vehicle) -> RatingRow:
    """The row as it is; without its limit, and with what is the matter, when a measure that it needs is not known."""
    lacks = vehicle.not_known(*_needs(row))
    if not lacks or row.unjudged or row.limit.limit_kg is None:
        return row
    named = ", ".join(MEASURES[measure] for measure in lacks)
    unjudged = (f"{named} not entered, so not judged", f"enter {named}")
    return replace(row, limit=Limit(read_at=row.limit.read_at), unjudged=unjudged)


def _needs(row: RatingRow) -> tuple[str, ...]:
    """The vehicle's own measures without which a rating's load can't be said."""
    if row.key in ("gross", "combination"):
        return ("curb_kg",)
    if row.key in ("front_axle", "rear_axle"):
        return ("curb_kg", "wheelbase_m")
    return tuple(MEASURES) if row.group == "tire" else ()


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
