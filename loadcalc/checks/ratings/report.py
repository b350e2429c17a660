"""Judge one loadout: every rating's load, share, and headroom, tightest first."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

from loadcalc.checks.balance import Wheels
from loadcalc.checks.ratings.rows import seats_taken
from loadcalc.checks.ratings.share import Shares
from loadcalc.model.errors import BadValue, NotFound
from loadcalc.model.limits import ALWAYS
from loadcalc.model.space import Place

if TYPE_CHECKING:
    import numpy as np
    import pandas as pd

OVER, OVER_ASSUMED, IN_DOUBT, UNKNOWN, WITHIN_ASSUMED, WITHIN = STATES = (
    "over", "over by assumption", "in doubt by assumption", "not known", "within by assumption", "within",
)  # fmt: skip  # worst first
UNCOUNTED_SEATS = ("number of seats not entered, so not judged", "count the belts, and enter it")
ROUNDING = 1e-9  # an exactly full rating must not read as over because of the last bit of a float


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """What one mass adds to one rating: its mass [kg], its share [-], and their product, `adds` [row's unit]."""

    key: str
    name: str
    mass_kg: float
    share: float
    adds: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RatingResult:
    """One rating, judged.

    load, limit, headroom : [unit], "kg" for all but the seats, which count "people".
    limit, consumed, headroom : None when the limit is not known; that is never a pass.
    counts : what counts against it, in words; read_at : where the limit was read.
    low, high : the least and the most that the load can be by what is assumed of the vehicle [unit]; None: as the load.
    assumed : what limit and load take for granted, "" when the limit was read and all that counts was entered.
    unjudged : what is the matter, and its cure, when not the limit is missing but how much counts against it.
    """

    key: str
    name: str
    group: str
    unit: str = "kg"
    load: float
    limit: float | None
    low: float | None = None
    high: float | None = None
    condition: str
    counts: str
    read_at: str
    assumed: str = ""
    unjudged: tuple[str, str] | None = None
    _source: Report = field(repr=False, compare=False)

    @property
    def consumed(self) -> float | None:
        """Load over limit [-]; infinite when something stands where nothing may."""
        return consumed(self.load, self.limit)

    @property
    def headroom(self) -> float | None:
        """Limit minus load [unit]; below zero: over by that much."""
        return None if self.limit is None else self.limit - self.load

    @property
    def known(self) -> bool:
        """Whether there is a limit to hold it against."""
        return self.limit is not None

    @property
    def over(self) -> bool:
        """Whether the load exceeds a known limit."""
        share = self.consumed
        return share is not None and share > 1.0 + ROUNDING

    @property
    def state(self) -> str:
        """How it stands, one of STATES; what is assumed or not known never reads as a pass."""
        if not self.known:
            return UNKNOWN
        if not self.assumed:
            return OVER if self.over else WITHIN
        return OVER_ASSUMED if self.over else IN_DOUBT if self.may_be_over else WITHIN_ASSUMED

    @property
    def surely_over(self) -> bool:
        """Whether even the least that it can be by what is assumed of the vehicle exceeds the limit."""
        share = consumed(self.load if self.low is None else self.low, self.limit)
        return self.over and share is not None and share > 1.0 + ROUNDING

    @property
    def may_be_over(self) -> bool:
        """Whether the load is within the limit by less than the margin of what is assumed."""
        share = consumed(self.load if self.high is None else self.high, self.limit)
        return share is not None and not self.over and share > 1.0 + ROUNDING

    @property
    def load_kg(self) -> float:
        """Load [kg], for ratings in kilograms."""
        return self._in_kg(self.load)

    @property
    def limit_kg(self) -> float | None:
        """Limit [kg] or None, for ratings in kilograms."""
        return None if self.limit is None else self._in_kg(self.limit)

    @property
    def headroom_kg(self) -> float | None:
        """Headroom [kg] or None, for ratings in kilograms."""
        return None if self.headroom is None else self._in_kg(self.headroom)

    @property
    def parts(self) -> tuple[Part, ...]:
        """Which masses count, and how much each adds, largest first; their sum is the load."""
        return self._source.parts(self.key)

    def _in_kg(self, value: float) -> float:
        if self.unit != "kg":
            raise TypeError(f"{self.name} counts {self.unit}, not kg: use .load, .limit, .headroom")
        return value


def consumed(load: float, limit: float | None) -> float | None:
    """Load over limit [-], or None without a limit. Nothing on a zero limit is 0; anything is infinite."""
    if limit is None:
        return None
    if limit > 0:
        return load / limit
    return math.inf if load > 0 else 0.0


def _tightness(rating: RatingResult) -> tuple[int, float]:
    """Order of the ratings. Full seats are no strain, so seats lead only when there are too few."""
    if rating.consumed is None:
        return 0, 0.0
    counted_only = rating.unit != "kg" and not rating.over
    return (1 if counted_only else 2), rating.consumed


class Report:
    """The whole judgment of one loadout.

    Attributes
    ----------
    mass_kg : total [kg]. cg : center of gravity. front_axle_kg, rear_axle_kg : [kg]. wheels_kg : Wheels [kg].
    ratings : every rating, tightest first, the ones without a known limit last.
    notes : what these numbers rest on or warn of, in sentences.
    """

    def __init__(self, shares: Shares, mass_kg: Sequence[float] | np.ndarray | None = None) -> None:
        self.shares = shares
        self.masses_kg = shares.mass_kg if mass_kg is None else mass_kg
        if len(self.masses_kg) != len(shares.masses):
            problem = f"are not the {len(shares.masses)} masses of this loadout"
            raise BadValue("masses", len(self.masses_kg), problem, "give one for each column of the shares")
        rows = len(shares.rows)
        values = shares.stacked(self.masses_kg).tolist()
        self.loads_kg = values[:rows]
        self.mass_kg, aft, left, up = values[rows:]
        if self.mass_kg <= 0:
            raise BadValue(
                "total mass", self.mass_kg, "kg has no center of gravity", "give the vehicle its mass"
            )
        self.cg = Place(aft_m=aft / self.mass_kg, left_m=left / self.mass_kg, up_m=up / self.mass_kg)
        self.front_axle_kg: float = self.loads_kg[shares.row["front_axle"]]
        self.rear_axle_kg: float = self.loads_kg[shares.row["rear_axle"]]
        self.wheels_kg = Wheels(*(self.loads_kg[shares.row[f"tire:{corner}"]] for corner in Wheels._fields))

    @cached_property
    def ratings(self) -> tuple[RatingResult, ...]:
        """Every rating, tightest first; unknown limits last."""
        return tuple(sorted((*self._results(), self._seats()), key=_tightness, reverse=True))

    @cached_property
    def _by_key(self) -> dict[str, RatingResult]:
        return {rating.key: rating for rating in self.ratings}

    def frame(self) -> pd.DataFrame:
        """Return every rating as a row of a pandas table, tightest first, indexed by its key.

        Returns
        -------
        DataFrame: `name`, `condition`, `state` (one of STATES), `load_kg`, `limit_kg`, `headroom_kg` [kg],
        `consumed` [-], `read_at`. A limit that is not known is NaN: read `state`, never a comparison with NaN.
        Seats count people, so that their three columns in kg are NaN too.
        """
        import pandas as pd

        rows = [
            {
                "name": rating.name, "condition": rating.condition, "state": rating.state,
                **dict.fromkeys(("load_kg", "limit_kg", "headroom_kg")), "consumed": rating.consumed,
                "read_at": rating.read_at,
                **({"load_kg": rating.load, "limit_kg": rating.limit, "headroom_kg": rating.headroom}
                   if rating.unit == "kg" else {}),
            }
            for rating in self.ratings
        ]  # fmt: skip
        kinds = dict.fromkeys(("load_kg", "limit_kg", "headroom_kg", "consumed"), "float64")
        kinds |= dict.fromkeys(("name", "condition", "read_at"), "string")
        index = pd.Index([rating.key for rating in self.ratings], name="rating", dtype="string")
        frame = pd.DataFrame(rows, index=index).astype(kinds)
        return frame.assign(state=pd.Categorical(frame["state"], categories=STATES, ordered=True))

    @property
    def tightest(self) -> RatingResult | None:
        """The rating that uses the largest share of its limit, or None when no limit in kg is known."""
        first = self.ratings[0]
        return first if first.known and (first.unit == "kg" or first.over) else None

    @property
    def over(self) -> tuple[RatingResult, ...]:
        """The ratings whose limit is exceeded, worst first."""
        return tuple(rating for rating in self.ratings if rating.over)

    @property
    def not_known(self) -> tuple[RatingResult, ...]:
        """The ratings without a known limit."""
        return tuple(rating for rating in self.ratings if not rating.known)

    def rating(self, key: str) -> RatingResult:
        """Return one rating by its key."""
        if key not in self._by_key:
            raise NotFound("rating", key, tuple(self._by_key))
        return self._by_key[key]

    def parts(self, key: str) -> tuple[Part, ...]:
        """Which masses count against one rating and what each adds, largest first."""
        import numpy as np

        if key == "seats":
            seated = seats_taken(self.shares.masses)
            return tuple(Part(key=m.key, name=m.name, mass_kg=m.mass_kg, share=1.0, adds=1.0) for m in seated)
        if key not in self.shares.ideas:
            raise NotFound("rating", key, ("seats", *self.shares.ideas))
        row = self.shares.matrix[self._worst(key)].tolist()
        found = zip(self.shares.masses, row, np.asarray(self.masses_kg, dtype=float).tolist(), strict=True)
        parts = (
            Part(key=mass.key, name=mass.name, mass_kg=kg, share=share, adds=share * kg)
            for mass, share, kg in found
            if share * kg
        )
        return tuple(sorted(parts, key=lambda part: abs(part.adds), reverse=True))

    @cached_property
    def notes(self) -> tuple[str, ...]:
        """What the numbers rest on, and what they warn of."""
        vehicle = self.shares.vehicle
        share = f"{vehicle.front_roll_share:.0%} of the roll stiffness is taken to be at the front axle"
        height = vehicle.cg_height_from or "nobody said"
        notes = [
            f"Wheel loads: {share}; the axle sums do not depend on it.",
            f"Height of the empty vehicle's center of gravity: {height}.",
        ]
        lifted = [name.replace("_", " ") for name, kg in self.wheels_kg._asdict().items() if kg < 0]
        if lifted:
            notes.append(
                f"By these numbers the {' and '.join(lifted)} wheel would leave the ground: check the places."
            )
        return tuple(notes)

    @cached_property
    def _ends(self) -> tuple[list[float], list[float]]:
        """The least and the most of each row [kg]: the load itself where nothing is assumed."""
        if not self.shares.margins.there:
            return self.loads_kg, self.loads_kg
        low, high = self.shares.margins.ends_kg(self.masses_kg)
        return low.tolist(), high.tolist()

    def _assumed(self, index: int) -> str:
        """What a row takes for granted of its limit, and of the vehicle's measures."""
        limit = self.shares.rows[index].limit
        if limit.limit_kg is None or not self.shares.margins.there:
            return limit.assumed
        measures = self.shares.margins.rests_on(index, self.masses_kg)
        named = f"assumed: {', '.join(measures)}" if measures else ""
        return "; ".join(filter(None, (limit.assumed, named)))

    def _results(self) -> Iterator[RatingResult]:
        for key in self.shares.ideas:
            index = self._worst(key)
            row = self.shares.rows[index]
            ends = [[of[one] for one in self.shares.ideas[key]] for of in self._ends]
            yield RatingResult(
                key=key,
                name=row.name,
                group=row.group,
                load=self.loads_kg[index],
                limit=row.limit.limit_kg,
                low=max(ends[0]),
                high=max(ends[1]),
                condition=row.condition,
                counts=row.counts,
                read_at=row.limit.read_at,
                assumed=self._assumed(index),
                unjudged=row.unjudged,
                _source=self,
            )

    def _worst(self, key: str) -> int:
        """Where the row stands that loads a rating most."""
        return max(self.shares.ideas[key], key=self.loads_kg.__getitem__)

    def _seats(self) -> RatingResult:
        counted = not self.shares.vehicle.not_known("seats")
        return RatingResult(
            key="seats",
            name="Seats",
            group="vehicle",
            unit="people",
            condition=ALWAYS,
            load=float(len(seats_taken(self.shares.masses))),
            limit=float(len(self.shares.vehicle.seats)) if counted else None,
            unjudged=None if counted else UNCOUNTED_SEATS,
            counts="everyone who takes a seat",
            read_at="seats entered for the vehicle",
            _source=self,
        )
