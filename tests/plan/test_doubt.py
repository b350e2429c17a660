"""Doubt: the closed form against draws of whole records and against simulation, and doubts that are bounded."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from loadcalc.checks import Shares, evaluate
from loadcalc.checks.weighing.doubts import Doubts
from loadcalc.checks.weighing.scales import Scale
from loadcalc.checks.weighing.ticket import Ticket
from loadcalc.checks.weighing.weigh_in import judge_weigh_in
from loadcalc.model import Item, Limit, stow
from loadcalc.plan.doubt import CLOSED, DRAWN, Doubt
from loadcalc.plan.draws import draw
from loadcalc.plan.source import Source
from tests.doubt_records import SURE, drawn_records, plain_case
from tests.hand_case import LOADOUT, VEHICLE
from tests.invented import invented_loadout, invented_vehicle
from tests.reference_rows import case_id, half_last_digit, numbers, rows

ROWS = rows("uncertainty.csv")


def source(half_width: float) -> Source:
    """A doubt by itself."""
    return Source(
        key="", name="", kind="mass", half_width=half_width, unit="kg", status="", gradient_kg=np.ones(1)
    )


@pytest.mark.parametrize("row", ROWS, ids=case_id)
def test_half_widths_become_standard_deviations_as_the_guide_says(row: dict[str, str]) -> None:
    """Even spreads give a / √3; independent ones add in squares, ones that share their cause add up."""
    given_ = numbers(row["values"])
    sds = [source(a).sd for a in given_] if row["given"] == "half-width" else given_
    found = sum(sds) if row["together"] == "shared" else math.hypot(*sds)
    tolerance = float(row["tolerance"]) if row["tolerance"] else half_last_digit(row["combined"])
    assert found == pytest.approx(float(row["combined"]), abs=tolerance)


@pytest.mark.parametrize("known", ["weighed", "label", "estimated"])
def test_a_plus_or_minus_is_the_same_on_every_page(known: str) -> None:
    """Curb mass ± 40 kg, a person ± 3 kg, an item ± 6 kg: page 06 and page 07 take them for equally doubtful.

    Even spreads, by hand: 40 / √3 = 23.094, 3 / √3 = 1.7321, 6 / √3 = 3.4641 kg; on the gross rating, with nothing
    else in doubt, √(40² + 3² + 6²) / √3 = 23.4165 kg.
    """
    box = Item(name="box", mass_kg=50.0, known=known, plus_minus_kg=6.0)
    vehicle = replace(VEHICLE, curb_plus_minus_kg=40.0, curb_fuel_l=LOADOUT.fuel_l)
    zones, people = LOADOUT.zones[1:], LOADOUT.people[:1]
    loadout = replace(
        LOADOUT, gear=stow({"floor": [box]}), liquids=(), people=people, carrier=None, zones=zones
    )
    shares = Shares(vehicle, loadout)
    planned = Doubt(shares, replace(SURE, person_kg=3.0))
    sds = {s.key: s.sd for s in planned.sources if s.kind == "mass"}
    ticket = Ticket(readings_kg={"total": 2200.0}, scale=Scale(resolution_kg=10.0))
    sure = Doubts(unlisted_kg=0.0, fuel_share=0.0, split_share=0.0, side_share=0.0, place_m=0.0, person_kg=3.0)
    weighed = judge_weigh_in(vehicle, loadout, ticket, sure)

    expected = {"own:vehicle": 23.094, "driver": 1.7321, "box": 3.4641}
    assert sds == pytest.approx(expected, rel=1e-4)
    assert {s.key: s.doubt_kg for s in weighed.suspects} == pytest.approx(expected, rel=1e-4)
    assert planned.sd_kg[planned.row("gross")] == pytest.approx(23.4165, abs=0.0001)
    assert weighed.readings[0].predicted_u_kg == pytest.approx(23.4165, abs=0.0001)


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
    effect_kg = doubt.effect_kg[keep]
    stated = effect_kg @ effect_kg.T / np.outer(sd, sd)
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
    """An invented loadout whose limits lie within two deviations of its loads."""
    shares = Shares(invented_vehicle(seed), invented_loadout(seed, items=20, zones=5))
    doubt = Doubt(shares)
    random = np.random.default_rng(seed)
    shares.limit_kg = doubt.mean_kg + random.uniform(-2, 2, len(shares.rows)) * doubt.sd_kg
    return doubt


def many_small(seed: int) -> Doubt:
    """Forty guessed items of like mass in one zone, which has a limit within two deviations: no doubt leads there."""
    random = np.random.default_rng(seed)
    items = [Item(name=f"bag {n}", mass_kg=8.0, plus_minus_kg=float(a)) for n, a in enumerate(random.uniform(1, 2, 40))]
    shares = Shares(VEHICLE, replace(LOADOUT, gear=stow({"floor": items}), liquids=()))
    doubt = Doubt(shares, SURE)
    row = doubt.row("zone:floor")
    shares.limit_kg[row] = doubt.mean_kg[row] + random.uniform(-2, 2) * doubt.sd_kg[row]
    return doubt


def test_the_closed_form_is_that_of_100_000_draws_where_it_is_trusted() -> None:
    """Every rating with many doubts: within four standard errors and the 0.2 points that it may be off."""
    far = []
    for doubt in (*map(many_small, range(40)), *map(near_limits, range(4))):
        drawing = draw(doubt)
        for row in doubt.shares.rows:
            told, drawn = drawing.rating(row.key), drawing.chance_over(row.key)
            if told.method == CLOSED and told.chance_over is not None and told.low_kg < told.high_kg:
                assert drawn is not None
                far.append(abs(drawn - told.chance_over) - 4 * drawing.standard_error(told.chance_over))
    assert len(far) >= 40
    assert max(far) <= 0.002


@pytest.mark.parametrize("seed", range(4))
def test_fewer_numbers_drawn_give_the_same_loads(seed: int) -> None:
    """Drawing what leads and a few correlated loads tells the same joint chance as drawing every single doubt."""
    doubt = near_limits(seed)
    random = np.random.default_rng(seed + 100)
    count = 40_000
    even = random.uniform(-math.sqrt(3), math.sqrt(3), (len(doubt.sources), count))
    sums = doubt.effect_kg @ even + doubt.mean_kg[:, None]
    known = ~np.isnan(doubt.shares.limit_kg)
    whole = (sums[known] > doubt.shares.limit_kg[known, None]).any(axis=0).mean()
    found = draw(doubt, seed=seed).any_over
    assert sum(draw(doubt, 1000).numbers) < len(doubt.sources) / 2
    assert abs(whole - found) <= 4 * math.sqrt(max(whole * (1 - whole), 1e-4) * (1 / count + 1e-5))


def test_the_interval_holds_nine_in_ten() -> None:
    """Nine in ten of 40,000 draws of every single doubt lie between the ends, by the closed form and as drawn."""
    methods = set()
    for doubt, key in ((many_small(3), "zone:floor"), (near_limits(3), "rear_axle")):
        row = doubt.row(key)
        even = np.random.default_rng(5).uniform(-math.sqrt(3), math.sqrt(3), (len(doubt.sources), 40_000))
        loads = doubt.effect_kg[row] @ even + doubt.mean_kg[row]
        told = draw(doubt, 1000).rating(key)
        inside = ((loads > told.low_kg) & (loads < told.high_kg)).mean()
        # standard errors of both: 40,000 loads counted, 20,000 for the interval's ends
        assert inside == pytest.approx(0.90, abs=4 * math.sqrt(0.9 * 0.1 * (1 / 40_000 + 1 / 20_000)))
        methods.add(told.method)
    assert methods == {CLOSED, DRAWN}


# Bounded doubts -------------------------------------------------------------------------------------------


def two_doubts(limit_kg: float) -> Doubt:
    """Gross in doubt by the fuel gauge, ± 30 of 100 L of 0.8 kg/L, and a little by the curb mass, ± 2 kg."""
    vehicle = replace(VEHICLE, curb_fuel_l=50.0, limits={"gross": Limit(limit_kg=limit_kg)})
    loadout = replace(LOADOUT, gear=(), liquids=(), people=(), carrier=None, fuel_l=50.0, zones=())
    return Doubt(Shares(vehicle, loadout), replace(SURE, gauge_share=0.3, curb_share=0.001))


def exact_chance(limit_kg: float) -> float:
    """Over the limit: the even spread of ± 2 kg beyond what is left, integrated over that of ± 24 kg of fuel."""
    fuel_kg = 0.8 * np.linspace(-30.0, 30.0, 20_001)
    tail = np.clip((2.0 - (limit_kg - 2000.0 - fuel_kg)) / 4.0, 0.0, 1.0)
    return float(np.trapezoid(tail, fuel_kg) / 48.0)


@pytest.mark.parametrize("limit_kg", [2005.0, 2020.0, 2026.0])
def test_where_a_bounded_doubt_leads_it_is_drawn(limit_kg: float) -> None:
    """The draws find the exact chance, the closed form doesn't, and the result says which it took."""
    doubt = two_doubts(limit_kg)
    drawing = draw(doubt)
    told = drawing.rating("gross")
    exact = exact_chance(limit_kg)
    assert told.method == DRAWN
    assert told.chance_over is not None
    assert abs(told.chance_over - exact) <= 4 * math.sqrt(max(exact * (1 - exact), 1e-6) / drawing.draws)
    assert abs((doubt.rating("gross").chance_over or 0.0) - exact) > 0.004
    assert told.high_kg - told.low_kg == pytest.approx(0.9 * 48.0, rel=0.02)  # 90 % of an even spread


def test_how_much_few_doubts_lead_decides_the_method() -> None:
    """Where one doubt is most of the variance the closed form is not taken, where forty share it it is."""
    doubt = two_doubts(2010.0)
    row = doubt.row("gross")
    # variances 24² / 3 = 192 and 2² / 3 = 1.333: shares 0.99310 and 0.00690, -1.2 · (0.99310² + 0.00690²) = -1.18357
    assert doubt.kurtosis[row] == pytest.approx(-1.18357, abs=1e-5)
    assert doubt.needs_draws[row]
    zone = many_small(1)
    # forty of like size: -1.2 / 40, a little more since they are not all alike
    assert zone.kurtosis[zone.row("zone:floor")] == pytest.approx(-0.03, abs=0.005)
    assert not zone.needs_draws[zone.row("zone:floor")]


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
    assert (mine.half_width, mine.shift) == (4.0, 2.0)
