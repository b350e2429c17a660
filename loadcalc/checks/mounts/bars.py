"""What each bar of the carrier and each of its feet carries, against their makers' limits.

The platform is a beam along the vehicle on its bars (beam.py). Fore and aft it is shared out by that beam; between the
left and the right foot of a bar by the lever, each load's part acting at its own distance from the center line.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from loadcalc.checks.mounts.beam import beam_shares, points_of, stiff_shares
from loadcalc.checks.ratings.report import ROUNDING, consumed
from loadcalc.model.carrier import Bar, Carrier
from loadcalc.model.loadout import Filled, Loadout, Stowed
from loadcalc.model.vehicle import Limit

BEAM, PLATE = "a platform that bends, on bars that don't yield", "a stiff platform on equal bars that yield"


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """One thing on the carrier: mass [kg], middle (aft, left) [m], and length along the vehicle [m], 0 for a point."""

    name: str
    mass_kg: float
    aft_m: float
    left_m: float = 0.0
    length_m: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Carried:
    """What one bar or foot carries: kilograms by either idea of the platform, and its limit.

    load_kg : the larger of the two [kg]; uplift_kg : how much it is pulled up by, 0 when it is not [kg].
    """

    name: str
    bends_kg: float
    stiff_kg: float
    limit: Limit

    @property
    def load_kg(self) -> float:
        """The larger load [kg]."""
        return max(self.bends_kg, self.stiff_kg)

    @property
    def uplift_kg(self) -> float:
        """Pull upward by the worse of the two ideas, 0 when there is none [kg]."""
        return max(0.0, -min(self.bends_kg, self.stiff_kg))

    @property
    def consumed(self) -> float | None:
        """Load over limit [-], None without a limit."""
        return consumed(max(0.0, self.load_kg), self.limit.limit_kg)

    @property
    def over(self) -> bool:
        """Whether the load exceeds a known limit."""
        share = self.consumed
        return share is not None and share > 1.0 + ROUNDING


@dataclass(frozen=True, slots=True, kw_only=True)
class BarLoad:
    """One bar with its two feet."""

    bar: Bar
    whole: Carried
    left: Carried
    right: Carried


def bar_shares(
    at_m: float, length_m: float, bars_m: Sequence[float], *, stiff: bool = False
) -> tuple[float, ...]:
    """Share of one thing on the carrier that each bar carries.

    With two bars both ideas of the platform agree: the lever. From three on the larger of the two counts.

    Parameters
    ----------
    at_m : its middle [m]
    length_m : its length along the vehicle, over which the load is spread evenly; 0 for a point [m]
    bars_m : where the bars are, in rising order [m]
    stiff : True for a platform that does not bend on bars that yield, False for one that bends on bars that do not

    Returns
    -------
    tuple: one share for each bar [-]; they add up to 1; below zero: pulled up

    Raises
    ------
    BadValue: fewer than two bars, or bars closer than 1 cm or out of order

    Notes
    -----
    Formula: sum over the Gauss points of the stretch of (part of the load · `beam_shares` or `stiff_shares` there)
    Source: elementary statics; Gauss-Legendre points of order 2 between the bars, exact for a beam
    Status: computed

    Examples
    --------
    By the lever: the middle of the load is a quarter of the way from the first bar to the second.

    >>> [round(share, 3) for share in bar_shares(1.25, 0.5, (1.0, 2.0))]
    [0.75, 0.25]
    """
    shared = stiff_shares if stiff else beam_shares
    parts = [(part, shared(point, bars_m)) for point, part in points_of(at_m, length_m, bars_m)]
    return tuple(sum(part * shares[i] for part, shares in parts) for i in range(len(bars_m)))


def foot_loads_kg(bar_kg: float, moment_kg_m: float, half_span_m: float) -> tuple[float, float]:
    """Left and right foot of one bar: half each, more or less by the lever.

    Parameters
    ----------
    bar_kg : load on the bar [kg]
    moment_kg_m : sum of each load times its distance to the left [kg m]
    half_span_m : from the center line to a foot, above zero [m]

    Returns
    -------
    tuple: (left, right) [kg]; below zero: pulled up

    Notes
    -----
    Formula: left = bar / 2 + moment / (2 · half span); right = bar / 2 − moment / (2 · half span)
    Range: any load; the bar itself is taken as stiff enough to stand on both feet
    Source: elementary statics: moments about a foot
    Status: computed

    Examples
    --------
    By hand: 40 kg with its middle 0.2 m to the left, on feet 1 m apart: 20 + 8 and 20 − 8.

    >>> foot_loads_kg(40.0, 8.0, 0.5)
    (28.0, 12.0)
    """
    tilt_kg = moment_kg_m / (2.0 * half_span_m)
    return bar_kg / 2.0 + tilt_kg, bar_kg / 2.0 - tilt_kg


def loads_on_carrier(loadout: Loadout) -> tuple[Load, ...]:
    """Everything that the bars carry: the carrier itself, spread over its length, and what stands on it.

    An item without a size, and a can, is a point: the harder case for the nearest bar.
    """
    carrier = loadout.carrier
    if carrier is None:
        return ()
    own = Load(
        name=carrier.name,
        mass_kg=carrier.mass_kg,
        aft_m=carrier.place.aft_m,
        left_m=carrier.place.left_m,
        length_m=carrier.size.length_m,
    )
    aboard: tuple[Stowed | Filled, ...] = (*loadout.gear, *loadout.liquids)
    return (own, *(_load(loadout, thing) for thing in aboard if loadout.zone(thing.zone).on_carrier))


def _load(loadout: Loadout, thing: Stowed | Filled) -> Load:
    place = thing.place or loadout.zone(thing.zone).place
    length_m = 0.0
    if isinstance(thing, Stowed) and thing.item.size is not None:
        size = thing.item.size
        length_m = size.width_m if thing.turned else size.length_m
    name = thing.item.name if isinstance(thing, Stowed) else thing.liquid.name
    return Load(name=name, mass_kg=thing.mass_kg, aft_m=place.aft_m, left_m=place.left_m, length_m=length_m)


def bar_loads(carrier: Carrier, loads: Iterable[Load]) -> tuple[BarLoad, ...]:
    """What each bar and each foot carries, by both ideas of the platform; nothing when no bars were entered.

    Parameters
    ----------
    carrier : with its bars; loads : what stands on them, the carrier itself included.

    Returns
    -------
    tuple: one for each bar, front to back [kg].

    Raises
    ------
    BadValue for a single bar: it can't hold a carrier.
    """
    if not carrier.bars:
        return ()
    found = tuple(loads)
    bends, stiff = (_sums(carrier.bars, found, stiff=idea) for idea in (False, True))
    return tuple(_bar(bar, one, other) for bar, one, other in zip(carrier.bars, bends, stiff, strict=True))


def _sums(bars: Sequence[Bar], loads: Sequence[Load], *, stiff: bool) -> list[tuple[float, float]]:
    """Load [kg] and sideways moment [kg m] of every bar."""
    bars_m = [bar.aft_m for bar in bars]
    shares = [bar_shares(load.aft_m, load.length_m, bars_m, stiff=stiff) for load in loads]
    return [
        (
            sum(share[i] * load.mass_kg for share, load in zip(shares, loads, strict=True)),
            sum(share[i] * load.mass_kg * load.left_m for share, load in zip(shares, loads, strict=True)),
        )
        for i in range(len(bars))
    ]


def _bar(bar: Bar, bends: tuple[float, float], stiff: tuple[float, float]) -> BarLoad:
    by_beam, by_plate = (foot_loads_kg(kg, moment, bar.half_span_m) for kg, moment in (bends, stiff))
    feet = [
        Carried(name=f"{bar.name}, {side} foot", bends_kg=a, stiff_kg=b, limit=bar.foot_limit)
        for side, a, b in zip(("left", "right"), by_beam, by_plate, strict=True)
    ]
    whole = Carried(name=bar.name, bends_kg=bends[0], stiff_kg=stiff[0], limit=bar.limit)
    return BarLoad(bar=bar, whole=whole, left=feet[0], right=feet[1])
