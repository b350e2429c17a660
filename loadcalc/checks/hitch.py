"""What hangs on the hitch and what is towed: the lever behind the rear axle, the tongue's share, the room left.

The ratings themselves are rows (checks/ratings/hitch.py); the functions here explain them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from loadcalc.checks.ratings.masses import TONGUE, TRAILER, Mass
from loadcalc.checks.ratings.report import ROUNDING, Report
from loadcalc.model import check
from loadcalc.model.errors import BadValue
from loadcalc.model.space import Place

LEAST_TONGUE_SHARE, MOST_TONGUE_SHARE = 0.10, 0.15
SHARING_MOST = 0.10  # how much more than an equal share a tire may carry on a load-sharing suspension
SHARING_SOURCE = "SA Vehicle Standards Rules 1999, rule 65: published"
TONGUE_SOURCE = "10 to 15% of the loaded trailer: several owners' manuals (common practice); yours comes first"


@dataclass(frozen=True, slots=True, kw_only=True)
class Lever:
    """What a load behind the rear axle does to the axles.

    mass_kg : it [kg]; behind_m : behind the rear axle line [m]; below zero: ahead of it.
    front_kg, rear_kg : what it adds to each axle [kg]; below zero: takes off.
    """

    mass_kg: float
    behind_m: float
    front_kg: float
    rear_kg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TowRoom:
    """How heavy a trailer one rating still allows, tongue weight at a stated share of it.

    key, name : of the rating; per_kg : what each kilogram of trailer adds to it [-].
    trailer_kg : the heaviest trailer that it allows [kg]; below zero: over already; None: its limit is not known.
    """

    key: str
    name: str
    per_kg: float
    trailer_kg: float | None


def lever_on_axles(mass_kg: float, *, wheelbase_m: float, behind_m: float) -> Lever:
    """A point load behind the rear axle: the rear axle gains more than it weighs, the front axle loses the rest.

    Parameters
    ----------
    mass_kg : T, the load, such as a tongue weight or a box on the hitch [kg], or in any other one unit
    wheelbase_m : L [m]
    behind_m : d, from the rear axle line to where the load acts, below zero ahead of it [m]

    Returns
    -------
    Lever: what it adds to each axle, below zero takes off [kg], in the unit of the load

    Raises
    ------
    BadValue: a wheelbase outside 0.1 to 30 m, or a distance outside −30 to 20 m

    Notes
    -----
    Formula: rear = T · (L + d) / L; front = −T · d / L
    Source: elementary statics: moments about an axle
    Status: computed

    Examples
    --------
    By hand in pounds: 400 lb at 48 in behind the rear axle of a 110 in wheelbase (tests/reference/stability.csv).

    >>> lever = lever_on_axles(400, wheelbase_m=110 * 0.0254, behind_m=48 * 0.0254)
    >>> round(lever.rear_kg, 2), round(lever.front_kg, 2)
    (574.55, -174.55)
    """
    check.number("wheelbase", wheelbase_m, 0.1, 30.0, "m")
    check.number("distance behind the rear axle", behind_m, -30.0, 20.0, "m")
    return Lever(
        mass_kg=mass_kg,
        behind_m=behind_m,
        front_kg=-mass_kg * behind_m / wheelbase_m,
        rear_kg=mass_kg * (wheelbase_m + behind_m) / wheelbase_m,
    )


def on_hitch(report: Report, *, tongue: bool) -> Lever:
    """All that hangs on the hitch, as one load behind the rear axle.

    Parameters
    ----------
    report : a judged loadout; tongue : True for the trailer's tongue, False for what is carried there (bikes, a box,
        a swing-out with what is on it).

    Returns
    -------
    Lever: mass, what it adds to each axle [kg], and how far behind it acts [m]; all zero when nothing hangs there.
    """
    found = [
        (kg, mass.place.aft_m)
        for mass, kg in zip(report.shares.masses, report.masses_kg, strict=True)
        if mass.on_hitch and (mass.kind == TONGUE) is tongue
    ]
    mass_kg = float(sum(kg for kg, _ in found))
    if mass_kg <= 0:
        return Lever(mass_kg=0.0, behind_m=0.0, front_kg=0.0, rear_kg=0.0)
    wheelbase_m = report.shares.vehicle.wheelbase_m
    aft_m = float(sum(kg * aft for kg, aft in found)) / mass_kg
    return lever_on_axles(mass_kg, wheelbase_m=wheelbase_m, behind_m=aft_m - wheelbase_m)


def tongue_share(*, tongue_kg: float, trailer_kg: float) -> float:
    """The part of a loaded trailer that stands on the hitch.

    Parameters
    ----------
    tongue_kg : on the hitch, standing level [kg]
    trailer_kg : the whole trailer as loaded [kg]

    Returns
    -------
    float: share [-]

    Raises
    ------
    BadValue: a trailer of zero or less or over 20 t, or a tongue outside zero to the trailer's mass

    Notes
    -----
    Formula: tongue / trailer
    Source: the definition
    Status: computed

    Examples
    --------
    By hand: 60 of 500 kg.

    >>> tongue_share(tongue_kg=60, trailer_kg=500)
    0.12
    """
    check.number("trailer mass", trailer_kg, 1e-9, 20_000.0, "kg")
    check.number("tongue weight", tongue_kg, 0.0, trailer_kg, "kg")
    return tongue_kg / trailer_kg


def tongue_verdict(share: float) -> str:
    """Whether a tongue share is what owners' manuals ask for.

    Light: a trailer that sways. Heavy: the rear axle and the hitch carry more, the front less. The maker's own range
    comes first.

    Parameters
    ----------
    share : tongue / trailer [-]

    Returns
    -------
    str: "light", "within", or "heavy"

    Notes
    -----
    Formula: within from 0.10 to 0.15
    Range: trailers with one axle or two close together, on a ball
    Source: several owners' manuals, 10 to 15% of the loaded trailer (tests/reference/stability.csv)
    Status: common practice

    Examples
    --------
    Either end of that range, and below it.

    >>> tongue_verdict(0.10), tongue_verdict(0.15), tongue_verdict(0.09)
    ('within', 'within', 'light')
    """
    if share < LEAST_TONGUE_SHARE - ROUNDING:
        return "light"
    return "heavy" if share > MOST_TONGUE_SHARE + ROUNDING else "within"


def trailer_axle_kg(*, tongue_kg: float, trailer_kg: float) -> float:
    """What is left on the trailer's own wheels, standing level.

    Parameters
    ----------
    tongue_kg : on the hitch [kg]
    trailer_kg : the whole trailer [kg]

    Returns
    -------
    float: on its wheels [kg]

    Raises
    ------
    BadValue: a tongue outside zero to the trailer's mass

    Notes
    -----
    Formula: trailer − tongue
    Source: elementary statics: forces straight down
    Status: computed

    Examples
    --------
    By hand: 500 − 60 kg.

    >>> trailer_axle_kg(tongue_kg=60, trailer_kg=500)
    440
    """
    check.number("tongue weight", tongue_kg, 0.0, trailer_kg, "kg")
    return trailer_kg - tongue_kg


def combination_kg(report: Report) -> float:
    """Vehicle and trailer together: what counts against the gross combination weight rating.

    Parameters
    ----------
    report : a judged loadout.

    Returns
    -------
    float: [kg]. The tongue weight is on the vehicle and counts once.
    """
    towed = (kg for mass, kg in zip(report.shares.masses, report.masses_kg, strict=True) if mass.towed)
    return report.mass_kg + float(sum(towed))


def tow_room(report: Report, *, share: float) -> tuple[TowRoom, ...]:
    """The heaviest trailer that each rating still allows behind this load; the first one with a known limit binds.

    The trailer of the loadout, if any, is taken off first. Then each kilogram of trailer adds `share` kg at the ball
    and the rest on its own wheels, and each rating has room for (limit - load) / (what a kilogram adds). A rating that
    a trailer does not load, such as the front axle, is left out. A tow rating printed for an empty vehicle says nothing
    of the load: the rows of payload, rear axle, gross, and combination do.

    Parameters
    ----------
    report : a judged loadout; share : tongue share of the trailer to be, 0.01 to 0.5 [-].

    Returns
    -------
    tuple of TowRoom, the tightest first, limits that are not known last [kg].

    Raises
    ------
    BadValue when the vehicle has no hitch.
    """
    check.number("tongue share", share, 0.01, 0.5, "")
    shares = report.shares
    ball = shares.vehicle.hitch
    if ball is None:
        raise BadValue("hitch", "none", "nothing can be towed", "enter where the ball is on the ratings page")
    tongue, towed = _one_kg(TONGUE, ball), _one_kg(TRAILER, ball)
    bare_kg = [
        0.0 if mass.kind in (TONGUE, TRAILER) else float(kg)
        for mass, kg in zip(shares.masses, report.masses_kg, strict=True)
    ]
    found = []
    for row, load_kg in zip(shares.rows, shares.loads_kg(bare_kg).tolist(), strict=True):
        per_kg = share * row.share(tongue) + (1.0 - share) * row.share(towed)
        if per_kg > 0:
            limit_kg = row.limit.limit_kg
            room_kg = None if limit_kg is None else (limit_kg - load_kg) / per_kg
            found.append(TowRoom(key=row.key, name=row.name, per_kg=per_kg, trailer_kg=room_kg))
    return tuple(sorted(found, key=lambda room: math.inf if room.trailer_kg is None else room.trailer_kg))


def _one_kg(kind: str, ball: Place) -> Mass:
    mount = "on_hitch" if kind == TONGUE else ""
    return Mass(key="own:try", name="", kind=kind, mass_kg=1.0, place=ball, mount=mount, towed=not mount)


def pull_on_grade(*, trailer_kg: float, nose_up_deg: float, ball_up_m: float, wheelbase_m: float) -> Lever:
    """What a trailer's pull at the ball does to the axles on a steady climb; on a descent it pushes.

    Only the pull along the ground, with the trailer rolling freely: its own brakes, and what a slope does to the tongue
    weight, are not in it.

    Parameters
    ----------
    trailer_kg : m, what stands on the trailer's own wheels [kg]
    nose_up_deg : θ, the grade, a descent below zero [deg]
    ball_up_m : h, height of the ball above the ground [m]
    wheelbase_m : L, of the vehicle [m]

    Returns
    -------
    Lever: mass_kg is the pull as a weight; front_kg and rear_kg what it adds to each axle [kg]

    Raises
    ------
    BadValue: a grade outside −60 to 60 deg, or a wheelbase outside 0.1 to 30 m

    Notes
    -----
    Formula: pull = m · sin θ; rear + pull · h / L, front the same less
    Source: elementary statics: moments about the rear axle
    Status: computed

    Examples
    --------
    By hand on a grade of 3-4-5 (sin 0.6): 1000 kg pull with 600, and 600 · 0.5 / 3 goes to the rear axle.

    >>> pull = pull_on_grade(trailer_kg=1000, nose_up_deg=36.86989764584402, ball_up_m=0.5, wheelbase_m=3.0)
    >>> round(pull.mass_kg, 6), round(pull.rear_kg, 6)
    (600.0, 100.0)
    """
    check.number("grade", nose_up_deg, -60.0, 60.0, "deg")
    check.number("wheelbase", wheelbase_m, 0.1, 30.0, "m")
    pull_kg = trailer_kg * math.sin(math.radians(nose_up_deg))
    moved_kg = pull_kg * ball_up_m / wheelbase_m
    return Lever(mass_kg=pull_kg, behind_m=0.0, front_kg=-moved_kg, rear_kg=moved_kg)
