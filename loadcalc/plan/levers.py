"""Everything that can be slid on one vehicle with one loadout, and how each slider changes the records."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from loadcalc.checks.tires.inflation import trail_limit
from loadcalc.checks.weighing.doubts import item_half_width_kg
from loadcalc.model.errors import BadValue
from loadcalc.model.loadout import Filled, Loadout, Stowed
from loadcalc.model.things import LARGEST_ITEM_KG, Item, Occupant
from loadcalc.model.vehicle import Tire, Vehicle
from loadcalc.plan.lever import Put, Quantity, line

STANDARD_KG = 150 * 0.45359237  # 49 CFR 571.110 S3: 150 lb for each seating position; published
LIGHT_PERSON_KG, HEAVY_PERSON_KG = 30.0, 160.0
LOWEST_TRAIL_KPA = 100.0
USUAL_LOAD_KG = 100.0  # how far a zone's slider goes when little is in it
Aboard = Stowed | Filled


def quantities(vehicle: Vehicle, loadout: Loadout) -> tuple[Quantity, ...]:
    """Everything that can be slid on this vehicle with this loadout.

    Parameters
    ----------
    vehicle : with its tank, seats, and tires; loadout : as it is now.
    """
    found = (
        *_fuel(vehicle, loadout),
        *_poured(loadout),
        *_roof(loadout),
        *_people(vehicle, loadout),
        *_pressures(vehicle, loadout),
        *_trailer(loadout),
        *_zones(loadout),
        *_items(loadout),
    )
    return tuple(quantity for quantity in found if quantity.low < quantity.high)


def _fuel(vehicle: Vehicle, loadout: Loadout) -> Iterator[Quantity]:
    yield line(
        "fuel", "Fuel in the tank", "volume", (0.0, loadout.fuel_l, vehicle.tank.capacity_l),
        lambda loadout, value: replace(loadout, fuel_l=value), touches=frozenset({"own:fuel"}), kept=True,
    )  # fmt: skip


def _poured(loadout: Loadout) -> Iterator[Quantity]:
    """All cans of one kind together, when there are several, then each by itself."""
    kinds: dict[str, list[Filled]] = {}
    for filled in loadout.liquids:
        kinds.setdefault(filled.liquid.kind, []).append(filled)
    for kind, mine in kinds.items():
        if len(mine) > 1:
            keys = frozenset(filled.liquid.key for filled in mine)
            now, full = sum(f.fill_l for f in mine), sum(f.liquid.capacity_l for f in mine)
            yield line(
                f"kind:{kind}", f"{kind.capitalize()} in all cans", "volume", (0.0, now, full), pour(mine),
                touches=keys, kept=True,
            )  # fmt: skip
    for filled in loadout.liquids:
        span = (0.0, filled.fill_l, filled.liquid.capacity_l)
        yield line(
            f"fill:{filled.liquid.key}", filled.liquid.name, "volume", span, pour([filled]),
            touches=frozenset({filled.liquid.key}), kept=True,
        )  # fmt: skip


def pour(mine: list[Filled]) -> Put:
    """How cans together are filled: below what is in them now all empty in proportion, above it they fill up so.

    Parameters
    ----------
    mine : the cans, as they are filled now.
    """
    now = sum(filled.fill_l for filled in mine)
    full = sum(filled.liquid.capacity_l for filled in mine)

    def level(filled: Filled, value: float) -> float:
        if value <= now:
            return filled.fill_l * value / now if now > 0 else 0.0
        part = (value - now) / (full - now)
        return filled.fill_l + part * (filled.liquid.capacity_l - filled.fill_l)

    def put(loadout: Loadout, value: float) -> Loadout:
        levels = {filled.liquid.key: level(filled, value) for filled in mine}
        return replace(
            loadout,
            liquids=tuple(replace(f, fill_l=levels.get(f.liquid.key, f.fill_l)) for f in loadout.liquids),
        )

    return put


def _roof(loadout: Loadout) -> Iterator[Quantity]:
    zones = [zone.name for zone in loadout.zones if zone.on_carrier]
    if zones and loadout.carrier is not None:
        yield _load("roof", "Load on the roof rack", loadout, zones, USUAL_LOAD_KG)


def _zones(loadout: Loadout) -> Iterator[Quantity]:
    for zone in loadout.zones:
        if not zone.on_carrier or loadout.carrier is not None:
            yield _load(f"zone:{zone.name}", f"Load in {zone.name}", loadout, [zone.name], USUAL_LOAD_KG)


def _load(key: str, name: str, loadout: Loadout, zones: list[str], usual_kg: float) -> Quantity:
    """The gear and liquids of some zones as one load that grows and shrinks, each piece where it stands."""
    aboard: tuple[Aboard, ...] = (*loadout.gear, *loadout.liquids)
    inside = [thing for thing in aboard if thing.zone in zones]
    now = sum(thing.mass_kg for thing in inside)
    high = min(max(usual_kg, 1.5 * now), LARGEST_ITEM_KG)

    def put(loadout: Loadout, value: float) -> Loadout:
        if now > 0:
            made = [_times(thing, value / now) for thing in inside]
        else:
            item = Item(name=f"Load in {zones[0]}, tried out", mass_kg=value, known="label")
            made = [Stowed(item=item, zone=zones[0])]
        kept_gear = [thing for thing in loadout.gear if thing.zone not in zones]
        kept_liquids = tuple(thing for thing in loadout.liquids if thing.zone not in zones)
        return replace(loadout, gear=(*kept_gear, *made), liquids=kept_liquids)

    touches = frozenset({f"zone:{zone}" for zone in zones} | {_key(thing) for thing in inside})
    return line(key, name, "mass", (0.0, now, high), put, touches=touches)


def _times(thing: Aboard, factor: float) -> Stowed:
    """A thing with its mass by a factor, as well known as before; "label" so that no one scale's bias is in it."""
    if isinstance(thing, Filled):
        item = Item(
            name=thing.liquid.name, mass_kg=thing.mass_kg * factor, known="label", key=thing.liquid.key
        )
        return Stowed(item=item, zone=thing.zone, place=thing.place, group=thing.group)
    if not thing.count:
        return thing  # it stays home
    half_kg = min(item_half_width_kg(thing.item) * factor, LARGEST_ITEM_KG)  # of a gram, grown to a load
    item = replace(thing.item, mass_kg=thing.item.mass_kg * factor, known="label", plus_minus_kg=half_kg)
    return replace(thing, item=item)


def _key(thing: Aboard) -> str:
    return thing.item.key if isinstance(thing, Stowed) else thing.liquid.key


def _people(vehicle: Vehicle, loadout: Loadout) -> Iterator[Quantity]:
    seated = [who for who in loadout.people if who.seat in {seat.name for seat in vehicle.seats}]
    seats, now = len(vehicle.seats), float(len(seated))
    yield Quantity(
        key="people", name="People aboard", measure="people", low=min(1.0, now), high=float(seats), now=now,
        put=_seat(vehicle), knots=tuple(float(n) for n in range(int(min(1.0, now)), seats + 1)), whole=True,
        touches=frozenset({"people", *(who.key for who in seated)}),
    )  # fmt: skip
    for who in loadout.people:
        low_kg = min(LIGHT_PERSON_KG if who.kind == "person" else 0.0, who.mass_kg)
        span = (low_kg, who.mass_kg, max(HEAVY_PERSON_KG, who.mass_kg))
        yield line(
            f"person:{who.key}", f"{who.name}, as dressed", "mass", span, weigh(who.key),
            touches=frozenset({who.key}),
        )  # fmt: skip


def weigh(key: str) -> Put:
    """How somebody is given another mass [kg].

    Parameters
    ----------
    key : of the person or animal.
    """

    def put(loadout: Loadout, value: float) -> Loadout:
        people = (replace(who, mass_kg=value) if who.key == key else who for who in loadout.people)
        return replace(loadout, people=tuple(people))

    return put


def _seat(vehicle: Vehicle) -> Put:
    """The last on the list stay behind first; whoever comes along too weighs the standard's 150 lb."""
    names = [seat.name for seat in vehicle.seats]

    def put(loadout: Loadout, value: float) -> Loadout:
        seated = [who for who in loadout.people if who.seat in names]
        others = [who for who in loadout.people if who.seat not in names]
        taken = {who.seat for who in seated}
        free = [name for name in names if name not in taken]
        more = [
            Occupant(name=f"One more in {seat}", mass_kg=STANDARD_KG, seat=seat)
            for seat in free[: max(round(value) - len(seated), 0)]
        ]
        return replace(loadout, people=(*seated[: round(value)], *more, *others))

    return put


def _pressures(vehicle: Vehicle, loadout: Loadout) -> Iterator[Quantity]:
    """Trail pressures, where something is known of how the tires' load falls with them."""
    for axle, tire in (("front", vehicle.front_tire), ("rear", vehicle.rear_tire)):
        top = top_kpa(tire)
        if trail_limit(tire, vehicle.body_class, top).limit_kg is not None:
            field = f"{axle}_kpa"
            now = getattr(loadout, field) or top
            yield line(
                field, f"{axle.capitalize()} tires, trail pressure", "pressure", (LOWEST_TRAIL_KPA, now, max(top, now)),
                _inflate(field), touches=frozenset({field}), limits=_carried(vehicle, axle, tire), kept=True,
            )  # fmt: skip


def _carried(vehicle: Vehicle, axle: str, tire: Tire) -> Callable[[float], dict[str, float | None]]:
    def limits(value: float) -> dict[str, float | None]:
        limit_kg = trail_limit(tire, vehicle.body_class, value).limit_kg
        return {f"trail:{axle}_left": limit_kg, f"trail:{axle}_right": limit_kg}

    return limits


def top_kpa(tire: Tire) -> float:
    """The pressure to air down from: the placard's, else the one at which the load index holds [kPa]."""
    return tire.placard_kpa or tire.reference_kpa or (tire.pressure_table or ((240.0, 0.0),))[-1][0]


def _inflate(field: str) -> Put:
    def put(loadout: Loadout, value: float) -> Loadout:
        changed: dict[str, object] = {field: value}
        return replace(loadout, **changed)  # type: ignore[arg-type]  # one of the two pressures

    return put


def _trailer(loadout: Loadout) -> Iterator[Quantity]:
    trailer = loadout.trailer
    if trailer is None:
        return
    mass_kg, tongue_kg = trailer.mass_kg, trailer.tongue_kg
    most_kg = min(max(0.25 * mass_kg, tongue_kg), mass_kg)  # so that the two may be slid together
    yield line(
        "tongue", "Trailer tongue weight", "mass", (0.0, tongue_kg, most_kg), _tow("tongue_kg"),
        touches=frozenset({"tongue"}),
    )  # fmt: skip
    yield line(
        "trailer", "Trailer mass", "mass", (most_kg, mass_kg, 1.5 * mass_kg), _tow("mass_kg"),
        touches=frozenset({"trailer"}),
    )  # fmt: skip


def _tow(field: str) -> Put:
    def put(loadout: Loadout, value: float) -> Loadout:
        if loadout.trailer is None:
            raise BadValue("trailer", "", "is not on", "put it on")
        changed: dict[str, object] = {field: value}
        return replace(loadout, trailer=replace(loadout.trailer, **changed))  # type: ignore[arg-type]  # one of two masses

    return put


def _items(loadout: Loadout) -> Iterator[Quantity]:
    seen: set[str] = set()
    for stowed in loadout.gear:
        item = stowed.item
        if item.key not in seen:
            seen.add(item.key)
            span = (0.0, item.mass_kg, min(max(2 * item.mass_kg, 20.0), LARGEST_ITEM_KG))
            yield line(
                f"item:{item.key}", f"{item.name}, mass of one", "mass", span, _heavier(item.key),
                touches=frozenset({item.key}),
            )  # fmt: skip


def _heavier(key: str) -> Put:
    def put(loadout: Loadout, value: float) -> Loadout:
        gear = (
            replace(s, item=replace(s.item, mass_kg=value)) if s.item.key == key else s for s in loadout.gear
        )
        return replace(loadout, gear=tuple(gear))

    return put
