"""The load-up sheet on the page: a look at it, a button that prints it, a link that saves it."""

from __future__ import annotations

import base64
import datetime
from html import escape

import ipywidgets as widgets

from workbook.panels.desk.desk import Desk
from workbook.panels.desk.frame import STYLE
from workbook.panels.sheet.sheet import sheet_html

FILE = "load-up-sheet.html"


def sheet_of(desk: Desk, made: str = "") -> str:
    """The sheet of the desk's loadout, as it is kept."""
    return sheet_html(desk.report, desk.units, made)


def sheet_view(html: str) -> str:
    """A look at the sheet in a frame of its own, so that its print button prints nothing else."""
    data = base64.b64encode(html.encode()).decode()
    link = f"<a download='{FILE}' href='data:text/html;charset=utf-8;base64,{data}'>{FILE}</a>"
    return (
        f"{STYLE}<div class='loadout-words'>Print it from here, or save it as {link} and print that anywhere; "
        "keeping it as PDF is a choice of the browser's print window.</div>"
        f"<iframe title='Load-up sheet' srcdoc='{escape(html)}' "
        "style='width:100%;height:760px;border:1px solid var(--jp-border-color2,#ddd);background:#fff'></iframe>"
    )


def sheet_panel(desk: Desk) -> widgets.Widget:
    """One printable page, made anew with every entry of the season."""
    view = widgets.HTML()

    def show() -> None:
        made = datetime.datetime.now().strftime("made %Y-%m-%d %H:%M")
        view.value = sheet_view(sheet_of(desk, made))

    show()
    desk.records.append(show)
    return view
