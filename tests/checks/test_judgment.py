"""The judgment of any loadout: parts, order, unknown limits, overloads, and batches agree with each other."""

from __future__ import annotations

import math
from dataclasses import astuple, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadcalc.checks.findings.judge import evaluate
from loadcalc.checks.ratings.report import Report
from loadcalc.checks.ratings.share import Shares
from loadcalc.model import Limit
from tests.strategies import STEADY, Case, cases, replace_gear, thousandths

IDENTITY = 1e-9  # relative; two sums of the same thing in another order


@STEADY
@given(cases())
def test_parts_of_a_row_add_up_to_its_load(case: Case) -> None:
    """What counts against a rating, shown mass by mass, is its load; the largest stands first."""
    report = evaluate(*case)
    for rating in report.ratings:
        added = [part.adds for part in rating.parts]
        assert math.fsum(added) == pytest.approx(rating.load, abs=IDENTITY * report.mass_kg)
        assert sorted(map(abs, added), reverse=True) == [abs(value) for value in added]


@STEADY
@given(cases(), st.integers(0, 10_000), thousandths(0.001, 100.0))
def test_more_mass_never_lowers_a_counting_rating(case: Case, at: int, more_kg: float) -> None:
    """A rating whose shares are all 0 or 1 never reads less when a mass grows."""
    shares = Shares(*case)
    heavier = shares.mass_kg.copy()
    heavier[at % len(heavier)] += more_kg
    before, after = shares.loads_kg(shares.mass_kg), shares.loads_kg(heavier)
    counting = [all(share in (0.0, 1.0) for share in row) for row in shares.matrix.tolist()]

    assert sum(counting) >= 5  # gross, placard, and the three of the roof
    rounding = IDENTITY * heavier.sum()
    for old, new, plain in zip(before, after, counting, strict=True):
        assert new >= old - rounding or not plain


@STEADY
@given(cases(), st.lists(thousandths(0.1, 3.0), min_size=1, max_size=6))
def test_a_batch_is_its_single_evaluations(case: Case, factors: list[float]) -> None:
    """Many loadouts in one product give each loadout's own loads, consumption, and center."""
    import numpy as np

    shares = Shares(*case)
    many = np.array([shares.mass_kg * factor for factor in factors])
    batch_loads, batch_consumed = shares.loads_kg(many), shares.consumed(many)
    centers = shares.centers_m(many)
    for index, mass_kg in enumerate(many):
        single = Report(shares, mass_kg)
        rounding = IDENTITY * single.mass_kg
        assert batch_loads[index] == pytest.approx(single.loads_kg, rel=0, abs=rounding)
        assert centers[index] == pytest.approx(astuple(single.cg), abs=1e-9)
        for key, rows in shares.ideas.items():
            expected, found = single.rating(key).consumed, max(batch_consumed[index][list(rows)])
            wanted = math.nan if expected is None else expected
            assert found == pytest.approx(wanted, rel=IDENTITY, abs=IDENTITY, nan_ok=True), key


@STEADY
@given(cases())
def test_consumed_is_load_over_limit(case: Case) -> None:
    """Consumed and headroom follow from load and limit; over means more than the limit."""
    for rating in evaluate(*case).ratings:
        if rating.limit is None or rating.headroom is None:
            assert rating.limit is rating.headroom
            continue
        assert rating.headroom == pytest.approx(rating.limit - rating.load, abs=1e-9)
        if rating.limit > 0:
            assert rating.consumed == pytest.approx(rating.load / rating.limit, rel=1e-12)
        else:
            assert rating.consumed == (math.inf if rating.load > 0 else 0.0)
        if abs(rating.headroom) > 1e-6:
            assert rating.over == (rating.headroom < 0)


@STEADY
@given(cases())
def test_an_unknown_limit_never_passes(case: Case) -> None:
    """Without a limit there is no share, no headroom, and no verdict; the rating is listed as not known."""
    report = evaluate(*case)
    without = {row.rating_key for row in report.shares.rows if row.limit.limit_kg is None}

    assert sorted(rating.key for rating in report.not_known) == sorted(without)
    for rating in report.not_known:
        assert (rating.known, rating.consumed, rating.headroom, rating.limit_kg) == (False, None, None, None)
        assert rating not in report.over
    assert report.tightest is None or report.tightest.known


@STEADY
@given(cases())
def test_order_is_tightest_first(case: Case) -> None:
    """Known limits in kilograms come first, by falling consumption; then seats; then the unknown."""
    ratings = evaluate(*case).ratings
    kinds = [("unknown" if not rating.known else rating.unit) for rating in ratings]
    known = [rating.consumed for rating in ratings if rating.consumed is not None and rating.unit == "kg"]

    assert kinds == sorted(kinds, key=["kg", "people", "unknown"].index)
    assert known == sorted(known, reverse=True)


@STEADY
@given(cases(), st.integers(1, 1000))
def test_an_overload_is_a_result(case: Case, count: int) -> None:
    """However much is put in, the report comes back, and says what is over."""
    vehicle, loadout = case
    vehicle = replace(vehicle, limits=dict.fromkeys(vehicle.limits, Limit(limit_kg=10.0)))
    over = {rating.key for rating in evaluate(vehicle, loadout).over}
    assert "gross" in over

    heavy = tuple(replace(stowed, count=count) for stowed in loadout.gear)
    assert "gross" in {rating.key for rating in evaluate(vehicle, replace_gear(loadout, heavy)).over}
