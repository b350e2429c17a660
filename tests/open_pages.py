"""The pages run in this process, without a server and a browser: each cell as a kernel runs it, each widget by hand."""

from __future__ import annotations

import ast
import contextlib
import io
import json
import logging
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from types import CodeType
from typing import Any

import ipywidgets as widgets
import pandas  # noqa: F401  # plotly looks for it by itself, in the middle of the first page

from tests.store_page_text import PAGES
from tests.widget_help import walk
from workbook.panels.desk.desk import Desk
from workbook.widgets.table.table import EditTable

Cell = tuple[CodeType, CodeType | None]


@cache
def _cells(page: Path) -> tuple[Cell, ...]:
    """Its code cells: what is run, and the last line, which shows what it gives."""
    read = json.loads(page.read_text(encoding="utf-8"))["cells"]
    return tuple(_cell(page, "".join(cell["source"])) for cell in read if cell["cell_type"] == "code")


def _cell(page: Path, source: str) -> Cell:
    tree, where, shown = ast.parse(source), page.name, None
    if isinstance(last := tree.body[-1], ast.Expr):
        del tree.body[-1]
        shown = compile(ast.Expression(last.value), where, "eval")
    return compile(tree, where, "exec"), shown


class OpenPage:
    """One page that was opened and run to its end. It opens the season that LOADOUT_SEASON names."""

    def __init__(self, page: Path) -> None:
        self.name = page.stem
        self.views: list[Any] = []
        names: dict[str, Any] = {}
        printed = io.StringIO()
        with contextlib.redirect_stdout(printed):
            for run, shown in _cells(page):
                exec(run, names)
                if shown is not None:
                    self.views.append(eval(shown, names))
        self.words = printed.getvalue()
        self.desk: Desk = names["desk"]

    def parts(self) -> list[Any]:
        """Every widget that is on it now."""
        return [part for view in self.views if isinstance(view, widgets.Widget) for part in walk(view)]

    def tables(self) -> list[EditTable]:
        """Its editable tables."""
        return [part for part in self.parts() if isinstance(part, EditTable)]

    def close(self) -> None:
        """Let go of the season and of every widget."""
        self.desk.season.close()
        for part in self.parts():
            part.close()


def open_all() -> list[OpenPage]:
    """Open every page, one kernel after the other."""
    return [OpenPage(page) for page in PAGES]


class _Kept(logging.Handler):
    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.errors: list[BaseException] = []

    def emit(self, record: logging.LogRecord) -> None:
        if record.exc_info and record.exc_info[1]:
            self.errors.append(record.exc_info[1])


@contextlib.contextmanager
def what_buttons_raise() -> Iterator[list[BaseException]]:
    """Give the list of what is raised under a click: ipywidgets only logs it."""
    kept, log = _Kept(), logging.getLogger("traitlets")
    log.addHandler(kept)
    try:
        yield kept.errors
    finally:
        log.removeHandler(kept)
