"""Which masses count against which rating: one small invented case, worked by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from loadcalc.checks.balance import moment_center, shift_of_center_m
from loadcalc.checks.findings.judge import evaluate
from loadcalc.model import BadValue, Place, Tire
from tests.hand_case import BOX, DOG, DRIVER, LOADOUT, TENT, VEHICLE

# Masses: vehicle 2000, fuel 80, carrier 30, driver 75, sleeper 60, dog 20, two boxes 100, tent 45, can 13.
ADDED = 30 + 75 + 60 + 20 + 100 + 45 + 13
REAR = (
    2000 * 1.2 + 80 * 2.4 + 30 * 1.5 + 75 * 1.2 + 60 * 2.1 + 20 * 2.7 + 100 * 2.7 + 45 * 1.5 + 13 * 1.5
) / 3.0
TILT = 0.5 * (75 * 0.4 - 60 * 0.4) / 1.5  # half of the sideways moment on each axle, over the track
BY_HAND = {
    "gross": (2000 + 80 + ADDED, "the whole vehicle"),
    "front_axle": (2000 + 80 + ADDED - REAR, "what the rear axle leaves"),
    "rear_axle": (REAR, "aft over wheelbase of each mass"),
    "placard": (ADDED, "all but the vehicle and its own fuel"),
    "roof_road": (30 + 45 + 13, "carrier and what stands on it"),
    "roof_off_road": (30 + 45 + 13, "carrier and what stands on it"),
    "roof_parked": (30 + 45 + 13 + 60, "and the sleeper"),
    "carrier_road": (45 + 13, "what stands on it, not itself"),
    "carrier_off_road": (45 + 13, "what stands on it, not itself"),
    "carrier_parked": (45 + 13 + 60, "and the sleeper"),
    "zone:platform": (45 + 13, "what rides there"),
    "zone:floor": (100 + 20, "what rides there, the dog too"),
    "tire:front_left": ((2000 + 80 + ADDED - REAR) / 2 + TILT, "half the axle and the tilt"),
    "tire:front_right": ((2000 + 80 + ADDED - REAR) / 2 - TILT, "half the axle less the tilt"),
    "tire:rear_left": (REAR / 2 + TILT, "half the axle and the tilt"),
    "tire:rear_right": (REAR / 2 - TILT, "half the axle less the tilt"),
    "seats": (2, "driver and sleeper; the dog rides in a zone"),
}


@pytest.mark.parametrize("key", BY_HAND)
def test_each_rating_counts_its_own_masses(key: str) -> None:
    """The load on every rating is the sum worked by hand."""
    load, _why = BY_HAND[key]

    assert evaluate(VEHICLE, LOADOUT).rating(key).load == pytest.approx(load, abs=1e-9)


def test_no_rating_is_missing_from_the_hand_case() -> None:
    """The hand case covers every rating there is."""
    assert {rating.key for rating in evaluate(VEHICLE, LOADOUT).ratings} == set(BY_HAND)


@pytest.mark.parametrize(
    ("key", "counted"),
    [
        ("placard", {"own:carrier", "driver", "sleeper", "dog", "box", "tent", "can"}),
        ("roof_road", {"own:carrier", "tent", "can"}),
        ("roof_parked", {"own:carrier", "tent", "can", "sleeper"}),
        ("carrier_road", {"tent", "can"}),
        ("zone:floor", {"box", "dog"}),
        ("seats", {"driver", "sleeper"}),
    ],
)
def test_parts_name_what_counts(key: str, counted: set[str]) -> None:
    """The parts of a rating are the masses that count against it, by key."""
    assert {part.key for part in evaluate(VEHICLE, LOADOUT).rating(key).parts} == counted


@pytest.mark.parametrize(
    ("keys", "condition"),
    [
        (("roof_road", "carrier_road"), "moving on road"),
        (("roof_off_road", "carrier_off_road"), "moving off road"),
        (("roof_parked", "carrier_parked"), "parked"),
        (("gross", "front_axle", "rear_axle", "placard", "zone:floor", "tire:rear_left"), "at all times"),
    ],
)
def test_each_rating_says_when_it_holds(keys: tuple[str, ...], condition: str) -> None:
    """Roof and carrier limits hold for one condition each, the others at all times."""
    report = evaluate(VEHICLE, LOADOUT)

    assert {report.rating(key).condition for key in keys} == {condition}


def test_without_a_carrier_there_are_no_carrier_ratings() -> None:
    """A carrier that is off adds neither mass nor rows; the vehicle's roof rows stay, empty."""
    bare = replace(LOADOUT, carrier=None, gear=(BOX,), liquids=())
    report = evaluate(VEHICLE, bare)

    assert not [rating.key for rating in report.ratings if rating.key.startswith("carrier")]
    assert report.rating("roof_road").load_kg == 0.0
    assert report.rating("roof_parked").load_kg == 60.0


def test_a_load_on_an_absent_carrier_is_refused() -> None:
    """Gear on the platform with the carrier off is bad input, and the message says what to do."""
    with pytest.raises(BadValue, match="put the roof rack on or move the item"):
        replace(LOADOUT, carrier=None)


def test_an_animal_on_the_carrier_counts_there_or_is_refused() -> None:
    """A dog is never left out of the roof's load because it is not gear."""
    loadout = replace(LOADOUT, people=(DRIVER, replace(DOG, seat="platform")))
    try:
        report = evaluate(VEHICLE, loadout)
    except BadValue:
        return
    assert report.rating("roof_road").load_kg == pytest.approx(88.0 + 20.0, abs=1e-9)
    assert report.rating("carrier_road").load_kg == pytest.approx(58.0 + 20.0, abs=1e-9)


def test_a_dog_in_a_seat_takes_the_seat() -> None:
    """An animal in a seat counts as a seat taken and not in any zone."""
    report = evaluate(VEHICLE, replace(LOADOUT, people=(DRIVER, replace(DOG, seat="back left"))))

    assert (report.rating("seats").load, report.rating("zone:floor").load_kg) == (2.0, 100.0)
    assert [(part.share, part.adds) for part in report.rating("seats").parts] == [(1.0, 1.0)] * 2


def test_gear_at_its_own_place_acts_there() -> None:
    """An item's own place decides the axle load; its zone still decides what it counts against."""
    ahead = replace(BOX, place=Place(aft_m=0.0, up_m=0.8))
    report = evaluate(VEHICLE, replace(LOADOUT, gear=(ahead, TENT)))

    assert report.rear_axle_kg == pytest.approx(REAR - 100 * 2.7 / 3.0, abs=1e-9)
    assert report.rating("zone:floor").load_kg == pytest.approx(120.0, abs=1e-9)


def test_center_of_gravity_by_hand() -> None:
    """The center's height is the sum of mass times height over the total."""
    moment = 2000 * 0.7 + 80 * 0.5 + 30 * 1.9 + (75 + 60) * 0.9 + (20 + 100) * 0.8 + (45 + 13) * 2.0
    cg = evaluate(VEHICLE, LOADOUT).cg

    assert cg.up_m == pytest.approx(moment / (2080 + ADDED), rel=1e-12)
    assert cg.left_m == pytest.approx((75 - 60) * 0.4 / (2080 + ADDED), rel=1e-12)


def test_tire_limits_come_from_the_sidewall() -> None:
    """Index 110 is 1060 kg, over 1.10 for a passenger tire on a light truck; no index, no limit."""
    vehicle = replace(
        VEHICLE, front_tire=Tire(load_index=110), rear_tire=Tire(load_index=110, marking="light truck")
    )
    report = evaluate(vehicle, LOADOUT)
    assert report.rating("tire:front_left").limit_kg == pytest.approx(963.6, abs=0.05)
    assert "÷ 1.10" in report.rating("tire:front_left").read_at
    assert report.rating("tire:rear_right").limit_kg == 1060.0
    assert "÷ 1.10" not in report.rating("tire:rear_right").read_at

    assert not evaluate(VEHICLE, LOADOUT).rating("tire:front_left").known


def test_moments_need_matching_lists_and_some_mass() -> None:
    """A center needs one arm for each mass, and a mass."""
    with pytest.raises(BadValue, match="arms 1 do not match 2 masses"):
        moment_center([1.0, 2.0], [0.5])
    with pytest.raises(BadValue, match="has no center of gravity"):
        moment_center([], [])
    with pytest.raises(BadValue, match="total mass 0 is outside"):
        shift_of_center_m(moved_kg=1.0, distance_m=1.0, total_kg=0)
