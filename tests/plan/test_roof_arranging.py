"""Arranging on the page without a browser: plans shown and kept, what ends a search, its words, and its tables."""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from pathlib import Path
from typing import Any

import pytest

from loadcalc.model.quantities import US
from loadcalc.plan.roof_layout import arrange, deck
from loadcalc.plan.roof_layout.layout_rules import LayoutRules, RoofSpot, broken, task_of
from tests.panels.slide import type_in
from tests.plan.test_roof_plan import BAR, INCH, SHELTER, kept, move
from tests.season_help import FRIDAY, demo_season
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.register import register_rows
from workbook.panels.roof import carrier_parts, roof_arrange, roof_search, roof_wishes, roof_words
from workbook.panels.roof.roof_plan import RoofDesk
from workbook.panels.roof.roof_search import Arranger
from workbook.widgets.table.table import Edit


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A desk on a fresh copy of the demo season."""
    return Desk(demo_season(tmp_path, durable=False))


@pytest.fixture
def plan(desk: Desk) -> RoofDesk:
    """Its plan of the carrier."""
    return RoofDesk(desk)


def test_arranged_at_once_it_is_one_entry_and_undo_takes_it_back(desk: Desk, plan: RoofDesk) -> None:
    """Seven things, nothing wrong with how they lie, said to be no more than it is; one undo."""
    before, gear = desk.season.version, desk.loadout.gear
    arranger = Arranger(plan)
    arranger.start(LayoutRules(), 5.0)
    assert not arranger.running
    assert desk.season.version == before + 1
    assert desk.status == "Kept in the ledger: Roof rack arranged: 7 things"
    found = deck.judge(desk.season.loadout(FRIDAY))
    assert (found.overlapping, found.hanging, found.covered, found.not_laid_out) == ((), (), (), ())
    proven = arranger.outcome is not None and arranger.outcome.end == arrange.BEST
    assert arranger.status.startswith("Proven best" if proven else "Best so far, not proven best")
    desk.undo()
    assert desk.loadout.gear == gear


def wait_for(told: str, heard: list[str]) -> Coroutine[Any, Any, None]:
    """Until a status starts with `told`; fails after a minute."""

    async def waiting() -> None:
        for _ in range(1200):
            if any(status.startswith(told) for status in heard):
                return
            await asyncio.sleep(0.05)
        pytest.fail(f"heard only {heard}")

    return waiting()


def test_plans_are_shown_as_they_come_and_stop_keeps_the_best(desk: Desk, plan: RoofDesk) -> None:
    """In a thread, with the page alive: a plan is tried out, not written; the end writes it, once."""
    before = desk.season.version

    async def page() -> None:
        arranger, heard = Arranger(plan), list[str]()
        arranger.told.append(lambda: heard.append(arranger.status))
        arranger.start(LayoutRules(), 60.0)
        assert arranger.running
        await wait_for("Looking for better: plan 1", heard)
        arranger.stop()
        for _ in range(600):
            if not arranger.running:
                break
            await asyncio.sleep(0.05)
        assert not arranger.running
        assert arranger.outcome is not None
        assert arranger.outcome.plan is not None

    asyncio.run(page())
    assert desk.season.version == before + 1
    assert deck.judge(desk.season.loadout(FRIDAY)).not_laid_out == ()


class Silent:
    """A search that is going on, in name only."""

    cell_m = 0.005
    stopped = 0

    def stop(self) -> None:
        """Count it."""
        self.stopped += 1


def under_way(plan: RoofDesk) -> tuple[Arranger, Any]:
    """An arranger with a search going on that has found one plan."""
    arranger, search = Arranger(plan), Silent()
    arranger._search = search  # type: ignore[assignment]  # a search in name only
    spots = {SHELTER: RoofSpot(66 * INCH, 0.0, False)}
    silent: Any = search
    arranger._heard(silent, arrange.Arrangement(spots=spots, number=1, seconds=0.1, spread_m=0.2))
    return arranger, silent


def test_a_hand_comes_first(desk: Desk, plan: RoofDesk) -> None:
    """A touch ends the search, keeps its best plan, and then moves the box; late plans are not heard."""
    arranger, search = under_way(plan)
    assert deck.thing_on(desk.loadout, SHELTER).place is not None
    before = desk.season.version
    plan.hear([move(BAR, 78, -20)])
    assert (search.stopped, arranger.running) == (1, False)
    assert desk.season.version == before + 2
    assert kept(desk, SHELTER).place is not None
    late = {BAR: RoofSpot(60 * INCH, 0.0, False)}
    arranger._heard(search, arrange.Arrangement(spots=late, number=2, seconds=0.2, spread_m=0.1))
    place = kept(desk, BAR).place
    assert place is not None
    assert place.left_m / INCH == pytest.approx(-20.0, abs=1e-9)
    assert deck.thing_on(desk.loadout, BAR).place == place


def test_another_edit_ends_the_search_and_keeps_nothing_of_it(desk: Desk, plan: RoofDesk) -> None:
    """A mass changed meanwhile: the plan was for something else."""
    arranger, search = under_way(plan)
    desk.do(lambda: desk.season.set_item("crew-shelter", mass_kg=20.0), "heavier")
    assert (search.stopped, arranger.running) == (1, False)
    assert kept(desk, SHELTER).place is None
    assert arranger.status.startswith("Stopped and not kept")


def test_when_nothing_fits_the_reason_is_said_and_nothing_is_written(desk: Desk, plan: RoofDesk) -> None:
    """A load center behind 118 in cannot be: dropping that rule helps."""
    before = desk.season.version
    arranger = Arranger(plan)
    arranger.start(LayoutRules(forward_m=118 * INCH, groups=False), 10.0)
    assert desk.season.version == before
    assert arranger.status.startswith("Nothing fits: no plan keeps all these rules")
    assert "forward and rearward limits" in arranger.status


def test_nothing_to_arrange(desk: Desk, plan: RoofDesk) -> None:
    """An empty roof is said to be empty."""
    with desk.season.entry("roof emptied"):
        for thing in deck.things_on(desk.loadout):
            desk.season.stow(FRIDAY, thing.key.partition(":")[2], None)
    desk.reload()
    arranger = Arranger(plan)
    arranger.start(LayoutRules(), 1.0)
    assert arranger.status == roof_search.NOTHING


def test_a_search_that_fails_is_told_in_words(desk: Desk, plan: RoofDesk) -> None:
    """And the page shows what the season holds."""
    arranger, search = under_way(plan)
    arranger._failed(search, RuntimeError("no memory"))
    assert arranger.status == "Not arranged: no memory"
    assert deck.thing_on(desk.loadout, SHELTER).place is None


def test_controls_mean_what_they_say(desk: Desk) -> None:
    """Ends of the range that stand at the slider's ends are no limits; inches count from the carrier's front edge."""
    given: dict[str, Any] = {
        "balance": 2.0, "tie_points": True, "groups": False, "at_hand": False, "may_turn": False,
        "gather_m": 1.5, "halves": {SHELTER: "front half"},
    }  # fmt: skip
    found = roof_arrange.rules_of(desk.loadout, US, span=(0.0, 40.0), whole=(0.0, 86.0), **given)
    assert found.forward_m is None
    assert found.rearward_m == pytest.approx(75 * INCH, abs=1e-12)
    assert found.balance_m == pytest.approx(2 * INCH, abs=1e-12)
    assert (found.groups, found.reach_m, found.may_turn, found.tie_room_m) == (False, None, False, 0.03)
    assert found.halves == {SHELTER: "front half"}
    other = roof_arrange.rules_of(desk.loadout, US, span=(10.0, 86.0), whole=(0.0, 86.0), **given)
    assert other.forward_m == pytest.approx(45 * INCH, abs=1e-12)
    assert other.rearward_m is None
    names = [name for name, _ in roof_arrange.places_to_gather(desk.loadout)]
    assert names == ["the roof rack's middle", "Front bar", "Middle bar", "Rear bar"]


def test_controls_give_rules_in_either_unit(desk: Desk, plan: RoofDesk) -> None:
    """Made anew on a switch of units, with no limit set by that."""
    controls = roof_arrange.Controls(Arranger(plan))
    for name in ("US", "SI"):
        desk.set_units(name)
        found = controls.rules()
        assert (found.forward_m, found.rearward_m) == (None, None)
        assert found.balance_m == pytest.approx(roof_arrange.BALANCE_M[name], abs=1e-9)
        task = task_of(desk.loadout, found)
        assert task is not None
        assert broken(task, {}) == ("fit",)


def test_where_the_center_may_be_is_typed(desk: Desk, plan: RoofDesk) -> None:
    """From and to, behind the front edge; a from behind its to leaves no place, and says so."""
    controls = roof_arrange.Controls(Arranger(plan))
    free = roof_arrange.rules_of(
        desk.loadout, US, span=(10.0, 40.0), whole=(0.0, 86.0), balance=1.0, tie_points=True, groups=True,
        at_hand=True, may_turn=True, gather_m=0.0, halves={},
    )  # fmt: skip
    for key, text in (("fore", "10 in"), ("rear", "40"), ("balance", "1 in"), ("time", "5")):
        assert type_in(controls.board.view, key, text) == ""
    found = controls.rules()
    assert found.forward_m == pytest.approx(free.forward_m)
    assert found.rearward_m == pytest.approx(free.rearward_m)
    assert found.balance_m == pytest.approx(INCH)
    assert controls.time_s == 5.0
    assert "leaves no place for the load's center" in type_in(controls.board.view, "fore", "41 in")
    assert controls.rules() == found


# Words of an outcome --------------------------------------------------------------------------------------------------

FOUND = arrange.Arrangement(spots={}, number=3, seconds=1.25, spread_m=0.254)


@pytest.mark.parametrize(
    ("end", "found", "cause", "says"),
    [
        (arrange.BEST, FOUND, None, "Proven best for these rules, on a grid of 0.25 in: plan 3 after 1.2 s"),
        (arrange.STOPPED, FOUND, None, "Best so far, not proven best (stopped)"),
        (arrange.TIME_UP, FOUND, None, "Best so far, not proven best (time was up after 20 s)"),
        (arrange.STOPPED, None, None, "Stopped before a plan was found."),
        (arrange.NOT_FOUND, None, None, "No plan was found in 20 s; that does not prove that there is none."),
        (
            arrange.NOTHING_FITS, None, arrange.Cause(kind=arrange.AREA, need_m2=3.0, have_m2=2.4),
            "need 32.3 sq ft of floor, and there are 25.8 sq ft",  # 3 / 0.09290304, 2.4 / 0.09290304
        ),
        (
            arrange.NOTHING_FITS, None, arrange.Cause(kind=arrange.RULES, names=("balance", "tie points")),
            "In the way: the sideways balance or the free tie points. Without any one of them there is a plan.",
        ),
        (
            arrange.NOTHING_FITS, None, arrange.Cause(kind=arrange.TOO_LARGE, names=("Mast",)),
            "Longer or wider than the roof rack, whichever way it lies: Mast.",
        ),
        (
            arrange.NOTHING_FITS, None, arrange.Cause(kind=arrange.THINGS, names=("Box", "Tube")),
            "There is a plan when any one of these stays home: Box; Tube.",
        ),
        (
            arrange.NOTHING_FITS, None, arrange.Cause(kind=arrange.TOGETHER, need_m2=1.0, have_m2=2.0),
            "No single rule and no single thing is in the way",
        ),
    ],
)  # fmt: skip
def test_an_outcome_claims_no_more_than_was_shown(
    end: str, found: arrange.Arrangement | None, cause: arrange.Cause | None, says: str
) -> None:
    """ "Proven best" stands only where it was proven."""
    outcome = arrange.Outcome(end=end, plan=found, cause=cause, seconds=20.0, plans=3 if found else 0)
    said = roof_words.outcome_words(outcome, US, cell_m=0.00635)
    assert says in said
    assert ("Proven best" in said) == (end == arrange.BEST)


# Tables ---------------------------------------------------------------------------------------------------------------


def wish(desk: Desk, halves: dict[str, str], key: str, column: str, text: str | bool) -> list[str]:
    """Type into one cell of the table of wishes; return the reasons for refusing it."""
    table = roof_wishes.roof_wish_table(desk, halves)
    refused = table._on_edit([Edit(kind="set", row_key=key, column=column, text=text)])
    return [refusal.reason for refusal in refused or ()]


def test_wishes_reach_the_season(desk: Desk, plan: RoofDesk) -> None:
    """At hand is kept; a half holds for the page only; a pin needs a place; the group is told by name."""
    halves: dict[str, str] = {}
    rows, keys = register_rows(roof_wishes.roof_wishes(desk, halves), desk)
    assert rows[keys.index(BAR)]["group"] == "Hand tools"
    assert wish(desk, halves, BAR, "at_hand", True) == []
    assert kept(desk, BAR).reachable
    version = desk.season.version
    assert wish(desk, halves, BAR, "half", "rear half") == []
    assert halves == {BAR: "rear half"}
    assert desk.season.version == version
    assert "not laid out yet" in wish(desk, halves, BAR, "pinned", True)[0]
    plan.hear([move(BAR, 78, -20)])
    assert wish(desk, halves, BAR, "pinned", True) == []
    assert kept(desk, BAR).pinned
    assert wish(desk, halves, BAR, "pinned", False) == []
    assert not kept(desk, BAR).pinned


def test_bars_and_tie_points_are_entered_in_the_readers_unit(desk: Desk) -> None:
    """A new bar at 60 in, a limit in kilograms, an emptied limit, a tie point that goes."""
    bars = carrier_parts.bar_table(desk)
    cells = {
        "name": "Extra bar",
        "aft_m": "60",
        "half_span_m": "24 in",
        "limit_kg": "50 kg",
        "read_at": "plate",
    }
    assert bars._on_edit([Edit(kind="add", row_key="draft-1", cells=cells)]) == []
    assert desk.loadout.carrier is not None
    names = [bar.name for bar in desk.loadout.carrier.bars]
    assert names == ["Front bar", "Extra bar", "Middle bar", "Rear bar"]
    extra = desk.loadout.carrier.bars[1]
    assert extra.aft_m == pytest.approx(60 * INCH, abs=1e-12)
    assert (extra.limit.limit_kg, extra.limit.read_at, extra.foot_limit.limit_kg) == (50.0, "plate", None)
    key = desk.season.find("bar", "Front bar")
    assert bars._on_edit([Edit(kind="set", row_key=key, column="limit_kg", text="")]) == []
    assert desk.loadout.carrier.bars[0].limit.limit_kg is None
    refused = bars._on_edit([Edit(kind="set", row_key=key, column="half_span_m", text="wide")])
    assert refused is not None
    assert len(refused) == 1
    points = carrier_parts.tie_point_table(desk)
    gone = desk.season.find("tie_point", "Middle left")
    assert points._on_edit([Edit(kind="remove", row_key=gone)]) == []
    assert "Middle left" not in [point.name for point in desk.loadout.carrier.tie_points]
    right_key = desk.season.find("tie_point", "Middle right")
    assert points._on_edit([Edit(kind="set", row_key=right_key, column="left_m", text="right 20")]) == []
    right = next(p for p in desk.loadout.carrier.tie_points if p.name == "Middle right")
    assert right.left_m == pytest.approx(-20 * INCH, abs=1e-12)


def test_a_wish_for_a_can_is_refused(desk: Desk) -> None:
    """A can has no pin: the reason names the cure."""
    desk.do(lambda: desk.season.set_fill(FRIDAY, "water-can-1", 10.0, "Roof platform rear"), "can up")
    for column in ("pinned", "at_hand"):
        (reason,) = wish(desk, {}, "filled:water-can-1", column, True)
        assert "enter it as an item" in reason
