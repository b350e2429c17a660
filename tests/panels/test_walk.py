"""The first evening: a stranger's season, fifteen numbers, and verdicts that say what they rest on."""

from __future__ import annotations

from pathlib import Path

import pytest

from loadcalc.model.errors import BadValue
from loadcalc.model.quantities import US
from loadcalc.season import start_season
from tests.season_help import BLANK
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.findings_words import headline
from workbook.panels.ratings.walk import MOST_NUMBERS, WALK, read_size_line, walk_rows, walk_table
from workbook.panels.sheet.sheet_panel import sheet_of
from workbook.widgets.table.table import Edit

STRANGER = {
    "gross": "6050", "front_axle": "3100", "rear_axle": "3400", "placard": "1250", "seats": "5", "front_kpa": "33",
    "rear_kpa": "35", "tires": "265/70R17 115T", "driver": "185", "rack": "70", "carrier_road": "300",
    "roof_road": "220", "curb_kg": "4510", "wheelbase_m": "112", "tank_capacity_l": "21",
}  # fmt: skip  # invented
STYLE = ("body_style", "wagon")


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A season that was just started."""
    return Desk(start_season(tmp_path / "new", BLANK))


def typed(desk: Desk, key: str, text: str) -> list[str]:
    """Type one answer; return what was refused."""
    refused = walk_table(desk)._on_edit([Edit(kind="set", row_key=key, column="value", text=text)])
    return [one.reason for one in refused or ()]


def judged(desk: Desk) -> set[str]:
    """The ratings that are judged."""
    return {rating.key for rating in desk.report.ratings if rating.known}


def test_fifteen_numbers_give_a_first_answer_and_say_what_is_assumed(desk: Desk) -> None:
    """Each number lets at least as much be judged as before it; what nobody entered is told, on paper too."""
    assert len(STRANGER) <= MOST_NUMBERS
    assert judged(desk) == set()
    for key, text in (STYLE, *STRANGER.items()):
        before = judged(desk)
        assert typed(desk, key, text) == []
        assert before <= judged(desk)
    assert {"gross", "front_axle", "rear_axle", "placard", "roof_road", "carrier_road", "seats"} <= judged(desk)
    assert {f"tire:{end}_{side}" for end in ("front", "rear") for side in ("left", "right")} <= judged(desk)
    said = {finding.key for finding in desk.report.findings if finding.kind == "figure not measured"}
    for key in ("tracks", "split", "height", "seat places", "rack", "outline"):
        assert f"figure:{key}" in said
    for key in ("front_axle", "rear_axle", "tire:front_left"):
        assert "assumed" in desk.report.rating(key).assumed
        assert desk.report.rating(key).state not in ("within", "over")
    assert desk.report.rating("placard").state == "within"
    paper = sheet_of(desk)
    assert "Tracks (tires and tip angles)" in paper
    assert "judged by what is assumed" in headline(desk.report, US)


def test_an_answer_shows_what_was_typed_and_nothing_that_is_assumed(desk: Desk) -> None:
    """Before it is typed a cell is empty, whatever is assumed; afterwards it says it."""
    typed(desk, "gross", "6050")
    rows, keys = walk_rows(desk.season, US)
    shown = dict(zip(keys, (row["value"] for row in rows), strict=True))
    assert shown["gross"] == US.mass(desk.report.rating("gross").limit or 0.0)
    assert {key for key, value in shown.items() if value} == {"gross"}


def test_the_order_of_the_answers_does_not_matter(desk: Desk, tmp_path: Path) -> None:
    """Backward they give the same verdict."""
    other = Desk(start_season(tmp_path / "other", BLANK))
    for key, text in (STYLE, *STRANGER.items()):
        assert typed(desk, key, text) == []
    for key, text in reversed((STYLE, *STRANGER.items())):
        assert typed(other, key, text) == []
    assert headline(desk.report, US) == headline(other.report, US)
    for rating in desk.report.ratings:
        assert other.report.rating(rating.key).load == pytest.approx(rating.load, rel=1e-12)


@pytest.mark.parametrize(
    ("line", "index", "marking"),
    [
        ("265/70R17 115T", 115, "passenger"), ("P235/75 R15 105S", 105, "passenger"),
        ("lt245/75r16 120/116Q", 120, "light truck"),
        ("215/65 R16C 109/107T", 109, "light truck"),
    ],
)  # fmt: skip  # sizes are common ones; index and letters made up
def test_a_size_line_gives_load_index_and_marking(line: str, index: int, marking: str) -> None:
    """As it stands on a sidewall."""
    tire = read_size_line(line, US, "tires")
    assert (tire.load_index, tire.marking) == (index, marking)


def test_a_size_without_an_index_is_refused() -> None:
    """With what to type."""
    with pytest.raises(BadValue, match="has no load index; write the whole line"):
        read_size_line("265/70R17", US, "tires")


def test_the_walk_asks_no_more_than_fifteen_numbers() -> None:
    """Beside one word."""
    assert len([ask for ask in WALK if ask.key != "body_style"]) <= MOST_NUMBERS
