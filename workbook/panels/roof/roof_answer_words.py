"""What the roof page says above the verdict: straps, lifts, and what a rack with nothing laid out needs."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from loadcalc.checks import Finding, Judgment
from loadcalc.checks.findings.finding import LIFT, LOOSE, TIED
from loadcalc.plan.roof_layout.deck import things_on
from workbook.panels.desk.palette import MARKS

Words = Callable[[Sequence[Finding]], str]
LAY_OUT = "Nothing is laid out yet: drag the boxes onto the rack, or open “Can the page lay it out for me?”."
NO_RACK = "No roof rack rides along: enter one on page 01, and tick that it is on the vehicle on page 03."
NO_STRAPS = "No strap is entered yet, so nothing is known of how it holds: open “How is it tied down?”."


def roof_lead(judgment: Judgment) -> list[str]:
    """Return what is wrong or not known of straps and lifts, counted: names and cures are among the findings below."""
    loadout = judgment.shares.loadout
    things = things_on(loadout) if loadout.carrier else ()
    said = [*_marked(judgment.findings, (LOOSE, TIED), strap_words), *_marked(judgment.findings, (LIFT,), lift_words)]
    if loadout.carrier is None:
        said.append(NO_RACK)
    if things and not loadout.straps:
        said.append(NO_STRAPS)
    if things and all(thing.place is None for thing in things):
        said.append(LAY_OUT)
    return said


def strap_words(found: Sequence[Finding]) -> str:
    """How many things are tied to nothing, how many groups too little, and of how many groups nobody knows."""
    loose = sum(finding.kind == LOOSE for finding in found)
    short = sum(finding.kind == TIED and finding.is_bad for finding in found)
    unknown = len(found) - loose - short
    said = [f"{_many(loose, 'thing')} outside tied to nothing"] * bool(loose)
    said += [f"{_many(short, 'group')} not tied enough"] * bool(short)
    said += [f"{_many(unknown, 'group')} of which it is not known whether the straps are enough"] * bool(unknown)
    return f"Straps: {'; '.join(said)}."


def lift_words(found: Sequence[Finding]) -> str:
    """How many lifts are more than one person is asked for, and how many the equation gives no number for."""
    heavy = sum(finding.is_bad for finding in found)
    said = [f"{heavy} more than one person is asked for"] * bool(heavy)
    said += [f"{len(found) - heavy} without a number"] * (len(found) > heavy)
    return f"Lifts: {'; '.join(said)}. Get help."


def _marked(findings: Sequence[Finding], kinds: Sequence[str], words: Words) -> list[str]:
    found = [finding for finding in findings if finding.kind in kinds]
    mark = MARKS["over" if any(finding.is_bad for finding in found) else "not known"]
    return [f"{mark} {words(found)}"] if found else []


def _many(count: int, what: str) -> str:
    return f"{count} {what}" if count == 1 else f"{count} {what}s"
