"""What an item needs, wherever it rides: the wishes that advice keeps to."""

from __future__ import annotations

from workbook.panels.desk.desk import Desk
from workbook.panels.desk.register import Cell, Register, column, register_table, tick
from workbook.panels.gear.kit import hazard_cell
from workbook.widgets.table.table import EditTable


def wish_register(desk: Desk) -> Register:
    """Every item that rides on this departure, and what it needs."""

    def cells() -> list[Cell]:
        along = {stowed.item.key: stowed for stowed in desk.loadout.gear}

        def pin(key: str, ticked: bool) -> None:
            desk.season.set_stowed(desk.loadout_name, key, pinned=ticked)

        return [
            Cell(column=column("name", "Item", "read-only", width="15em"), show=lambda i: i.name),
            _wish("must_come", "Must come", "Never stays home, whatever it weighs."),
            _wish("stay_low", "Stay low", "Not on the roof rack, and not high up inside."),
            _wish("keep_reachable", "Keep at hand", "Only where it is reached on the road."),
            hazard_cell("its kind"),
            Cell(
                column=column(
                    "pinned", "Leave it where it is", "tick", width="7em", hint="For this loadout: no advice moves it.",
                ),
                show=lambda i: along[i.key].pinned, aboard=pin,
            ),
            Cell(column=column("zone", "Rides in", "read-only", width="13em"), show=lambda i: along[i.key].zone),
        ]  # fmt: skip

    return Register(
        subject="item", label="What each item needs", cells=cells, fixed=True,
        records=lambda: [stowed.item for stowed in desk.loadout.gear],
    )  # fmt: skip


def _wish(field: str, title: str, hint: str) -> Cell:
    return Cell(
        column=column(field, title, "tick", hint=hint), field=field, show=lambda i: getattr(i, field), read=tick
    )


def wish_table(desk: Desk) -> EditTable:
    """The editable table of wishes."""
    return register_table(desk, wish_register(desk), height="26rem")
