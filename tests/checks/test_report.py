"""What a report says and refuses, on the case worked by hand."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from loadcalc.checks.findings.judge import evaluate
from loadcalc.checks.ratings.report import Report
from loadcalc.checks.ratings.share import Shares
from loadcalc.model import BadValue, Item, Limit, Loadout, NotFound, Place, Stowed, Zone
from tests.hand_case import LOADOUT, SIZE, VEHICLE


def test_exactly_full_is_not_over() -> None:
    """A load equal to its limit consumes all of it and exceeds nothing; one gram more does."""
    exact = replace(
        VEHICLE, limits={"roof_road": Limit(limit_kg=88.0), "roof_parked": Limit(limit_kg=147.999)}
    )
    report = evaluate(exact, LOADOUT)

    assert report.rating("roof_road").consumed == pytest.approx(1.0, rel=1e-12)
    assert [rating.key for rating in report.over] == ["roof_parked"]
    assert report.over[0].headroom_kg == pytest.approx(-0.001, abs=1e-9)


def test_nothing_allowed_and_nothing_there_is_fine() -> None:
    """On a limit of zero, no load consumes 0 and any load is infinitely over."""
    vehicle = replace(VEHICLE, limits={"roof_road": Limit(limit_kg=0.0)})
    loaded = evaluate(vehicle, LOADOUT).ratings[0]
    empty = evaluate(vehicle, Loadout(name="empty")).rating("roof_road")

    assert (loaded.key, loaded.consumed, loaded.over) == ("roof_road", math.inf, True)
    assert (empty.consumed, empty.over) == (0.0, False)


def test_a_batch_treats_a_zero_limit_as_a_single_report_does() -> None:
    """A front axle that is lifted, with a limit of zero, consumes 0 in both."""
    vehicle = replace(VEHICLE, limits={"front_axle": Limit(limit_kg=0.0)})
    hitch = Zone(name="far behind", place=Place(aft_m=15.0, up_m=0.8), size=SIZE)
    anvil = Stowed(item=Item(name="anvil", mass_kg=500.0), zone="far behind")
    shares = Shares(vehicle, Loadout(name="lever", zones=(hitch,), gear=(anvil,)))
    at = shares.row["front_axle"]

    single = Report(shares).rating("front_axle")
    assert single.load_kg < 0
    assert shares.consumed(shares.mass_kg[None, :])[0, at] == single.consumed == 0.0


def test_lifted_wheels_are_told() -> None:
    """A wheel with less than nothing on it is named in the notes."""
    hitch = Zone(name="far behind", place=Place(aft_m=15.0, up_m=0.8), size=SIZE)
    anvil = Stowed(item=Item(name="anvil", mass_kg=500.0), zone="far behind")
    notes = evaluate(VEHICLE, Loadout(name="lever", zones=(hitch,), gear=(anvil,))).notes

    assert any("front left and front right" in note for note in notes)


def test_notes_claim_no_more_than_statics_gives() -> None:
    """With unequal tracks the side sums do depend on the roll share; no note may say that they don't."""
    uneven = replace(VEHICLE, rear_track_m=1.6, curb_cg=Place(aft_m=1.2, left_m=0.1, up_m=0.7))
    left_kg = [
        wheels.front_left + wheels.rear_left
        for share in (0.0, 1.0)
        for wheels in [evaluate(replace(uneven, front_roll_share=share), LOADOUT).wheels_kg]
    ]
    assert abs(left_kg[1] - left_kg[0]) > 5.0

    assert not any("side sums do not depend" in note for note in evaluate(uneven, LOADOUT).notes)


def test_seats_lead_only_when_there_are_too_few() -> None:
    """Full seats are no strain: the tightest rating is one in kilograms."""
    vehicle = replace(VEHICLE, seats=VEHICLE.seats[:2], limits={"gross": Limit(limit_kg=5000.0)})
    report = evaluate(vehicle, LOADOUT)

    assert report.rating("seats").consumed == 1.0
    assert report.tightest is report.rating("gross")


def test_no_known_limit_means_no_tightest() -> None:
    """With nothing to hold the loads against there is no tightest rating, and nothing is over."""
    report = evaluate(VEHICLE, LOADOUT)

    assert report.tightest is None
    assert report.over == ()


def test_people_are_not_kilograms() -> None:
    """Seats count people: asking for their kilograms is an error that says what to use."""
    with pytest.raises(TypeError, match=r"counts people, not kg: use \.load"):
        _ = evaluate(VEHICLE, LOADOUT).rating("seats").load_kg


@pytest.mark.parametrize("ask", ["rating", "parts"])
def test_an_unknown_rating_is_not_found(ask: str) -> None:
    """Asking for a rating that is not there names the ones that are."""
    with pytest.raises(NotFound, match=r"no rating 'tow bar'; known: .*gross"):
        getattr(evaluate(VEHICLE, LOADOUT), ask)("tow bar")


def test_moving_an_item_by_name() -> None:
    """`moved` puts every piece of an item in another zone and leaves the rest."""
    moved = LOADOUT.moved("box", "platform")

    assert evaluate(VEHICLE, moved).rating("carrier_road").load_kg == pytest.approx(158.0, abs=1e-9)
    with pytest.raises(NotFound, match="no item on board 'anvil'"):
        LOADOUT.moved("anvil", "floor")


def test_a_wrong_number_of_masses_is_refused() -> None:
    """A batch must have one column for each mass; the message says how many."""
    shares = Shares(VEHICLE, LOADOUT)
    with pytest.raises(BadValue, match=f"does not end in the {len(shares.masses)} masses"):
        shares.loads_kg([[1.0, 2.0]])
    with pytest.raises(BadValue, match=f"the {len(shares.masses)} masses"):
        Report(shares, [1.0, 2.0])


def test_a_vehicle_that_weighs_nothing_has_no_center() -> None:
    """Masses of zero, handed in, are refused with the cure; they are never divided by."""
    shares = Shares(VEHICLE, LOADOUT)

    with pytest.raises(BadValue, match="no center of gravity; give the vehicle its mass"):
        Report(shares, [0.0] * len(shares.masses))
