"""The demo's vehicle, zones, and people with sixty other things drawn from its gear list: how full is said.

For the benchmark: what an ordinary and what a tight departure are is told by a number here, not by how long they take.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

from loadcalc.model import Loadout, Stowed, Vehicle
from loadcalc.plan.advice.allowed import AdviceRules
from tests.season_help import FRIDAY, demo_season

LIGHTER = 0.9  # of the demo's own gear, which is more than it may carry on the roof


@cache
def _demo() -> tuple[Vehicle, Loadout]:
    with TemporaryDirectory() as folder, demo_season(Path(folder)) as season:
        return season.vehicle, season.loadout(FRIDAY)


def crew_case(seed: int, full: float, items: int = 60) -> tuple[Vehicle, Loadout]:
    """The demo's departure with other things.

    Parameters
    ----------
    seed : which things, each with the zone it rides in in the demo, and 0.7 to 1.3 times its mass.
    full : how much of the room in all zones they take up, cans among them [-]; sizes are scaled to that.
    items : how many; together they weigh nine tenths of the demo's gear, whatever their number.
    """
    random = Random(seed)
    vehicle, loadout = _demo()
    free = [stowed for stowed in loadout.gear if not stowed.pinned]
    drawn = [
        _drawn(random.choice(free), f"thing {number}", random.uniform(0.7, 1.3)) for number in range(items)
    ]
    mass = LIGHTER * sum(s.mass_kg for s in loadout.gear) / sum(s.mass_kg for s in drawn)
    rules = AdviceRules()
    room_l = rules.fill * sum(zone.size.volume_l for zone in loadout.zones)
    cans_l = sum(filled.liquid.capacity_l for filled in loadout.liquids)
    taken_l = sum(
        stowed.item.size.volume_l if stowed.item.size else rules.liters_per_kg * mass * stowed.mass_kg
        for stowed in drawn
    )
    side = ((full * room_l - cans_l) / taken_l) ** (1 / 3)
    return vehicle, replace(loadout, gear=tuple(_scaled(stowed, mass, side) for stowed in drawn))


def _drawn(stowed: Stowed, name: str, times: float) -> Stowed:
    item = replace(stowed.item, name=name, mass_kg=times * stowed.item.mass_kg)
    return replace(stowed, item=item, count=1, place=None)


def _scaled(stowed: Stowed, mass: float, side: float) -> Stowed:
    size = stowed.item.size
    if size is not None:
        size = replace(
            size, length_m=side * size.length_m, width_m=side * size.width_m, height_m=side * size.height_m
        )
    return replace(stowed, item=replace(stowed.item, mass_kg=mass * stowed.item.mass_kg, size=size))
