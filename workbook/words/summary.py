"""The text that stands beside the figures of the loadout page."""

from __future__ import annotations

from loadcalc.checks import Report
from loadcalc.checks.gas import hazards
from loadcalc.model.quantities import Units
from workbook.words import gas
from workbook.words.ratings import center, next_tightest, unknowns, verdict
from workbook.words.stability import tip_sentence


def summary(report: Report, units: Units) -> str:
    """The text beside the figures: what is over, what is tight, what is not known, where it sits, when it tips."""
    said = (
        verdict(report, units),
        gas.cautions(hazards(report.shares.loadout)),
        next_tightest(report, units),
        unknowns(report),
        center(report, units),
        tip_sentence(report),
    )
    return "\n".join(filter(None, said))
