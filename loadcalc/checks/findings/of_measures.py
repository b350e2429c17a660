"""Findings about measures of the vehicle that nobody entered: what is assumed instead, and what hangs on it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from loadcalc.checks.findings.finding import FIGURE, RATINGS, Finding
from loadcalc.model.assumption import Assumption
from loadcalc.model.loadout import Loadout
from loadcalc.model.vehicle import Vehicle

TAKEN = "not measured, so assumed, with a margin"
LACKS = "not entered, so nothing that rests on it is judged"
WEIGHED = "gross, axles, and tires"
GROUPS = (
    ("curb mass", "Curb mass", WEIGHED, ("curb_kg",)),
    ("wheelbase", "Wheelbase", "axles and tires", ("wheelbase_m",)),
    ("split", "Empty load of each axle", "axles and tires", ("curb_aft_m",)),
    ("height", "Height of the empty vehicle's center of gravity", "tip angles", ("curb_up_m",)),
    ("tracks", "Tracks", "tires and tip angles", ("front_track_m", "rear_track_m")),
    (
        "tank", "Fuel tank, and what was in it at curb mass", WEIGHED,
        ("tank_capacity_l", "tank_density_kg_per_l", "tank_aft_m", "curb_fuel_l"),
    ),
    ("seats", "Number of seats", "seats", ("seats",)),
    ("outline", "Length, width, and height", "overall height and the drawing", ("length_m", "width_m", "height_m")),
)  # fmt: skip  # key, what, what rests on it, measures
NOBODY = Assumption(measure="people", rule="nobody is entered")
PLACES = ("aft_m", "left_m")


def measure_findings(vehicle: Vehicle, loadout: Loadout) -> Iterator[Finding]:
    """What nobody entered of the vehicle, its seats, the zones in use, and the rack on it.

    Parameters
    ----------
    vehicle : with what is assumed of it; loadout : what rides where.
    """
    for key, what, counts, measures in GROUPS:
        yield from _of(key, what, counts, [one for one in vehicle.assumed if one.measure in measures and _own(one)])
    if vehicle.assumed and not loadout.people:  # one that was entered whole may well be judged empty
        yield from _of("driver", "Who drives, and who comes", f"people and cargo, {WEIGHED}", [NOBODY])
    taken = {who.seat for who in loadout.people}
    used = taken | {stowed.zone for stowed in loadout.gear} | {filled.zone for filled in loadout.liquids}
    seats = [one for seat in vehicle.seats if seat.name in taken for one in seat.assumed]
    zones = [one for zone in loadout.zones if zone.name in used for one in zone.assumed]
    rack = loadout.carrier.assumed if loadout.carrier else ()
    for key, what, assumed in (
        ("seat places", "Places of seats", seats), ("zone places", "Places of zones", zones),
        ("rack", "Place of the roof rack", rack),
    ):  # fmt: skip
        yield from _of(key, what, "axles and tires", [one for one in assumed if one.measure in PLACES])


def _own(one: Assumption) -> bool:
    """Whether it is to be told by itself; where the tank is nobody can say without a wheelbase, which is told."""
    return one.measure != "tank_aft_m" or one.plus_minus is not None


def _of(key: str, what: str, counts: str, assumed: Iterable[Assumption]) -> Iterator[Finding]:
    rules = {one.rule: one.plus_minus is None for one in assumed}
    if rules:
        lacks = any(rules.values())
        yield Finding(
            kind=FIGURE, key=f"figure:{key}", what=f"{what} ({counts})", said=LACKS if lacks else TAKEN,
            rests_on="" if lacks else "; ".join(rules),
            cure="enter it: a label, the handbook, a tape, or a scale has it", page=RATINGS,
        )  # fmt: skip
