"""The hitch and the trailer as ratings. They are there when the vehicle has a hitch."""

from __future__ import annotations

from loadcalc.checks.ratings.masses import TONGUE, TRAILER, Mass
from loadcalc.checks.ratings.row import ALWAYS, OFF_ROAD, ROAD, RatingRow
from loadcalc.model.loadout import Loadout
from loadcalc.model.vehicle import TRAILER_LIMITS, VEHICLE_LIMITS, Limit, Vehicle


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


# key: condition, what counts in words, share
_HITCH = {
    "combination": (ALWAYS, "vehicle and trailer as they stand, together", _all),
    "tow": (ALWAYS, "the whole trailer", _trailer),
    "hitch_trailer": (ALWAYS, "the whole trailer", _trailer),
    "hitch_tongue": (ALWAYS, "the trailer's tongue + what hangs on the hitch", _on_hitch),
    "hitch_road": (ROAD, "what hangs on the hitch, its own mass too", _hung_on_hitch),
    "hitch_off_road": (OFF_ROAD, "what hangs on the hitch, its own mass too", _hung_on_hitch),
}
_TRAILER = {
    "trailer_gross": (ALWAYS, "the whole trailer", _trailer),
    "trailer_axle": (ALWAYS, "the trailer without its tongue weight", _on_trailer_axle),
}


def hitch_rows(vehicle: Vehicle, loadout: Loadout) -> tuple[RatingRow, ...]:
    """Ratings of the hitch when there is one, and the trailer's own when it hangs on it."""
    hangs = any(zone.on_hitch for zone in loadout.zones)
    if vehicle.hitch is None and not hangs:
        return ()
    found = [_row(key, vehicle.limit(key)) for key in _HITCH]
    if loadout.trailer is not None:
        found += [_row(key, loadout.trailer.limit(key)) for key in _TRAILER]
    return tuple(found)


def _row(key: str, limit: Limit) -> RatingRow:
    condition, counts, share = {**_HITCH, **_TRAILER}[key]
    name = VEHICLE_LIMITS.get(key) or TRAILER_LIMITS[key]
    return RatingRow(
        key=key, name=name, group="hitch", limit=limit, condition=condition, counts=counts, share=share
    )
