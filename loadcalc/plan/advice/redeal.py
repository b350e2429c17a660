"""Bring the center of gravity down from a plan within ratings: empty a few zones, and deal their things anew.

Every deal is considered: a dozen things among three zones are half a million. They are met in the middle: the things
are two halves, the deals of each are added up, and of the second half's, in order of height, only the slice counts
that brings the sum of both below now and not below the bound. Of a million pairs a few thousand are left to be held
against the limits.
"""

from __future__ import annotations

import time
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from loadcalc.plan.advice.problem import Assign, Problem

if TYPE_CHECKING:
    from numpy.random import Generator
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Numbers = NDArray[np.int64]

ENOUGH = 1e-6  # kg m: a smaller gain is rounding
MOST_PAIRS = 2_000_000  # pairs of deals looked at in one step, for the memory's sake
# Found by trying, on invented loadouts of 60 things in 12 zones.
FEWEST_DEALS, MOST_DEALS, PATIENCE = 256, 512, 60  # deals of each half; steps in a row that win nothing
SHAKES, SHAKEN_DEALS = 4, 64


@dataclass(frozen=True, slots=True)
class Half:
    """Some things and where each may go: all their deals. up : (D,) height won or lost [kg m]; adds : (R, D)."""

    things: list[int]
    places: list[Numbers]
    up: Floats
    adds: Floats

    def deal(self, number: int) -> list[tuple[int, int]]:
        """Thing and zone, for each thing, of one deal by its number."""
        dealt = []
        for thing, places in zip(reversed(self.things), reversed(self.places), strict=True):
            number, which = divmod(number, len(places))
            dealt.append((thing, int(places[which])))
        return dealt


class Redeal:
    """Where things are, and how much room every row has.

    problem : the loadout; assign : an allowed plan that leaves nothing home.
    extra : (N, Z + 1) what each place costs at least beyond the bound [kg m], from `relaxed`.
    bound_up : no plan's moment of height is below this [kg m].
    most_moves : things that may be away from where they are now, None for any number; chance : which zones, and so on.
    """

    def __init__(
        self,
        problem: Problem,
        assign: Assign,
        *,
        extra: Floats,
        bound_up: float,
        most_moves: int | None,
        chance: Generator,
    ) -> None:
        self.problem, self.extra, self.bound_up, self.chance = problem, extra, bound_up, chance
        self._things = np.arange(len(problem.things))
        moved = np.ones_like(problem.up)
        moved[self._things, problem.now] = 0.0
        limit = len(self._things) if most_moves is None else most_moves
        self._adds = np.concatenate([problem.adds, moved[None]])
        self._most = np.concatenate([problem.most, [limit + 0.5]])
        self._base = np.concatenate([problem.base, [0.0]])
        self.put(assign)

    def put(self, assign: Assign) -> None:
        """Go on from another plan."""
        self.where = np.array(assign, dtype=int)
        self._add_up()

    @property
    def assign(self) -> Assign:
        """Where things are now."""
        return tuple(int(place) for place in self.where)

    def _add_up(self) -> None:
        self._room = self._most - self._base - self._adds[:, self._things, self.where].sum(axis=1)
        self.up = self.problem.base_up + float(self.problem.up[self._things, self.where].sum())

    def step(self, zones: Numbers, size: int, give: float = 0.0) -> bool:
        """Deal the things of some zones anew; returns whether anything was changed.

        Parameters
        ----------
        zones : by number. size : deals of each half at most.
        give : 0: the lowest deal, if it is lower than now; else any deal at most this much higher [kg m].
        """
        halves = self._halves(zones, size, give)
        if not halves:
            return False
        first, second = halves
        pairs = self._pairs(first, second, give if give else -ENOUGH)
        one, other = self._allowed(first, second, *pairs)
        if not len(one):
            return False
        best = self.chance.integers(len(one)) if give else np.argmin(first.up[one] + second.up[other])
        for thing, place in first.deal(int(one[best])) + second.deal(int(other[best])):
            self.where[thing] = place
        self._add_up()
        return True

    def _halves(self, zones: Numbers, size: int, give: float) -> tuple[Half, Half] | None:
        """Two halves of what rides in these zones, taken by chance until the deals are too many."""
        budget = self.up - self.bound_up + give  # a place that costs more is in no plan that is wanted
        inside = self._things[np.isin(self.where, zones)]
        self.chance.shuffle(inside)
        taken: list[tuple[list[int], list[Numbers]]] = [([], []), ([], [])]
        deals = [1, 1]
        for thing in inside:
            cheap = (self.extra[thing, zones] <= budget) | (zones == self.where[thing])
            places = zones[cheap & self.problem.may[thing, zones]]
            less = int(deals[1] < deals[0])
            if len(places) > 1 and deals[less] * len(places) <= size:
                deals[less] *= len(places)
                taken[less][0].append(int(thing))
                taken[less][1].append(places)
        return (self._half(*taken[0]), self._half(*taken[1])) if deals[0] > 1 else None

    def _half(self, things: list[int], places: list[Numbers]) -> Half:
        up, adds = np.zeros(1), np.zeros((len(self._room), 1))
        for thing, there in zip(things, places, strict=True):
            here = self.where[thing]
            lift = self.problem.up[thing, there] - self.problem.up[thing, here]
            added = self._adds[:, thing, there] - self._adds[:, thing, here][:, None]
            up = (up[:, None] + lift).ravel()
            adds = (adds[:, :, None] + added[:, None, :]).reshape(len(adds), -1)
        return Half(things, places, up, adds)

    def _pairs(self, first: Half, second: Half, most_up: float) -> tuple[Numbers, Numbers]:
        """The pairs of deals that together end between the bound and `most_up` above now."""
        one = self._possible(first, second)
        other = self._possible(second, first)
        other = other[np.argsort(second.up[other], kind="stable")]
        height = second.up[other]
        low = np.searchsorted(height, self.bound_up - self.up - ENOUGH - first.up[one])
        high = np.searchsorted(height, most_up - first.up[one])
        counts = np.maximum(high - low, 0)
        if counts.sum() > MOST_PAIRS:
            counts[self.chance.random(len(counts)) > MOST_PAIRS / counts.sum()] = 0
        ends = np.cumsum(counts)
        numbers = np.arange(counts.sum()) + np.repeat(low - (ends - counts), counts)
        return np.repeat(one, counts), other[numbers]

    def _possible(self, half: Half, rest: Half) -> Numbers:
        """The deals of a half that some deal of the rest may make an allowed plan."""
        least = rest.adds.min(axis=1)
        return np.flatnonzero((half.adds + least[:, None] <= self._room[:, None]).all(axis=0))

    def _allowed(self, first: Half, second: Half, one: Numbers, other: Numbers) -> tuple[Numbers, Numbers]:
        """Of pairs of deals those that every row allows; rows that forbid most come first, by a sample."""
        some = slice(None, None, max(1, len(one) // 500))
        held = first.adds[:, one[some]] + second.adds[:, other[some]] <= self._room[:, None]
        never = first.adds.max(axis=1) + second.adds.max(axis=1) <= self._room
        for row in np.argsort(held.sum(axis=1), kind="stable"):
            if never[row]:
                continue
            holds = first.adds[row, one] + second.adds[row, other] <= self._room[row]
            one, other = one[holds], other[holds]
        return one, other


def redealt(redeal: Redeal, *, wanted_up: float, give: float, until: float) -> Assign:
    """The lowest plan found by deal after deal, of ever more things, until nothing is won any more.

    Parameters
    ----------
    redeal : where to begin. wanted_up : low enough [kg m].
    give : when stuck it goes on from a plan at most this much higher [kg m]. until : on the monotonic clock [s].
    """
    zones = np.arange(len(redeal.problem.zones))
    best, best_up, idle, size = redeal.assign, redeal.up, 0, FEWEST_DEALS

    def some(how_many: int) -> Numbers:
        return redeal.chance.choice(zones, min(how_many, len(zones)), replace=False)

    while best_up > wanted_up and size <= MOST_DEALS and time.monotonic() < until:
        idle = 0 if redeal.step(some(int(redeal.chance.integers(2, 5))), size) else idle + 1
        if redeal.up < best_up - ENOUGH:
            best, best_up = redeal.assign, redeal.up
        if idle >= PATIENCE:
            idle, size = 0, 2 * size
            if redeal.up > best_up + 2.0 * give:
                redeal.put(best)
            for _ in range(SHAKES):
                redeal.step(some(3), SHAKEN_DEALS, give)
    return best
