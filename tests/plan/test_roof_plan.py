"""The plan of the carrier without a browser: what a hand does to the season, what is drawn, what a message does."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from loadcalc.checks import evaluate
from loadcalc.model.quantities import SI, US
from loadcalc.plan.roof_layout import deck
from tests.season_help import FRIDAY, demo_season
from workbook.panels.desk.desk import Desk
from workbook.panels.roof import roof_answer, roof_hand, roof_words
from workbook.panels.roof import roof_figure as roof_scene
from workbook.panels.roof.roof_plan import RoofDesk
from workbook.widgets.roof_plan.roof_plan import Hand

SHELTER, BAR = "stowed:crew-shelter", "stowed:rock-bar"
INCH = 0.0254


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A desk on a fresh copy of the demo season."""
    return Desk(demo_season(tmp_path, durable=False))


@pytest.fixture
def plan(desk: Desk) -> RoofDesk:
    """Its plan of the carrier."""
    return RoofDesk(desk)


def move(key: str, aft_in: float, left_in: float, *, resting: bool = True) -> Hand:
    """A box held at a place in inches."""
    return Hand(kind="move", key=key, aft_m=aft_in * INCH, left_m=left_in * INCH, resting=resting)


def kept(desk: Desk, key: str) -> deck.Thing:
    """A thing as the season has it."""
    return deck.thing_on(desk.season.loadout(FRIDAY), key)


def box(plan: RoofDesk, key: str) -> dict[str, Any]:
    """A box as the browser gets it."""
    found: dict[str, Any] = next(b for b in plan.view._shown["scene"]["boxes"] if b["key"] == key)
    return found


# A hand --------------------------------------------------------------------------------------------------------


def test_a_box_under_the_hand_moves_the_ratings_and_writes_nothing(desk: Desk, plan: RoofDesk) -> None:
    """31 lb from its zone's middle, 58 in aft, to 78 in: the rear axle gains 31 * 20 / 112 lb at once."""
    before, rear_kg = desk.season.version, desk.report.rear_axle_kg
    plan.hear([move(SHELTER, 78, 10.2, resting=False)])
    gained_lb = (desk.report.rear_axle_kg - rear_kg) / 0.45359237
    assert gained_lb == pytest.approx(31 * 20 / 112, abs=1e-9)
    assert desk.season.version == before
    assert kept(desk, SHELTER).place is None


def test_a_box_at_rest_is_one_entry_and_undo_takes_it_back(desk: Desk, plan: RoofDesk) -> None:
    """Many moves and a drop: one dated entry that says where it lies, on the carrier's top."""
    before = desk.season.version
    plan.hear([move(SHELTER, 60 + n, 10, resting=False) for n in range(5)])
    plan.hear([move(SHELTER, 66.2, 10.2)])
    assert desk.season.version == before + 1
    place = kept(desk, SHELTER).place
    assert place is not None
    # front edge at a whole inch behind the roof rack's (35 in): 66.2 - 25 = 41.2, so 41 in
    assert (place.aft_m / INCH, place.left_m / INCH) == pytest.approx((66.0, 10.0), abs=1e-9)
    assert place.up_m / INCH == pytest.approx(75 + 1.5 + 4.5, abs=1e-9)
    assert desk.status.startswith("Kept in the ledger: Crew shelter: front edge 6 in behind the roof rack's")
    assert plan.hear([Hand(kind="undo")]).startswith("Undone: Crew shelter: front edge 6 in behind")
    assert kept(desk, SHELTER).place is None


def test_arrows_push_by_a_step_and_shift_by_a_fine_one(desk: Desk, plan: RoofDesk) -> None:
    """Two pushes aft and one fine one to the right: 2 in and a quarter inch."""
    plan.hear([move(SHELTER, 66, 10)])
    plan.hear([Hand(kind="nudge", key=SHELTER, along=2)])
    plan.hear([Hand(kind="nudge", key=SHELTER, across=-1, fine=True)])
    place = kept(desk, SHELTER).place
    assert place is not None
    assert (place.aft_m / INCH, place.left_m / INCH) == pytest.approx((68.0, 9.75), abs=1e-9)


def test_turning_swaps_its_sides_and_says_so(desk: Desk, plan: RoofDesk) -> None:
    """50 by 9 in, turned, is 50 in across on 50 in: it fits exactly, and not when it is off the middle."""
    plan.hear([move(SHELTER, 66, 0)])
    said = plan.hear([Hand(kind="turn", key=SHELTER)])
    assert "crosswise" in said
    assert "hangs over" not in said
    assert kept(desk, SHELTER).turned
    said = plan.hear([Hand(kind="nudge", key=SHELTER, across=2)])
    assert "hangs over the left edge by 2 in" in said


def test_overlap_and_a_covered_tie_point_are_said_and_listed(desk: Desk, plan: RoofDesk) -> None:
    """The mattocks, 36 by 18 in, over the shelter and over the middle left tie point at (78, 23)."""
    plan.hear([move(SHELTER, 78, 12)])
    said = plan.hear([move("stowed:pick-mattock", 78, 16)])
    assert "Crew shelter and Pick mattock × 3 overlap by 36 in along and 9 in across." in said
    assert "Tie point Middle left is under Pick mattock × 3" in said
    plan.show()
    listed = plan.view._shown["problems"]
    assert any(line.startswith("▲ Tie point Middle left is under") for line in listed)
    assert box(plan, SHELTER)["wrong"]
    points = {point["name"]: point["mark"] for point in plan.view._shown["scene"]["points"]}
    assert (points["Middle left"], points["Middle right"]) == ("▲", "")


def test_a_box_cannot_leave_the_deck_but_to_the_tray(desk: Desk, plan: RoofDesk) -> None:
    """Its middle stays over the carrier; let go well below that, the box is off the plan."""
    plan.hear([move(SHELTER, 200, 0)])
    place = kept(desk, SHELTER).place
    assert place is not None
    assert place.aft_m / INCH == pytest.approx(121.0, abs=1e-9)
    plan.hear([move(SHELTER, 60, 40)])
    assert kept(desk, SHELTER).place is None
    assert not box(plan, SHELTER)["laid"]


def test_a_box_crossing_into_another_zone_counts_there(desk: Desk, plan: RoofDesk) -> None:
    """From the front to the rear of the platform: the front zone loses its 31 lb."""
    front = desk.report.rating("zone:Roof platform front").load_kg
    plan.hear([move(SHELTER, 95, 0)])
    assert kept(desk, SHELTER).zone == "Roof platform rear"
    after = evaluate(desk.vehicle, desk.season.loadout(FRIDAY)).rating("zone:Roof platform front").load_kg
    assert front - after == pytest.approx(31 * 0.45359237, abs=1e-9)


def test_escape_during_a_drag_brings_the_box_back(desk: Desk, plan: RoofDesk) -> None:
    """As it was when it was taken up; nothing is written."""
    plan.hear([move(SHELTER, 66, 10)])
    before, thing = desk.season.version, kept(desk, SHELTER)
    plan.hear([move(SHELTER, 80, 0, resting=False)])
    said = plan.hear([Hand(kind="cancel", key=SHELTER)])
    assert deck.thing_on(desk.loadout, SHELTER) == thing
    assert desk.season.version == before
    assert said == "Crew shelter: back where it was."


def test_a_box_put_back_where_it_was_kept_is_no_edit(desk: Desk, plan: RoofDesk) -> None:
    """There and back leaves no entry."""
    plan.hear([move(SHELTER, 66, 10)])
    before = desk.season.version
    plan.hear([move(SHELTER, 80, 0, resting=False)])
    plan.hear([move(SHELTER, 66, 10)])
    assert desk.season.version == before


def test_enter_lays_a_box_out_where_there_is_room(desk: Desk, plan: RoofDesk) -> None:
    """One after another, none overlaps."""
    for key in (SHELTER, "stowed:folding-chair", "stowed:pick-mattock", "stowed:rake-hoe"):
        plan.hear([Hand(kind="put", key=key)])
    found = deck.judge(desk.season.loadout(FRIDAY))
    assert found.overlapping == ()
    assert found.hanging == ()
    assert len(found.not_laid_out) == 3


def test_pinning_and_taking_off(desk: Desk, plan: RoofDesk) -> None:
    """A pin is kept; taken off the plan, the pin goes too; a box in the tray has none."""
    plan.hear([Hand(kind="pin", key=SHELTER)])
    assert not kept(desk, SHELTER).pinned
    plan.hear([move(SHELTER, 66, 10), Hand(kind="pin", key=SHELTER)])
    assert kept(desk, SHELTER).pinned
    plan.hear([Hand(kind="off", key=SHELTER)])
    assert (kept(desk, SHELTER).pinned, kept(desk, SHELTER).place) == (False, None)


def test_a_can_on_the_carrier_is_kept_where_it_lies(desk: Desk, plan: RoofDesk) -> None:
    """A can's own place, through the ledger and back."""
    desk.do(lambda: desk.season.set_fill(FRIDAY, "water-can-1", 10.0, "Roof platform rear"), "can up")
    plan.hear([move("filled:water-can-1", 95, 5)])
    place = kept(desk, "filled:water-can-1").place
    assert place is not None
    assert place.left_m / INCH == pytest.approx(5.0, abs=1e-9)
    plan.hear([Hand(kind="off", key="filled:water-can-1")])
    assert kept(desk, "filled:water-can-1").place is None


# Messages of the browser -----------------------------------------------------------------------------------------


def send(plan: RoofDesk, batch: int, *hands: Any, view: str = "v") -> None:
    """Send one message, as the browser does."""
    plan.view._handle_custom_msg({"view": view, "batch": batch, "hands": list(hands)}, [])


def test_a_message_is_answered_by_its_number(desk: Desk, plan: RoofDesk) -> None:
    """Each view reads which of its messages the picture holds."""
    send(plan, 4, {"kind": "move", "key": SHELTER, "aft_m": 66 * INCH, "left_m": 0.0, "resting": True})
    assert plan.view._shown["answered"] == {"v": 4}
    assert plan.view.report.startswith("Crew shelter, 31 lb, 50 × 9 × 9 in: front edge 6 in behind")
    assert box(plan, SHELTER)["laid"]


@pytest.mark.parametrize(
    "hand",
    [
        None, {}, {"kind": "explode", "key": SHELTER}, {"kind": "move", "key": "stowed:kayak", "aft_m": 1.0},
        {"kind": "move", "key": SHELTER, "aft_m": "far"}, {"kind": "move", "key": SHELTER, "aft_m": float("nan")},
        {"kind": "nudge", "key": SHELTER, "along": 10**9}, {"kind": "nudge", "key": SHELTER, "along": None},
    ],
)  # fmt: skip
def test_nonsense_from_a_browser_does_nothing(desk: Desk, plan: RoofDesk, hand: Any) -> None:
    """It is answered, and nothing else."""
    before, loadout = desk.season.version, desk.loadout
    send(plan, 1, hand)
    assert (desk.season.version, desk.loadout) == (before, loadout)
    assert plan.view._shown["answered"] == {"v": 1}


def test_a_failing_owner_is_told_in_words(
    desk: Desk, plan: RoofDesk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Not done, and why."""

    def broken_disk(**_: object) -> None:
        raise OSError("the disk is full")

    monkeypatch.setattr(desk, "try_out", broken_disk)
    send(plan, 1, {"kind": "turn", "key": SHELTER})
    assert plan.view.report == "Not done: the disk is full"
    assert isinstance(plan.view.last_error, OSError)


def test_what_was_said_of_a_box_goes_when_it_no_longer_holds(desk: Desk, plan: RoofDesk) -> None:
    """An undo elsewhere on the page: the sentence about the box is taken away; kept as it lies, it stays."""
    send(plan, 1, {"kind": "move", "key": SHELTER, "aft_m": 66 * INCH, "left_m": 0.0, "resting": True})
    desk.reload()
    assert plan.view.report.startswith("Crew shelter, 31 lb")
    desk.undo()
    assert plan.view.report == ""


# What is drawn -----------------------------------------------------------------------------------------------------


def test_the_scene_is_to_scale(desk: Desk, plan: RoofDesk) -> None:
    """86 by 50 in of carrier, bars at 46, 78, and 110 in: one scale along and across, front on the left."""
    plan.hear([move(SHELTER, 66, 10)])
    drawn = roof_scene.scene(desk.loadout, US)
    per_inch = drawn["px_per_m"] * INCH
    assert drawn["deck"]["w"] == pytest.approx(86 * per_inch, abs=1e-9)
    assert drawn["deck"]["h"] == pytest.approx(50 * per_inch, abs=1e-9)
    assert [bar["x"] - drawn["deck"]["x"] for bar in drawn["bars"]] == pytest.approx(
        [11 * per_inch, 43 * per_inch, 75 * per_inch], abs=1e-9
    )
    ends = [drawn["slats"][n]["x"] - drawn["deck"]["x"] for n in (0, -1)]
    assert len(drawn["slats"]) == 15  # as counted in the demo, the first and last at the deck's ends
    assert ends == pytest.approx([0.0, (86 - roof_scene.SLAT_M / INCH) * per_inch], abs=1e-9)
    found = next(b for b in drawn["boxes"] if b["key"] == SHELTER)
    assert (found["w"], found["h"]) == pytest.approx((50 * per_inch, 9 * per_inch), abs=1e-9)
    assert found["cx"] - drawn["deck"]["x"] == pytest.approx(31 * per_inch, abs=1e-9)
    middle = drawn["deck"]["y"] + drawn["deck"]["h"] / 2
    assert found["cy"] - middle == pytest.approx(
        10 * per_inch, abs=1e-9
    )  # the driver's left is down the page


def test_what_is_not_laid_out_lies_in_the_tray_without_overlap(desk: Desk) -> None:
    """Seven boxes at half size, within the page, none over another."""
    drawn = roof_scene.scene(desk.loadout, US)
    tray, boxes = drawn["tray"], drawn["boxes"]
    assert len(boxes) == 7
    for one in boxes:
        assert tray["x"] <= one["cx"] - one["w"] / 2
        assert one["cx"] + one["w"] / 2 <= tray["x"] + tray["w"] + 1e-9
        assert tray["y"] <= one["cy"] - one["h"] / 2
        assert one["cy"] + one["h"] / 2 <= tray["y"] + tray["h"]
    for i, one in enumerate(boxes):
        for other in boxes[i + 1 :]:
            apart_across = abs(one["cx"] - other["cx"]) >= (one["w"] + other["w"]) / 2
            assert apart_across or abs(one["cy"] - other["cy"]) >= (one["h"] + other["h"]) / 2


def test_words_fit_their_box() -> None:
    """Two lines where there is room, upright in a narrow box, cut with an ellipsis, nothing in a short box."""
    assert roof_scene.label_of("Crew shelter", "31 lb", 200, 60).lines == ("Crew shelter", "31 lb")
    one_line = roof_scene.Label(lines=("Rock bar 18 lb",), upright=False)
    assert roof_scene.label_of("Rock bar", "18 lb", 200, 16) == one_line
    assert roof_scene.label_of("Crew shelter", "31 lb", 40, 200).upright
    assert roof_scene.label_of("Crew shelter", "31 lb", 60, 20).lines == ("Crew sh…",)
    assert roof_scene.label_of("Rock bar", "18 lb", 200, 5).lines == ("Rock bar 18 lb",)
    assert roof_scene.label_of("Rock bar", "18 lb", 20, 10).lines == ()


def test_units_follow_the_season(desk: Desk, plan: RoofDesk) -> None:
    """Masses and places in kilograms and millimeters; the step too."""
    desk.set_units("SI")
    assert "14.1 kg" in box(plan, SHELTER)["told"]
    # 66 - 25 - 35 = 6 in = 152.4 mm, and the nearest whole step of 20 mm is 160
    assert "front edge 160 mm behind the roof rack's" in plan.hear([move(SHELTER, 66, 10)])
    assert roof_hand.step_m(SI) == 0.02


def test_without_a_carrier_the_plan_says_so(desk: Desk, plan: RoofDesk) -> None:
    """Everything off the roof, then the carrier off."""
    with desk.season.entry("roof emptied"):
        for thing in deck.things_on(desk.loadout):
            desk.season.stow(FRIDAY, thing.key.partition(":")[2], None)
        desk.season.set_loadout(FRIDAY, carrier_on=False)
    desk.reload()
    assert plan.view._shown["scene"]["empty"] == "The roof rack is off the vehicle."
    assert plan.view._shown["problems"] == []
    assert roof_words.load_words(desk.loadout, US) == "The roof rack is off the vehicle."


def test_the_rows_beside_the_plan_are_the_reports(desk: Desk) -> None:
    """Roof, carrier, axles, and the zones on the carrier, with the overload marked."""
    rows = roof_answer.rating_rows(desk.report, US)
    # 84 lb of platform and 31 + 21.6 + 20.1 + 12.4 + 9.6 + 18.2 + 7.4 lb on it, against 154 lb
    assert rows[0] == ("▲ Vehicle roof, moving off road", "204 lb", "133%", "over by 50.3 lb")
    assert [row[0].removeprefix("? ") for row in rows[-2:]] == [
        "Zone: Roof platform front", "Zone: Roof platform rear",
    ]  # fmt: skip
