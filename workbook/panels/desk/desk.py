"""The desk: one page's view of a season. It holds the loadout being looked at, its report, and who wants to know."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import Any, Protocol

from loadcalc.checks import Judgment
from loadcalc.model import Loadout, Vehicle
from loadcalc.model.errors import LoadcalcError, SeasonError
from loadcalc.model.quantities import Units, units
from loadcalc.season import Entry, Season
from loadcalc.season.story.departures import Departure

REST_S = 0.7  # a slider that has rested this long is meant: one entry for one drag, not forty
FOLLOW_S = 0.15  # after so long without a move the slow parts of a page follow
LOOK_S = 2.0  # how often a page looks whether another page has written

Keep = Callable[[], Any]
Told = Callable[[], None]


class Waiting(Protocol):
    """Something that will be done, unless it is canceled."""

    def cancel(self) -> None:
        """Don't."""


Later = Callable[[float, Told], Waiting | None]


def later(seconds: float, act: Told) -> Waiting | None:
    """Do something after a while; at once outside a notebook's kernel, where there is nothing to wait for."""
    try:
        loop = asyncio.get_running_loop()
    except RuntimeError:
        act()
        return None
    return loop.call_later(seconds, act)


class Desk:
    """What a page works on.

    `numbers` hears every change of a number, also while a slider moves: the page's answer and whatever a hand holds,
    nothing else. `at_rest` hears it when nothing has moved for FOLLOW_S: outlines, tables, words, charts. `records`
    hears changes of the season.
    What a slider shows is tried out at once and kept in the ledger once it rests; `status` says which.

    wait : how something is done later; a test hands in its own, and no time passes.
    """

    def __init__(self, season: Season, loadout_name: str = "", *, wait: Later = later) -> None:
        self.season = season
        self.loadout_name = loadout_name or newest_loadout(season)
        self.status = ""
        self.vehicle: Vehicle
        self.loadout: Loadout
        self.report: Judgment
        self.numbers: list[Told] = []
        self.at_rest: list[Told] = []
        self.records: list[Told] = []
        self.statuses: list[Told] = []
        self._waiting: dict[str, tuple[str, Keep]] = {}
        self._wait = wait
        self._timer: Waiting | None = None
        self._following: Waiting | None = None
        self._watch: asyncio.TimerHandle | None = None
        self._read()

    @property
    def units(self) -> Units:
        """The reader's units."""
        return units(self.season.units)

    def try_out(self, vehicle: Vehicle | None = None, loadout: Loadout | None = None) -> None:
        """Show what would be, without writing anything."""
        self.vehicle = vehicle or self.vehicle
        self.loadout = loadout or self.loadout
        self.report = self.judge(self.loadout)
        self._tell(self.numbers)
        self._hold()
        self._following = self._wait(FOLLOW_S, self._follow)

    def _hold(self) -> None:
        if self._following is not None:
            self._following.cancel()
            self._following = None

    def _follow(self) -> None:
        """Let what is slow take in how things stand."""
        self._hold()
        self._tell(self.at_rest)

    def keep_later(self, what: str, note: str, keep: Keep) -> None:
        """Keep something in the ledger once nothing has moved for a moment. The last `keep` for `what` counts."""
        self._waiting[what] = (note, keep)
        self.say("Trying out; not kept yet")
        if self._timer is not None:
            self._timer.cancel()
        self._timer = self._wait(REST_S, self.keep_now)

    def forget(self, what: str) -> bool:
        """Drop what waits to be kept for `what`; returns whether anything did."""
        waited = self._waiting.pop(what, None) is not None
        if waited and not self._waiting:
            self.say("As it was; nothing to keep")
        return waited

    def keep_now(self) -> None:
        """Keep whatever waits, as one entry."""
        if self._timer is not None:
            self._timer.cancel()
            self._timer = None
        waiting, self._waiting = self._waiting, {}
        if waiting:
            notes, keeps = zip(*waiting.values(), strict=True)
            self.do(lambda: [keep() for keep in keeps], "; ".join(notes))

    def do(self, edit: Keep, note: str) -> bool:
        """Make one edit of the season, as one entry; say how it went. Returns whether it was kept."""
        try:
            with self.season.entry(note) as draft:
                edit()
        except LoadcalcError as error:
            self.reload(f"Not kept: {error}")
            return False
        self.reload("" if draft.entry is None else f"Kept in the ledger: {draft.entry.note}", repaint=False)
        return True

    def undo(self) -> None:
        """Take back the newest entry that holds, whoever wrote it."""
        self.keep_now()
        entry = self.season.next_undo
        if entry is None:
            self.say("Nothing to undo")
        else:
            self.take_back(entry)

    def undo_own(self) -> None:
        """Take back what this page did last; when somebody else's entry is newer, say so and do nothing."""
        self.keep_now()
        entry, own = self.season.next_undo, self.season.written
        if entry is not None and entry.id in own:
            self.take_back(entry)
        elif entry is not None and entry.id > max(own, default=entry.id):
            newer = f"“{entry.note}”" + (f" by {entry.who}" if entry.who else "")
            self.say(f"Not undone: {newer} is newer than what this page did; see Undo at the head of the page")
        else:
            self.say("Nothing more to undo of what this page did")

    def redo_own(self) -> None:
        """Do again what was undone last, when this page undid it."""
        self.keep_now()
        entry = self.season.next_redo
        if entry is None or entry.id not in self.season.written:
            self.say("Nothing to redo of what this page undid")
        else:
            self.take_back(entry)

    def take_back(self, entry: Entry) -> None:
        """Take back this entry and no other: undo what was done, or do again what was undone."""
        self.keep_now()
        try:
            taken = self.season.take_back(entry.id)
        except LoadcalcError as error:
            self.reload(f"Not {'redone' if entry.kind == 'undo' else 'undone'}: {error}")
            return
        if taken is not None:
            done = "Undone" if taken.kind == "undo" else "Done again"
            self.reload(f"{done}: {taken.note.partition(': ')[2]}")

    def choose(self, loadout_name: str) -> None:
        """Look at another loadout."""
        self.keep_now()
        self.loadout_name = loadout_name
        self.reload(f"Looking at {loadout_name}")

    def set_units(self, name: str) -> None:
        """Switch the display between "US" and "SI", for every page of the season."""
        self.keep_now()
        self.do(lambda: self.season.set_setting(units=name), f"Units: {name}")

    def reload(self, status: str = "", *, repaint: bool = True) -> None:
        """Read the season again and tell everyone; without `repaint`, of the numbers only when they are others.

        A slider that rests is kept as it was tried out: its numbers and charts are on the page already.
        """
        shown = self._numbers()
        self._read()
        self._tell(self.records)
        if repaint or self._numbers() != shown:
            self._tell(self.numbers)
            self._follow()
        self.say(status)

    def _numbers(self) -> tuple[object, ...]:
        """All that a panel of numbers shows follows from these."""
        return self.loadout_name, self._units, self.vehicle, self.loadout, self.report.findings

    def look(self) -> None:
        """Take in what another page has written, unless something of ours is waiting."""
        if not self._waiting and self.season.version != self._seen:
            self.reload("Updated: another page wrote to this season")

    def watch_others(self) -> None:
        """Keep looking for what other pages write, for as long as the kernel lives."""
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            return
        try:
            self.look()
        except LoadcalcError as error:  # a busy or missing disk must not end the watch
            self.say(f"Not read: {error}")
        self._watch = loop.call_later(LOOK_S, self.watch_others)

    def retire(self) -> None:
        """Keep what waits, then tell nobody anything more: a page that runs again has a new desk."""
        self.keep_now()
        self._hold()
        for listeners in (self.numbers, self.at_rest, self.records, self.statuses):
            listeners.clear()
        if self._watch is not None:
            self._watch.cancel()

    def say(self, status: str) -> None:
        """Put a line where the page shows its status."""
        self.status = status
        self._tell(self.statuses)

    def _read(self) -> None:
        if self.loadout_name not in self.season.loadout_names:
            self.loadout_name = newest_loadout(self.season)
        self._seen = self.season.version
        self._units = self.season.units  # `units` asks the season, which may know others by now
        self.vehicle = self.season.vehicle
        self.loadout = self.season.loadout(self.loadout_name)
        self._departure = Departure(self.season, self.loadout_name)
        self.report = self.judge(self.loadout)

    def judge(self, loadout: Loadout) -> Judgment:
        """Judge what this departure would be with another loadout, with all that the season knows of it."""
        return self._departure.judge(self.vehicle, loadout)

    @staticmethod
    def _tell(listeners: list[Told]) -> None:
        for told in listeners:
            told()


def newest_loadout(season: Season) -> str:
    """The loadout with the latest date: the departure that is most likely being packed for."""
    names = season.loadout_names
    if not names:
        raise SeasonError('the season has no loadout: add one with season.add_loadout("Friday departure")')
    return max(names, key=lambda name: str(season.fields("loadout", name).get("date", "")))
