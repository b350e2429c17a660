"""One invented vehicle and a loadout of any size from a seed: for contact physics and the benchmark."""

from __future__ import annotations

from random import Random

from loadcalc.model import (
    Carrier,
    Filled,
    FuelTank,
    Item,
    Limit,
    Liquid,
    Loadout,
    Occupant,
    Place,
    Seat,
    Size,
    Stowed,
    Tire,
    Vehicle,
    Zone,
)

CRATE = Size(length_m=0.6, width_m=0.4, height_m=0.3)
SEATS = {
    "driver": Place(aft_m=1.35, left_m=0.38, up_m=0.95),
    "front right": Place(aft_m=1.35, left_m=-0.38, up_m=0.95),
    "back left": Place(aft_m=2.2, left_m=0.38, up_m=0.98),
    "back middle": Place(aft_m=2.2, left_m=0.0, up_m=0.98),
    "back right": Place(aft_m=2.2, left_m=-0.38, up_m=0.98),
}


def invented_vehicle(seed: int) -> Vehicle:
    """A vehicle whose every limit is known; measures vary with the seed."""
    random = Random(seed)
    wheelbase_m = random.uniform(2.4, 3.4)
    curb_cg = Place(
        aft_m=wheelbase_m * random.uniform(0.42, 0.52), left_m=random.uniform(-0.05, 0.05), up_m=0.72
    )
    limits = {"gross": 3100, "front_axle": 1500, "rear_axle": 1800, "placard": 800}
    roof = {"roof_road": 120, "roof_off_road": 80, "roof_parked": 320}
    return Vehicle(
        name="invented",
        curb_kg=random.uniform(1900.0, 2500.0),
        curb_cg=curb_cg,
        curb_fuel_l=60.0,
        wheelbase_m=wheelbase_m,
        front_track_m=random.uniform(1.45, 1.65),
        rear_track_m=random.uniform(1.45, 1.65),
        outline=Size(length_m=4.9, width_m=1.9, height_m=1.9),
        front_overhang_m=0.85,
        tank=FuelTank(capacity_l=90.0, density_kg_per_l=0.835, place=Place(aft_m=1.9, left_m=0.2, up_m=0.55)),
        seats=tuple(Seat(name=name, place=place) for name, place in SEATS.items()),
        front_tire=Tire(load_index=112, marking="light truck"),
        rear_tire=Tire(load_index=112),
        limits={key: Limit(limit_kg=float(kg), read_at="invented") for key, kg in (limits | roof).items()},
    )


def invented_loadout(seed: int, items: int = 12, zones: int = 4) -> Loadout:
    """Five people, a carrier, a water can, and that many items in that many zones, a third of them on top."""
    random = Random(seed)
    made = tuple(_zone(random, number, on_carrier=number % 3 == 0) for number in range(zones))
    carrier_limits = {"carrier_road": 90, "carrier_off_road": 60, "carrier_parked": 280}
    can = Liquid(name="water can", container_kg=1.5, capacity_l=20.0, density_kg_per_l=1.0)
    return Loadout(
        name="invented",
        zones=made,
        carrier=Carrier(
            name="platform",
            mass_kg=28.0,
            place=Place(aft_m=1.7, up_m=1.95),
            size=Size(length_m=2.0, width_m=1.3, height_m=0.1),
            limits={key: Limit(limit_kg=float(kg)) for key, kg in carrier_limits.items()},
        ),
        people=tuple(
            Occupant(
                name=seat, mass_kg=random.uniform(50.0, 110.0), seat=seat, sleeps_on_roof=seat == "driver"
            )
            for seat in SEATS
        ),
        gear=tuple(
            Stowed(
                item=Item(name=f"item {number}", mass_kg=random.uniform(0.2, 15.0)),
                zone=random.choice(made).name,
            )
            for number in range(items)
        ),
        liquids=(Filled(liquid=can, zone=made[-1].name, fill_l=random.uniform(0.0, 20.0)),),
        fuel_l=random.uniform(5.0, 90.0),
    )


def _zone(random: Random, number: int, *, on_carrier: bool) -> Zone:
    up_m = random.uniform(2.0, 2.1) if on_carrier else random.uniform(0.6, 1.3)
    place = Place(aft_m=random.uniform(1.0, 4.0), left_m=random.uniform(-0.6, 0.6), up_m=up_m)
    return Zone(
        name=f"zone {number}", place=place, size=CRATE, limit=Limit(limit_kg=100.0), on_carrier=on_carrier
    )
