"""What the hitch panel decides to show, without a browser; numbers by hand, on the case of test_hitch_rows.py."""

from __future__ import annotations

from dataclasses import replace

import pytest

from loadcalc.checks import evaluate
from loadcalc.checks.hitch import tow_room
from loadcalc.model import Limit, Trailer
from loadcalc.model.quantities import SI
from tests.checks.test_hitch_rows import HITCHED, HUNG, TOWING
from tests.hand_case import LOADOUT, VEHICLE
from workbook.panels.stability import hitch_words

REPORT = evaluate(VEHICLE, LOADOUT)
ACROSS_DEG = 36.86989764584402  # sin 0.6, cos 0.8


def test_the_lever_in_words_and_rows() -> None:
    """Tongue of 60 kg, 1.2 m behind: 84 on, 24 off. On a climb the trailer pulls at the ball."""
    report = evaluate(HITCHED, TOWING)
    assert hitch_words.lever_sentence(report, SI) == (
        "The tongue weight of 60 kg adds 84 kg to the rear axle and takes 24 kg off the front axle."
    )
    assert hitch_words.lever_rows(report, SI) == [
        ("cart: tongue weight", "60 kg", "1200 mm", "−24 kg", "+84 kg")
    ]
    climb = hitch_words.lever_rows(report, SI, ACROSS_DEG)[-1]
    assert climb == ("cart: pull at the ball, on the slope set above", "264 kg", "", "−44 kg", "+44 kg")
    assert "push" in hitch_words.lever_rows(report, SI, -10.0)[-1][0]
    hung = hitch_words.lever_rows(evaluate(HITCHED, HUNG), SI)
    assert hung == [("On the hitch: rack, box, bikes", "40 kg", "1200 mm", "−16 kg", "+56 kg")]
    assert hitch_words.lever_sentence(REPORT, SI).startswith("Nothing hangs on the hitch.")


@pytest.mark.parametrize(
    ("tongue_kg", "said"),
    [
        (30.0, "▲ cart: the tongue is 6.0% of 500 kg; a light tongue lets a trailer sway"),
        (60.0, "cart: the tongue is 12.0% of 500 kg; within it"),
        (100.0, "▲ cart: the tongue is 20.0% of 500 kg; a heavy tongue loads hitch and rear axle"),
    ],
)
def test_the_tongue_share_is_judged_with_its_source(tongue_kg: float, said: str) -> None:
    """Light, within, or heavy; and where the span comes from."""
    trailer = Trailer(name="cart", mass_kg=500.0, tongue_kg=tongue_kg)
    words = hitch_words.trailer_words(evaluate(HITCHED, replace(TOWING, trailer=trailer)), SI)
    assert words.startswith(said)
    assert "several owners' manuals (common practice)" in words
    assert f"{500 - tongue_kg:g} kg stay on its own wheels" in words


def test_what_may_be_towed_names_the_rating_that_binds_and_the_unknown_ones() -> None:
    """The first known rating limits; unknown ones are named as not judged; a full one leaves nothing."""
    report = evaluate(HITCHED, TOWING)
    room = tow_room(report, share=0.1)[0]
    said = hitch_words.room_sentence(report, SI, 0.1)
    assert room.trailer_kg is not None
    assert (
        f"{room.name[0].lower()}{room.name[1:]} limits first, at a trailer of {SI.mass(room.trailer_kg, grouped=True)}"
        in said
    )
    assert "Not known, so not in it: " in said
    assert "GVWR" in said.partition("Not known")[2]
    rows = hitch_words.room_rows(report, SI, 0.1)
    assert rows[0][3] == "◂ limits first"
    assert rows[-1][2] == "limit not known"
    full = evaluate(replace(HITCHED, limits={"gross": Limit(limit_kg=2400.0)}), TOWING)
    assert hitch_words.room_sentence(full, SI, 0.1).startswith(
        "▲ No room for any trailer: gross vehicle weight rating"
    )
    assert hitch_words.room_rows(full, SI, 0.1)[0][2:] == ("none", "▲ full without a trailer")
    assert "No hitch is entered" in hitch_words.room_sentence(REPORT, SI, 0.1)


def test_the_share_begins_with_the_trailer_s_own() -> None:
    """Without a trailer, or with an unweighed one, a usual share."""
    assert hitch_words.start_share(None) == hitch_words.USUAL_SHARE
    assert hitch_words.start_share(Trailer(name="new", mass_kg=0.0, tongue_kg=0.0)) == hitch_words.USUAL_SHARE
    assert hitch_words.start_share(TOWING.trailer) == pytest.approx(0.12)
