"""Inputs that the records must refuse, with the words that the message must hold."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from loadcalc.checks.findings.judge import evaluate
from loadcalc.checks.tires.marked import load_index_kg, tire_capacity_kg
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
    cg_from_axles,
)
from loadcalc.model.facts import fact_rows

PLACE = Place(aft_m=1.5, up_m=0.8)
SIZE = Size(length_m=1.0, width_m=1.0, height_m=0.5)
TANK = FuelTank(capacity_l=80.0, density_kg_per_l=0.75, place=PLACE)
BOX = Item(name="box", mass_kg=10.0)
CAN = Liquid(name="can", container_kg=2.0, capacity_l=20.0, density_kg_per_l=1.0)
FLOOR = Zone(name="floor", place=PLACE, size=SIZE)
DRIVER = Seat(name="driver", place=PLACE)


def vehicle(**changed: Any) -> Vehicle:
    """A plain vehicle with some fields changed."""
    fields: dict[str, Any] = {
        "name": "van",
        "curb_kg": 2000.0,
        "curb_cg": PLACE,
        "wheelbase_m": 3.0,
        "front_track_m": 1.6,
        "rear_track_m": 1.6,
        "outline": SIZE,
        "front_overhang_m": 0.8,
        "tank": TANK,
        "seats": (DRIVER,),
    }
    return Vehicle(**(fields | changed))


def occupant(**changed: Any) -> Occupant:
    """A plain person with some fields changed."""
    fields: dict[str, Any] = {"name": "Robin", "mass_kg": 70.0, "seat": "driver"}
    return Occupant(**(fields | changed))


def unfit(value: object) -> Any:
    """A value of a kind that the record doesn't take, past the type checker."""
    return value


# What is asked for, then what the message must name: field, value, limit with unit, cure, and where if known.
REFUSED: dict[str, tuple[Callable[[], object], list[str]]] = {
    "mass below zero": (
        lambda: Item(name="saw", mass_kg=-1.0),
        ["saw: mass each", "-1.0", "outside 0 to 500 kg", "check the number and its unit"],
    ),
    "mass of a truck": (
        lambda: Item(name="saw", mass_kg=501),
        ["mass each", "501", "0 to 500 kg", "its unit"],
    ),
    "mass as text": (
        lambda: Item(name="saw", mass_kg=unfit("12")),
        ["mass each '12'", "is not a number", "give a number of kg"],
    ),
    "mass not a number": (
        lambda: Item(name="saw", mass_kg=math.nan),
        ["mass each nan", "not a finite number", "kg"],
    ),
    "mass true": (lambda: Item(name="saw", mass_kg=True), ["mass each True", "is not a number", "kg"]),
    "doubt below zero": (
        lambda: Item(name="saw", mass_kg=5.0, plus_minus_kg=-0.1),
        ["saw: plus or minus", "-0.1", "0 to 500 kg", "check the number"],
    ),
    "known by nobody": (
        lambda: Item(name="saw", mass_kg=5.0, known="guessed"),
        ["how known 'guessed'", "not a known choice", "weighed, label, estimated"],
    ),
    "half an item": (
        lambda: Item(name="saw", mass_kg=5.0, count=unfit(1.5)),
        ["saw: count 1.5", "not a whole number", "whole pieces"],
    ),
    "item without name": (
        lambda: Item(name=" ", mass_kg=5.0),
        ["item name ' '", "is empty", "give it a name"],
    ),
    "half a piece rides": (
        lambda: Stowed(item=BOX, zone="floor", count=unfit(0.5)),
        ["box: count 0.5", "not a whole number", "whole pieces"],
    ),
    "place far ahead": (
        lambda: Place(aft_m=-6.0, up_m=1.0),
        ["aft -6.0", "outside -5 to 20 m", "check the number"],
    ),
    "place under ground": (lambda: Place(aft_m=1.0, up_m=-0.1), ["up -0.1", "outside 0 to 5 m", "check"]),
    "size below zero": (
        lambda: Size(length_m=1.0, width_m=-1.0, height_m=1.0),
        ["width -1.0", "outside 0 to 20 m", "check the number"],
    ),
    "zone on and in": (
        lambda: Zone(name="attic", place=PLACE, size=SIZE, on_carrier=True, in_cabin=True),
        ["zone 'attic'", "both on the roof rack and in the cabin", "choose one"],
    ),
    "zone reach": (
        lambda: Zone(name="bin", place=PLACE, size=SIZE, reach="never"),
        ["reach 'never'", "not a known choice", "on the road, when unloaded"],
    ),
    "person too heavy": (
        lambda: occupant(mass_kg=301.0),
        ["Robin: mass 301.0", "outside 0 to 300 kg", "its unit"],
    ),
    "person without seat": (lambda: occupant(seat=""), ["Robin: seat ''", "is empty"]),
    "robot aboard": (
        lambda: occupant(kind="robot"),
        ["Robin: kind 'robot'", "choose one of: person, animal"],
    ),
    "over the brim": (
        lambda: Filled(liquid=CAN, zone="floor", fill_l=21.0),
        ["can: fill 21.0", "outside 0 to 20 L", "check the number"],
    ),
    "density in other units": (
        lambda: Liquid(name="can", container_kg=2.0, capacity_l=20.0, density_kg_per_l=1000.0),
        ["can: density 1000.0", "0.05 to 3 kg/L", "its unit"],
    ),
    "limit below zero": (lambda: Limit(limit_kg=-1.0), ["limit -1.0", "0 to 40000 kg", "check the number"]),
    "carrier rating": (
        lambda: Carrier(name="rack", mass_kg=20.0, place=PLACE, size=SIZE, limits={"moving": Limit()}),
        ["rack: roof rack rating 'moving'", "not a known choice", "carrier_road"],
    ),
    "curb mass in tons": (
        lambda: vehicle(curb_kg=2.0),
        ["curb mass 2.0", "outside 200 to 20000 kg", "its unit"],
    ),
    "wheelbase in cm": (lambda: vehicle(wheelbase_m=290.0), ["wheelbase 290.0", "1 to 10 m", "its unit"]),
    "track in mm": (lambda: vehicle(rear_track_m=1600.0), ["rear track 1600.0", "0.8 to 3 m", "its unit"]),
    "center behind the axle": (
        lambda: vehicle(curb_cg=Place(aft_m=3.1, up_m=0.7)),
        ["curb CG, aft 3.1", "0 to 3 m (between the axles)", "check the number"],
    ),
    "roll share in percent": (
        lambda: vehicle(front_roll_share=55.0),
        ["roll stiffness 55.0", "outside 0 to 1"],
    ),
    "more fuel than tank": (
        lambda: vehicle(curb_fuel_l=90.0),
        ["at curb mass 90.0", "0 to 80 L", "its unit"],
    ),
    "body class": (lambda: vehicle(body_class="boat"), ["body class 'boat'", "passenger car, light truck"]),
    "rating of no vehicle": (
        lambda: vehicle(limits={"hull": Limit()}),
        ["rating 'hull'", "gross, front_axle"],
    ),
    "two seats of a name": (
        lambda: vehicle(seats=(DRIVER, DRIVER)),
        ["seat 'driver'", "is there twice", "its own name"],
    ),
    "tire marking": (lambda: Tire(marking="winter"), ["tire marking 'winter'", "passenger, light truck"]),
    "tire index": (lambda: Tire(load_index=300), ["load index 300", "outside 50 to 150", "check the number"]),
    "tire index in halves": (
        lambda: Tire(load_index=unfit(110.5)),
        ["load index 110.5", "whole number", "sidewall"],
    ),
    "index off the table": (
        lambda: load_index_kg(160),
        ["load index 160", "50 to 150", "maker's load in kg"],
    ),
    "capacity of a boat": (
        lambda: tire_capacity_kg(110, marking="passenger", body_class="boat"),
        ["body class 'boat'", "passenger car, light truck"],
    ),
    "axle load below zero": (
        lambda: cg_from_axles(front_kg=-1.0, rear_kg=900.0, wheelbase_m=3.0, up_m=0.7),
        ["front axle", "-1.0", "0 to 20000 kg", "check the number"],
    ),
    "nothing on the scale": (
        lambda: cg_from_axles(front_kg=0.0, rear_kg=0.0, wheelbase_m=3.0, up_m=0.7),
        ["axle loads 0", "add up to nothing", "what the scale showed"],
    ),
    "fuel beyond the tank": (
        lambda: evaluate(vehicle(), Loadout(name="out", fuel_l=81.0)),
        ["fuel 81.0", "more than the tank's 80 L", "put the rest in a can"],
    ),
    "vehicle all fuel": (
        lambda: evaluate(
            vehicle(
                curb_kg=200.0,
                curb_fuel_l=300.0,
                tank=FuelTank(capacity_l=300.0, density_kg_per_l=0.75, place=PLACE),
            ),
            Loadout(name="out"),
        ),
        ["curb mass 200.0", "no more than the 225 kg of fuel", "check the curb mass and the fuel"],
    ),
    "two in a seat": (
        lambda: evaluate(vehicle(), Loadout(name="out", people=(occupant(), occupant(name="Kim")))),
        ["Kim: seat 'driver'", "is already Robin's", "choose a free one"],
    ),
    "the same person twice": (
        lambda: Loadout(name="out", people=(occupant(), occupant())),
        ["person 'Robin'", "is there twice", "its own name"],
    ),
    "two zones of a name": (
        lambda: Loadout(name="out", zones=(FLOOR, FLOOR)),
        ["zone 'floor'", "is there twice", "its own name"],
    ),
}

MISSING: dict[str, tuple[Callable[[], object], list[str]]] = {
    "a zone that is not there": (
        lambda: Loadout(name="out", zones=(FLOOR,), gear=(Stowed(item=BOX, zone="attic"),)),
        ["no zone for box, 'attic'", "known: floor"],
    ),
    "a zone when there is none": (
        lambda: Loadout(name="out").zone("attic"),
        ["no zone 'attic'", "none is recorded"],
    ),
    "a seat that is not there": (
        lambda: evaluate(vehicle(), Loadout(name="out", people=(occupant(seat="trunk"),))),
        ["no seat for Robin, 'trunk'", "known: driver"],
    ),
    "a person in a zone": (
        lambda: evaluate(vehicle(), Loadout(name="out", zones=(FLOOR,), people=(occupant(seat="floor"),))),
        ["no seat for Robin, 'floor'", "known: driver"],
    ),
    "a fact table": (
        lambda: fact_rows("phases_of_the_moon"),
        ["no fact table 'phases_of_the_moon'", "tire_load_index"],
    ),
}
