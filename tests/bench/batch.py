"""Many loadouts at once: the product against the time that its bytes take to and from memory."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from loadcalc.checks.ratings.report import Report
from loadcalc.checks.ratings.share import Shares
from tests.bench.timing import in_turns, ratio, significant, spread, verdict
from tests.invented import invented_loadout, invented_vehicle

ITEMS, ZONES = 60, 12
SIZES = (1_000, 10_000, 100_000)
TIMES_MEMORY = 6.0
SAME = 1e-12  # relative
BEYOND_CACHE = 16_000_000  # numbers: 128 MB read and as many written


def lines() -> Iterator[str]:
    """The part's lines of text."""
    shares = Shares(invented_vehicle(1), invented_loadout(1, items=ITEMS, zones=ZONES))
    masses, ratings = len(shares.masses), len(shares.rows)
    yield f"\nMany loadouts at once: {masses} masses, {ratings} ratings, double precision"
    yield f"  each moves {8 * (masses + ratings)} bytes in and out and takes {_operations(shares)} operations"
    yield "  memory: what a copy in main memory takes for these bytes; cache: a copy of just these bytes"
    big = _copy(BEYOND_CACHE)
    for size in SIZES:
        yield from _one_size(shares, size, big)


def _operations(shares: Shares) -> int:
    return 2 * len(shares.masses) * len(shares.rows)  # a multiplication and an addition for each share


def _copy(count: int) -> Callable[[], object]:
    source = np.ones(count)
    target = np.zeros_like(source)
    return lambda: np.copyto(target, source)


def _one_size(shares: Shares, size: int, big: Callable[[], object]) -> Iterator[str]:
    masses = shares.mass_kg * np.random.default_rng(size).uniform(0.5, 1.5, (size, len(shares.masses)))
    last = Report(shares, masses[-1])
    apart = max(abs(shares.loads_kg(masses)[-1] - last.loads_kg)) / last.mass_kg
    if not apart < SAME:
        yield f"  NOT THE SAME as one by one: {apart:.1e} apart"

    numbers = size * (len(shares.masses) + len(shares.rows))
    times = in_turns(
        {"ours": lambda: shares.loads_kg(masses), "memory": big, "cache": _copy(numbers // 2)}, rounds=11
    )
    # a copy of n numbers moves 2 n: n are read, n are written
    memory = [second * numbers / (2 * BEYOND_CACHE) for second in times["memory"]]
    each = {
        name: spread([second / size * 1e9 for second in found]).text()
        for name, found in (times | {"memory": memory}).items()
    }
    over, over_cache = ratio(times["ours"], memory), ratio(times["ours"], times["cache"])
    rate = significant(_operations(shares) * size / spread(times["ours"]).median / 1e9)
    yield f"  {size:,} loadouts: {each['ours']} ns each, {rate} billion operations a second"
    yield (
        f"    memory {each['memory']} ns: {over.text()} times; goal at most {TIMES_MEMORY:g}: "
        f"{verdict(over.median <= TIMES_MEMORY)}"
    )
    yield f"    cache {each['cache']} ns: {over_cache.text()} times (no goal)"
