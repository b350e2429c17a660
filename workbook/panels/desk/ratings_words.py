"""Results in words and numbers, in the reader's units. Plain functions: a report in, sentences out."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Protocol

from loadcalc.checks import RatingResult, Report
from loadcalc.checks.ratings.report import ROUNDING
from loadcalc.checks.ratings.rows import MEASURES
from loadcalc.model import Item
from loadcalc.model.quantities import Units
from loadcalc.model.things import HOW_KNOWN

CAUTION = (
    "Makers' ratings and local law come first; this page only adds up. "
    "A rating without a known limit is not a pass. Prove the loaded vehicle on a scale."
)


def state(rating: RatingResult) -> str:
    """Return "over", "within", or "not known"."""
    if not rating.known:
        return "not known"
    return "over" if rating.over else "within"


class Held(Protocol):
    """A rating with a load, wherever that is from: the lists, or a scale."""

    @property
    def name(self) -> str:
        """What the rating is called."""

    @property
    def consumed(self) -> float | None:
        """Load over limit [-], None without a limit."""

    @property
    def over(self) -> bool:
        """Whether it is beyond a known limit."""


def percent(rating: Held) -> str:
    """Share of the limit in percent, or that it is not known."""
    return "not known" if rating.consumed is None else percent_of(rating.consumed)


def percent_of(share: float) -> str:
    """A share in percent; near the limit with the tenth that proves it, so that 100.04% never reads as 100%.

    share : load over limit [-].
    """
    if math.isinf(share):
        return "none allowed"
    if round(share * 100) != 100:
        return f"{share * 100:.0f}%"
    over = share > 1.0 + ROUNDING
    tenths = math.ceil(share * 1000 - 1e-6) if over else math.floor(share * 1000 + 1e-6)
    return f"{tenths / 10:g}%"


def amount(rating: RatingResult, value: float, units: Units) -> str:
    """A load, limit, or headroom of this rating, with its unit."""
    if rating.unit == "kg":
        return units.mass(value, grouped=True)
    count = round(value)
    return f"{count} {'person' if count == 1 else 'people'}" if rating.unit == "people" else f"{value:g}"


def room(rating: RatingResult, units: Units) -> str:
    """ "96 lb left", "over by 21 lb", "limit not known", or "load not known"."""
    left = rating.headroom
    if left is None:
        return "load not known" if rating.unjudged else "limit not known"
    if rating.over:
        return f"over by {amount(rating, -left, units)}"
    if rating.unit == "people":
        return f"{round(left)} free"
    return f"{amount(rating, max(left, 0.0), units)} left"


def named(rating: Held) -> str:
    """The rating's name as it reads inside a sentence."""
    name = rating.name
    return name if name[:2].isupper() else name[0].lower() + name[1:]


def next_tightest(report: Report, units: Units) -> str:
    """One sentence: the tightest rating that is still within its limit; nothing when none is."""
    within = [r for r in report.ratings if r.known and not r.over and r.unit == "kg"]
    if not within:
        return ""
    first = within[0]
    lead = "Next tightest" if report.over else "Tightest"
    sure = ", by what is assumed" if first.assumed else ""
    return f"{lead}: {named(first)}, {percent(first)} used, {room(first, units)} ({first.condition}{sure})."


def idle(rating: RatingResult) -> bool:
    """Whether a hitch rating has nothing on it: without a trailer there is nothing to judge."""
    return rating.group == "hitch" and not rating.load


def center(report: Report, units: Units) -> str:
    """One sentence: total, axles, and where the center of gravity went against the empty vehicle."""
    vehicle = report.shares.vehicle
    if lacks := vehicle.not_known("curb_kg", "wheelbase_m"):
        return f"What it weighs, and where, is not known: enter its {' and '.join(MEASURES[one] for one in lacks)}."
    empty, loaded = vehicle.curb_cg, report.cg
    guessed = "By what is assumed of it, it" if report.shares.margins.there else "It"
    return (
        f"{guessed} weighs {units.mass(report.mass_kg, grouped=True)}: "
        f"front axle {units.mass(report.front_axle_kg, grouped=True)}, "
        f"rear axle {units.mass(report.rear_axle_kg, grouped=True)}. "
        f"Its center of gravity is {units.length(loaded.up_m)} up, "
        f"{higher(loaded.up_m - empty.up_m, units)} than empty, and "
        f"{sideways(loaded.left_m, units)}."
    )


def higher(rise_m: float, units: Units) -> str:
    """ "3.2 in higher", "1.1 in lower", or "no higher"."""
    if units.length(abs(rise_m)) == units.length(0.0):
        return "no higher"
    return f"{units.length(abs(rise_m))} {'higher' if rise_m >= 0 else 'lower'}"


def sideways(left_m: float, units: Units) -> str:
    """ "0.9 in right of the center line", or "on the center line"."""
    if units.length(abs(left_m)) == units.length(0.0):
        return "on the center line"
    return f"{units.sideways(left_m)} of the center line"


def on_board(report: Report, units: Units) -> str:
    """The departure in a few words: people, fuel, and what can be poured."""
    loadout = report.shares.loadout
    people = sum(who.kind == "person" for who in loadout.people)
    poured: dict[str, float] = {}
    for filled in loadout.liquids:
        poured[filled.liquid.kind] = poured.get(filled.liquid.kind, 0.0) + filled.fill_l
    said = [
        f"{people} {'person' if people == 1 else 'people'}",
        f"{units.volume(loadout.fuel_l)} in the tank",
    ]
    said += [
        f"{units.volume(liters)} of {kind}{' in cans' if kind != 'water' else ''}"
        for kind, liters in poured.items()
    ]
    return f"{loadout.name}: {', '.join(said)}"


def inventory_words(gear: Sequence[Item], units: Units) -> str:
    """The inventory in a few sentences: how much there is, and how well it is known."""
    total_kg = sum(item.mass_kg * item.count for item in gear)
    how = [
        f"{known} {units.mass(sum(i.mass_kg * i.count for i in gear if i.known == known), grouped=True)}"
        for known in HOW_KNOWN
    ]
    said = [
        f"{len(gear)} kinds of things, {units.mass(total_kg, grouped=True)} if all of it came along: {', '.join(how)}."
    ]
    doubt_kg = sum(item.plus_minus_kg * item.count for item in gear)
    said.append(
        f"If all were off the same way by their ±: {units.mass(doubt_kg, grouped=True)} more or less."
    )
    return "\n".join(said)
