"""A loadout as a table of choices: every thing in every zone, or left home, and what that adds to every row.

The rows are the ratings, taken from the same functions that `evaluate` reads, so a new rating comes along by itself;
then the room in each zone; then the two sides of the center line. A rating whose limit nobody knows may carry what it
carries now and no more, unless `Rules.may_add_to` names it. All are linear:

    load[row] = base[row] + sum over things of adds[row, thing, where it rides]  <=  cap[row]
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from copy import copy
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from loadcalc.checks.findings.judge import evaluate
from loadcalc.checks.ratings.masses import GEAR, LIQUID, Mass, masses
from loadcalc.checks.ratings.report import ROUNDING
from loadcalc.checks.ratings.row import RatingRow
from loadcalc.model.errors import BadValue
from loadcalc.model.loadout import Filled, Loadout, Stowed
from loadcalc.model.vehicle import Vehicle
from loadcalc.plan.advice import allowed as ruled
from loadcalc.plan.advice.allowed import AdviceRules

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

LEFT = -1  # where a thing is that is left home
Assign = tuple[int, ...]
RATING, UNKNOWN, ROOM, SIDE = "rating", "unknown", "room", "side"
SAME = 1e-9  # loads that differ by less are the same, but for rounding


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One thing to decide about: all pieces of an item that ride together, or a container with what is in it.

    zone : index of the zone it rides in now; must_come : never left home; pinned : never moved.
    """

    key: str
    name: str
    liquid: bool
    mass_kg: float
    zone: int
    must_come: bool
    pinned: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ProgramRow:
    """One limit. Several rows have the key of one rating that is worked out in several ways; each of them must hold.

    kind : "rating", "unknown" (a rating without a known limit), "room" (a zone's volume), or "side".
    scale : what a relative slack is taken of; of an unknown limit one kilogram, for nothing is known to take it of.
    """

    key: str
    name: str
    kind: str
    scale: float


class Problem:
    """What advice works on.

    Attributes
    ----------
    things : N choices; zones : Z names; rows : R limits. now : (N,) zone of each thing.
    may : (N, Z + 1) where each thing may ride; the last column is being left home.
    base : (R,) load of all that is not decided about; adds : (R, N, Z + 1) load of each thing in each place.
    cap : (R,) the most. over : what no thing can change and is over, seats for example, by name.
    may_gain : the ratings without a known limit that some thing adds to somewhere it may ride; allowed ones, too.
    up, mass_kg : (N, Z + 1) moment of height [kg m] and mass [kg] on the vehicle; base_up, base_kg : of the rest.
    """

    def __init__(self, vehicle: Vehicle, loadout: Loadout, rules: AdviceRules | None = None) -> None:
        self.vehicle, self.loadout, self.rules = vehicle, loadout, rules or AdviceRules()
        self.report = evaluate(vehicle, loadout)
        self.aboard: tuple[Stowed | Filled, ...] = (*loadout.gear, *loadout.liquids)
        self.zones = tuple(zone.name for zone in loadout.zones)
        self._closed = [ruled.closed(vehicle, loadout, zone) for zone in loadout.zones]
        columns = self._columns()
        self.things = tuple(
            self._choice(thing, mass) for thing, mass in zip(self.aboard, columns[-1], strict=True)
        )
        self.now = np.array([thing.zone for thing in self.things], dtype=int)
        self.may = self._may()
        self.mass_kg = self._spread([mass.mass_kg for mass in columns[-1]])
        self._fill_rows(columns)

    @property
    def stay(self) -> Assign:
        """Everything where it is."""
        return tuple(int(zone) for zone in self.now)

    def _columns(self) -> list[list[Mass]]:
        """The masses of all things in each zone, then where they are now."""

        def all_in(zone: str) -> Loadout:
            gear = tuple(replace(s, zone=zone, place=None) for s in self.loadout.gear)
            liquids = tuple(replace(f, zone=zone, place=None) for f in self.loadout.liquids)
            return replace(self.loadout, gear=gear, liquids=liquids)

        nowhere = _of_things(masses(self.vehicle, self.loadout))
        found = []
        for zone in self.loadout.zones:
            off = zone.on_carrier and self.loadout.carrier is None  # nothing may ride there at all
            found.append(nowhere if off else _of_things(masses(self.vehicle, all_in(zone.name))))
        return [*found, nowhere]

    def _choice(self, thing: Stowed | Filled, mass: Mass) -> Choice:
        gear = isinstance(thing, Stowed)
        return Choice(
            key=mass.key,
            name=mass.name,
            liquid=not gear,
            mass_kg=mass.mass_kg,
            zone=self.zones.index(thing.zone),
            # How much to pour is people's to decide: advice moves a container, but never leaves one home.
            must_come=thing.item.must_come if isinstance(thing, Stowed) else True,
            pinned=thing.pinned if isinstance(thing, Stowed) else False,
        )

    def _may(self) -> NDArray[np.bool_]:
        may = np.zeros((len(self.things), len(self.zones) + 1), dtype=bool)
        for index, (thing, choice) in enumerate(zip(self.aboard, self.things, strict=True)):
            for number in range(len(self.zones)):
                may[index, number] = not self.why_not(thing, choice, number)
            may[index, LEFT] = not choice.must_come
        return may

    def why_not(self, thing: Stowed | Filled, choice: Choice, number: int) -> str:
        """Why a thing must not ride in a zone, by its number; nothing when it may."""
        if choice.pinned:
            return "" if number == choice.zone else "it is pinned where it is"
        zone = self.loadout.zones[number]
        wrong = ruled.refusal(self.vehicle, zone, thing, self.rules)
        if wrong or number == choice.zone:
            return wrong  # what is in a zone already has shown that it fits there
        if self._closed[number]:
            return self._closed[number]
        return "" if ruled.fits(ruled.size_of(thing), zone, self.loadout) else "it is too big"

    @property
    def misplaced(self) -> tuple[int, ...]:
        """The things that must not stay where they are."""
        return tuple(i for i, zone in enumerate(self.stay) if not self.may[i, zone])

    @property
    def homeless(self) -> tuple[int, ...]:
        """The things that no zone may take."""
        return tuple(int(i) for i in np.flatnonzero(~self.may[:, :LEFT].any(axis=1)))

    def _spread(self, each: Sequence[float]) -> Floats:
        """The same value in every zone, nothing when left home."""
        wide = np.repeat(np.array(each, dtype=float).reshape(-1, 1), len(self.zones) + 1, axis=1)
        wide[:, LEFT] = 0.0
        return wide

    def _by_place(self, columns: list[list[Mass]], value: Callable[[Mass], float]) -> Floats:
        """`value(mass)` of each thing in each zone; where it rides now it keeps its own place."""
        table = np.zeros((len(self.things), len(self.zones) + 1))
        for number, column in enumerate(columns[:-1]):
            table[:, number] = [value(mass) for mass in column]
        table[np.arange(len(self.things)), self.now] = [value(mass) for mass in columns[-1]]
        return table

    def _fill_rows(self, columns: list[list[Mass]]) -> None:
        left_m = self._by_place(columns, lambda mass: mass.place.left_m)
        self.up = self._by_place(columns, lambda mass: mass.place.up_m) * self.mass_kg
        rows: list[ProgramRow] = []
        blocks: list[tuple[float, Floats, float]] = []  # load now, what each thing adds, cap
        may_gain: list[RatingRow] = []
        for row, load_kg in zip(self.report.shares.rows, self.report.loads_kg, strict=True):
            adds = self._by_place(columns, row.share) * self.mass_kg
            limit_kg = row.limit.limit_kg
            if limit_kg is None:
                if not self._gains(adds):
                    continue
                may_gain.append(row)
                if row.rating_key in self.rules.may_add_to:
                    continue
                limit_kg = self.report.rating(row.rating_key).load_kg  # the worst of its rows, now
            rows.append(_rating(row))
            blocks.append((load_kg, adds, limit_kg))
        for line, block in (*self._rooms(), *self._sides(left_m)):
            rows.append(line)
            blocks.append(block)
        self.rows, self.may_gain = tuple(rows), tuple(may_gain)
        self.adds = np.array([adds for _, adds, _ in blocks]).reshape(
            len(rows), len(self.things), len(self.zones) + 1
        )
        now = np.array([load for load, _, _ in blocks])
        self.base = now - self._picked(self.adds, self.stay)
        self.cap = np.array([cap for _, _, cap in blocks])
        self.most = self.cap + ROUNDING * np.array([row.scale for row in rows])
        self.base_kg = self.report.mass_kg - float(self._picked(self.mass_kg, self.stay))
        self.base_up = self.report.mass_kg * self.report.cg.up_m - float(self._picked(self.up, self.stay))
        judged = {row.key for row in rows}
        self.over = tuple(rating.name for rating in self.report.over if rating.key not in judged)

    def _gains(self, adds: Floats) -> bool:
        """Whether some thing adds more in a place that it may have than where it is now."""
        now = adds[np.arange(len(self.things)), self.now]
        return bool((self.may & (adds > now[:, None] + SAME)).any())

    def _rooms(self) -> Iterator[tuple[ProgramRow, tuple[float, Floats, float]]]:
        each = self._spread([ruled.volume_l(thing, self.rules) for thing in self.aboard])
        for number, zone in enumerate(self.loadout.zones):
            adds = np.zeros_like(each)
            adds[:, number] = each[:, number]
            now_l = float(self._picked(adds, self.stay))
            room_l = self.rules.fill * zone.size.volume_l
            if room_l > 0:
                # What rides there now does fit, whatever the boxes add up to; it may only not get fuller.
                yield (
                    ProgramRow(key=f"room:{zone.name}", name=f"Room in {zone.name}", kind=ROOM, scale=room_l),
                    (now_l, adds, max(room_l, now_l)),
                )

    def _sides(self, left_m: Floats) -> Iterator[tuple[ProgramRow, tuple[float, Floats, float]]]:
        """Moment about the center line at most `side_m` times the mass; one that is past it may not get worse."""
        now_m = self.report.cg.left_m
        most_m = max(self.rules.side_m, abs(now_m))
        for sign, word in ((1.0, "left"), (-1.0, "right")):
            adds = self.mass_kg * (sign * left_m - most_m)
            load = self.report.mass_kg * (sign * now_m - most_m)
            scale = self.report.mass_kg * max(self.rules.side_m, 1e-3)
            yield (
                ProgramRow(key=f"side:{word}", name=f"Balance, {word} side", kind=SIDE, scale=scale),
                (load, adds, 0.0),
            )

    def no_worse(self) -> Problem:
        """The same choices where what is over now may stay over, but not more so, and nothing else may get over."""
        eased = copy(self)
        now = self.loads(self.stay)
        eased.cap, eased.most = np.maximum(self.cap, now), np.maximum(self.most, now + SAME)
        eased.may = self.may.copy()
        eased.may[np.arange(len(self.things)), self.now] = True
        eased.over = ()
        return eased

    def _picked(self, table: Floats, assign: Assign) -> Floats:
        """Sum over the things of `table[..., thing, where]`."""
        return table[..., np.arange(len(assign)), list(assign)].sum(axis=-1)

    def loads(self, assign: Assign) -> Floats:
        """Load on every row, (R,), for one choice of places [row's unit]."""
        return self.base + self._picked(self.adds, assign)

    def broken(self, assign: Assign) -> tuple[int, ...]:
        """The rows that a choice of places exceeds."""
        return tuple(int(row) for row in np.flatnonzero(self.loads(assign) > self.most))

    def allowed(self, assign: Assign) -> bool:
        """Whether every thing is where it may be and no row is exceeded."""
        return bool(self.may[np.arange(len(assign)), list(assign)].all()) and not self.broken(assign)

    def up_kgm(self, assign: Assign) -> float:
        """Moment of height [kg m] of the whole vehicle for one choice of places."""
        return float(self.base_up + self._picked(self.up, assign))

    def height_m(self, assign: Assign) -> float:
        """Height of the center of gravity [m] for one choice of places."""
        return self.up_kgm(assign) / float(self.base_kg + self._picked(self.mass_kg, assign))

    def rearranged(self, assign: Assign) -> Loadout:
        """The loadout with every thing where `assign` says."""
        if len(assign) != len(self.things):
            raise BadValue(
                "places", len(assign), f"are not the {len(self.things)} things", "give one for each"
            )
        rides = [self._put(thing, where) for thing, where in zip(self.aboard, assign, strict=True)]
        gear = tuple(thing for thing in rides if isinstance(thing, Stowed))
        liquids = tuple(thing for thing in rides if isinstance(thing, Filled))
        return replace(self.loadout, gear=gear, liquids=liquids)

    def _put(self, thing: Stowed | Filled, where: int) -> Stowed | Filled | None:
        if where == LEFT:
            return None
        zone = self.zones[where]
        return thing if thing.zone == zone else replace(thing, zone=zone, place=None)


def _of_things(all_masses: tuple[Mass, ...]) -> list[Mass]:
    return [mass for mass in all_masses if mass.kind in (GEAR, LIQUID)]


def _rating(row: RatingRow) -> ProgramRow:
    kind = UNKNOWN if row.limit.limit_kg is None else RATING
    return ProgramRow(key=row.rating_key, name=row.name, kind=kind, scale=row.limit.limit_kg or 1.0)
