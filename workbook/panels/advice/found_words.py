"""What the questions about a loadout found, in words and numbers: the curve, what to leave, why not, single moves."""

from __future__ import annotations

import math
from collections.abc import Sequence

from loadcalc.checks import Judgment
from loadcalc.model.quantities import Units
from loadcalc.plan.advice.answers import LEGAL
from loadcalc.plan.advice.leave import CLOSE_KG, Leave
from loadcalc.plan.advice.plan import Plan
from loadcalc.plan.advice.problem import RATING, ROOM, UNKNOWN, ProgramRow
from loadcalc.plan.advice.rearrange import CLOSE_M, Point
from loadcalc.plan.advice.why import Short, WhyNot
from workbook.panels.advice.advice_words import BUTTONS, NO_MOVES
from workbook.panels.advice.unknown_words import counted, more, opened_words
from workbook.panels.desk.findings_words import headline

HEIGHT_DOUBT_M = 0.02  # of the empty vehicle's center of gravity, estimated by a rule of thumb; from memory [m]


def curve_rows(points: Sequence[Point], height_m: float, units: Units) -> list[tuple[str, str, str, str]]:
    """Rows: at most so many moves, height of the center, how much lower than now, how sure."""
    costs = [point.found.cost for point in points if point.found.assign is not None]
    heights = iter(same_decimals([units.length_number(cost) for cost in costs]))
    lower = iter(same_decimals([units.length_number(abs(height_m - cost)) for cost in costs]))
    rows = []
    for point in points:
        if point.found.assign is None:
            rows.append(
                (str(point.moves), "—", "—", "none within ratings" if point.found.proven else "not known")
            )
            continue
        up, less = (f"{next(numbers)} {units.length_unit}" for numbers in (heights, lower))
        word = " higher" if _higher(point.found.cost, height_m, units) else ""
        rows.append((str(point.moves), up, less + word, sure_words(point, units)))
    return rows


def _higher(cost_m: float, height_m: float, units: Units) -> bool:
    """Whether a plan within ratings is higher than what is over now, by what can be read off."""
    return cost_m > height_m and units.length(cost_m - height_m) != units.length(0.0)


def same_decimals(numbers: Sequence[str]) -> list[str]:
    """Numbers of one column with as many decimals as the longest of them: 31 beside 31.1 is 31.0."""
    split = [number.partition(".") for number in numbers]
    most = max((len(decimals) for _, _, decimals in split), default=0)
    return [f"{whole}.{decimals:0<{most}}" if most else whole for whole, _, decimals in split]


def sure_words(point: Point, units: Units) -> str:
    """How near to the lowest a point of the curve is."""
    if point.found.proven:
        return f"the lowest, to {close_words(units)}"
    gap_m = point.found.cost - point.found.bound
    if not math.isfinite(gap_m):
        return "how much lower is possible is not known"
    shown = units.scale("length")
    step_m = 2.0 * shown.half_digit(0.0)
    return f"at most {shown.text(math.ceil(gap_m / step_m - 1e-6) * step_m)} lower is possible"


def close_words(units: Units) -> str:
    """How near to the lowest is near enough: 1 mm, or 0.04 in."""
    return f"{units.scale('length').value(CLOSE_M):.1g} {units.length_unit}"


def doubt_words(cg_height_from: str, units: Units) -> str:
    """How well the heights are known, of which the curve tells each millimeter."""
    return (
        f"All heights rest on that of the empty vehicle ({cg_height_from or 'nobody said from where'}). An estimate of "
        f"it is easily {units.length(HEIGHT_DOUBT_M)} off (from memory), in every row alike: what moves win is known "
        "better than how high it ends."
    )


def curve_words(points: Sequence[Point], height_m: float, units: Units, *, eased: bool) -> str:
    """The curve in a sentence or two."""
    found = [point for point in points if point.found.assign is not None]
    if not found:
        return "No plan was found in this time."
    first = found[0]
    said = []
    if eased:
        said.append(
            f"{NO_MOVES}; “{BUTTONS[LEGAL]}” tells what would. These plans make no rating worse; "
            "what is over stays over."
        )
    elif first.moves:
        fewer = "Without a move" if first.moves == 1 else f"With fewer than {first.moves} moves"
        said.append(f"{fewer}, nothing is within ratings.")
    low_m = found[-1].found.cost
    # More moves than these gain nothing that can be read off.
    enough = next(point for point in found if units.length(point.found.cost) == units.length(low_m))
    if units.length(height_m - low_m) == units.length(0.0):
        most = counted(found[-1].moves, "move")
        said.append(f"With at most {most} the center of gravity stays {units.length(height_m)} up.")
    elif _higher(low_m, height_m, units):
        said.append(
            f"The center of gravity is {units.length(height_m)} up now; within ratings it is at least "
            f"{units.length(low_m)} up."
        )
    else:
        said.append(
            f"The center of gravity is {units.length(height_m)} up now; "
            f"{counted(enough.moves, 'move')} can bring it down to {units.length(low_m)}."
        )
    return " ".join(said)


def leave_words(
    leave: Leave, now: Judgment, units: Units, fewest: Sequence[Plan], least: Plan | None
) -> str:
    """What "What stays home" found: the fewest things and the least mass, for they differ; now : as it is."""
    if not fewest and least is None:
        return (
            "That things stay home is not enough, as long as nothing else is moved and what must come comes."
        )
    if fewest and not fewest[0].left:
        return f"{headline(now, units)} Every thing rides where it may, so advice leaves nothing home."
    said = []
    if fewest:
        said.append(f"With nothing moved, {counted(len(fewest[0].left), 'thing')} must stay home at least.")
    if least is not None:
        kg = sum(step.mass_kg for step in least.left)
        said.append(
            f"The least mass that will do is {units.mass(kg)} (to {units.mass(CLOSE_KG)}), "
            f"in {counted(len(least.left), 'thing')}."
        )
    if not all(found.proven for found in (*leave.fewest, leave.least_mass)):
        said.append("Time ran out before it was sure that less won't do.")
    said.append("What must come is kept, and so are containers with what is in them.")
    return " ".join(said)


def short_words(short: Short, units: Units) -> str:
    """By how much one limit would have to give."""
    if short.kind == RATING:
        return f"{short.name}: over by {units.mass(short.over)}, {short.share:.0%} of its limit."
    if short.kind == UNKNOWN:
        return f"{short.name}: {more(short.over, units)} more, limit not known."
    if short.kind == ROOM:
        return f"{short.name}: short by {units.volume(short.over)}."
    return f"{short.name}: outside the balance target by {short.share:.0%} of it."


def clash_words(clash: Sequence[ProgramRow]) -> str:
    """Which limits can't all hold; the room in many zones in one word."""
    said = [
        row.name[0].lower() + row.name[1:] if row.kind != RATING else row.name
        for row in clash
        if row.kind != ROOM
    ]
    rooms = [row.name.removeprefix("Room in ") for row in clash if row.kind == ROOM]
    if rooms:
        said.append(f"the room in {', '.join(rooms)}")
    return "; ".join(said)


def why_words(why: WhyNot, units: Units, must_come: Sequence[str]) -> str:
    """Why nothing works, in sentences."""
    said = [f"{name} is over, and nothing that rides changes it." for name in why.beyond]
    said += [f"No zone may take {name}: {'; '.join(reasons)}." for name, reasons in why.homeless]
    if why.works:
        return (
            "What comes along can be arranged so that every known limit is kept and nothing is added where none is "
            "known: press “Bring it within ratings”."
        )
    if why.short:
        said.append("However things are moved, something stays over. The least that would have to give:")
        said += [short_words(short, units) for short in why.short]
        total = sum(short.share for short in why.short)
        known = all(short.kind != UNKNOWN for short in why.short)
        if known and f"{why.least:.0%}" != f"{total:.0%}":
            said.append(
                f"Whatever is moved, at least {why.least:.0%} stays over, the parts of all limits added up."
            )
    said += opened_words(why.instead, units)
    if why.clash:
        each = " If any one of these gave way, it could be done." if len(why.clash) > 1 and why.proven else ""
        said.append(f"These can't all be kept at once: {clash_words(why.clash)}.{each}")
    if not why.proven:
        said.append("Time ran out before all of this was proven.")
    if must_come:
        said.append(f"Marked as must come: {', '.join(must_come)}.")
    return "\n".join(said) or "Time ran out before a reason was found."


def single_words(count: int, *, relief: bool, over: bool) -> str:
    """What the list of single moves is ranked by."""
    if not count:
        return (
            "No single move takes anything off what is over without putting something else over."
            if over
            else "No single move brings the center of gravity down and keeps every known limit."
        )
    by = "what it takes off what is over" if relief else "how far it brings the center of gravity down"
    said = f"Ranked by {by}, for the effort of lifting it and of handling it at all."
    if over and not relief:
        return f"No single move helps what is over. {said} None makes a rating worse."
    return said
