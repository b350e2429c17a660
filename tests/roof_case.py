"""A small roof carrier with things on it, in numbers that can be checked by hand. Not a test."""

from __future__ import annotations

from dataclasses import replace

from loadcalc.model import Bar, Carrier, Item, Loadout, Place, Size, Stowed, TiePoint, Zone
from loadcalc.plan.roof_layout.deck import Thing
from loadcalc.plan.roof_layout.footprint import Footprint
from loadcalc.plan.roof_layout.layout_rules import LayoutRules, Task

CARRIER = Carrier(
    name="Platform",
    mass_kg=40.0,
    place=Place(aft_m=2.0, up_m=1.9),
    size=Size(length_m=2.0, width_m=1.2, height_m=0.1),
    bars=(
        Bar(name="front bar", aft_m=1.3, half_span_m=0.6),
        Bar(name="rear bar", aft_m=2.7, half_span_m=0.6),
    ),
    tie_points=(
        TiePoint(name="front left", aft_m=1.1, left_m=0.5),
        TiePoint(name="rear right", aft_m=2.9, left_m=-0.5),
    ),
)
FRONT = Zone(
    name="Roof front", place=Place(aft_m=1.5, up_m=2.1), on_carrier=True,
    size=Size(length_m=1.0, width_m=1.2, height_m=0.4),
)  # fmt: skip
REAR = replace(FRONT, name="Roof rear", place=Place(aft_m=2.5, up_m=2.1))
CABIN = Zone(
    name="Cabin", place=Place(aft_m=2.0, up_m=1.0), in_cabin=True,
    size=Size(length_m=1.0, width_m=1.2, height_m=0.8),
)  # fmt: skip


def item(name: str, mass_kg: float, length_m: float, width_m: float, height_m: float = 0.3) -> Item:
    """One item with a size."""
    return Item(
        name=name,
        mass_kg=mass_kg,
        size=Size(length_m=length_m, width_m=width_m, height_m=height_m),
    )


BOX, TUBE, SAW = item("Box", 20.0, 0.8, 0.4), item("Tube", 10.0, 1.5, 0.2), item("Saw", 6.0, 1.8, 0.2, 0.1)
LOADOUT = Loadout(
    name="Test",
    zones=(CABIN, FRONT, REAR),
    carrier=CARRIER,
    gear=(
        Stowed(item=BOX, zone="Roof front"),
        Stowed(item=TUBE, zone="Roof rear"),
        Stowed(item=SAW, zone="Roof rear"),
        Stowed(item=item("Stove", 5.0, 0.5, 0.3), zone="Cabin"),
    ),
)


def thing(
    name: str, mass_kg: float, length_m: float, width_m: float, *, at: tuple[float, float] | None = None,
    pinned: bool = False, group: str = "", reachable: bool = False,
) -> Thing:  # fmt: skip
    """One thing for a task; `at` is its place, aft and left."""
    middle = Place(aft_m=2.0, up_m=2.1)
    return Thing(
        key=f"stowed:{name}", name=name, mass_kg=mass_kg, size_known=True, zone="Roof", zone_place=middle,
        size=Size(length_m=length_m, width_m=width_m, height_m=0.3),
        place=None if at is None else Place(aft_m=at[0], left_m=at[1], up_m=2.1),
        turned=False, pinned=pinned, group=group, reachable=reachable,
    )  # fmt: skip


DECK = Footprint(aft_m=2.0, left_m=0.0, length_m=2.0, width_m=1.2)


def task(
    *things: Thing, rules: LayoutRules | None = None, tie_points: tuple[tuple[float, float], ...] = ()
) -> Task:
    """A task on a deck of 2.0 m by 1.2 m whose middle lies 2.0 m aft."""
    return Task(deck=DECK, tie_points=tie_points, things=things, rules=rules or LayoutRules())
