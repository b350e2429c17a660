"""Undo, redo, and the list of what was done last, of which each line can be taken back that nothing later rests on."""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as widgets

from loadcalc.model.marks import isolated
from loadcalc.season import Entry
from loadcalc.season.file.resting import Standing
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.html_text import cut, escape

NOTE_LETTERS = 36  # as wide as a button
LINE_LETTERS = 48
LISTED = 10
OPEN, SHUT = "Last ten ▴", "Last ten ▾"


def undo_controls(desk: Desk) -> tuple[widgets.HBox, widgets.VBox]:
    """The buttons for the head of a page, and the list that one of them opens, to stand on a line of its own."""
    undo, redo = _TakesBack(desk, "Undo", "undo"), _TakesBack(desk, "Redo", "repeat")
    listing = _Listing(desk)

    def show() -> None:
        undo.name(desk.season.next_undo, "Nothing to undo")
        redo.name(desk.season.next_redo, "")

    show()
    desk.records.append(show)
    buttons = widgets.HBox([undo.button, redo.button, listing.opener], layout=widgets.Layout(flex_flow="row wrap"))
    return buttons, listing.lines


class _TakesBack:
    """A button that says what it takes back: a click takes back this and no other."""

    def __init__(self, desk: Desk, verb: str, icon: str) -> None:
        self.verb = verb
        self.button = widgets.Button(icon=icon, layout=widgets.Layout(width="auto", max_width="24rem"))
        self._entry: Entry | None = None
        self.button.on_click(lambda _: None if self._entry is None else desk.take_back(self._entry))

    def name(self, entry: Entry | None, nothing: str) -> None:
        """Let it stand for an entry; without one it says `nothing`, and without that it goes."""
        self._entry = entry
        note = _done(entry) if entry else ""
        self.button.disabled = entry is None
        self.button.description = f"{self.verb}: {isolated(cut(note, NOTE_LETTERS))}" if entry else nothing
        self.button.tooltip = isolated(note)
        self.button.layout.display = "" if self.button.description else "none"


class _Listing:
    """What was done last, newest first. It is looked up while it is open."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.opener = widgets.Button(description=SHUT, layout=widgets.Layout(width="auto"))
        self.opener.tooltip = "What was done last: each can be taken back that nothing later rests on"
        self.lines = widgets.VBox(layout=widgets.Layout(flex="1 1 100%", display="none"))
        self._lines: list[_Line] = []
        self.opener.on_click(lambda _: self._turn())
        desk.records.append(self._show)

    def _turn(self) -> None:
        opened = self.opener.description == SHUT
        self.opener.description = OPEN if opened else SHUT
        self.lines.layout.display = "" if opened else "none"
        self._show()

    def _show(self) -> None:
        if self.opener.description == SHUT:
            return
        told = self.desk.season.standings(LISTED)
        # The same boxes each time, with other words: the keyboard stays where it is.
        while len(self._lines) < len(told):
            self._lines.append(_Line(self.desk.take_back))
        for line, standing in zip(self._lines, told, strict=False):
            line.tell(standing)
        nothing = widgets.HTML("Nothing was done yet in this season.")
        self.lines.children = [line.box for line in self._lines[: len(told)]] or [nothing]


class _Line:
    """One thing that was done: its button, who and when, and what rests on it."""

    def __init__(self, take_back: Callable[[Entry], None]) -> None:
        self.button = widgets.Button(layout=widgets.Layout(width="28rem", max_width="100%"))
        self.words = widgets.HTML()
        self.box = widgets.HBox([self.button, self.words], layout=widgets.Layout(flex_flow="row wrap"))
        self._entry: Entry | None = None
        self.button.on_click(lambda _: None if self._entry is None else take_back(self._entry))

    def tell(self, standing: Standing) -> None:
        """Let it stand for this."""
        self._entry = standing.entry
        if standing.rests_on_it:
            verb = "Stays" if standing.holds else "Stays undone"
        else:
            verb = "Undo" if standing.holds else "Redo"
        self.button.description = f"{verb}: {isolated(cut(standing.note, LINE_LETTERS))}"
        self.button.tooltip = isolated(standing.note)
        self.button.disabled = bool(standing.rests_on_it)
        self.words.value = escape(line_words(standing))


def line_words(standing: Standing) -> str:
    """Who did it and when, whether it was taken back, and what rests on it.

    Parameters
    ----------
    standing : one thing that was done
    """
    entry = standing.entry
    when = entry.at.astimezone().strftime("%Y-%m-%d %H:%M")
    words = f"{'' if standing.holds else 'taken back, '}{f'{entry.who}, ' if entry.who else ''}{when}"
    if not standing.rests_on_it:
        return words
    names = [f"“{cut(one.note, NOTE_LETTERS)}”" for one in standing.rests_on_it]
    more = f" and {len(names) - 2} more" if len(names) > 2 else ""
    return f"{words}: {', '.join(names[:2])}{more} changed the same later; take that back first"


def _done(entry: Entry) -> str:
    """What was done, without what was then done with it."""
    return entry.note.partition(": ")[2] if entry.kind in ("undo", "redo") else entry.note
