"""Doubt and sweeps: draws against the time that their own random numbers take, and a whole map against cell by cell."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

import numpy as np

from loadcalc.checks.findings.judge import evaluate
from loadcalc.checks.ratings.share import Shares
from loadcalc.model.loadout import Loadout
from loadcalc.model.vehicle import Vehicle
from loadcalc.plan.doubt import Doubt
from loadcalc.plan.draws import CHUNK, DRAWS, Drawing
from loadcalc.plan.lever import Quantity
from loadcalc.plan.levers import quantities
from loadcalc.plan.sweep import sweep
from tests.bench.timing import in_turns, ratio, spread, verdict
from tests.invented import invented_loadout, invented_vehicle

ITEMS, ZONES = 60, 12
TIMES_NUMBERS = 1.5
MAP_MS = 50.0
CELLS = 20
SAME = 1e-9  # relative


def lines() -> Iterator[str]:
    """The part's lines of text."""
    vehicle, loadout = invented_vehicle(1), invented_loadout(1, items=ITEMS, zones=ZONES)
    yield from _draws(vehicle, loadout)
    yield from _maps(vehicle, loadout)


def _draws(vehicle: Vehicle, loadout: Loadout) -> Iterator[str]:
    shares = Shares(vehicle, loadout)
    doubt = Doubt(shares)
    # Every limit within two standard deviations of its load: as many ratings in doubt as there can be.
    random = np.random.default_rng(1)
    shares.limit_kg = doubt.mean_kg + random.uniform(-2, 2, len(shares.rows)) * doubt.sd_kg
    drawing, numbers = Drawing(doubt), Drawing(doubt)
    normal, even = drawing.numbers
    yield f"\nDoubt: {len(doubt.sources)} doubts, {len(shares.rows)} ratings, {DRAWS:,} draws"
    yield f"  one draw takes {normal} normal and {even} even numbers instead of {len(doubt.sources)}"
    drawing.add(DRAWS)
    apart = [
        abs(drawn - closed) / math.sqrt(max(closed * (1 - closed), 1 / DRAWS) / DRAWS)
        for row in shares.rows
        if not doubt.needs_draws[doubt.row(row.key)]
        and (closed := doubt.chance_over(doubt.row(row.key))) is not None
        and (drawn := drawing.chance_over(row.key)) is not None
    ]
    trusted = f"{len(apart)} of {len(shares.rows)} ratings"
    yield f"  closed form trusted for {trusted}: at most {max(apart, default=0.0):.1f} standard errors from the draws"
    times = in_turns(
        {
            "ours": lambda: drawing.add(DRAWS),
            "numbers": _numbers_alone(numbers),
            "every doubt": lambda: random.standard_normal((DRAWS // 100, len(doubt.sources))),
            "closed": lambda: Doubt(shares),
        },
        rounds=7,
    )
    ms = {name: spread([second * 1e3 for second in found]).text() for name, found in times.items()}
    over = ratio(times["ours"], times["numbers"])
    yield f"  drawn and judged                {ms['ours']} ms; numbers alone {ms['numbers']} ms"
    yield (
        f"  time of its own numbers         {over.text()} times; goal at most {TIMES_NUMBERS:g}: "
        f"{verdict(over.median <= TIMES_NUMBERS)}"
    )
    full = ratio([100 * second for second in times["every doubt"]], times["ours"])
    yield f"  drawing every single doubt      {full.text()} times longer, for the numbers alone (no goal)"
    yield f"  closed form of every rating     {ms['closed']} ms (no goal)"


def _numbers_alone(drawing: Drawing) -> Callable[[], object]:
    def draw() -> None:
        for start in range(0, DRAWS, CHUNK):
            drawing.numbers_of(min(CHUNK, DRAWS - start))

    return draw


def _maps(vehicle: Vehicle, loadout: Loadout) -> Iterator[str]:
    known = {quantity.key: quantity for quantity in quantities(vehicle, loadout)}
    yield "\nMaps: 101 x 101 loadouts, every rating of each"
    for one, other in (("fuel", "fill:water can"), ("roof", "fuel")):
        across, down = known[one], known[other]
        if across.touches & down.touches:
            continue
        yield from _one_map(vehicle, loadout, across, down)


def _one_map(vehicle: Vehicle, loadout: Loadout, across: Quantity, down: Quantity) -> Iterator[str]:
    found = sweep(vehicle, loadout, across, down)
    cells = np.random.default_rng(2).integers(0, 101, (CELLS, 2)).tolist()

    def one_by_one() -> list[float]:
        shares = []
        for i, j in cells:
            there = down.put(across.put(loadout, float(found.across_values[j])), float(found.down_values[i]))
            tightest = evaluate(vehicle, there).tightest
            shares.append(math.nan if tightest is None else tightest.consumed or 0.0)
        return shares

    apart = max(
        abs(share / float(found.consumed[i, j]) - 1)
        for share, (i, j) in zip(one_by_one(), cells, strict=True)
    )
    if not apart < SAME:
        yield f"  NOT THE SAME as one by one: {apart:.1e} apart"
    times = in_turns({"ours": lambda: sweep(vehicle, loadout, across, down), "single": one_by_one}, rounds=7)
    ms = spread([second * 1e3 for second in times["ours"]])
    cell = [second / CELLS * found.consumed.size for second in times["single"]]
    yield (
        f"  {across.name} and {down.name}: {ms.text()} ms; goal under {MAP_MS:g} ms: "
        f"{verdict(ms.median < MAP_MS)}; {ratio(cell, times['ours']).text(2)} times faster than cell by cell"
    )
