"""The one verdict in words: a headline and a list, read from the findings of a departure by every page and paper."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby

from loadcalc.checks import Finding, Judgment, RatingResult
from loadcalc.checks.findings.finding import (
    AIR,
    ASSUMED,
    DUE,
    FIGURE,
    LIFT,
    LOOSE,
    NOT_KNOWN,
    OVER,
    OVER_ASSUMED,
    PRESSURE,
    TIED,
    UNCOUNTED,
)
from loadcalc.checks.ratings.report import consumed
from loadcalc.model.quantities import Units
from workbook.panels.desk.palette import MARKS
from workbook.panels.desk.ratings_words import idle, percent_of

NOTHING_JUDGED = "Nothing is judged: no rating that carries anything has a known limit."
ONLY_ASSUMED = "No rating that carries anything is judged by a known limit."
NAMES = 6  # how many names a line holds before it counts the rest
COUNTED = {
    UNCOUNTED: ("place or part that no rating counts", "places or parts that no rating counts"),
    AIR: (
        "case of fuel or gas that may be in the air people breathe",
        "cases of fuel or gas that may be in the air",
    ),
    TIED: ("group not tied enough, or not known", "groups not tied enough, or not known"),
    LOOSE: ("thing outside tied to nothing", "things outside tied to nothing"),
    LIFT: ("lift for more than one person", "lifts for more than one person"),
    PRESSURE: ("axle below its placard's pressure", "axles below their placard's pressure"),
    DUE: ("check overdue or without a date", "checks overdue or without a date"),
    FIGURE: ("figure that nobody measured", "figures that nobody measured"),
}


def headline(judgment: Judgment, units: Units) -> str:
    """The verdict: what is over, or that nothing with a known limit is and how many are not known; then the rest."""
    return " ".join(words for words, _ in verdict_sentences(judgment, units))


def verdict_sentences(judgment: Judgment, units: Units) -> list[tuple[str, bool]]:
    """The sentences of the verdict, and of each whether it tells of something that is known to be wrong."""
    over = [(_over_words(judgment, units, kind), True) for kind in (OVER, OVER_ASSUMED)]
    said = [sentence for sentence in over if sentence[0]]
    judged = [rating for rating in _loaded(judgment) if rating.known]
    known = sum(not rating.assumed for rating in judged)
    if not known:
        said.append((ONLY_ASSUMED if judged else NOTHING_JUDGED, False))
    elif not said:
        said.append((f"Of {_ratings(known)} with a known limit none is exceeded.", False))
    if unknown := _unknown_words(judgment):
        said.append((unknown, False))
    also = [
        f"{count} {one if count == 1 else many}"
        for kind, (one, many) in COUNTED.items()
        if (count := sum(finding.kind == kind for finding in judgment.findings))
    ]
    if also:
        bad = any(finding.is_bad for finding in judgment.findings if finding.kind in COUNTED)
        said.append((f"Look at: {'; '.join(also)}.", bad))
    return said


def _over_words(judgment: Judgment, units: Units, kind: str) -> str:
    found = [finding for finding in judgment.findings if finding.kind == kind]
    if not found:
        return ""
    said = _several(found, units)
    word = "One rating is" if len(found) == 1 else f"{len(found)} ratings are"
    return f"{word} over: {said}." if kind == OVER else f"{word} over, or may be, by what is assumed: {said}."


def _unknown_words(judgment: Judgment) -> str:
    unknown, assumed = len(not_known(judgment)), sum(f.kind == ASSUMED for f in judgment.findings)
    said = [not_judged(unknown)] * bool(unknown)
    if assumed:
        said.append(f"{_ratings(assumed)} {'is' if assumed == 1 else 'are'} judged by what is assumed")
    return f"{'; '.join(said)}." if said else ""


def not_known(judgment: Judgment) -> list[Finding]:
    """The ratings that carry something and whose limit nobody knows."""
    return [finding for finding in judgment.findings if finding.kind == NOT_KNOWN]


def not_judged(count: int) -> str:
    """How many ratings are not judged, without a full stop."""
    return f"{_ratings(count)} without a known limit {'is' if count == 1 else 'are'} not judged"


def in_short(judgment: Judgment) -> str:
    """The verdict in a few words, for a comparison: "2 over, 9 not known, 14 more to look at"."""
    count = {kind: sum(f.kind == kind for f in judgment.findings) for kind in (OVER, OVER_ASSUMED, NOT_KNOWN)}
    over = count[OVER] + count[OVER_ASSUMED]
    more = len(judgment.findings) - over - count[NOT_KNOWN]
    judged = any(rating.known for rating in _loaded(judgment))
    said = [f"{over} over" if over else "none known to be over" if judged else "nothing judged"]
    said += [f"{count[NOT_KNOWN]} not known"] * bool(count[NOT_KNOWN]) + [f"{more} more to look at"] * bool(
        more
    )
    return ", ".join(said)


def is_bad(judgment: Judgment) -> bool:
    """Whether something is known to be wrong."""
    return any(finding.is_bad for finding in judgment.findings)


def finding_lines(findings: Iterable[Finding], units: Units, names: int | None = NAMES) -> list[str]:
    """One line for each matter, in order of weight: mark, what is the matter, with what, the cure, and the page.

    names : how many things a line names before it counts the rest; None names all.
    """
    lines = []
    for (said, cure, page, bad), group in groupby(findings, key=lambda f: (f.said, f.cure, f.page, f.is_bad)):
        mark = MARKS["over" if bad else "not known"]
        lines.append(
            f"{mark} {_begun(said)}: {_several(list(group), units, names)}. {_begun(cure)} (page {page})."
        )
    return lines


def about(judgment: Judgment, units: Units, group: str) -> str:
    """What the findings say of one group of ratings ("tire", "hitch", "roof"), and of how many nothing is known."""
    mine = [rating for rating in _loaded(judgment) if rating.group == group]
    keys = {f"{of}:{rating.key}" for rating in mine for of in ("rating", "scale")}
    found = [finding for finding in judgment.findings if finding.key in keys]
    lines = finding_lines(found, units)
    known = sum(rating.known and not rating.assumed for rating in mine)
    if known and not any(finding.kind in (OVER, OVER_ASSUMED) for finding in found):
        lines.insert(0, f"Of {_ratings(known, group)} with a known limit none is exceeded.")
    return "\n".join(lines)


def _loaded(judgment: Judgment) -> list[RatingResult]:
    """The ratings in kilograms that carry something."""
    return [r for r in judgment.ratings if r.unit == "kg" and not idle(r) and abs(r.load) > 0]


def _ratings(count: int, group: str = "") -> str:
    named = f"{group} rating" if group else "rating"
    return f"{count} {named}" if count == 1 else f"{count} {named}s"


def _begun(text: str) -> str:
    return text[0].upper() + text[1:]


def _several(group: Sequence[Finding], units: Units, names: int | None = NAMES) -> str:
    shown = group[:names]
    more = [f"and {len(group) - len(shown)} more"] * (len(group) > len(shown))
    return "; ".join([*(_named(finding, units) for finding in shown), *more])


def _named(finding: Finding, units: Units) -> str:
    """A finding's name with the number that proves it."""
    amount, limit = finding.amount, finding.limit
    if amount is None:
        return finding.what
    if finding.unit == "kPa" and limit is not None:
        return f"{finding.what} ({units.pressure(amount)}, placard {units.pressure(limit)})"
    if finding.kind in (OVER, OVER_ASSUMED) and limit is not None:
        share = consumed(amount, limit)
        used = "" if share is None else f"{percent_of(share)}, "
        by = amount - limit
        beyond = f"over by {_much(finding, by, units)}" if by > 0 else f"{_much(finding, -by, units)} left"
        return f"{finding.what} ({used}{beyond})"
    return (
        f"{finding.what} ({_much(finding, amount, units)})" if finding.kind in (AIR, LIFT) else finding.what
    )


def _much(finding: Finding, value: float, units: Units) -> str:
    if finding.unit == "people":
        return f"{round(value)} {'person' if round(value) == 1 else 'people'}"
    return units.mass(value)
