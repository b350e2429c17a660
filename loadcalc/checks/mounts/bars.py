"""How a carrier's bars share out what stands on it, and how each bar's load is shared by its two feet.

The platform is a beam along the vehicle on its bars (beam.py). Fore and aft it is shared out by that beam; between the
left and the right foot of a bar by the lever, each load's part acting at its own distance from the center line.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from loadcalc.checks.mounts.beam import beam_shares, points_of, stiff_shares


def bar_shares(
    at_m: float, length_m: float, bars_m: Sequence[float], *, stiff: bool = False
) -> tuple[float, ...]:
    """Share of one thing on the carrier that each bar carries.

    With two bars both ideas of the platform agree: the lever. From three on the larger of the two counts.

    Parameters
    ----------
    at_m : its middle [m]
    length_m : its length along the vehicle, over which the load is spread evenly; 0 for a point [m]
    bars_m : where the bars are, in rising order [m]
    stiff : True for a platform that does not bend on bars that yield, False for one that bends on bars that do not

    Returns
    -------
    tuple: one share for each bar [-]; they add up to 1; below zero: pulled up

    Raises
    ------
    BadValue: fewer than two bars, or bars closer than 1 cm or out of order

    Notes
    -----
    Formula: sum over the Gauss points of the stretch of (part of the load · `beam_shares` or `stiff_shares` there)
    Source: elementary statics; Gauss-Legendre points of order 2 between the bars, exact for a beam
    Status: computed

    Examples
    --------
    By the lever: the middle of the load is a quarter of the way from the first bar to the second.

    >>> [round(share, 3) for share in bar_shares(1.25, 0.5, (1.0, 2.0))]
    [0.75, 0.25]
    """
    return _shares(at_m, length_m, tuple(bars_m), stiff)


@lru_cache(
    maxsize=4096
)  # a share matrix asks for every bar and foot of a load anew, and advice for every zone
def _shares(at_m: float, length_m: float, bars_m: tuple[float, ...], stiff: bool) -> tuple[float, ...]:
    shared = stiff_shares if stiff else beam_shares
    parts = [(part, shared(point, bars_m)) for point, part in points_of(at_m, length_m, bars_m)]
    return tuple(sum(part * shares[i] for part, shares in parts) for i in range(len(bars_m)))


def foot_loads_kg(bar_kg: float, moment_kg_m: float, half_span_m: float) -> tuple[float, float]:
    """Left and right foot of one bar: half each, more or less by the lever.

    Parameters
    ----------
    bar_kg : load on the bar [kg]
    moment_kg_m : sum of each load times its distance to the left [kg m]
    half_span_m : from the center line to a foot, above zero [m]

    Returns
    -------
    tuple: (left, right) [kg]; below zero: pulled up

    Notes
    -----
    Formula: left = bar / 2 + moment / (2 · half span); right = bar / 2 − moment / (2 · half span)
    Range: any load; the bar itself is taken as stiff enough to stand on both feet
    Source: elementary statics: moments about a foot
    Status: computed

    Examples
    --------
    By hand: 40 kg with its middle 0.2 m to the left, on feet 1 m apart: 20 + 8 and 20 − 8.

    >>> foot_loads_kg(40.0, 8.0, 0.5)
    (28.0, 12.0)
    """
    tilt_kg = moment_kg_m / (2.0 * half_span_m)
    return bar_kg / 2.0 + tilt_kg, bar_kg / 2.0 - tilt_kg
