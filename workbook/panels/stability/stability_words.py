"""What the stability page says: plain functions, a report in, rows and sentences out.

No sentence here may read as leave to drive on a slope. Each number is a rigid body's, and says so.
"""

from __future__ import annotations

from loadcalc.checks import Report
from loadcalc.checks.stability.causes import TipCost, cost_of_load, costs_by_place, costs_by_thing
from loadcalc.checks.stability.stance import (
    STANDS,
    Stance,
    bed_on_roof,
    empty_stance,
    parked_stance,
    sleepers,
    stance_of,
    static_stability_factor,
)
from loadcalc.checks.stability.tipping import (
    first_lifts,
    give_taken_off_deg,
    lateral_g_at_tip,
    tip_angles,
    worst_side,
)
from loadcalc.model.errors import BadValue
from loadcalc.model.quantities import Units
from workbook.panels.desk.ratings_words import higher
from workbook.panels.stability.slope_words import Lean, degrees, grade_words, slope_words

GIVE_SOURCE = "common practice, no source"
ALLOWED = "After allowance for soft springs and tires"
CAUTION = (
    "Every angle here is for a rigid body at rest on a hard, even plane. Springs and tires are soft, so the real "
    "vehicle tips earlier. A rock under the uphill wheel, a rut under the downhill one, speed, a turn, moving water, "
    "a load that shifts: with each it tips earlier still. None of these is an angle to drive at."
)
TRAILER = (
    "Of the trailer only its tongue weight is counted: what it pushes, pulls, or twists is in no angle here, and may "
    "tip the vehicle earlier."
)
SIDE_WORDS = {"left": "left side down", "right": "right side down", "either": "either side down"}
ANGLE_HEADS = ("Rigid body, at rest", "As loaded", "Empty", "Loaded against empty", ALLOWED)
COST_HEADS = ("What", "Mass", "Center of gravity", "Side angle", "Nose up", "Nose down")
MOST_COSTS = 12


def fewer(change_deg: float) -> str:
    """A difference of angles in words: "2.7° less", "0.4° more", "the same"."""
    if round(abs(change_deg), 1) == 0:
        return "the same"
    return f"{degrees(abs(change_deg))} {'less' if change_deg < 0 else 'more'}"


def tip_sentence(report: Report) -> str:
    """One sentence for a summary: the worse side's rigid angle against the empty vehicle's, with the caution."""
    try:
        side, angle_deg = worst_side(tip_angles(stance_of(report)))
        empty_deg = worst_side(tip_angles(empty_stance(report.shares.vehicle)))[1]
    except BadValue as error:
        return f"Tipping is not judged: {error}."
    if angle_deg <= 0:
        return "By these numbers it would tip over on the level: check the places."
    change = fewer(angle_deg - empty_deg)
    against = "the same as empty" if change == "the same" else f"{change} than empty"
    said = (
        f"Sideways, a rigid body like it tips at {degrees(angle_deg)} ({SIDE_WORDS[side]}), {against}; "
        "with soft springs and tires it tips earlier, and that is no angle to drive at."
    )
    guessed = [STANDS[one.measure] for one in report.shares.vehicle.assumed if one.measure in STANDS]
    if guessed:
        said = f"{said} This rests on what is assumed ({', '.join(guessed)}), and may be off by several degrees."
    return f"{said} {TRAILER}" if report.shares.loadout.trailer else said


def parked_sentence(report: Report, units: Units) -> str:
    """What sleepers on the roof of the parked vehicle do to the worse side; nothing when nobody sleeps there."""
    up = sleepers(report)
    if not up:
        return ""
    try:
        side, angle_deg = worst_side(tip_angles(parked_stance(report)))
        road_deg = worst_side(tip_angles(stance_of(report)))[1]
    except BadValue as error:
        return f"Parked with sleepers on the roof is not judged: {error}."
    bed_m = bed_on_roof(report.shares.vehicle, report.shares.loadout).up_m
    lead = f"Parked, with {len(up)} asleep on the roof"
    if angle_deg <= 0:
        return f"{lead}, it would by these numbers tip over on the level: check the places."
    change = fewer(angle_deg - road_deg)
    against = "the same as on the road" if change == "the same" else f"{change} than on the road"
    return (
        f"{lead}, a rigid body tips at {degrees(angle_deg)} ({SIDE_WORDS[side]}), {against}. They are "
        f"taken to lie {units.length(bed_m)} above the ground, over the middle of the roof; "
        "whoever lies to one side, climbs, or moves tips it earlier. Park level."
    )


def angle_rows(report: Report, give_share: float) -> list[tuple[str, str, str, str, str]]:
    """The angles as loaded, empty, their difference, and what the stated allowance leaves; the worse side is marked."""
    loaded, empty = stance_of(report), empty_stance(report.shares.vehicle)
    now, then = tip_angles(loaded), tip_angles(empty)
    names = (
        "Tips, left side down",
        "Tips, right side down",
        "Tips backward, nose up",
        "Tips forward, nose down",
    )
    worse = {"left": (0,), "right": (1,), "either": (0, 1)}[worst_side(now)[0]]
    rows = [
        (
            f"{name} (the worse side)" if index in worse and len(worse) == 1 else name,
            degrees(have),
            degrees(had),
            fewer(have - had),
            degrees(give_taken_off_deg(have, give_share=give_share)),
        )
        for index, (name, have, had) in enumerate(zip(names, now, then, strict=True))
    ]
    for side, have_lift, had_lift in zip(
        ("left", "right"), first_lifts(loaded), first_lifts(empty), strict=True
    ):
        name = f"First wheel lifts, {side} side down: {have_lift.wheel}"
        change = fewer(have_lift.angle_deg - had_lift.angle_deg)
        rows.append((name, degrees(have_lift.angle_deg), degrees(had_lift.angle_deg), change, ""))
    return [*rows, *_ratio_rows(loaded, empty, give_share)]


def _ratio_rows(loaded: Stance, empty: Stance, give_share: float) -> list[tuple[str, str, str, str, str]]:
    factors = [
        static_stability_factor(front_track_m=s.front_track_m, rear_track_m=s.rear_track_m, up_m=s.up_m)
        for s in (loaded, empty)
    ]
    sideways = [min(lateral_g_at_tip(s)) for s in (loaded, empty)]
    left = sideways[0] * (1 - give_share)
    return [
        ("Static stability factor, T/(2H)", *_pair(factors[0], factors[1]), ""),
        (
            "Sideways acceleration at tip, worse side",
            *_pair(sideways[0], sideways[1], unit=" g"),
            f"{left:.2f} g",
        ),
    ]


def _pair(now: float, then: float, *, unit: str = "") -> tuple[str, str, str]:
    change = now - then
    less = (
        "the same" if round(abs(change), 2) == 0 else f"{abs(change):.2f} {'less' if change < 0 else 'more'}"
    )
    return f"{now:.2f}{unit}", f"{then:.2f}{unit}", less


def give_sentence(give_share: float) -> str:
    """What the last column of the angles is, with its status."""
    return (
        f"{ALLOWED}: {give_share:.0%} of the tangent is taken off ({GIVE_SOURCE}; tilt tables "
        "are said to lift light vehicles at 0.85 to 0.95 of the rigid ratio, from memory). Soft springs, a high load, "
        "and trail pressure ask for more."
    )


def lift_sentence(report: Report) -> str:
    """Why a wheel lifts before the tip, and what that rests on."""
    share = report.shares.vehicle.front_roll_share
    return (
        f"A wheel lifts before it tips. Which one, and when, depends on the {share:.0%} of the roll stiffness that is "
        "taken to be at the front axle; the tip angles do not. Once a wheel is up, little more is needed to tip."
    )


def costs(report: Report, by: str) -> tuple[TipCost, ...]:
    """The ranked costs, by "place" or by "thing"."""
    return costs_by_place(report) if by == "place" else costs_by_thing(report)


def cost_rows(report: Report, units: Units, by: str) -> list[tuple[str, ...]]:
    """What lowers the side angle most first: mass, what it does to the center of gravity, and to the angles.

    The long list is cut in the middle: its ends are what matters. The last row is the whole load.
    """
    found = costs(report, by)
    cut = len(found) > MOST_COSTS
    head, tail = (found[: MOST_COSTS - 3], found[-3:]) if cut else (found, ())
    rows: list[tuple[str, ...]] = [_cost_row(cost, units) for cost in head]
    if cut:
        rest = found[len(head) : len(found) - 3]
        low, high = rest[-1].side_deg, rest[0].side_deg
        rows.append((f"{len(rest)} more, {fewer(-high)} to {fewer(-low)} each", "", "", "", "", ""))
    return [*rows, *(_cost_row(cost, units) for cost in tail), _cost_row(cost_of_load(report), units)]


def _cost_row(cost: TipCost, units: Units) -> tuple[str, ...]:
    return (
        cost.name,
        units.mass(cost.mass_kg, grouped=True),
        higher(cost.up_m, units),
        fewer(-cost.side_deg),
        fewer(-cost.each_deg.nose_up_deg),
        fewer(-cost.each_deg.nose_down_deg),
    )


def cost_sentence(report: Report, units: Units) -> str:
    """The place and the thing that lower it most: "The roof platform with all on it lowers the side angle by 1.3°"."""
    places, things = costs_by_place(report), costs_by_thing(report)
    if not places or not things or places[0].side_deg <= 0:
        return "Nothing aboard lowers the side angle."
    thing = things[0]
    said = [
        f"{places[0].name} ({units.mass(places[0].mass_kg)}) lowers the side angle by {degrees(places[0].side_deg)}"
    ]
    if thing.side_deg > 0:
        said.append(
            f"of single things, {thing.name} ({units.mass(thing.mass_kg)}) lowers it most, by {degrees(thing.side_deg)}"
        )
    return "; ".join(said) + "."


def stability_words(report: Report, units: Units, lean: Lean) -> str:
    """The page's result as text."""
    if report.shares.vehicle.not_known(*STANDS):
        return tip_sentence(report)
    angles = [f"{row[0]}: {row[1]} loaded, {row[2]} empty." for row in angle_rows(report, lean.give_share)]
    said = [
        tip_sentence(report),
        *filter(None, [parked_sentence(report, units)]),
        *angles,
        give_sentence(lean.give_share),
        cost_sentence(report, units),
        grade_words(report, units, 10.0),
        slope_words(report, units, lean),
    ]
    return "\n".join(said)
