"""Tires as ratings: judged at the pressure that is in them on the road, whoever asks."""

from __future__ import annotations

from dataclasses import replace

import pytest

from loadcalc.checks import RatingResult, evaluate
from loadcalc.model import Loadout, Place, Tire, Vehicle
from tests.hand_case import VEHICLE

# Load index 112 is 1120 kg (data/facts/tire_load_index.csv); a light-truck marking is not divided.
TRUCK = Tire(load_index=112, marking="light truck", reference_kpa=350.0, placard_kpa=240.0)
# 3472 kg with its center in the middle of four alike wheels: 868 kg on each.
HEAVY = replace(VEHICLE, curb_kg=3472.0, curb_cg=Place(aft_m=1.5, up_m=0.7), front_tire=TRUCK, rear_tire=TRUCK)
EMPTY = Loadout(name="empty")


def rear_left(vehicle: Vehicle, loadout: Loadout = EMPTY) -> RatingResult:
    """The rating of one rear tire."""
    return evaluate(vehicle, loadout).rating("tire:rear_left")


def test_a_tire_is_judged_at_the_placards_pressure() -> None:
    """1120 kg at 350 kPa is 1120 * 240 / 350 = 768 kg at the placard's 240 kPa: 868 kg on it is 113 % of that."""
    found = rear_left(HEAVY)

    assert found.load_kg == pytest.approx(868.0, abs=1e-9)
    assert found.limit_kg == pytest.approx(768.0, abs=1e-9)
    assert found.over
    assert "240 kPa" in found.read_at
    assert not found.assumed


def test_a_pressure_set_for_the_road_counts_instead_of_the_placards() -> None:
    """At 280 kPa it carries 1120 * 280 / 350 = 896 kg; the front keeps to the placard."""
    report = evaluate(HEAVY, replace(EMPTY, rear_road_kpa=280.0))

    assert report.rating("tire:rear_left").limit_kg == pytest.approx(896.0, abs=1e-9)
    assert report.rating("tire:front_left").limit_kg == pytest.approx(768.0, abs=1e-9)
    assert not report.rating("tire:rear_left").over


@pytest.mark.parametrize(
    ("tire", "says"),
    [
        (replace(TRUCK, placard_kpa=None), "350 kPa"),
        (replace(TRUCK, reference_kpa=None), "240 kPa"),
        (replace(TRUCK, placard_kpa=None, reference_kpa=None), "pressure"),
    ],
)
def test_without_one_of_the_pressures_the_limit_is_assumed_and_says_what_it_takes_for_granted(
    tire: Tire, says: str
) -> None:
    """The marked load stands in, 1120 kg, and nobody reads it as a known limit."""
    found = rear_left(replace(HEAVY, rear_tire=tire))

    assert found.limit_kg == pytest.approx(1120.0, abs=1e-9)
    assert found.assumed
    assert says in found.assumed


def test_a_tire_without_a_load_index_has_no_limit() -> None:
    """Nothing read from the sidewall: not known, at any pressure."""
    assert rear_left(replace(HEAVY, rear_tire=Tire(placard_kpa=240.0))).known is False


def test_below_its_printed_table_the_load_falls_in_proportion_to_the_first_row() -> None:
    """200 kPa under a table that begins at 250 kPa with 700 kg: 700 * 200 / 250 = 560 kg, never the flat 700."""
    table = ((250.0, 700.0), (350.0, 870.0))
    tire = Tire(marking="light truck", pressure_table=table)

    found = rear_left(replace(HEAVY, rear_tire=tire), replace(EMPTY, rear_road_kpa=200.0))

    assert found.limit_kg == pytest.approx(560.0, abs=1e-9)
