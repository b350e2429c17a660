"""Rectangles seen from above: how they lie, overlap, hang over, cover, clamp, and snap. Plain geometry."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from loadcalc.model import check
from loadcalc.model.space import Size

TOUCH_M = 0.0005  # things that touch do not overlap: less than this is the last bit of a typed inch
LARGEST_M = 20.0  # as large as a Size may be
MAGNET_M = 0.025  # an edge nearer than this to another edge goes to it


@dataclass(frozen=True, slots=True, kw_only=True)
class Footprint:
    """A rectangle seen from above, its sides along and across the vehicle.

    aft_m, left_m : its middle [m]; length_m : fore and aft as it lies [m]; width_m : across as it lies [m].
    """

    aft_m: float
    left_m: float
    length_m: float
    width_m: float

    def __post_init__(self) -> None:
        check.number("length as it lies", self.length_m, 0.0, 20.0, "m")
        check.number("width as it lies", self.width_m, 0.0, 20.0, "m")

    @property
    def fore_m(self) -> float:
        """Its front edge, behind the front axle line [m]."""
        return self.aft_m - self.length_m / 2

    @property
    def rear_m(self) -> float:
        """Its rear edge [m]."""
        return self.aft_m + self.length_m / 2

    @property
    def right_m(self) -> float:
        """Its right edge, left of the center line [m]; below zero: right of it."""
        return self.left_m - self.width_m / 2

    @property
    def far_left_m(self) -> float:
        """Its left edge, left of the center line [m]."""
        return self.left_m + self.width_m / 2

    @property
    def area_m2(self) -> float:
        """Its area [m2]."""
        return self.length_m * self.width_m

    def at(self, *, aft_m: float, left_m: float) -> Footprint:
        """Return it with its middle elsewhere: aft [m], left [m]."""
        return replace(self, aft_m=aft_m, left_m=left_m)


class Shared(NamedTuple):
    """What two footprints share: along the vehicle [m], across it [m]. Both zero when they only touch."""

    along_m: float
    across_m: float


class Overhang(NamedTuple):
    """How far a footprint reaches beyond each edge of another [m]; zero where it does not."""

    front_m: float
    rear_m: float
    right_m: float
    left_m: float


def lying(size: Size, *, turned: bool) -> tuple[float, float]:
    """Length and width of a box as it lies.

    Parameters
    ----------
    size : outside measures, its length fore and aft; turned : its length lies across the vehicle instead.

    Returns
    -------
    (fore and aft, across) [m].

    >>> lying(Size(length_m=1.2, width_m=0.3, height_m=0.2), turned=True)
    (0.3, 1.2)
    """
    return (size.width_m, size.length_m) if turned else (size.length_m, size.width_m)


def bundle(size: Size, count: int) -> Size:
    """Outside measures of several equal pieces tied into one bundle.

    Side by side and stacked, so that the bundle's end is as nearly square as the pieces allow (of two equally
    square ones the wider). An assumption, not a measurement: whoever bundles otherwise enters the bundle as one item.

    Parameters
    ----------
    size : of one piece; count : how many.

    Returns
    -------
    Size: length of one piece, width and height of the bundle [m].

    >>> bundle(Size(length_m=1.0, width_m=0.2, height_m=0.2), 3)
    Size(length_m=1.0, width_m=0.4, height_m=0.4)
    """
    pieces = max(1, int(check.number("count", count, 0, 1000, "")))

    def out_of_square_m(across: int) -> float:
        return round(abs(across * size.width_m - math.ceil(pieces / across) * size.height_m), 9)

    across = min(range(pieces, 0, -1), key=out_of_square_m)
    high = math.ceil(pieces / across)
    return Size(
        length_m=size.length_m,
        width_m=min(across * size.width_m, LARGEST_M),
        height_m=min(high * size.height_m, LARGEST_M),
    )


def shared(one: Footprint, other: Footprint) -> Shared:
    """What two footprints share.

    Parameters
    ----------
    one, other : the two rectangles.

    Returns
    -------
    Shared: along, across [m]: min(rear edges) - max(front edges), and the same across; zero for both when
        either is at most TOUCH_M, because things that touch do not overlap.
    """
    along = min(one.rear_m, other.rear_m) - max(one.fore_m, other.fore_m)
    across = min(one.far_left_m, other.far_left_m) - max(one.right_m, other.right_m)
    return Shared(along, across) if min(along, across) > TOUCH_M else Shared(0.0, 0.0)


def overlap(one: Footprint, other: Footprint) -> bool:
    """Whether two footprints share more than a touch. Parameters and rule as in :func:`shared`."""
    return shared(one, other).along_m > 0


def overhang(box: Footprint, deck: Footprint) -> Overhang:
    """How far a footprint reaches beyond the deck's four edges.

    Parameters
    ----------
    box : the rectangle; deck : what it lies on.

    Returns
    -------
    Overhang: [m] for each edge; zero up to TOUCH_M.
    """
    beyond = (
        deck.fore_m - box.fore_m,
        box.rear_m - deck.rear_m,
        deck.right_m - box.right_m,
        box.far_left_m - deck.far_left_m,
    )
    return Overhang(*(m if m > TOUCH_M else 0.0 for m in beyond))


def covers(box: Footprint, *, aft_m: float, left_m: float, room_m: float = 0.0) -> bool:
    """Whether a point lies under a footprint.

    Parameters
    ----------
    box : the rectangle; aft_m, left_m : the point [m]; room_m : space that a hand needs around it [m].

    Returns
    -------
    bool: True also on the edge, which a hook could not be set under either.
    """
    along = abs(aft_m - box.aft_m) <= box.length_m / 2 + room_m
    return along and abs(left_m - box.left_m) <= box.width_m / 2 + room_m


def clamp(box: Footprint, deck: Footprint) -> Footprint:
    """Move a footprint so that its middle stays over the deck; a long thing may still reach beyond an edge.

    Parameters
    ----------
    box : the rectangle; deck : what it lies on.

    Returns
    -------
    Footprint: the same size, moved as little as it takes.
    """
    return box.at(
        aft_m=min(max(box.aft_m, deck.fore_m), deck.rear_m),
        left_m=min(max(box.left_m, deck.right_m), deck.far_left_m),
    )


def snap(box: Footprint, deck: Footprint, others: Sequence[Footprint] = (), *, step_m: float) -> Footprint:
    """Move a footprint a little, to where a hand would have meant it.

    Along each direction by itself: to the nearest edge (of the deck or of a thing beside it) or to the deck's
    center line, when that is within MAGNET_M; else to a whole step, counted from the deck's front edge and
    from its center line.

    Parameters
    ----------
    box : where it was dropped; deck : what it lies on; others : what lies there too; step_m : the step [m].

    Returns
    -------
    Footprint: moved by at most max(MAGNET_M, step / 2) in each direction.
    """
    check.number("step", step_m, 1e-4, 1.0, "m")
    along = _pull(
        (box.fore_m, box.rear_m),
        [deck.fore_m, deck.rear_m, *(edge for o in others for edge in (o.fore_m, o.rear_m))],
    )
    across = _pull(
        (box.right_m, box.far_left_m),
        [deck.right_m, deck.far_left_m, *(edge for o in others for edge in (o.right_m, o.far_left_m))],
    )
    middle = deck.left_m - box.left_m
    if abs(middle) <= MAGNET_M and (across is None or abs(middle) <= abs(across)):
        across = middle
    if along is None:
        along = _to_step(box.fore_m - deck.fore_m, step_m)
    if across is None:
        across = _to_step(box.left_m - deck.left_m, step_m)
    return box.at(aft_m=box.aft_m + along, left_m=box.left_m + across)


def _pull(mine: Iterable[float], theirs: Iterable[float]) -> float | None:
    """The smallest shift that brings one of my edges to one of theirs, when it is small enough."""
    shifts = [their - my for my in mine for their in theirs]
    best = min(shifts, key=abs, default=math.inf)
    return best if abs(best) <= MAGNET_M else None


def _to_step(distance_m: float, step_m: float) -> float:
    return round(distance_m / step_m) * step_m - distance_m
