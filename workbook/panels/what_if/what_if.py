"""What is being tried out: three quantities of one loadout, what they are set to, and how that is kept or dropped."""

from __future__ import annotations

from dataclasses import replace

from loadcalc.checks import Judgment
from loadcalc.model import Loadout
from loadcalc.model.errors import BadValue
from loadcalc.model.limits import ALWAYS
from loadcalc.plan.lever import Quantity, apart
from loadcalc.plan.levers import quantities
from loadcalc.plan.sweep import Sweep, sweep, tried
from loadcalc.season import Season
from workbook.panels.desk.desk import Desk

WANTED = ("roof", "kind:water", "fuel", "people", "front_kpa", "rear_kpa", "tongue")  # what a page opens with
AXES = 3


class WhatIf:
    """Three quantities of the desk's loadout. Nothing here writes; `keep` in the panel does.

    chosen : keys of the quantities; the first two are the map's sides. condition : as in `sweep`, "" for any.
    """

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.condition = ""
        self.chosen: list[str] = []
        self.values: dict[str, float] = {}
        self.read()

    def read(self) -> None:
        """Take the kept loadout as it is now; what was tried out is dropped."""
        self.base = self.desk.season.loadout(self.desk.loadout_name)
        self.known = {quantity.key: quantity for quantity in quantities(self.desk.vehicle, self.base)}
        self.values = {}
        self.chosen = first_apart([*self.chosen, *WANTED, *self.known], self.known)

    @property
    def settings(self) -> dict[Quantity, float]:
        """The three quantities and what they are set to [SI]."""
        chosen = [self.known[key] for key in self.chosen]
        return {quantity: self.values.get(quantity.key, quantity.now) for quantity in chosen}

    @property
    def moved(self) -> dict[Quantity, float]:
        """Those of them that are not as they are kept."""
        return {q: value for q, value in self.settings.items() if value != q.now}

    @property
    def loadout(self) -> Loadout:
        """The loadout as tried out. A tire pressure that is a side of the map is there even when it is not moved."""
        made = self.base
        for key in self.chosen[:2]:
            quantity = self.known[key]
            if quantity.limits is not None:
                made = quantity.put(made, self.values.get(key, quantity.now))
        return tried(made, self.moved)

    @property
    def report(self) -> Judgment:
        """What is found of it, with all that the season knows of this departure."""
        wanted = self.loadout
        if wanted == self.desk.loadout:
            return self.desk.report
        return self.desk.judge(wanted)

    @property
    def conditions(self) -> tuple[str, ...]:
        """The conditions whose ratings are on the map; () for all."""
        return (ALWAYS, self.condition) if self.condition else ()

    @property
    def at(self) -> tuple[float, float]:
        """Where the sliders of the map's sides stand [SI]."""
        across, down, *_ = self.settings.values()
        return across, down

    def sweep(self) -> Sweep:
        """The map: the first two quantities, with the third as it is set."""
        if len(self.chosen) < 2:
            raise BadValue("quantities", "", "to move are fewer than two", "let somebody or something ride first")
        across, down, *beside = self.settings
        base = tried(self.base, {third: self.settings[third] for third in beside})
        return sweep(self.desk.vehicle, base, across, down, condition=self.condition)

    def choose(self, place: int, key: str) -> None:
        """Put another quantity in one of the three places; raises BadValue when it can't stand beside the others."""
        others = [kept for number, kept in enumerate(self.chosen) if number != place]
        apart(self.known[k] for k in (*others, key))
        if key in others:
            raise BadValue("quantity", self.known[key].name, "is chosen twice", "choose another")
        self.values.pop(self.chosen[place], None)
        self.chosen[place] = key

    def set(self, key: str, value: float) -> None:
        """Set one quantity [SI]; what is off its ends by rounding is put on them."""
        quantity = self.known[key]
        self.values[key] = min(max(value, quantity.low), quantity.high)


def first_apart(wanted: list[str], known: dict[str, Quantity]) -> list[str]:
    """The first three quantities on a list that don't change the same thing."""
    found: list[str] = []
    for key in wanted:
        if key in known and key not in found and len(found) < AXES:
            taken = frozenset().union(*(known[k].touches for k in found))
            if not known[key].touches & taken:
                found.append(key)
    return found


def can_keep(quantity: Quantity, value: float) -> bool:
    """Whether one loadout can hold a setting. What a person or an item weighs is the same in all of them."""
    return quantity.kept or (quantity.key == "people" and value <= quantity.now)


def not_kept(moved: dict[Quantity, float]) -> list[str]:
    """Names of what was moved but can't be kept with one loadout."""
    return [q.name for q, value in moved.items() if not can_keep(q, value)]


def keep_as(season: Season, name: str, base: Loadout, moved: dict[Quantity, float]) -> None:
    """Write a new loadout: a copy of `base` with what was moved, as far as one loadout can hold it."""
    wanted = tried(base, {q: value for q, value in moved.items() if can_keep(q, value)})
    season.add_loadout(name, like=base.name)
    fields = {f: getattr(wanted, f) for f in ("fuel_l", "front_kpa", "rear_kpa")}
    changed = {f: value for f, value in fields.items() if value != getattr(base, f)}
    if changed:
        season.set_loadout(name, **changed)
    for before, after in zip(base.liquids, wanted.liquids, strict=True):
        if before.fill_l != after.fill_l:
            season.set_fill(name, after.liquid.key, min(after.fill_l, after.liquid.capacity_l))
    staying = {who.key for who in wanted.people}
    for who in base.people:
        if who.key not in staying:
            season.ride(name, who.key, None)


def renamed(loadout: Loadout, name: str) -> Loadout:
    """The same loadout under another name, to tell it apart on a page."""
    return replace(loadout, name=name)
