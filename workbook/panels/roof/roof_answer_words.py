"""What the roof page says first: nothing laid out yet, limits that are over or not known, straps, and lifts."""

from __future__ import annotations

from loadcalc.checks import Finding, Judgment
from loadcalc.checks.findings.finding import LIFT, ROOF
from loadcalc.model.quantities import Units
from loadcalc.plan.roof_layout.deck import things_on
from workbook.panels.desk.findings_words import about, finding_lines
from workbook.panels.desk.palette import MARKS

HERE = f" (page {ROOF})"  # no reader of this page needs to be sent to it
LAY_OUT = (
    "Nothing is laid out yet, so each thing counts at the middle of its zone. Drag the boxes onto the roof rack, or "
    "open “Can the page lay it out for me?” below."
)
NO_STRAPS = "No strap is entered yet, so nothing is known of how this load is held: open “How is it tied down?” below."


def roof_lead(judgment: Judgment, units: Units) -> list[str]:
    """Return what is over or not known of roof, rack, bars, straps, and lifts, worst first; then what comes next."""
    loadout = judgment.shares.loadout
    mine = [finding for finding in judgment.findings if finding.page == ROOF]
    others = [finding for finding in mine if finding.kind != LIFT]
    said = [*about(judgment, units, "roof").splitlines(), *finding_lines(others, units), *lift_lines(mine)]
    said = [line.replace(HERE, "") for line in said]
    said.sort(key=lambda line: not line.startswith(MARKS["over"]))
    things = things_on(loadout) if loadout.carrier else ()
    if things and not loadout.straps:
        said.append(NO_STRAPS)
    if things and all(thing.place is None for thing in things):
        said.append(LAY_OUT)
    return said


def lift_lines(findings: list[Finding]) -> list[str]:
    """Return how many lifts are too much for one person, and how many have no number; their names stand in a part."""
    lifts = [finding for finding in findings if finding.kind == LIFT]
    heavy = sum(finding.is_bad for finding in lifts)
    said = []
    if heavy:
        said.append(f"{MARKS['over']} {_lifts(heavy)} more than one person is asked for: get help.")
    if len(lifts) > heavy:
        said.append(
            f"{MARKS['not known']} {_lifts(len(lifts) - heavy)} outside the lifting equation: get help; nobody lifts "
            "onto a roof alone."
        )
    return said


def _lifts(count: int) -> str:
    return f"{count} lift is" if count == 1 else f"{count} lifts are"
