"""The arrangement as a constraint program on a grid (OR-Tools CP-SAT). OR-Tools loads on first use.

Every thing is a rectangle of whole cells, its own measures rounded up; it may be turned a quarter. Its middle
is the middle of its cells. Masses are whole grams, so moments are whole numbers.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any, NamedTuple

from loadcalc.plan.roof_layout.deck import Thing
from loadcalc.plan.roof_layout.footprint import TOUCH_M, Footprint, lying
from loadcalc.plan.roof_layout.layout_rules import GROUP_GAP_M, HALF, RoofSpot, Task

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpModel

GRAIN = 1e-6  # cells: a measure this close to a whole number of cells is one
Value = Callable[[Any], int]


class Box(NamedTuple):
    """A thing's variables: first cell and size along and across, turned, and intervals for both directions."""

    thing: Thing
    fore: Any
    right: Any
    long: Any
    wide: Any
    turned: Any
    along: Any
    across: Any

    @property
    def middle2(self) -> tuple[Any, Any]:
        """Twice its middle [cells], along and across."""
        return 2 * self.fore + self.long, 2 * self.right + self.wide


class Grid:
    """Metres to cells. `cell_m` : side of a cell [m]."""

    def __init__(self, deck: Footprint, cell_m: float) -> None:
        self.deck = deck
        self.cell_m = cell_m
        self.long = math.floor(deck.length_m / cell_m + GRAIN)
        self.wide = math.floor(deck.width_m / cell_m + GRAIN)

    def up(self, length_m: float) -> int:
        """Cells that a length [m] needs."""
        return max(1, math.ceil(length_m / self.cell_m - GRAIN))

    def span(self, low_m: float, high_m: float, most: int) -> tuple[int, int]:
        """First cell and number of cells that a span from the edge takes up [m], cut at the deck."""
        low = max(0, math.floor(low_m / self.cell_m + GRAIN))
        return low, max(0, min(most, math.ceil(high_m / self.cell_m - GRAIN)) - low)


class ArrangementModel:
    """The program of one task.

    task : what to arrange; cell_m : the grid [m]. `impossible` names things that fit neither way round.
    """

    def __init__(self, task: Task, cell_m: float) -> None:
        from ortools.sat.python import cp_model

        self.task = task
        self.grid = Grid(task.deck, cell_m)
        self.model: CpModel = cp_model.CpModel()
        self.impossible: list[Thing] = []
        self.boxes = [box for box in map(self._box, task.movable) if box is not None]
        if not self.impossible:
            self._keep_apart()
            self._keep_groups()
            self._keep_reach()
            self._keep_halves()
            self._keep_center()
            self._gather()

    def spots(self, value: Value) -> dict[str, RoofSpot]:
        """Where everything lies in a solution; `value` reads a variable of it."""
        half, deck = self.grid.cell_m / 2, self.task.deck
        found = {}
        for box in self.boxes:
            along, across = box.middle2
            found[box.thing.key] = RoofSpot(
                deck.fore_m + half * value(along),
                deck.right_m + half * value(across),
                bool(value(box.turned)),
            )
        return found

    def _box(self, thing: Thing) -> Box | None:
        grid, model = self.grid, self.model
        ways = {t: lying(thing.size, turned=t) for t in (False, True)}
        cells = {t: (grid.up(long), grid.up(wide)) for t, (long, wide) in ways.items()}
        may = self.task.rules.may_turn and not thing.key.startswith("filled:")
        tries = [False, True] if may and cells[False] != cells[True] else [may and thing.turned]
        fits = [t for t in tries if cells[t][0] <= grid.long and cells[t][1] <= grid.wide]
        if not fits:
            self.impossible.append(thing)
            return None
        turned = model.new_bool_var("")
        if len(fits) == 1:
            model.add(turned == int(fits[0]))
        (long, wide), (long_t, wide_t) = cells[False], cells[True]
        if len(fits) == 1:
            long, wide = long_t, wide_t = cells[fits[0]]
        size = (long + (long_t - long) * turned, wide + (wide_t - wide) * turned)
        fore = model.new_int_var(0, grid.long - min(long, long_t), "")
        right = model.new_int_var(0, grid.wide - min(wide, wide_t), "")
        rear = model.new_int_var(min(long, long_t), grid.long, "")
        left = model.new_int_var(min(wide, wide_t), grid.wide, "")
        along = model.new_interval_var(fore, size[0], rear, "")
        across = model.new_interval_var(right, size[1], left, "")
        self._hint(thing, fore, right, turned, cells)
        return Box(thing, fore, right, size[0], size[1], turned, along, across)

    def _hint(
        self, thing: Thing, fore: Any, right: Any, turned: Any, cells: Mapping[bool, tuple[int, int]]
    ) -> None:
        if thing.place is None:
            return
        grid, print_ = self.grid, thing.footprint
        long, wide = cells[thing.turned]
        at = round((print_.fore_m - grid.deck.fore_m) / grid.cell_m)
        side = round((print_.right_m - grid.deck.right_m) / grid.cell_m)
        self.model.add_hint(fore, min(max(at, 0), max(grid.long - long, 0)))
        self.model.add_hint(right, min(max(side, 0), max(grid.wide - wide, 0)))
        self.model.add_hint(turned, thing.turned)

    def _fixed(self, box: Footprint) -> tuple[Any, Any] | None:
        """Intervals of a rectangle that does not move; None when it lies outside the deck."""
        grid, deck = self.grid, self.task.deck
        fore, long = grid.span(box.fore_m - deck.fore_m, box.rear_m - deck.fore_m, grid.long)
        right, wide = grid.span(box.right_m - deck.right_m, box.far_left_m - deck.right_m, grid.wide)
        if min(long, wide) == 0:
            return None
        model = self.model
        return (
            model.new_fixed_size_interval_var(fore, long, ""),
            model.new_fixed_size_interval_var(right, wide, ""),
        )

    def _keep_apart(self) -> None:
        """No two boxes overlap, and none overlaps what does not move.

        A fixed rectangle is kept off each box by itself: fixed ones may overlap each other, and as one constraint
        with all of them the proof took several times as long (tests/bench/roof.py has the cases).
        """
        self.model.add_no_overlap_2d([b.along for b in self.boxes], [b.across for b in self.boxes])
        for wall in (*(t.footprint for t in self.task.fixed), *self.task.keep_outs()):
            cells = self._fixed(wall)
            if cells is None:
                continue
            for box in self.boxes:
                self.model.add_no_overlap_2d([box.along, cells[0]], [box.across, cells[1]])

    def _keep_groups(self) -> None:
        """Each thing of a group but the first is near one that comes earlier in some order: so all hang together."""
        model, groups = self.model, self.task.grouped() if self.task.rules.groups else {}
        self._around = [self._sides_around(self._spans(members)) for members in groups.values()]
        for members in groups.values():
            spans = self._spans(members)
            order = [model.new_int_var(0, len(spans) - 1, "") for _ in spans]
            for i in range(1, len(spans)):
                parents = []
                for j in range(len(spans)):
                    if i == j:
                        continue
                    parent = model.new_bool_var("")
                    self._near(spans[i], spans[j], parent)
                    model.add(order[i] >= order[j] + 1).only_enforce_if(parent)
                    parents.append(parent)
                model.add_bool_or(parents)

    def _spans(self, members: tuple[Thing, ...]) -> list[tuple[Any, Any, Any, Any]]:
        """First and last cell, along and across, of every member; a pinned one's are numbers, rounded inward."""
        mine = {box.thing.key: box for box in self.boxes}
        return [
            (box.fore, box.fore + box.long, box.right, box.right + box.wide)
            if (box := mine.get(thing.key))
            else self._still(thing.footprint)
            for thing in members
        ]

    def _still(self, box: Footprint) -> tuple[int, int, int, int]:
        cell_m, deck = self.grid.cell_m, self.task.deck
        return (
            math.ceil((box.fore_m - deck.fore_m) / cell_m - GRAIN),
            math.floor((box.rear_m - deck.fore_m) / cell_m + GRAIN),
            math.ceil((box.right_m - deck.right_m) / cell_m - GRAIN),
            math.floor((box.far_left_m - deck.right_m) / cell_m + GRAIN),
        )

    def _near(self, one: tuple[Any, ...], other: tuple[Any, ...], when: Any) -> None:
        # A thing may be up to a cell smaller than its cells, half at each side: that much less gap is allowed.
        gap = math.floor(GROUP_GAP_M / self.grid.cell_m + GRAIN) - 1
        for low, high in ((0, 1), (2, 3)):
            self.model.add(one[low] <= other[high] + gap).only_enforce_if(when)
            self.model.add(other[low] <= one[high] + gap).only_enforce_if(when)

    def _sides_around(self, spans: list[tuple[Any, Any, Any, Any]]) -> Any:
        """Length and width together of a rectangle that holds all members of a group [cells]."""
        model = self.model
        total: Any = 0
        for low_at, high_at, most in ((0, 1, self.grid.long), (2, 3, self.grid.wide)):
            low, high = model.new_int_var(-most, 2 * most, ""), model.new_int_var(-most, 2 * most, "")
            for span in spans:
                model.add(low <= span[low_at])
                model.add(high >= span[high_at])
            total += high - low
        return total

    def _keep_reach(self) -> None:
        reach_m = self.task.rules.reach_m
        if reach_m is None:
            return
        grid, model = self.grid, self.model
        gap = math.floor(reach_m / grid.cell_m + GRAIN)
        for box in self.boxes:
            if box.thing.reachable:
                edges = [model.new_bool_var("") for _ in range(3)]
                model.add(box.right <= gap).only_enforce_if(edges[0])
                model.add(box.right + box.wide >= grid.wide - gap).only_enforce_if(edges[1])
                model.add(box.fore + box.long >= grid.long - gap).only_enforce_if(edges[2])
                model.add_bool_or(edges)

    def _keep_halves(self) -> None:
        for box in self.boxes:
            half = self.task.rules.halves.get(box.thing.key, HALF[0])
            if half == HALF[1]:
                self.model.add(box.middle2[0] <= self.grid.long)
            elif half == HALF[2]:
                self.model.add(box.middle2[0] >= self.grid.long)

    def _keep_center(self) -> None:
        rules, deck = self.task.rules, self.task.deck
        balance_m = rules.balance_m
        if balance_m is not None:
            self._between(1, deck.right_m, -balance_m, balance_m, self.grid.wide)
        if rules.forward_m is not None or rules.rearward_m is not None:
            low = deck.fore_m - 1 if rules.forward_m is None else rules.forward_m
            high = deck.rear_m + 1 if rules.rearward_m is None else rules.rearward_m
            self._between(0, deck.fore_m, low, high, self.grid.long)

    def _between(self, side: int, edge_m: float, low_m: float, high_m: float, cells: int) -> None:
        """Keep the load's center between two places: Σ m · (at - edge) within both limits, in gram-half-cells."""
        half_m = self.grid.cell_m / 2
        fixed = sum(
            1000 * t.mass_kg * ((t.footprint.aft_m, t.footprint.left_m)[side] - edge_m) / half_m
            for t in self.task.fixed
        )
        total = sum(1000 * t.mass_kg for t in self.task.things)
        slack = 0.5 * 2 * cells * len(self.boxes)  # masses are rounded to the gram
        # as far as `broken` takes for the limit itself: a center that lies right on it is no plan to leave out
        low, high = (total * (m - edge_m) / half_m - fixed for m in (low_m - TOUCH_M, high_m + TOUCH_M))
        moment = sum(round(1000 * b.thing.mass_kg) * b.middle2[side] for b in self.boxes)
        self.model.add_linear_constraint(moment, math.ceil(low + slack), math.floor(high - slack))

    def _gather(self) -> None:
        """Minimize Σ m · |aft - gather|; and an eighth of a group's mass times the two sides of its rectangle."""
        target2 = round((self.task.gather_m - self.task.deck.fore_m) / self.grid.cell_m * 2)
        terms = []
        for box in self.boxes:
            away = self.model.new_int_var(0, 4 * self.grid.long + 2 * abs(target2), "")
            self.model.add_abs_equality(away, box.middle2[0] - target2)
            terms.append(max(1, round(10 * box.thing.mass_kg)) * away)
        for sides, members in zip(self._around, self.task.grouped().values(), strict=False):
            terms.append(max(1, round(10 * sum(t.mass_kg for t in members) / 4)) * sides)
        self.model.minimize(sum(terms))
