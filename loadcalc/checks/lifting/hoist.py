"""Each box to its place: which lift that is, and what the lifting equation says of it, at both ends."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import lru_cache

from loadcalc.checks.lifting.niosh import FORMS, Lift, OutsideEquation, lifting_index, recommended_limit_kg
from loadcalc.model import check
from loadcalc.model.loadout import Filled, Loadout, Stowed
from loadcalc.model.space import Place, Size
from loadcalc.model.things import Zone

LEANING_M = {"SI": 0.15, "US": 0.1524}  # 15 cm; 6 in: over a sill, a bumper, a rail; an assumption
UNKNOWN_SIZE = Size(length_m=0.4, width_m=0.3, height_m=0.3)  # an assumption for what has no size entered


@dataclass(frozen=True, slots=True, kw_only=True)
class Handling:
    """How boxes are lifted. Assumptions that a person sets.

    from_m : height of what the boxes stand on, 0 for the ground [m]; over_m : what one leans over at the place: sill,
    bumper, rail, None for what is usual in that form [m].
    turn_deg, grip, lifts_per_min, hours : see Lift [deg, -, 1/min, h].
    form : "SI" or "US": which printed form of the equation, by the name of the reader's units.
    """

    from_m: float = 0.0
    over_m: float | None = None
    turn_deg: float = 0.0
    grip: str = "fair"
    lifts_per_min: float = 0.2
    hours: int = 1
    form: str = "SI"

    @property
    def leaning_m(self) -> float:
        """What one leans over at the place, as set or as usual [m]."""
        return LEANING_M[self.form] if self.over_m is None else self.over_m


@dataclass(frozen=True, slots=True, kw_only=True)
class Lifted:
    """One box to its place.

    mass_kg : of one piece [kg]; height_m : of the hands at the place [m]; sized : whether its size is known.
    limit_kg, index : of the worse end, None when refused; refused : why the equation doesn't answer, else None.
    """

    name: str
    zone: str
    mass_kg: float
    height_m: float
    sized: bool
    limit_kg: float | None = None
    index: float | None = None
    refused: OutsideEquation | None = None


def hands_up_m(zone: Zone, place: Place | None, height_m: float) -> float:
    """Height of the hands when a box is set down in a zone: half the box above the zone's floor.

    Parameters
    ----------
    zone : where it goes; place : the box's own place, which then tells [m]; height_m : of the box [m].

    Returns
    -------
    float: above the ground [m].
    """
    if place is not None:
        return place.up_m
    return max(0.0, zone.place.up_m - zone.size.height_m / 2) + height_m / 2


def lift_limit_kg(size: Size, height_m: float, handling: Handling) -> float:
    """Recommended limit of one box, of the worse end of its lift.

    The hands hold it at half its height, its narrower side to the body: H = 20 cm or 8 in (25 cm or 10 in low down) +
    half of that side, and at the place what one leans over as well. It is set down with care, so the place counts as an
    end too.

    Parameters
    ----------
    size : of the box [m]
    height_m : hands above the ground at the place [m]
    handling : how it is lifted

    Returns
    -------
    float: what may be lifted so [kg]

    Raises
    ------
    OutsideEquation (a BadValue): either end is outside the equation
    """
    check.one_of("form", handling.form, FORMS)
    start_m = handling.from_m + size.height_m / 2
    lift = Lift(
        reach_m=_reach_m(start_m, size, handling.form),
        height_m=start_m,
        travel_m=abs(height_m - start_m),
        turn_deg=handling.turn_deg,
        grip=handling.grip,
        lifts_per_min=handling.lifts_per_min,
        hours=handling.hours,
    )
    reach_m = _reach_m(height_m, size, handling.form) + handling.leaning_m
    there = replace(lift, reach_m=reach_m, height_m=height_m)
    return min(recommended_limit_kg(end, handling.form) for end in (there, lift))


@lru_cache(maxsize=4096)  # no mass in it: each judgment of a day asks for the same limits again
def _limit_or_refusal(size: Size, height_m: float, handling: Handling) -> float | OutsideEquation:
    try:
        return lift_limit_kg(size, height_m, handling)
    except OutsideEquation as error:
        return error.with_traceback(None)  # which would hold on to the loadout


def _reach_m(hands_m: float, size: Size, form: str) -> float:
    its = FORMS[form]
    return (its.body_low_m if hands_m < its.low_m else its.body_m) + min(size.length_m, size.width_m) / 2


def lifts(loadout: Loadout, handling: Handling) -> tuple[Lifted, ...]:
    """Every piece to its place: what the equation refuses first, then the highest index first.

    Parameters
    ----------
    loadout : what rides where; handling : how boxes are lifted.
    """
    aboard: Iterable[Stowed | Filled] = (*loadout.gear, *loadout.liquids)
    found = [_lifted(loadout, thing, handling) for thing in aboard if thing.mass_kg > 0]
    return tuple(sorted(found, key=_hardest_first))


def _hardest_first(lifted: Lifted) -> tuple[bool, float]:
    return (not lifted.refused, -(lifted.index if lifted.index is not None else lifted.mass_kg))


def _lifted(loadout: Loadout, thing: Stowed | Filled, handling: Handling) -> Lifted:
    zone = loadout.zone(thing.zone)
    known: Size | None = None
    if isinstance(thing, Stowed):
        name, mass_kg, known = thing.item.name, thing.item.mass_kg, thing.item.size
    else:
        name, mass_kg = thing.liquid.name, thing.mass_kg
    size = known or UNKNOWN_SIZE
    height_m = hands_up_m(zone, thing.place, size.height_m)
    found = _limit_or_refusal(size, height_m, handling)
    refused = found if isinstance(found, OutsideEquation) else None
    limit_kg = None if isinstance(found, OutsideEquation) else found
    return Lifted(
        name=name, zone=zone.name, mass_kg=mass_kg, height_m=height_m, sized=known is not None, limit_kg=limit_kg,
        index=None if limit_kg is None else lifting_index(mass_kg, limit_kg), refused=refused,
    )  # fmt: skip
