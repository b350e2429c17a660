"""The workshop guide's text in parts, and its numbers with their units, for the tests that keep it true."""

from __future__ import annotations

import re

from loadcalc.checks.tires.inflation import KPA_PER_PSI
from tests.season_help import ROOT

GUIDE = (ROOT / "docs" / "workshop.md").read_text(encoding="utf-8")
LB, IN = 0.45359237, 0.0254
PER = {"lb": LB, "kg": 1.0, "in": IN, "mm": 0.001, "psi": KPA_PER_PSI, "%": 0.01, "°": 1.0, "": 1.0}
NUMBER = r"\d[\d,]*(?:\.\d+)?"
EXERCISE = re.compile(r"^\* Exercise\.(.*?)(?=^\* Take home)", flags=re.MULTILINE | re.DOTALL)
SUM = re.compile(r"`([^`]* = [^`]*)`")
WITH_UNIT = re.compile(rf"({NUMBER})\s?(lb|kg|in|mm|psi|gal|%|°)(?![\w])")
SECTIONS = {part.splitlines()[0]: part for part in re.split(r"^## ", GUIDE, flags=re.MULTILINE)[1:]}
LESSONS = {title: text for title, text in SECTIONS.items() if title.startswith("Lesson")}


def value_of(text: str) -> float:
    """A number as it is printed, with thousands marks."""
    return float(text.replace(",", ""))


def half_digit(text: str) -> float:
    """Half of the last printed digit."""
    return 0.5 * 10.0 ** -len(text.partition(".")[2]) * (1 + 1e-6)


def rows_of(text: str) -> list[tuple[str, str, str]]:
    """The readings of a lesson's table, one by one: "gross: limit; left" is "gross, limit" and "gross, left"."""
    found = re.findall(r"^\| (.+?) \| (.+?) \| (.+?) \|$", text, flags=re.MULTILINE)
    readings = []
    for step, what, values in found:
        if step not in ("step", "---"):
            of, colon, rest = what.rpartition(": ")
            names = [f"{of}, {name}" if colon else name for name in rest.split("; ")]
            readings += [(step, *pair) for pair in zip(names, values.split("; "), strict=True)]
    return readings
