"""For the tests of doubt: a case by hand, and one draw of everything in it, put into the records themselves."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from loadcalc.model import Filled, Item, Limit, Loadout, Place, Vehicle, stow
from loadcalc.plan.assumed import Assumed, density_share, fuel_kind
from tests.hand_case import LOADOUT, VEHICLE

SURE = Assumed(
    scale_share=0, curb_share=0, curb_aft_m=0, curb_left_m=0, person_kg=0, animal_share=0, carrier_share=0,
    container_share=0, fill_share=0, gauge_share=0, trailer_share=0, tongue_share=0, in_zone_share=0, zone_m=0,
    own_place_m=0, seat_m=0,
)  # fmt: skip


def plain_case() -> tuple[Vehicle, Loadout]:
    """The hand case with limits, weighed and guessed gear, and a can at its brim."""
    box = Item(name="box", mass_kg=50.0, known="weighed", plus_minus_kg=2.0, count=2)
    tent = Item(name="tent", mass_kg=45.0, known="estimated", plus_minus_kg=6.0)
    can = replace(LOADOUT.liquids[0], fill_l=20.0)
    loadout = replace(LOADOUT, gear=stow({"floor": [box], "platform": [tent]}), liquids=(can,), fuel_l=60.0)
    limits = {
        "gross": 2380.0,
        "rear_axle": 1060.0,
        "front_axle": 1340.0,
        "roof_road": 100.0,
        "placard": 352.0,
    }
    return replace(
        VEHICLE, curb_fuel_l=40.0, limits={k: Limit(limit_kg=kg) for k, kg in limits.items()}
    ), loadout


def drawn_records(vehicle: Vehicle, loadout: Loadout, random: np.random.Generator) -> tuple[Vehicle, Loadout]:
    """One draw of everything that is in doubt in `plain_case`, put into the records themselves."""
    known = Assumed()

    def even(half: float) -> float:
        return float(random.uniform(-half, half))

    def filled(fill_l: float, capacity_l: float, half_l: float) -> float:
        return float(random.uniform(max(fill_l - half_l, 0.0), min(fill_l + half_l, capacity_l)))

    tank = vehicle.tank
    density = tank.density_kg_per_l * (1 + even(density_share(fuel_kind(tank.density_kg_per_l))[0]))
    curb = vehicle.curb_cg
    made = replace(
        vehicle,
        curb_kg=vehicle.curb_kg * (1 + even(known.curb_share)),
        curb_cg=Place(
            aft_m=curb.aft_m + even(known.curb_aft_m), left_m=curb.left_m + even(known.curb_left_m), up_m=curb.up_m
        ),
        tank=replace(tank, density_kg_per_l=density, place=moved(tank.place, even, known.seat_m)),
        seats=tuple(replace(seat, place=moved(seat.place, even, known.seat_m)) for seat in vehicle.seats),
    )  # fmt: skip
    middle = {zone.name: moved(zone.place, even, known.zone_m) for zone in loadout.zones}

    def lying(zone_name: str) -> Place:
        zone, at = loadout.zone(zone_name), middle[zone_name]
        return Place(
            aft_m=at.aft_m + even(known.in_zone_share * zone.size.length_m),
            left_m=at.left_m + even(known.in_zone_share * zone.size.width_m), up_m=at.up_m,
        )  # fmt: skip

    bias = even(known.scale_share)
    box, tent = loadout.gear
    box_kg = box.item.mass_kg * (1 + bias) + even(box.item.plus_minus_kg)
    tent_kg = tent.item.mass_kg + even(tent.item.plus_minus_kg)
    can = loadout.liquids[0]
    water = replace(
        can.liquid,
        container_kg=can.liquid.container_kg + even(known.container_share * can.liquid.container_kg),
        density_kg_per_l=can.liquid.density_kg_per_l * (1 + even(density_share("water")[0])),
    )
    fill_l = filled(can.fill_l, can.liquid.capacity_l, known.fill_share * can.liquid.capacity_l)
    carrier = loadout.carrier
    assert carrier is not None
    people = []
    for who in loadout.people:
        half = known.person_kg if who.kind == "person" else known.animal_share * who.mass_kg
        people.append(replace(who, mass_kg=who.mass_kg + even(half)))
    assert people[-1].kind == "animal"
    dog_at = lying("floor")
    zones = tuple(replace(z, place=dog_at) if z.name == "floor" else z for z in loadout.zones)
    return made, replace(
        loadout,
        zones=zones,
        people=tuple(people),
        fuel_l=filled(loadout.fuel_l, tank.capacity_l, known.gauge_share * tank.capacity_l),
        carrier=replace(
            carrier,
            mass_kg=carrier.mass_kg + even(known.carrier_share * carrier.mass_kg),
            place=moved(carrier.place, even, known.seat_m),
        ),
        gear=(
            replace(box, item=replace(box.item, mass_kg=box_kg), place=lying("floor")),
            replace(tent, item=replace(tent.item, mass_kg=tent_kg), place=lying("platform")),
        ),
        liquids=(Filled(liquid=water, zone="platform", fill_l=fill_l, place=lying("platform")),),
    )


def moved(place: Place, off: Callable[[float], float], half_m: float) -> Place:
    """A place, off by so much aft and left."""
    return Place(aft_m=place.aft_m + off(half_m), left_m=place.left_m + off(half_m), up_m=place.up_m)
