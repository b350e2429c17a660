"""Records refuse what cannot be true, and the message names field, value, limit, unit, and cure."""

from __future__ import annotations

import copy
import dataclasses
import pickle

import pytest

from loadcalc.checks import Shares
from loadcalc.model import (
    BadValue,
    Carrier,
    Filled,
    FuelTank,
    Item,
    Limit,
    LoadcalcError,
    Loadout,
    NotFound,
    Place,
    Seat,
    Stowed,
    Zone,
    cg_from_axles,
    stow,
)
from tests.refusals import BOX, CAN, MISSING, PLACE, REFUSED, SIZE, occupant, unfit, vehicle


@pytest.mark.parametrize("case", REFUSED)
def test_bad_input_names_field_value_limit_and_cure(case: str) -> None:
    """Each refusal says which field, what was given, what is allowed in which unit, and what to do."""
    make, words = REFUSED[case]
    with pytest.raises(BadValue) as caught:
        make()
    message = str(caught.value)

    assert not [word for word in words if word not in message], message
    assert caught.value.cure in message
    assert caught.value.field in message


@pytest.mark.parametrize("case", MISSING)
def test_a_missing_name_lists_the_known_ones(case: str) -> None:
    """A name that the records don't hold is told with those that they do."""
    make, words = MISSING[case]
    with pytest.raises(NotFound) as caught:
        make()

    assert not [word for word in words if word not in str(caught.value)], str(caught.value)


def test_errors_can_be_caught_either_way() -> None:
    """Ours are also builtin kinds, so a caller may catch what it knows."""
    with pytest.raises(ValueError, match="mass each"):
        Item(name="saw", mass_kg=-1.0)
    with pytest.raises(LookupError, match="attic"):
        Loadout(name="out").zone("attic")
    assert issubclass(BadValue, LoadcalcError)
    assert issubclass(NotFound, LoadcalcError)


def test_an_error_can_be_told_where_it_stands() -> None:
    """`at` keeps the words and puts the record or cell in front."""
    error = BadValue("mass each", 900, "is outside 0 to 500 kg", "check the number and its unit")

    assert str(error.at("gear row 12")) == f"gear row 12: {error}"


def test_records_do_not_change() -> None:
    """A record is frozen: a change makes a new one."""
    with pytest.raises(dataclasses.FrozenInstanceError):
        BOX.mass_kg = 11.0  # type: ignore[misc]  # that it can't be done is the point
    with pytest.raises(TypeError):
        unfit(vehicle(limits={"gross": Limit(limit_kg=3000.0)}).limits)["gross"] = Limit()
    assert dataclasses.replace(BOX, mass_kg=11.0).mass_kg == 11.0


def test_names_stand_for_keys_until_one_is_given() -> None:
    """Items, people, and liquids are found by name unless they have a key of their own."""
    assert (BOX.key, occupant().key, CAN.key) == ("box", "Robin", "can")
    assert Item(name="box", mass_kg=1.0, key="b7").key == "b7"


def test_numbers_from_tables_are_numbers() -> None:
    """Whole numbers and short floats as a table of numpy numbers hands them out are taken."""
    import numpy as np

    assert Item(name="box", mass_kg=unfit(np.int64(3))).mass_kg == 3.0
    assert Item(name="box", mass_kg=unfit(np.float32(2.5)), count=unfit(np.int64(2))).count == 2


def test_stow_puts_all_that_are_owned() -> None:
    """`stow` reads as a packing list and takes each item's own count."""
    cones = Item(name="cone", mass_kg=1.5, count=4)
    (stowed,) = stow({"floor": [cones]})

    assert (stowed.zone, stowed.count, stowed.mass_kg) == ("floor", 4, 6.0)


def test_mass_of_a_can_is_container_and_content() -> None:
    """A can of 2 kg with 10 L of water at 1 kg/L weighs 12 kg; empty it still weighs 2 kg."""
    assert Filled(liquid=CAN, zone="floor", fill_l=10.0).mass_kg == pytest.approx(12.0, abs=1e-12)
    assert Filled(liquid=CAN, zone="floor", fill_l=0.0).mass_kg == pytest.approx(2.0, abs=1e-12)


def test_limit_not_entered_is_unknown() -> None:
    """A rating nobody entered has no limit; it is not zero and not infinite."""
    assert vehicle().limit("gross").limit_kg is None
    assert Carrier(name="rack", mass_kg=20.0, place=PLACE, size=SIZE).limit("carrier_road").limit_kg is None


def test_volume_of_a_box() -> None:
    """1.0 x 1.0 x 0.5 m is 500 L."""
    assert SIZE.volume_l == pytest.approx(500.0, abs=1e-9)


def test_records_with_limits_can_be_copied_pickled_and_hashed() -> None:
    """Other processes and caches get an equal vehicle."""
    one = vehicle(limits={"gross": Limit(limit_kg=3000.0)})
    assert copy.deepcopy(one) == one
    assert pickle.loads(pickle.dumps(one)) == one
    assert hash(one) == hash(copy.deepcopy(one))


def test_seats_may_come_from_a_generator() -> None:
    """Checking them does not use them up."""
    seats = tuple(Seat(name=name, place=PLACE) for name in ("left", "right"))
    assert vehicle(seats=(seat for seat in seats)).seats == seats


def test_a_bare_number_is_no_limit() -> None:
    """A limit without its source is refused when it is entered, not when it is read."""
    with pytest.raises(BadValue, match="is not a Limit"):
        vehicle(limits={"gross": 3000.0})


def test_a_wheelbase_of_nothing_gives_no_center() -> None:
    """Axle loads without a distance between them are refused."""
    with pytest.raises(BadValue, match="wheelbase"):
        cg_from_axles(front_kg=1000.0, rear_kg=1000.0, wheelbase_m=-2.0, up_m=0.7)


def test_a_thing_in_two_zones_has_two_columns() -> None:
    """A sweep that changes an item changes all of it, and no item is taken for the fuel."""
    zones = tuple(Zone(name=name, place=PLACE, size=SIZE) for name in ("front", "back"))
    fuel = Item(name="fuel", mass_kg=5.0)
    gear = tuple(Stowed(item=fuel, zone=zone.name) for zone in zones)
    shares = Shares(vehicle(), Loadout(name="split", zones=zones, gear=gear))
    assert [shares.masses[index].zone for index in shares.columns["fuel"]] == ["front", "back"]
    assert [shares.masses[index].name for index in shares.columns["own:fuel"]] == ["Fuel in the tank"]


def test_a_center_below_the_ground_names_what_made_it() -> None:
    """Taking the fuel out of a curb mass can show that the two do not fit."""
    tank = FuelTank(capacity_l=1000.0, density_kg_per_l=1.0, place=Place(aft_m=1.0, up_m=4.0))
    odd = vehicle(curb_cg=Place(aft_m=1.2, up_m=0.5), tank=tank, curb_fuel_l=1000.0)
    with pytest.raises(BadValue, match="up of the vehicle without fuel"):
        Shares(odd, Loadout(name="empty"))
