"""A beam on several supports: how one kilogram on it is shared out among them.

Plain statics of one straight, even beam; the carrier stands in bars.py. Two supports are settled by the lever alone.
From three on, the answer depends on how stiff the beam is beside its supports, so two ends of that are given: a beam on
supports that do not yield, and a stiff plate on equal springs. Formulas and sources: docs/restraint.md.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from loadcalc.model import check
from loadcalc.model.errors import BadValue

if TYPE_CHECKING:
    import numpy as np

GAUSS = (
    3.0**-0.5
)  # two points of an even stretch, exact for cubics, as beams are bent: Gauss-Legendre, order 2
CLOSEST_M = 0.01
POINT_M = 1e-4  # a stretch shorter than this is a point


def beam_shares(
    at_m: float,
    supports_m: Sequence[float],
    *,
    bending_n_m2: float | None = None,
    support_n_per_m: float | None = None,
) -> tuple[float, ...]:
    """Share of a point load that each support of a continuous, even beam carries.

    Leave both stiffnesses out for supports that do not yield: the beam's own stiffness then falls out.

    Parameters
    ----------
    at_m : where the load is [m]
    supports_m : two or more supports, in rising order [m]
    bending_n_m2 : bending stiffness EI of the beam, None for supports that do not yield [N m2]
    support_n_per_m : stiffness of each support, None for supports that do not yield [N/m]

    Returns
    -------
    tuple: one share for each support [-]; they add up to 1; below zero: pulled up

    Raises
    ------
    BadValue: fewer than two supports, supports closer than 1 cm or out of order, one stiffness without the other,
        or a stiffness out of range

    Notes
    -----
    Formula: stiffness matrix of the Euler-Bernoulli beam, deflection and slope at each support; a load between two
        supports by its fixed-end forces, one on an overhang by its force and lever
    Range: small deflections, supports that hold down as well as up
    Source: beam theory; checked by beam tables (from memory), by SymPy 1.14, and by singularity functions
    Status: computed

    Examples
    --------
    Two equal spans, load in the middle of the first: 13/32, 11/16, −3/32 (beam tables, from memory).

    >>> [round(share, 5) for share in beam_shares(0.5, (0.0, 1.0, 2.0))]
    [0.40625, 0.6875, -0.09375]
    """
    import numpy as np

    check_supports(supports_m)
    yielding = bending_n_m2 is not None
    if yielding != (support_n_per_m is not None):
        raise BadValue(
            "stiffness", None, "is given for one of beam and supports only", "give both or neither"
        )
    stiff = _stiffness(supports_m, bending_n_m2 if bending_n_m2 is not None else 1.0)
    load = np.zeros(2 * len(supports_m))
    _put_in(load, at_m, supports_m)
    if bending_n_m2 is not None and support_n_per_m is not None:
        check.number("bending stiffness", bending_n_m2, 1e-3, 1e9, "N m2")
        check.number("support stiffness", support_n_per_m, 1e-3, 1e12, "N/m")
        stiff[range(0, len(load), 2), range(0, len(load), 2)] += support_n_per_m
        carried = support_n_per_m * np.linalg.solve(stiff, load)[::2]
    else:
        slopes = np.linalg.solve(stiff[1::2, 1::2], load[1::2])
        carried = load[::2] - stiff[::2, 1::2] @ slopes
    return tuple(carried.tolist())


def stiff_shares(at_m: float, supports_m: Sequence[float]) -> tuple[float, ...]:
    """Share of a point load that each of several equal springs carries under a plate that does not bend.

    Parameters
    ----------
    at_m : where the load is [m]
    supports_m : two or more supports, in rising order [m]

    Returns
    -------
    tuple: one share for each support [-]; they add up to 1; below zero: pulled up

    Raises
    ------
    BadValue: fewer than two supports, or supports closer than 1 cm or out of order

    Notes
    -----
    Formula: 1/n + (at − middle) · (support − middle) / Σ (support − middle)²
    Source: elementary statics: as rivets in a group share a turning load
    Status: computed

    Examples
    --------
    By hand: a load over the first of three, 1/3 + 1/2, 1/3, 1/3 − 1/2 (tests/reference/beam_supports.csv).

    >>> [round(share, 4) for share in stiff_shares(0.0, (0.0, 1.0, 2.0))]
    [0.8333, 0.3333, -0.1667]
    """
    check_supports(supports_m)
    middle = sum(supports_m) / len(supports_m)
    spread = sum((support - middle) ** 2 for support in supports_m)
    return tuple(
        1.0 / len(supports_m) + (at_m - middle) * (support - middle) / spread for support in supports_m
    )


def points_of(at_m: float, length_m: float, supports_m: Sequence[float]) -> list[tuple[float, float]]:
    """Point loads that load the supports exactly as an even stretch of load does.

    The stretch is cut at the supports; each piece counts as two halves at its Gauss points.

    Parameters
    ----------
    at_m : the middle of the stretch [m]; length_m : its length, 0 for a point [m]; supports_m : supports [m].

    Returns
    -------
    list: (where [m], share of the load [-]).
    """
    if length_m < POINT_M:
        return [(at_m, 1.0)]
    start, end = at_m - length_m / 2, at_m + length_m / 2
    cuts = [start, *(s for s in supports_m if start < s < end), end]
    found = []
    for near, far in pairwise(cuts):
        middle, half, part = (near + far) / 2, (far - near) / 2, (far - near) / (end - start) / 2
        found += [(middle - GAUSS * half, part), (middle + GAUSS * half, part)]
    return found


def check_supports(supports_m: Sequence[float]) -> None:
    """Raise BadValue unless there are two or more supports in rising order, 1 cm or more apart.

    Parameters
    ----------
    supports_m : where they are [m].
    """
    if len(supports_m) < 2:
        raise BadValue("bars", len(supports_m), "is fewer than the two that hold a roof rack", "enter them all")
    for near, far in pairwise(supports_m):
        if far - near < CLOSEST_M:
            problem = f"m is not {CLOSEST_M:g} m or more behind the bar before it"
            raise BadValue("bar", far, problem, "measure the bars again")


def _put_in(nodes: np.ndarray, at_m: float, supports_m: Sequence[float]) -> None:
    """Add a load of 1 at `at_m` to the nodes: (deflection, slope) of each support."""
    last = len(supports_m) - 1
    if at_m <= supports_m[0] or at_m >= supports_m[-1]:
        node = 0 if at_m <= supports_m[0] else last
        nodes[2 * node] += 1.0
        nodes[2 * node + 1] += at_m - supports_m[node]
        return
    node = next(i for i in range(last) if at_m < supports_m[i + 1])
    span = supports_m[node + 1] - supports_m[node]
    s = (at_m - supports_m[node]) / span
    shapes = (
        1 - 3 * s**2 + 2 * s**3,
        span * (s - 2 * s**2 + s**3),
        3 * s**2 - 2 * s**3,
        span * (s**3 - s**2),
    )
    for offset, shape in enumerate(shapes):
        nodes[2 * node + offset] += shape


def _stiffness(supports_m: Sequence[float], bending: float) -> np.ndarray:
    """Stiffness matrix of the free beam, two rows for each support."""
    import numpy as np

    matrix = np.zeros((2 * len(supports_m), 2 * len(supports_m)))
    for node, (near, far) in enumerate(pairwise(supports_m)):
        long = far - near
        part = np.array(
            [
                [12, 6 * long, -12, 6 * long],
                [6 * long, 4 * long**2, -6 * long, 2 * long**2],
                [-12, -6 * long, 12, -6 * long],
                [6 * long, 2 * long**2, -6 * long, 4 * long**2],
            ]
        )
        matrix[2 * node : 2 * node + 4, 2 * node : 2 * node + 4] += bending / long**3 * part
    return matrix
