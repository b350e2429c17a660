"""What the figures of the what-if page draw, and what its words say, without a browser."""

from __future__ import annotations

import json
import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path

import numpy as np
import plotly.graph_objects as go
import pytest

from loadcalc.checks import evaluate
from loadcalc.model import Limit
from loadcalc.model.quantities import SI, US
from loadcalc.plan.compare import compare
from loadcalc.plan.doubt import CLOSED, Doubt, RatingDoubt
from loadcalc.plan.draws import draw
from tests.hand_case import LOADOUT, VEHICLE
from tests.plan.test_compare import BARE, FLOOR_TENT, judged
from tests.season_help import demo_season
from workbook.panels.desk.desk import Desk
from workbook.panels.what_if import compare as compare_panel
from workbook.panels.what_if import compare_figure as cg_path
from workbook.panels.what_if import doubt_figure, doubt_words, what_if_words
from workbook.panels.what_if import what_if_map_figure as what_if_map
from workbook.panels.what_if.what_if import WhatIf

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A desk on a fresh copy of the demo season."""
    return Desk(demo_season(tmp_path, durable=False))


# Figures --------------------------------------------------------------------------------------------------


def test_the_map_names_each_region_once_and_marks_what_is_over(desk: Desk) -> None:
    """No state by color alone: the over region's name has its mark."""
    found = WhatIf(desk).sweep()
    texts = [label.text for label in what_if_map.labels(found, US)]
    assert len(texts) == len(set(texts)) >= 2
    for label in what_if_map.labels(found, US):
        i = round(label.up * len(found.down_values) - 0.5)
        j = round(label.across * len(found.across_values) - 0.5)
        assert bool(found.over[i, j]) is label.over is label.text.startswith("▲")


def test_plotly_takes_the_map_as_it_is(desk: Desk) -> None:
    """Every property is Plotly's and plain, the grid arrives as numbers, and every color has one for the dark."""
    what_if = WhatIf(desk)
    for other in ("kind:water", "people"):  # lines of equal share, and whole people
        what_if.choose(1, other)
        drawn = what_if_map.figure(what_if.sweep(), what_if.at, US)
        made = go.Figure(data=drawn["data"], layout=drawn["layout"])
        assert json.loads(json.dumps(drawn)) == drawn
        assert made.data[what_if_map.CROSS].mode == "markers"
        used = set(re.findall(r"#[0-9a-f]{6}", json.dumps([drawn["data"], drawn["layout"]])))
        assert used <= set(drawn["dark"])


def test_the_map_says_itself(desk: Desk) -> None:
    """Its question, then how much of it is within."""
    found = WhatIf(desk).sweep()
    assert what_if_map.label(found, US).startswith(what_if_map.TITLE)
    assert what_if_words.map_words(found, US).splitlines()[0] in what_if_map.label(found, US)


def test_borders_of_regions_lie_between_their_cells() -> None:
    """Two kinds side by side in a 2 by 2 grid: one stroke of two pieces half way."""
    x, y = what_if_map.edges(np.array([[0, 1], [0, 1]]), np.array([0.0, 2.0]), np.array([0.0, 1.0]))
    assert x == [1.0, 1.0, None, 1.0, 1.0, None]
    assert y == [-0.5, 0.5, None, 0.5, 1.5, None]


def test_the_way_is_enlarged_so_that_all_of_it_shows() -> None:
    """Every step lies inside the enlargement, with room, and rounding is not blown up to a way."""
    found = compare(judged(LOADOUT, FLOOR_TENT, BARE))
    for view in (cg_path.SIDE, cg_path.PLAN):
        (aft, other), half = cg_path.window(cg_path.points(found), view)
        for place in cg_path.points(found):
            assert abs(place.aft_m - aft) < half
            assert abs(getattr(place, view.axis) - other) < half * cg_path.LARGE_HIGH_PX / cg_path.LARGE_PX
    same = compare(judged(LOADOUT, LOADOUT))
    _, half = cg_path.window(cg_path.points(same), cg_path.SIDE)
    assert half >= cg_path.LEAST_M / 2


def test_the_pictures_are_well_formed_and_say_themselves_in_words(desk: Desk) -> None:
    """Both drawings parse, and a screen reader hears the loadouts and the chances."""
    found = compare(judged(LOADOUT, BARE))
    path = ET.fromstring(cg_path.cg_path_svg(found, US))
    assert "2, bare" in (path.get("aria-label") or "")
    numbers = [t.text for t in path.iter(f"{SVG}text")]
    assert numbers.count("1") == numbers.count("2") == 2
    drawing = draw(Doubt(desk.report.shares))
    told = ET.fromstring(doubt_figure.doubt_svg(doubt_words.shown(drawing, desk.report), US))
    assert "chance of being over more than 99.9%" in (told.get("aria-label") or "")


def test_a_bar_of_doubt_runs_from_low_to_high() -> None:
    """95 to 105 % of the limit: the bar crosses the line, its dot is where it was entered, and it is marked."""
    told = RatingDoubt(
        key="x", name="Rear", load_kg=99.0, mean_kg=100.0, low_kg=95.0, high_kg=105.0, limit_kg=100.0, chance_over=0.5,
        method=CLOSED,
    )  # fmt: skip
    root = ET.fromstring(doubt_figure.doubt_svg([told], SI))
    bar = next(root.iter(f"{SVG}rect"))
    left, wide = float(bar.get("x", 0)), float(bar.get("width", 0))
    assert left == pytest.approx(doubt_figure.across(0.95), abs=0.1)
    assert left + wide == pytest.approx(doubt_figure.across(1.05), abs=0.2)
    assert "△ 50%" in [t.text for t in root.iter(f"{SVG}text")]


# Words ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("chance", "said"),
    [
        (None, "limit not known"), (0.0, "less than 0.1%"), (0.0312, "3.1%"), (0.5, "50%"), (0.97, "97.0%"),
        (1.0, "more than 99.9%"),
    ],
)  # fmt: skip
def test_no_chance_reads_as_none_or_certain(chance: float | None, said: str) -> None:
    """Doubt is never told as 0 or 100 %."""
    assert doubt_words.chance_words(chance) == said


def test_the_joint_sentence_tells_over_from_in_doubt(desk: Desk) -> None:
    """What is over as entered is said, and the chance that another joins it beside it, with its method."""
    said = doubt_words.joint_words(draw(Doubt(desk.report.shares)), desk.report)
    assert said.startswith("Over as entered: 1. Chance of at least one known rating being over: ")
    assert "another one, within its limit as entered, is over too" in said
    assert "simulation, 100,000 trials" in said
    calm = evaluate(replace(VEHICLE, limits={"gross": Limit(limit_kg=9000.0, read_at="door label")}), LOADOUT)
    assert doubt_words.joint_words(draw(Doubt(calm.shares)), calm).startswith("Chance of at least one")


def test_the_comparison_in_words() -> None:
    """45 kg moved from roof to floor: no heavier, lower, farther aft; one thing rides differently."""
    said = what_if_words.compare_words(compare(judged(LOADOUT, FLOOR_TENT)), SI)
    assert "as heavy as hand case" in said
    assert "lower and" in said
    assert "farther aft" in said
    assert said.endswith("1 thing rides differently.")


def test_a_lacking_rating_and_a_change_are_told_apart() -> None:
    """No carrier: "has none"; a moved load: its signed change."""
    rows = {row[0]: row for row in what_if_words.rating_rows(compare(judged(LOADOUT, BARE)), SI)}
    assert rows["Seats"][1].startswith("67%")
    shown = compare_panel.shown(compare(judged(LOADOUT, BARE)), SI)
    assert "stays home" in shown["differences"]
    same = compare_panel.shown(compare(judged(LOADOUT, LOADOUT)), SI)
    assert same["differences"] == ""
