"""What costs how much stability: leave each thing out, see how the center of gravity and the tip angles go."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from loadcalc.checks.ratings.masses import ADDED_KINDS, CARRIER, FUEL, TONGUE, Mass
from loadcalc.checks.ratings.report import Report
from loadcalc.checks.ratings.share import Shares
from loadcalc.checks.stability.stance import empty_stance, stance_of
from loadcalc.checks.stability.tipping import Tips, tip_angles, tip_tangents, worst_side

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import ArrayLike


@dataclass(frozen=True, slots=True, kw_only=True)
class TipCost:
    """What one thing, or one group of things, does to the stance by being aboard.

    mass_kg : its mass [kg].
    up_m, left_m, aft_m : how far it moves the center of gravity up, left, and aft [m].
    side_deg : by how much it lowers the smaller of the two side angles [deg]; below zero: it raises it.
    each_deg : by how much it lowers each of the four angles [deg].
    """

    key: str
    name: str
    mass_kg: float
    up_m: float
    left_m: float
    aft_m: float
    side_deg: float
    each_deg: Tips


def tip_angles_batch(shares: Shares, mass_kg: ArrayLike) -> np.ndarray:
    """The four tip angles of many loadouts at once, through the moments of the share matrix.

    Parameters
    ----------
    shares : the share matrix, M masses; mass_kg : (M,) one loadout, or (N, M) many [kg].

    Returns
    -------
    array: (4,) or (N, 4), in the order of `Tips` [deg]; the same as `tip_angles` of each.
    """
    import numpy as np

    center = shares.centers_m(mass_kg)
    vehicle = shares.vehicle
    found = tip_tangents(
        center[..., 0],
        center[..., 1],
        center[..., 2],
        wheelbase_m=vehicle.wheelbase_m,
        front_track_m=vehicle.front_track_m,
        rear_track_m=vehicle.rear_track_m,
    )
    return np.degrees(np.arctan(np.stack(found, axis=-1)))


def costs_by_thing(report: Report) -> tuple[TipCost, ...]:
    """What each thing aboard costs: every item, person, animal, can, the carrier, the tongue, the fuel in the tank.

    Parameters
    ----------
    report : a judged loadout.

    Returns
    -------
    tuple of TipCost, what costs the smaller side angle most first [deg]. Each is left out alone, so the costs do not
    quite add up to the cost of the whole load.
    """
    names = {stowed.item.key: stowed.item.name for stowed in report.shares.loadout.gear}
    groups: dict[str, tuple[str, list[int]]] = {}
    for index, mass in _countable(report):
        name = names.get(mass.key, mass.name)
        groups.setdefault(mass.key, (name, []))[1].append(index)
    return _ranked(report, [(key, name, found) for key, (name, found) in groups.items()])


def costs_by_place(report: Report) -> tuple[TipCost, ...]:
    """What each zone with all that rides in it costs, and with them the carrier and all on it, the hitch, the seats.

    The carrier and the hitch take in the zones on them, which are listed on their own too.

    Parameters
    ----------
    report : a judged loadout.

    Returns
    -------
    tuple of TipCost, what costs the smaller side angle most first [deg].
    """
    groups: list[tuple[str, str, list[int]]] = []
    added = list(_countable(report))

    def group(key: str, name: str, members: Iterable[int]) -> None:
        found = list(members)
        if found:
            groups.append((key, name, found))

    for zone in report.shares.loadout.zones:
        group(f"zone:{zone.name}", zone.name, (i for i, mass in added if mass.zone == zone.name))
    on_roof = [i for i, mass in added if mass.kind == CARRIER or mass.on_carrier]
    carrier = report.shares.loadout.carrier
    group("carrier", f"{carrier.name} with all on it" if carrier else "The roof with all on it", on_roof)
    group("hitch", "All that hangs on the hitch", (i for i, mass in added if mass.on_hitch))
    group("seats", "Everyone in a seat", (i for i, mass in added if mass.in_seat))
    group("fuel", "Fuel in the tank", (i for i, mass in added if mass.kind == FUEL))
    return _ranked(report, groups)


def cost_of_load(report: Report) -> TipCost:
    """What the whole load costs against the empty vehicle at its curb mass.

    Parameters
    ----------
    report : a judged loadout.

    Returns
    -------
    TipCost: mass [kg] is what the vehicle weighs more than at curb mass, angles against the empty vehicle's [deg].
    """
    loaded, empty = stance_of(report), empty_stance(report.shares.vehicle)
    return _cost(
        ("load", "Everything aboard, against the empty vehicle"),
        loaded.mass_kg - empty.mass_kg,
        (loaded.aft_m - empty.aft_m, loaded.left_m - empty.left_m, loaded.up_m - empty.up_m),
        tip_angles(loaded),
        tip_angles(empty),
    )


def _countable(report: Report) -> Iterator[tuple[int, Mass]]:
    """Masses that could stay at home: all but the empty vehicle and a trailer's part on its own wheels."""
    for index, mass in enumerate(report.shares.masses):
        if mass.kind in ADDED_KINDS | {FUEL, TONGUE} and not mass.towed and report.masses_kg[index] > 0:
            yield index, mass


def _ranked(report: Report, groups: list[tuple[str, str, list[int]]]) -> tuple[TipCost, ...]:
    import numpy as np

    if not groups:
        return ()
    masses_kg = np.asarray(report.masses_kg, dtype=float)
    without = np.tile(masses_kg, (len(groups), 1))
    for row, (_, _, members) in enumerate(groups):
        without[row, members] = 0.0
    centers = report.shares.centers_m(without).tolist()
    angles = tip_angles_batch(report.shares, without).tolist()
    now, here = tip_angles(stance_of(report)), (report.cg.aft_m, report.cg.left_m, report.cg.up_m)
    found = [
        _cost(
            (key, name),
            float(masses_kg[members].sum()),
            tuple(have - had for have, had in zip(here, center, strict=True)),
            now,
            Tips(*tips),
        )
        for (key, name, members), center, tips in zip(groups, centers, angles, strict=True)
    ]
    return tuple(sorted(found, key=lambda cost: cost.side_deg, reverse=True))


def _cost(
    what: tuple[str, str], mass_kg: float, moved_m: tuple[float, ...], now: Tips, without: Tips
) -> TipCost:
    aft_m, left_m, up_m = moved_m
    return TipCost(
        key=what[0],
        name=what[1],
        mass_kg=mass_kg,
        up_m=up_m,
        left_m=left_m,
        aft_m=aft_m,
        side_deg=worst_side(without)[1] - worst_side(now)[1],
        each_deg=Tips(*(had - have for had, have in zip(without, now, strict=True))),
    )
