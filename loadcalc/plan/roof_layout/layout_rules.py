"""What an arrangement of the carrier must keep to, and whether a given one does. No solver in here."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import fsum
from typing import NamedTuple

from loadcalc.model import check
from loadcalc.model.loadout import Loadout
from loadcalc.plan.roof_layout.deck import Thing, deck_of, things_on
from loadcalc.plan.roof_layout.footprint import TOUCH_M, Footprint, lying, overhang, overlap
from loadcalc.plan.roof_layout.moves import laid

FIT, PINNED, TIE_POINTS = "fit", "pinned", "tie points"
GROUPS, REACHABLE, HALVES = "groups", "reachable", "halves"
BALANCE, FORE_AND_AFT = "balance", "fore and aft"
DROPPABLE = (BALANCE, FORE_AND_AFT, TIE_POINTS, REACHABLE, GROUPS, HALVES, PINNED)
EDGES = (
    "left",
    "right",
    "rear",
)  # from where a hand reaches onto a roof: the hood is in the way at the front
HALF = ("anywhere", "front half", "rear half")
GROUP_GAP_M = 0.05  # with no more than this between them, two things lie side by side


@dataclass(frozen=True, slots=True, kw_only=True)
class LayoutRules:
    """What an arrangement must keep to. None, False, or an empty mapping: that rule is off.

    balance_m : the load's center at most this far from the center line [m].
    forward_m, rearward_m : the load's center no further forward, no further rearward than this, aft [m].
    tie_room_m : keep this much free around each tie point [m]; groups : each thing of a group lies within
        GROUP_GAP_M of another of it, and so all of it hangs together.
    reach_m : what is wanted on the way lies at most this far from the left, right, or rear edge [m].
    halves : "front half" or "rear half" by a thing's key: its middle lies there.
    keep_pins : pinned things stay. gather_m : the weight gathers around this, aft [m]; None: the deck's middle.
    may_turn : things may be turned a quarter.
    """

    balance_m: float | None = 0.04
    forward_m: float | None = None
    rearward_m: float | None = None
    tie_room_m: float | None = 0.03
    groups: bool = True
    reach_m: float | None = 0.1
    halves: Mapping[str, str] = field(default_factory=dict)
    keep_pins: bool = True
    gather_m: float | None = None
    may_turn: bool = True

    def __post_init__(self) -> None:
        for name, word in (
            ("balance_m", "balance"),
            ("tie_room_m", "room at a tie point"),
            ("reach_m", "reach"),
        ):
            if getattr(self, name) is not None:
                check.number(word, getattr(self, name), 0.0, 5.0, "m")
        for name, word in (("forward_m", "forward limit"), ("rearward_m", "rearward limit")):
            if getattr(self, name) is not None:
                check.number(word, getattr(self, name), -5.0, 20.0, "m")
        for half in self.halves.values():
            check.one_of("where along", half, HALF)

    def without(self, name: str) -> LayoutRules:
        """Return the rules without the one of that name (see DROPPABLE)."""
        off: dict[str, dict[str, object]] = {
            BALANCE: {"balance_m": None}, FORE_AND_AFT: {"forward_m": None, "rearward_m": None},
            TIE_POINTS: {"tie_room_m": None}, REACHABLE: {"reach_m": None}, GROUPS: {"groups": False},
            HALVES: {"halves": {}}, PINNED: {"keep_pins": False},
        }  # fmt: skip
        return replace(self, **off[check.one_of("rule", name, DROPPABLE)])  # type: ignore[arg-type]  # its own fields


class RoofSpot(NamedTuple):
    """Where a thing is to lie: its middle, aft and left [m], and whether it is turned."""

    aft_m: float
    left_m: float
    turned: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One carrier to arrange: its rectangle, its tie points (aft, left) [m], the things, and the rules."""

    deck: Footprint
    tie_points: tuple[tuple[float, float], ...]
    things: tuple[Thing, ...]
    rules: LayoutRules

    @property
    def fixed(self) -> tuple[Thing, ...]:
        """What stays where it lies."""
        return tuple(t for t in self.things if self.rules.keep_pins and t.pinned and t.place is not None)

    @property
    def movable(self) -> tuple[Thing, ...]:
        """What is to be laid out."""
        kept = {t.key for t in self.fixed}
        return tuple(t for t in self.things if t.key not in kept)

    @property
    def gather_m(self) -> float:
        """Where the weight gathers, aft [m]."""
        return self.deck.aft_m if self.rules.gather_m is None else self.rules.gather_m

    def grouped(self) -> dict[str, tuple[Thing, ...]]:
        """The groups of two or more, by name."""
        names = dict.fromkeys(t.group for t in self.things if t.group)
        found = {name: tuple(t for t in self.things if t.group == name) for name in names}
        return {name: members for name, members in found.items() if len(members) > 1}

    def keep_outs(self) -> list[Footprint]:
        """Squares around the tie points that are to stay free."""
        room_m = self.rules.tie_room_m
        if room_m is None:
            return []
        side = 2 * room_m
        return [
            Footprint(aft_m=aft, left_m=left, length_m=side, width_m=side) for aft, left in self.tie_points
        ]


def task_of(loadout: Loadout, rules: LayoutRules) -> Task | None:
    """What there is to arrange on a loadout's carrier.

    Parameters
    ----------
    loadout : with its carrier on; rules : what to keep to.

    Returns
    -------
    Task, or None when the carrier is off or nothing rides on it.
    """
    things = things_on(loadout)
    if loadout.carrier is None or not things:
        return None
    points = tuple((p.aft_m, p.left_m) for p in loadout.carrier.tie_points)
    return Task(deck=deck_of(loadout.carrier), tie_points=points, things=things, rules=rules)


def applied(loadout: Loadout, spots: Mapping[str, RoofSpot]) -> Loadout:
    """Return the loadout with things laid out.

    Parameters
    ----------
    loadout : with its carrier on; spots : where each lies, by its key; a key that has left the carrier is passed over.

    Returns
    -------
    Loadout: each thing on the roof rack's top, in the zone that it is then over.
    """
    aboard = {thing.key for thing in things_on(loadout)}
    for key, spot in spots.items():
        if key in aboard:
            loadout = laid(loadout, key, aft_m=spot.aft_m, left_m=spot.left_m, turned=spot.turned)
    return loadout


def footprints(task: Task, spots: Mapping[str, RoofSpot]) -> dict[str, Footprint]:
    """The rectangle of everything that `spots` lays out and of everything fixed, by key."""
    found = {thing.key: thing.footprint for thing in task.fixed}
    for thing in task.movable:
        if thing.key in spots:
            spot = spots[thing.key]
            long, wide = lying(thing.size, turned=spot.turned)
            found[thing.key] = Footprint(aft_m=spot.aft_m, left_m=spot.left_m, length_m=long, width_m=wide)
    return found


def center(task: Task, prints: Mapping[str, Footprint]) -> tuple[float, float]:
    """Where the load's center is, aft and left [m]. `prints` holds every thing of the task; masses as in it."""
    total = fsum(t.mass_kg for t in task.things)
    if total <= 0:
        return task.deck.aft_m, task.deck.left_m
    aft = fsum(t.mass_kg * prints[t.key].aft_m for t in task.things)
    left = fsum(t.mass_kg * prints[t.key].left_m for t in task.things)
    return aft / total, left / total


def spread_m(task: Task, prints: Mapping[str, Footprint]) -> float:
    """How far the weight lies from where it gathers, on average along the vehicle [m]: Σ m · |aft - gather| / Σ m."""
    total = fsum(t.mass_kg for t in task.things)
    if total <= 0:
        return 0.0
    return fsum(t.mass_kg * abs(prints[t.key].aft_m - task.gather_m) for t in task.things) / total


def broken(task: Task, spots: Mapping[str, RoofSpot]) -> tuple[str, ...]:
    """Names of the rules that an arrangement does not keep; empty when it is legal.

    Parameters
    ----------
    task : what was to be arranged; spots : where each movable thing is to lie, by its key.

    Returns
    -------
    tuple of rule names, FIT for overlap, overhang, or a thing left out. Judged on the things' own
    measures, to TOUCH_M; nothing of the solver is used.
    """
    if any(thing.key not in spots for thing in task.movable):
        return (FIT,)
    return tuple(dict.fromkeys(_broken(task, footprints(task, spots))))


def _broken(task: Task, prints: Mapping[str, Footprint]) -> Iterator[str]:
    rules, moved = task.rules, [prints[t.key] for t in task.movable]
    if any(any(overhang(p, task.deck)) for p in moved) or _any_overlap(moved):
        yield FIT
    if any(overlap(p, prints[t.key]) for p in moved for t in task.fixed):
        yield PINNED
    if any(overlap(p, free) for p in moved for free in task.keep_outs()):
        yield TIE_POINTS
    if rules.groups and any(not together([prints[t.key] for t in g]) for g in task.grouped().values()):
        yield GROUPS
    if rules.reach_m is not None and not all(
        at_an_edge(prints[t.key], task.deck, rules.reach_m) for t in task.movable if t.reachable
    ):
        yield REACHABLE
    if any(not in_half(prints[t.key], task.deck, rules.halves.get(t.key, HALF[0])) for t in task.movable):
        yield HALVES
    aft_m, left_m = center(task, prints)
    if rules.balance_m is not None and abs(left_m) > rules.balance_m + TOUCH_M:
        yield BALANCE
    forward = rules.forward_m is not None and aft_m < rules.forward_m - TOUCH_M
    if forward or (rules.rearward_m is not None and aft_m > rules.rearward_m + TOUCH_M):
        yield FORE_AND_AFT


def _any_overlap(prints: Sequence[Footprint]) -> bool:
    return any(overlap(one, other) for i, one in enumerate(prints) for other in prints[i + 1 :])


def near(one: Footprint, other: Footprint) -> bool:
    """Whether two things (`one`, `other`) lie side by side: at most GROUP_GAP_M between them along and across."""
    along = max(one.fore_m, other.fore_m) - min(one.rear_m, other.rear_m)
    across = max(one.right_m, other.right_m) - min(one.far_left_m, other.far_left_m)
    return max(along, across) <= GROUP_GAP_M + TOUCH_M


def together(prints: Sequence[Footprint]) -> bool:
    """Whether all of `prints` hang together: from any one to any other over things that are near each other."""
    reached, left = list(prints[:1]), list(prints[1:])
    for one in reached:  # grows while it is walked
        found = [other for other in left if near(one, other)]
        reached += found
        left = [other for other in left if other not in found]
    return not left


def at_an_edge(box: Footprint, deck: Footprint, reach_m: float) -> bool:
    """Whether a thing lies within reach of a hand: near the deck's left, right, or rear edge.

    Parameters
    ----------
    box : the thing; deck : what it lies on; reach_m : the widest gap to the edge [m].

    Returns
    -------
    bool.
    """
    gaps = (deck.far_left_m - box.far_left_m, box.right_m - deck.right_m, deck.rear_m - box.rear_m)
    return min(gaps) <= reach_m + TOUCH_M


def in_half(box: Footprint, deck: Footprint, half: str) -> bool:
    """Whether a thing's middle (`box`) lies in a half of the `deck`; `half` is one of HALF."""
    if half == HALF[1]:
        return box.aft_m <= deck.aft_m + TOUCH_M
    return half != HALF[2] or box.aft_m >= deck.aft_m - TOUCH_M
