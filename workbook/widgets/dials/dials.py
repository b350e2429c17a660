"""A board of named sliders in one widget: the browser paints each number itself, and a move is one message."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import anywidget
import traitlets

from workbook.widgets.pieces import script, style

__all__ = ["Dials"]

_VIEWS_REMEMBERED = 8

Row = Mapping[str, Any]
Heard = Callable[[str, float | str], None]


class Dials(anywidget.AnyWidget):
    """Titled columns of rows: a name, a rail, a number that can be typed, and its unit in a column of its own.

    heard : called with a row's key and where it was moved to: a number of the row's unit, or the text that was typed.

    The agreement between widget and owner:

    * While a hand moves a slider, the browser shows where it is. Each view has one message on its way; what comes
      meanwhile waits, the newest of each row.
    * A number needs no answer. After a text the owner calls `show()`, with the number that was read or with what is
      wrong with it.
    * What `show()` brings never overwrites a newer move of the hand: it says how much of each view was heard.
    """

    _esm = script("dials", "number", "row")
    _css = style("dials")

    _shown = traitlets.Dict().tag(sync=True)

    def __init__(self, heard: Heard) -> None:
        self._heard = heard
        self._numbers: dict[str, int] = {}
        super().__init__(_shown=self._picture({}, {}), layout={"width": "100%", "min_width": "0"})
        self.on_msg(self._hear)

    def show(self, columns: Mapping[str, Sequence[Row]], refused: Mapping[str, Row]) -> None:
        """Show these rows, in one message.

        Parameters
        ----------
        columns : rows by title. A row has `key`, `label`, `unit`, `value`, `low`, `high`, `step`; `decimals`, the most
            that its number has, and `group`, what parts its thousands; `sides`, the words for above and below zero, or
            None.
        refused : by key what was typed (`text`) and what is wrong with it (`why`).
        """
        self._shown = self._picture(columns, refused)

    @property
    def columns(self) -> dict[str, list[dict[str, Any]]]:
        """What was shown last: rows by title."""
        return {column["title"]: column["rows"] for column in self._shown["columns"]}

    @property
    def refused(self) -> dict[str, dict[str, str]]:
        """What stands refused, by key."""
        refused: dict[str, dict[str, str]] = self._shown["refused"]
        return refused

    def _picture(self, columns: Mapping[str, Sequence[Row]], refused: Mapping[str, Row]) -> dict[str, Any]:
        return {
            "columns": [
                {"title": title, "rows": [dict(row) for row in rows]} for title, rows in columns.items() if rows
            ],
            "refused": {key: dict(why) for key, why in refused.items()},
            "heard": dict(self._numbers),
        }

    def _hear(self, _widget: object, content: Mapping[str, Any], _buffers: object) -> None:
        """Take one message of the browser: `view`, its number `count`, `key`, and a `value` or a `text`."""
        view, key = str(content["view"]), str(content["key"])
        self._numbers.pop(view, None)
        self._numbers[view] = int(content["count"])
        for old in list(self._numbers)[:-_VIEWS_REMEMBERED]:
            del self._numbers[old]
        if "text" in content:
            self._heard(key, str(content["text"]))
        elif math.isfinite(value := float(content["value"])):
            self._heard(key, value)
