"""A trailer with two axles as ratings: 1,900 kg with 220 kg on the tongue, so 1,680 kg on its wheels, by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadcalc.checks.findings.finding import NOT_KNOWN, OVER, UNCOUNTED, Finding
from loadcalc.checks.findings.judge import Judgment, evaluate
from loadcalc.checks.ratings.share import Shares
from loadcalc.model import BadValue, Limit, Trailer, Zone
from loadcalc.model.limits import RATINGS, TRAILER_LIMITS
from loadcalc.plan.assumed import Assumed
from loadcalc.plan.source import Ground, Source
from loadcalc.plan.source_masses import mass_sources
from tests.checks.test_hitch_rows import BALL, HITCHED, load
from tests.hand_case import LOADOUT, SIZE
from tests.strategies import STEADY, thousandths

LIMITS = {"trailer_front_axle": 880.0, "trailer_rear_axle": 860.0, "trailer_tire": 440.0}
TANDEM = Trailer(
    name="tandem", mass_kg=1900.0, tongue_kg=220.0, axles=2,
    limits={key: Limit(limit_kg=kg, read_at="plate") for key, kg in LIMITS.items()},
)  # fmt: skip
LINKED = replace(TANDEM, axles_share=True)
WEIGHED = replace(TANDEM, front_axle_kg=910.0, rear_axle_kg=770.0)  # 910 + 770 = 1680
AXLES = ("trailer_front_axle", "trailer_rear_axle")


def towing(trailer: Trailer) -> Judgment:
    """The hand case with this trailer behind it."""
    return evaluate(HITCHED, replace(LOADOUT, trailer=trailer))


def found(report: Judgment, kind: str) -> dict[str, Finding]:
    """The findings of one kind about the trailer."""
    return {
        f.key: f for f in report.findings if f.kind == kind and ("trailer_" in f.key or "axles:" in f.key)
    }


def test_a_linkage_gives_each_axle_half() -> None:
    """1680 / 2 = 840 kg of 880 and of 860; a tire 840 / 2 = 420 of 440; together 1680 of 880 + 860 = 1740."""
    report = towing(LINKED)
    assert [load(report, key) for key in AXLES] == pytest.approx([840.0, 840.0], abs=1e-9)
    assert load(report, "trailer_tire") == pytest.approx(420.0, abs=1e-9)
    assert report.rating("trailer_tire").consumed == pytest.approx(420 / 440, abs=1e-12)
    together = report.rating("trailer_axle")
    assert (together.load, together.limit) == pytest.approx((1680.0, 1740.0), abs=1e-9)
    assert "added up" in together.read_at
    assert not {key for key in found(report, OVER) if "trailer" in key}


def test_a_scale_tells_what_each_axle_carries() -> None:
    """910 kg is over 880, 770 is within 860; the tires of the front axle carry 455 of 440 each."""
    report = towing(WEIGHED)
    assert [load(report, key) for key in AXLES] == pytest.approx([910.0, 770.0], abs=1e-9)
    assert load(report, "trailer_tire") == pytest.approx(455.0, abs=1e-9)
    assert set(found(report, OVER)) == {"rating:trailer_front_axle", "rating:trailer_tire"}
    assert not found(report, UNCOUNTED)


def test_a_scale_s_word_goes_before_the_linkage_s() -> None:
    """A linkage that sticks: what was weighed counts, not the half."""
    assert load(towing(replace(WEIGHED, axles_share=True)), "trailer_front_axle") == pytest.approx(910.0)


def test_without_linkage_or_scale_no_axle_is_judged_and_none_passes() -> None:
    """Ball and two axles are three supports: no axle and no tire is called within, though limits are there."""
    report = towing(TANDEM)
    for key in (*AXLES, "trailer_tire"):
        rating = report.rating(key)
        assert (rating.known, rating.consumed, rating.headroom, rating.over) == (False, None, None, False)
        finding = found(report, NOT_KNOWN)[f"rating:{key}"]
        assert "how its two axles share the load is not known" in finding.said
        assert "weigh each axle" in finding.cure
        assert finding.page == "01"


def test_more_than_both_axles_may_carry_is_over_however_they_share() -> None:
    """880 + 860 = 1740 kg: 1960 less 219 is 1741, over; 1739 is within for both, and still not judged apart."""
    over = towing(replace(TANDEM, mass_kg=1960.0, tongue_kg=219.0))
    assert set(found(over, OVER)) == {"rating:trailer_axle"}
    within = towing(replace(TANDEM, mass_kg=1960.0, tongue_kg=221.0))
    assert not found(within, OVER)
    assert set(found(within, NOT_KNOWN)) >= {f"rating:{key}" for key in AXLES}


def test_the_plate_s_limit_for_both_together_counts_before_their_sum() -> None:
    """A plate of 1600 kg for the group: 1680 is over, though 880 + 860 would bear it."""
    limits = {**LINKED.limits, "trailer_axle": Limit(limit_kg=1600.0, read_at="plate")}
    assert set(found(towing(replace(LINKED, limits=limits)), OVER)) == {"rating:trailer_axle"}


def test_one_guessed_axle_makes_their_sum_a_guess() -> None:
    """The sum is no better known than its parts; without one of them it is not known."""
    guessed = {**LINKED.limits, "trailer_rear_axle": Limit(limit_kg=860.0, read_at="a guess")}
    assert towing(replace(LINKED, limits=guessed)).rating("trailer_axle").assumed == "a guess"
    front = {"trailer_front_axle": LINKED.limit("trailer_front_axle")}
    assert not towing(replace(LINKED, limits=front)).rating("trailer_axle").known


def test_axles_weighed_under_another_load_are_told() -> None:
    """Weighed 1680 kg; by mass and tongue 1680, then 1720 (2.4% off), then 1700 (1.2%): the second is told."""
    told = [bool(found(towing(replace(WEIGHED, mass_kg=kg)), UNCOUNTED)) for kg in (1900.0, 1940.0, 1920.0)]
    assert told == [False, True, False]


def test_one_axle_carries_all_and_knows_no_second() -> None:
    """1680 kg on it and 840 on a tire; a reading of a second axle says nothing then."""
    report = towing(replace(WEIGHED, axles=1))
    assert load(report, "trailer_axle") == pytest.approx(1680.0, abs=1e-9)
    assert load(report, "trailer_tire") == pytest.approx(840.0, abs=1e-9)
    assert not {row.key for row in report.shares.rows} & set(AXLES)
    assert not found(report, UNCOUNTED)


def test_what_cannot_be_is_refused() -> None:
    """Three axles, an axle that pulls upward."""
    with pytest.raises(BadValue, match="not one or two"):
        replace(TANDEM, axles=3)
    with pytest.raises(BadValue, match="front axle as weighed"):
        replace(TANDEM, front_axle_kg=-1.0)
    assert towing(replace(TANDEM, front_axle_kg=0.0, rear_axle_kg=0.0)).rating(AXLES[0]).known is False


def test_how_well_a_linkage_shares_is_in_the_margin_of_error() -> None:
    """10% of 840 is 84 kg on either axle, and of 420 it is 42 on a tire; with weighed axles there is no such doubt."""

    def sharing(trailer: Trailer) -> list[Source]:
        shares = Shares(HITCHED, replace(LOADOUT, trailer=trailer))
        return [s for s in mass_sources(Ground(shares, Assumed())) if s.key == "trailer:tandem, axles"]

    (source,) = sharing(LINKED)
    row = towing(LINKED).shares.row
    off_kg = {key: source.half_width * source.gradient_kg[row[key]] for key in (*AXLES, "trailer_tire")}
    assert off_kg == pytest.approx({AXLES[0]: 84.0, AXLES[1]: -84.0, "trailer_tire": 42.0}, abs=1e-9)
    assert abs(source.gradient_kg).sum() == pytest.approx(840 + 840 + 420, abs=1e-9)  # no other rating feels it
    assert not sharing(replace(WEIGHED, axles_share=True))
    assert not sharing(TANDEM)
    assert not sharing(replace(LINKED, axles=1))


def test_every_rating_whose_limit_is_entered_has_a_row_and_says_where_to_look() -> None:
    """A hitch, a rack, two axles at once. A key without a row would take a limit and never judge."""
    report = towing(LINKED)
    assert {row.key for row in report.shares.rows} >= set(RATINGS)
    for key, kind in RATINGS.items():
        rating = report.rating(key)
        assert (rating.name, rating.group, rating.condition) == (kind.name, kind.group, kind.condition)
        assert kind.where


@pytest.mark.parametrize("fields", [{"on_hitch": True, "on_carrier": True}, {"on_hitch": True, "in_cabin": True}])
def test_a_zone_is_mounted_on_one_thing(fields: dict[str, bool]) -> None:
    """What rides there would count on the ratings of both."""
    with pytest.raises(BadValue, match=r"zone 'shelf' is both on the .* and .*; choose one"):
        Zone(name="shelf", place=BALL, size=SIZE, **fields)  # type: ignore[arg-type]  # flags only


@STEADY
@given(
    thousandths(0.0, 3000.0),
    thousandths(0.0, 0.5),
    st.tuples(thousandths(1.0, 2000.0), thousandths(1.0, 2000.0)),
)
def test_two_axles_carry_together_what_one_would(
    mass_kg: float, tongue: float, weighed: tuple[float, float]
) -> None:
    """However they share, together they carry mass less tongue, and a tire a half of the axle that carries more."""
    limits = dict.fromkeys(TRAILER_LIMITS, Limit(limit_kg=1e4))
    trailer = replace(TANDEM, mass_kg=mass_kg, tongue_kg=mass_kg * tongue, limits=limits)
    own_kg = mass_kg - mass_kg * tongue
    for way in (
        replace(trailer, axles_share=True),
        replace(trailer, front_axle_kg=weighed[0], rear_axle_kg=weighed[1]),
    ):
        report = towing(way)
        axles = [load(report, key) for key in AXLES]
        assert sum(axles) == pytest.approx(own_kg, rel=1e-12, abs=1e-9)
        assert load(report, "trailer_tire") == pytest.approx(max(axles) / 2, rel=1e-12, abs=1e-9)
