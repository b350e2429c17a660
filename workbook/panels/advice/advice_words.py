"""Plans in words and numbers, in the reader's units. Plain functions: a plan in, sentences and rows out."""

from __future__ import annotations

from collections.abc import Sequence

from loadcalc.checks import Judgment
from loadcalc.model.quantities import Units
from loadcalc.plan.advice.allowed import AdviceRules
from loadcalc.plan.advice.answers import (
    EASED,
    LEAVE,
    LEAVING_TOO,
    LEGAL,
    LOWER,
    SINGLE,
    WHY,
    Within,
    lower_so_far,
)
from loadcalc.plan.advice.plan import Plan, PlanStep, RatingChange
from loadcalc.plan.advice.rearrange import MOST_MOVES
from workbook.panels.advice.unknown_words import counted, more, opened_words, spent_words
from workbook.panels.desk.findings_words import headline
from workbook.panels.desk.ratings_words import percent, room

BUTTONS = {
    LEGAL: "Bring it within ratings",
    LOWER: "Lower it",
    LEAVE: "What stays home",
    WHY: "Why not",
    SINGLE: "Single moves",
}
HINTS = {
    LEGAL: "The fewest moves that bring each known rating within its limit, with nothing added where none is known",
    LOWER: "The lowest center of gravity for each number of moves",
    LEAVE: "The smallest sets of things that must stay home, when nothing is moved",
    WHY: "Which limits stand in the way, and by how much, when things are only moved",
    SINGLE: "One move at a time, by what it wins for the effort",
}
LOOKING = {
    LEGAL: "Looking for the fewest moves",
    LOWER: "Looking for the lowest center of gravity",
    LEAVE: "Counting what could stay home",
    WHY: "Looking for what stands in the way",
    SINGLE: "Judging every single move",
}
CAREFUL = (
    "A plan is arithmetic. Room is judged by boxes, not by packing: see that a thing fits and can be tied down "
    "where it is to go. Makers' ratings and local law come first."
)
NO_MOVES = f"No {MOST_MOVES} moves bring it within ratings"
MOST_NAMED = 3
MOST_EFFECTS = 8
UNMOVED = 1e-6


def size_words(plan: Plan) -> str:
    """How large a plan is: "2 moves, 1 thing stays home"."""
    said = []
    if plan.moves:
        said.append(counted(len(plan.moves), "move"))
    if plan.left:
        said.append(f"{counted(len(plan.left), 'thing')} {'stays' if len(plan.left) == 1 else 'stay'} home")
    return ", ".join(said) or "nothing to do"


def step_words(step: PlanStep, units: Units) -> str:
    """One move, or one thing that stays home."""
    mass = units.mass(step.mass_kg)
    if not step.zone_to:
        return f"Stays home: {step.name} ({mass}), from {step.zone_from}."
    return f"Move: {step.name} ({mass}), {step.zone_from} → {step.zone_to}."


def effect_words(change: RatingChange, units: Units) -> str:
    """What a plan does to one rating."""
    before, after = change.before, change.after
    return f"{after.name}: {percent(before)} → {percent(after)}, {room(after, units)}."


def effects(plan: Plan, units: Units) -> list[str]:
    """A sentence for each rating that changes notably, those that are or were over first, then by size."""
    notable = [change for change in plan.changes if change.notable]
    notable.sort(key=lambda change: not (change.before.over or change.after.over))
    said = [effect_words(change, units) for change in notable[:MOST_EFFECTS]]
    if len(notable) > MOST_EFFECTS:
        more = len(notable) - MOST_EFFECTS
        said.append(f"{more} more {'rating changes' if more == 1 else 'ratings change'}: see the table.")
    return said


def center_words(plan: Plan, units: Units) -> str:
    """What a plan does to the center of gravity."""
    height = units.length(plan.after.cg.up_m)
    if units.length(abs(plan.lower_m)) == units.length(0.0):
        return f"The center of gravity stays {height} up."
    word = "lower" if plan.lower_m > 0 else "higher"
    return f"The center of gravity is {units.length(abs(plan.lower_m))} {word}, {height} up."


def steps_words(plan: Plan, units: Units) -> str:
    """What a plan does, one step a line."""
    return "\n".join(step_words(step, units) for step in plan.steps)


def outcome_words(plan: Plan, after: Judgment, units: Units) -> str:
    """What a plan does to each rating that changes notably, to the center, to limits that nobody knows; the verdict.

    after : the departure as the plan would leave it, with all that the season knows of it.
    """
    said = [*effects(plan, units), center_words(plan, units), *spent_words(plan, units)]
    return "\n".join([*said, f"After it: {headline(after, units)}"])


def before_after(plan: Plan, units: Units) -> list[tuple[str, ...]]:
    """Rows: rating, before, after, change, what is left.

    What is added where no limit is known comes first, then each known rating that changes at all or is over.
    """
    rows: list[tuple[str, ...]] = [
        (
            one.name,
            units.mass(one.after_kg - one.added_kg),
            units.mass(one.after_kg),
            f"+{more(one.added_kg, units)}",
            "? not known",
        )
        for one in plan.added
    ]
    for change in plan.changes:
        before, after = change.before, change.after
        if abs(change.share) > UNMOVED or after.over:
            mark = "▲ " if after.over else ""
            moved = units.mass_change(change.more) if after.unit == "kg" else ""
            rows.append((after.name, percent(before), mark + percent(after), moved, room(after, units)))
    return rows


def note(plan: Plan) -> str:
    """What the ledger calls a plan."""
    moves = [f"{step.name} to {step.zone_to}" for step in plan.moves]
    left = [step.name for step in plan.left]
    if len(moves) + len(left) > MOST_NAMED:
        return f"Advice: {size_words(plan)}"
    said = [*(f"move {move}" for move in moves), *(f"{name} stays home" for name in left)]
    return f"Advice: {'; '.join(said)}"


def within_words(plan: Plan | None, answer: Within, now: Judgment, units: Units) -> str:
    """What "Bring it within ratings" found; `plan` is the answer's, judged anew; now : the departure as it is."""
    if plan is None:
        return "Nothing that may be moved or stay home brings it within ratings."
    if not plan.steps:
        return f"{headline(now, units)} Every thing rides where it may, so advice moves nothing."
    said = []
    if answer.leaving:
        brings = "No rearrangement alone brings it within ratings"
        none = brings if answer.sure else "No rearrangement within ratings was found in time"
        said.append(
            f"{none}, so as little as can be stays home and the rest is moved: {size_words(plan)}{by_known(plan)}."
        )
    else:
        said.append(f"{size_words(plan).capitalize()} will do{by_known(plan)}.")
    if not answer.found.proven:
        said.append("Time ran out before it was sure that fewer won't do.")
    return "\n".join([" ".join(said), *opened_words(answer.instead, units)])


def by_known(plan: Plan) -> str:
    """That a plan is one by the known limits only, when it adds to others as well."""
    if not plan.added:
        return ""
    others = "1 rating without one" if len(plan.added) == 1 else f"{len(plan.added)} ratings without one"
    return f" by the known limits; it adds to {others}, as you allowed"


def rules_words(rules: AdviceRules, units: Units) -> str:
    """What advice keeps to besides the ratings, and that these are wishes."""
    weight = {"lb": "pound", "kg": "kilogram"}[units.mass_unit]
    room = f"{units.volume(rules.liters_per_kg * units.scale('mass').si(1.0))} a {weight}"
    return (
        "Beside the ratings each plan keeps to these planning figures: a zone is at most "
        f"{rules.fill:.0%} full by the boxes of what is in it, or no fuller than now; "
        f"a thing without a size takes {room}; "
        f"the center of gravity ends at most {units.length(rules.side_m)} off the center line (the balance "
        "target), or no further off; "
        f"what must stay low rides at most {units.length(rules.low_above_cg_m)} above the empty vehicle's center of "
        "gravity and not on the roof; fuel and gas ride outside the cabin; "
        f"handling a thing once counts as much as lifting {units.mass(rules.handling_kg)}."
    )


def progress_words(kind: str, said: Sequence[object], elapsed_s: float, limit_s: float) -> str:
    """What is going on, while it does."""
    points = lower_so_far(said).found
    looking = LOOKING[kind]
    if LEAVING_TOO in said:
        looking = "No rearrangement alone was found to be within ratings; looking at what could stay home too"
    if EASED in said:
        looking = f"{NO_MOVES}; looking for lower arrangements that make nothing worse"
    done = f", {len(points)} points of the curve found" if points else ""
    return f"{looking} … {elapsed_s:.0f} s of at most {limit_s:.0f} s{done}."
