"""The hitch and the trailer as ratings. They are there when the vehicle has a hitch."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from loadcalc.checks.ratings.masses import TONGUE, TRAILER, Mass
from loadcalc.checks.ratings.row import RatingRow, entered_row
from loadcalc.model.carrier import Trailer
from loadcalc.model.limits import Limit
from loadcalc.model.loadout import Loadout
from loadcalc.model.vehicle import Vehicle

AXLES = ("trailer_front_axle", "trailer_rear_axle")
TIRES_OF_AN_AXLE = 2


def _all(mass: Mass) -> float:
    return 1.0


def _trailer(mass: Mass) -> float:
    return float(mass.kind in (TONGUE, TRAILER))


def _on_trailer_axle(mass: Mass) -> float:
    return float(mass.kind == TRAILER)


def _on_hitch(mass: Mass) -> float:
    return float(mass.on_hitch)


def _hung_on_hitch(mass: Mass) -> float:
    return float(mass.on_hitch and mass.kind != TONGUE)


# key: what counts in words, share
_HITCH = {
    "combination": ("vehicle and trailer as they stand, together", _all),
    "tow": ("the whole trailer", _trailer),
    "hitch_trailer": ("the whole trailer", _trailer),
    "hitch_tongue": ("the trailer's tongue + what hangs on the hitch", _on_hitch),
    "hitch_road": ("what hangs on the hitch, its own mass too", _hung_on_hitch),
    "hitch_off_road": ("what hangs on the hitch, its own mass too", _hung_on_hitch),
}
_TRAILER = {
    "trailer_gross": ("the whole trailer", _trailer),
    "trailer_axle": ("the trailer without its tongue weight", _on_trailer_axle),
}
UNSPLIT = (
    "how its two axles share the load is not known, so not judged",
    "weigh each axle, or say that a linkage makes them share",
)


def hitch_rows(vehicle: Vehicle, loadout: Loadout) -> tuple[RatingRow, ...]:
    """Ratings of the hitch when there is one, and the trailer's own when it hangs on it."""
    hangs = any(zone.on_hitch for zone in loadout.zones)
    if vehicle.hitch is None and not hangs:
        return ()
    found = [entered_row(key, vehicle.limit(key), *row) for key, row in _HITCH.items()]
    return tuple(found if loadout.trailer is None else [*found, *_trailer_rows(loadout.trailer)])


def _trailer_rows(trailer: Trailer) -> Iterator[RatingRow]:
    """The trailer as a whole, each of two axles, and the tires of the axle that carries more."""
    for key, row in _TRAILER.items():
        yield entered_row(key, _together(trailer) if key == "trailer_axle" else trailer.limit(key), *row)
    shares = trailer.axle_shares
    if trailer.axles == 2:
        front, rear = shares or (0.5, 0.5)
        yield _axle_row(trailer, "trailer_front_axle", _way(trailer), front)
        yield _axle_row(trailer, "trailer_rear_axle", _way(trailer), rear)
    tires = "what one tire carries, left and right taken alike"
    if trailer.axles == 2:
        tires += "; of the axle that carries more"
    yield _axle_row(trailer, "trailer_tire", tires, max(shares or (0.5,)) / TIRES_OF_AN_AXLE)


def _axle_row(trailer: Trailer, key: str, counts: str, share: float) -> RatingRow:
    """One row of an axle's share of what the trailer's wheels carry; not judged when nobody knows the shares."""
    unjudged = None if trailer.axle_shares else UNSPLIT
    limit = Limit(read_at=UNSPLIT[0]) if unjudged else trailer.limit(key)
    return replace(
        entered_row(key, limit, counts, lambda mass: share * _on_trailer_axle(mass)), unjudged=unjudged
    )


def _way(trailer: Trailer) -> str:
    """In words, what one of two axles carries."""
    if trailer.weighed_axles_kg is not None:
        return "the trailer without its tongue weight, as the two axles shared it on the scale"
    half = "half of the trailer without its tongue weight"
    return f"{half}: its axles share alike" if trailer.axles_share else f"{half} or more, nobody knows"


def _together(trailer: Trailer) -> Limit:
    """The limit of all its axles; where none is entered, two together carry no more than both of their limits."""
    limit, axles = trailer.limit("trailer_axle"), [trailer.limit(key) for key in AXLES]
    both = [axle.limit_kg for axle in axles if axle.limit_kg is not None]
    if trailer.axles == 1 or limit.limit_kg is not None or len(both) < len(axles):
        return limit
    assumed = "; ".join(dict.fromkeys(axle.assumed for axle in axles if axle.assumed))
    return Limit(limit_kg=sum(both), read_at="the limits of its two axles, added up", assumed=assumed)
