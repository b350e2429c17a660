"""What is known of each rating's margin of error, as sentences and table rows in the reader's units."""

from __future__ import annotations

from loadcalc.checks import Judgment, Report
from loadcalc.model.quantities import Units
from loadcalc.plan.doubt import Doubt, RatingDoubt
from loadcalc.plan.draws import Drawing, draw
from workbook.panels.desk.findings_words import not_judged, not_known
from workbook.panels.desk.ratings_words import idle

FIRST = 3  # things to weigh first
MOST_ROWS = 12


def chance_words(chance: float | None) -> str:
    """A chance as a person reads it; never 0% or 100% where a margin of error is left."""
    if chance is None:
        return "limit not known"
    if chance < 0.001:
        return "less than 0.1%"
    if chance > 0.999:
        return "more than 99.9%"
    return f"{chance:.1%}" if chance < 0.10 or chance > 0.90 else f"{chance:.0%}"


def shown(drawing: Drawing, report: Report) -> list[RatingDoubt]:
    """The ratings to show, tightest first: with a known limit, something on them, and in kilograms."""
    kept = [r for r in report.ratings if r.known and r.unit == "kg" and not idle(r)]
    return [drawing.rating(r.key) for r in kept[:MOST_ROWS]]


def most_in_doubt(drawing: Drawing, report: Report) -> str | None:
    """The tightest rating whose outcome is in doubt, else the tightest of all; None when no limit is known."""
    found = shown(drawing, report)
    for told in found:
        if 0.001 < (told.chance_over or 0.0) < 0.999:
            return told.key
    return found[0].key if found else None


def interval_words(told: RatingDoubt, units: Units) -> str:
    """Between which loads nine in ten lie."""
    low, high = (units.mass_number(kg, grouped=True) for kg in (told.low_kg, told.high_kg))
    return f"{low} to {high} {units.mass_unit}"


def doubt_rows(drawing: Drawing, report: Report, units: Units) -> list[tuple[str, ...]]:
    """Rows: rating, load as entered, nine in ten lie between, limit, chance of being over, how found."""
    return [
        (
            told.name,
            units.mass(told.load_kg),
            interval_words(told, units),
            "" if told.limit_kg is None else units.mass(told.limit_kg),
            chance_words(told.chance_over),
            told.method,
        )
        for told in shown(drawing, report)
    ]


def joint_words(drawing: Drawing, report: Judgment) -> str:
    """The chance that any rating is over, jointly; of those not over as entered; how many are in no chance."""
    if not shown(drawing, report):
        return "No limit is known, so no chance of being over can be told."
    over, unknown = len(report.over), len(not_known(report))
    left_out = f" {not_judged(unknown)}, so in no chance here." if unknown else ""
    error = drawing.standard_error(drawing.any_new_over)
    how = f"simulation, {drawing.draws:,} trials, give or take {100 * error:.1g} percentage points"
    if not over:
        return f"Chance of at least one known rating being over: {chance_words(drawing.any_over)} ({how}).{left_out}"
    another = chance_words(drawing.any_new_over)
    return (
        f"Over as entered: {over}. Chance of at least one known rating being over: {chance_words(drawing.any_over)}. "
        f"Chance that another one, within its limit as entered, is over too: {another} ({how}).{left_out}"
    )


def tenth(mass_kg: float, units: Units) -> str:
    """A mass to a tenth of a pound or kilogram: nobody knows a ± better than that."""
    scale = units.scale("mass")
    return f"{scale.value(mass_kg):.1f} {scale.unit}"


def first_words(doubt: Doubt, key: str, units: Units) -> str:
    """What to weigh first for one rating, in a sentence."""
    found = doubt.weigh_first(key, FIRST)
    name = named_rating(doubt, key)
    if not found:
        return f"Weighing anything more would not make {name} surer."
    said = [f"{w.name}, {tenth(w.narrower_kg, units)}" for w in found]
    return f"Weigh these first, for {name}; each takes so much off its margin of error: {'; '.join(said)}."


def named_rating(doubt: Doubt, key: str) -> str:
    """A rating's name inside a sentence."""
    name = doubt.shares.rows[doubt.row(key)].name
    return name if name[:2].isupper() else name[0].lower() + name[1:]


def first_rows(doubt: Doubt, key: str, units: Units) -> list[tuple[str, ...]]:
    """Rows: thing, its own ± as it counts against the rating, what weighing it takes off, where the ± is from."""
    return [
        (
            f"{rank}",
            w.name,
            f"± {tenth(w.plus_minus_kg, units)}",
            tenth(w.narrower_kg, units),
            f"{w.share:.0%}",
            w.status,
        )
        for rank, w in enumerate(doubt.weigh_first(key, FIRST), start=1)
    ]


def doubt_words(drawing: Drawing, report: Judgment, units: Units) -> str:
    """The page's margins of error in sentences."""
    doubt = drawing.doubt
    said = [joint_words(drawing, report)]
    for told in shown(drawing, report):
        if told.in_doubt or (told.chance_over or 0.0) > 0.001:
            said.append(
                f"{told.name}: {units.mass(told.load_kg)} as entered, nine times in ten "
                f"{interval_words(told, units)}; chance of being over {chance_words(told.chance_over)} ({told.method})."
            )
    key = most_in_doubt(drawing, report)
    if key is not None:
        said.append(first_words(doubt, key, units))
    return "\n".join(said)


def page_words(report: Judgment, units: Units) -> str:
    """The same for a report, with the draws of a freshly opened page."""
    return doubt_words(draw(Doubt(report.shares)), report, units)
