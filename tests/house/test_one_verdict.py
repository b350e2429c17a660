"""One verdict everywhere: no page, paper, or plan claims less than the findings of a departure, however packed."""

from __future__ import annotations

import ast
import re
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given

from loadcalc.checks import evaluate
from loadcalc.model.quantities import SI, US
from loadcalc.plan.advice.allowed import AdviceRules
from loadcalc.plan.advice.plan import checked
from loadcalc.plan.advice.problem import Problem
from loadcalc.plan.advice.single import single_moves
from loadcalc.plan.compare import compare
from loadcalc.season import start_season
from loadcalc.season.story.departures import Departure
from tests.advice_cases import allowing
from tests.advice_unknown_case import gappy_case
from tests.season_help import BLANK, FRIDAY, ROOT, demo_season
from tests.strategies import STEADY, Case, cases
from tests.verdict_read import claims_too_much, read, untold
from workbook.panels.advice.advice_words import outcome_words
from workbook.panels.desk.answer import shown as shown_answer
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.findings_words import headline
from workbook.panels.loadout.start import standing_lines
from workbook.panels.loadout.summary_words import standing, summary
from workbook.panels.sheet.sheet import sheet_html
from workbook.panels.sheet.sheet_panel import sheet_of
from workbook.panels.weigh_in.tickets import new_ticket
from workbook.panels.what_if.compare import TRIED, judged, shown
from workbook.panels.what_if.what_if_words import compare_words


@STEADY
@given(cases())
def test_sheet_start_and_loadout_claim_no_less_than_the_findings(case: Case) -> None:
    """Each finding is named in the list or counted there, each kind counted in the verdict, in both units."""
    judgment = evaluate(*case)
    for units in (SI, US):
        for text in (read(sheet_html(judgment, units)), standing(judgment, units), summary(judgment, units)):
            assert untold(judgment.findings, text) == []
            assert claims_too_much(judgment, text) == []
            assert not re.search(r"▲[^\n]*\b100%", text)


@STEADY
@given(cases())
def test_a_comparison_claims_no_less_than_the_findings(case: Case) -> None:
    """Of each loadout: how many are over, how many are not known, and how much more there is to look at."""
    vehicle, loadout = case
    bare = replace(loadout, name="bare", gear=(), liquids=())
    found = compare([evaluate(vehicle, packed) for packed in (loadout, bare)])
    for line, judgment in zip(compare_words(found, SI).splitlines(), found.reports, strict=False):
        kinds = [finding.kind for finding in judgment.findings]
        over = sum(kind.startswith("over") for kind in kinds)
        unknown = kinds.count("limit not known")
        more = len(kinds) - over - unknown
        assert (f"; {over} over" in line) == bool(over)
        assert (f"{unknown} not known" in line) == bool(unknown)
        assert (f"{more} more to look at" in line) == bool(more)


def test_the_outcome_of_advice_claims_no_less_than_the_findings() -> None:
    """What a move leads to is told with the whole verdict; limits lack, and may be added to."""
    moved = 0
    for seed in range(24):
        vehicle, loadout = gappy_case(seed)
        problem = Problem(vehicle, loadout, allowing(AdviceRules(), vehicle, loadout))
        assigns = (problem.stay, *(move.assign for move in single_moves(problem)))
        for plan in filter(None, (checked(problem, assign, within=False) for assign in assigns)):
            judgment = evaluate(vehicle, plan.loadout)
            assert claims_too_much(judgment, outcome_words(plan, judgment, SI)) == []
            moved += bool(plan.steps)
    assert moved >= 10


# In a season ----------------------------------------------------------------------------------------------


def answer_text(desk: Desk) -> str:
    """The answer beside the controls, as its widget reads."""
    now = shown_answer(desk.report, desk.units)
    return "\n".join([" ".join(one["words"] for one in now["verdict"]), *(one["words"] for one in now["found"])])


def doors(desk: Desk) -> dict[str, str]:
    """What a person reads of the desk's departure, by where."""
    return {
        "start": standing_lines(desk),
        "loadout": summary(desk.report, desk.units),
        "answer": answer_text(desk),
        "sheet": read(sheet_of(desk)),
    }


@pytest.mark.parametrize("blank", [False, True])
def test_every_page_of_a_season_tells_the_same_verdict(blank: bool, tmp_path: Path) -> None:
    """Start page, loadout page, sheet, the desk, and the season itself; for each departure there is."""
    season = start_season(tmp_path / "new", BLANK) if blank else demo_season(tmp_path, durable=False)
    for name in season.loadout_names:
        desk = Desk(season, name)
        judgment = Departure(season, name).judge()
        assert judgment.findings == desk.report.findings
        for door, text in doors(desk).items():
            assert headline(judgment, desk.units) in text, door
            assert untold(judgment.findings, text) == [], door
            assert claims_too_much(judgment, text) == [], door


def weighed_over(tmp_path: Path) -> Desk:
    """The demo's Friday with a ticket of 50 kg over its GVWR."""
    desk = Desk(demo_season(tmp_path, durable=False), FRIDAY)
    limit_kg = desk.report.rating("gross").limit_kg
    assert limit_kg is not None
    desk.season.set("weigh_in", new_ticket(desk, "2026-05-31"), total_kg=limit_kg + 50.0)
    desk.reload()
    return desk


def test_a_ticket_over_its_rating_is_told_on_every_page(tmp_path: Path) -> None:
    """The lists say less than the GVWR, the scale more: start page, loadout page, sheet, and comparison tell it."""
    desk = weighed_over(tmp_path)
    assert not desk.report.rating("gross").over
    for door, text in doors(desk).items():
        assert "▲ Over its limit on the scale: Gross vehicle weight rating (GVWR) (" in text, door
        assert "over by 110 lb" in text, door  # 50 kg / 0.45359237 = 110.2 lb
        assert untold(desk.report.findings, text) == [], door
    over = sum(finding.kind.startswith("over") for finding in desk.report.findings)
    words = read(shown(compare(judged(desk, [FRIDAY, TRIED])), desk.units)["words"])
    assert words.count(f"; {over} over, ") == 2


def test_after_repacking_a_ticket_is_told_as_of_then(tmp_path: Path) -> None:
    """Something is left behind after the scale: no longer sure, still told everywhere; tried out or kept."""
    desk = weighed_over(tmp_path)
    heaviest = max(desk.loadout.gear, key=lambda stowed: stowed.mass_kg)
    left = replace(desk.loadout, gear=tuple(s for s in desk.loadout.gear if s is not heaviest))
    for kept in (False, True):
        if kept:
            desk.season.stow(FRIDAY, heaviest.item.key, None)
            desk.reload()
        else:
            desk.try_out(loadout=left)
        for door, text in doors(desk).items():
            assert "? Over its limit on the scale, as it was loaded then: Gross vehicle weight rating" in text, door
            assert "or may be, by what is assumed" in text, door


# One place ------------------------------------------------------------------------------------------------

VERDICT = re.compile(
    r"exceeded|\bratings? (is|are)($| over)|\bnone (is )?over|\bnothing is (judged|over)", re.IGNORECASE
)


def test_one_file_composes_the_verdict() -> None:
    """No other file of the workbook says that ratings are over, that none is, or that nothing is judged."""
    said = {
        (str(path.relative_to(ROOT)), text)
        for path in sorted((ROOT / "workbook").rglob("*.py"))
        if path.parent.name != "launcher"  # which knows no departure; a disk's quota may be exceeded there
        for text in _constants(path)
        if VERDICT.search(text)
    }

    assert {file for file, _ in said if "desk/findings_words.py" not in file} == set(), said
    assert any("desk/findings_words.py" in file for file, _ in said)  # else it looks for the wrong words


def _constants(path: Path) -> list[str]:
    """Each text that a file may say: its string constants without docstrings."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    told = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
        and node.body
        and isinstance(node.body[0], ast.Expr)
    }
    return [
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in told
    ]
