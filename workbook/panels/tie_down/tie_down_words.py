"""Tie-downs in words: what each rule set asks, what the straps give, what falls short, what nobody knows."""

from __future__ import annotations

import math
from collections.abc import Sequence

from loadcalc.checks.restraint.strapping import CFR, DIRECTIONS, friction_of
from loadcalc.checks.restraint.tied import (
    COUNT,
    COVERS,
    NOT_ASKED,
    NOT_KNOWN,
    PUBLISHED,
    SHORT,
    TOGETHER,
    WIND,
    Tied,
    Verdict,
    counted_tension_n,
    strap_limit_kg,
)
from loadcalc.model.quantities import Units
from loadcalc.model.straps import OVER
from workbook.panels.desk.palette import MARKS
from workbook.panels.tie_down.forces_words import force

WHAT = (COUNT, TOGETHER, *DIRECTIONS)
CAUTION = (
    "For planning only: it does not say that it is safe to drive. 49 CFR 393 is for commercial trucks. EN 12195-1 "
    "leaves out vehicles of 3,500 kg (7,716 lb) and less, which can brake and swerve harder, and its formulas are from "
    "memory here. Neither knows this roof rack, these rails, or this road. Makers' ratings and local law come first."
)
EDGES = (
    "Look at every strap before it is used and again after the first miles: where it runs over an edge or can chafe it "
    "needs a guard; a cut, a burn, a knot, or a bent hook ends its use. Straps over soft or rolling loads go slack."
)
MARK = {SHORT: MARKS["over"], NOT_KNOWN: MARKS["not known"], COVERS: "", NOT_ASKED: ""}
WORST_FIRST = (SHORT, NOT_KNOWN, COVERS, NOT_ASKED)


def amount(value: float | None, unit: str, units: Units) -> str:
    """Needed or given, in the reader's units."""
    if value is None:
        return "not known"
    if math.isinf(value):
        return "more than any strap"
    if unit == "straps":
        return f"{value:.0f} strap{'' if value == 1 else 's'}"
    if unit == "kg":
        return units.mass(value)
    return force(value, units) + (" a strap" if unit.endswith("a strap") else "")


def said(verdict: Verdict | None, units: Units) -> str:
    """One verdict in a cell: needed, given, the word for it, and how well it is known when it was not read."""
    if verdict is None or verdict.state == NOT_ASKED:
        return "nothing asked"
    needed, given = (amount(value, verdict.unit, units) for value in (verdict.needed, verdict.given))
    mark = f"{MARK[verdict.state]} " if MARK[verdict.state] else ""
    lacks = f": {' and '.join(verdict.lacks)}" if verdict.lacks and verdict.state == NOT_KNOWN else ""
    known = "" if verdict.status == PUBLISHED else f" ({verdict.status})"
    return f"{mark}asks {needed}, has {given}: {verdict.state}{lacks}{known}"


def rows(found: Sequence[Verdict], units: Units, rule_sets: Sequence[str]) -> list[tuple[str, ...]]:
    """One row for each thing asked, one column for each rule set side by side; a last row for the wind."""
    by_key = {(v.rule_set, v.what): v for v in found}
    table = [
        (what[0].upper() + what[1:], *(said(by_key.get((rule_set, what)), units) for rule_set in rule_sets))
        for what in WHAT
    ]
    wind = by_key.get((WIND, "up"))
    return table if wind is None else [*table, ("Wind under it", said(wind, units), "")]


def worst(found: Sequence[Verdict]) -> str:
    """The state that a group as a whole has: the worst of its verdicts."""
    return min((v.state for v in found), key=WORST_FIRST.index, default=NOT_KNOWN)


def verdict_words(found: Sequence[Verdict]) -> str:
    """A group's state in a few words, for its row of the table and for the sheet."""
    state = worst(found)
    if state == SHORT:
        short = [v for v in found if v.state == SHORT]
        where = {v.rule_set: [w.what for w in short if w.rule_set == v.rule_set] for v in short}
        told = [WIND if by == WIND else f"{', '.join(what)} ({by})" for by, what in where.items()]
        return f"{MARK[SHORT]} falls short: {'; '.join(told)}"
    if state == NOT_KNOWN:
        lacks = dict.fromkeys(lack for v in found if v.state == NOT_KNOWN for lack in v.lacks)
        return f"{MARK[NOT_KNOWN]} not known: {' and '.join(lacks)}"
    return "enough by both rule sets, for planning only"


def rests_on(tied: Tied, units: Units) -> str:
    """What a group's numbers rest on, in one sentence."""
    strapping = tied.strapping
    friction = friction_of(strapping.surfaces)
    parts = [f"friction {friction.value:g} ({friction.surfaces}; {friction.status})"]
    half = friction.by_cfr
    if half != friction:
        parts.append(f"by {CFR} friction {half.value:g} (a mat without a marking, {half.source}; {half.status})")
    limit_kg = strap_limit_kg(strapping)
    if limit_kg is not None:
        weak = "the tie point" if limit_kg == strapping.anchor_wll_kg else "the strap"
        if strapping.wll_kg is None or strapping.anchor_wll_kg is None:
            weak += ", the only one that is known"
        parts.append(f"{units.mass(limit_kg)} a tie-down ({weak})")
    tension_n = counted_tension_n(strapping)
    if strapping.way == OVER and tension_n is not None and strapping.tension_n is not None:
        capped = " (no more than the tie-down's own limit)" if tension_n < strapping.tension_n else ""
        parts.append(f"{force(tension_n, units)} in each strap{capped}")
    if strapping.extra_factor != 1.0:
        parts.append(f"× {strapping.extra_factor:g} for rough ground, entered by hand: no rule set gives one")
    return f"{units.mass(tied.mass_kg)}: {', '.join(tied.names)}. Rests on {'; '.join(parts)}."


def summary(judged: Sequence[tuple[Tied, Sequence[Verdict]]], loose: Sequence[str]) -> str:
    """Tie-downs in a few sentences, for a screen reader and for the text at the end of the page."""
    lines = [f"{tied.strapping.name}: {verdict_words(found)}." for tied, found in judged]
    if not judged:
        lines = ["Nothing is in a tied group yet: choose below what is tied down together."]
    if loose:
        lines.append(f"Rides outside and is tied to nothing: {', '.join(loose)}.")
    return "\n".join(lines)
