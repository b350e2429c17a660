"""The answer of the season page: what is due, what the season teaches, and what it has seen."""

from __future__ import annotations

import datetime

import ipywidgets as widgets

from loadcalc.season.story.due import checks_due
from loadcalc.season.story.totals import season_sums
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.frame import heading, lines
from workbook.panels.ledger.ledger_words import sums_words
from workbook.panels.ledger.season_answer_words import due_lines, lesson_lines


def season_answer(desk: Desk) -> widgets.Widget:
    """Checks first, then lessons, then what the trips add up to; made anew with every entry."""
    due, taught, seen = (widgets.HTML() for _ in range(3))

    def show() -> None:
        season, units, today = desk.season, desk.units, datetime.date.today()
        dues = checks_due(season)
        overdue = any(one.state(today) == "overdue" for one in dues)
        due.value = lines("\n".join(due_lines(dues, today)), alarm=overdue)
        taught.value = lines("\n".join(lesson_lines(season, desk.report, units)))
        seen.value = lines(sums_words(season_sums(season.trips), units))

    show()
    desk.records.append(show)
    parts = (("What is due?", due), ("What does the season teach?", taught), ("What has it seen?", seen))
    return widgets.VBox([widget for title, view in parts for widget in (heading(title), view)])
