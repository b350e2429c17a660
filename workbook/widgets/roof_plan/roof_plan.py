"""The plan of the roof carrier: boxes to drag, turn, and nudge. Every judgment is made in Python."""

from __future__ import annotations

import logging
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import anywidget
import traitlets

from loadcalc.model.marks import isolated
from workbook.widgets.pieces import script, style
from workbook.widgets.roof_plan.hand import Hand, read

__all__ = ["Hand", "RoofPlan"]

_VIEWS_REMEMBERED = 8
_log = logging.getLogger(__name__)


class RoofPlan(anywidget.AnyWidget):
    """A plan on which boxes are moved; where they end up is decided by its owner, in Python.

    label : name of the plan, for people who can't see it. keys : one sentence on the keyboard.
    on_hands : called with what a hand did, in order; it changes what it wants and calls `show`. What it returns is
        read out (and "" leaves what was said before).

    The agreement between plan and owner:

    * The browser owns only where a box is held under the hand, and sends it. It writes no trait.
    * Python owns all that is drawn (trait `_shown`): places, overlaps, words. While a box is held, the plan draws it
      under the hand, and as a dashed outline where Python would put it; let go, it goes there.
    * One message is on its way at a time. Moves that pile up meanwhile become the newest one, nudges add up, and
      nothing that came to rest is lost. `_shown["answered"]` says which message of each view is answered.
    * If `on_hands` raises, nothing counts as done: the plan says "Not done:" and the message; `last_error` keeps it.
    """

    _esm = script("roof_plan", "draw", "keys")
    _css = style("roof_plan")

    _fixed = traitlets.Dict().tag(sync=True)
    _shown = traitlets.Dict().tag(sync=True)

    def __init__(
        self,
        *,
        label: str,
        keys: str,
        scene: Mapping[str, Any],
        problems: Sequence[str],
        on_hands: Callable[[list[Hand]], str],
    ) -> None:
        self._on_hands = on_hands
        self._scene = dict(scene)
        self._problems = list(problems)
        self._answered: dict[str, int] = {}
        self._report = ""
        self._hearing = False
        self.last_error: Exception | None = None
        super().__init__(_fixed={"label": label, "keys": keys}, _shown=self._picture())
        self.on_msg(self._hear)

    def show(self, scene: Mapping[str, Any], problems: Sequence[str], *, report: str | None = None) -> None:
        """Replace what is drawn (see panels/roof/roof_figure.py), and the list of what is wrong with it.

        report : replaces what was said last; None leaves it.
        """
        self._scene, self._problems = dict(scene), list(problems)
        self._report = self._report if report is None else report
        self._publish()

    @property
    def report(self) -> str:
        """What was said last."""
        return self._report

    def _publish(self) -> None:
        """Send everything as one value, so that a view never sees half a change."""
        if not self._hearing:
            self._shown = self._picture()

    def _picture(self) -> dict[str, Any]:
        return {
            "scene": self._scene,
            "problems": [isolated(problem) for problem in self._problems],
            "report": isolated(self._report),
            "answered": dict(self._answered),
        }

    def _hear(self, _widget: object, content: Mapping[str, Any], _buffers: object) -> None:
        """Answer one message of the browser: `view`, its number `batch`, and the `hands`."""
        self._hearing = True
        try:
            hands = read(content, {box["key"] for box in self._scene["boxes"]})
            self._report = (self._on_hands(hands) if hands else "") or self._report
        except Exception as error:  # any fault of the owner must reach the person in words
            _log.info("on_hands failed", exc_info=True)
            self.last_error = error
            self._report = f"Not done: {error or type(error).__name__}"
        finally:
            self._hearing = False
        view = str(content.get("view", ""))
        self._answered.pop(view, None)
        self._answered[view] = int(content.get("batch", 0))
        for old in list(self._answered)[:-_VIEWS_REMEMBERED]:
            del self._answered[old]
        self._publish()
