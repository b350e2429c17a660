"""A Plotly figure from plain data, drawn in the browser by the bundle that the workbook's own Lab extension serves.

The kernel needs no plotly for it: a figure is a dict.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import anywidget
import traitlets

from workbook.widgets.pieces import script, style

__all__ = ["BUNDLE", "BUNDLE_VERSION", "DRAWN_TRACES", "Chart"]

BUNDLE = "loadout-chart/static/plotly-cartesian.min.js"
BUNDLE_VERSION = "4.1.1"  # of plotly.js: the one inside the pinned plotly
# What the bundle draws, by Plotly's names; the whole of Plotly has some thirty more.
DRAWN_TRACES = frozenset(
    ("bar", "box", "contour", "heatmap", "histogram", "histogram2d", "histogram2dcontour", "image", "pie", "scatter",
     "scatterternary", "violin")
)  # fmt: skip


class Chart(anywidget.AnyWidget):
    """A chart that takes the width there is, follows the theme, and shows the newest state it was given.

    Parameters
    ----------
    figure : Plotly's `data` and `layout` as plain numbers and texts; `dark`, its colors' stand-ins in the dark theme;
        and `fit`, what follows the width (see chart.js). The title, the sentence under it, and `layout.height` without
        them are the figure's; `layout.width` is not.
    label : for people who can't see it: the chart's question, a colon, and its answer.
    """

    _esm = script("chart")
    _css = style("chart")

    _place = traitlets.Unicode(f"{BUNDLE}?v={BUNDLE_VERSION}").tag(sync=True)  # with a version browsers keep it
    _shown = traitlets.Dict().tag(sync=True)
    _moved = traitlets.Dict().tag(sync=True)

    def __init__(self, figure: Mapping[str, Any], label: str) -> None:
        # In a box of others it would be as wide as what it draws, and it draws as wide as it is.
        wide = {"width": "100%", "min_width": "0"}
        super().__init__(_shown={"figure": dict(figure), "label": label}, layout=wide)

    def draw(self, figure: Mapping[str, Any], label: str) -> None:
        """Draw another state, in one message; what is shown already is not sent again."""
        with self.hold_sync():
            self._shown = {"figure": dict(figure), "label": label}
            self._moved = {}

    def move(self, trace: int, *, x: Sequence[float], y: Sequence[float]) -> None:
        """Move one trace of what is drawn, such as a cross that follows a slider, without sending the rest again.

        Parameters
        ----------
        trace : its number in the figure's data.
        x, y : its places, in the figure's units. They hold until the next `draw`.
        """
        self._moved = {"trace": trace, "x": list(x), "y": list(y)}

    @property
    def figure(self) -> dict[str, Any]:
        """What is drawn, with what has moved."""
        figure: dict[str, Any] = dict(self._shown["figure"])
        if self._moved:
            moved = self._moved["trace"]
            at = {"x": self._moved["x"], "y": self._moved["y"]}
            figure["data"] = [t | at if number == moved else t for number, t in enumerate(figure["data"])]
        return figure

    @property
    def label(self) -> str:
        """What it says of itself."""
        label: str = self._shown["label"]
        return label
