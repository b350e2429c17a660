"""Arranging the carrier: seconds to the first plan, to one within 5 % of the last, and to the proof where there is one.

Seconds on the wall, because the solver works in threads; one run each, so read them as orders of size.
Invented boxes on a deck of 2.2 by 1.3 m with a pinned strip across it and two tie points, balanced within 4 cm.
"""

from __future__ import annotations

import random
import time
from collections.abc import Iterator

from loadcalc.model import Place, Size
from loadcalc.plan.roof_layout.arrange import BEST, Arrangement, ArrangeSearch, Outcome
from loadcalc.plan.roof_layout.deck import Thing
from loadcalc.plan.roof_layout.footprint import Footprint
from loadcalc.plan.roof_layout.layout_rules import LayoutRules, Task, broken

DECK = Footprint(aft_m=2.0, left_m=0.0, length_m=2.2, width_m=1.3)
CASES = (
    (6, 0.60),
    (8, 0.65),
    (10, 0.65),
    (12, 0.65),
    (14, 0.65),
)  # things, and the part of the floor they need
TIME_S = 20.0
FIRST_S, GOOD_S, PROVEN_UP_TO = (
    1.0,
    5.0,
    10,
)  # goals: a first plan, a good one, and how many things are proven


def lines() -> Iterator[str]:
    """The part's lines of text."""
    start = time.monotonic()
    from ortools.sat.python import cp_model  # noqa: F401  # what the page loads while it is being read

    yield f"\nRoof carrier: {len(CASES)} invented cases, at most {TIME_S:g} s each, 2 workers, seconds on the wall"
    yield f"  loading the solver                     {time.monotonic() - start:.2f} s"
    for count, fill in CASES:
        yield case_line(count, fill)


def case_line(count: int, fill: float) -> str:
    """One case: its times, and whether the goals are met."""
    job, heard = case(count, fill), list[Arrangement]()
    outcome = ArrangeSearch(job, time_s=TIME_S).run(heard.append)
    assert all(not broken(job, plan.spots) for plan in heard)
    return f"  {count:2d} things, {fill:.0%} of the floor           {told(outcome, heard, count)}"


def told(outcome: Outcome, heard: list[Arrangement], count: int) -> str:
    """How it went."""
    if outcome.plan is None:
        return f"no plan: {outcome.end}, {outcome.seconds:.2f} s"
    first, last = heard[0], heard[-1]
    good = next(plan for plan in heard if plan.spread_m <= last.spread_m * 1.05)
    end = f"proven best {outcome.seconds:.1f} s" if outcome.end == BEST else f"not proven in {TIME_S:g} s"
    met = first.seconds <= FIRST_S and good.seconds <= GOOD_S
    met &= outcome.end == BEST or count > PROVEN_UP_TO
    return (
        f"first {first.seconds:.2f} s, within 5 % of the last {good.seconds:.2f} s, {end} "
        f"({'met' if met else 'MISSED'})"
    )


def case(count: int, fill: float) -> Task:
    """Invented boxes that need so much of the floor that the strip leaves."""
    draw = random.Random(1000 * count)
    strip = thing("strip", 6.0, 0.1, 1.3, at=2.45)
    sides = [(draw.uniform(0.3, 0.9), draw.uniform(0.15, 0.5)) for _ in range(count)]
    free_m2 = DECK.area_m2 - 0.13
    scale = (fill * free_m2 / sum(a * b for a, b in sides)) ** 0.5
    boxes = [
        thing(f"box {n}", draw.uniform(2, 25), round(a * scale, 2), round(b * scale, 2))
        for n, (a, b) in enumerate(sides)
    ]
    rules = LayoutRules(balance_m=0.04, reach_m=None)
    return Task(deck=DECK, tie_points=((0.95, 0.6), (3.05, -0.6)), things=(strip, *boxes), rules=rules)


def thing(name: str, mass_kg: float, length_m: float, width_m: float, at: float | None = None) -> Thing:
    """One thing; pinned at `at` when that is given."""
    middle = Place(aft_m=2.0, up_m=2.1)
    return Thing(
        key=f"stowed:{name}", name=name, mass_kg=mass_kg, size_known=True, zone="Roof", zone_place=middle,
        size=Size(length_m=length_m, width_m=width_m, height_m=0.3),
        place=None if at is None else Place(aft_m=at, up_m=2.1), turned=False, pinned=at is not None, group="",
        reachable=False,
    )  # fmt: skip
