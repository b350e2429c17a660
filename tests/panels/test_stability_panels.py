"""What the stability page decides to show, without a browser; numbers by hand, on the case of tests/hand_case.py."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path

import pytest

from loadcalc.checks import Judgment, evaluate
from loadcalc.checks.stability.stance import stance_of
from loadcalc.checks.stability.tipping import first_lifts, tip_angles, tip_limit_deg
from loadcalc.model import Item, Loadout, Place, Stowed, Tire
from loadcalc.model.quantities import SI, US
from tests.checks.test_hitch_rows import HITCHED, HUNG, TOWING
from tests.hand_case import CARRIER, LOADOUT, PLATFORM, VEHICLE
from tests.season_help import demo_season
from workbook.panels.desk.answer import answer
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.palette import LOAD_TINT
from workbook.panels.stability import hitch_words, slope_words, stability_words
from workbook.panels.stability import polar_figure as polar
from workbook.panels.stability import slope_figure as slope
from workbook.panels.stability.hitch import hitch_view
from workbook.panels.stability.slope_words import Lean
from workbook.panels.stability.stability import (
    Tilt,
    angles_view,
    costs_view,
    slope_dials,
    slope_picture,
    tips,
    wheels_view,
)

REPORT = evaluate(VEHICLE, LOADOUT)
EMPTY = evaluate(VEHICLE, Loadout(name="empty"))
# By hand: the empty vehicle has its center at 1.2 of 3.0 m, 0.7 up, track 1.5; sin 0.6 and cos 0.8 across it.
EMPTY_SIDE_DEG = math.degrees(math.atan(0.75 / 0.7))
ACROSS_DEG = 36.86989764584402
LEVEL, LEFT, OVER = Lean(), Lean(left_down_deg=ACROSS_DEG), Lean(left_down_deg=55.0)


def _visible(html: str) -> str:
    return re.sub(r"<style>.*?</style>|<[^>]+>", " ", html, flags=re.DOTALL)


def test_the_sentence_for_a_summary_has_angle_comparison_and_caution() -> None:
    """The worse side's angle, less than empty, and that nobody drives at it; all in one sentence."""
    said = stability_words.tip_sentence(REPORT)
    assert stability_words.TRAILER not in said
    assert stability_words.tip_sentence(evaluate(HITCHED, TOWING)).endswith(stability_words.TRAILER)
    angle = min(tip_angles(stance_of(REPORT))[:2])

    assert f"tips at {angle:.1f}° (left side down)" in said  # the driver outweighs the sleeper by 6 kg m
    assert f"{EMPTY_SIDE_DEG - angle:.1f}° less than empty" in said
    assert "with soft springs and tires it tips earlier" in said
    assert "no angle to drive at" in said
    assert said.count(".") == said.count("°") + 1


def test_the_sentence_for_an_empty_vehicle() -> None:
    """Nothing gained, nothing lost, no side worse."""
    bare = evaluate(VEHICLE, Loadout(name="bare"))
    assert f"{EMPTY_SIDE_DEG:.1f}° (either side down), the same as empty" in stability_words.tip_sentence(
        bare
    )


def test_a_vehicle_that_tips_on_the_level_is_told_as_such() -> None:
    """No angle is printed for what cannot stand."""
    anvil = Stowed(
        item=Item(name="anvil", mass_kg=490.0),
        zone="floor",
        count=9,
        place=Place(aft_m=1.2, left_m=1.4, up_m=0.8),
    )
    said = stability_words.tip_sentence(evaluate(VEHICLE, replace(LOADOUT, gear=(anvil,))))
    assert said == "By these numbers it would tip over on the level: check the places."


def test_no_words_of_the_page_promise_anything() -> None:
    """Nothing reads as safe up to an angle, in any text that the page can say."""
    texts = [stability_words.CAUTION, hitch_words.CAUTION, stability_words.give_sentence(0.15)]
    texts += [stability_words.lift_sentence(REPORT), stability_words.tip_sentence(REPORT)]
    for lean in (LEVEL, LEFT, OVER, Lean(left_down_deg=45.0, give_share=0.4)):
        texts += [
            slope_words.slope_words(REPORT, SI, lean),
            stability_words.stability_words(REPORT, SI, lean),
            polar.polar_svg(REPORT, lean),
            slope.slope_svg(REPORT, SI, lean),
        ]
    for text in texts:
        assert not re.search(
            r"\bsafe|\bup to \d|\ballowed\b|\bmay lean|\bcan drive", text, flags=re.IGNORECASE
        )


def test_the_table_of_angles_holds_loaded_empty_and_difference() -> None:
    """Eight rows; empty angles by hand; the worse side is marked; the allowance is a share of the tangent."""
    rows = {row[0]: row[1:] for row in stability_words.angle_rows(REPORT, 0.2)}
    tips = tip_angles(stance_of(REPORT))
    left = rows["Tips, left side down (the worse side)"]

    assert left[:2] == (f"{tips.left_deg:.1f}°", f"{EMPTY_SIDE_DEG:.1f}°")
    assert left[2] == f"{EMPTY_SIDE_DEG - tips.left_deg:.1f}° less"
    assert left[3] == f"{math.degrees(math.atan(0.8 * math.tan(math.radians(tips.left_deg)))):.1f}°"
    assert "Tips, right side down" in rows
    assert rows["Tips forward, nose down"][1] == f"{math.degrees(math.atan(1.2 / 0.7)):.1f}°"
    assert rows["Tips backward, nose up"][1] == f"{math.degrees(math.atan(1.8 / 0.7)):.1f}°"
    assert rows["Static stability factor, T/(2H)"][1] == "1.07"  # 1.5 / 1.4
    lift = next(name for name in rows if name.startswith("First wheel lifts, left side down"))
    assert rows[lift][0] == f"{first_lifts(stance_of(REPORT))[0].angle_deg:.1f}°"
    assert len(rows) == 8


def test_differences_are_words() -> None:
    """No sign to misread, and a rounding is no difference."""
    found = [stability_words.fewer(change) for change in (-2.71, 0.44, 0.04, -0.04)]
    assert found == ["2.7° less", "0.4° more", "the same", "the same"]
    assert slope_words.degrees(-0.04) == "0.0°"
    assert slope_words.degrees(-3.0) == "−3.0°"


@pytest.mark.parametrize(
    ("lean", "said"),
    [
        (Lean(), "level"),
        (Lean(left_down_deg=15.0), "left side down 15°"),
        (Lean(left_down_deg=-7.0, nose_up_deg=-45.0), "right side down 7°, nose down 45° (100%)"),
        (Lean(nose_up_deg=5.0), "nose up 5° (9%)"),
    ],
)
def test_how_it_lies_is_told_in_words(lean: Lean, said: str) -> None:
    """Sides and nose by name; a grade in percent too."""
    assert slope_words.lies(lean) == said


def test_wheels_on_the_level_are_those_of_the_report() -> None:
    """No slope, no change, and the worst direction is named as such."""
    rows = slope_words.wheel_rows(REPORT, SI, LEVEL)
    assert [row[1] for row in rows] == [SI.mass(kg, grouped=True) for kg in REPORT.wheels_kg]
    assert {row[3] for row in rows} == {"0 kg"}
    assert "in its worst direction" in slope_words.slope_words(REPORT, SI, LEVEL)


def test_wheels_of_the_empty_vehicle_on_a_3_4_5_slope() -> None:
    """2000 kg, 0.8 pressed: axles 960 and 640; 840 kg m across, 420 an axle over 1.5 m: 280 to and from each wheel."""
    empty = evaluate(VEHICLE, Loadout(name="bare"))
    rows = slope_words.wheel_rows(empty, SI, LEFT)
    assert [row[1] for row in rows] == ["760 kg", "200 kg", "600 kg", "40 kg"]
    assert [row[3] for row in rows] == ["+160 kg", "−400 kg", "+200 kg", "−360 kg"]
    assert all(row[5] == "limit not known" for row in rows)
    said, pressed = (make(empty, SI, LEFT) for make in (slope_words.slope_words, slope_words.pressed_words))
    assert pressed == "Load pressing into the slope: front axle 960 kg, rear axle 640 kg."
    assert (
        f"limit in this direction is {EMPTY_SIDE_DEG:.1f}°, {EMPTY_SIDE_DEG - ACROSS_DEG:.1f}° from here"
        in said
    )


def test_a_lifted_wheel_and_an_overloaded_tire_have_mark_and_word() -> None:
    """Heeling at 45 degrees: 750 kg limits, one wheel in the air; color is never the only sign."""
    vehicle = replace(VEHICLE, front_tire=Tire(load_index=98, marking="light truck"), front_roll_share=0.7)
    report = evaluate(vehicle, Loadout(name="bare"))
    lean = Lean(left_down_deg=45.0)
    rows = {row[0]: row for row in slope_words.wheel_rows(report, SI, lean)}

    assert rows["Front left"][4:] == ("750 kg", "▲ over")
    assert rows["Rear right"][1] != "0 kg"
    assert rows["Front right"][1] == "0 kg"
    assert rows["Front right"][5] == "▲ has lifted"
    assert slope_words.slope_words(report, SI, lean).startswith(
        "▲ It lies left side down 45°: the front right wheel has lifted"
    )
    drawn = slope.slope_svg(report, SI, lean)
    assert "▲ 0 kg · lifted" in drawn
    assert "over its tire" in drawn


def test_beyond_the_limit_nothing_is_weighed() -> None:
    """No rows, no loads in the picture, and a sentence that says why."""
    assert slope_words.wheel_rows(REPORT, SI, OVER) == []
    said = slope_words.slope_words(REPORT, SI, OVER)
    limit = tip_limit_deg(stance_of(REPORT), downhill_deg=90.0)
    assert said.startswith("▲ It lies left side down 55°: beyond the rigid tip limit in this direction")
    assert f"{limit:.1f}°" in said
    assert "▲ beyond the rigid limit: it tips" in slope.slope_svg(REPORT, SI, OVER)
    assert " kg<" not in slope.slope_svg(REPORT, SI, OVER)


def test_the_give_that_is_used_up_is_said() -> None:
    """Between the limit after the allowance and the rigid one: an alarm, before anything tips."""
    lean = Lean(left_down_deg=tip_angles(stance_of(REPORT)).left_deg - 1.0)
    assert "▲ it is already passed" in slope_words.slope_words(REPORT, SI, lean)
    assert "▲ 1.0° to the rigid limit; none after allowance" in polar.polar_svg(REPORT, lean)


def test_a_tire_let_down_carries_less_on_a_slope_too() -> None:
    """The smaller of marking and trail pressure counts; an unknown one is no limit."""
    tire = Tire(load_index=98, marking="light truck", reference_kpa=300.0)
    vehicle = replace(VEHICLE, rear_tire=tire)
    down = evaluate(vehicle, replace(LOADOUT, rear_kpa=150.0))
    assert slope_words.tire_limit_kg(down, "rear_left") == pytest.approx(375.0)
    assert slope_words.tire_limit_kg(evaluate(vehicle, LOADOUT), "rear_left") == pytest.approx(750.0)
    assert slope_words.tire_limit_kg(down, "front_left") is None


def test_costs_end_with_the_whole_load_and_say_what_they_cut() -> None:
    """The dearest first; a long list loses its middle, and says so."""
    rows = stability_words.cost_rows(REPORT, SI, "place")
    assert rows[0][0] == "rack with all on it"
    assert rows[0][1] == "88 kg"
    assert rows[-1][:2] == (
        "Everything aboard, against the empty vehicle",
        SI.mass(REPORT.mass_kg - 2000, grouped=True),
    )
    many = tuple(Stowed(item=Item(name=f"stone {n}", mass_kg=1.0 + n), zone="platform") for n in range(20))
    long = stability_words.cost_rows(evaluate(VEHICLE, replace(LOADOUT, gear=many)), SI, "thing")
    assert len(long) == stability_words.MOST_COSTS + 2
    assert re.match(r"14 more, ", long[9][0])


def test_the_dearest_thing_is_named_with_its_price() -> None:
    """ "rack with all on it lowers it by 2.9°": the number is that of leaving it at home."""
    without = evaluate(VEHICLE, replace(LOADOUT, carrier=None, gear=LOADOUT.gear[:1], liquids=()))
    price = min(tip_angles(stance_of(without))[:2]) - min(tip_angles(stance_of(REPORT))[:2])
    assert stability_words.cost_sentence(REPORT, SI).startswith(
        f"rack with all on it (88 kg) lowers the side angle by {price:.1f}°"
    )
    bare = evaluate(VEHICLE, Loadout(name="bare", zones=(PLATFORM,), fuel_l=50.0))
    assert stability_words.cost_sentence(bare, SI) == "Nothing aboard lowers the side angle."


def test_the_polar_chart_passes_through_the_angles() -> None:
    """Well-formed; the loaded curve lies as far out as the limit, to the left down the page, ahead to the left."""
    root = ET.fromstring(polar.polar_svg(REPORT, LEFT))
    space = "{http://www.w3.org/2000/svg}"
    curves = [shape.get("points", "") for shape in root.iter(f"{space}polygon")]
    tips = tip_angles(stance_of(REPORT))
    x, y = polar.CENTER_X, polar.CENTER_Y
    points = {
        "left": (x, y + tips.left_deg * polar.PX_PER_DEG),
        "right": (x, y - tips.right_deg * polar.PX_PER_DEG),
        "ahead": (x - tips.nose_down_deg * polar.PX_PER_DEG, y),
        "behind": (x + tips.nose_up_deg * polar.PX_PER_DEG, y),
    }

    assert len(curves) == 3
    for across, down in points.values():
        assert any(f"{across:.1f},{down:.1f}" in curve.replace("-0.0", "0.0") for curve in curves)
    dot = [c for c in root.iter(f"{space}circle") if c.get("r") == "7.0"]
    assert float(dot[0].get("cy", 0)) == pytest.approx(y + ACROSS_DEG * polar.PX_PER_DEG, abs=0.06)
    assert f"falling to the left {tips.left_deg:.1f}°" in root.get("aria-label", "")


def test_the_discs_of_the_wheels_are_loads_by_area() -> None:
    """Four times the load, twice the radius."""
    empty = evaluate(VEHICLE, Loadout(name="bare"))
    root = ET.fromstring(slope.slope_svg(empty, SI, LEFT))
    discs = [c for c in root.iter("{http://www.w3.org/2000/svg}circle") if LOAD_TINT in c.get("fill", "")]
    radii = [float(c.get("r", 0)) for c in discs]

    assert [round(r * r / radii[1] ** 2, 1) for r in radii] == pytest.approx([3.8, 1.0, 3.0, 0.2], abs=0.05)
    assert "front left 760 kg, front right 200 kg, rear left 600 kg, rear right 40 kg" in root.get(
        "aria-label", ""
    )


def test_names_with_markup_stay_text() -> None:
    """A carrier called <b>x</b> is written, not obeyed."""
    evil = replace(LOADOUT, carrier=replace(CARRIER, name="<b onload=alert(1)>x</b>"))
    desk_rows = stability_words.cost_rows(evaluate(VEHICLE, evil), SI, "place")
    from workbook.panels.desk.frame import html_table

    assert "<b onload" not in html_table(stability_words.COST_HEADS, desk_rows)


def test_the_panels_follow_slider_units_and_loadout(tmp_path: Path) -> None:
    """Every view is made anew from desk and tilt; nothing is written to the season."""
    desk, tilt = Desk(demo_season(tmp_path, durable=False)), Tilt()
    views = [
        slope_dials(desk, tilt), answer(desk, slope_picture(desk, tilt), lead=tips(desk, tilt), heard=[tilt.heard]),
        angles_view(desk, tilt), wheels_view(desk, tilt),
        costs_view(desk), hitch_view(desk, tilt),
    ]  # fmt: skip
    before = desk.season.version

    def shown() -> str:
        def texts(widget: object) -> list[str]:
            inside = [text for child in getattr(widget, "children", ()) for text in texts(child)]
            return [_visible(str(getattr(widget, "value", getattr(widget, "shown", "")))), *inside]

        return " ".join(text for view in views for text in texts(view))

    assert "left side down 15°" in shown()
    tilt.set(left_down_deg=-20.0, nose_up_deg=6.0, give_share=0.25)
    lean = Lean(left_down_deg=-20.0, nose_up_deg=6.0, give_share=0.25)
    assert tilt.lean == lean
    for line in slope_words.slope_words(desk.report, US, lean).splitlines():
        assert line in shown()
    assert "25% of the tangent" in shown()
    light = replace(desk.loadout, gear=(), carrier=None, people=desk.loadout.people[:1], liquids=())
    desk.try_out(loadout=light)
    assert stability_words.tip_sentence(desk.report) in shown()
    assert hitch_words.room_sentence(desk.report, US, 0.11) in shown()
    assert desk.season.version == before
    desk.set_units("SI")
    assert " lb" not in shown()


def report_text(report: Judgment) -> str:
    """All that the page prints."""
    return stability_words.stability_words(report, SI, LEFT) + hitch_words.hitch_words(report, SI, 0.12)


def test_the_text_cell_speaks_for_every_kind_of_load() -> None:
    """Empty, loaded, towing, hung: something is said of tip, slope, and hitch, and no value is a bare None."""
    for report in (REPORT, EMPTY, evaluate(HITCHED, TOWING), evaluate(HITCHED, HUNG)):
        said = report_text(report)
        assert "None" not in said
        assert "nan" not in said
        assert "Sideways" in said
        assert "hitch" in said
