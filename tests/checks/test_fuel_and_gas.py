"""What is fuel or gas is told in one way on every page: each test starts from a season, as a person fills it in."""

from __future__ import annotations

import datetime
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import ipywidgets as widgets
import pytest

from loadcalc.checks import evaluate
from loadcalc.checks.gas import hazards
from loadcalc.model import Loadout
from loadcalc.model.quantities import US
from loadcalc.plan.advice.plan import checked
from loadcalc.plan.advice.problem import Problem
from loadcalc.plan.advice.rearrange import fewest_moves
from loadcalc.season.story.due import checks_due
from loadcalc.season.story.events import record_event
from tests.advice_hand import CABIN as INSIDE
from tests.advice_hand import ROOF, hand_problem, stowed
from tests.season_help import FRIDAY, demo_season
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.register import RegisterEdits
from workbook.panels.gear import kit
from workbook.panels.ledger import ledger_lessons
from workbook.panels.loadout.summary_words import summary
from workbook.panels.roof import gas
from workbook.panels.roof.gas import gas_panel
from workbook.panels.sheet.sheet_panel import sheet_of
from workbook.widgets.table.table import Edit

CABIN, RACK = "Cargo deck left", "Rear door rack"
BREATHE = "that rides where people breathe"
ASKED = "may be fuel or gas"
GEAR = (
    "Propane cylinder", "Jerry can, petrol", "Gas bottles", "Fuel cans", "LPG cylinder", "Isobutane canister",
)  # fmt: skip
KINDS = ("LPG", "E85", "alcohol", "2-stroke mix", "Methylated spirits", "gasoline", "petrol", "propane")


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A desk on a fresh copy of the demo season, without the demo's own cylinder."""
    season = demo_season(tmp_path, durable=False)
    season.remove("item", "propane-cylinder")
    return Desk(season)


def with_gear(desk: Desk, name: str, zone: str, **fields: Any) -> None:
    """An item of gear that nobody has marked, stowed in a zone."""
    key = desk.season.add_item(name=name, mass_kg=8.0, **fields)
    desk.season.stow(FRIDAY, key, zone)
    desk.reload()


def with_can(desk: Desk, name: str, kind: str, zone: str, **fields: Any) -> None:
    """A full can of something, in a zone."""
    desk.season.add(
        "liquid", name=name, kind=kind, container_kg=1.0, capacity_l=5.0, density_kg_per_l=0.8, **fields
    )
    desk.season.set_fill(FRIDAY, name, 5.0, zone)
    desk.reload()


def said_by_gas_panel(desk: Desk) -> str:
    """All text of page 05's part on gas and fuel."""
    return texts(gas_panel(desk))


def texts(widget: widgets.Widget) -> str:
    """The text of a widget and of all in it."""
    own = [str(getattr(widget, name, "")) for name in ("value", "description")]
    return "\n".join([*own, *(texts(child) for child in getattr(widget, "children", ()))])


def _buttons(widget: widgets.Widget) -> list[widgets.Button]:
    own = [widget] if isinstance(widget, widgets.Button) else []
    return [*own, *(button for child in getattr(widget, "children", ()) for button in _buttons(child))]


def buttons(panel: widgets.Widget) -> list[str]:
    """The words on a panel's buttons."""
    return [button.description for button in _buttons(panel)]


def press(panel: widgets.Widget, word: str) -> None:
    """Press the button of that word."""
    next(button for button in _buttons(panel) if button.description == word).click()


def everywhere(desk: Desk) -> dict[str, str]:
    """What each place says of this departure."""
    return {
        "page 03": summary(desk.report, US), "page 05": said_by_gas_panel(desk), "sheet": sheet_of(desk),
    }  # fmt: skip


def warned(text: str, name: str, where: str, of: str = BREATHE) -> bool:
    """Whether a text has the line that warns of a thing in a zone."""
    found = re.split(r"\n|<br>|<li>", text)
    return any(of in line.casefold() and f"{name} ({where})" in line for line in found)


def open_to(desk: Desk, name: str) -> set[str]:
    """The zones that advice would let a thing ride in."""
    problem = Problem(desk.vehicle, desk.loadout)
    index = [thing.name for thing in problem.things].index(name)
    return {zone for zone, may in zip(problem.zones, problem.may[index], strict=False) if may}


@pytest.mark.parametrize("name", GEAR)
def test_unmarked_gear_in_the_cabin_is_warned_of_everywhere(desk: Desk, name: str) -> None:
    """Pages 03 and 05 and the sheet say so; advice keeps it out of every zone of the cabin."""
    with_gear(desk, name, CABIN)

    for place, text in everywhere(desk).items():
        assert warned(text, name, CABIN), place
    cabin = {zone.name for zone in desk.loadout.zones if zone.in_cabin}
    assert open_to(desk, name)
    assert not open_to(desk, name) & cabin


@pytest.mark.parametrize("kind", KINDS)
def test_a_can_in_the_cabin_is_warned_of_everywhere(desk: Desk, kind: str) -> None:
    """By what it holds, whatever it is called."""
    with_can(desk, "Can 9", kind, CABIN)

    for place, text in everywhere(desk).items():
        assert warned(text, "Can 9", CABIN), place
    cabin = {zone.name for zone in desk.loadout.zones if zone.in_cabin}
    assert not open_to(desk, "Can 9") & cabin


@pytest.mark.parametrize("name", GEAR)
def test_outside_the_cabin_nothing_is_warned_of(desk: Desk, name: str) -> None:
    """On the rack behind the door it is listed on page 05, and no place warns."""
    with_gear(desk, name, RACK)

    assert all(BREATHE not in text for text in everywhere(desk).values())
    assert f"<td>{name}</td>" in said_by_gas_panel(desk)


@pytest.mark.parametrize(
    "name",
    [
        "Gas stove",
        "Gas tank strap",
        "Oil lamp (empty)",
        "Water can",
        "Fuel gauge",
        "Gas bottle bracket",
        "Gas hose",
    ],
)
def test_look_alikes_are_left_in_peace(desk: Desk, name: str) -> None:
    """No place says a word of them, and they may ride in the cabin."""
    with_gear(desk, name, CABIN)

    assert all(BREATHE not in text for text in everywhere(desk).values())
    assert name not in said_by_gas_panel(desk)
    assert CABIN in open_to(desk, name)


def test_advice_moves_no_unmarked_cylinder_into_the_cabin() -> None:
    """A roof that may carry 12 kg and has 20: the box goes down into the cabin, for the cylinder may not."""
    gear = (stowed("Propane cylinder", 11.0, "roof"), stowed("box", 9.0, "roof"))
    roof = replace(ROOF, limit=replace(ROOF.limit, limit_kg=12.0))
    found = hand_problem((INSIDE, roof), gear)
    plan = checked(found, fewest_moves(found).assign or ())

    assert plan is not None
    assert [(step.name, step.zone_to) for step in plan.moves] == [("box", "cabin")]


DOUBTFUL = ("Jerry can", "Petrol chainsaw", "Strap for gas bottle", "Propane stove and cylinder", "CO2 tank")


@pytest.mark.parametrize("name", DOUBTFUL)
@pytest.mark.parametrize(("answer", "told"), [("fuel", True), ("gas", True), ("neither", False)])
def test_what_is_in_doubt_is_asked_once(desk: Desk, name: str, answer: str, told: bool) -> None:
    """Every place says that nobody knows; a press of a button on page 05 answers it, as one entry, for good."""
    with_gear(desk, name, CABIN)
    for place, text in everywhere(desk).items():
        assert warned(text, name, CABIN, ASKED), place
    panel = gas_panel(desk)
    assert buttons(panel) == ["fuel", "gas", "neither"]
    before = desk.season.version

    press(panel, answer)

    assert desk.season.version == before + 1
    assert "neither" not in buttons(panel)
    assert "neither" not in buttons(gas_panel(desk))
    for place, text in everywhere(desk).items():
        assert not warned(text, name, CABIN, ASKED), place
        assert warned(text, name, CABIN) == told, place
    desk.undo()
    assert buttons(panel) == ["fuel", "gas", "neither"]


def test_the_next_question_does_not_slip_under_the_pointer(desk: Desk) -> None:
    """A second press, meant for nothing, must not answer for another thing: what is answered keeps its line."""
    for name in ("Jerry can", "Petrol chainsaw"):
        with_gear(desk, name, CABIN)
    view = gas.GasQuestions(desk).view
    assert [buttons(row) for row in view.children] == [["fuel", "gas", "neither"]] * 2

    press(view.children[0], "neither")

    assert [buttons(row) for row in view.children] == [[], ["fuel", "gas", "neither"]]
    assert "Jerry can: neither. Kept; Undo takes it back." in texts(view.children[0])
    desk.undo()
    assert [buttons(row) for row in view.children] == [["fuel", "gas", "neither"]] * 2
    press(view.children[0], "fuel")
    desk.choose(next(name for name in desk.season.loadout_names if name != FRIDAY))
    assert view.children == ()


def test_what_is_in_doubt_is_not_moved_into_the_cabin(desk: Desk) -> None:
    """Advice leaves it where it is, or puts it outside; nobody has said that it may ride inside."""
    with_gear(desk, "Jerry can", CABIN)
    inside = {zone.name for zone in desk.loadout.zones if zone.in_cabin}

    assert open_to(desk, "Jerry can") & inside == {CABIN}
    assert RACK in open_to(desk, "Jerry can")


@pytest.mark.parametrize(
    ("name", "kind", "group"),
    [
        ("Funnel", "fuel", "item"),  # in the group for fuel, and holds none
        ("Jerry can, petrol", "water", "liquid"),  # one of the two words is wrong
        ("Drum", "fuel cell", "liquid"),
        ("Spare can", "e10", "liquid"),
    ],
)
def test_where_kind_and_name_differ_it_is_asked(desk: Desk, name: str, kind: str, group: str) -> None:
    """Neither word is taken for the truth."""
    if group == "item":
        with_gear(desk, name, CABIN, kind=kind)
    else:
        with_can(desk, name, kind, CABIN)

    assert warned(summary(desk.report, US), name, CABIN, ASKED)
    assert buttons(gas_panel(desk)) == ["fuel", "gas", "neither"]


def test_a_mark_on_a_can_goes_with_its_content(desk: Desk) -> None:
    """Said of water, "neither" must not hold once its content is petrol; a mark can be taken back."""
    with_can(desk, "Jerry can, petrol", "water", CABIN)
    press(gas_panel(desk), "neither")
    assert not warned(summary(desk.report, US), "Jerry can, petrol", CABIN, ASKED)
    type_in = RegisterEdits(desk, kit.cans(desk))
    row = "jerry-can-petrol"

    assert not type_in([Edit(kind="set", row_key=row, column="kind", text="petrol")])
    assert warned(summary(desk.report, US), "Jerry can, petrol", CABIN)
    for mark, told in (("neither", False), ("gas", True), ("not said", True)):
        assert not type_in([Edit(kind="set", row_key=row, column="hazard", text=mark)])
        assert warned(summary(desk.report, US), "Jerry can, petrol", CABIN) == told


@pytest.mark.parametrize(
    ("name", "kind", "told"),
    [
        ("Blue thing", "fuel", True),
        ("Blue thing", "Gas", True),
        ("Blue thing", "kitchen", False),
        ("Spork", "Fuel & stoves", False),  # a group of several things says nothing of each
        ("Propane cylinder", "kitchen", True),
    ],
)
def test_the_kind_of_gear_tells_before_its_name(desk: Desk, name: str, kind: str, told: bool) -> None:
    """A group that is all fuel, or all gas, makes a thing of any name one of it."""
    with_gear(desk, name, CABIN, kind=kind)

    assert warned(summary(desk.report, US), name, CABIN) == told


def test_a_mark_goes_before_kind_and_name(desk: Desk) -> None:
    """What a person said counts, whatever else is written."""
    with_gear(desk, "Water can, big", CABIN, kind="water", hazard="fuel")
    with_gear(desk, "Propane cylinder", CABIN, kind="gas", hazard="neither")

    text = summary(desk.report, US)
    assert warned(text, "Water can, big", CABIN)
    assert "Propane" not in text


def test_a_zone_of_which_nobody_spoke_is_not_outside(desk: Desk) -> None:
    """Fuel beside nobody knows whom is told as not known, and nothing more is moved there."""
    with_gear(desk, "Propane cylinder", RACK)
    with_can(desk, "Can 9", "petrol", "Roof platform front")
    zones = tuple(replace(z, in_cabin=None) if z.name == RACK else z for z in desk.loadout.zones)
    loadout: Loadout = replace(desk.loadout, zones=zones)

    assert [h.in_cabin for h in hazards(loadout) if h.zone == RACK and h.kind == "gas"] == [None]
    said = summary(evaluate(desk.vehicle, loadout), US)
    assert warned(said, "Propane cylinder", RACK, "nobody has said whether people breathe there")
    problem = Problem(desk.vehicle, loadout)
    names = [thing.name for thing in problem.things]
    rack = problem.zones.index(RACK)
    assert problem.may[names.index("Propane cylinder"), rack]
    assert not problem.may[names.index("Can 9"), rack]


# requalification


def test_an_unmarked_cylinder_has_to_be_checked(desk: Desk) -> None:
    """Gas that can be filled again is due, though nobody has said what it is; a cartridge and a stove are not."""
    for name in (
        "LPG cylinder",
        "Gas bottles",
        "Isobutane canister",
        "Butane cartridge",
        "Gas stove",
        "Fuel cans",
    ):
        with_gear(desk, name, RACK)

    found = {due.name: due for due in checks_due(desk.season) if due.duty == "requalification"}

    assert set(found) == {"LPG cylinder", "Gas bottles"}
    assert all(due.on is None for due in found.values())
    rows, keys = ledger_lessons.check_rows(desk.season)
    assert rows[keys.index("lpg-cylinder")]["check_kind"] == "gas cylinder"


def test_a_person_may_say_that_nothing_is_to_be_checked(desk: Desk) -> None:
    """ "none" in the table of checks holds, also for gas."""
    with_gear(desk, "LPG cylinder", RACK)
    table = ledger_lessons.check_table(desk)
    edit = Edit(kind="set", row_key="lpg-cylinder", column="check_kind", text="none")
    assert not table._on_edit([edit])

    assert not [due for due in checks_due(desk.season) if due.key == "lpg-cylinder"]


def test_the_coating_is_asked_and_the_shorter_interval_assumed(desk: Desk) -> None:
    """49 CFR 180.209(e): 12 years with a coating and non-corrosive gas only; else 5, also where nobody knows."""
    with_gear(desk, "LPG cylinder", RACK, check_kind="gas cylinder", made_on="2014-06-01")

    def due() -> tuple[datetime.date | None, str]:
        (found,) = (due for due in checks_due(desk.season) if due.key == "lpg-cylinder")
        return found.on, found.what

    assert due()[0] == datetime.date(2019, 6, 1)
    assert "assumed" in due()[1]
    panel = gas_panel(desk)
    assert buttons(panel) == ["yes", "no, or another type"]
    press(panel, "yes")
    assert buttons(panel) == []
    assert due()[0] == datetime.date(2026, 6, 1)
    desk.undo()
    press(panel, "no, or another type")
    assert buttons(panel) == []
    assert due()[0] == datetime.date(2019, 6, 1)
    assert "assumed" not in due()[1]


@pytest.mark.parametrize(
    ("after", "kind", "years"),
    [
        ("made", "gas cylinder, coated", 12),
        ("volumetric", "gas cylinder, coated", 12),
        ("proof", "gas cylinder, coated", 10),
        ("visual", "gas cylinder, coated", 5),
        ("made", "gas cylinder", 5),
        ("volumetric", "gas cylinder", 5),
        ("proof", "gas cylinder", 5),
        ("visual", "gas cylinder, other", 5),
    ],
)
def test_the_stamp_and_the_ledger_give_one_day(desk: Desk, after: str, kind: str, years: int) -> None:
    """Page 05's box for a stamp and page 08's list go by the same rule, word for word (49 CFR 180.209)."""
    with_gear(
        desk, "LPG cylinder", RACK, check_kind=kind, **({"made_on": "2021-02-15"} if after == "made" else {})
    )
    if after != "made":
        record_event(desk.season, "lpg-cylinder", "inspected", "2021-02-15", method=after)
    (due,) = (due for due in checks_due(desk.season) if due.key == "lpg-cylinder")

    assert due.on == datetime.date(2021 + years, 2, 15)
    said = gas.date_words(datetime.date(2021, 2, 15), after, kind, datetime.date(2022, 1, 1))
    assert said.startswith(f"Due again on {due.on}. ")
    assert due.what[1:] in said
    assert f"{due.source} ({due.status})" in said


def test_the_page_holds_no_amount_for_a_closed_car(desk: Desk) -> None:
    """A number beside "never in the cabin" would read as leave to do it."""
    assert "closed car" not in said_by_gas_panel(desk)
