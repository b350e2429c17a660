"""Doubt: the closed form against draws of whole records and against simulation, and doubts that are bounded."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from loadcalc.checks import Shares, evaluate
from loadcalc.model import Item, Limit, stow
from loadcalc.plan.doubt import CLOSED, DRAWN, Doubt
from loadcalc.plan.draws import draw
from loadcalc.plan.source import NORMAL_90, Source
from tests.doubt_records import SURE, drawn_records, plain_case
from tests.hand_case import LOADOUT, VEHICLE
from tests.invented import invented_loadout, invented_vehicle
from tests.reference_rows import case_id, half_last_digit, numbers, rows

ROWS = rows("uncertainty.csv")


def source(half_width: float, *, even: bool) -> Source:
    """A doubt by itself."""
    return Source(
        key="", name="", kind="mass", half_width=half_width, unit="kg", even=even, status="", gradient_kg=np.ones(1)
    )  # fmt: skip


@pytest.mark.parametrize("row", ROWS, ids=case_id)
def test_half_widths_become_standard_deviations_as_the_guide_says(row: dict[str, str]) -> None:
    """Even spreads give a / √3; independent ones add in squares, ones that share their cause add up."""
    given_ = numbers(row["values"])
    sds = [source(a, even=True).sd for a in given_] if row["given"] == "half-width" else given_
    found = sum(sds) if row["together"] == "shared" else math.hypot(*sds)
    tolerance = float(row["tolerance"]) if row["tolerance"] else half_last_digit(row["combined"])
    assert found == pytest.approx(float(row["combined"]), abs=tolerance)


def test_a_normal_half_width_holds_nine_times_in_ten() -> None:
    """Its standard deviation is the half-width over 1.645."""
    sd = source(1.0, even=False).sd
    assert math.erf(1.0 / sd / math.sqrt(2)) == pytest.approx(0.90, abs=1e-12)


# Against draws of whole records --------------------------------------------------------------------------


@pytest.fixture(scope="module")
def evaluated() -> tuple[Doubt, np.ndarray]:
    """The doubt of the plain case, and the loads of 3000 of its draws, each judged by `evaluate`."""
    vehicle, loadout = plain_case()
    random = np.random.default_rng(575)
    drawn = [evaluate(*drawn_records(vehicle, loadout, random)).loads_kg for _ in range(3000)]
    return Doubt(Shares(vehicle, loadout)), np.array(drawn)


def test_mean_and_spread_are_those_of_evaluated_records(evaluated: tuple[Doubt, np.ndarray]) -> None:
    """Every rating of 3000 loadouts with drawn records: mean and standard deviation within four standard errors."""
    doubt, drawn = evaluated
    count = len(drawn)
    off = abs(drawn.mean(axis=0) - doubt.mean_kg)
    assert (off <= 4 * doubt.sd_kg / math.sqrt(count) + 1e-9).all()
    ratio = drawn.std(axis=0)[doubt.sd_kg > 0] / doubt.sd_kg[doubt.sd_kg > 0]
    assert ratio == pytest.approx(1.0, abs=4 / math.sqrt(2 * count))


def test_loads_hang_together_as_those_of_evaluated_records(evaluated: tuple[Doubt, np.ndarray]) -> None:
    """Correlations of gross, axles, placard, and roof within four standard errors of a correlation."""
    doubt, drawn = evaluated
    keep = [doubt.row(key) for key in ("gross", "front_axle", "rear_axle", "placard", "roof_road")]
    found = np.corrcoef(drawn[:, keep].T)
    sd = doubt.sd_kg[keep]
    stated = doubt.covariance_kg2[np.ix_(keep, keep)] / np.outer(sd, sd)
    assert abs(found - stated).max() <= 4 / math.sqrt(len(drawn))


def test_chances_are_those_of_evaluated_records(evaluated: tuple[Doubt, np.ndarray]) -> None:
    """Each rating's chance of being over, and the joint one, within four standard errors of the records' own."""
    doubt, drawn = evaluated
    limit_kg = doubt.shares.limit_kg
    over = drawn > np.where(np.isnan(limit_kg), np.inf, limit_kg)
    drawing = draw(doubt)
    told = {row.key: drawing.rating(row.key).chance_over for row in doubt.shares.rows}
    between = 0
    for row, share in zip(doubt.shares.rows, over.mean(axis=0), strict=True):
        stated = told[row.key]
        if stated is not None:
            error = math.sqrt(max(stated * (1 - stated), 1 / len(drawn)) / len(drawn))
            assert abs(share - stated) <= 4 * error, row.key
            between += 0.05 < stated < 0.95
    assert between >= 3
    joint = over.any(axis=1).mean()
    assert abs(joint - drawing.any_over) <= 4 * math.sqrt(joint * (1 - joint) / len(drawn))


# Closed form against simulation ---------------------------------------------------------------------------


def near_limits(seed: int) -> Doubt:
    """An invented loadout whose doubts are all taken as normal, and whose limits lie within two deviations."""
    shares = Shares(invented_vehicle(seed), invented_loadout(seed, items=20, zones=5))
    doubt = Doubt(shares)
    doubt.even[:] = False
    doubt.kurtosis[:] = 0.0
    random = np.random.default_rng(seed)
    shares.limit_kg = doubt.mean_kg + random.uniform(-2, 2, len(shares.rows)) * doubt.sd_kg
    return doubt


def test_the_closed_form_is_within_three_standard_errors_of_100_000_draws() -> None:
    """Ten Gaussian cases, every rating: 99 of 100 within three standard errors, none beyond four and a half."""
    far = []
    for seed in range(10):
        doubt = near_limits(seed)
        drawing = draw(doubt, seed=seed)
        for row in doubt.shares.rows:
            closed, drawn = doubt.rating(row.key).chance_over, drawing.chance_over(row.key)
            if closed is not None and drawn is not None and doubt.sd_kg[doubt.row(row.key)] > 0:
                far.append(abs(drawn - closed) / math.sqrt(closed * (1 - closed) / drawing.draws))
    assert len(far) > 150
    assert np.mean(np.array(far) <= 3) >= 0.99
    assert max(far) < 4.5


@pytest.mark.parametrize("seed", range(4))
def test_fewer_numbers_drawn_give_the_same_loads(seed: int) -> None:
    """Drawing a few correlated loads tells the same joint chance as drawing every single doubt."""
    doubt = near_limits(seed)
    random = np.random.default_rng(seed + 100)
    count = 40_000
    sums = doubt.effect_kg @ random.standard_normal((len(doubt.sources), count)) + doubt.mean_kg[:, None]
    known = ~np.isnan(doubt.shares.limit_kg)
    whole = (sums[known] > doubt.shares.limit_kg[known, None]).any(axis=0).mean()
    found = draw(doubt, seed=seed).any_over
    assert sum(draw(doubt, 1000).numbers) < len(doubt.sources) / 3
    assert abs(whole - found) <= 4 * math.sqrt(max(whole * (1 - whole), 1e-4) * (1 / count + 1e-5))


def test_the_interval_holds_nine_in_ten() -> None:
    """Ends of the closed form's interval at 5 and 95 % of the draws."""
    doubt = near_limits(3)
    row = doubt.row("rear_axle")
    random = np.random.default_rng(5)
    loads = doubt.effect_kg[row] @ random.standard_normal((len(doubt.sources), 40_000)) + doubt.mean_kg[row]
    told = doubt.rating("rear_axle")
    inside = ((loads > told.low_kg) & (loads < told.high_kg)).mean()
    assert inside == pytest.approx(0.90, abs=3 * math.sqrt(0.9 * 0.1 / 40_000))
    assert told.method == CLOSED


# Bounded doubts -------------------------------------------------------------------------------------------


def even_and_normal(limit_kg: float) -> Doubt:
    """Gross in doubt by the fuel gauge alone, ± 30 of 100 L of 0.8 kg/L, and a little by the curb mass."""
    vehicle = replace(VEHICLE, curb_fuel_l=50.0, limits={"gross": Limit(limit_kg=limit_kg)})
    loadout = replace(LOADOUT, gear=(), liquids=(), people=(), carrier=None, fuel_l=50.0, zones=())
    return Doubt(Shares(vehicle, loadout), replace(SURE, gauge_share=0.3, curb_share=0.001))


def exact_chance(limit_kg: float) -> float:
    """Over the limit, by integrating the normal tail over the even spread in 20001 points."""
    fuel_kg, sd_kg = 0.8 * np.linspace(-30.0, 30.0, 20_001), 2.0 / NORMAL_90
    tail = [0.5 * math.erfc((limit_kg - 2000.0 - kg) / sd_kg / math.sqrt(2)) for kg in fuel_kg]
    return float(np.trapezoid(tail, fuel_kg) / 48.0)


@pytest.mark.parametrize("limit_kg", [2005.0, 2020.0, 2026.0])
def test_where_a_bounded_doubt_leads_it_is_drawn(limit_kg: float) -> None:
    """The draws find the exact chance, the closed form doesn't, and the result says which it took."""
    doubt = even_and_normal(limit_kg)
    drawing = draw(doubt)
    told = drawing.rating("gross")
    exact = exact_chance(limit_kg)
    assert told.method == DRAWN
    assert told.chance_over is not None
    assert abs(told.chance_over - exact) <= 4 * math.sqrt(max(exact * (1 - exact), 1e-6) / drawing.draws)
    assert abs((doubt.rating("gross").chance_over or 0.0) - exact) > 0.004
    assert told.high_kg - told.low_kg == pytest.approx(0.9 * 48.0, rel=0.02)  # 90 % of an even spread


def test_one_quarter_of_the_variance_is_where_draws_begin() -> None:
    """A bounded doubt below a quarter of the variance leaves the closed form, above it takes it."""
    doubt = even_and_normal(2010.0)
    row = doubt.row("gross")
    share = doubt.effect_kg[row, doubt.even] ** 2 / doubt.sd_kg[row] ** 2
    assert doubt.kurtosis[row] == pytest.approx(-1.2 * float((share**2).sum()), rel=1e-12)
    assert doubt.needs_draws[row]
    small = Doubt(doubt.shares, replace(SURE, gauge_share=0.012, curb_share=0.001))
    assert not small.needs_draws[row]


def test_no_can_is_fuller_than_its_brim() -> None:
    """A full can can only hold less: its middle is half a doubt lower, its doubt half as wide."""
    loadout = replace(LOADOUT, liquids=(replace(LOADOUT.liquids[0], fill_l=20.0),))
    doubt = Doubt(Shares(VEHICLE, loadout), replace(SURE, fill_share=0.10))
    fill = next(s for s in doubt.sources if s.kind == "fill")
    assert fill.half_width == pytest.approx(1.0, abs=1e-12)
    assert fill.shift == pytest.approx(-1.0, abs=1e-12)
    assert doubt.mean_kg[doubt.row("gross")] == pytest.approx(doubt.load_kg[doubt.row("gross")] - 1.0)


def test_nothing_weighs_less_than_nothing() -> None:
    """A guess of 2 ± 6 kg lies between 0 and 8, so its middle is 4."""
    bag = Item(name="bag", mass_kg=2.0, plus_minus_kg=6.0)
    doubt = Doubt(Shares(VEHICLE, replace(LOADOUT, gear=stow({"floor": [bag]}))), SURE)
    mine = next(s for s in doubt.sources if s.name == "bag")
    assert (mine.half_width, mine.shift, mine.even) == (4.0, 2.0, True)
