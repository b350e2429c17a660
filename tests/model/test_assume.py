"""What is assumed of a vehicle that nobody measured holds what public data sets say of real ones."""

from __future__ import annotations

import pytest

from loadcalc.model import assume
from loadcalc.model.assume import Guess
from loadcalc.model.body_styles import BODY_STYLES, ROWS, SEAT_SPOTS, SPOTS, STYLES, ZONE_SPOTS
from tests.reference_rows import Row, rows
from tests.season_help import ROOT

SETS = rows("public_vehicle_sets.csv")
ENOUGH = 0.9


def asked_of(row: Row) -> dict[str, tuple[Guess, float]]:
    """Each measure that a public set has and a rule gives: what is assumed, and what it is."""
    is_ = {name: float(row[name]) for name in row if name.endswith(("_kg", "_m"))}
    wheelbase_m = is_["cg_behind_front_m"] + is_["cg_ahead_of_rear_m"]
    track = assume.track_m((is_["width_m"], 0.0))
    return {
        "Front track from the width": (track, is_["front_track_m"]),
        "Rear track from the width": (track, is_["rear_track_m"]),
        "Place of the curb mass from the wheelbase": (assume.curb_aft_m("", wheelbase_m), is_["cg_behind_front_m"]),
        "Length from the wheelbase": (assume.length_m((wheelbase_m, 0.0)), is_["length_m"]),
    }


def held(guess: Guess, value: float) -> bool:
    """Whether a value lies within a guess's margin."""
    return abs(value - guess.value) <= guess.plus_minus


def table() -> list[str]:
    """The table of docs/assumed.md: what is assumed of each public set, and what it is."""
    lines = ["| measure | set | assumed | real | held |", "| --- | --- | --- | --- | --- |"]
    for row in SETS:
        for what, (guess, value) in asked_of(row).items():
            said = f"{guess.value:.2f} ± {guess.plus_minus:.2f} m"
            inside = "yes" if held(guess, value) else "no"
            lines.append(f"| {what} | {row['case']} | {said} | {value:.2f} m | {inside} |")
    return lines


def test_the_margins_hold_nine_in_ten_of_what_public_sets_say() -> None:
    """Of all measures that both a rule and a public set give."""
    found = [held(*asked) for row in SETS for asked in asked_of(row).values()]
    assert len(found) >= 12
    assert sum(found) >= ENOUGH * len(found)


def test_the_docs_print_the_table() -> None:
    """As it is computed here."""
    text = (ROOT / "docs" / "assumed.md").read_text(encoding="utf-8")
    assert "\n".join(table()) in text


def test_the_docs_tell_every_style() -> None:
    """Its usual measures, as the rules have them."""
    text = (ROOT / "docs" / "assumed.md").read_text(encoding="utf-8")
    for name, style in STYLES.items():
        split = f"{style.front_share:.0%} ± {style.split:.0%}"
        shares = ", ".join(f"{share:.0%}" for share in style.rows)
        assert f"| {name or 'not said'} | {split} | {style.tank_l:g} L ± half | {shares} |" in text


@pytest.mark.parametrize("style", BODY_STYLES)
def test_places_come_in_the_order_of_a_vehicle(style: str) -> None:
    """Rows of seats from front to back, the load behind the front row, and left is left."""
    aft = {spot: assume.spot_aft_m(spot, style, 2.8).value for spot in SPOTS if spot}
    assert [aft[f"{row} left"] for row in ROWS] == sorted(aft[f"{row} left"] for row in ROWS)
    assert 0 < aft["front footwell"] < aft["front left"] < aft["second row footwell"] < aft["second row"]
    assert aft["front left"] < aft["front of load"] < aft["rear of load"]
    assert assume.spot_left_m("front left").value > 0 > assume.spot_left_m("second row right").value
    assert {assume.spot_left_m(spot).value for spot in ZONE_SPOTS} == {0.0}
    assert set(aft) == {*SEAT_SPOTS, *ZONE_SPOTS}


def test_the_curb_mass_by_hand() -> None:
    """GVWR 6,000 lb less placard 1,300 lb is 4,700 lb, give or take a tenth; by the GVWR alone 73% ± 13% of it."""
    lb = 0.45359237
    both, alone = assume.curb_kg(6000 * lb, 1300 * lb), assume.curb_kg(6000 * lb, None)
    assert both[:2] == pytest.approx((4700 * lb, 470 * lb), rel=1e-12)
    assert alone[:2] == pytest.approx((4380 * lb, 780 * lb), rel=1e-12)


def test_a_margin_takes_in_the_margin_that_it_starts_from() -> None:
    """By hand: a width of 2.0 ± 0.2 m has a track of 1.70 m, at most 2.2 · 0.92 = 2.024, so ± 0.324 m."""
    sure, unsure = assume.track_m((2.0, 0.0)), assume.track_m((2.0, 0.2))
    assert sure[:2] == pytest.approx((1.70, 0.14), rel=1e-12)
    assert unsure[:2] == pytest.approx((1.70, 0.324), rel=1e-12)
