"""What is wanted of each thing on the roof rack: its group, at hand, pinned, in the front or rear half."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from loadcalc.model import Loadout
from loadcalc.model.errors import BadValue
from loadcalc.plan.roof_layout.deck import thing_on, things_on
from loadcalc.plan.roof_layout.layout_rules import HALF
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.edits import apply_edits
from workbook.widgets.table import Column, Edit, EditTable, Refusal

COLUMNS = [
    Column(key="name", title="On the roof rack", kind="read-only", width="15em"),
    Column(
        key="group",
        title="Group",
        kind="read-only",
        width="12em",
        hint="What is strapped together lies side by side. Groups are made in the table of tie-downs.",
    ),
    Column(
        key="at_hand",
        title="Keep at hand",
        kind="tick",
        hint="Wanted on the way: it lies at the left, right, or rear edge.",
    ),
    Column(key="pinned", title="Pinned", kind="tick", hint="Arranging leaves it where it lies."),
    Column(
        key="half",
        title="Where along",
        kind="choice",
        choices=HALF,
        hint="Where its middle may lie. Not kept in the ledger: it holds while this page is open.",
    ),
]


def wish_rows(
    loadout: Loadout, halves: dict[str, str], groups: Mapping[str, str]
) -> tuple[list[dict[str, Any]], list[str]]:
    """Rows of the table, and the keys of the things; `groups` has the names of tied groups by key."""
    things = things_on(loadout)
    rows = [
        {
            "name": thing.name,
            "group": groups.get(thing.group, thing.group),
            "at_hand": thing.reachable,
            "pinned": thing.pinned,
            "half": halves.get(thing.key, HALF[0]),
        }
        for thing in things
    ]
    return rows, [thing.key for thing in things]


def group_names(desk: Desk) -> dict[str, str]:
    """Names of the loadout's tied groups, by key."""
    return {group.key: group.name for group in desk.loadout.straps}


def put_wish(desk: Desk, halves: dict[str, str], edit: Edit) -> None:
    """Put one cell into the season, or into `halves`."""
    thing = thing_on(desk.loadout, edit.row_key)
    kind, _, key = thing.key.partition(":")
    if edit.column == "half":
        halves[thing.key] = str(edit.text) or HALF[0]
        return
    if kind == "filled":
        raise BadValue(edit.column, edit.text, "is not kept for a can", "enter it as an item to give it one")
    if edit.column == "at_hand":
        desk.season.set_item(key, keep_reachable=bool(edit.text))
        return
    if edit.column == "pinned" and edit.text and thing.place is None:
        raise BadValue("pinned", thing.name, "is not laid out yet", "lay it out first, then pin it there")
    desk.season.set_stowed(desk.loadout_name, key, pinned=bool(edit.text) or None)


def roof_wish_table(desk: Desk, halves: dict[str, str]) -> EditTable:
    """The table; `halves` holds what is wanted along the carrier, by key, and is changed in place."""

    def on_edit(edits: list[Edit]) -> list[Refusal]:
        name = thing_on(desk.loadout, edits[0].row_key).name
        said = f"{edits[0].column.replace('_', ' ')} {edits[0].text}" if len(edits) == 1 else "wishes"
        refused = apply_edits(desk, edits, f"{name}: {said}", lambda edit: put_wish(desk, halves, edit))
        show()
        return refused

    def show() -> None:
        table.show(*wish_rows(desk.loadout, halves, group_names(desk)))

    rows, keys = wish_rows(desk.loadout, halves, group_names(desk))
    table = EditTable(
        label="What is wanted of each thing", columns=COLUMNS, rows=rows, row_keys=keys, on_edit=on_edit, can_add=False,
        can_duplicate=False, can_remove=False, height="18rem",
    )  # fmt: skip
    desk.records.append(show)
    return table
