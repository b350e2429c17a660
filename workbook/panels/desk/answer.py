"""What a page answers: the verdict, the tightest ratings, and what is found, in sight while anything is changed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import ipywidgets as widgets

from loadcalc.checks import Judgment, RatingResult
from loadcalc.model.marks import isolated
from loadcalc.model.quantities import Units
from workbook.panels.desk.desk import Desk, Told
from workbook.panels.desk.findings_words import finding_lines, in_short, is_bad, verdict_sentences
from workbook.panels.desk.palette import MARKS
from workbook.panels.desk.ratings_words import amount, idle, named, percent, room
from workbook.widgets.answer.answer import Answer

TIGHTEST, MOST, IN_VIEW = 3, 6, 2
Lead = Callable[[], Sequence[str]]


def answer(
    desk: Desk, *under: widgets.Widget, lead: Lead = tuple, heard: Sequence[list[Told]] = ()
) -> widgets.Widget:
    """Show a page's answer; its cell has the place "answer".

    Parameters
    ----------
    desk : the answer follows its numbers at each move, and nothing else does.
    *under : the page's pictures, below the words; they follow when the hand rests.
    lead : the page's own sentences, above the verdict: when it tips, what the bars carry. They are asked for at each
        move, so they must take no time. One that begins with the mark of an overload is an alarm. On such a page the
        verdict is counted in one line, with all that is found one press away.
    heard : further lists of listeners on whose changes the lead rests, such as the slope that a page is tilted to.
    """

    def now() -> dict[str, Any]:
        return shown(desk.report, desk.units, lead())

    view = Answer(now())

    def show() -> None:
        view.shown = now()

    for told in (desk.numbers, *heard):
        told.append(show)
    return widgets.VBox([view, *under])


def shown(judgment: Judgment, units: Units, lead: Sequence[str] = ()) -> dict[str, Any]:
    """Decide what the answer shows: `Answer.shown` of workbook/widgets/answer/."""
    tight = tightest(judgment)
    counted = _begun(in_short(judgment))
    verdict = [(f"{counted}.", is_bad(judgment))] if lead else verdict_sentences(judgment, units)
    return {
        "lead": [_sentence(words) for words in lead if words],
        "verdict": [{"words": isolated(words), "bad": bad} for words, bad in verdict],
        "tight": [tight_row(rating, units) for rating in tight],
        "found": [
            {"words": isolated(line), "bad": line.startswith(MARKS["over"])}
            for line in finding_lines(judgment.findings, units)
        ],
        "in_view": 0 if lead else IN_VIEW,
        "strip": {
            "words": counted,
            "tight": isolated(tight_words(tight[0], units)) if tight else "",
            "bad": is_bad(judgment),
        },
    }


def tightest(judgment: Judgment) -> list[RatingResult]:
    """The three ratings that are used most, more when more are over; of what is within its limit, only masses."""
    known = [r for r in judgment.ratings if r.known and (r.over or r.unit == "kg") and not idle(r)]
    return known[: min(max(TIGHTEST, sum(rating.over for rating in known)), MOST)]


def tight_row(rating: RatingResult, units: Units) -> dict[str, Any]:
    """One rating as numbers: how much of it is used, and how much is left or over, the unit apart."""
    left = rating.headroom or 0.0
    much, _, unit = amount(rating, abs(left) if rating.over else max(left, 0.0), units).rpartition(" ")
    word = "over" if rating.over else "left"
    return {
        "name": isolated(rating.name), "percent": percent(rating), "amount": much, "unit": unit,
        "word": f"{word}, assumed" if rating.assumed else word, "bad": rating.over,
    }  # fmt: skip


def tight_words(rating: RatingResult, units: Units) -> str:
    """The tightest rating in a line."""
    words = "" if rating.over else "Tightest: "
    return _begun(f"{words}{named(rating)}, {percent(rating)}, {room(rating, units)}")


def _sentence(words: str) -> dict[str, Any]:
    mark = f"{MARKS['over']} "
    return {"words": isolated(words.removeprefix(mark)), "bad": words.startswith(mark)}


def _begun(text: str) -> str:
    return text[:1].upper() + text[1:]
