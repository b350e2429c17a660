"""What a page answers, in one widget: it stands beside the controls and changes in the frame of the slider."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import anywidget
import traitlets

from workbook.widgets.pieces import script, style

__all__ = ["Answer"]



class Answer(anywidget.AnyWidget):
    """The verdict, the tightest ratings as numbers, what is found, and a strip on top while they are out of view.

    shown : all of it, as one value, so that no word is older than another:
        `lead`, the page's own sentences, and `verdict`, each a list of `{"words", "bad"}`;
        `tight`, rows of `{"name", "percent", "amount", "unit", "word", "bad"}`;
        `found`, in order of weight, `{"words", "bad"}`, of which the first `in_view` are in view and the others folded;
        `strip`, `{"words", "tight", "bad"}`: at most two lines.

    It is the page's live region: lead, strip, and tightest are read out at rest, not while a slider is dragged.
    "page 03" in any of its words leads there.
    """

    _esm = script("answer", "strip")
    _css = style("answer")

    shown = traitlets.Dict().tag(sync=True)

    def __init__(self, shown: Mapping[str, Any]) -> None:
        super().__init__(shown=dict(shown), layout={"width": "100%", "min_width": "0"})
