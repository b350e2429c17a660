"""Small pieces for forms: labeled boxes, choosers that keep their choice, and an entry with its outcome in words."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any

import ipywidgets as widgets

from loadcalc.model.errors import LoadcalcError
from loadcalc.model.marks import isolated
from workbook.panels.desk.desk import Desk

_QUIET: set[int] = set()
WHOLE = "calc(100% - 4px)"  # of a column, without the margins of a box
ROW = {
    "flex_flow": "row wrap",
    "align_items": "center",
}  # no Layout: two widgets that share one hide together


def text_box(label: str, placeholder: str = "", *, value: str = "", width: str = "330px") -> widgets.Text:
    """A box to type in, with its label before it."""
    return widgets.Text(
        description=label, placeholder=placeholder, value=value, continuous_update=False,
        layout=widgets.Layout(width=width, max_width=WHOLE), style={"description_width": "110px"},
    )  # fmt: skip


def chooser(label: str, width: str = "340px") -> widgets.Dropdown:
    """A list to choose from."""
    return widgets.Dropdown(
        description=label, layout=widgets.Layout(width=width, max_width=WHOLE), style={"description_width": "110px"}
    )


@contextmanager
def quietly(*boxes: widgets.Widget) -> Iterator[None]:
    """While the page itself fills these boxes, nobody has chosen or typed anything; see :func:`on_choice`."""
    names = {id(box) for box in boxes} - _QUIET
    _QUIET.update(names)
    try:
        yield
    finally:
        _QUIET.difference_update(names)


def refill(box: widgets.Dropdown, options: Sequence[tuple[str, Any]], default: Any = None) -> None:
    """Give a chooser new options, keeping its choice where it is still there; that is nobody's choice."""
    shown = tuple((isolated(label), value) for label, value in options)
    if tuple(box.options) == shown:
        return
    values = [value for _, value in shown]
    chosen = next((value for value in (box.value, default) if value in values), values[0] if values else None)
    with quietly(box):
        box.options = shown  # a chooser lets go of its choice here
        box.value = chosen


def on_choice(box: widgets.Widget, act: Callable[[], Any]) -> None:
    """Do something when a person chooses or types; not when the page itself fills the box."""
    box.observe(lambda _: None if id(box) in _QUIET else act(), "value")


def enter(desk: Desk, act: Callable[[], Any]) -> bool:
    """Do something that makes an entry of its own; say how it went. Returns whether it was kept."""
    desk.keep_now()
    before = desk.season.version
    try:
        act()
    except LoadcalcError as error:
        desk.reload(f"Not kept: {error}")
        return False
    newest = desk.season.entries(1)[0]
    desk.reload(
        f"Kept in the ledger: {newest.note}" if newest.id > before else "Nothing new; nothing was written"
    )
    return True


def button(label: str, act: Callable[[], Any], icon: str = "check") -> widgets.Widget:
    """A button that does one thing, as wide as its words."""
    made = widgets.Button(description=label, icon=icon, layout=widgets.Layout(width="auto"))
    made.on_click(lambda _: act())
    return widgets.HBox([made])
