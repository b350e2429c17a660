"""Invented vehicles and loadouts for property tests, within what records allow.

Numbers come from whole grams and millimeters: that is how finely anybody weighs and measures, and a failing
case stays readable.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st

from loadcalc.model import (
    Bar,
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
    Trailer,
    Vehicle,
    Zone,
)
from loadcalc.model.limits import CARRIER_LIMITS, TRAILER_LIMITS, VEHICLE_LIMITS
from loadcalc.model.straps import WAYS, Strapping
from tests.amount import amount

Case = tuple[Vehicle, Loadout]

# The same examples on every run; no clock, for a busy machine is slow.
STEADY = settings(
    max_examples=amount(30, quick=10, every=300),
    deadline=None,
    derandomize=True,
    database=None,
    suppress_health_check=[HealthCheck.too_slow],
)


def tried(usual: int) -> settings:
    """STEADY with another number of examples: what a usual run tries; ten times as many with `--all`."""
    return settings(STEADY, max_examples=amount(usual, quick=max(3, usual // 3), every=10 * usual))


@cache
def thousandths(low: float, high: float) -> st.SearchStrategy[float]:
    """Numbers from low to high in steps of 0.001. Strategies are kept: making them is what costs time."""
    return st.integers(round(low * 1000), round(high * 1000)).map(lambda n: n / 1000)


@cache
def places(aft: tuple[float, float] = (-0.8, 4.2)) -> st.SearchStrategy[Place]:
    """Places on and around a vehicle."""
    return st.builds(
        Place, aft_m=thousandths(*aft), left_m=thousandths(-0.8, 0.8), up_m=thousandths(0.3, 2.2)
    )


DOG = st.booleans()
CALLED = ("item", "item", "item", "Gas bottle", "Jerry can")  # plainly neither, by its name gas, and in doubt
GROUP = "tied together"
ROAD_KPA = st.none() | st.sampled_from([180.0, 300.0])
TRAIL_KPA = st.none() | st.sampled_from([120.0, 160.0])
OWN_PLACE = st.none() | places()  # at the zone's place, or at one of its own


@cache
def limits(high_kg: float) -> st.SearchStrategy[Limit]:
    """Limits: not known, nothing allowed, or up to `high_kg` [kg]; read somewhere, or guessed."""
    known = st.one_of(st.just(0.0), thousandths(1.0, high_kg))
    read_at = st.sampled_from(["invented", "invented", "a guess"])
    return st.one_of(st.just(Limit()), st.builds(Limit, limit_kg=known, read_at=read_at))


@cache
def sizes() -> st.SearchStrategy[Size]:
    """Boxes of 0.1 to 1.5 m a side."""
    side = thousandths(0.1, 1.5)
    return st.builds(Size, length_m=side, width_m=side, height_m=side)


@cache
def tires() -> st.SearchStrategy[Tire]:
    """Tires with or without a known load index and reference pressure."""
    index = st.one_of(st.none(), st.integers(90, 125))
    marking = st.sampled_from(["passenger", "light truck"])
    return st.builds(
        Tire, load_index=index, marking=marking, reference_kpa=st.sampled_from([None, 240.0, 450.0]),
        placard_kpa=st.sampled_from([None, 220.0, 350.0]),
    )  # fmt: skip


@cache
def hitches() -> st.SearchStrategy[Place | None]:
    """The place of a ball behind the vehicle, or none."""
    ball = st.builds(Place, aft_m=thousandths(3.8, 4.6), left_m=st.just(0.0), up_m=thousandths(0.3, 0.7))
    return st.none() | ball


@cache
def trailers() -> st.SearchStrategy[Trailer]:
    """A trailer whose tongue carries up to half of it, on one axle or two, weighed or not; its limits known or not."""
    axle_kg = st.none() | thousandths(0.0, 1500.0)
    return st.builds(
        lambda mass_kg, share, limits, **axles: Trailer(
            name="trailer", mass_kg=mass_kg, tongue_kg=mass_kg * share, limits=limits, **axles
        ),
        thousandths(0.0, 3000.0),
        thousandths(0.0, 0.5),
        st.fixed_dictionaries({key: limits(3000.0) for key in TRAILER_LIMITS}),
        axles=st.sampled_from([1, 2]),
        axles_share=st.booleans(),
        front_axle_kg=axle_kg,
        rear_axle_kg=axle_kg,
    )


@st.composite
def vehicles(draw: st.DrawFn) -> Vehicle:
    """An invented vehicle: 2 to 7 seats, fuel in the tank at curb mass, some limits known."""
    wheelbase_m = draw(thousandths(2.2, 3.6))
    names = [f"seat {number}" for number in range(1, draw(st.integers(2, 7)) + 1)]
    tank = FuelTank(
        capacity_l=draw(thousandths(20.0, 150.0)),
        density_kg_per_l=draw(st.sampled_from([0.745, 0.835])),
        place=draw(places((0.5, 3.5))),
    )
    curb_cg = Place(
        aft_m=wheelbase_m * draw(thousandths(0.35, 0.6)),
        left_m=draw(thousandths(-0.1, 0.1)),
        up_m=draw(thousandths(0.6, 0.9)),
    )
    return Vehicle(
        name="invented",
        curb_kg=draw(thousandths(1500.0, 3500.0)),
        curb_cg=curb_cg,
        curb_fuel_l=tank.capacity_l * draw(st.sampled_from([0.0, 0.5, 1.0])),
        wheelbase_m=wheelbase_m,
        front_track_m=draw(thousandths(1.3, 1.8)),
        rear_track_m=draw(thousandths(1.3, 1.8)),
        outline=Size(length_m=4.8, width_m=1.9, height_m=1.9),
        front_overhang_m=0.8,
        tank=tank,
        seats=tuple(Seat(name=name, place=draw(places((1.0, 3.0)))) for name in names),
        front_tire=draw(tires()),
        rear_tire=draw(tires()),
        hitch=draw(hitches()),
        front_roll_share=draw(thousandths(0.0, 1.0)),
        body_class=draw(st.sampled_from(["passenger car", "light truck"])),
        limits={key: draw(limits(6000.0)) for key in VEHICLE_LIMITS},
    )


@st.composite
def loadouts(draw: st.DrawFn, vehicle: Vehicle) -> Loadout:
    """What rides on that vehicle: with or without a carrier, people in distinct seats, gear and liquids."""
    carrier = draw(st.one_of(st.none(), carriers()))
    zones = tuple(
        Zone(
            name=f"zone {number}",
            place=draw(places()),
            size=draw(sizes()),
            limit=draw(limits(300.0)),
            **draw(riding_on(carrier is not None)),
        )
        for number in range(1, draw(st.integers(1, 4)) + 1)
    )
    names = [zone.name for zone in zones]
    gear = [
        Stowed(
            item=item,
            zone=draw(st.sampled_from(names)),
            count=item.count,
            place=draw(OWN_PLACE),
            group=draw(st.sampled_from(["", GROUP])),
        )
        for item in draw(_items())
    ]
    liquids = [
        Filled(
            liquid=can, zone=draw(st.sampled_from(names)), fill_l=can.capacity_l * draw(thousandths(0.0, 1.0))
        )
        for can in draw(_cans())
    ]
    return Loadout(
        name="invented",
        zones=zones,
        carrier=carrier,
        people=draw(_people(vehicle, zones)),
        gear=tuple(gear),
        liquids=tuple(liquids),
        fuel_l=vehicle.tank.capacity_l * draw(thousandths(0.0, 1.0)),
        trailer=draw(trailers()) if vehicle.hitch and draw(st.booleans()) else None,
        straps=draw(_straps()),
        front_road_kpa=draw(ROAD_KPA),
        rear_road_kpa=draw(ROAD_KPA),
        front_kpa=draw(TRAIL_KPA),
        rear_kpa=draw(TRAIL_KPA),
    )


@cache
def riding_on(has_carrier: bool) -> st.SearchStrategy[dict[str, Any]]:
    """A zone inside, on the hitch, or on the carrier."""
    inside: list[dict[str, Any]] = [{"in_cabin": said} for said in (True, False, None)]
    return st.sampled_from([*inside, {"on_hitch": True}, *([{"on_carrier": True}] * has_carrier)])


@cache
def carriers() -> st.SearchStrategy[Carrier]:
    """A platform on the roof, its limits known or not."""
    return st.builds(
        Carrier,
        name=st.just("platform"),
        mass_kg=thousandths(0.0, 60.0),
        place=places(),
        size=sizes(),
        limits=st.fixed_dictionaries({key: limits(200.0) for key in CARRIER_LIMITS}),
        bars=st.lists(_bars(), max_size=4, unique_by=lambda bar: bar.aft_m).map(tuple),
    )


@cache
def _bars() -> st.SearchStrategy[Bar]:
    return st.builds(
        lambda number, half_span_m, limit, foot: Bar(
            name=f"bar {number}", aft_m=number / 4, half_span_m=half_span_m, limit=limit, foot_limit=foot
        ),
        st.integers(0, 12),
        thousandths(0.4, 0.8),
        limits(100.0),
        limits(60.0),
    )


@cache
def _straps() -> st.SearchStrategy[tuple[Strapping, ...]]:
    """How the one group is tied down that items may belong to, or nothing said of it."""
    known = st.none() | st.sampled_from([0.0, 0.5, 100.0, 600.0])
    tied = st.builds(
        Strapping, key=st.just(GROUP), name=st.just("tied together"), straps=st.integers(0, 4),
        way=st.sampled_from(WAYS), angle_deg=thousandths(20.0, 90.0), tension_n=known, wll_kg=known,
        anchor_wll_kg=known, surfaces=st.sampled_from(["", "steel crate on grooved aluminum"]), flat=st.booleans(),
    )  # fmt: skip
    return st.lists(tied, max_size=1).map(tuple)


@cache
def _items() -> st.SearchStrategy[list[Item]]:
    item = st.builds(
        lambda called, number, mass_kg, count, size, hazard: Item(
            name=f"{called} {number}", mass_kg=mass_kg, count=count, size=size, hazard=hazard
        ),
        st.sampled_from(CALLED),
        st.integers(1, 99),
        thousandths(0.0, 80.0),
        st.integers(0, 4),
        st.none() | sizes(),
        st.sampled_from(["", "", "", "fuel", "gas"]),
    )
    return st.lists(item, max_size=6, unique_by=lambda item: item.key)


@cache
def _cans() -> st.SearchStrategy[list[Liquid]]:
    can = st.builds(
        lambda number, own_kg, capacity_l: Liquid(
            name=f"can {number}", container_kg=own_kg, capacity_l=capacity_l, density_kg_per_l=1.0
        ),
        st.integers(1, 9),
        thousandths(0.0, 6.0),
        thousandths(1.0, 60.0),
    )
    return st.lists(can, max_size=2, unique_by=lambda can: can.key)


@st.composite
def _people(draw: st.DrawFn, vehicle: Vehicle, zones: tuple[Zone, ...]) -> tuple[Occupant, ...]:
    """Riders in some of the seats, and perhaps a dog in a zone inside."""
    names = [seat.name for seat in vehicle.seats]
    seats: list[str] = draw(st.lists(st.sampled_from(names), unique=True))
    riders = [
        Occupant(
            name=f"rider of {seat}",
            mass_kg=draw(thousandths(0.0, 140.0)),
            seat=seat,
            kind=draw(st.sampled_from(["person", "animal"])),
            sleeps_on_roof=draw(st.booleans()),
        )
        for seat in seats
    ]
    inside = [zone.name for zone in zones if not (zone.on_carrier or zone.on_hitch)]
    has_dog: bool = draw(DOG)
    if inside and has_dog:
        riders.append(
            Occupant(name="dog", mass_kg=draw(thousandths(2.0, 60.0)), seat=inside[0], kind="animal")
        )
    return tuple(riders)


@st.composite
def cases(draw: st.DrawFn) -> Case:
    """A vehicle and a loadout that fits it."""
    vehicle = draw(vehicles())
    return vehicle, draw(loadouts(vehicle))


@st.composite
def loaded_cases(draw: st.DrawFn) -> Case:
    """A vehicle and a loadout with at least one piece of gear of some mass, the first on the list."""
    vehicle, loadout = draw(cases())
    item = Item(name="crate", mass_kg=draw(thousandths(0.5, 200.0)), count=draw(st.integers(1, 4)))
    crate = Stowed(item=item, zone=loadout.zones[0].name, count=item.count, place=draw(OWN_PLACE))
    return vehicle, replace_gear(loadout, (crate, *loadout.gear))


def replace_gear(loadout: Loadout, gear: tuple[Stowed, ...]) -> Loadout:
    """The same loadout with other gear."""
    return replace(loadout, gear=gear)
