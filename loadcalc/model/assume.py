"""Rules by which a measure that nobody entered is assumed from what was: each a plain function with its margin.

A rule gives the value, how far off it may be, and in words what it was taken from and its status. A margin takes in
the margin of whatever the rule started from. Nothing is taken from nothing: without its inputs a measure is not known.
"""

from __future__ import annotations

from typing import NamedTuple

from loadcalc.model.body_styles import NO_SOURCE, ROWS, SIDES, STYLES, style_words

TRACK_OF_WIDTH, TRACK_SPREAD = 0.85, 0.07
HEIGHT_OF_CENTER, HEIGHT_SPREAD = 0.39, 0.06
LENGTH_OF_WHEELBASE, LENGTH_SPREAD = 1.72, 0.20
OVERHANG_OF_LENGTH, OVERHANG_SPREAD = 0.19, 0.05
CURB_OF_GROSS, CURB_SPREAD = 0.73, 0.13
BUILT_SPREAD = 0.10  # of GVWR less placard: makers leave room under it, and owners add to a vehicle
TANK_SPREAD = 0.5
TANK_AFT, TANK_AFT_SPREAD = 0.80, 0.30
FUEL_KG_PER_L, FUEL_SPREAD_KG_PER_L = 0.78, 0.07  # gasoline and diesel (data/facts/liquids.csv, from memory)
SEAT_SIDE_M, SEAT_SIDE_SPREAD_M = 0.37, 0.12


class Guess(NamedTuple):
    """What a rule gives: the value and its half-width [unit of the measure], and the rule in words."""

    value: float
    plus_minus: float
    rule: str


def _share_of(what: str, base: tuple[float, float], share: float, spread: float, status: str = NO_SOURCE) -> Guess:
    """A share of another measure, itself known or in doubt: over both margins, the widest it may be."""
    value, off = base
    high = (value + off) * (share + spread)
    low = max(value - off, 0.0) * max(share - spread, 0.0)
    middle = value * share
    return Guess(middle, max(high - middle, middle - low), f"{share:.0%} ± {spread:.0%} of {what}: {status}")


def width_m(style: str) -> Guess:
    """Overall width from the body style [m].

    Parameters
    ----------
    style : one of BODY_STYLES.
    """
    usual = STYLES[style]
    return Guess(usual.width_m, usual.size_share * usual.width_m, f"usual of {style_words(style)}: {NO_SOURCE}")


def height_m(style: str) -> Guess:
    """Overall height from the body style [m].

    Parameters
    ----------
    style : one of BODY_STYLES.
    """
    usual = STYLES[style]
    return Guess(usual.height_m, usual.size_share * usual.height_m, f"usual of {style_words(style)}: {NO_SOURCE}")


def length_m(wheelbase: tuple[float, float]) -> Guess:
    """Overall length from the wheelbase [m].

    Parameters
    ----------
    wheelbase : and how far off it may be [m].
    """
    return _share_of("the wheelbase", wheelbase, LENGTH_OF_WHEELBASE, LENGTH_SPREAD)


def front_overhang_m(length: tuple[float, float]) -> Guess:
    """How far the body reaches ahead of the front axle, from its length [m].

    Parameters
    ----------
    length : overall, and how far off it may be [m].
    """
    return _share_of("the length", length, OVERHANG_OF_LENGTH, OVERHANG_SPREAD)


def track_m(width: tuple[float, float]) -> Guess:
    """Either track from the overall width [m].

    Parameters
    ----------
    width : overall, and how far off it may be [m].
    """
    return _share_of("the width", width, TRACK_OF_WIDTH, TRACK_SPREAD)


def center_up_m(height: tuple[float, float]) -> Guess:
    """Height of the empty vehicle's center of gravity from the overall height [m].

    Parameters
    ----------
    height : overall, and how far off it may be [m].
    """
    return _share_of("the height", height, HEIGHT_OF_CENTER, HEIGHT_SPREAD)


def curb_kg(gross_kg: float, placard_kg: float | None) -> Guess:
    """Curb mass from the two labels [kg].

    A maker must rate a vehicle for at least its own unloaded mass, its rated cargo, and 150 lb a seat (49 CFR
    567.4(g)(3), as an interpretation of the agency quotes it), so GVWR less placard is about what it weighed when
    it was built.

    Parameters
    ----------
    gross_kg : GVWR [kg]; placard_kg : people and cargo on the placard [kg], None when not known.
    """
    if placard_kg is None:
        return _share_of("the GVWR", (gross_kg, 0.0), CURB_OF_GROSS, CURB_SPREAD)
    built_kg = gross_kg - placard_kg
    rule = f"GVWR less placard, ± {BUILT_SPREAD:.0%}: after 49 CFR 567.4(g)(3); margin {NO_SOURCE}"
    return Guess(built_kg, BUILT_SPREAD * built_kg, rule)


def curb_aft_m(style: str, wheelbase_m: float) -> Guess:
    """Where the empty vehicle's mass lies when only the total is known, from the body style [m].

    Parameters
    ----------
    style : one of BODY_STYLES; wheelbase_m : [m].
    """
    usual = STYLES[style]
    rule = f"{usual.front_share:.0%} ± {usual.split:.0%} of it on the front axle, usual of {style_words(style)}"
    return Guess((1.0 - usual.front_share) * wheelbase_m, usual.split * wheelbase_m, f"{rule}: {NO_SOURCE}")


def tank_l(style: str) -> Guess:
    """What the fuel tank holds, from the body style [L].

    Parameters
    ----------
    style : one of BODY_STYLES.
    """
    usual = STYLES[style].tank_l
    return Guess(usual, TANK_SPREAD * usual, f"usual of {style_words(style)}: {NO_SOURCE}")


def curb_fuel_l(tank: tuple[float, float]) -> Guess:
    """Fuel in the tank when the curb mass was read [L]: full by American handbooks, 90% full by European ones.

    Parameters
    ----------
    tank : what it holds, and how far off that may be [L].
    """
    holds_l, off_l = tank
    rule = f"90 to 100% of the tank, as handbooks mean it: {NO_SOURCE}"
    return Guess(0.95 * holds_l, 0.05 * holds_l + off_l, rule)


def tank_aft_m(wheelbase_m: float) -> Guess:
    """Where the fuel tank lies: under the second row, ahead of the rear axle, in most vehicles [m].

    Parameters
    ----------
    wheelbase_m : [m].
    """
    return _share_of("the wheelbase", (wheelbase_m, 0.0), TANK_AFT, TANK_AFT_SPREAD)


def spot_aft_m(spot: str, style: str, wheelbase_m: float) -> Guess:
    """How far behind the front axle a usual seat or zone is, from wheelbase and body style [m].

    Parameters
    ----------
    spot : which part of a usual vehicle it is, one of SPOTS but ""; style : one of BODY_STYLES; wheelbase_m : [m].
    """
    usual = STYLES[style]
    front, second, third = usual.rows
    shares = {
        "front footwell": front - 0.14, "second row": second, "second row footwell": second - 0.13,
        "front of load": usual.load[0], "rear of load": usual.load[1], "roof": usual.roof,
        **{f"{row} {side}": share for row, share in zip(ROWS, (front, second, third), strict=True) for side in SIDES},
    }  # fmt: skip
    rule = f"{shares[spot]:.0%} ± {usual.spread:.0%} of the wheelbase, usual of {style_words(style)}: {NO_SOURCE}"
    return Guess(shares[spot] * wheelbase_m, usual.spread * wheelbase_m, rule)


def spot_left_m(spot: str) -> Guess:
    """How far left of the center line a usual seat or zone is [m].

    Parameters
    ----------
    spot : one of SPOTS but "".
    """
    side = SIDES.get(spot.rpartition(" ")[2], 0.0)
    return Guess(side * SEAT_SIDE_M, SEAT_SIDE_SPREAD_M, f"usual of such a place: {NO_SOURCE}")


def spot_up_m(spot: str, height: float) -> Guess:
    """How high the load of a usual seat or zone acts, from the overall height [m].

    Parameters
    ----------
    spot : one of SPOTS but ""; height : overall [m].
    """
    share = 1.07 if spot == "roof" else 0.27 if "footwell" in spot else 0.48
    return _share_of("the height", (height, 0.0), share, 0.10)
