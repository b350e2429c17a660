"""The text that stands beside the figures of the loadout page, and where we stand."""

from __future__ import annotations

from loadcalc.checks import Judgment
from loadcalc.model.quantities import Units
from workbook.words.findings import finding_lines, headline
from workbook.words.height import height_sentence
from workbook.words.ratings import center, next_tightest
from workbook.words.stability import parked_sentence, tip_sentence


def standing(judgment: Judgment, units: Units) -> str:
    """Where you stand: the verdict, what is tightest, then everything that is the matter, in order of weight."""
    said = (headline(judgment, units), next_tightest(judgment, units))
    return "\n".join(filter(None, (*said, *finding_lines(judgment.findings, units))))


def summary(judgment: Judgment, units: Units) -> str:
    """The text beside the figures: where you stand, where the load sits, how tall it is, when it tips."""
    said = (
        standing(judgment, units),
        center(judgment, units),
        height_sentence(judgment, units),
        tip_sentence(judgment),
        parked_sentence(judgment, units),
    )
    return "\n".join(filter(None, said))
