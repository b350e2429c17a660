"""A finding: one thing that is the matter with a departure, and what to do about it."""

from __future__ import annotations

from dataclasses import dataclass

OVER = "over"
OVER_ASSUMED = "over by assumption"
NOT_KNOWN = "limit not known"
ASSUMED = "within by assumption"
UNCOUNTED = "place not counted"
AIR = "fuel or gas in the air"
TIED = "tie-down"
LOOSE = "not tied down"
LIFT = "lift"
PRESSURE = "tire pressure"
DUE = "check"
FIGURE = "figure not measured"
KINDS = (
    OVER, OVER_ASSUMED, NOT_KNOWN, ASSUMED, UNCOUNTED, AIR, TIED, LOOSE, LIFT, PRESSURE, DUE, FIGURE,
)  # fmt: skip  # what matters most comes first

RATINGS, GEAR, LOADOUT, TIRES, ROOF, WEIGH_IN, LEDGER = "01", "02", "03", "04", "05", "07", "08"  # pages


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing that is the matter.

    kind : one of KINDS. key : of what it is about; with the same key it is the same matter, however grave.
    what : its name; said : what is the matter, without numbers. is_bad : known to be wrong, not only unknown.
    amount, limit : how much, and how much is allowed [unit]; None where that says nothing or nobody knows.
    rests_on : where the number that decides was read, or what is taken for granted.
    cure : what to do about it; page : number of the page where that is done.
    """

    kind: str
    key: str
    what: str
    said: str
    is_bad: bool = False
    amount: float | None = None
    limit: float | None = None
    unit: str = "kg"
    rests_on: str = ""
    cure: str
    page: str

    @property
    def rank(self) -> int:
        """Where its kind stands among KINDS: 0 matters most."""
        return KINDS.index(self.kind)
