"""What a page's answer shows, and when it hears of a change."""

from __future__ import annotations

from pathlib import Path

import pytest

from loadcalc.model import Limit
from loadcalc.model.quantities import US
from tests.season_help import FRIDAY, demo_season
from workbook.panels.desk.answer import answer, shown, tightest
from workbook.panels.desk.desk import Desk, Told
from workbook.panels.desk.findings_words import finding_lines, headline
from workbook.panels.desk.ratings_words import percent


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A desk on a fresh copy of the demo season."""
    return Desk(demo_season(tmp_path, durable=False), FRIDAY)


def test_it_tells_the_one_verdict_and_all_that_is_found(desk: Desk) -> None:
    """Word for word, in order of weight; what is wrong is marked, also where it stands after what is not known."""
    found = shown(desk.report, US)
    assert " ".join(sentence["words"] for sentence in found["verdict"]) == headline(desk.report, US)
    assert [one["words"] for one in found["found"]] == finding_lines(desk.report.findings, US)
    assert found["verdict"][0]["bad"]
    assert found["verdict"][0]["words"].startswith("One rating is over")
    unknown = next(one for one in found["verdict"] if "not judged" in one["words"])
    assert not unknown["bad"]


def test_what_is_not_exceeded_is_no_alarm_beside_what_is_wrong(desk: Desk) -> None:
    """Without an overload the first sentence is plain, and the one that tells of loose things is marked."""
    for rating in desk.report.over:
        desk.season.set_limit(rating.key, Limit(limit_kg=rating.load * 2))
    desk.reload()
    first, *_, last = shown(desk.report, US)["verdict"]
    assert (first["bad"], "none is exceeded" in first["words"]) == (False, True)
    assert (last["bad"], last["words"].startswith("Look at: ")) == (True, True)
    assert shown(desk.report, US)["strip"]["bad"]


def test_the_tightest_are_numbers_with_their_unit_apart(desk: Desk) -> None:
    """The roof, 33% over: 50.3 lb; then what is within, tightest first; in the strip the first of them."""
    rows = shown(desk.report, US)["tight"]
    assert len(rows) == 3
    assert rows[0] == {
        "name": "Vehicle roof, moving off road", "percent": "133%", "amount": "50.3", "unit": "lb", "word": "over",
        "bad": True,
    }  # fmt: skip
    assert [row["word"] for row in rows[1:]] == ["left", "left"]
    assert [row["percent"] for row in rows] == [percent(rating) for rating in tightest(desk.report)]
    assert shown(desk.report, US)["strip"]["tight"] == "Vehicle roof, moving off road, 133%, over by 50.3 lb"


def test_every_overload_is_among_the_numbers(desk: Desk) -> None:
    """Four that are over are four rows, not three."""
    for key in ("gross", "rear_axle", "front_axle"):
        desk.season.set_limit(key, Limit(limit_kg=100.0))
    desk.reload()
    over = [rating.name for rating in desk.report.over]
    assert len(over) > 3
    assert [row["name"] for row in shown(desk.report, US)["tight"]] == over[:6]


def test_an_assumed_limit_says_so(desk: Desk) -> None:
    """A number that rests on a guess is no surer than the guess."""
    desk.season.set_limit("gross", Limit(limit_kg=desk.report.mass_kg * 1.001, read_at="a guess"))
    desk.reload()
    row = next(row for row in shown(desk.report, US)["tight"] if row["name"].startswith("Gross vehicle"))
    assert row["word"] == "left, assumed"


def test_it_follows_each_move_and_what_its_lead_rests_on(desk: Desk) -> None:
    """A move of the desk, and a change of another list that the page's own sentences follow."""
    tilted: list[str] = ["Tips at 40°."]
    heard: list[Told] = []
    view, *_ = answer(desk, lead=lambda: tilted, heard=[heard]).children
    assert view.shown["lead"] == [{"words": "Tips at 40°.", "bad": False}]
    before = view.shown["tight"]
    desk.try_out(loadout=desk.season.loadout(desk.season.loadout_names[0]))
    assert view.shown["tight"] == shown(desk.report, desk.units)["tight"] != before
    tilted[0] = "▲ It tips."
    (tell,) = heard
    tell()
    assert view.shown["lead"] == [{"words": "It tips.", "bad": True}]


def test_under_a_lead_the_verdict_is_counted_and_nothing_found_is_left_out(desk: Desk) -> None:
    """One line of the verdict, as bad as it is; the findings are all there, folded."""
    said, alone = shown(desk.report, US, ["Tips at 40°."]), shown(desk.report, US)
    assert said["verdict"] == [{"words": f"{said['strip']['words']}.", "bad": True}]
    assert "1 over" in said["verdict"][0]["words"]
    assert said["in_view"] == 0
    assert (said["found"], said["tight"]) == (alone["found"], alone["tight"])
