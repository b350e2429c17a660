"""What is wanted of each thing on the roof rack: its group, at hand, pinned, in the front or rear half."""

from __future__ import annotations

from loadcalc.model.errors import BadValue
from loadcalc.plan.roof_layout.deck import thing_on, things_on
from loadcalc.plan.roof_layout.layout_rules import HALF
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.register import Cell, Register, register_table
from workbook.widgets.table.table import Column, EditTable

GROUP_HINT = "What is strapped together lies side by side. Groups are made in the table of tie-downs."
HAND_HINT = "Wanted on the way: it lies at the left, right, or rear edge."
HALF_HINT = "Where its middle may lie. Not kept in the ledger: it holds while this page is open."


def roof_wishes(desk: Desk, halves: dict[str, str]) -> Register:
    """Everything on the roof rack; `halves` holds what is wanted along it, by key, and is changed in place."""

    def item(key: str, field: str, ticked: bool) -> str:
        kind, _, key = key.partition(":")
        if kind == "filled":
            raise BadValue(field, ticked, "is not kept for a can", "enter it as an item to give it one")
        return key

    def at_hand(key: str, ticked: bool) -> None:
        desk.season.set_item(item(key, "at_hand", ticked), keep_reachable=ticked)

    def pin(key: str, ticked: bool) -> None:
        stowed, thing = item(key, "pinned", ticked), thing_on(desk.loadout, key)
        if ticked and thing.place is None:
            raise BadValue("pinned", thing.name, "is not laid out yet", "lay it out first, then pin it there")
        desk.season.set_stowed(desk.loadout_name, stowed, pinned=ticked or None)

    def lie(key: str, text: str) -> None:
        halves[key] = text or HALF[0]

    def cells() -> list[Cell]:
        groups = {group.key: group.name for group in desk.loadout.straps}
        return [
            Cell(
                column=Column(key="name", title="On the roof rack", kind="read-only", width="15em"),
                show=lambda thing: thing.name,
            ),
            Cell(
                column=Column(key="group", title="Group", kind="read-only", width="12em", hint=GROUP_HINT),
                show=lambda thing: groups.get(thing.group, thing.group),
            ),
            Cell(
                column=Column(key="at_hand", title="Keep at hand", kind="tick", hint=HAND_HINT),
                show=lambda thing: thing.reachable, aboard=at_hand,
            ),
            Cell(
                column=Column(key="pinned", title="Pinned", kind="tick", hint="Arranging leaves it where it lies."),
                show=lambda thing: thing.pinned, aboard=pin,
            ),
            Cell(
                column=Column(key="half", title="Where along", kind="choice", choices=HALF, hint=HALF_HINT),
                show=lambda thing: halves.get(thing.key, HALF[0]), aboard=lie,
            ),
        ]  # fmt: skip

    return Register(
        subject="stowed", label="What is wanted of each thing", records=lambda: things_on(desk.loadout),
        cells=cells, fixed=True,
    )  # fmt: skip


def roof_wish_table(desk: Desk, halves: dict[str, str]) -> EditTable:
    """The editable table of wishes of what rides on the roof rack."""
    return register_table(desk, roof_wishes(desk, halves), height="18rem")
