"""Formula and source of every number: docs/formulas.md is true, and the pages show its lines under their panels."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.docstring_shape import OFFERED, judges
from tests.season_help import demo_season
from tests.store_formulas import TARGET, text, used_on
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.formulas_words import entry, fold
from workbook.panels.roof.bars import bars_panel
from workbook.panels.roof.gas import gas_panel
from workbook.panels.roof.lifting import lifting_panel
from workbook.panels.stability.stability import Tilt, angles_view, wheels_view

KEPT = TARGET.read_text(encoding="utf-8")


def test_the_page_of_formulas_is_up_to_date() -> None:
    """docs/formulas.md is what the docstrings and the pages say now; else: python3 -m tests.store_formulas."""
    assert text() == KEPT


@pytest.mark.parametrize("name", [name for name, function in OFFERED.items() if not judges(function)])
def test_every_offered_function_has_its_line(name: str) -> None:
    """One line a function, found by its anchor: signature, formula, source, status, page."""
    lines = [line for line in KEPT.splitlines() if f'<a id="{name}"></a>' in line]
    assert len(lines) == 1
    cells = [cell.strip().replace(r"\|", "|") for cell in re.split(r"(?<!\\)\|", lines[0])[1:-1]]

    assert len(cells) == 5
    assert all(cells)
    assert f"`{name}(" in cells[0]
    assert cells[1].startswith(entry(name).formula)
    assert cells[1].endswith(entry(name).range)
    assert cells[2:4] == [entry(name).source, entry(name).status]


def test_other_pages_link_to_lines_that_are_there() -> None:
    """Each link into docs/formulas.md ends at an anchor or a heading of it."""
    pages = TARGET.parent.glob("*.md")
    linked = {
        name for page in pages for name in re.findall(r"\(formulas\.md#(\w+)\)", page.read_text("utf-8"))
    }
    there = {
        *re.findall(r'<a id="(\w+)"', KEPT),
        *(head.lower() for head in re.findall(r"^## (\w+)$", KEPT, re.M)),
    }

    assert len(linked) > 4
    assert linked <= there


def test_pages_name_only_functions_that_are_offered() -> None:
    """What the panels name is offered by `loadcalc.checks`, and the pages that compute by formulas show some."""
    pages = {page for shown in used_on().values() for page in shown}

    assert set(used_on()) <= set(OFFERED)
    assert {"01", "03", "04", "05", "06", "07"} <= pages
    assert used_on()["tip_angles"][0] == "04"
    assert used_on()["recommended_limit_kg"] == ["05"]


def test_a_fold_shows_formula_source_and_status() -> None:
    """As HTML with nothing unescaped, closed until somebody opens it, with what to type in Python."""
    shown = fold(["lift_multipliers", "tip_margin_deg"])

    assert shown.startswith("<details class='loadout-formulas'><summary>Formula and source</summary>")
    assert "VM = 1 − 0.3 · |V − 0.75|" in shown
    assert "DHHS (NIOSH) 94-110" in shown
    assert "Status: published; FM, table 5, corroborated; CM, table 7, from memory" in shown
    assert "<code>loadcalc.checks.lift_multipliers(lift, form)</code>" in shown
    assert "<code>tip_limit_deg</code> in the direction of the slope" in shown
    assert "`" not in shown


def test_panels_carry_their_fold(tmp_path: Path) -> None:
    """Under the panel itself, for what its numbers come from."""
    with demo_season(tmp_path) as season:
        desk, tilt = Desk(season), Tilt()
        panels = {
            "T / (2 · H)": angles_view(desk, tilt),
            "front = m ((L − a) cos θ − h sin θ) / L": wheels_view(desk, tilt),
            "left = bar / 2 + moment / (2 · half span)": bars_panel(desk),
            "23 kg · HM · VM · DM · AM · FM · CM": lifting_panel(desk),
            "by weight 0.42 · WC": gas_panel(desk),
        }
        under = {formula: panel.children[-1].value for formula, panel in panels.items()}

    for formula, shown in under.items():
        assert f"<b>{formula}" in shown
        assert "role='status'" not in shown  # it is read when it is opened, not called out
