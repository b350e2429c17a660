"""Rows that add up the rows above them. A row is only left out when the sum really is there."""

from __future__ import annotations

import math
import re

from loadcalc.model.quantities import Units
from loadcalc.season.lists.gear_rows import ItemDraft

_ONLY = re.compile(
    r"(?:sub ?-?|grand )?totals?:?|sum:?|total (?:weight|mass|load|gear|items?|lbs?|kg)\b.*|overall", re.I
)
_ENDS = re.compile(r".*\b(?:sub-?)?totals?:?|sub-?total .*", re.I)
_BEGINS = re.compile(r"totals?\b.*", re.I)
CLOSE = 0.005  # a printed total may be rounded, and so may be the rows above it


class Above:
    """The masses of the item rows so far, each piece and each line, and where the last subtotal stood."""

    def __init__(self, units: Units) -> None:
        self.units = units
        self.each: list[float] = []
        self.line: list[float] = []
        self.start = 0
        self.counts_line: bool | None = None

    def add(self, draft: ItemDraft) -> None:
        """Count an item row in. One without a usable mass adds nothing, as in the file's own sum."""
        count = 1 if draft.count is None else draft.count
        listed = draft.listed.mass_kg if draft.listed else None
        total = draft.total.mass_kg if draft.total else None
        if listed is None and total is None:
            return
        self.each.append(listed if listed is not None else total or 0.0)
        self.line.append(total if total is not None else (listed or 0.0) * count)

    def sum_named_by(self, draft: ItemDraft, fewest: int) -> str:
        """Return what the row's mass is the sum of, in words; "" when it is no sum of `fewest` rows."""
        for listed, title in ((draft.total, "lines"), (draft.listed, "")):
            if listed is None or listed.mass_kg <= 0:
                continue
            for start in dict.fromkeys((self.start, 0)):
                rows = len(self.each) - start
                if rows < fewest:
                    continue
                sums = (("lines", sum(self.line[start:])), ("pieces", sum(self.each[start:])))
                for what, mass_kg in sums:
                    if math.isclose(mass_kg, listed.mass_kg, rel_tol=CLOSE, abs_tol=0.03):
                        if title != "lines" and not math.isclose(sums[0][1], sums[1][1], rel_tol=CLOSE):
                            self.counts_line = what == "pieces"
                        self.start = len(self.each)
                        return f"{self.units.mass(mass_kg)}, the sum of {rows} rows above"
        return ""

    def verdict(self, draft: ItemDraft) -> tuple[str, str]:
        """Judge a row: ("total", why), ("doubtful", why), or ("item", "")."""
        name = draft.name
        if not name:
            found = self.sum_named_by(draft, 2)
            return ("total", f"has no name and holds {found}") if found else ("item", "")
        only, ends = bool(_ONLY.fullmatch(name)), bool(_ENDS.fullmatch(name))
        if not (only or ends or _BEGINS.fullmatch(name)):
            return "item", ""
        found = self.sum_named_by(draft, 1 if only else 2)
        if found:
            return "total", f"looks like a total of the rows above: {found}"
        if not (only or ends):
            return "item", ""
        if draft.listed is None and draft.total is None:
            return "total", "is called a total and holds no mass"
        return "doubtful", "is called a total, but is not the sum of the rows above"
