"""What the figures decide to show, without a browser."""

import json
import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import plotly.graph_objects as go
import pytest

from loadcalc.checks import evaluate
from loadcalc.model import Limit
from loadcalc.model.quantities import SI, US
from tests.hand_case import LOADOUT, VEHICLE
from workbook.panels.desk.palette import PAPER, ROLES
from workbook.panels.loadout import consumed_figure as ratings
from workbook.panels.loadout import outline_boxes as boxes
from workbook.panels.loadout import outline_figure as outline

LIMITS = {
    "roof_road": Limit(limit_kg=80.0),
    "gross": Limit(limit_kg=3000.0),
    "roof_off_road": Limit(limit_kg=0.0),
}
REPORT = evaluate(replace(VEHICLE, limits=LIMITS), LOADOUT)


def test_a_bar_crosses_the_line_by_its_overload() -> None:
    """88 kg on 80: the bar is full, and 10 % stand beyond the line."""
    found = ratings.bar(REPORT.rating("roof_road"), SI)
    assert found.within == pytest.approx(100.0)
    assert found.beyond == pytest.approx(10.0)
    assert (found.state, found.number, found.room) == ("over", "110%", "over by 8 kg")


def test_an_unknown_limit_has_no_bar_but_an_empty_dotted_box() -> None:
    """Nothing is drawn that could be read as a pass."""
    shown = ratings.bars(REPORT, SI, everything=True)
    row = next(i for i, b in enumerate(shown) if b.key == "placard")
    assert (shown[row].within, shown[row].beyond, shown[row].state) == (0.0, 0.0, "not known")
    _, y = ratings.unknown_outline(shown)
    assert row + ratings.BAR_AT - ratings.BAR_HALF in y
    assert "limit not known" in ratings.room_text(shown[row])
    assert ratings.number_text(shown[row]).count("?") == 1


def test_an_endless_share_is_drawn_to_the_edge_only() -> None:
    """Something on a zero limit is infinitely over; the bar ends, the words say it."""
    found = ratings.bar(REPORT.rating("roof_off_road"), SI)
    assert found.within + found.beyond == ratings.DRAWN_TO
    assert found.number == "none allowed"


def test_an_overload_is_told_by_mark_and_word_too() -> None:
    """Color is never the only sign."""
    assert "▲" in ratings.number_text(ratings.bar(REPORT.rating("roof_road"), SI))
    assert "▲" not in ratings.number_text(ratings.bar(REPORT.rating("gross"), SI))
    beyond = ratings.traces(ratings.bars(REPORT, SI, everything=False))[1]
    assert (beyond["base"], beyond["marker"]["pattern"]["bgcolor"]) == (ratings.FULL, ROLES["alarm"])


def test_the_short_list_says_what_it_leaves_out() -> None:
    """Every overload and every unknown limit but the zones' is drawn; the rest is counted in words."""
    shown = ratings.bars(REPORT, SI, everything=False)
    assert [b.state for b in shown][:2] == ["over", "over"]
    assert {b.key for b in shown} >= {"placard", "tire:front_left"}
    assert ratings.left_out(REPORT, shown, SI) == "Not drawn: 2 zones without a known limit."
    everything = ratings.bars(REPORT, SI, everything=True)
    assert len(everything) == len(REPORT.ratings)
    assert ratings.left_out(REPORT, everything, SI) == "Every rating is drawn."


def test_a_bar_that_is_drawn_shorter_than_its_number_has_a_break_mark() -> None:
    """240 kg on 80 is three times the limit: drawn to the edge, broken; 88 kg on 80 is drawn whole."""
    heavy = evaluate(
        replace(VEHICLE, limits=LIMITS | {"roof_road": Limit(limit_kg=88.0 / 3)}), LOADOUT
    )
    far, near = ratings.bar(heavy.rating("roof_road"), SI), ratings.bar(REPORT.rating("roof_road"), SI)
    assert (far.number, far.broken, far.within + far.beyond) == ("300%", True, ratings.DRAWN_TO)
    assert not near.broken
    for report, marked in ((heavy, {"roof_road", "roof_off_road"}), (REPORT, {"roof_off_road"})):
        shown = ratings.bars(report, SI, everything=True)
        marks = ratings.traces(shown)[3]
        rows = {round(y - ratings.BAR_AT) for y in marks["y"]}
        assert {shown[row].key for row in rows} == marked
        assert all(ratings.FULL < x < ratings.DRAWN_TO for x in marks["x"])


def test_plotly_takes_the_chart_as_it_is() -> None:
    """Every property of the plain data is one of Plotly's, and is plain: it goes through JSON unchanged."""
    for everything in (False, True):
        drawn = ratings.figure(REPORT, US, everything=everything)
        go.Figure(data=drawn["data"], layout=drawn["layout"])
        assert json.loads(json.dumps(drawn)) == drawn


def test_every_color_of_the_chart_has_one_for_the_dark() -> None:
    """No white slab, and no dark words on dark paper."""
    drawn = ratings.figure(REPORT, US)
    used = set(re.findall(r"#[0-9a-f]{6}", json.dumps([drawn["data"], drawn["layout"]])))
    assert {ROLES["ink"], ROLES["alarm"], PAPER} <= used <= set(drawn["dark"])


def test_a_long_crowd_is_told_in_short() -> None:
    """The line under the title ends somewhere; and the chart says itself: question, tightest, unknown."""
    crowd = replace(LOADOUT, name="A departure with a long name " * 20)
    told = ratings.subtitle(evaluate(VEHICLE, crowd), US)
    assert len(told) <= ratings.SUBTITLE_LETTERS
    assert told.endswith(" …")
    said = ratings.label(REPORT, SI)
    assert said.startswith(f"{ratings.TITLE} ")
    assert "Vehicle roof, moving on road, 110%, over by 8 kg" in said
    assert "without a known limit" in said


def test_names_with_markup_stay_text() -> None:
    """A zone called <b>x</b> is written, not obeyed, in the chart and in the drawing."""
    evil = "<b onload=alert(1)>x</b>"
    zones = tuple(replace(z, name=evil) if z.name == "floor" else z for z in LOADOUT.zones)
    gear = tuple(replace(s, zone=evil) if s.zone == "floor" else s for s in LOADOUT.gear)
    report = evaluate(VEHICLE, replace(LOADOUT, zones=zones, gear=gear, people=LOADOUT.people[:2]))
    found = ratings.bar(report.rating(f"zone:{evil}"), SI)
    assert "<b onload" not in ratings.name_text(found) + ratings.hover_text(found)
    assert "<b onload" not in outline.outline_svg(report, SI)


def test_the_outline_is_well_formed_and_to_scale() -> None:
    """The wheels stand one wheelbase apart, in the scale of the drawn length."""
    root = ET.fromstring(outline.outline_svg(REPORT, SI))
    space = "{http://www.w3.org/2000/svg}"
    radius = max(float(c.get("r", 0)) for c in root.iter(f"{space}circle"))
    wheels = sorted(
        float(c.get("cx", 0)) for c in root.iter(f"{space}circle") if float(c.get("r", 0)) == radius
    )
    body = next(root.iter(f"{space}polygon")).get("points", "").split()
    across = [float(point.split(",")[0]) for point in body]
    px_per_m = (max(across) - min(across)) / VEHICLE.outline.length_m
    assert wheels[1] - wheels[0] == pytest.approx(VEHICLE.wheelbase_m * px_per_m, abs=0.3)
    assert radius == pytest.approx(VEHICLE.tire_diameter_m / 2 * px_per_m, abs=0.1)


def test_left_is_drawn_low_when_the_front_is_on_the_left() -> None:
    """Seen from above with the nose to the left of the page, the driver's left hand is toward its lower edge."""
    root = ET.fromstring(outline.outline_svg(REPORT, SI))
    y = {(t.text or ""): float(t.get("y", 0)) for t in root.iter("{http://www.w3.org/2000/svg}text")}
    assert y["right side"] < y["front"] < y["left side"]
    in_plan = [
        (t.text, float(t.get("y", 0)))
        for t in root.iter("{http://www.w3.org/2000/svg}text")
        if float(t.get("y", 0)) > y["right side"]
    ]
    seats = dict(in_plan)
    assert seats["driver"] > y["front"] > seats["sleeper"]


def test_the_picture_says_itself_in_words() -> None:
    """A reader who cannot see it gets the loads and the center."""
    told = outline.alternative(REPORT, SI, boxes.spots(REPORT))
    assert "platform 58 kg" in told  # tent 45 + can 3 + 10 L
    assert "driver 75 kg" in told
    assert "center of gravity" in told


def test_boxes_that_hide_each_other_are_drawn_as_one() -> None:
    """Two zones side by side share their place in the side view, not in the plan."""
    left = replace(
        LOADOUT.zones[1],
        name="left",
        place=replace(LOADOUT.zones[1].place, left_m=0.5),
        size=replace(LOADOUT.zones[1].size, width_m=0.8),
    )
    right = replace(left, name="right", place=replace(left.place, left_m=-0.5))
    loadout = replace(LOADOUT, zones=(LOADOUT.zones[0], left, right), gear=(LOADOUT.gear[1],), people=())
    found = [spot for spot in boxes.spots(evaluate(VEHICLE, loadout)) if not spot.on_carrier]
    assert [len(group) for group in boxes.merged(found, plan=False)] == [2]
    assert [len(group) for group in boxes.merged(found, plan=True)] == [1, 1]
