"""The text that stands beside the figures of the loadout page, and where we stand."""

from __future__ import annotations

from loadcalc.checks import Judgment
from loadcalc.model.quantities import Units
from workbook.panels.desk.findings_words import finding_lines, headline
from workbook.panels.desk.ratings_words import center, next_tightest
from workbook.panels.loadout.height_words import height_sentence
from workbook.panels.stability.stability_words import parked_sentence, tip_sentence


def verdict(judgment: Judgment, units: Units) -> str:
    """The verdict, and what is tightest beside it: what stands above the chart."""
    return "\n".join(filter(None, (headline(judgment, units), next_tightest(judgment, units))))


def standing(judgment: Judgment, units: Units) -> str:
    """Where you stand: the verdict, then everything that is the matter, in order of weight."""
    return "\n".join((verdict(judgment, units), *finding_lines(judgment.findings, units)))


def summary(judgment: Judgment, units: Units) -> str:
    """The text of the loadout page: where you stand, and how the load stands on the vehicle."""
    return f"{standing(judgment, units)}\n{stance(judgment, units)}"


def stance(judgment: Judgment, units: Units) -> str:
    """Where the load sits, how tall it is, when it tips."""
    said = (
        center(judgment, units),
        height_sentence(judgment, units),
        tip_sentence(judgment),
        parked_sentence(judgment, units),
    )
    return "\n".join(filter(None, said))
