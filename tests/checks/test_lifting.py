"""The lifting equation: published examples and tables, its refusals, and its physics."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadcalc.checks.lifting.hoist import Handling, lift_limit_kg, lifts
from loadcalc.checks.lifting.niosh import (
    INCH_M,
    POUND_KG,
    Lift,
    OutsideEquation,
    frequency_multiplier,
    grip_multiplier,
    lift_multipliers,
    lifting_index,
    recommended_limit_kg,
)
from loadcalc.model import Carrier, Filled, Item, Liquid, Loadout, Place, Size, Stowed, Zone
from loadcalc.model.errors import BadValue
from tests.reference_rows import Row, case_id, half_last_digit, rows

EASY = Lift(reach_m=0.25, height_m=0.75, travel_m=0.25, grip="good")


@pytest.mark.parametrize("row", rows("lifts.csv"), ids=case_id)
def test_published_examples(row: Row) -> None:
    """Limit and index, in the form (metric, or inches and pounds) that the example is printed in."""
    length, mass = (INCH_M, POUND_KG) if row["form"] == "US" else (1.0, 1.0)
    lift = Lift(
        reach_m=float(row["reach"]) * length,
        height_m=float(row["height"]) * length,
        travel_m=float(row["travel"]) * length,
        turn_deg=float(row["turn"]),
        grip=row["grip"],
        lifts_per_min=float(row["frequency"]),
        hours=int(row["hours"]),
    )
    limit_kg = recommended_limit_kg(lift, row["form"])

    assert limit_kg / mass == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))
    index = lifting_index(float(row["mass"]) * mass, limit_kg)
    assert index == pytest.approx(float(row["expected_index"]), abs=float(row["index_tolerance"]))


@pytest.mark.parametrize("row", rows("lift_turns.csv"), ids=case_id)
def test_turns(row: Row) -> None:
    """AM by the formula agrees with the printed table."""
    found = lift_multipliers(replace(EASY, turn_deg=float(row["turn_deg"]))).turn

    assert found == pytest.approx(float(row["multiplier"]), abs=half_last_digit(row["multiplier"]))


FREQUENCIES = rows("lift_frequencies.csv")


@pytest.mark.parametrize("row", [r for r in FREQUENCIES if r["verdict"] == "right"], ids=case_id)
def test_frequencies(row: Row) -> None:
    """FM for each row, duration, and height; where the table has 0, the lift is refused."""
    asked = float(row["lifts_per_min"]), int(row["hours"])
    low = row["hands"] == "low"
    if float(row["multiplier"]) == 0:
        with pytest.raises(OutsideEquation, match="outside the lifting equation"):
            frequency_multiplier(*asked, low=low)
        return

    assert frequency_multiplier(*asked, low=low) == float(row["multiplier"])


@pytest.mark.parametrize(
    ("often", "hours", "low", "most"), [(9, 8, True, 8), (11, 8, False, 10), (13, 1, True, 12), (16, 1, False, 15)]
)
def test_too_often_names_the_most_that_the_table_has(often: float, hours: int, low: bool, most: int) -> None:
    """Table 5: for 8 hours with low hands there is a value up to 8 a minute, and so on."""
    with pytest.raises(OutsideEquation, match=f"0 to {most} a minute"):
        frequency_multiplier(often, hours, low=low)


@pytest.mark.parametrize("row", [r for r in FREQUENCIES if r["verdict"] == "wrong"], ids=case_id)
def test_the_swapped_table_is_not_ours(row: Row) -> None:
    """A public copy has its durations swapped: none of its values stands here."""
    found = frequency_multiplier(float(row["lifts_per_min"]), int(row["hours"]), low=False)

    assert abs(found - float(row["multiplier"])) > 0.05


def test_longer_work_never_allows_more() -> None:
    """What gave the swap away: more hours cannot raise a limit."""
    for often in (0.2, 0.5, 1, 2, 3, 4, 5, 6, 7, 8):
        short, moderate, long = (frequency_multiplier(often, hours, low=True) for hours in (1, 2, 8))
        assert short >= moderate >= long


@pytest.mark.parametrize("row", rows("lift_grips.csv"), ids=case_id)
def test_grips(row: Row) -> None:
    """CM for each grip, low and high."""
    assert grip_multiplier(row["grip"], low=row["hands"] == "low") == float(row["multiplier"])


@pytest.mark.parametrize(
    ("change", "field", "most"),
    [
        ({"height_m": 1.76}, "height of the hands", "1.75 m"),
        ({"height_m": -0.1}, "height of the hands", "1.75 m"),
        ({"reach_m": 0.64}, "reach", "0.63 m"),
        ({"travel_m": 1.8}, "travel of the hands", "1.75 m"),
        ({"turn_deg": 136.0}, "turn of the body", "135 degrees"),
        ({"lifts_per_min": 16.0}, "lifts", "15 a minute"),
    ],
)
def test_outside_its_range_the_equation_is_refused(change: dict[str, float], field: str, most: str) -> None:
    """No number; the field, the range, and what to do instead."""
    with pytest.raises(OutsideEquation) as refused:
        recommended_limit_kg(replace(EASY, **change))  # type: ignore[arg-type]  # one float each

    assert str(refused.value).startswith(field)
    assert f"0 to {most}" in str(refused.value)
    if field != "lifts":
        assert "share it or lower it" in str(refused.value)


@pytest.mark.parametrize(
    ("form", "unit_m", "reach", "height", "travel"),
    [("SI", 1.0, 0.63, 1.75, 1.75), ("US", INCH_M, 25.0, 70.0, 70.0)],
)
def test_the_ends_of_its_range_are_answered(
    form: str, unit_m: float, reach: float, height: float, travel: float
) -> None:
    """Each form at its own farthest, as printed; half a percent further is refused."""
    ends = {
        "reach_m": reach * unit_m,
        "height_m": height * unit_m,
        "travel_m": travel * unit_m,
        "turn_deg": 135.0,
    }
    for field, most in ends.items():
        assert recommended_limit_kg(replace(EASY, **{field: most}), form) > 0  # type: ignore[arg-type]  # one float
        with pytest.raises(OutsideEquation):
            recommended_limit_kg(replace(EASY, **{field: most * 1.005}), form)  # type: ignore[arg-type]  # one float
    assert lift_multipliers(replace(EASY, height_m=-1e-12)).height == pytest.approx(
        0.775, abs=1e-9
    )  # the floor


def test_the_form_in_inches_by_hand() -> None:
    """HM = 10/20, VM = 1 - 0.0075 x 10, DM = 0.82 + 1.8/20, AM = 1 - 0.0032 x 90, of 51 lb."""
    lift = Lift(reach_m=20 * INCH_M, height_m=40 * INCH_M, travel_m=20 * INCH_M, turn_deg=90.0, grip="good")
    found = lift_multipliers(lift, "US")

    assert (found.reach, found.height, found.travel, found.turn) == pytest.approx(
        (0.5, 0.925, 0.91, 0.712), rel=1e-12
    )
    pounds = recommended_limit_kg(lift, "US") / POUND_KG
    assert pounds == pytest.approx(51 * 0.5 * 0.925 * 0.91 * 0.712, rel=1e-12)


@pytest.mark.parametrize(("form", "height_m"), [("SI", 0.75), ("US", 30 * INCH_M)])
def test_hands_at_the_best_height_are_not_low(form: str, height_m: float) -> None:
    """CM of a fair grip is 1.0 from 75 cm (30 in) on, 0.95 below."""
    at_it = Lift(reach_m=0.3, height_m=height_m, travel_m=0.3)

    assert lift_multipliers(at_it, form).grip == 1.0
    assert lift_multipliers(replace(at_it, height_m=height_m - 0.01), form).grip == 0.95
    assert lift_multipliers(replace(at_it, height_m=height_m - 0.01), form).height < 1.0
    assert lift_multipliers(at_it, form).height == 1.0


def test_words_that_are_no_choice_are_refused() -> None:
    """Grip and hours are choices; a recommended limit of zero has no index."""
    with pytest.raises(BadValue, match="good, fair, poor"):
        recommended_limit_kg(replace(EASY, grip="slippery"))
    with pytest.raises(BadValue, match="choose up to 1, 2, or 8"):
        recommended_limit_kg(replace(EASY, hours=5))
    with pytest.raises(BadValue, match="recommended limit"):
        lifting_index(10.0, 0.0)


lengths = st.floats(0.0, 1.75)


@given(
    st.floats(0.0, 0.63), lengths, lengths, st.floats(0, 135), st.floats(0, 15), st.sampled_from((1, 2, 8))
)
def test_harder_in_any_one_way_never_raises_the_limit(
    reach: float, height: float, travel: float, turn: float, often: float, hours: int
) -> None:
    """The limit falls, or stays, with reach, distance from 75 cm, travel, turn, frequency, hours, and a worse grip."""
    lift = Lift(
        reach_m=reach, height_m=height, travel_m=travel, turn_deg=turn, lifts_per_min=often, hours=hours, grip="good"
    )  # fmt: skip
    try:
        limit_kg = recommended_limit_kg(lift)
    except OutsideEquation:
        return
    assert 0 < limit_kg <= 23.0
    steps: list[dict[str, object]] = [
        {"reach_m": min(reach + 0.05, 0.63)},
        {"travel_m": min(travel + 0.1, 1.75)},
        {"turn_deg": min(turn + 15, 135)},
        {"height_m": min(height + 0.1, 1.75) if height >= 0.75 else max(height - 0.1, 0.0)},
        {"lifts_per_min": min(often * 1.5, 15)},
        {"hours": 8},
        {"grip": "poor"},
    ]
    for step in steps:
        try:
            harder = recommended_limit_kg(replace(lift, **step))  # type: ignore[arg-type]  # one field each
        except OutsideEquation:
            continue
        assert harder <= limit_kg + 1e-12


@given(st.floats(0.0, 1.75), st.floats(0.0, 0.63), st.floats(0, 135), lengths)
def test_each_multiplier_is_between_zero_and_one(
    height: float, reach: float, turn: float, travel: float
) -> None:
    """None of the six adds to what a person may lift; the two forms differ by their rounding only."""
    found = lift_multipliers(Lift(reach_m=reach, height_m=height, travel_m=travel, turn_deg=turn))

    for name in ("reach", "height", "travel", "turn", "frequency", "grip"):
        assert 0 < getattr(found, name) <= 1


CRATE = Size(length_m=0.6, width_m=0.4, height_m=0.3)
LOW, ROOF = (
    Zone(name="floor", place=Place(aft_m=3, up_m=0.95), size=Size(length_m=1, width_m=1, height_m=0.5)),
    Zone(
        name="roof",
        place=Place(aft_m=2, up_m=2.1),
        size=Size(length_m=1, width_m=1, height_m=0.3),
        on_carrier=True,
    ),
)


def test_a_box_to_the_cargo_floor_worked_by_hand() -> None:
    """From the ground (hands at 0.15 m) to 0.85 m: the far end is the worse one.

    H 0.2 + 0.2 + 0.15 = 0.55 m, V 0.85, D 0.70: 23 x 25/55 x (1 - 0.003 x 10) x (0.82 + 4.5/70) = 8.967 kg.
    At the ground: H 0.25 + 0.2 = 0.45, V 0.15: 23 x 25/45 x (1 - 0.18) x 0.88429 x 0.95 = 8.802 kg, which is lower.
    """
    gear = (Stowed(item=Item(name="box", mass_kg=12.0, size=CRATE), zone="floor"),)
    (box,) = lifts(Loadout(name="day", zones=(LOW,), gear=gear), Handling())

    assert box.height_m == pytest.approx(0.85, abs=1e-12)
    assert box.limit_kg == pytest.approx(8.802, abs=0.001)
    assert box.index == pytest.approx(12.0 / 8.802, abs=0.001)


def test_a_box_from_a_table_is_hardest_where_one_leans_over() -> None:
    """From 0.75 m (hands at 0.9 m) to 1.2 m over a bumper of 0.15 m: H 0.55, V 1.2, D 0.3, once in five minutes.

    23 x 25/55 x (1 - 0.003 x 45) x (0.82 + 4.5/30) = 8.772 kg; at the table H is 0.4 and V 0.9: 13.32 kg.
    """
    assert lift_limit_kg(CRATE, 1.2, Handling(from_m=0.75)) == pytest.approx(8.772, abs=0.001)


def test_hands_are_low_below_a_quarter_of_a_meter() -> None:
    """A box of 0.5 m stands with its hands at 0.25 m: H 0.2 + 0.2 there, 0.25 + 0.2 for one a little lower.

    To 0.35 m, without leaning over: 23 x 25/40 x (1 - 0.003 x 50) x 1 x 0.95 = 11.608 kg at the ground.
    """
    ground = Handling(over_m=0.0)
    tall, lower = (Size(length_m=0.6, width_m=0.4, height_m=height_m) for height_m in (0.5, 0.498))

    assert lift_limit_kg(tall, 0.35, ground) == pytest.approx(11.608, abs=0.001)
    at_ground = 23 * 25 / 45 * (1 - 0.003 * 50.1) * 0.95
    assert lift_limit_kg(lower, 0.35, ground) == pytest.approx(at_ground, rel=1e-9)


def test_a_thing_without_a_size_counts_as_a_small_crate() -> None:
    """30 cm to the body and 30 cm high, stated as an assumption: hands at 0.85 m over a floor at 0.7 m.

    There: H 0.2 + 0.15 + 0.15, V 0.85, D 0.7: 23 x 25/50 x (1 - 0.03) x (0.82 + 4.5/70) = 9.864 kg. At the ground:
    H 0.25 + 0.15, V 0.15: 23 x 25/40 x (1 - 0.18) x 0.88429 x 0.95 = 9.902 kg. A thing that weighs nothing is no lift.
    """
    gear = (
        Stowed(item=Item(name="bag", mass_kg=6.0), zone="floor"),
        Stowed(item=Item(name="nothing yet", mass_kg=0.0), zone="floor"),
    )
    (bag,) = lifts(Loadout(name="day", zones=(LOW,), gear=gear), Handling())

    assert bag.height_m == pytest.approx(0.85, abs=1e-12)
    assert bag.limit_kg == pytest.approx(9.864, abs=0.001)


def test_a_zone_on_the_ground_has_its_floor_there() -> None:
    """A zone said to reach below the ground begins at the ground: hands at half the box."""
    sunk = Zone(name="well", place=Place(aft_m=3, up_m=0.1), size=Size(length_m=1, width_m=1, height_m=0.5))
    gear = (Stowed(item=Item(name="box", mass_kg=5.0, size=CRATE), zone="well"),)

    assert lifts(Loadout(name="day", zones=(sunk,), gear=gear), Handling())[0].height_m == pytest.approx(
        0.15, abs=1e-12
    )


def test_a_box_by_the_form_in_inches_worked_by_hand() -> None:
    """The same box from the ground in inches and pounds: H 10 + 7.874 in, V 5.906, D 27.559.

    51 lb x 10/17.874 x (1 - 0.0075 x 24.094) x (0.82 + 1.8/27.559) x 0.95 = 19.661 lb; at the place 8 + 13.780 in
    away it is 20.192 lb, so the ground is the worse end.
    """
    limit_kg = lift_limit_kg(CRATE, 0.85, Handling(form="US"))

    assert limit_kg / POUND_KG == pytest.approx(19.661, abs=0.001)


def test_a_form_that_was_never_printed_is_refused() -> None:
    """Only the two forms of the manual are there."""
    with pytest.raises(BadValue, match="choose one of: SI, US"):
        recommended_limit_kg(EASY, "CGS")


def test_the_roof_is_refused_and_never_given_a_number() -> None:
    """Hands at 2.1 m are outside the equation, for a feather too; refused ones stand first, heaviest first."""
    bag = Item(name="bag", mass_kg=5.0, size=CRATE, count=3)
    loadout = Loadout(
        name="day",
        carrier=Carrier(name="rack", mass_kg=20.0, place=Place(aft_m=2.0, up_m=1.9), size=CRATE),
        zones=(LOW, ROOF),
        gear=(
            Stowed(item=Item(name="box", mass_kg=20.0, size=CRATE), zone="floor"),
            Stowed(item=bag, zone="roof", count=3),
            Stowed(item=Item(name="feather", mass_kg=0.01), zone="roof"),
        ),
        liquids=(
            Filled(
                liquid=Liquid(name="can", container_kg=2, capacity_l=20, density_kg_per_l=1),
                zone="floor",
                fill_l=18,
            ),
        ),
    )

    found = lifts(loadout, Handling())

    assert [lifted.name for lifted in found] == ["bag", "feather", "box", "can"]
    assert found[0].mass_kg == 5.0  # one bag at a time
    for lifted in found[:2]:
        assert lifted.limit_kg is None
        assert lifted.index is None
        assert lifted.refused is not None
        assert "share it or lower it" in str(lifted.refused)
    assert [lifted.sized for lifted in found] == [True, False, True, False]
    assert found[3].mass_kg == pytest.approx(20.0, abs=1e-12)
    assert found[2].index is not None
    assert found[2].index > 1


def test_a_place_of_its_own_tells_where_the_hands_are() -> None:
    """A box placed at 1.2 m is set down at 1.2 m, wherever its zone is."""
    loadout = Loadout(
        name="day",
        zones=(LOW,),
        gear=(
            Stowed(
                item=Item(name="box", mass_kg=5.0, size=CRATE), zone="floor", place=Place(aft_m=3.0, up_m=1.2)
            ),
        ),
    )

    assert lifts(loadout, Handling())[0].height_m == 1.2


@given(st.floats(0.0, 0.6), st.floats(0.1, 0.6), st.floats(0.0, 0.2))
def test_leaning_further_or_turning_never_helps(from_m: float, width_m: float, over_m: float) -> None:
    """The limit of a box falls with what one leans over."""
    size = Size(length_m=0.8, width_m=width_m, height_m=0.3)

    def limit_kg(over_m: float, turn_deg: float) -> float:
        handling = Handling(from_m=from_m, over_m=over_m, turn_deg=turn_deg)
        try:
            return lift_limit_kg(size, 1.0, handling)
        except OutsideEquation:
            return 0.0

    assert limit_kg(over_m + 0.05, 0) <= limit_kg(over_m, 0) + 1e-12
    assert limit_kg(over_m, 45) <= limit_kg(over_m, 0) + 1e-12
