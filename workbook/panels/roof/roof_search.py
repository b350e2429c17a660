"""A search for an arrangement of the carrier, on the desk: plans shown as they come, the last one kept."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from threading import Thread
from typing import Any

from loadcalc.plan.roof_layout import arrange
from loadcalc.plan.roof_layout.arrange import Arrangement, ArrangeSearch, Outcome
from loadcalc.plan.roof_layout.deck import things_on
from loadcalc.plan.roof_layout.layout_rules import LayoutRules, applied, task_of
from workbook.panels.roof import roof_words
from workbook.panels.roof.roof_hand import keep_thing, step_m
from workbook.panels.roof.roof_plan import RoofDesk

NOTHING = "Nothing rides on the roof rack, so there is nothing to arrange."


class Arranger:
    """One page's arranging. Plans are tried out on the desk as they come; the last one is kept, as one entry."""

    def __init__(self, plan: RoofDesk) -> None:
        self.plan = plan
        self.desk = plan.desk
        self.halves: dict[str, str] = {}
        self.status = ""
        self.told: list[Callable[[], None]] = []
        self.outcome: Outcome | None = None
        self._search: ArrangeSearch | None = None
        self._best: Arrangement | None = None
        self._quiet = False
        plan.before_hand.append(self.settle)
        self.desk.records.append(self._season_changed)

    @property
    def running(self) -> bool:
        """Whether a search is going on."""
        return self._search is not None

    def start(self, rules: LayoutRules, time_s: float) -> None:
        """Start a search. Without an event loop (outside a notebook) it is run to its end at once."""
        self.settle()
        self.desk.keep_now()
        task = task_of(self.desk.loadout, rules)
        if task is None:
            self.say(NOTHING)
            return
        search = ArrangeSearch(task, cell_m=step_m(self.desk.units, fine=True), time_s=time_s)
        self._search, self._best, self.outcome = search, None, None
        self.say("Looking for a plan …")
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            self._ended(search, search.run(lambda found: self._heard(search, found)))
            return
        Thread(target=self._work, args=(search, loop.call_soon_threadsafe), daemon=True).start()

    def stop(self) -> None:
        """Ask the search to end; the best plan so far is kept when it has."""
        if self._search is not None:
            self._search.stop()
            self.say("Stopping …")

    def settle(self) -> None:
        """End a search at once and keep the best plan so far, because a hand comes first."""
        search, best = self._search, self._best
        if search is not None:
            search.stop()
            count = best.number if best else 0
            seconds = best.seconds if best else 0.0
            self._ended(
                search, Outcome(end=arrange.STOPPED, plan=best, cause=None, seconds=seconds, plans=count)
            )

    def _work(self, search: ArrangeSearch, call: Callable[..., Any]) -> None:
        """In the thread of the search: nothing but the search, and messages to the page's own thread."""
        try:
            call(self._ended, search, search.run(lambda found: call(self._heard, search, found)))
        except Exception as error:  # whatever fails there must reach the person in words
            call(self._failed, search, error)

    def _heard(self, search: ArrangeSearch, found: Arrangement) -> None:
        if search is not self._search:
            return
        self._best = found
        self._try(found)
        self.say(f"Looking for better: {roof_words.plan_words(found, self.desk.units)}.")

    def _try(self, found: Arrangement) -> None:
        self.desk.try_out(loadout=applied(self.desk.loadout, found.spots))

    def _ended(self, search: ArrangeSearch, outcome: Outcome) -> None:
        if search is not self._search:
            return
        self._search, self.outcome = None, outcome
        said = roof_words.outcome_words(outcome, self.desk.units, cell_m=search.cell_m)
        if outcome.plan is not None:
            self._try(outcome.plan)
            self._keep(outcome.plan)
        self.say(said)

    def _keep(self, found: Arrangement) -> None:
        desk = self.desk
        things = [thing for thing in things_on(desk.loadout) if thing.key in found.spots]
        count = "1 thing" if len(things) == 1 else f"{len(things)} things"

        def keep() -> None:
            for thing in things:
                keep_thing(desk.season, desk.loadout_name, thing)

        self._quiet = True
        try:
            desk.do(keep, f"Roof rack arranged: {count}")
        finally:
            self._quiet = False

    def _failed(self, search: ArrangeSearch, error: Exception) -> None:
        if search is self._search:
            self._drop(f"Not arranged: {error or type(error).__name__}")
            self.desk.reload(self.desk.status)

    def _season_changed(self) -> None:
        """The plans are for the season as it was: an edit during the search ends it, and nothing of it is kept."""
        if self._search is not None and not self._quiet:
            self._drop("Stopped and not kept: something else was edited meanwhile. Start it again.")

    def _drop(self, said: str) -> None:
        search, self._search = self._search, None
        if search is not None:
            search.stop()
        self.say(said)

    def say(self, status: str) -> None:
        """Put a line where the page shows how the search goes."""
        self.status = status
        for told in self.told:
            told()
