"""What hangs on the hitch and what is towed, worked by hand on the case of tests/checks/test_hitch_rows.py."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given

from loadcalc.checks.findings.judge import evaluate
from loadcalc.checks.hitch import (
    combination_kg,
    lever_on_axles,
    on_hitch,
    pull_on_grade,
    tongue_share,
    tongue_verdict,
    tow_room,
    trailer_axle_kg,
)
from loadcalc.checks.stability.slopes import axle_loads_on_grade
from loadcalc.model import BadValue, Limit, Trailer
from tests.checks.test_hitch_rows import HITCHED, HUNG, TOWING
from tests.strategies import STEADY, thousandths

BARE_KG = 2423.0  # the hand case without a trailer: 2000 + 80 + 30 + 75 + 60 + 20 + 100 + 45 + 13
BARE_REAR_KG = (2000 * 1.2 + 80 * 2.4 + 75 * 1.2 + 60 * 2.1 + 120 * 2.7 + 88 * 1.5) / 3.0


@STEADY
@given(thousandths(0.0, 500.0), thousandths(2.0, 4.0), thousandths(-1.0, 3.0))
def test_the_lever_adds_up(mass_kg: float, wheelbase_m: float, behind_m: float) -> None:
    """Both axles together carry the load; behind the axle the rear gains more than it, the front loses."""
    lever = lever_on_axles(mass_kg, wheelbase_m=wheelbase_m, behind_m=behind_m)

    assert lever.front_kg + lever.rear_kg == pytest.approx(mass_kg, abs=1e-9)
    if mass_kg > 0 and behind_m > 0:
        assert lever.rear_kg > mass_kg
        assert lever.front_kg < 0


def test_tongue_and_hitch_carrier_are_told_apart() -> None:
    """60 kg of tongue and a crate of 40 kg at the same ball, 1.2 m behind the rear axle."""
    both = evaluate(HITCHED, replace(HUNG, trailer=TOWING.trailer))
    tongue, hung = on_hitch(both, tongue=True), on_hitch(both, tongue=False)

    assert (tongue.mass_kg, tongue.rear_kg, tongue.front_kg) == pytest.approx((60.0, 84.0, -24.0))
    assert (hung.mass_kg, hung.rear_kg, hung.front_kg) == pytest.approx((40.0, 56.0, -16.0))
    assert hung.behind_m == pytest.approx(1.2)
    assert on_hitch(evaluate(HITCHED, TOWING), tongue=False).mass_kg == 0.0


def test_share_and_rest_of_the_trailer() -> None:
    """60 of 500 is 12 %; 440 stand on its own wheels; tongue weight counts once in the combination."""
    assert tongue_share(tongue_kg=60.0, trailer_kg=500.0) == pytest.approx(0.12)
    assert trailer_axle_kg(tongue_kg=60.0, trailer_kg=500.0) == 440.0
    assert combination_kg(evaluate(HITCHED, TOWING)) == pytest.approx(BARE_KG + 500.0)


@pytest.mark.parametrize(
    ("share", "said"),
    [
        (0.0999, "light"),
        (0.10, "within"),
        (50 / 500, "within"),
        (0.15, "within"),
        (75 / 500, "within"),
        (0.151, "heavy"),
    ],
)
def test_the_share_is_held_against_the_manuals(share: float, said: str) -> None:
    """10 and 15 % themselves are within."""
    assert tongue_verdict(share) == said


def test_the_rating_that_binds_comes_first() -> None:
    """Room of each rating over what a kilogram of trailer adds to it, at a tenth on the tongue."""
    limits = {
        "gross": 2500.0,
        "combination": 3400.0,
        "tow": 1000.0,
        "hitch_tongue": 50.0,
        "rear_axle": 1250.0,
        "placard": 500.0,
    }
    vehicle = replace(HITCHED, limits={key: Limit(limit_kg=kg) for key, kg in limits.items()})
    rooms = {room.key: room for room in tow_room(evaluate(vehicle, TOWING), share=0.10)}
    expected = {
        "tow": 1000.0,
        "combination": 3400.0 - BARE_KG,
        "gross": (2500.0 - BARE_KG) / 0.10,
        "hitch_tongue": 50.0 / 0.10,
        "rear_axle": (1250.0 - BARE_REAR_KG) / (0.10 * 4.2 / 3.0),
        "placard": (500.0 - (BARE_KG - 2080.0)) / 0.10,
        "trailer_axle": 400.0 / 0.90,
    }

    known = {key: room.trailer_kg for key, room in rooms.items() if room.trailer_kg is not None}
    assert known == pytest.approx(expected, abs=1e-6)
    assert next(iter(rooms)) == min(expected, key=expected.__getitem__)
    assert "front_axle" not in rooms
    assert rooms["hitch_trailer"].trailer_kg is None
    assert [room.trailer_kg is None for room in rooms.values()] == sorted(
        room.trailer_kg is None for room in rooms.values()
    )


def test_a_trailer_at_its_room_just_fills_the_rating_that_binds() -> None:
    """Put that trailer on, and the package's own row says 100 % of it, and no more of any other."""
    vehicle = replace(
        HITCHED,
        limits={
            "gross": Limit(limit_kg=2460.0),
            "rear_axle": Limit(limit_kg=1180.0),
            "tow": Limit(limit_kg=900.0),
        },
    )
    report = evaluate(vehicle, TOWING)
    first = tow_room(report, share=0.12)[0]
    assert first.trailer_kg is not None
    trailer = Trailer(name="to be", mass_kg=first.trailer_kg, tongue_kg=0.12 * first.trailer_kg)
    towing = evaluate(vehicle, replace(TOWING, trailer=trailer))

    assert towing.rating(first.key).consumed == pytest.approx(1.0, abs=1e-9)
    assert [rating.key for rating in towing.over] == []


def test_a_rating_that_is_over_has_no_room() -> None:
    """Below zero says that the load alone is too much."""
    vehicle = replace(HITCHED, limits={"gross": Limit(limit_kg=2400.0)})
    first = tow_room(evaluate(vehicle, TOWING), share=0.1)[0]

    assert first.key == "gross"
    assert first.trailer_kg == pytest.approx(-230.0)


def test_nothing_is_towed_without_a_hitch() -> None:
    """The refusal says what to enter."""
    with pytest.raises(BadValue, match="enter where the ball is"):
        tow_room(evaluate(replace(HITCHED, hitch=None), HUNG), share=0.1)
    with pytest.raises(BadValue, match="tongue share"):
        tow_room(evaluate(HITCHED, HUNG), share=0.0)


def test_a_trailer_pulls_at_the_ball_on_a_climb() -> None:
    """440 kg at sin 0.6: a pull of 264 kg at 0.5 m on a wheelbase of 3.0 moves 44 kg from front to rear."""
    climb = pull_on_grade(trailer_kg=440.0, nose_up_deg=36.86989764584402, ball_up_m=0.5, wheelbase_m=3.0)
    descent = pull_on_grade(trailer_kg=440.0, nose_up_deg=-36.86989764584402, ball_up_m=0.5, wheelbase_m=3.0)

    assert (climb.mass_kg, climb.rear_kg, climb.front_kg) == pytest.approx((264.0, 44.0, -44.0))
    assert descent.rear_kg == pytest.approx(-44.0)
    # The axles by themselves do not know of it: they carry what the vehicle presses on the ground.
    report = evaluate(HITCHED, TOWING)
    place = {"aft_m": report.cg.aft_m, "up_m": report.cg.up_m, "wheelbase_m": HITCHED.wheelbase_m}
    axles = axle_loads_on_grade(report.mass_kg, **place, nose_up_deg=36.86989764584402)
    assert sum(axles) == pytest.approx(0.8 * (BARE_KG + 60.0))
