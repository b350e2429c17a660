"""What a hand does to a board of sliders, as the browser tells it."""

from __future__ import annotations

from itertools import count
from typing import Any

from workbook.widgets.dials.dials import Dials

COUNT = count(1)


def row(view: Dials, key: str) -> dict[str, Any]:
    """What the browser shows of one slider."""
    return next(row for rows in view.columns.values() for row in rows if row["key"] == key)


def slide(view: Dials, key: str, value: float) -> None:
    """Bring a slider to a number of its unit."""
    view._handle_custom_msg({"view": "hand", "count": next(COUNT), "key": key, "value": value}, [])


def type_in(view: Dials, key: str, text: str) -> str:
    """Type into a slider's number; return what is wrong with it, in words."""
    view._handle_custom_msg({"view": "hand", "count": next(COUNT), "key": key, "text": text}, [])
    return view.refused.get(key, {}).get("why", "")
