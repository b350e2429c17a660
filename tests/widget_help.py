"""For tests of panels without a browser: find a widget inside a panel, and read its words."""

from __future__ import annotations

from typing import Any

import ipywidgets as widgets


def inside(view: Any, kind: type[Any], label: str = "") -> Any:
    """The first widget of a kind (and label) inside a panel."""
    found = list(walk(view))
    return next(
        w for w in found if isinstance(w, kind) and (not label or getattr(w, "description", "") == label)
    )


def walk(view: Any) -> list[Any]:
    """Every widget inside a panel."""
    return [view, *(part for child in getattr(view, "children", ()) for part in walk(child))]


def text_of(view: Any) -> str:
    """All words of a panel."""
    return " ".join(w.value for w in walk(view) if isinstance(w, widgets.HTML))
