"""What the what-if page decides to show and to write, without a browser."""

from __future__ import annotations

import asyncio
import base64
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from loadcalc.checks import Shares, evaluate
from loadcalc.checks.findings.finding import NOT_KNOWN
from loadcalc.model import Tire
from loadcalc.model.errors import BadValue
from loadcalc.model.quantities import SI, US
from loadcalc.plan.assumed import NO_SOURCE, Assumed
from loadcalc.plan.compare import compare
from loadcalc.plan.doubt import Doubt
from loadcalc.plan.sweep import sweep, tried
from tests.panels.slide import slide
from tests.season_help import FRIDAY, demo_season
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.findings_words import in_short
from workbook.panels.what_if import compare as compare_panel
from workbook.panels.what_if import doubt as doubt_panel
from workbook.panels.what_if import what_if_map_figure as what_if_map
from workbook.panels.what_if.doubt_words import page_words
from workbook.panels.what_if.what_if import WhatIf, can_keep, keep_as, not_kept
from workbook.panels.what_if.what_if_map import MapPanel, dial_of, here_words, keep_strip
from workbook.panels.what_if.what_if_words import map_words

SCOUTING = "Scouting day"
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A desk on a fresh copy of the demo season."""
    return Desk(demo_season(tmp_path, durable=False))


# What is tried out ----------------------------------------------------------------------------------------


def test_the_page_opens_with_three_that_can_stand_together(desk: Desk) -> None:
    """Roof, water, fuel; nothing is moved, so the loadout is the kept one."""
    what_if = WhatIf(desk)
    assert what_if.chosen == ["roof", "kind:water", "fuel"]
    assert what_if.moved == {}
    assert what_if.loadout == desk.loadout


def test_moving_a_slider_tries_and_writes_nothing(desk: Desk) -> None:
    """Every other panel sees the tried loadout; the ledger does not."""
    panel, start = MapPanel(WhatIf(desk)), desk.season.version
    panel.move("fuel", 10.0)
    assert desk.loadout.fuel_l == 10.0
    assert desk.season.version == start
    assert "2.64 gal" in "\n".join(panel.here_lines())
    panel.move("roof", 20.0)
    assert panel.chart is not None
    assert panel.chart.figure["data"][what_if_map.CROSS]["x"] == [pytest.approx(20 / 0.45359237)]


def test_a_slider_that_comes_back_is_no_move(desk: Desk) -> None:
    """Where it is kept, though between two steps, leaves the loadout as it is kept, and the status line."""
    panel = MapPanel(WhatIf(desk))
    desk.say("Undone: something")
    for board in panel.boards:
        (made,) = board.view.columns[""]
        slide(board.view, made["key"], made["value"])
    assert panel.what_if.moved == {}
    assert desk.status == "Undone: something"


def test_the_map_follows_the_third_quantity(desk: Desk) -> None:
    """With no fuel the map is the one of an empty tank, cell by cell."""
    panel = MapPanel(WhatIf(desk))
    panel.move("fuel", 0.0)
    known = panel.what_if.known
    expected = sweep(
        desk.vehicle, tried(panel.what_if.base, {known["fuel"]: 0.0}), known["roof"], known["kind:water"]
    )
    assert panel.chart is not None
    packed = panel.chart.figure["data"][0]["z"]
    drawn = np.frombuffer(base64.b64decode(packed["bdata"]), "<f4").reshape(expected.consumed.shape)
    assert packed["shape"] == "101, 101"
    assert drawn == pytest.approx(np.minimum(expected.consumed, what_if_map.HIGHEST), abs=1e-6)


def test_a_choice_that_clashes_is_refused_and_said(desk: Desk) -> None:
    """One can beside all the water: the chooser goes back and the status says why."""
    panel = MapPanel(WhatIf(desk))
    panel.choosers[2].value = "fill:water-can-1"
    assert desk.status.startswith("Not chosen: quantity")
    assert panel.what_if.chosen[2] == "fuel"
    assert panel.choosers[2].value == "fuel"
    with pytest.raises(BadValue, match="same thing"):
        panel.what_if.choose(0, "fuel")


def test_ratings_of_another_condition_leave_the_map(desk: Desk) -> None:
    """On the road the roof's limit off the road says nothing, neither on the map nor in the words."""
    panel = MapPanel(WhatIf(desk))
    assert "moving off road" in "\n".join(panel.here_lines())
    panel.condition.value = "moving on road"
    assert "moving off road" not in "\n".join(panel.here_lines())
    assert "Vehicle roof, moving off road" not in panel.whole.value


def test_a_pressure_on_a_side_is_let_down_at_once(desk: Desk) -> None:
    """The map has the let-down tires, so the words beside it have them too."""
    what_if = WhatIf(desk)
    what_if.choose(0, "rear_kpa")
    assert what_if.loadout.rear_kpa == pytest.approx(what_if.known["rear_kpa"].now)
    found = what_if.sweep()
    x, y = what_if.at
    i, j = int(abs(found.down_values - y).argmin()), int(abs(found.across_values - x).argmin())
    tightest = what_if.report.tightest
    assert tightest is not None
    assert found.consumed[i, j] == pytest.approx(tightest.consumed, rel=1e-9)


def test_kept_is_a_new_loadout_in_one_entry(desk: Desk) -> None:
    """Fuel, water, and who stays behind are written; the loadout it came from stays as it was."""
    what_if = WhatIf(desk)
    what_if.choose(0, "people")
    for key, value in (("people", 2.0), ("kind:water", 10.0), ("fuel", 20.0)):
        what_if.set(key, value)
    start, before = desk.season.version, desk.season.loadout(FRIDAY)
    desk.do(lambda: keep_as(desk.season, "Lean", what_if.base, what_if.moved), "kept")
    made = desk.season.loadout("Lean")
    assert desk.season.version == start + 1
    assert (made.fuel_l, len(made.people)) == (20.0, 2)
    assert sum(f.fill_l for f in made.liquids if f.liquid.kind == "water") == pytest.approx(10.0, abs=1e-9)
    assert desk.season.loadout(FRIDAY) == before


def test_what_is_the_same_in_every_loadout_is_not_kept_with_one(desk: Desk) -> None:
    """A person's mass and a stranger belong elsewhere; they are named."""
    what_if = WhatIf(desk)
    what_if.choose(0, "people")
    what_if.set("people", 5.0)
    what_if.set("fuel", 1.0)
    assert not_kept(what_if.moved) == ["People aboard"]
    assert not can_keep(what_if.known["person:ines"], 70.0)


def test_going_back_drops_what_was_tried_then_returns_to_the_loadout_before(desk: Desk) -> None:
    """The strip's button says which of the two it will do."""
    panel = MapPanel(WhatIf(desk))
    row, _ = keep_strip(panel.what_if).children
    name, keep, back = row.children
    assert back.disabled
    panel.move("fuel", 5.0)
    assert back.description == "Go back to what is kept"
    back.click()
    assert desk.loadout == desk.season.loadout(FRIDAY)
    panel.move("fuel", 5.0)
    name.value = "Light"
    keep.click()
    assert (desk.loadout_name, desk.loadout.fuel_l) == ("Light", 5.0)
    assert back.description == f"Go back to {FRIDAY}"
    back.click()
    assert desk.loadout_name == FRIDAY


@pytest.mark.parametrize("units", [US, SI])
def test_every_quantity_has_a_slider_that_holds_it(desk: Desk, units: object) -> None:
    """Ends and what is now lie on the slider, in either unit."""
    for quantity in WhatIf(desk).known.values():
        dial = dial_of(quantity, quantity.now, units)  # type: ignore[arg-type]  # parametrized over Units
        assert dial.low <= dial.value <= dial.high + 1e-9
        assert dial.step > 0


# Panels ---------------------------------------------------------------------------------------------------


def test_what_is_tried_can_stand_beside_what_is_kept(desk: Desk) -> None:
    """The tried loadout is compared under a name of its own."""
    MapPanel(WhatIf(desk)).move("fuel", 0.0)
    judged = compare_panel.judged(desk, [FRIDAY, compare_panel.TRIED, compare_panel.NONE, FRIDAY])
    found = [one.shares.loadout for one in judged]
    assert [loadout.name for loadout in found] == [FRIDAY, compare_panel.TRIED]
    assert [loadout.fuel_l > 0 for loadout in found] == [True, False]


def test_the_comparison_says_no_less_than_the_departure(desk: Desk) -> None:
    """An overdue check counts in it, as on the page of the departure; of the ratings alone it would be missed."""
    desk.season.set_item("propane-cylinder", made_on="1990-01-01")
    desk.reload()
    judged = compare_panel.judged(desk, [FRIDAY, SCOUTING])
    said = compare_panel.shown(compare(judged), US)["words"]

    assert in_short(desk.report) != in_short(evaluate(desk.vehicle, desk.loadout))
    assert f"{FRIDAY}: {US.mass(desk.report.mass_kg)}; {in_short(desk.report)}; tightest" in said


def test_ratings_that_nobody_knows_are_in_no_chance(desk: Desk) -> None:
    """Some unknown: counted beside the chance. All unknown: no chance is told, for a small one would read as a pass."""
    unknown = sum(finding.kind == NOT_KNOWN for finding in desk.report.findings)
    assert unknown > 1
    left_out = f" {unknown} ratings without a known limit are not judged, so in no chance here."
    assert left_out in page_words(desk.report, US)

    vehicle = replace(desk.vehicle, limits={}, front_tire=Tire(), rear_tire=Tire())
    bare = replace(desk.loadout, carrier=None, gear=(), liquids=(), zones=())
    assert page_words(evaluate(vehicle, bare), US) == "No limit is known, so no chance of being over can be told."


def test_the_map_counts_what_is_not_on_it(desk: Desk) -> None:
    """The part of the map that is within the known limits stands beside how many are not known."""
    found = WhatIf(desk).sweep()
    assert found.not_known
    assert f"is within every rating with a known limit ({len(found.not_known)} not known)." in map_words(found, US)
    assert f"In all: {in_short(desk.report)}." in here_words(WhatIf(desk), US)


def test_every_assumed_doubt_is_listed_with_its_status(desk: Desk) -> None:
    """Nothing is assumed that the page does not show as such."""
    nobody_said = replace(desk.vehicle, curb_plus_minus_kg=0.0)
    rows = doubt_panel.assumed_rows(Assumed(), nobody_said, US)
    assert len(rows) == len(Assumed.__dataclass_fields__) + 3 + 4  # three ways to know a mass, four liquids
    plain, densities = rows[:-4], rows[-4:]
    assert {row[2] for row in plain} == {NO_SOURCE}
    assert all(row[2].endswith(("computed", "from memory")) for row in densities)


def test_what_was_entered_is_not_assumed(desk: Desk) -> None:
    """The demo's curb mass was weighed: no slider, no row, and less of the doubt is its own."""
    assert desk.vehicle.curb_plus_minus_kg == pytest.approx(50 * 0.45359237, rel=1e-12)
    unsaid = replace(desk.vehicle, curb_plus_minus_kg=0.0)
    for vehicle, there in ((desk.vehicle, False), (unsaid, True)):
        dials = doubt_panel.assumed_dials(Assumed(), vehicle, US)
        rows = doubt_panel.assumed_rows(Assumed(), vehicle, US)
        assert ("curb_share" in {dial.key for dial in dials}) is there
        assert ("the curb mass" in {row[0] for row in rows}) is there
    own, guessed = (
        Doubt(Shares(vehicle, desk.loadout)).weigh_first("rear_axle")[0] for vehicle in (desk.vehicle, unsaid)
    )
    assert (own.name, guessed.name, own.status) == ("Empty vehicle", "Empty vehicle", "as entered")
    assert own.share < guessed.share / 2


def test_opening_assumes_nothing_else(desk: Desk) -> None:
    """A slider that is where it was is no other doubt; a real move is, and narrows the interval."""
    panel = doubt_panel.DoubtPanel(desk)
    for made in [made for rows in panel.sliders.view.columns.values() for made in rows]:
        slide(panel.sliders.view, made["key"], made["value"])
    assert panel.assumed == Assumed()
    before = panel.drawing.rating("gross")
    slide(panel.sliders.view, "person_kg", 0.0)
    after = panel.drawing.rating("gross")
    assert panel.assumed.person_kg == 0.0
    assert after.high_kg - after.low_kg < before.high_kg - before.low_kg


def test_many_draws_show_progress_and_stop(desk: Desk) -> None:
    """Started, seen moving, stopped: what was drawn counts, the buttons are back."""
    panel = doubt_panel.DoubtPanel(desk)

    async def go() -> int:
        panel.start()
        assert not panel.stop.disabled
        while panel.progress.value < 4:
            await asyncio.sleep(0.005)
        panel.stop.click()
        await asyncio.sleep(0.3)
        return panel.drawing.draws

    drawn = asyncio.run(go())
    assert 300_000 < drawn < doubt_panel.MORE
    assert (panel.stop.disabled, panel.more.disabled, panel.progress.value) == (True, False, 0)
    assert f"{drawn:,} trials" in panel.words.value


def test_a_changed_loadout_ends_the_draws_of_the_old_one(desk: Desk) -> None:
    """Draws of what is no longer shown are dropped, and a new start is free."""
    panel = doubt_panel.DoubtPanel(desk)

    async def go() -> None:
        panel.start()
        await asyncio.sleep(0.1)
        desk.do(lambda: desk.season.set_fuel(FRIDAY, 0.0), "empty")

    asyncio.run(go())
    assert panel.drawing.draws == 100_000
    assert not panel.more.disabled
    assert panel.drawing.doubt.shares.loadout.fuel_l == 0.0
