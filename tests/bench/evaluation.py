"""One loadout judged: the package against tables with units, and against lean NumPy."""

from __future__ import annotations

from collections.abc import Iterator

from loadcalc.checks.findings.judge import evaluate
from loadcalc.checks.ratings.report import Report
from loadcalc.checks.ratings.share import Shares
from tests.bench.lean import LeanNumpy
from tests.bench.naive import Naive
from tests.bench.outputs import furthest, of_report
from tests.bench.timing import in_turns, ratio, spread, verdict
from tests.invented import invented_loadout, invented_vehicle

ITEMS, ZONES = 60, 12
FASTER_THAN_NAIVE = 1000.0
SLOWER_THAN_LEAN = 4.0
SAME = 1e-12  # relative


def lines() -> Iterator[str]:
    """The part's lines of text."""
    vehicle, loadout = invented_vehicle(1), invented_loadout(1, items=ITEMS, zones=ZONES)
    shares = Shares(vehicle, loadout)
    naive, lean, mass_kg = Naive(vehicle, loadout), LeanNumpy(shares), shares.mass_kg

    size = f"{len(shares.masses)} masses, {ITEMS} of them items in {ZONES} zones, {len(shares.rows)} ratings"
    yield f"\nOne evaluation: {size}"
    ours = of_report(Report(shares, mass_kg))
    apart = max(furthest(ours, naive.judge()), furthest(ours, lean.outputs(mass_kg)))
    yield f"  the three ways differ by at most {apart:.1e} (relative)"
    if not apart < SAME:
        yield f"  NOT THE SAME MODEL (more than {SAME:g}): the times below compare nothing"

    times = in_turns(
        {
            "ours": lambda: Report(shares, mass_kg),
            "judged": lambda: Report(shares, mass_kg).ratings,
            "records": lambda: evaluate(vehicle, loadout),
            "lean": lambda: lean.judge(mass_kg),
            "naive": naive.judge,
        }
    )
    us = {name: spread([second * 1e6 for second in found]).text() for name, found in times.items()}
    yield f"  Report(shares, mass_kg)         {us['ours']} µs"
    yield f"  pandas and pint, naive          {us['naive']} µs"
    yield f"  lean NumPy                      {us['lean']} µs"
    faster, slower = ratio(times["naive"], times["ours"]), ratio(times["ours"], times["lean"])
    yield (
        f"  faster than pandas and pint     {faster.text()} times; goal at least {FASTER_THAN_NAIVE:g}: "
        f"{verdict(faster.median >= FASTER_THAN_NAIVE)}"
    )
    yield (
        f"  time of lean NumPy              {slower.text()} times; goal at most {SLOWER_THAN_LEAN:g}: "
        f"{verdict(slower.median <= SLOWER_THAN_LEAN)}"
    )
    yield f"  with every rating judged        {us['judged']} µs (no goal)"
    yield f"  evaluate() from the records     {us['records']} µs (no goal)"
