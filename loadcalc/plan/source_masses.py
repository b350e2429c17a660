"""The doubts of masses: the vehicle and its fuel, riders, gear and the scale it was weighed on, liquids, trailer."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from loadcalc.checks.hitch import SHARING_MOST, SHARING_SOURCE
from loadcalc.checks.ratings.masses import ANIMAL, CARRIER, FUEL, PERSON, TONGUE, TRAILER
from loadcalc.checks.weighing.doubts import curb_half_width_kg
from loadcalc.model.assumption import half_width
from loadcalc.model.carrier import Trailer
from loadcalc.model.loadout import Stowed
from loadcalc.plan.assumed import NO_SOURCE, density_share, fuel_kind, item_doubt_kg
from loadcalc.plan.source import Ground, Source

if TYPE_CHECKING:
    import numpy as np


def mass_sources(ground: Ground) -> list[Source]:
    """Every doubt of a mass, those of no width too.

    Parameters
    ----------
    ground : the loadout and what is assumed.
    """
    return [*_vehicle(ground), *_riders(ground), *_gear(ground), *_liquids(ground), *_trailer(ground)]


def _vehicle(ground: Ground) -> Iterator[Source]:
    """The curb mass as weighed, its center, the fuel gauge, the fuel's density."""
    vehicle, assumed, matrix = ground.vehicle, ground.assumed, ground.shares.matrix
    metal = ground.shares.masses[0]
    curb = replace(metal, place=vehicle.curb_cg)
    half_kg = curb_half_width_kg(vehicle, assumed.curb_share)
    guessed = f"{assumed.curb_share:.1%} of the curb mass: {NO_SOURCE}"
    words = "as entered" if vehicle.curb_plus_minus_kg else guessed
    yield Source(
        key=curb.key, name="Empty vehicle", kind="mass", half_width=half_kg, unit="kg", status=words,
        gradient_kg=ground.share(curb),
    )  # fmt: skip
    aft_m = max(assumed.curb_aft_m, half_width(vehicle.assumed, "curb_aft_m"))
    for axis, half_m in (("aft_m", aft_m), ("left_m", assumed.curb_left_m)):
        yield Source(
            key=curb.key, name="Empty vehicle", kind="place", half_width=half_m, unit="m",
            status=NO_SOURCE, gradient_kg=vehicle.curb_kg * ground.slope(curb, axis),
        )  # fmt: skip
    tank, (column,) = vehicle.tank, ground.kind(FUEL)
    fuel_l, half_l = ground.loadout.fuel_l, assumed.gauge_share * vehicle.tank.capacity_l
    yield _fill(
        "own:fuel", "Fuel in the tank", fuel_l, tank.capacity_l, half_l,
        f"{assumed.gauge_share:.0%} of the tank: {NO_SOURCE}", tank.density_kg_per_l * matrix[:, column],
    )  # fmt: skip
    # The curb mass was weighed, so denser fuel leaves less for the metal: only the fuel burned or added counts.
    in_metal = ground.share(replace(metal, place=tank.place))
    kind = fuel_kind(tank.density_kg_per_l)
    share, words = density_share(kind)
    yield Source(
        key="own:fuel", name=f"Density of the {kind} in the tank", kind="density", unit="kg/L",
        half_width=share * tank.density_kg_per_l, status=words,
        gradient_kg=fuel_l * matrix[:, column] - vehicle.curb_fuel_l * in_metal,
    )  # fmt: skip


def _fill(
    key: str, name: str, fill_l: float, capacity_l: float, half_l: float, words: str, gradient_kg: np.ndarray
) -> Source:
    """A fill is never under empty nor over the brim, so its doubt is cut there and its middle moves."""
    low, high = max(fill_l - half_l, 0.0), min(fill_l + half_l, max(capacity_l, fill_l))
    return Source(
        key=key, name=name, kind="fill", half_width=(high - low) / 2, unit="L", status=words,
        gradient_kg=gradient_kg, shift=(high + low) / 2 - fill_l,
    )  # fmt: skip


def _riders(ground: Ground) -> Iterator[Source]:
    assumed, matrix = ground.assumed, ground.shares.matrix
    for column in ground.kind(PERSON, ANIMAL, CARRIER):
        mass = ground.shares.masses[column]
        share = assumed.animal_share if mass.kind == ANIMAL else assumed.carrier_share
        half_kg = min(assumed.person_kg if mass.kind == PERSON else share * mass.mass_kg, mass.mass_kg)
        yield Source(
            key=mass.key, name=mass.name, kind="mass", half_width=half_kg, unit="kg",
            status=NO_SOURCE, gradient_kg=matrix[:, column],
        )  # fmt: skip


def _gear(ground: Ground) -> Iterator[Source]:
    """One source an item, wherever its pieces ride; then the bias of the scale that all of it was weighed on."""
    import numpy as np

    matrix, bias = ground.shares.matrix, np.zeros(len(ground.shares.rows))
    pieces: dict[str, tuple[Stowed, np.ndarray]] = {}
    for column, stowed in ground.gear.items():
        before = pieces.get(stowed.item.key, (stowed, 0.0))[1]
        pieces[stowed.item.key] = (stowed, before + stowed.count * matrix[:, column])
        if stowed.item.known == "weighed":
            bias = bias + stowed.mass_kg * matrix[:, column]
    for key, (stowed, gradient) in pieces.items():
        half_kg, words = item_doubt_kg(stowed.item)
        # Nothing weighs less than nothing.
        low_kg, high_kg = max(stowed.item.mass_kg - half_kg, 0.0), stowed.item.mass_kg + half_kg
        yield Source(
            key=key, name=stowed.item.name, kind="mass", half_width=(high_kg - low_kg) / 2, unit="kg",
            status=words, gradient_kg=gradient,
            shift=(high_kg + low_kg) / 2 - stowed.item.mass_kg,
        )  # fmt: skip
    yield Source(
        key="scale", name="The crew's own scale", kind="scale", half_width=ground.assumed.scale_share, unit="-",
        status=f"{ground.assumed.scale_share:.0%} in all that was weighed: {NO_SOURCE}", gradient_kg=bias,
    )  # fmt: skip


def _liquids(ground: Ground) -> Iterator[Source]:
    """Each fill and empty container by itself; one density for all containers of a kind."""
    import numpy as np

    assumed, matrix = ground.assumed, ground.shares.matrix
    poured: dict[str, np.ndarray] = {}
    for column, filled in ground.liquids.items():
        can, share = filled.liquid, matrix[:, column]
        half_l = assumed.fill_share * can.capacity_l
        words = f"{assumed.fill_share:.0%} of what it holds: {NO_SOURCE}"
        yield _fill(
            can.key, can.name, filled.fill_l, can.capacity_l, half_l, words, can.density_kg_per_l * share
        )
        yield Source(
            key=can.key, name=can.name, kind="mass", half_width=assumed.container_share * can.container_kg,
            unit="kg", status=f"{assumed.container_share:.0%} of the empty container: {NO_SOURCE}",
            gradient_kg=share,
        )  # fmt: skip
        poured[can.kind] = poured.get(can.kind, 0.0) + filled.fill_l * can.density_kg_per_l * share
    for kind, gradient in poured.items():
        half, words = density_share(kind)
        yield Source(
            key=f"density:{kind}", name=f"Density of {kind} in cans", kind="density", half_width=half, unit="-",
            status=words, gradient_kg=np.asarray(gradient),
        )  # fmt: skip


def _trailer(ground: Ground) -> Iterator[Source]:
    trailer = ground.loadout.trailer
    if trailer is None:
        return
    if trailer.axles == 2 and trailer.axles_share and trailer.weighed_axles_kg is None:
        yield _sharing(ground, trailer)
    matrix = ground.shares.matrix
    (tongue,), (rest,) = ground.kind(TONGUE), ground.kind(TRAILER)
    for name, kg, share, gradient in (
        (trailer.name, trailer.mass_kg, ground.assumed.trailer_share, matrix[:, rest]),
        (
            f"{trailer.name}, tongue", trailer.tongue_kg, ground.assumed.tongue_share,
            matrix[:, tongue] - matrix[:, rest],
        ),
    ):  # fmt: skip
        yield Source(
            key=f"trailer:{name}", name=name, kind="mass", half_width=share * kg, unit="kg",
            status=f"{share:.0%}: {NO_SOURCE}", gradient_kg=gradient,
        )  # fmt: skip


def _sharing(ground: Ground, trailer: Trailer) -> Source:
    """A linkage between two axles shares alike only nearly: what one axle carries more, the other carries less."""
    import numpy as np

    gradient, own_kg = np.zeros(len(ground.shares.rows)), trailer.mass_kg - trailer.tongue_kg
    for key, share in (("trailer_front_axle", 0.5), ("trailer_rear_axle", -0.5), ("trailer_tire", 0.25)):
        gradient[ground.shares.row[key]] = share * own_kg
    return Source(
        key=f"trailer:{trailer.name}, axles", name=f"{trailer.name}, how its axles share", kind="place",
        half_width=SHARING_MOST, unit="-", status=f"{SHARING_MOST:.0%}: {SHARING_SOURCE}", gradient_kg=gradient,
    )  # fmt: skip
