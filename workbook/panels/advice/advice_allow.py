"""Ratings without a known limit that things might be moved onto, to be allowed by name. Nothing is ticked at first."""

from __future__ import annotations

from itertools import groupby

import ipywidgets as widgets

from loadcalc.model.marks import isolated
from loadcalc.plan.advice.problem import Problem
from workbook.panels.advice.advice_desk import Adviser
from workbook.panels.advice.unknown_words import ASKED, WHAT_IT_MEANS, UnknownLimit, offers
from workbook.panels.desk.frame import heading, lines

ROW = widgets.Layout(flex_flow="row wrap", align_items="center", grid_gap="0 14px", padding="0 0 4px")
FREE = widgets.Layout(width="auto")


def offered(adviser: Adviser) -> tuple[UnknownLimit, ...]:
    """What is asked about the loadout that the page looks at."""
    desk = adviser.desk
    return offers(Problem(desk.vehicle, desk.loadout, adviser.rules).may_gain, desk.loadout)


class AllowPanel:
    """A tick for each rating, and a button for all of one heading. They hold for one loadout while the page is open."""

    def __init__(self, adviser: Adviser) -> None:
        self.adviser = adviser
        self.ticks: dict[str, widgets.Checkbox] = {}
        self.view = widgets.VBox()
        self._of = adviser.desk.loadout_name
        self._offers: tuple[UnknownLimit, ...] | None = None
        adviser.desk.records.append(self.show)
        self.show()

    def show(self) -> None:
        """Ask about what is there now. What was allowed for another loadout, or is there no more, is not allowed."""
        found = offered(self.adviser)
        kept = self.adviser.rules.may_add_to if self._of == self.adviser.desk.loadout_name else frozenset()
        self._of = self.adviser.desk.loadout_name
        self.adviser.allow(kept & {offer.key for offer in found})
        if found != self._offers:
            self._offers = found
            self.ticks = {offer.key: self._tick(offer) for offer in found}
            self.view.children = self._drawn(found)
        self._set(self.adviser.rules.may_add_to)

    def tick(self, keys: frozenset[str], *, on: bool = True) -> None:
        """Allow some ratings more, or some less."""
        allowed = self.adviser.rules.may_add_to
        self._set(allowed | keys if on else allowed - keys)

    def _set(self, allowed: frozenset[str]) -> None:
        self.adviser.allow(allowed)
        for key, box in self.ticks.items():
            box.value = key in allowed

    def _tick(self, offer: UnknownLimit) -> widgets.Checkbox:
        def ticked(change: dict[str, bool]) -> None:
            if change["new"] != (offer.key in self.adviser.rules.may_add_to):  # a hand's, not our own
                self.tick(frozenset({offer.key}), on=change["new"])

        box = widgets.Checkbox(description=isolated(offer.label), indent=False, layout=FREE)
        box.observe(ticked, "value")
        return box

    def _drawn(self, found: tuple[UnknownLimit, ...]) -> list[widgets.Widget]:
        if not found:
            return []
        groups = [
            self._group(title, list(some)) for title, some in groupby(found, key=lambda offer: offer.title)
        ]
        return [heading(ASKED), widgets.HTML(lines(WHAT_IT_MEANS)), *groups]

    def _group(self, title: str, found: list[UnknownLimit]) -> widgets.Widget:
        keys = frozenset(offer.key for offer in found)
        every = widgets.Button(
            description=f"Tick all {len(found)}", tooltip=f"{title}: tick all", layout=FREE
        )
        every.on_click(lambda _: self.tick(keys))
        none = widgets.Button(description="Untick", tooltip=f"{title}: untick all", layout=FREE)
        none.on_click(lambda _: self.tick(keys, on=False))
        ticks = (self.ticks[offer.key] for offer in found)
        return widgets.HBox([heading(f"{title}:"), *ticks, every, none], layout=ROW)
