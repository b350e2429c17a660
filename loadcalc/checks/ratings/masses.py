"""Every mass on board as one flat list: the columns of the share matrix."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loadcalc.model.assumption import half_width
from loadcalc.model.errors import BadValue, NotFound
from loadcalc.model.loadout import Filled, Loadout, Stowed
from loadcalc.model.space import Place
from loadcalc.model.things import Occupant, Zone
from loadcalc.model.vehicle import Seat, Vehicle

VEHICLE, FUEL, CARRIER = "vehicle", "fuel", "carrier"
PERSON, ANIMAL, GEAR, LIQUID = "person", "animal", "gear", "liquid"
TONGUE, TRAILER = "tongue", "trailer"
OCCUPANT_KINDS = frozenset({PERSON, ANIMAL})
ADDED_KINDS = frozenset({CARRIER, PERSON, ANIMAL, GEAR, LIQUID, TONGUE})


@dataclass(frozen=True, slots=True, kw_only=True)
class Mass:
    """One mass [kg] at one place [m], and what a rating may want to know of it.

    kind : one of the words above; zone : where it rides, "" for the vehicle's own;
    mount : what its zone is mounted on (`loadcalc.model.things.MOUNTS`), "" for the body; in_seat : takes a seat;
    sleeps_on_roof : when parked; towed : stands on a trailer's own wheels, not on the vehicle.
    length_m : along the vehicle, over which it stands evenly; 0 for a point [m].
    off_kg, aft_off_m, left_off_m : how far off it may be by what is assumed; 0 for what somebody entered [kg, m].
    """

    key: str
    name: str
    kind: str
    mass_kg: float
    place: Place
    zone: str = ""
    mount: str = ""
    in_seat: bool = False
    sleeps_on_roof: bool = False
    towed: bool = False
    length_m: float = 0.0
    off_kg: float = 0.0
    aft_off_m: float = 0.0
    left_off_m: float = 0.0

    @property
    def on_carrier(self) -> bool:
        """Whether it stands on the roof carrier."""
        return self.mount == "on_carrier"

    @property
    def on_hitch(self) -> bool:
        """Whether it hangs on the hitch; a trailer's tongue does too."""
        return self.mount == "on_hitch"


def masses(vehicle: Vehicle, loadout: Loadout) -> tuple[Mass, ...]:
    """List every mass: empty vehicle, its fuel, carrier, people and animals, gear, liquids, trailer.

    The curb mass is parted into the vehicle without fuel and the fuel of this departure, so that a
    half-empty tank moves the center of gravity as it should.

    Raises
    ------
    BadValue for more fuel than the tank holds or two people in a seat; NotFound for a seat that isn't there.
    """
    own = (_dry_vehicle(vehicle), _fuel(vehicle, loadout))
    aboard = (*_carrier(loadout), *_occupants(vehicle, loadout), *_stowed(loadout))
    return (*own, *aboard, *_trailer(vehicle, loadout))


def _dry_vehicle(vehicle: Vehicle) -> Mass:
    curb, tank = vehicle.curb_cg, vehicle.tank
    fuel_kg = vehicle.curb_fuel_l * tank.density_kg_per_l
    dry_kg = vehicle.curb_kg - fuel_kg
    if dry_kg <= 0:
        problem = f"kg is no more than the {fuel_kg:.0f} kg of fuel said to be in it"
        raise BadValue("curb mass", vehicle.curb_kg, problem, "check the curb mass and the fuel in the tank")
    arms = {
        axis: (vehicle.curb_kg * getattr(curb, axis) - fuel_kg * getattr(tank.place, axis)) / dry_kg
        for axis in ("aft_m", "left_m", "up_m")
    }
    try:
        place = Place(**arms)
    except BadValue as error:
        cure = (
            "check the curb mass and its center of gravity, the fuel in the tank then, and the tank's place"
        )
        raise BadValue(
            f"{error.field} of the vehicle without fuel", error.value, error.problem, cure
        ) from error
    off_kg, off_m = _dry_off(vehicle, dry_kg, place.aft_m)
    return Mass(
        key="own:vehicle", name=f"{vehicle.name}, no fuel", kind=VEHICLE, mass_kg=dry_kg, place=place, off_kg=off_kg,
        aft_off_m=off_m,
    )  # fmt: skip


def _dry_off(vehicle: Vehicle, dry_kg: float, aft_m: float) -> tuple[float, float]:
    """How far off the vehicle without fuel may be, mass [kg] and place [m], by what is assumed of curb mass and tank.

    More mass than was taken for granted stands at the curb mass's center or at the tank, and draws the place there.
    """
    curb, tank = vehicle.curb_cg.aft_m, vehicle.tank
    curb_off_kg, curb_off_m = (half_width(vehicle.assumed, name) for name in ("curb_kg", "curb_aft_m"))
    most_kg_per_l = tank.density_kg_per_l + half_width(vehicle.assumed, "tank_density_kg_per_l")
    fuel_off_kg = half_width(vehicle.assumed, "curb_fuel_l") * most_kg_per_l
    off_kg = curb_off_kg + fuel_off_kg
    least_kg = max(dry_kg - off_kg, 1.0)
    off_m = curb_off_m * max(vehicle.curb_kg / dry_kg, (vehicle.curb_kg - off_kg) / least_kg)
    tank_m = abs(tank.place.aft_m - aft_m) + half_width(vehicle.assumed, "tank_aft_m")
    drawn = curb_off_kg * (abs(curb - aft_m) + 2 * off_m) + fuel_off_kg * (tank_m + off_m)
    return off_kg, off_m + drawn / least_kg


def _fuel(vehicle: Vehicle, loadout: Loadout) -> Mass:
    tank, fuel_l = vehicle.tank, loadout.fuel_l
    if fuel_l > tank.capacity_l * (1 + 1e-9):
        problem = f"L is more than the tank's {tank.capacity_l:g} L"
        raise BadValue("fuel", fuel_l, problem, "put the rest in a can, in a zone")
    return Mass(
        key="own:fuel",
        name="Fuel in the tank",
        kind=FUEL,
        mass_kg=fuel_l * tank.density_kg_per_l,
        place=tank.place,
        off_kg=abs(fuel_l - vehicle.curb_fuel_l) * half_width(vehicle.assumed, "tank_density_kg_per_l"),
    )


def _carrier(loadout: Loadout) -> Iterator[Mass]:
    carrier = loadout.carrier
    if carrier is not None:
        yield Mass(
            key="own:carrier",
            name=carrier.name,
            kind=CARRIER,
            mass_kg=carrier.mass_kg,
            place=carrier.place,
            length_m=carrier.size.length_m,
            aft_off_m=half_width(carrier.assumed, "aft_m"),
        )


def _trailer(vehicle: Vehicle, loadout: Loadout) -> Iterator[Mass]:
    """A trailer's tongue weight stands on the hitch; the rest of it stands on its own wheels."""
    trailer = loadout.trailer
    if trailer is None:
        return
    if vehicle.hitch is None:
        cure = "enter where the ball is, or take the trailer off"
        raise BadValue("trailer", trailer.name, "hangs on a hitch that the vehicle doesn't have", cure)
    name = f"{trailer.name}, tongue"
    yield Mass(
        key="own:tongue",
        name=name,
        kind=TONGUE,
        mass_kg=trailer.tongue_kg,
        place=vehicle.hitch,
        mount="on_hitch",
    )
    rest_kg = trailer.mass_kg - trailer.tongue_kg
    yield Mass(
        key="own:trailer",
        name=f"{trailer.name}, on its own wheels",
        kind=TRAILER,
        mass_kg=rest_kg,
        place=vehicle.hitch,
        towed=True,
    )


def _occupants(vehicle: Vehicle, loadout: Loadout) -> Iterator[Mass]:
    seats = {seat.name: seat for seat in vehicle.seats}
    zones = {zone.name: zone for zone in loadout.zones}
    taken: dict[str, str] = {}
    for who in loadout.people:
        if who.seat not in seats:
            if who.kind != ANIMAL or who.seat not in zones:
                raise NotFound(f"seat for {who.name},", who.seat, tuple(seats))
            if zones[who.seat].on_carrier:
                raise BadValue(
                    "seat", who.seat, "is on the roof", "nobody rides there: choose another", who.name
                )
            yield _occupant(who, zones[who.seat], who.seat)
            continue
        if who.seat in taken:
            raise BadValue("seat", who.seat, f"is already {taken[who.seat]}'s", "choose a free one", who.name)
        taken[who.seat] = who.name
        yield _occupant(who, seats[who.seat], "")


def _occupant(who: Occupant, at: Seat | Zone, zone: str) -> Mass:
    kind = PERSON if who.kind == "person" else ANIMAL
    return Mass(
        key=who.key,
        name=who.name,
        kind=kind,
        mass_kg=who.mass_kg,
        place=at.place,
        zone=zone,
        in_seat=not zone,
        sleeps_on_roof=who.sleeps_on_roof,
        aft_off_m=half_width(at.assumed, "aft_m"),
        left_off_m=half_width(at.assumed, "left_m"),
    )


def _stowed(loadout: Loadout) -> Iterator[Mass]:
    zones = {zone.name: zone for zone in loadout.zones}
    aboard: tuple[Stowed | Filled, ...] = (*loadout.gear, *loadout.liquids)
    for thing in aboard:
        zone = zones[thing.zone]
        key, name, kind = _called(thing)
        assumed = () if thing.place else zone.assumed
        yield Mass(
            key=key,
            name=name,
            kind=kind,
            mass_kg=thing.mass_kg,
            place=thing.place or zone.place,
            zone=zone.name,
            mount=zone.mount,
            length_m=_length_m(thing),
            aft_off_m=half_width(assumed, "aft_m"),
            left_off_m=half_width(assumed, "left_m"),
        )


def _length_m(thing: Stowed | Filled) -> float:
    """How long a thing is along the vehicle; one without a size, and a can, is a point: harder on the nearest bar."""
    size = thing.item.size if isinstance(thing, Stowed) else None
    if size is None:
        return 0.0
    return size.width_m if isinstance(thing, Stowed) and thing.turned else size.length_m


def _called(thing: Stowed | Filled) -> tuple[str, str, str]:
    if isinstance(thing, Stowed):
        name = thing.item.name if thing.count == 1 else f"{thing.item.name} × {thing.count}"
        return thing.item.key, name, GEAR
    return thing.liquid.key, thing.liquid.name, LIQUID
