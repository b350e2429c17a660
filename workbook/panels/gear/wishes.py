"""What an item needs, wherever it rides: the wishes that advice keeps to."""

from __future__ import annotations

from typing import Any

from loadcalc.model.errors import BadValue
from loadcalc.model.things import HAZARDS
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.edits import apply_edits
from workbook.panels.desk.fixed_table import fixed_table
from workbook.widgets.table import Column, Edit, EditTable, Refusal

NOT_SAID = "not said"
COLUMNS = [
    Column(key="name", title="Item", kind="read-only", width="15em"),
    Column(key="must_come", title="Must come", kind="tick", hint="Never stays home, whatever it weighs."),
    Column(key="stay_low", title="Stay low", kind="tick", hint="Not on the roof rack, and not high up inside."),
    Column(key="keep_reachable", title="Keep at hand", kind="tick", hint="Only where it is reached on the road."),
    Column(
        key="hazard",
        title="Fuel or gas",
        kind="choice",
        choices=(NOT_SAID, *filter(None, HAZARDS)),
        hint="Not said: told by its kind and name. Fuel and gas never ride in the cabin.",
    ),
    Column(
        key="pinned",
        title="Leave it where it is",
        kind="tick",
        width="7em",
        hint="For this loadout: no advice moves it.",
    ),
    Column(key="zone", title="Rides in", kind="read-only", width="13em"),
]
OF_ITEM = ("must_come", "stay_low", "keep_reachable")


def wish_rows(desk: Desk) -> tuple[list[dict[str, Any]], list[str]]:
    """Rows of the table of wishes, and their keys: every item that rides on this loadout."""
    rows = [
        {
            "name": stowed.item.name,
            **{field: getattr(stowed.item, field) for field in OF_ITEM},
            "hazard": stowed.item.hazard or NOT_SAID,
            "pinned": stowed.pinned,
            "zone": stowed.zone,
        }
        for stowed in desk.loadout.gear
    ]
    return rows, [stowed.item.key for stowed in desk.loadout.gear]


def put_wish(desk: Desk, edit: Edit) -> None:
    """Write one cell into the season."""
    if edit.column in OF_ITEM:
        desk.season.set_item(edit.row_key, **{edit.column: bool(edit.text)})
    elif edit.column == "pinned":
        desk.season.set_stowed(desk.loadout_name, edit.row_key, pinned=bool(edit.text))
    elif edit.column == "hazard":
        desk.season.set_item(edit.row_key, hazard="" if edit.text == NOT_SAID else str(edit.text))
    else:
        raise BadValue("column", edit.column, "cannot be edited here", "change it on the inventory page")


def wish_table(desk: Desk) -> EditTable:
    """The editable table of wishes."""

    def on_edit(edits: list[Edit]) -> list[Refusal]:
        names = {stowed.item.key: stowed.item.name for stowed in desk.loadout.gear}
        first = f"{names.get(edits[0].row_key, '')}: {edits[0].column.replace('_', ' ')} {edits[0].text}"
        note = first if len(edits) == 1 else f"What {len(edits)} items need"
        return apply_edits(desk, edits, note, lambda edit: put_wish(desk, edit))

    return fixed_table(
        desk,
        "What each item needs",
        columns=lambda: COLUMNS,
        rows=lambda: wish_rows(desk),
        on_edit=on_edit,
        height="26rem",
    )
