"""Fuel and gas: what is on board, what has to be asked, how full and how old a cylinder may be, notes with sources."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import dataclass

import ipywidgets as widgets

from loadcalc.checks.findings.finding import AIR
from loadcalc.checks.gas import fill_limit, hazards, kind_of
from loadcalc.checks.gas_words import ASK
from loadcalc.checks.intervals import COATED, CYLINDER, UNCOATED, rule_after
from loadcalc.model.errors import BadValue
from loadcalc.model.marks import isolated
from loadcalc.model.quantities import Units
from loadcalc.model.things import HAZARDS, Item, Liquid
from loadcalc.season.story.due import check_kind
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.dials import amount
from workbook.panels.desk.findings_words import finding_lines
from workbook.panels.desk.forms import ROW
from workbook.panels.desk.frame import html_table, lines, with_formulas
from workbook.panels.roof import gas_words as said

HEADS = ("Note", "How much", "From, and what it binds", "Status")
AS_HIGH = {"min_height": "34px"}  # of a question and of its answer
USUAL_KG = 21.6  # water capacity stamped on a common cylinder, 47.6 lb


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What nobody has said of a thing on board. answers : a button's word, and what it puts into the season."""

    text: str
    name: str
    answers: tuple[tuple[str, Callable[[], None]], ...]


def questions(desk: Desk) -> list[Question]:
    """What has to be asked of fuel and gas on board: each is gone once it is answered."""
    season, loadout = desk.season, desk.loadout
    gear = tuple(stowed.item for stowed in loadout.gear if stowed.count)
    cans = tuple(filled.liquid for filled in loadout.liquids)

    def mark(thing: Item | Liquid, hazard: str) -> Callable[[], None]:
        subject = "item" if isinstance(thing, Item) else "liquid"
        return lambda: season.set(subject, thing.key, hazard=hazard)

    def coat(key: str, kind: str) -> Callable[[], None]:
        return lambda: season.set_item(key, check_kind=kind)

    things: tuple[Item | Liquid, ...] = (*gear, *cans)
    asked = [
        Question(
            text=f"{thing.name}: fuel, gas, or neither?", name=thing.name,
            answers=tuple((word, mark(thing, word)) for word in HAZARDS if word),
        )
        for thing in things
        if kind_of(thing) == ASK
    ]  # fmt: skip
    for item in gear:
        if check_kind(item.key, season.fields("item", item.key)) == CYLINDER:
            answers = (("yes", coat(item.key, COATED)), ("no, or another type", coat(item.key, UNCOATED)))
            asked.append(Question(text=f"{item.name}: {said.COATED}", name=item.name, answers=answers))
    return asked


def fill_words(text: str, units: Units) -> str:
    """Both fill limits for a water capacity as typed; or what is wrong with it."""
    try:
        return said.fill(fill_limit(amount("mass", text, units, "water capacity")), units)
    except BadValue as error:
        return f"Not computed: {error}."


def date_words(last: datetime.date | None, after: str, kind: str, today: datetime.date) -> str:
    """When a cylinder is due again, whether that is past, and by which rule."""
    if last is None:
        return "Date not known: read the stamp; without one it is not to be filled."
    rule = rule_after(kind, after)
    due = rule.due_on(last)
    lead = (
        f"▲ Was due on {due}: not to be filled until it is tested again."
        if due < today
        else f"Due again on {due}."
    )
    return f"{lead} {rule.what[0].upper()}{rule.what[1:]}. {rule.source} ({rule.status})."


class GasQuestions:
    """The questions as rows of buttons. An answered one keeps its line as long as the page is open.

    Else the next question would slip under the pointer, and a second click would answer it.
    """

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.view = widgets.VBox()
        self._rows: dict[str, str] = {}  # each question that was asked here, and how it was answered
        self._loadout = desk.loadout_name
        self.show()
        desk.records.append(self.show)

    def show(self) -> None:
        """Ask what is to be asked now."""
        if self._loadout != self.desk.loadout_name:
            self._loadout, self._rows = self.desk.loadout_name, {}
        now = {question.text: question for question in questions(self.desk)}
        self._rows |= {text: "" for text in now if text not in self._rows}
        self.view.children = [
            self._row(now[text]) if text in now else widgets.HTML(lines(answer or "Answered."), layout=AS_HIGH)
            for text, answer in self._rows.items()
        ]

    def _row(self, question: Question) -> widgets.Widget:
        def answer(word: str, keep: Callable[[], None]) -> None:
            self._rows[question.text] = f"{question.name}: {word}. Kept; Undo takes it back."
            self.desk.do(keep, f"{question.name}: {word}")

        def button(word: str, keep: Callable[[], None]) -> widgets.Button:
            asked = isolated(f"{question.text} {word}")
            made = widgets.Button(description=word, tooltip=asked, layout={"width": "auto"})
            made.on_click(lambda _: answer(word, keep))
            return made

        words = widgets.HTML(lines(f"? {question.text}"))
        return widgets.HBox([words, *(button(*pair) for pair in question.answers)], layout={**ROW, **AS_HIGH})


def aboard_html(desk: Desk) -> str:
    """What is found to be the matter with it, then what is on board."""
    found = hazards(desk.loadout)
    matters = "\n".join(finding_lines((f for f in desk.report.findings if f.kind == AIR), desk.units))
    head = lines(matters.removeprefix("▲ "), alarm=matters.startswith("▲")) if matters else ""
    table = html_table(said.ABOARD, said.aboard_rows(found, desk.units), numbers=(2,)) if found else lines(said.NONE)
    return head + table


@with_formulas("fill_limit")
def gas_panel(desk: Desk) -> widgets.Widget:
    """What is on board, what has to be asked, a cylinder's fill limits and date, quantity notes, cautions."""
    onboard, notes, fills, dates = (widgets.HTML() for _ in range(4))
    wide, label = widgets.Layout(width="420px"), {"description_width": "190px"}
    water = widgets.Text(
        value=desk.units.mass(USUAL_KG), description="Water capacity (WC)", layout=wide, style=label
    )
    last = widgets.DatePicker(description="Stamped date", layout=wide, style=label)
    after = widgets.Dropdown(options=said.AFTER, description="Date of", layout=wide, style=label)
    kind = widgets.Dropdown(options=said.KINDS, description="Coated against corrosion", layout=wide, style=label)

    def show(_: object = None) -> None:
        onboard.value = aboard_html(desk)
        fills.value = lines(fill_words(water.value, desk.units))
        dates.value = lines(date_words(last.value, after.value, kind.value, datetime.date.today()))

    def show_notes() -> None:
        notes.value = html_table(HEADS, said.note_rows(desk.units), numbers=(1,))

    show()
    show_notes()
    for control in (water, last, after, kind):
        control.observe(show, "value")
    desk.at_rest.append(show)
    desk.records.append(show_notes)
    fixed = [widgets.HTML(lines(text)) for text in (said.RULES, said.ANY)]
    return widgets.VBox([GasQuestions(desk).view, onboard, *fixed, water, fills, last, after, kind, dates, notes])
