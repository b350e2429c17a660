"""The strip at the head of each page, and the small pieces of HTML that pages share."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from functools import wraps
from typing import ParamSpec

import ipywidgets as widgets

from loadcalc.model.marks import isolated
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.drawing import DARK_STYLE
from workbook.panels.desk.findings_words import is_bad
from workbook.panels.desk.forms import on_choice, quietly
from workbook.panels.desk.formulas_words import fold
from workbook.panels.desk.html_text import escape, has_long_word, linked
from workbook.panels.desk.palette import ROLES
from workbook.panels.desk.undo import undo_controls

P = ParamSpec("P")
UNIT_WORDS = {"US": "lb, gal, in", "SI": "kg, L, mm"}
STYLE = """<style>
.loadout-words{font-family:var(--jp-ui-font-family,system-ui);font-size:14px;line-height:1.5;font-variant-numeric:tabular-nums;
  color:var(--jp-ui-font-color1,#1f2933);max-width:62rem;overflow-wrap:anywhere}
.loadout-words table{border-collapse:collapse;margin:.3rem 0;overflow-wrap:normal}
.loadout-words .w{overflow-wrap:anywhere;min-width:5rem}
.loadout-words th{font-weight:600;text-align:left;border-bottom:1px solid currentColor;padding:.2rem .8rem .2rem 0;
  vertical-align:bottom}
.loadout-words td{padding:.18rem .8rem .18rem 0;border-bottom:1px solid var(--jp-border-color2,#ddd);vertical-align:top}
.loadout-words th.n{text-align:right}
.loadout-words td.n{text-align:right;white-space:nowrap}
.loadout-words .k{white-space:nowrap}
.loadout-words a{color:var(--jp-content-link-color,#356f8f);text-decoration:underline}
.loadout-formulas{font-size:13px;margin:.2rem 0 .6rem}
.loadout-formulas summary{cursor:pointer;color:var(--jp-ui-font-color2,#52606d)}
.loadout-formulas p{margin:.4rem 0 .4rem 1rem}
</style>"""
# Once a page, for what is not ours: printed text breaks between words, in a dark theme the arrow of a list and a
# refusal can be seen, and the browser prints the whole page instead of what is on the screen: no code, no sidebars, a
# little smaller, and no load-up sheet, which would be cut: that one has a button of its own.
PAGE_STYLE = """<style>
.jp-Notebook .jp-RenderedText pre{word-break:normal;overflow-wrap:anywhere}
.jp-Notebook .widget-checkbox{height:auto}
.jp-Notebook .widget-checkbox span{white-space:normal;overflow-wrap:anywhere;line-height:1.3}
.jp-Notebook .jupyter-widget-Collapse-header{color:var(--jp-ui-font-color1,#1f2933)}
.loadout-status{font-size:13px;line-height:17px;height:34px;display:-webkit-box;-webkit-line-clamp:2;-webkit-box-orient:vertical;
  overflow:hidden;align-content:center;overflow-wrap:anywhere}
.loadout-status.loadout-refused{height:auto;min-height:34px;display:block}
.loadout-refused{color:ALARM}
[data-jp-theme-light="false"] .loadout-refused{color:#ff9b85}
[data-jp-theme-light="false"] .jp-Notebook .widget-dropdown>select{--jp-widgets-dropdown-arrow:ARROW}
@media print{
  body,#main,#main *:has(.jp-Notebook),.jp-Notebook,.jp-Notebook :has(>.jp-Cell){position:static!important;
    display:block!important;width:auto!important;height:auto!important;min-height:0!important;max-height:none!important;
    overflow:visible!important;contain:none!important;transform:none!important;border:0!important}
  #main :not(:has(.jp-Notebook)):not(.jp-Notebook *):not(.jp-Notebook),.jp-CodeCell .jp-Cell-inputWrapper,
  .jp-Notebook .jp-InputPrompt,.jp-Notebook .jp-OutputPrompt,.jp-Notebook .jp-Collapser,.jp-Notebook-footer,
  .jp-cell-toolbar,.jp-Notebook iframe{display:none!important}
  body{--jp-content-font-color0:#1f2933;--jp-content-font-color1:#1f2933;--jp-ui-font-color1:#1f2933;--jp-layout-color0:#fff;
    --jp-border-color2:#ccc;--jp-widgets-color:#1f2933;--jp-widgets-label-color:#1f2933;--jp-widgets-readout-color:#1f2933;
    --jp-widgets-input-color:#1f2933}
  .jp-Notebook{zoom:.8;color:#1f2933}
  .jp-Notebook .jp-RenderedHTMLCommon,.jp-Notebook pre{color:#1f2933!important}
  .jp-Notebook .jp-Cell,.jp-Notebook .jp-OutputArea-child{break-inside:auto!important}
  .jp-Notebook :is(svg,tr){break-inside:avoid}
  .jp-MarkdownCell{break-after:avoid}
}
</style>"""
ARROW = (
    "url(\"data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 18 18'%3E"
    "%3Cpath d='M5.2 6.7 9 10.5l3.8-3.8L14 7.9l-5 5-5-5z' fill='%23c8ced4'/%3E%3C/svg%3E\")"
)
UNIT = r"(?:lb|lbf|kg|gal|L|in|mm|mi|km|psi|kPa|N|h|min|s)"
TOGETHER = re.compile(rf"\d{{4}}-\d\d-\d\d|(?:± ?)?[\d.,]*\d {UNIT}\b|[▲△?!] \w+")


def kept(text: str) -> str:
    """Text as HTML in which a number stays beside its unit, a mark beside its word, and a date is not broken."""
    text, parts, done = isolated(text), [], 0
    for found in TOGETHER.finditer(text):
        parts += [escape(text[done : found.start()]), f"<span class='k'>{escape(found[0])}</span>"]
        done = found.end()
    return "".join([*parts, escape(text[done:])])


def lines(text: str, *, alarm: int = 0, live: bool = False) -> str:
    """Plain sentences as HTML, one a line; so many of the first ones get the mark of an overload (True: the first).

    What answers something that was asked for (`live`) is read out when it changes; words that follow a slider are not:
    the page's answer (desk/answer.py) speaks for all of them, once, at rest.
    """
    sentences = [linked(escape(line)) for line in text.splitlines()]
    sentences[:alarm] = [f"<strong>▲ {sentence}</strong>" for sentence in sentences[:alarm]]
    read_out = " role='status' aria-live='polite'" if live else ""
    return f"{STYLE}<div class='loadout-words'{read_out}>{'<br>'.join(sentences)}</div>"


def marked_lines(text: str) -> str:
    """Sentences of which the first is an alarm when it begins with the mark of one."""
    return lines(text.removeprefix("▲ "), alarm=text.startswith("▲ "))


def html_list(steps: Iterable[str]) -> str:
    """Numbered steps."""
    items = "".join(f"<li>{linked(kept(step))}</li>" for step in steps)
    return f"{STYLE}<div class='loadout-words'><ol>{items}</ol></div>"


def html_table(heads: Sequence[str], rows: Iterable[Sequence[str]], numbers: Iterable[int] = ()) -> str:
    """A plain table for reading; cells are escaped, the columns in `numbers` stand to the right."""
    right = set(numbers)

    def cell(tag: str, index: int, text: str) -> str:
        look = " ".join(filter(None, ("n" if index in right else "", "w" if has_long_word(text) else "")))
        return f"<{tag}{f' class={look!r}' if look else ''}>{kept(text)}</{tag}>"

    head = "".join(cell("th", i, text) for i, text in enumerate(heads))
    body = "".join(f"<tr>{''.join(cell('td', i, text) for i, text in enumerate(row))}</tr>" for row in rows)
    return f"{STYLE}<div class='loadout-words'><table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table></div>"


def with_formulas(
    *names: str,
) -> Callable[[Callable[P, widgets.Widget]], Callable[P, widgets.Widget]]:
    """Put the fold "Formula and source" under a panel: a decorator.

    Parameters
    ----------
    *names : functions of `loadcalc.checks` that the panel's numbers come from; docs/formulas.md reads them here too
    """

    def under(panel: Callable[P, widgets.Widget]) -> Callable[P, widgets.Widget]:
        @wraps(panel)
        def framed(*args: P.args, **kwargs: P.kwargs) -> widgets.Widget:
            shown = panel(*args, **kwargs)
            column = shown if isinstance(shown, widgets.VBox) else widgets.VBox([shown])
            told = widgets.HTML(f"{STYLE}<div class='loadout-words'>{fold(names)}</div>")
            column.children = (*column.children, told)
            return column

        vars(framed)["formulas"] = names
        return framed

    return under


def heading(text: str) -> widgets.HTML:
    """A small heading inside a panel."""
    return widgets.HTML(f"{STYLE}<div class='loadout-words'><strong>{escape(text)}</strong></div>")


def told(desk: Desk, say: Callable[[], str], *, leads: bool = True) -> widgets.HTML:
    """Words that follow the desk at rest; `leads`: the first of them is the verdict, marked when it is bad."""
    view = widgets.HTML()

    def show() -> None:
        view.value = lines(say(), alarm=leads and is_bad(desk.report))

    show()
    desk.at_rest.append(show)
    return view


def head_strip(desk: Desk) -> widgets.Widget:
    """Which loadout, which units, undo, and what was kept last: one line where there is room."""
    close = {"description_width": "initial"}
    which = widgets.Dropdown(description="Loadout", layout=widgets.Layout(width="280px"), style=close)
    unit = widgets.Dropdown(
        options=[(words, name) for name, words in UNIT_WORDS.items()],
        value=desk.season.units,
        description="Units",
        layout=widgets.Layout(width="150px"),
        style=close,
    )
    undo, last = undo_controls(desk)
    warned = widgets.HTML(layout=widgets.Layout(flex="1 1 100%", display="none"))
    # It has its room from the start: what it says must not push the page down under a hand.
    status = widgets.HTML(layout=widgets.Layout(flex="1 1 220px", min_width="0"))

    def show() -> None:
        with quietly(which, unit):
            which.options = list(desk.season.loadout_names)
            which.value, unit.value = desk.loadout_name, desk.season.units
        warnings = desk.season.warnings
        warned.value = lines("\n".join(warnings), alarm=True)
        warned.layout.display = "" if warnings else "none"

    def show_status() -> None:
        refused = desk.status.startswith("Not ")
        look = "loadout-status loadout-refused" if refused else "loadout-status"
        said = escape(desk.status)
        status.value = f"<div role='status' aria-live='polite' class='{look}' title='{said}'>{said}</div>"

    show()
    on_choice(which, lambda: desk.choose(which.value))
    on_choice(unit, lambda: desk.set_units(unit.value))
    desk.records.append(show)
    desk.statuses.append(show_status)
    style = widgets.HTML(
        PAGE_STYLE.replace("ARROW", ARROW).replace("ALARM", ROLES["alarm"]) + DARK_STYLE,
        layout=widgets.Layout(display="none"),
    )
    return widgets.HBox(
        [which, unit, undo, status, last, warned, style],
        layout=widgets.Layout(flex_flow="row wrap", align_items="center"),
    )
