"""What the weigh-in page says of a ticket beside the ratings: what the scale shows to be over comes before all else."""

from __future__ import annotations

from collections.abc import Sequence

from loadcalc.checks.weighing.against_ratings import MAY_BE_OVER, NOT_KNOWN, OVER, HeldReading
from loadcalc.checks.weighing.ticket import READINGS
from loadcalc.model.quantities import Units
from workbook.panels.desk.palette import MARKS
from workbook.panels.desk.ratings_words import named, percent
from workbook.panels.weigh_in.weigh_in_words import LEAST_KG, change, whole

HELD_HEADS = ("Rating", "Scale shows", "Comes aboard later", "Limit", "Used", "Result")
LATER = HELD_HEADS.index("Comes aboard later")


def held_words(held: Sequence[HeldReading], units: Units) -> str:
    """The ticket beside the ratings: what is over first, then what the scale is too coarse for, then the rest."""
    over, unsure = ([h for h in held if h.state == state] for state in (OVER, MAY_BE_OVER))
    said = [_over_words(h, units) for h in sorted(over, key=lambda h: -(h.consumed or 0.0))]
    said += [_unsure_words(h, units) for h in unsure]
    known = [h for h in held if h.state not in (OVER, MAY_BE_OVER, NOT_KNOWN)]
    if known:
        said.append(f"Within the limit by the scale: {'; '.join(_left_words(h, units) for h in known)}.")
    missing = [named(h) for h in held if h.state == NOT_KNOWN]
    if missing:
        said.append(f"Limit not known, so the scale's reading is not judged: {'; '.join(missing)}.")
    assumed = [named(h) for h in held if h.limit.assumed]
    if assumed:
        said.append(f"Limit assumed, so no surer than that: {'; '.join(assumed)}. See page 01.")
    later_kg = max(h.aboard_later_kg for h in held)
    if _something_later(held):
        said.append(
            f"Added to what the scale showed, from the lists: what leaves with it and did not stand on the scale "
            f"(people, fuel, or a trailer's tongue weight), up to {whole(later_kg, units)}."
        )
    said.append("A scale tells nothing of the roof, the zones, the placard, or the hitch.")
    return "\n".join(said)


def _something_later(held: Sequence[HeldReading]) -> bool:
    return any(h.aboard_later_kg >= LEAST_KG for h in held)


def alarming(held: Sequence[HeldReading]) -> int:
    """How many loads are over on the scale, or may be: so many of the first sentences say it."""
    return sum(h.state in (OVER, MAY_BE_OVER) for h in held)


def _over_words(held: HeldReading, units: Units) -> str:
    by_kg = -(held.headroom_kg or 0.0)
    lead = "The scale shows an overload" if held.measured_kg > (held.limit_kg or 0.0) else "Over when it leaves"
    said = f"{lead}: {_load_words(held, units)}, over by {units.mass(by_kg)}"
    if by_kg > held.plus_minus_kg:
        return f"{said}; the scale may be wrong by ± {whole(held.plus_minus_kg, units)}."
    return f"{said}. The scale may be wrong by ± {whole(held.plus_minus_kg, units)}: count it as over."


def _unsure_words(held: HeldReading, units: Units) -> str:
    left, margin = units.mass(max(held.headroom_kg or 0.0, 0.0)), whole(held.plus_minus_kg, units)
    said = f"May be over: {_load_words(held, units)}, {left} left"
    return f"{said}. The scale may be wrong by ± {margin}, which is more: count it as over."


def _left_words(held: HeldReading, units: Units) -> str:
    left = units.mass(held.headroom_kg or 0.0)
    return f"{named(held)}, {percent(held)} used, {left} left ± {whole(held.plus_minus_kg, units)}{_assumed(held)}"


def _assumed(held: HeldReading) -> str:
    return ", limit assumed" if held.limit.assumed else ""


def _load_words(held: HeldReading, units: Units) -> str:
    load, limit = whole(held.load_kg, units), units.mass(held.limit_kg or 0.0)
    return f"{named(held)}, {load} of {limit} ({percent(held)}{_assumed(held)})"


def held_table(held: Sequence[HeldReading], units: Units) -> list[tuple[str, ...]]:
    """Heads and rows: rating, as shown with its ±, what comes aboard later if anything does, limit, share, state."""
    rows = [
        (
            h.name + (f", {_sum_words(h)}" if len(h.readings) > 1 else ""),
            f"{whole(h.measured_kg, units)} ± {whole(h.plus_minus_kg, units)}",
            change(h.aboard_later_kg, units) if abs(h.aboard_later_kg) >= LEAST_KG else "nothing",
            "not known"
            if h.limit_kg is None
            else units.mass(h.limit_kg) + (", assumed" if h.limit.assumed else ""),
            "" if h.limit_kg is None else percent(h),
            _state_words(h, units),
        )
        for h in held
    ]
    whole_table: list[tuple[str, ...]] = [HELD_HEADS, *rows]
    return whole_table if _something_later(held) else [row[:LATER] + row[LATER + 1 :] for row in whole_table]


def _state_words(held: HeldReading, units: Units) -> str:
    if held.headroom_kg is None:
        return f"{MARKS['not known']} not judged"
    room = units.mass(abs(held.headroom_kg))
    if held.state == OVER:
        return f"{MARKS['over']} over by {room}"
    return f"△ may be over: {room} left" if held.state == MAY_BE_OVER else f"within, {room} left"


def _sum_words(held: HeldReading) -> str:
    return " + ".join(READINGS[reading][0].lower() for reading in held.readings)
