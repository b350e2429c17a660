"""One small invented case with round numbers, for working by hand."""

from loadcalc.model import (
    Carrier,
    Filled,
    FuelTank,
    Item,
    Liquid,
    Loadout,
    Occupant,
    Place,
    Seat,
    Size,
    Stowed,
    Vehicle,
    Zone,
)

SIZE = Size(length_m=1.0, width_m=1.0, height_m=0.5)
VEHICLE = Vehicle(
    name="hand case",
    curb_kg=2000.0,
    curb_cg=Place(aft_m=1.2, up_m=0.7),
    wheelbase_m=3.0,
    front_track_m=1.5,
    rear_track_m=1.5,
    outline=Size(length_m=4.8, width_m=1.9, height_m=1.9),
    front_overhang_m=0.8,
    tank=FuelTank(capacity_l=100.0, density_kg_per_l=0.8, place=Place(aft_m=2.4, up_m=0.5)),
    seats=(
        Seat(name="driver", place=Place(aft_m=1.2, left_m=0.4, up_m=0.9)),
        Seat(name="back right", place=Place(aft_m=2.1, left_m=-0.4, up_m=0.9)),
        Seat(name="back left", place=Place(aft_m=2.1, left_m=0.4, up_m=0.9)),
    ),
)
PLATFORM = Zone(name="platform", place=Place(aft_m=1.5, up_m=2.0), size=SIZE, on_carrier=True)
FLOOR = Zone(name="floor", place=Place(aft_m=2.7, up_m=0.8), size=SIZE)
CARRIER = Carrier(name="rack", mass_kg=30.0, place=Place(aft_m=1.5, up_m=1.9), size=SIZE)
DRIVER = Occupant(name="driver", mass_kg=75.0, seat="driver")
SLEEPER = Occupant(name="sleeper", mass_kg=60.0, seat="back right", sleeps_on_roof=True)
DOG = Occupant(name="dog", mass_kg=20.0, seat="floor", kind="animal")
BOX = Stowed(item=Item(name="box", mass_kg=50.0), zone="floor", count=2)
TENT = Stowed(item=Item(name="tent", mass_kg=45.0), zone="platform")
CAN = Liquid(name="can", container_kg=3.0, capacity_l=20.0, density_kg_per_l=1.0)
LOADOUT = Loadout(
    name="hand case",
    zones=(PLATFORM, FLOOR),
    carrier=CARRIER,
    people=(DRIVER, SLEEPER, DOG),
    gear=(BOX, TENT),
    liquids=(Filled(liquid=CAN, zone="platform", fill_l=10.0),),
    fuel_l=100.0,
)
