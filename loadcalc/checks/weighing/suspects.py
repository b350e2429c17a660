"""What may be wrong in the lists: one unknown for each, its doubt, and what it does to a scale's readings."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from loadcalc.checks.balance import Wheels
from loadcalc.checks.ratings.masses import ANIMAL, CARRIER, FUEL, GEAR, LIQUID, PERSON, VEHICLE, Mass
from loadcalc.checks.ratings.share import Shares
from loadcalc.checks.weighing.doubts import Doubts, curb_half_width_kg, item_half_width_kg
from loadcalc.checks.weighing.scales import quadrature, rectangular_u

CURB, UNLISTED = "curb", "unlisted"
AXLE_SPLIT, SIDE_SPLIT = "axle split", "side split"
SPLITS = frozenset({AXLE_SPLIT, SIDE_SPLIT})  # they move kilos between readings and add none


@dataclass(frozen=True, slots=True, kw_only=True)
class Unknown:
    """One thing that may be other than listed.

    kind : "curb", "unlisted", "axle split", "side split", or a kind of mass ("gear", "person", ...).
    listed_kg : what the lists say; u_kg : standard uncertainty [kg]. effect : kilograms that one adds to each reading.
    """

    key: str
    kind: str
    name: str
    zone: str = ""
    listed_kg: float
    u_kg: float
    effect: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """One thing after the weighing.

    doubt_kg, left_kg : standard uncertainty before and after; shift_kg : the most likely change [kg].
    """

    key: str
    kind: str
    name: str
    zone: str
    listed_kg: float
    doubt_kg: float
    shift_kg: float
    left_kg: float

    @property
    def told(self) -> float:
        """How much of its doubt the ticket took away, 0 to 1 [-]."""
        return 1.0 - self.left_kg / self.doubt_kg if self.doubt_kg else 0.0


def unknowns(shares: Shares, rows: list[int], doubts: Doubts) -> list[Unknown]:
    """Everything that the readings may change, with its doubt.

    Parameters
    ----------
    shares : of the loadout as weighed; rows : the rating rows that were read; doubts : half-widths.
    """
    found = [*_masses(shares, rows, doubts), *_unlisted(shares, rows, doubts), *_splits(shares, rows, doubts)]
    return [unknown for unknown in found if unknown.u_kg > 0 and any(unknown.effect)]


def _masses(shares: Shares, rows: list[int], doubts: Doubts) -> Iterator[Unknown]:
    for key, columns in shares.columns.items():
        first = shares.masses[columns[0]]
        listed_kg = float(sum(shares.mass_kg[i] for i in columns))
        parts = [shares.mass_kg[i] / listed_kg if listed_kg else 1 / len(columns) for i in columns]
        yield Unknown(
            key=key,
            kind=CURB if first.kind == VEHICLE else first.kind,
            name="Curb mass" if first.kind == VEHICLE else first.name,
            zone=first.zone if len(columns) == 1 else "",
            listed_kg=shares.vehicle.curb_kg if first.kind == VEHICLE else listed_kg,
            u_kg=rectangular_u(_half_width_kg(shares, first, listed_kg, doubts)),
            effect=tuple(
                sum(float(shares.matrix[row, i]) * part for i, part in zip(columns, parts, strict=True))
                for row in rows
            ),
        )


def _half_width_kg(shares: Shares, mass: Mass, listed_kg: float, doubts: Doubts) -> float:
    tank = shares.vehicle.tank
    by_kind: dict[str, Callable[[], float]] = {
        VEHICLE: lambda: curb_half_width_kg(shares.vehicle, doubts.curb_share),
        FUEL: lambda: doubts.fuel_share * tank.capacity_l * tank.density_kg_per_l,
        CARRIER: lambda: doubts.carrier_share * listed_kg,
        PERSON: lambda: doubts.person_kg,
        ANIMAL: lambda: doubts.animal_share * listed_kg,
        LIQUID: lambda: doubts.liquid_share * listed_kg,
        GEAR: lambda: _gear_half_width_kg(shares, mass.key),
    }
    return by_kind[mass.kind]() if mass.kind in by_kind else 0.0


def _gear_half_width_kg(shares: Shares, key: str) -> float:
    return sum(item_half_width_kg(s.item, s.count) for s in shares.loadout.gear if s.item.key == key)


def _unlisted(shares: Shares, rows: list[int], doubts: Doubts) -> Iterator[Unknown]:
    """One unknown for each zone that something may have been put into without a list."""
    for zone in shares.loadout.zones:
        if zone.on_carrier and shares.loadout.carrier is None:
            continue
        extra = Mass(
            key="", name="", kind=GEAR, mass_kg=0.0, place=zone.place, zone=zone.name,
            mount=zone.mount,
        )  # fmt: skip
        yield Unknown(
            key=f"unlisted:{zone.name}",
            kind=UNLISTED,
            name=f"Unlisted, {zone.name}",
            zone=zone.name,
            listed_kg=0.0,
            u_kg=rectangular_u(doubts.unlisted_kg),
            effect=tuple(shares.rows[row].share(extra) for row in rows),
        )


def _splits(shares: Shares, rows: list[int], doubts: Doubts) -> Iterator[Unknown]:
    """How the empty vehicle and the zones' loads divide between the readings, which moves kilos and adds none."""
    keys = [shares.rows[row].key for row in rows]

    def split(key: str, kind: str, name: str, u_kg: float, effect: dict[str, float]) -> Unknown:
        effects = tuple(effect.get(row, 0.0) for row in keys)
        return Unknown(key=key, kind=kind, name=name, listed_kg=0.0, u_kg=u_kg, effect=effects)

    rearward = {"front_axle": -1.0, "rear_axle": 1.0}
    rearward |= {f"tire:{corner}": -0.5 if corner.startswith("front") else 0.5 for corner in Wheels._fields}
    curb_u = rectangular_u(doubts.split_share * shares.vehicle.curb_kg)
    yield split("split:curb", AXLE_SPLIT, "Curb mass, front to rear", curb_u, rearward)
    yield split("split:load", AXLE_SPLIT, "Load, front to rear", _load_split_u(shares, doubts), rearward)
    for axle in ("front", "rear"):
        u_kg = rectangular_u(doubts.side_share * abs(_load(shares, f"{axle}_axle")))
        left = {f"tire:{axle}_left": 1.0, f"tire:{axle}_right": -1.0}
        yield split(f"side:{axle}", SIDE_SPLIT, f"{axle.capitalize()} axle, right to left", u_kg, left)


def _load(shares: Shares, key: str) -> float:
    return float(shares.loads_kg(shares.mass_kg)[shares.row[key]])


def _load_split_u(shares: Shares, doubts: Doubts) -> float:
    """Each zone's load may act a little further aft or forward: kilos moved between the axles [kg]."""
    by_zone: dict[str, float] = {}
    for mass in shares.masses:
        if mass.zone:
            by_zone[mass.zone] = by_zone.get(mass.zone, 0.0) + mass.mass_kg
    arm = doubts.place_m / shares.vehicle.wheelbase_m
    return quadrature(*(rectangular_u(kg * arm) for kg in by_zone.values()))
