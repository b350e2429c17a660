"""The tables of people, cans, zones, and seats: what each column says and what an edit of it means."""

from __future__ import annotations

from collections.abc import Mapping
from operator import attrgetter

from loadcalc.model import Filled
from loadcalc.model.facts import fact_rows
from loadcalc.model.quantities import Units
from loadcalc.model.things import HAZARDS, MOUNTS, OCCUPANTS, REACHES
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.dials import amount
from workbook.panels.desk.measure import mass
from workbook.panels.desk.place_cells import AHEAD, length_cell, sideways_cell
from workbook.panels.desk.register import Cell, Register, column, register_table, tick
from workbook.widgets.table.table import EditTable

STAYS = "stays home"
NOT_SAID = "not said"
ASKED = "not said yet"
CABIN = {ASKED: None, "yes": True, "no": False}


def people(desk: Desk) -> Register:
    """People and animals: mass, usual seat, and where they ride on this departure."""

    def cells() -> list[Cell]:
        units = desk.units
        seats = (
            *(s.name for s in desk.vehicle.seats),
            *(z.name for z in desk.loadout.zones if not z.on_carrier),
        )
        riding = {who.key: who.seat for who in desk.loadout.people}
        free = next((seat.name for seat in desk.vehicle.seats if seat.name not in riding.values()), "")
        usual = free or next((seat.name for seat in desk.vehicle.seats), "")

        def ride(key: str, text: str) -> None:
            desk.season.ride(desk.loadout_name, key, None if text in ("", STAYS) else text)

        return [
            Cell(column=column("name", "Name"), show=lambda w: w.name, field="name", needed=True),
            Cell(
                column=column("mass", "Mass, dressed", "number", hint="With boots, jacket, and full pockets."),
                show=lambda w: units.mass(w.mass_kg), field="mass_kg", needed=True,
                read=lambda text: mass(text, units, "mass", high_kg=300.0),
            ),
            Cell(
                column=column("kind", "Person or animal", "choice", choices=OCCUPANTS),
                show=lambda w: w.kind, field="kind", read=lambda text: text or OCCUPANTS[0], new=OCCUPANTS[0],
            ),
            Cell(
                column=column("seat", "Usual seat", "choice", choices=seats, hint="An animal may ride in a zone."),
                show=lambda w: w.seat, field="seat", needed=True, new=usual,
            ),
            Cell(
                column=column("rides", "On this departure", "choice", choices=(STAYS, *seats), hint=desk.loadout_name),
                show=lambda w: riding.get(w.key, STAYS), aboard=ride, new=free or STAYS,
            ),
            Cell(
                column=column("roof", "Sleeps on the roof", "tick", hint="Counts parked: roof ratings and tip angle."),
                show=lambda w: w.sleeps_on_roof, field="sleeps_on_roof", read=tick,
            ),
        ]  # fmt: skip

    return Register(
        subject="occupant", label="People and animals", records=lambda: desk.season.people, cells=cells
    )


def density_hint(units: Units) -> str:
    """What water, gasoline, and diesel weigh, from the fact table, each with its status."""
    facts = {(row["liquid"], row["state"].split(" (")[0]): row for row in fact_rows("liquids")}
    told = []
    for liquid, state in (("water", "20 C"), ("gasoline", "15 C"), ("diesel", "15 C")):
        row = facts[liquid, state]
        told.append(f"{liquid} {units.density(float(row['density_kg_per_l']))} ({row['status']})")
    return f"{', '.join(told)}. A full can on a scale is better."


def hazard_cell(told_by: str) -> Cell:
    """What a person says of a can or an item: fuel, gas, or neither."""
    hint = f"Not said: told by {told_by} and name. Fuel and gas never ride in the cabin."
    choices = (NOT_SAID, *filter(None, HAZARDS))
    return Cell(
        column=column("hazard", "Fuel or gas", "choice", choices=choices, hint=hint, width="6.5em"),
        show=lambda thing: thing.hazard or NOT_SAID,
        field="hazard",
        read=lambda text: "" if text == NOT_SAID else text,
    )


def cans(desk: Desk) -> Register:
    """Containers for what is poured. How full each is stands on the loadout page's sliders."""

    def cells() -> list[Cell]:
        units = desk.units
        zones = tuple(zone.name for zone in desk.loadout.zones)
        aboard: Mapping[str, Filled] = {filled.liquid.key: filled for filled in desk.loadout.liquids}

        def stow(key: str, text: str) -> None:
            if text in ("", STAYS):
                desk.season.set_fill(desk.loadout_name, key, None)
                return
            full_l = next(liquid.capacity_l for liquid in desk.season.liquids if liquid.key == key)
            fill_l = aboard[key].fill_l if key in aboard else full_l
            desk.season.set_fill(desk.loadout_name, key, fill_l, text)

        heavy = density_hint(units)
        return [
            Cell(column=column("name", "Can or tank"), show=lambda c: c.name, field="name", needed=True),
            Cell(
                column=column("kind", "Content", width="6.5em"), show=lambda c: c.kind, field="kind", needed=True,
                unsays="hazard",
            ),
            hazard_cell("content"),
            Cell(
                column=column("empty", "Empty can", "number"), show=lambda c: units.mass(c.container_kg),
                field="container_kg", needed=True,
                read=lambda text: mass(text, units, "empty can", high_kg=500.0),
            ),
            Cell(
                column=column("holds", "Holds", "number", hint="Brim-full."),
                show=lambda c: units.volume(c.capacity_l),
                field="capacity_l", read=lambda text: amount("volume", text, units, "holds", high=500.0), needed=True,
            ),
            Cell(
                column=column("density", "Density", "number", width="7em", hint=heavy),
                show=lambda c: units.density(c.density_kg_per_l), field="density_kg_per_l", needed=True,
                read=lambda text: amount("density", text, units, "density", high=3.0),
            ),
            Cell(
                column=column("zone", "Rides in", "choice", width="12em", choices=(STAYS, *zones)),
                show=lambda c: aboard[c.key].zone if c.key in aboard else STAYS, aboard=stow,
            ),
        ]  # fmt: skip

    return Register(
        subject="liquid", label="Cans of fuel and water", records=lambda: desk.season.liquids, cells=cells
    )


def _place_cells(desk: Desk) -> list[Cell]:
    return [
        length_cell(desk, "aft_m", "Aft of front axle", lambda r: r.place.aft_m, AHEAD, low_m=-5.0),
        sideways_cell(desk, lambda r: r.place.left_m),
        length_cell(desk, "up_m", "Above ground", lambda r: r.place.up_m),
    ]


def zones(desk: Desk) -> Register:
    """Zones: where their load acts, how large they are, and how they are reached."""

    def cells() -> list[Cell]:
        return [
            Cell(column=column("name", "Zone"), show=lambda z: z.name, field="name", needed=True),
            *_place_cells(desk),
            length_cell(desk, "length_m", "Length", lambda z: z.size.length_m),
            length_cell(desk, "width_m", "Width", lambda z: z.size.width_m),
            length_cell(desk, "height_m", "Height", lambda z: z.size.height_m),
            *(
                Cell(column=column(field, title, "tick", hint=hint), show=attrgetter(field), field=field, read=tick)
                for field, (title, hint) in MOUNTS.items()
            ),
            Cell(
                column=column(
                    "in_cabin", "In the cabin?", "choice", choices=tuple(CABIN),
                    hint="Yes when it shares the air that people breathe. Fuel and gas never ride there.",
                ),
                show=lambda z: next(word for word, said in CABIN.items() if said is z.in_cabin),
                field="in_cabin", read=lambda text: CABIN[text or ASKED], needed=True,
            ),
            Cell(
                column=column("reach", "Reached", "choice", choices=REACHES), show=lambda z: z.reach, field="reach",
                read=lambda text: text or REACHES[0],
            ),
        ]  # fmt: skip

    return Register(subject="zone", label="Zones", records=lambda: desk.season.zones, cells=cells)


def seats(desk: Desk) -> Register:
    """Seats, and where the mass of who sits there acts."""

    def cells() -> list[Cell]:
        name = Cell(column=column("name", "Seat"), show=lambda s: s.name, field="name", needed=True)
        return [name, *_place_cells(desk)]

    return Register(subject="seat", label="Seats", records=lambda: desk.season.vehicle.seats, cells=cells)


def people_table(desk: Desk) -> EditTable:
    """Who may come."""
    return register_table(desk, people(desk))


def can_table(desk: Desk) -> EditTable:
    """What can be poured, and from what."""
    return register_table(desk, cans(desk))


def zone_table(desk: Desk) -> EditTable:
    """The places things may ride in."""
    return register_table(desk, zones(desk), height="22rem")


def seat_table(desk: Desk) -> EditTable:
    """The seats."""
    return register_table(desk, seats(desk))
