"""Take times in turns, so that a slow moment of the machine falls on all that is compared.

Processor time, not time on the wall: what else the machine is doing counts as little as it can.
"""

from __future__ import annotations

import gc
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from statistics import median, quantiles
from time import process_time

ONE_TIMING_S = 0.02  # long against the clock's grain


@dataclass(frozen=True, kw_only=True)
class Spread:
    """A median and the middle half around it."""

    median: float
    low: float
    high: float

    def text(self, digits: int = 3) -> str:
        """The three numbers, to so many significant digits."""
        middle, low, high = (significant(value, digits) for value in (self.median, self.low, self.high))
        return f"{middle} ({low} to {high})"


def significant(value: float, digits: int = 3) -> str:
    """A number to so many significant digits, without an exponent."""
    if value == 0:
        return "0"
    rounded = float(f"{value:.{digits - 1}e}")
    decimals = digits - 1 - math.floor(math.log10(abs(rounded)))
    return f"{rounded:,.{max(decimals, 0)}f}"


def spread(values: Sequence[float]) -> Spread:
    """Median and quartiles."""
    low, _, high = quantiles(values, n=4, method="inclusive")
    return Spread(median=median(values), low=low, high=high)


def ratio(first: Sequence[float], second: Sequence[float]) -> Spread:
    """How many times `second` fits into `first`, round by round."""
    return spread([one / other for one, other in zip(first, second, strict=True)])


def in_turns(calls: Mapping[str, Callable[[], object]], *, rounds: int = 15) -> dict[str, list[float]]:
    """Processor seconds per call [s] of each, once a round; a call is repeated until the clock can tell."""
    repeats = {name: _repeats(call) for name, call in calls.items()}
    found: dict[str, list[float]] = {name: [] for name in calls}
    collecting = gc.isenabled()
    gc.disable()
    try:
        for _ in range(rounds):
            for name, call in calls.items():
                found[name].append(_seconds(call, repeats[name]) / repeats[name])
    finally:
        if collecting:
            gc.enable()
    return found


def _repeats(call: Callable[[], object]) -> int:
    call()
    repeats = 1
    while (taken := _seconds(call, repeats)) < ONE_TIMING_S / 2:
        repeats *= 2
    return max(1, round(repeats * ONE_TIMING_S / taken))


def _seconds(call: Callable[[], object], repeats: int) -> float:
    start = process_time()
    for _ in range(repeats):
        call()
    return process_time() - start


def verdict(met: bool) -> str:
    """The word for a goal."""
    return "met" if met else "MISSED"
