"""Tires at less than their reference pressure: relations, the printed table, the road, the axle, and the spare."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadcalc.checks.balance import Wheels
from loadcalc.checks.tires.inflation import (
    capacity_at_kg,
    pressure_needed_kpa,
    road_limit,
    speed_caution,
    trail_limit,
)
from loadcalc.checks.tires.relations import BEST, CHOICES, RELATIONS, load_by_power_kg
from loadcalc.checks.tires.tire_sums import axle_tire_sum, spare_verdict
from loadcalc.model import Limit, Tire
from loadcalc.model.errors import BadValue
from tests.reference_rows import Row, case_id, half_last_digit, rows

TRUCK = Tire(load_index=110, marking="light truck", reference_kpa=450.0, placard_kpa=300.0)
TABLE = ((250.0, 700.0), (350.0, 870.0), (450.0, 1060.0))
PRINTED = Tire(
    load_index=110, marking="light truck", reference_kpa=450.0, placard_kpa=300.0, pressure_table=TABLE
)
PRESSURES = st.floats(50.0, 450.0)


@pytest.mark.parametrize("row", rows("tire_pressure.csv"), ids=case_id)
def test_load_at_a_pressure(row: Row) -> None:
    """Each relation gives the load of its check value."""
    load_kg = load_by_power_kg(
        reference_kg=float(row["reference_load"]),
        reference_kpa=float(row["reference_pressure"]),
        pressure_kpa=float(row["pressure"]),
        exponent=float(row["exponent"]),
    )

    allowed = float(row["tolerance"]) if row["tolerance"] else half_last_digit(row["load"])
    assert load_kg == pytest.approx(float(row["load"]), abs=allowed)


def test_the_relation_in_proportion_is_the_lowest() -> None:
    """Below the reference pressure no other relation gives less, so the default errs to the safe side."""
    for kpa in (60.0, 150.0, 300.0, 449.0):
        in_proportion = capacity_at_kg(TRUCK, "light truck", kpa, "linear")
        others = [
            capacity_at_kg(TRUCK, "light truck", kpa, key) for key in RELATIONS if key.startswith("power")
        ]
        assert min(others) > in_proportion


@pytest.mark.parametrize(
    ("relation", "part"),
    [("linear", 0.25), ("power 0.8", 0.329877), ("power 0.7", 0.378929), ("power 0.5", 0.5)],
)
def test_each_relation_by_hand_at_a_quarter_of_the_pressure(relation: str, part: float) -> None:
    """A quarter to the power of 1, 0.8, 0.7 and 0.5, of the 1060 kg of index 110."""
    assert capacity_at_kg(TRUCK, "light truck", 112.5, relation) == pytest.approx(1060 * part, abs=1e-3)


def test_relations_from_memory_are_off_unless_chosen_and_say_so() -> None:
    """The default is never a relation from memory; a chosen one carries its status into the limit."""
    default = trail_limit(TRUCK, "light truck", 200.0)
    chosen = trail_limit(TRUCK, "light truck", 200.0, "power 0.8")

    assert "in proportion to pressure (published)" in default.read_at
    assert "from memory" not in default.read_at
    assert "power 0.8 (from memory)" in chosen.read_at
    assert "trail only" in default.read_at


def test_printed_table_is_read_between_its_rows() -> None:
    """Half way between two rows lies half way between their loads, and the limit names the table."""
    limit = trail_limit(PRINTED, "light truck", 300.0)

    assert limit.limit_kg == pytest.approx((700.0 + 870.0) / 2, abs=1e-9)
    assert "printed table" in limit.read_at
    assert [capacity_at_kg(PRINTED, "light truck", kpa) for kpa, _ in TABLE] == [kg for _, kg in TABLE]


@pytest.mark.parametrize("kpa", [249.0, 451.0])
def test_printed_table_is_never_read_beyond_its_rows(kpa: float) -> None:
    """Chosen outright, the table refuses a pressure outside it and names its range."""
    with pytest.raises(BadValue, match=r"outside the printed table, 250 to 450 kPa"):
        capacity_at_kg(PRINTED, "light truck", kpa, "table")
    assert trail_limit(PRINTED, "light truck", kpa, "table").limit_kg is None


def test_below_its_table_a_tire_carries_no_more_than_the_first_row() -> None:
    """A generous reference cannot lift the load under the first printed row above that row."""
    odd = Tire(
        load_index=110,
        marking="light truck",
        reference_kpa=260.0,
        pressure_table=((250.0, 700.0), (300.0, 800.0)),
    )

    assert capacity_at_kg(odd, "light truck", 249.0) == pytest.approx(697.2, abs=1e-9)  # 700 * 249 / 250


def test_passenger_marked_tires_stay_divided() -> None:
    """On a light truck both the relation and the printed table count for their load over 1.10."""
    passenger = Tire(load_index=110, reference_kpa=450.0)
    printed = Tire(load_index=110, reference_kpa=450.0, pressure_table=TABLE)

    assert capacity_at_kg(passenger, "light truck", 225.0) == pytest.approx(530.0 / 1.1, rel=1e-12)
    assert capacity_at_kg(passenger, "passenger car", 225.0) == pytest.approx(530.0, rel=1e-12)
    assert capacity_at_kg(printed, "light truck", 250.0) == pytest.approx(700.0 / 1.1, rel=1e-12)


def test_more_air_than_the_reference_carries_no_more() -> None:
    """Above the reference the load index still holds."""
    assert capacity_at_kg(TRUCK, "light truck", 600.0) == 1060.0


@pytest.mark.parametrize(
    ("tire", "says"),
    [
        (Tire(), "load index is not known"),
        (Tire(load_index=110), "reference pressure is not known"),
    ],
)
def test_what_is_not_known_gives_no_limit(tire: Tire, says: str) -> None:
    """Without index or reference there is no limit, and the reason stands where the source would."""
    limit = trail_limit(tire, "light truck", 200.0)

    assert limit.limit_kg is None
    assert says in limit.read_at.replace(" '' ", " ")


@pytest.mark.parametrize("kpa", [10.0, 1500.0, float("nan")])
def test_pressures_outside_any_tire_are_refused(kpa: float) -> None:
    """A pressure that no road tire has is refused, not judged."""
    with pytest.raises(BadValue, match="pressure"):
        capacity_at_kg(TRUCK, "light truck", kpa)


def test_unknown_relation_is_refused() -> None:
    """A relation that isn't listed is refused with the list."""
    with pytest.raises(BadValue, match="best known, table, linear"):
        capacity_at_kg(TRUCK, "light truck", 200.0, "cubic")


def test_on_the_road_the_placards_pressure_counts_unless_another_is_set() -> None:
    """In proportion: 1060 * 300 / 450 at the placard, all of it at the reference."""
    assert road_limit(TRUCK, "light truck").limit_kg == pytest.approx(1060.0 * 300 / 450, rel=1e-12)
    assert road_limit(TRUCK, "light truck", 450.0).limit_kg == 1060.0
    assert road_limit(Tire(load_index=110, reference_kpa=450.0), "light truck").assumed


def test_caution_stands_below_the_placard_only() -> None:
    """The caution is said whenever less air than the placard is in, also when the placard isn't known."""
    assert speed_caution(None, 300.0) == ""
    assert speed_caution(300.0, 300.0) == ""
    assert "Common practice, no source" in speed_caution(299.0, 300.0)
    assert "placard's pressure is not known" in speed_caution(200.0, None)


@given(low=PRESSURES, high=PRESSURES, relation=st.sampled_from([c for c in CHOICES if c != "table"]))
def test_more_air_never_carries_less(low: float, high: float, relation: str) -> None:
    """Whatever the relation, with or without a printed table, load rises with pressure."""
    low, high = sorted((low, high))
    for tire in (TRUCK, PRINTED):
        less, more = (capacity_at_kg(tire, "light truck", kpa, relation) for kpa in (low, high))
        assert less <= more * (1 + 1e-12)


@given(load_kg=st.floats(200.0, 1060.0), relation=st.sampled_from([c for c in CHOICES if c != "table"]))
def test_needed_pressure_carries_the_load_and_no_less_does(load_kg: float, relation: str) -> None:
    """The pressure that a load needs carries it; a hundredth less air doesn't."""
    for tire in (TRUCK, PRINTED):
        kpa = pressure_needed_kpa(tire, "light truck", load_kg, relation)
        assert capacity_at_kg(tire, "light truck", kpa, relation) >= load_kg * (1 - 1e-6)
        if kpa > 51.0:
            assert capacity_at_kg(tire, "light truck", kpa * 0.99, relation) < load_kg


def test_needed_pressure_by_power_is_the_closed_form() -> None:
    """With the exponent 0.8 the search finds reference * (load / reference load) ** 1.25."""
    kpa = pressure_needed_kpa(TRUCK, "light truck", 848.0, "power 0.8")

    assert kpa == pytest.approx(450.0 * 0.8**1.25, rel=1e-7)


def test_a_load_that_no_pressure_carries_is_refused() -> None:
    """Over the load index there is no pressure to give."""
    with pytest.raises(BadValue, match="more than the 1060 kg"):
        pressure_needed_kpa(TRUCK, "light truck", 1061.0, BEST)


def test_axle_sum_against_the_rating() -> None:
    """Two passenger tires of index 110 on a light truck carry 1927.3 kg, whatever the axle is rated for."""
    passenger = Tire(load_index=110)
    short = axle_tire_sum(passenger, "light truck", Limit(limit_kg=1950.0))

    assert short.tires_kg == pytest.approx(1927.27, abs=0.005)
    assert short.enough is False
    assert short.room_kg == pytest.approx(1927.2727 - 1950.0, abs=0.001)
    assert axle_tire_sum(passenger, "passenger car", Limit(limit_kg=1950.0)).enough is True
    assert axle_tire_sum(Tire(), "light truck", Limit(limit_kg=1950.0)).enough is None
    assert axle_tire_sum(passenger, "light truck", Limit()).room_kg is None
    just = axle_tire_sum(Tire(load_index=110, marking="light truck"), "light truck", Limit(limit_kg=2120.0))
    assert (just.room_kg, just.enough) == (0.0, True)
    assert axle_tire_sum(passenger, "passenger car", Limit(limit_kg=1950.0), tires=4).tires_kg == 4240.0


def test_spare_against_both_axles() -> None:
    """A smaller spare is told apart: not as good as the tires, good enough for one axle's load, not for the other's."""
    tire, spare = Tire(load_index=110), Tire(load_index=100)
    front, rear = spare_verdict(spare, tire, tire, "light truck", Wheels(700.0, 720.0, 730.0, 600.0))

    assert spare_verdict(tire, tire, tire, "light truck")[0].as_good is True
    assert (front.as_good, rear.as_good) == (False, False)
    assert front.spare_kg == pytest.approx(800 / 1.1, rel=1e-12)
    assert (front.load_kg, rear.load_kg) == (720.0, 730.0)
    assert (front.carries_load, rear.carries_load) == (True, False)
    just, short = spare_verdict(TRUCK, TRUCK, TRUCK, "light truck", Wheels(1060.0, 0.0, 0.0, 1060.1))
    assert (just.carries_load, short.carries_load) == (True, False)


def test_an_unknown_spare_is_not_passed() -> None:
    """Nothing known of the spare: neither as good nor enough, but not known."""
    front, _ = spare_verdict(None, TRUCK, TRUCK, "light truck", Wheels(1.0, 1.0, 1.0, 1.0))

    assert (front.as_good, front.carries_load) == (None, None)
