"""The plan of the roof carrier on the desk: what a hand does to it, tried out at once and kept once it rests."""

from __future__ import annotations

from collections.abc import Callable

from loadcalc.model import Loadout, NotFound
from loadcalc.model.quantities import Units
from loadcalc.plan.roof_layout import moves
from loadcalc.plan.roof_layout.deck import Thing, judge, thing_on, things_on
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.palette import MARKS
from workbook.panels.roof import roof_words
from workbook.panels.roof.roof_figure import TITLE, scene
from workbook.panels.roof.roof_hand import changed, deck_under, keep_thing
from workbook.widgets.roof_plan.roof_plan import Hand, RoofPlan


class RoofDesk:
    """The plan of one desk. `view` is the widget; `before_hand` hears that a hand is about to change something."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.before_hand: list[Callable[[], None]] = []
        self._start: dict[str, Loadout] = {}  # the loadout as it was when a box was taken up, by the box
        self._told: tuple[str, str] | None = None  # the box that was told about last, and what was said
        self.view = RoofPlan(
            label=TITLE,
            keys=f"{roof_words.LEGEND} {roof_words.KEYS}",
            scene=scene(desk.loadout, desk.units),
            problems=problem_lines(desk.loadout, desk.units),
            on_hands=self.hear,
        )
        desk.numbers.append(self.show)  # at each move: the hand holds it

    def show(self) -> None:
        """Draw what the desk holds; a sentence about a box that no longer holds is taken away."""
        desk, report = self.desk, None
        if self._told is not None and self._about(self._told[0]) != self._told[1]:
            self._told, report = None, ""
        self.view.show(
            scene(desk.loadout, desk.units), problem_lines(desk.loadout, desk.units), report=report
        )

    def _about(self, key: str) -> str:
        """All about one box, "" when it is not on the roof rack."""
        loadout = self.desk.loadout
        if key not in {thing.key for thing in things_on(loadout)}:
            return ""
        return roof_words.told(thing_on(loadout, key), judge(loadout), deck_under(loadout), self.desk.units)

    def hear(self, hands: list[Hand]) -> str:
        """Do what a hand did; returns what is to be read out."""
        for told in self.before_hand:
            told()
        said = ""
        for hand in hands:
            said = self._one(hand)
        return said

    def _one(self, hand: Hand) -> str:
        desk = self.desk
        if hand.kind == "undo":
            desk.undo_own()
            return desk.status
        if hand.key not in {thing.key for thing in things_on(desk.loadout)}:
            return ""  # it left the carrier while the message was on its way
        if hand.kind == "cancel":
            return self._cancel(hand.key)
        if hand.kind == "move" and not hand.resting:
            self._start.setdefault(hand.key, desk.loadout)
            desk.try_out(loadout=changed(desk.loadout, hand, desk.units))
            return ""
        self._start.pop(hand.key, None)
        desk.try_out(loadout=changed(desk.loadout, hand, desk.units))
        return self._rest(hand.key)

    def _cancel(self, key: str) -> str:
        start = self._start.pop(key, None)
        if start is not None:
            self.desk.try_out(loadout=moves.restored(self.desk.loadout, thing_on(start, key)))
        return f"{thing_on(self.desk.loadout, key).name}: back where it was."

    def _rest(self, key: str) -> str:
        """Keep where a box has come to rest, or forget it when that is where it was kept."""
        desk, what = self.desk, f"roof:{key}"
        now, name = thing_on(desk.loadout, key), desk.loadout_name
        deck = deck_under(desk.loadout)
        if _as_kept(desk, key) == now:
            desk.forget(what)
        else:
            note = f"{now.name}: {roof_words.where(now, deck, desk.units)}"
            desk.keep_later(what, note, lambda: keep_thing(desk.season, name, now))
        self._told = (key, self._about(key))
        return self._told[1]


def _as_kept(desk: Desk, key: str) -> Thing | None:
    try:
        return thing_on(desk.season.loadout(desk.loadout_name), key)
    except NotFound:
        return None


# What stands under the plan ----------------------------------------------------------------------------------


def problem_lines(loadout: Loadout, units: Units) -> list[str]:
    """What is wrong, each with the mark of an overload; then what is not known."""
    if loadout.carrier is None or not things_on(loadout):
        return []
    found = judge(loadout)
    mark = f"{MARKS['over']} " if found.overlapping or found.hanging or found.covered else ""
    return [
        *(f"{mark}{said}" for said in roof_words.verdict(loadout, units)),
        *(f"{MARKS['not known']} {said}" for said in roof_words.not_known(found)),
    ]


def roof_plan(plan: RoofDesk) -> RoofPlan:
    """The plan to drag on."""
    return plan.view
