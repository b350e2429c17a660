"""The advice panel: five questions, a Stop, and for each plan its sentences, its table, and a button to apply it."""

from __future__ import annotations

import ipywidgets as widgets

from loadcalc.model.marks import isolated
from loadcalc.plan.advice.plan import Plan
from workbook.panels.advice import advice_words as words
from workbook.panels.advice import found_words
from workbook.panels.advice.advice_allow import AllowPanel
from workbook.panels.advice.advice_desk import Adviser, point_plan
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.frame import heading, html_table, lines, with_formulas

FEW_MOVES = 3  # what the curve shows first: as much as people will do in one go
WIDE = widgets.Layout(width="auto")
HEADS = ("Rating", "Before", "After", "Change", "Room left")
CURVE_HEADS = ("Moves at most", "Center of gravity, up", "Lower than now", "How sure")


class AdvicePanel:
    """Widgets over one Adviser."""

    def __init__(self, desk: Desk) -> None:
        self.desk, self.adviser = desk, Adviser(desk)
        self.buttons = {kind: self._button(kind) for kind in words.BUTTONS}
        self.stop = widgets.Button(description="Stop", icon="stop", layout=WIDE, disabled=True)
        self.stop.on_click(lambda _: self.adviser.stop())
        self.status = widgets.HTML()
        self.result = widgets.VBox()
        self._drawn: object = None
        self.rules = widgets.HTML()
        across = widgets.Layout(flex_flow="row wrap", padding="8px 0 0")
        row = widgets.HBox([*self.buttons.values(), self.stop], layout=across)
        self.allow = AllowPanel(self.adviser)
        self.view = widgets.VBox([self.allow.view, row, self.status, self.result, self.rules])
        self.adviser.told.append(self.show)
        desk.records.append(self._show_rules)
        self._show_rules()

    def _show_rules(self) -> None:
        self.rules.value = lines(f"{words.rules_words(self.adviser.rules, self.desk.units)}\n{words.CAREFUL}")

    def _button(self, kind: str) -> widgets.Button:
        made = widgets.Button(description=words.BUTTONS[kind], tooltip=words.HINTS[kind], layout=WIDE)
        made.on_click(lambda _: self.adviser.ask(kind))
        return made

    def show(self) -> None:
        """Bring the widgets to what the adviser has to say; the plans are drawn anew only when they are others."""
        busy = self.adviser.job is not None
        self.stop.disabled = not busy
        for button in self.buttons.values():
            button.disabled = busy
        text = lines(self.adviser.status, live=True) if self.adviser.status else ""
        if self.status.value != text:
            self.status.value = text
        if self._drawn is not self.adviser.shown:
            self._drawn = self.adviser.shown
            self.result.children = self._drawn_result()

    def _drawn_result(self) -> list[widgets.Widget]:
        found = self.adviser.shown
        if not found.said:
            return []
        title = heading(words.BUTTONS[self.adviser.kind])
        parts: list[widgets.Widget] = [title, widgets.HTML(lines(found.said))]
        if found.points:
            parts.append(self._curve())
        return [*parts, *(self._card(plan) for plan in found.plans)]

    def _card(self, plan: Plan) -> widgets.Widget:
        """One plan: its button first, then what it does."""
        units = self.desk.units
        apply = widgets.Button(
            description=f"Apply: {words.size_words(plan)}",
            icon="check",
            layout=WIDE,
            tooltip=isolated(words.note(plan)),
        )
        apply.on_click(lambda _: self.adviser.apply(plan))
        table = html_table(HEADS, words.before_after(plan, units), numbers=(1, 2, 3, 4))
        parts = [
            apply,
            widgets.HTML(lines(words.steps_words(plan, units))),
            heading("What it does"),
            widgets.HTML(lines(words.outcome_words(plan, self.desk.judge(plan.loadout), units))),
            widgets.HTML(
                f"<details class='loadout-words'><summary>Every rating that changes</summary>{table}</details>"
            ),
        ]
        edge = "1px solid var(--jp-border-color2, #ddd)"
        return widgets.VBox(
            parts, layout=widgets.Layout(border_top=edge, padding="8px 0", align_items="flex-start")
        )

    def _curve(self) -> widgets.Widget:
        """The table of the curve, and the plan of one of its points."""
        points, problem = self.adviser.shown.points, self.adviser.problem
        assert problem is not None
        table = widgets.HTML(
            html_table(
                CURVE_HEADS,
                found_words.curve_rows(points, problem.report.cg.up_m, self.desk.units),
                numbers=(0, 1, 2),
            )
        )
        options = [point.moves for point in points if point.found.assign is not None]
        if not options or self.adviser.job is not None:  # a choice would be drawn anew with each point that comes
            return table
        chooser = widgets.Dropdown(
            options=[(f"at most {count}", count) for count in options],
            value=next((count for count in options if count >= FEW_MOVES), options[-1]),
            description="Moves",
            layout=widgets.Layout(width="240px"),
        )
        chosen = widgets.VBox()

        def choose() -> None:
            plan = point_plan(problem, points, chooser.value)
            nothing = widgets.HTML(lines("Nothing would be moved."))
            chosen.children = [self._card(plan) if plan is not None and plan.steps else nothing]

        choose()
        chooser.observe(lambda _: choose(), "value")
        return widgets.VBox([table, chooser, chosen])


@with_formulas("evaluate")
def advice_panel(desk: Desk) -> widgets.Widget:
    """Five questions about one loadout, and plans that one press applies."""
    return AdvicePanel(desk).view
