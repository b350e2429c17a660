"""What is said of ratings whose limit nobody knows: what a plan adds to them, what stands in the way, what is asked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from loadcalc.checks.ratings.row import RatingRow
from loadcalc.model import Loadout
from loadcalc.model.quantities import Units
from loadcalc.plan.advice.plan import Added, Plan
from loadcalc.plan.advice.problem import Problem
from loadcalc.plan.advice.unknown import Opened
from workbook.panels.desk.ratings_words import percent

ASKED = "Limit not known: may advice add to it?"
WHAT_IT_MEANS = (
    "Advice adds nothing to a rating whose limit nobody has entered: not known is not unlimited. "
    "Look the limit up and enter it (page 01; bars and feet of the roof rack on page 05). "
    "Or tick by name what advice may add to; then you judge what it can carry, and each plan says what it adds."
)
HOW = f"Enter the limit (page 01; bars and feet: page 05), or tick it by name under “{ASKED}”."
INSIDE, ROOF = "Zones inside", "Roof"
TITLES = {"vehicle": "Vehicle and axles", "tire": "Tires", "hitch": "Hitch"}
ORDER = (INSIDE, "Vehicle and axles", "Tires", "Hitch", ROOF)


@dataclass(frozen=True, slots=True, kw_only=True)
class UnknownLimit:
    """One rating that a person may allow advice to add to. title : what it is listed under."""

    key: str
    label: str
    title: str


def offers(rows: Sequence[RatingRow], loadout: Loadout) -> tuple[UnknownLimit, ...]:
    """What is asked about, once for each rating, by what it belongs to; the roof last."""
    roof = {f"zone:{zone.name}" for zone in loadout.zones if zone.on_carrier}
    hitch = {f"zone:{zone.name}" for zone in loadout.zones if zone.on_hitch}

    def title(row: RatingRow) -> str:
        if row.group == "zone" and row.key not in roof:
            return TITLES["hitch"] if row.key in hitch else INSIDE
        return TITLES.get(row.group, ROOF)

    once = {row.rating_key: row for row in rows}.values()
    found = [
        UnknownLimit(key=row.rating_key, label=row.name.removeprefix("Zone: "), title=title(row)) for row in once
    ]
    return tuple(sorted(found, key=lambda offer: ORDER.index(offer.title)))


def added_words(added: Added, units: Units) -> str:
    """How much is added to one rating, and what it carries then."""
    in_all = units.mass(added.after_kg)
    return f"{added.name}: {more(added.added_kg, units)} more, {in_all} in all, limit not known."


def more(added_kg: float, units: Units) -> str:
    """An amount that is never told as nothing."""
    least = units.scale("mass").half_digit(0.0)
    return f"less than {units.mass(2 * least)}" if added_kg < least else units.mass(added_kg)


def spent_words(plan: Plan, units: Units) -> list[str]:
    """What a plan adds to ratings without a known limit, and to those known by assumption only; nothing if nothing."""
    said = [added_words(added, units) for added in plan.added]
    if said:
        said.insert(0, "? Limit not known: as you allowed, it adds to")
    rests: dict[str, list[str]] = {}
    for one in plan.assumed:
        grown = f"{one.after.name} {more(one.more, units)} more, {percent(one.after)} used"
        rests.setdefault(one.after.assumed, []).append(grown)
    return said + [f"? Limit only assumed ({text}): {'; '.join(grown)}." for text, grown in rests.items()]


def counted(count: int, what: str) -> str:
    """ "1 move" or "3 moves"."""
    return f"{count} {what}{'' if count == 1 else 's'}"


def opened_words(opened: Opened, units: Units) -> list[str]:
    """What would do if ratings without a known limit might be added to, and how to get there; or that nothing would."""
    if not opened:
        return (
            ["Adding to ratings without a known limit would not do either."]
            if opened.asked and opened.sure
            else []
        )
    moves = counted(opened.moves, "move")
    home = f", with {counted(opened.left, 'thing')} staying home" if opened.left else ""
    return [
        f"Limits that nobody knows stand in the way. If advice might add to these, {moves} would do{home}:",
        *(added_words(added, units) for added in opened.added),
        HOW,
    ]


def kept_off_words(problem: Problem) -> str:
    """How many ratings nothing was added to because their limit is not known; nothing when there are none."""
    shut = {row.rating_key for row in problem.may_gain} - problem.rules.may_add_to
    if not shut:
        return ""
    ratings = "1 rating" if len(shut) == 1 else f"{len(shut)} ratings"
    return f"Nothing was added to {ratings} without a known limit; they are named above, under “{ASKED}”."
