"""How one group of things on board is tied down."""

from __future__ import annotations

from dataclasses import dataclass

from loadcalc.model import check
from loadcalc.model.errors import BadValue
from loadcalc.model.facts import fact_rows

OVER, DIRECT = "over the top", "direct"
WAYS = (OVER, DIRECT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Strapping:
    """How one group is tied down.

    key : of the group; name : as people call it. straps : how many, all of one kind.
    way : "over the top" (the strap presses the load down) or "direct" (from the load to a tie point).
    angle_deg : between strap and bed, 90 is straight down [deg].
    aside_deg : for direct straps, seen from above: 0 along the vehicle, 90 across [deg].
    tension_n : what the ratchet leaves in the strap (STF on its label), None when not known [N].
    wll_kg : working load limit of a strap as a whole, None when not known [kg]. anchor_wll_kg : of the weakest tie
    point used, None when not known [kg].
    surfaces : a pair from the friction table, "" when not known. blocked : stands against a rail or headboard in front.
    flat : wind gets under it. extra_factor : more than the road asks, for rough ground; entered by hand [-].
    """

    key: str
    name: str
    straps: int = 0
    way: str = OVER
    angle_deg: float = 90.0
    aside_deg: float = 45.0
    tension_n: float | None = None
    wll_kg: float | None = None
    anchor_wll_kg: float | None = None
    surfaces: str = ""
    blocked: bool = False
    flat: bool = False
    extra_factor: float = 1.0

    def __post_init__(self) -> None:
        check.name("tied group", self.name)
        check.number("straps", self.straps, 0, 50, "", self.name)
        check.one_of("way", self.way, WAYS, self.name)
        lowest = 5.0 if self.way == OVER else 0.0
        check.number("strap angle", self.angle_deg, lowest, 90.0, "degrees from the bed", self.name)
        check.number(
            "angle seen from above", self.aside_deg, 0.0, 90.0, "degrees from fore and aft", self.name
        )
        check.number("rough-ground factor", self.extra_factor, 1.0, 3.0, "", self.name)
        for field, value, high, unit in (
            ("tension", self.tension_n, 50_000.0, "N"),
            ("working load limit", self.wll_kg, 10_000.0, "kg"),
            ("tie point's limit", self.anchor_wll_kg, 10_000.0, "kg"),
        ):
            if value is not None:
                check.number(field, value, 0.0, high, unit, self.name)
        if self.surfaces and all(self.surfaces != row["surfaces"] for row in fact_rows("friction_pairs")):
            problem, cure = "is not in the friction table", "choose one of the table, or leave it empty"
            raise BadValue("surfaces", self.surfaces, problem, cure, self.name)
