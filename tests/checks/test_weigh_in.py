"""A weighbridge ticket against the lists: verdict, suspects, and what is accepted."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadcalc.checks.findings.judge import evaluate
from loadcalc.checks.ratings.share import Shares
from loadcalc.checks.weighing.doubts import Doubts, item_half_width_kg
from loadcalc.checks.weighing.scales import Scale
from loadcalc.checks.weighing.suspects import SPLITS, unknowns
from loadcalc.checks.weighing.ticket import READINGS, Gap, Ticket, as_weighed, ticket_gaps
from loadcalc.checks.weighing.weigh_in import (
    corrected_curb,
    expected_readings,
    gaussian_update,
    judge_weigh_in,
)
from loadcalc.model import (
    Carrier,
    Filled,
    FuelTank,
    Item,
    Liquid,
    Loadout,
    Occupant,
    Place,
    Seat,
    Size,
    Stowed,
    Vehicle,
    Zone,
)
from loadcalc.model.errors import BadValue
from tests.strategies import tried

SIZE = Size(length_m=1.0, width_m=1.0, height_m=0.5)
FRONT = Zone(name="Front bin", place=Place(aft_m=1.0, up_m=0.8), size=SIZE)
REAR = Zone(name="Cargo floor", place=Place(aft_m=2.8, up_m=0.8), size=SIZE)
ROOF = Zone(name="Roof", place=Place(aft_m=1.8, left_m=0.1, up_m=1.9), size=SIZE, on_carrier=True)
VEHICLE = Vehicle(
    name="Wagon",
    curb_kg=2200.0,
    curb_cg=Place(aft_m=1.35, up_m=0.7),
    curb_fuel_l=80.0,
    wheelbase_m=2.85,
    front_track_m=1.6,
    rear_track_m=1.62,
    outline=Size(length_m=4.8, width_m=1.9, height_m=1.9),
    front_overhang_m=0.9,
    tank=FuelTank(capacity_l=80.0, density_kg_per_l=0.75, place=Place(aft_m=2.3, up_m=0.5)),
    seats=(Seat(name="driver", place=Place(aft_m=1.3, left_m=0.4, up_m=0.9)),),
)
LOADOUT = Loadout(
    name="Friday",
    zones=(FRONT, REAR, ROOF),
    carrier=Carrier(name="Rack", mass_kg=40.0, place=Place(aft_m=1.8, up_m=1.85), size=SIZE),
    people=(Occupant(name="Robin", mass_kg=80.0, seat="driver"),),
    gear=(
        Stowed(item=Item(name="Saw", mass_kg=8.0, known="weighed", plus_minus_kg=0.1), zone="Cargo floor"),
        Stowed(
            item=Item(name="Crate", mass_kg=40.0, known="estimated", plus_minus_kg=15.0), zone="Cargo floor"
        ),
        Stowed(item=Item(name="Tent", mass_kg=9.0, known="label", count=2), zone="Roof", count=2),
    ),
    liquids=(
        Filled(
            liquid=Liquid(name="Can", container_kg=2.0, capacity_l=20.0, density_kg_per_l=1.0),
            zone="Front bin",
            fill_l=20.0,
        ),
    ),
    fuel_l=60.0,
)
BRIDGE = Scale(resolution_kg=10.0)
ALL = tuple(READINGS)
BY_AXLE = ALL[:3]


def predicted(keys: tuple[str, ...] = ALL, loadout: Loadout = LOADOUT) -> dict[str, float]:
    """What the lists say that a scale would show."""
    report = evaluate(VEHICLE, loadout)
    found = {
        "total": report.mass_kg, "front_axle": report.front_axle_kg, "rear_axle": report.rear_axle_kg,
        **report.wheels_kg._asdict(),
    }  # fmt: skip
    return {key: found[key] for key in keys}


def ticket(keys: tuple[str, ...] = BY_AXLE, scale: Scale = BRIDGE, **more: float) -> Ticket:
    """A ticket that shows what the lists predict, with `more` kilos on some readings."""
    shown = {key: kg + more.get(key, 0.0) for key, kg in predicted(keys).items()}
    return Ticket(readings_kg=shown, scale=scale)


def test_a_ticket_as_predicted_agrees_and_blames_nobody() -> None:
    """Where the scale shows what the lists say, all agrees and nothing is shifted."""
    result = judge_weigh_in(VEHICLE, LOADOUT, ticket(ALL))

    assert result.agrees
    assert result.unexplained_kg == pytest.approx(0.0, abs=1e-9)
    assert max(abs(suspect.shift_kg) for suspect in result.suspects) < 1e-9
    assert not result.gaps


def test_ninety_kilos_too_many_do_not_agree() -> None:
    """A hundredweight and more that no list holds is called a disagreement, with the sum explained."""
    result = judge_weigh_in(VEHICLE, LOADOUT, ticket(("total",), total=90.0))

    (total,) = result.readings
    assert not total.agrees
    assert total.difference_kg == pytest.approx(90.0, abs=1e-9)
    assert total.plus_minus_kg < 90.0
    assert result.unexplained_kg + result.left_to_scale_kg == pytest.approx(90.0, rel=1e-9)


def test_doubts_by_hand() -> None:
    """With everything else sure, the half-width of agreement is that of curb mass and scale, worked by hand."""
    sure = Doubts(
        curb_share=0.02, unlisted_kg=0.0, person_kg=0.0, liquid_share=0.0, carrier_share=0.0, fuel_share=0.0,
        split_share=0.0, side_share=0.0, place_m=0.0,
    )  # fmt: skip
    bare = Loadout(name="bare", fuel_l=80.0)
    shown = Ticket(readings_kg={"total": 2250.0}, scale=BRIDGE, fuel_l=80.0)
    result = judge_weigh_in(VEHICLE, bare, shown, sure)

    prior, noise = (
        (0.02 * 2200) ** 2 / 3,
        10.0**2 / 3 + 10.0**2 / 12,
    )  # one division at 225 divisions; rounding
    assert result.readings[0].plus_minus_kg == pytest.approx(2 * (prior + noise) ** 0.5, rel=1e-12)
    assert len(result.suspects) == 1
    assert result.suspects[0].shift_kg == pytest.approx(50.0 * prior / (prior + noise), rel=1e-12)
    assert result.suspects[0].left_kg == pytest.approx((prior * noise / (prior + noise)) ** 0.5, rel=1e-12)
    assert result.suspects[0].told == pytest.approx(1 - (noise / (prior + noise)) ** 0.5, rel=1e-12)


def test_what_each_thing_is_doubted_by() -> None:
    """The stated half-widths, worked by hand for each kind of thing, over the root of three."""
    shares = Shares(VEHICLE, LOADOUT)
    read = [shares.row[key] for key in ("gross", "rear_axle", "tire:rear_left")]
    doubts_kg = {guess.name: guess.u_kg for guess in unknowns(shares, read, Doubts())}
    half_widths_kg = {
        "Curb mass": 0.02 * 2200, "Fuel in the tank": 0.06 * 80 * 0.75, "Rack": 0.05 * 40, "Robin": 3.0,
        "Saw": 0.1, "Crate": 15.0, "Tent × 2": 2 * 0.05 * 9, "Can": 0.05 * (2 + 20),
        "Unlisted, Front bin": 15.0, "Unlisted, Cargo floor": 15.0, "Unlisted, Roof": 15.0,
        "Curb mass, front to rear": 0.01 * 2200,
        # 22 kg in the front bin, 48 on the floor, 18 on the roof, each up to 0.15 m off
        "Load, front to rear": math.hypot(22, 48, 18) * 0.15 / 2.85,
        "Rear axle, right to left": 0.05 * predicted()["rear_axle"],
    }  # fmt: skip

    assert doubts_kg == pytest.approx(
        {name: kg / math.sqrt(3) for name, kg in half_widths_kg.items()}, rel=1e-12
    )


def test_a_thing_in_two_zones_is_one_unknown() -> None:
    """A kilogram more of it goes to both by what lies in each; of one without a mass yet, by halves."""
    for each_kg, share in ((5.0, (1 * 1.0 + 3 * 2.8) / 4), (0.0, (1.0 + 2.8) / 2)):
        stakes = Item(name="Stakes", mass_kg=each_kg, count=4)
        gear = (Stowed(item=stakes, zone="Front bin"), Stowed(item=stakes, zone="Cargo floor", count=3))
        shares = Shares(VEHICLE, replace(LOADOUT, gear=gear))
        found = unknowns(shares, [shares.row["gross"], shares.row["rear_axle"]], Doubts())
        (one,) = (guess for guess in found if guess.key == stakes.key)

        assert one.zone == ""
        assert one.effect == pytest.approx((1.0, share / 2.85), rel=1e-12)


def test_nothing_rides_unlisted_on_a_roof_without_a_carrier() -> None:
    """Its zone is left out of what may be wrong; the others stay."""
    shares = Shares(VEHICLE, replace(LOADOUT, carrier=None, gear=()))
    found = unknowns(shares, [shares.row["gross"]], Doubts())

    assert {guess.zone for guess in found if guess.kind == "unlisted"} == {"Front bin", "Cargo floor"}


def test_unlisted_gear_is_no_excuse_for_the_lists() -> None:
    """However much may ride along on no list, whether the lists agree with the scale does not get easier."""
    few, many = (
        judge_weigh_in(VEHICLE, LOADOUT, ticket(total=90.0), Doubts(unlisted_kg=kg)).readings[0]
        for kg in (0.0, 100.0)
    )

    assert many.plus_minus_kg == pytest.approx(few.plus_minus_kg, rel=1e-12)
    assert not many.agrees


def test_what_to_expect_is_what_a_ticket_is_held_against() -> None:
    """The expected readings and their doubts are those of a judged ticket with people aboard."""
    expected = expected_readings(VEHICLE, LOADOUT)

    for reading in judge_weigh_in(VEHICLE, LOADOUT, ticket(ALL)).readings:
        assert expected[reading.key] == pytest.approx(
            (reading.predicted_kg, reading.predicted_u_kg), rel=1e-12
        )


def test_the_least_known_moves_most_and_the_weighed_least() -> None:
    """With a total alone the kilos go to what nobody weighed: the curb mass first, the weighed saw last."""
    result = judge_weigh_in(VEHICLE, LOADOUT, ticket(("total",), total=60.0))
    shifts = {suspect.name: suspect.shift_kg for suspect in result.suspects}

    assert next(iter(shifts)) == "Curb mass"
    assert shifts["Crate"] > shifts["Tent × 2"] > shifts["Saw"] > 0.0


def test_axles_point_to_the_end_where_the_kilos_are() -> None:
    """The same extra kilos on the rear axle point to the rear zone, on the front axle to the front zone."""
    rear = judge_weigh_in(VEHICLE, LOADOUT, ticket(total=50.0, rear_axle=50.0))
    front = judge_weigh_in(VEHICLE, LOADOUT, ticket(total=50.0, front_axle=50.0))

    def shift(result: object, zone: str) -> float:
        return result.suspect(f"unlisted:{zone}").shift_kg  # type: ignore[attr-defined]  # None fails it

    assert shift(rear, "Cargo floor") > 2 * max(shift(rear, "Front bin"), 1.0)
    assert shift(front, "Front bin") > 2 * max(shift(front, "Cargo floor"), 1.0)


def test_wheels_point_to_a_side() -> None:
    """Kilos on both left wheels: their axles carry more on the left, whichever scale read them."""
    for one_scale in (True, False):
        shown = ticket(
            ALL[3:], Scale(resolution_kg=10.0, one_scale=one_scale), front_left=20.0, rear_left=20.0
        )
        result = judge_weigh_in(VEHICLE, LOADOUT, shown)
        assert result.suspect("side:front").shift_kg > 5.0  # type: ignore[union-attr]  # None fails it
        assert result.suspect("side:rear").shift_kg > 5.0  # type: ignore[union-attr]  # None fails it


def test_one_scale_takes_more_of_a_common_difference_than_pads() -> None:
    """Ten kilos too many on every wheel may be one scale's error; four pads are not all wrong alike."""
    every = dict.fromkeys(ALL[3:], 10.0)
    one, pads = (
        judge_weigh_in(
            VEHICLE, LOADOUT, ticket(ALL[3:], Scale(resolution_kg=10.0, one_scale=shared), **every)
        )
        for shared in (True, False)
    )

    assert 0.0 < one.unexplained_kg < pads.unexplained_kg < 40.0


def _dense(effect: np.ndarray, prior: np.ndarray, noise: np.ndarray, difference: np.ndarray) -> np.ndarray:
    """The same answer by stacking lists and readings as one weighted least-squares problem."""
    root = np.linalg.cholesky(np.linalg.inv(noise)).T
    stacked = np.vstack([root @ effect, np.diag(prior**-0.5)])
    found, *_ = np.linalg.lstsq(
        stacked, np.concatenate([root @ difference, np.zeros(len(prior))]), rcond=None
    )
    return found


@tried(30)
@given(seed=st.integers(0, 10_000), readings=st.integers(1, 7), size=st.integers(1, 30))
def test_update_equals_stacked_least_squares(seed: int, readings: int, size: int) -> None:
    """The update gives the shifts of ordinary weighted least squares, and the covariance of the information form."""
    rng = np.random.default_rng(seed)
    effect, prior = rng.uniform(-1, 1, (readings, size)), rng.uniform(0.1, 30.0, size)
    mixing = rng.uniform(-1, 1, (readings, readings))
    noise = mixing @ mixing.T + 0.5 * np.eye(readings)
    difference = rng.uniform(-80, 80, readings)
    shift, covariance, error = gaussian_update(effect, prior, noise, difference)

    information = np.diag(1 / prior) + effect.T @ np.linalg.inv(noise) @ effect
    np.testing.assert_allclose(shift, _dense(effect, prior, noise, difference), rtol=1e-7, atol=1e-8)
    np.testing.assert_allclose(covariance, np.linalg.inv(information), rtol=1e-6, atol=1e-8)
    np.testing.assert_allclose(effect @ shift + error, difference, rtol=1e-9, atol=1e-8)


@pytest.mark.parametrize("one_scale", [True, False])
def test_judgment_is_that_update_on_the_share_matrix(one_scale: bool) -> None:
    """The page's whole judgment equals least squares put together by hand from the same lists."""
    shown = ticket(
        ALL, Scale(resolution_kg=10.0, one_scale=one_scale), total=40.0, rear_axle=35.0, rear_left=30.0
    )
    result = judge_weigh_in(VEHICLE, LOADOUT, shown)
    shares = Shares(VEHICLE, as_weighed(VEHICLE, LOADOUT, shown))
    rows = [shares.row[READINGS[key][1]] for key in ALL]
    guesses = unknowns(shares, rows, Doubts())
    effect = np.array([guess.effect for guess in guesses]).T
    prior = np.array([guess.u_kg**2 for guess in guesses])
    difference = np.array([shown.readings_kg[key] - predicted()[key] for key in ALL])
    noise = shown.scale.covariance(list(shown.readings_kg.values()))
    by_hand = dict(
        zip([guess.key for guess in guesses], _dense(effect, prior, noise, difference), strict=True)
    )

    for suspect in result.suspects:
        assert suspect.shift_kg == pytest.approx(by_hand[suspect.key], rel=1e-6, abs=1e-7)


@tried(15)
@given(order=st.permutations(ALL))
def test_order_of_the_readings_does_not_matter(order: list[str]) -> None:
    """Readings entered in another order change nothing."""
    more = dict(zip(ALL, (33.0, 10.0, 23.0, -4.0, 12.0, 30.0, -8.0), strict=True))
    plain = ticket(ALL, BRIDGE, **more)
    mixed = Ticket(readings_kg={key: plain.readings_kg[key] for key in order}, scale=BRIDGE)

    assert judge_weigh_in(VEHICLE, LOADOUT, mixed) == judge_weigh_in(VEHICLE, LOADOUT, plain)


def test_order_of_the_gear_does_not_matter() -> None:
    """The lists in another order give the same shifts."""
    turned = replace(LOADOUT, gear=LOADOUT.gear[::-1])
    one, other = (
        {
            s.key: s.shift_kg
            for s in judge_weigh_in(VEHICLE, loadout, ticket(total=40.0, rear_axle=40.0)).suspects
        }
        for loadout in (LOADOUT, turned)
    )

    assert one == pytest.approx(other, rel=1e-9, abs=1e-10)


@tried(20)
@given(extra=st.floats(-80.0, 80.0), rear=st.floats(-80.0, 80.0))
def test_a_weighing_never_adds_doubt(extra: float, rear: float) -> None:
    """After a ticket nothing is less sure than before it, and every kilo of the total has a place."""
    result = judge_weigh_in(VEHICLE, LOADOUT, ticket(total=extra, rear_axle=rear, front_axle=extra - rear))

    assert all(suspect.left_kg <= suspect.doubt_kg * (1 + 1e-9) for suspect in result.suspects)
    assert result.unexplained_kg + result.left_to_scale_kg == pytest.approx(extra, abs=1e-6)
    assert all(suspect.shift_kg == 0.0 or suspect.kind for suspect in result.suspects)


def test_hidden_kilos_are_found_by_a_good_scale() -> None:
    """With the curb mass known to the kilo, forty unlisted kilos in one zone come back in that zone."""
    hidden = replace(
        LOADOUT,
        gear=(*LOADOUT.gear, Stowed(item=Item(name="Hidden", mass_kg=40.0), zone="Cargo floor")),
    )
    fine = Ticket(readings_kg=predicted(BY_AXLE, hidden), scale=Scale(resolution_kg=0.5, one_scale=False))
    sure = Doubts(
        curb_share=0.0005, unlisted_kg=40.0, person_kg=0.2, liquid_share=0.001, carrier_share=0.001,
        fuel_share=0.002, split_share=0.0005, side_share=0.001, place_m=0.005,
    )  # fmt: skip
    known = replace(
        LOADOUT,
        gear=tuple(replace(s, item=replace(s.item, plus_minus_kg=0.05)) for s in LOADOUT.gear),
    )
    result = judge_weigh_in(VEHICLE, known, fine, sure)

    assert result.suspects[0].key == "unlisted:Cargo floor"
    assert result.suspects[0].shift_kg == pytest.approx(40.0, abs=6.0)
    assert not result.agrees or result.readings[0].plus_minus_kg > 40.0


def test_accepting_the_curb_correction_brings_lists_and_scale_together() -> None:
    """With the corrected curb mass the same ticket differs less, on the total and on each axle."""
    shown = ticket(total=60.0, front_axle=10.0, rear_axle=50.0)
    before = judge_weigh_in(VEHICLE, LOADOUT, shown)
    curb_kg, center = corrected_curb(VEHICLE, before)
    after = judge_weigh_in(replace(VEHICLE, curb_kg=curb_kg, curb_cg=center), LOADOUT, shown)

    assert curb_kg > VEHICLE.curb_kg
    assert center.aft_m > VEHICLE.curb_cg.aft_m
    assert (center.left_m, center.up_m) == (VEHICLE.curb_cg.left_m, VEHICLE.curb_cg.up_m)
    for was, now in zip(before.readings, after.readings, strict=True):
        assert abs(now.difference_kg) < abs(was.difference_kg)
    split = before.suspect("split:curb")
    assert split is not None
    assert curb_kg - VEHICLE.curb_kg == pytest.approx(before.suspect("own:vehicle").shift_kg, rel=1e-12)  # type: ignore[union-attr]  # None fails it
    rear_kg = curb_kg * center.aft_m / VEHICLE.wheelbase_m
    was_kg = VEHICLE.curb_kg * VEHICLE.curb_cg.aft_m / VEHICLE.wheelbase_m
    share = VEHICLE.curb_cg.aft_m / VEHICLE.wheelbase_m
    assert rear_kg - was_kg == pytest.approx((curb_kg - VEHICLE.curb_kg) * share + split.shift_kg, rel=1e-9)


def test_people_and_fuel_as_the_ticket_says() -> None:
    """People who stepped off and fuel that was burned are taken out of the prediction."""
    shown = Ticket(readings_kg={"total": 2000.0}, scale=BRIDGE, people_aboard=False, fuel_l=20.0)
    result = judge_weigh_in(VEHICLE, LOADOUT, shown)

    assert result.readings[0].predicted_kg == pytest.approx(
        predicted()["total"] - 80.0 - 40.0 * 0.75, rel=1e-12
    )
    assert result.suspect("Robin") is None


def test_sums_that_do_not_come_out_are_named() -> None:
    """A total far from the sum of the axles is a slip of the pen: named before anybody is blamed."""
    shown = ticket(total=200.0)
    (gap,) = ticket_gaps(shown)

    assert (gap.whole, gap.parts) == ("total", ("front_axle", "rear_axle"))
    assert gap.gap_kg == pytest.approx(200.0, rel=1e-9)
    assert judge_weigh_in(VEHICLE, LOADOUT, shown).gaps == (gap,)
    assert ticket_gaps(ticket(ALL)) == ()


def test_a_sum_may_be_off_by_what_its_scale_may_be_wrong() -> None:
    """Divisions of 10: one scale adds its own error once more in the parts, 100/3 (1 - 2)² + 3 x 100/12 = 58.33 kg²."""

    def gaps(total_kg: float, *, one_scale: bool) -> tuple[Gap, ...]:
        shown = {"total": total_kg, "front_axle": 1000.0, "rear_axle": 900.0}
        return ticket_gaps(Ticket(readings_kg=shown, scale=Scale(resolution_kg=10.0, one_scale=one_scale)))

    assert gaps(1915.0, one_scale=True) == ()
    (gap,) = gaps(1916.0, one_scale=True)
    assert (gap.gap_kg, gap.plus_minus_kg) == pytest.approx((16.0, 2 * math.sqrt(100 / 3 + 25)), rel=1e-12)
    (apart,) = gaps(1876.0, one_scale=False)  # three pads: 3 x 100/3 + 3 x 100/12
    assert (apart.gap_kg, apart.plus_minus_kg) == pytest.approx((-24.0, 2 * math.sqrt(125.0)), rel=1e-12)


def test_splits_move_kilos_and_add_none() -> None:
    """What divides the load between axles or sides adds nothing to a total, and cancels between its two readings."""
    shares = Shares(VEHICLE, LOADOUT)
    rows = [shares.row[READINGS[key][1]] for key in ALL]
    splits = [guess for guess in unknowns(shares, rows, Doubts()) if guess.kind in SPLITS]

    assert len(splits) == 4
    for guess in splits:
        effect = dict(zip(ALL, guess.effect, strict=True))
        assert effect["total"] == 0.0
        assert effect["front_axle"] + effect["rear_axle"] == 0.0
        assert effect["front_left"] + effect["front_right"] == effect["front_axle"]
        assert effect["rear_left"] + effect["rear_right"] == effect["rear_axle"]


def test_doubt_of_an_item() -> None:
    """A plus or minus that somebody wrote counts for each piece; else a share by how the mass is known."""
    assert item_half_width_kg(Item(name="a", mass_kg=10.0, known="estimated"), 3) == pytest.approx(
        7.5, rel=1e-12
    )
    assert item_half_width_kg(Item(name="a", mass_kg=10.0, known="label")) == pytest.approx(0.5, rel=1e-12)
    assert item_half_width_kg(Item(name="a", mass_kg=10.0, known="weighed")) == pytest.approx(0.1, rel=1e-12)
    assert item_half_width_kg(Item(name="a", mass_kg=10.0, known="weighed", plus_minus_kg=2.0), 2) == 4.0
    assert item_half_width_kg(Item(name="a", mass_kg=0.1, known="weighed")) == 0.05


@pytest.mark.parametrize(
    ("readings_kg", "says"),
    [
        ({}, "enter the total, the axles, or the wheels"),
        ({"total": 0.0}, "total reading 0.0 is outside 1 to 40000 kg"),
        ({"total": float("nan")}, "total reading nan is not a finite number"),
        ({"middle_axle": 900.0}, "reading 'middle_axle' is not a known choice"),
    ],
)
def test_a_ticket_that_cannot_be_true_is_refused(readings_kg: dict[str, float], says: str) -> None:
    """No reading, nothing on the scale, no number, or an axle that isn't there: refused, with the field named."""
    with pytest.raises(BadValue, match=says):
        Ticket(readings_kg=readings_kg, scale=BRIDGE)


def test_more_fuel_than_the_tank_is_refused() -> None:
    """A fuel level beyond the tank is refused with the tank's size."""
    with pytest.raises(BadValue, match="fuel in the tank 90"):
        judge_weigh_in(VEHICLE, LOADOUT, Ticket(readings_kg={"total": 2000.0}, scale=BRIDGE, fuel_l=90.0))
