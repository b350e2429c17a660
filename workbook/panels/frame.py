"""The strip at the head of each page, and the small pieces of HTML that pages share."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from html import escape

import ipywidgets as widgets

from workbook.figures.palette import ROLES
from workbook.panels.desk import Desk

UNIT_WORDS = {"US": "lb, gal, in", "SI": "kg, L, mm"}
STYLE = """<style>
.loadout-words{font-family:var(--jp-ui-font-family,system-ui);font-size:14px;line-height:1.5;font-variant-numeric:tabular-nums;
  color:var(--jp-ui-font-color1,#1f2933);max-width:62rem}
.loadout-words table{border-collapse:collapse;margin:.3rem 0}
.loadout-words th{font-weight:600;text-align:left;border-bottom:1px solid currentColor;padding:.2rem .8rem .2rem 0}
.loadout-words td{padding:.18rem .8rem .18rem 0;border-bottom:1px solid var(--jp-border-color2,#ddd);vertical-align:top}
.loadout-words td:nth-child(-n+2){white-space:nowrap}
.loadout-words td.n,.loadout-words th.n{text-align:right;white-space:nowrap}
</style>"""


def lines(text: str, *, alarm: bool = False) -> str:
    """Plain sentences as HTML, one a line; with `alarm` the first one gets the mark of an overload."""
    sentences = [escape(line) for line in text.splitlines()]
    if alarm and sentences:
        sentences[0] = f"<strong>▲ {sentences[0]}</strong>"
    return (
        f"{STYLE}<div class='loadout-words' role='status' aria-live='polite'>{'<br>'.join(sentences)}</div>"
    )


def html_table(heads: Sequence[str], rows: Iterable[Sequence[str]], numbers: Iterable[int] = ()) -> str:
    """A plain table for reading; cells are escaped, the columns in `numbers` stand to the right."""
    right = set(numbers)

    def cell(tag: str, index: int, text: str) -> str:
        return f"<{tag}{' class=n' if index in right else ''}>{escape(text)}</{tag}>"

    head = "".join(cell("th", i, text) for i, text in enumerate(heads))
    body = "".join(f"<tr>{''.join(cell('td', i, text) for i, text in enumerate(row))}</tr>" for row in rows)
    return f"{STYLE}<div class='loadout-words'><table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table></div>"


def told(desk: Desk, say: Callable[[], str]) -> widgets.HTML:
    """Words that follow every number of the desk."""
    view = widgets.HTML()

    def show() -> None:
        view.value = lines(say(), alarm=bool(desk.report.over))

    show()
    desk.numbers.append(show)
    return view


def head_strip(desk: Desk) -> widgets.Widget:
    """Which loadout, which units, undo, and what was kept last."""
    which = widgets.Dropdown(description="Loadout", layout=widgets.Layout(width="320px"))
    unit = widgets.Dropdown(
        options=[(words, name) for name, words in UNIT_WORDS.items()],
        value=desk.season.units,
        description="Units",
        layout=widgets.Layout(width="200px"),
    )
    undo = widgets.Button(
        description="Undo", icon="undo", layout=widgets.Layout(width="auto", max_width="28rem")
    )
    # A line of its own that is always there: what it says must not push the page down under a hand.
    status = widgets.HTML(layout=widgets.Layout(flex="1 1 100%", min_height="28px"))
    quiet = False

    def show() -> None:
        nonlocal quiet
        quiet = True
        which.options = list(desk.season.loadout_names)
        which.value, unit.value = desk.loadout_name, desk.season.units
        quiet = False
        entry = desk.season.next_undo
        undo.disabled = entry is None
        undo.description = "Nothing to undo" if entry is None else f"Undo: {short(entry.note)}"
        undo.tooltip = "" if entry is None else entry.note

    def show_status() -> None:
        refused = desk.status.startswith("Not ")
        color = ROLES["alarm"] if refused else "inherit"
        status.value = (
            f"<span role='status' aria-live='polite' style='color:{color}'>{escape(desk.status)}</span>"
        )

    def chosen(change: dict[str, str]) -> None:
        if not quiet:
            desk.choose(change["new"])

    def unit_chosen(change: dict[str, str]) -> None:
        if not quiet:
            desk.set_units(change["new"])

    show()
    which.observe(chosen, "value")
    unit.observe(unit_chosen, "value")
    undo.on_click(lambda _: desk.undo())
    desk.records.append(show)
    desk.statuses.append(show_status)
    return widgets.HBox(
        [which, unit, undo, status], layout=widgets.Layout(flex_flow="row wrap", align_items="center")
    )


def short(text: str, most: int = 48) -> str:
    """A note, cut at a button's width."""
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"
