"""For the tests of advice: tight invented loadouts from a seed, and every choice of places there is."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import combinations, product
from math import comb
from random import Random

import numpy as np
from numpy.typing import NDArray

from loadcalc.checks.findings.judge import evaluate
from loadcalc.model import Bar, Limit, Loadout, Size, Stowed, Vehicle, Zone
from loadcalc.plan.advice.allowed import AdviceRules
from loadcalc.plan.advice.problem import LEFT, Assign, Problem
from tests.invented import invented_loadout, invented_vehicle

REACHES = ("on the road", "when unloaded")


def tight_case(seed: int, items: int = 5, zones: int = 3) -> tuple[Vehicle, Loadout]:
    """A vehicle and a loadout whose limits lie around their loads, some above and some below; rules on some items."""
    random = Random(seed)
    loadout = invented_loadout(seed, items=items, zones=zones)
    vehicle = invented_vehicle(seed)
    assert loadout.carrier is not None
    loadout = replace(
        loadout,
        carrier=replace(loadout.carrier, bars=_bars(Random(seed + 500))),
        zones=tuple(_zone(random, zone) for zone in loadout.zones),
        gear=tuple(_stowed(random, stowed) for stowed in loadout.gear),
        liquids=() if random.random() < 0.5 else loadout.liquids,
    )
    loads = {rating.key: rating.load for rating in evaluate(vehicle, loadout).ratings}

    def near(key: str, low: float, high: float) -> Limit:
        return Limit(limit_kg=max(loads[key], 1.0) * random.uniform(low, high))

    limits = {
        key: near(key, 0.99, 1.03) if loads[key] > 500 else near(key, 0.7, 1.4) for key in vehicle.limits
    }
    kept = [key for key in limits if random.random() < 0.7]
    carrier = loadout.carrier
    assert carrier is not None
    on_top = {key: near(key, 0.5, 1.5) for key in carrier.limits if random.random() < 0.7}
    own = tuple(
        replace(zone, limit=near(f"zone:{zone.name}", 0.6, 1.8))
        if random.random() < 0.6
        else replace(zone, limit=Limit())
        for zone in loadout.zones
    )
    random = Random(seed + 600)
    bars = tuple(
        replace(
            bar,
            limit=near(f"bar:{bar.name}", 0.8, 1.6) if random.random() < 0.8 else Limit(),
            foot_limit=near(f"bar:{bar.name}:left", 0.8, 1.6) if random.random() < 0.8 else Limit(),
        )
        for bar in carrier.bars
    )
    return (
        replace(vehicle, limits={key: limits[key] for key in kept}),
        replace(loadout, zones=own, carrier=replace(carrier, limits=on_top, bars=bars)),
    )


def _bars(random: Random) -> tuple[Bar, ...]:
    """None entered, or two, or three."""
    places = ((), (), (1.1, 2.3), (0.9, 1.7, 2.5))[random.randrange(4)]
    return tuple(Bar(name=f"bar {aft_m}", aft_m=aft_m, half_span_m=0.6) for aft_m in places)


def _zone(random: Random, zone: Zone) -> Zone:
    sides = (random.uniform(0.5, 1.2), random.uniform(0.4, 1.0), random.uniform(0.2, 0.6))
    size = Size(length_m=sides[0], width_m=sides[1], height_m=sides[2])
    cabin = not zone.on_carrier and random.random() < 0.6
    return replace(zone, size=size, in_cabin=cabin, reach=random.choice(REACHES))


def _stowed(random: Random, stowed: Stowed) -> Stowed:
    known = random.random() < 0.7
    sides = [random.uniform(0.1, 0.9) for _ in range(3)]
    size = Size(length_m=sides[0], width_m=sides[1] / 2, height_m=sides[2] / 3) if known else None
    item = replace(
        stowed.item,
        size=size,
        must_come=random.random() < 0.2,
        keep_reachable=random.random() < 0.1,
        stay_low=random.random() < 0.1,
        hazard=random.choice(("fuel", "gas")) if random.random() < 0.1 else "",
    )
    return replace(stowed, item=item, pinned=random.random() < 0.1)


def loose_case(seed: int, items: int = 60, zones: int = 12, squeeze: float = 1.0) -> tuple[Vehicle, Loadout]:
    """Many items in many zones: the case that the speed goals name. squeeze : zone limits times this [-].

    As in the demo two zones are on the roof, some things are too long for most zones, and the roof is a third over.
    """
    random = Random(seed)
    vehicle, loadout = invented_vehicle(seed), invented_loadout(seed, items=items, zones=zones)
    each_kg = sum(stowed.mass_kg for stowed in loadout.gear) / zones
    made = tuple(_roomy(random, zone, number, each_kg * squeeze) for number, zone in enumerate(loadout.zones))
    gear = tuple(replace(s, item=replace(s.item, size=_box(random))) for s in loadout.gear)
    loadout = replace(loadout, zones=made, gear=gear)
    report = evaluate(vehicle, loadout)
    room = {"gross": 1.02, "front_axle": 1.03, "rear_axle": 1.01, "placard": 1.02}
    roof = {"roof_road": 0.8, "roof_off_road": 0.75}
    limits = {key: Limit(limit_kg=report.rating(key).load * times) for key, times in {**room, **roof}.items()}
    assert loadout.carrier is not None
    return replace(vehicle, limits=limits), replace(loadout, carrier=replace(loadout.carrier, limits={}))


def _roomy(random: Random, zone: Zone, number: int, each_kg: float) -> Zone:
    on_carrier = number % 6 == 0
    up_m = random.uniform(2.0, 2.1) if on_carrier else random.uniform(0.6, 1.3)
    size = Size(
        length_m=random.uniform(0.5, 1.2), width_m=random.uniform(0.4, 0.9), height_m=random.uniform(0.2, 0.6)
    )
    limit = Limit(limit_kg=each_kg * random.uniform(1.3, 2.3))
    return replace(zone, place=replace(zone.place, up_m=up_m), on_carrier=on_carrier, size=size, limit=limit)


def _box(random: Random) -> Size:
    long = random.uniform(0.2, 0.7) if random.random() < 0.7 else random.uniform(0.7, 1.2)
    return Size(length_m=long, width_m=random.uniform(0.1, 0.4), height_m=random.uniform(0.1, 0.25))


def leave_case(seed: int, items: int = 60, zones: int = 12) -> tuple[Vehicle, Loadout]:
    """A loadout for which four things have to stay behind: gross is over by a little more than the heaviest three."""
    vehicle, loadout = invented_vehicle(seed), invented_loadout(seed, items=items, zones=zones)
    report = evaluate(vehicle, loadout)
    heaviest = sorted((stowed.mass_kg for stowed in loadout.gear), reverse=True)
    over_kg = sum(heaviest[:3]) + 0.5 * heaviest[3]
    limits = {"gross": Limit(limit_kg=report.mass_kg - over_kg)}
    assert loadout.carrier is not None
    wide = tuple(replace(zone, limit=Limit()) for zone in loadout.zones)
    return replace(vehicle, limits=limits), replace(
        loadout, zones=wide, carrier=replace(loadout.carrier, limits={})
    )


@dataclass(frozen=True, kw_only=True)
class All:
    """Every choice of places: (C, N) of them, and of each: allowed or not, moves, things left, masses, height.

    What is left counts twice in `handled_kg`.
    """

    assign: NDArray[np.int64]
    within: NDArray[np.bool_]
    moves: NDArray[np.int64]
    left: NDArray[np.int64]
    handled_kg: NDArray[np.float64]
    left_kg: NDArray[np.float64]
    height_m: NDArray[np.float64]


def all_of(problem: Problem, *, leaving: bool, moving: bool = True) -> All:
    """Count every choice through, one by one, with plain sums."""
    zones = range(len(problem.zones))
    places = [[*(zones if moving else [int(now)]), *([LEFT] if leaving else [])] for now in problem.now]
    assign = np.array(list(product(*places)), dtype=int).reshape(-1, len(places))
    loads = np.tile(problem.base, (len(assign), 1))
    up, kg = np.full(len(assign), problem.base_up), np.full(len(assign), problem.base_kg)
    allowed = np.ones(len(assign), dtype=bool)
    for thing in range(len(places)):
        where = assign[:, thing]
        loads += problem.adds[:, thing, where].T
        up += problem.up[thing, where]
        kg += problem.mass_kg[thing, where]
        allowed &= problem.may[thing, where]
    mass_kg = np.array([thing.mass_kg for thing in problem.things])
    gone = assign == LEFT
    moved = ~gone & (assign != problem.now)
    return All(
        assign=assign,
        within=allowed & (loads <= problem.most).all(axis=1) & (not problem.over),
        moves=moved.sum(axis=1),
        left=gone.sum(axis=1),
        handled_kg=(moved + 2.0 * gone) @ mass_kg,
        left_kg=gone @ mass_kg,
        height_m=up / kg,
    )


def counted_sets(problem: Problem, size: int) -> list[tuple[int, ...]]:
    """Every set of so many things that brings it within ratings when left home, lightest first: all are counted."""
    free = [i for i, thing in enumerate(problem.things) if not thing.must_come]
    sets = np.array(list(combinations(free, size)), dtype=int).reshape(comb(len(free), size), size)
    loads = problem.loads(problem.stay)
    good = np.array([set(problem.misplaced) <= set(some) for some in sets]) if problem.misplaced else True
    for row, load in enumerate(loads):
        takes = problem.adds[row, np.arange(len(problem.things)), problem.now]
        good = good & (load - takes[sets].sum(axis=1) <= problem.most[row])
    mass_kg = np.array([thing.mass_kg for thing in problem.things])
    passed = sets[good]
    return [tuple(int(i) for i in some) for some in passed[np.argsort(mass_kg[passed].sum(axis=1), kind="stable")]]


def random_assign(problem: Problem, seed: int) -> Assign:
    """Any places for all things, allowed or not, some left home."""
    random = Random(seed)
    return tuple(random.choice([*range(len(problem.zones)), LEFT]) for _ in problem.things)


def allowing(rules: AdviceRules, vehicle: Vehicle, loadout: Loadout, part: float = 1.0, seed: int = 0) -> AdviceRules:
    """The same rules, and each rating without a known limit that can be added to allowed by name, or a part of them."""
    random = Random(seed)
    keys = dict.fromkeys(row.rating_key for row in Problem(vehicle, loadout, rules).may_gain)
    return replace(rules, may_add_to=frozenset(key for key in keys if random.random() < part))


def problem_of(seed: int, items: int = 5, zones: int = 3) -> Problem:
    """The problem of a tight case. The wishes vary with the seed too, and what may be added to where no limit is known:

    of four cases two allow all of it, one some, and one nothing.
    """
    random = Random(seed)
    rules = AdviceRules(fill=random.uniform(0.5, 1.0), side_m=random.uniform(0.005, 0.05), low_above_cg_m=0.3)
    vehicle, loadout = tight_case(seed, items, zones)
    part = (1.0, 1.0, 0.7, 0.0)[seed // 4 % 4]
    return Problem(vehicle, loadout, allowing(rules, vehicle, loadout, part, seed))
