"""A weighbridge ticket against the ratings: each load that it shows beside the limit of that load."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loadcalc.checks.ratings.report import ROUNDING, consumed
from loadcalc.checks.ratings.share import Shares
from loadcalc.checks.weighing.scales import COVERAGE
from loadcalc.checks.weighing.ticket import READINGS, SUMS, Ticket, as_weighed, ticket_gaps
from loadcalc.model.limits import Limit
from loadcalc.model.loadout import Loadout
from loadcalc.model.vehicle import Vehicle

OVER, MAY_BE_OVER, WITHIN, NOT_KNOWN = "over", "may be over", "within", "not known"


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldReading:
    """One load as a scale showed it, beside the limit of one rating. All [kg].

    key, name, condition, limit : of the rating. readings : what was added up, by the keys of READINGS.
    measured_kg : what the scale showed; plus_minus_kg : its margin of error in that, about 95% (k = 2).
    aboard_later_kg : what leaves with the vehicle and did not stand on the scale, by the lists: people who stepped
    off, fuel, a trailer's tongue. Below zero: less leaves than was weighed.
    """

    key: str
    name: str
    condition: str
    limit: Limit
    readings: tuple[str, ...]
    measured_kg: float
    plus_minus_kg: float
    aboard_later_kg: float = 0.0

    @property
    def limit_kg(self) -> float | None:
        """The rating's limit [kg], None where nobody knows it."""
        return self.limit.limit_kg

    @property
    def load_kg(self) -> float:
        """What is held against the limit [kg]: as shown, and what comes aboard later; never less than was shown."""
        return self.measured_kg + max(self.aboard_later_kg, 0.0)

    @property
    def consumed(self) -> float | None:
        """Load over limit [-], None without a limit."""
        return consumed(self.load_kg, self.limit_kg)

    @property
    def over(self) -> bool:
        """Whether the load is beyond a known limit as it stands, whatever the scale's margin."""
        share = self.consumed
        return share is not None and share > 1.0 + ROUNDING

    @property
    def headroom_kg(self) -> float | None:
        """Limit less load [kg], None without a limit."""
        return None if self.limit_kg is None else self.limit_kg - self.load_kg

    @property
    def state(self) -> str:
        """OVER, MAY_BE_OVER (the scale's margin reaches beyond the limit), WITHIN, or NOT_KNOWN."""
        if self.headroom_kg is None:
            return NOT_KNOWN
        if self.over:
            return OVER
        return MAY_BE_OVER if self.headroom_kg < self.plus_minus_kg else WITHIN


def readings_against_ratings(vehicle: Vehicle, loadout: Loadout, ticket: Ticket) -> tuple[HeldReading, ...]:
    """Hold every load that a ticket shows against each rating that limits it.

    over: shown + aboard later > limit. may be over: not that, and shown + aboard later + ± > limit. A load that was not
    read by itself is the sum of its parts, where all of them were: axles are wheels, the total is axles. Where a
    reading and its parts differ by more than the scale can be wrong, the larger counts.

    Parameters
    ----------
    vehicle : with its limits.
    loadout : as it leaves; the limits of its tires are those at its pressures.
    ticket : what the scale showed, who sat in the vehicle, and how much fuel was in it.

    Returns
    -------
    tuple: a HeldReading for each rating, in the order of READINGS [kg]. What the scale cannot tell (placard, roof,
    zones, hitch) has none.

    Raises
    ------
    BadValue for more fuel than the tank holds. An overload is a result, never an error.
    """
    import numpy as np

    leaving, stood = Shares(vehicle, loadout), Shares(vehicle, as_weighed(vehicle, loadout, ticket))
    later_kg = {row.key: _load_kg(leaving, row.key) - _load_kg(stood, row.key) for row in stood.rows}
    noise = ticket.scale.covariance(list(ticket.readings_kg.values()))
    found = []
    for key, parts in loads_shown(ticket).items():
        by = np.array([float(reading in parts) for reading in ticket.readings_kg])
        for row in stood.rows:
            if row.key in _rows_of(key):
                found.append(
                    HeldReading(
                        key=row.key,
                        name=row.name,
                        condition=row.condition,
                        limit=row.limit,
                        readings=parts,
                        measured_kg=sum(ticket.readings_kg[part] for part in parts),
                        plus_minus_kg=COVERAGE * float(by @ noise @ by) ** 0.5,
                        aboard_later_kg=later_kg[row.key],
                    )
                )
    return tuple(found)


def loads_shown(ticket: Ticket) -> dict[str, tuple[str, ...]]:
    """Which loads a ticket shows, and the readings that each is the sum of.

    Parameters
    ----------
    ticket : what the scale showed.

    Returns
    -------
    dict: by the keys of READINGS and in their order, the keys of the readings to add up.

    >>> from loadcalc.checks.weighing.scales import Scale
    >>> loads_shown(Ticket(readings_kg={"front_axle": 1200, "rear_axle": 1300}, scale=Scale(resolution_kg=10)))
    {'total': ('front_axle', 'rear_axle'), 'front_axle': ('front_axle',), 'rear_axle': ('rear_axle',)}
    """
    found: dict[str, tuple[str, ...]] = {key: (key,) for key in ticket.readings_kg}
    slips = sorted(ticket_gaps(ticket), key=lambda gap: -gap.gap_kg)  # the largest sum of parts last: it counts
    found |= {gap.whole: gap.parts for gap in slips if gap.gap_kg < 0}
    for whole, parts in (*SUMS, *SUMS):  # twice: a total of axles that are themselves sums of wheels
        if whole not in found and all(part in found for part in parts):
            found[whole] = tuple(reading for part in parts for reading in found[part])
    return {key: found[key] for key in READINGS if key in found}


def _rows_of(reading: str) -> Iterator[str]:
    """The ratings whose load a reading is: a wheel's is that of its tire on the road, and on the trail too."""
    row = READINGS[reading][1]
    yield row
    if row.startswith("tire:"):
        yield row.replace("tire:", "trail:")


def _load_kg(shares: Shares, key: str) -> float:
    return float(shares.loads_kg(shares.mass_kg)[shares.row[key]])
