"""The same model written two other ways, which share no sums with the package, gives the same numbers."""

from __future__ import annotations

import pytest

from loadcalc.checks.ratings.report import Report
from loadcalc.checks.ratings.share import Shares
from tests.bench.lean import LeanNumpy
from tests.bench.naive import Naive
from tests.bench.outputs import Outputs, furthest, of_report
from tests.bench.timing import in_turns, ratio, significant, spread
from tests.invented import invented_loadout, invented_vehicle

SAME = 1e-12  # relative to the total mass


@pytest.fixture(params=range(3), ids=lambda seed: f"seed {seed}")
def shares(request: pytest.FixtureRequest) -> Shares:
    """Sixty items in twelve zones on an invented vehicle."""
    return Shares(invented_vehicle(request.param), invented_loadout(request.param, items=60, zones=12))


def test_tables_with_units_agree(shares: Shares) -> None:
    """Walking tables of quantities that carry their units gives every load and the center."""
    assert furthest(of_report(Report(shares)), Naive(shares.vehicle, shares.loadout).judge()) < SAME


def test_lean_arrays_agree(shares: Shares) -> None:
    """Sums by zone and short formulas give every load and the center."""
    assert furthest(of_report(Report(shares)), LeanNumpy(shares).outputs(shares.mass_kg)) < SAME


def test_a_difference_is_seen() -> None:
    """One kilogram in one load of a ton is a thousandth, and a load left out counts as zero."""
    one = Outputs(loads_kg={"gross": 1000.0, "roof": 0.0}, mass_kg=1000.0, center_m=(1.0, 0.0, 0.7))
    other = Outputs(loads_kg={"gross": 1001.0}, mass_kg=1000.0, center_m=(1.0, 0.0, 0.7))

    assert furthest(one, other) == pytest.approx(1e-3, rel=1e-9)
    assert furthest(one, one) == 0.0


def test_spread_is_median_and_quartiles() -> None:
    """Of 1 to 5: 3, between 2 and 4; ratios are taken round by round."""
    found = spread([5.0, 1.0, 4.0, 2.0, 3.0])
    assert (found.median, found.low, found.high) == (3.0, 2.0, 4.0)

    assert ratio([2.0, 4.0, 6.0], [1.0, 2.0, 3.0]).text() == "2.00 (2.00 to 2.00)"


@pytest.mark.parametrize(
    ("value", "text"),
    [(0.0, "0"), (12345.6, "12,300"), (3.14159, "3.14"), (0.00123456, "0.00123"), (99.96, "100")],
)
def test_three_significant_digits(value: float, text: str) -> None:
    """Numbers are shown to three significant digits, without an exponent."""
    assert significant(value) == text


def test_times_are_taken_in_turns() -> None:
    """Every call is timed once a round."""
    times = in_turns({"one": lambda: sum(range(100)), "two": lambda: sum(range(200))}, rounds=3)

    assert {name: len(found) for name, found in times.items()} == {"one": 3, "two": 3}
    assert min(times["one"] + times["two"]) > 0
