"""The gear tables: what an edit of a cell means for the season. No browser needed to test it."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from loadcalc.model import Item, Size
from loadcalc.model.errors import BadValue, LoadcalcError
from loadcalc.model.quantities import Units, read_count, read_length_m
from loadcalc.model.things import LARGEST_ITEM_KG
from loadcalc.season import Season
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.edits import apply_edits, reason
from workbook.panels.desk.measure import mass
from workbook.panels.gear.gear_columns import STAYS, gear_rows, inventory_columns, loading_columns
from workbook.widgets.table import Column, Edit, EditTable, Refusal

NEW_ITEM = {"known": "estimated", "count": "1"}


def read_size(text: str, units: Units, where: str) -> Size | None:
    """Three lengths from "24 x 16 x 12 in"; the last unit holds for those that have none. Empty is not known."""
    if not text.strip():
        return None
    parts = [part.strip() for part in re.split(r"\s*(?:[x×*]|\bby\b)\s*", text.strip(), flags=re.IGNORECASE)]
    if len(parts) != 3 or not all(parts):
        raise BadValue("size", text, "is not three lengths", "write it as 24 x 16 x 12 in", where)
    unit = re.sub(r"^[\d.,/\s½¼¾]+", "", parts[-1]).strip() or units.length_unit
    long, wide, high = (
        read_length_m(part, unit=unit, field="size", where=where, high=20.0) for part in parts
    )
    return Size(length_m=long, width_m=wide, height_m=high)


def _read_known(text: str, units: Units, where: str) -> str:
    return text or "estimated"


READ: Mapping[str, tuple[str, Callable[[str, Units, str], Any]]] = {
    "name": ("name", lambda text, units, where: text.strip()),
    "mass": (
        "mass_kg",
        lambda text, units, where: mass(text, units, "mass each", where=where, high_kg=LARGEST_ITEM_KG),
    ),
    "known": ("known", _read_known),
    "plus_minus": (
        "plus_minus_kg",
        lambda text, units, where: (
            mass(text, units, "plus or minus", where=where, high_kg=LARGEST_ITEM_KG)
            if text.strip()
            else 0.0
        ),
    ),
    "count": ("count", lambda text, units, where: read_count(text, field="owned", where=where, high=1000)),
    "kind": ("kind", lambda text, units, where: text.strip()),
    "size": ("size", read_size),
    "expendable": ("expendable", lambda text, units, where: bool(text)),
}


class GearEdits:
    """Turns a table's edits into one entry of the season, cell by cell; what cannot be is refused with its reason."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.became: dict[str, str] = {}

    def __call__(self, edits: list[Edit]) -> list[Refusal]:
        """Apply every edit that can be applied, as one entry; return the rest as refusals."""
        self.became = {}
        items = {item.key: item for item in self.desk.season.gear}
        return apply_edits(self.desk, edits, _note(edits, items), lambda edit: self._one(edit, items))

    def _one(self, edit: Edit, items: dict[str, Item]) -> list[Refusal]:
        season = self.desk.season
        if edit.kind == "remove":
            season.remove_item(edit.row_key)
            items.pop(edit.row_key)
            return []
        if edit.kind == "set":
            self._cell(edit.row_key, edit.column, edit.text, season, items)
            return []
        cells = {
            column: text for column, text in edit.cells.items() if text != "" or column in ("name", "mass")
        }
        cells = {**NEW_ITEM, **cells} if edit.kind == "add" else cells
        return self._new(edit, cells, season, items)

    def _cell(self, key: str, column: str, text: str | bool, season: Season, items: dict[str, Item]) -> None:
        item = items[key]
        if column in ("zone", "along"):
            self._ride(item, column, str(text), season)
            return
        changed = self._changed(item, {column: text}, items)
        items[key] = changed
        season.set_item(key, **{READ[column][0]: getattr(changed, READ[column][0])})

    def _ride(self, item: Item, column: str, text: str, season: Season) -> None:
        loadout = self.desk.loadout_name
        now = next((s for s in season.loadout(loadout).gear if s.item.key == item.key), None)
        if column == "zone":
            count = now.count if now else item.count
            season.stow(loadout, item.key, None if text == STAYS else text, count)
            return
        count = int(read_count(text, field="pieces along", where=item.name, high=1000))
        if count > item.count:
            raise BadValue(
                "pieces along",
                count,
                f"is more than the {item.count} owned",
                "buy more or take fewer",
                item.name,
            )
        if now is None and count:
            raise BadValue("pieces along", count, "have no place to ride", "choose a zone first", item.name)
        if now is not None:
            season.stow(loadout, item.key, now.zone if count else None, count)

    def _new(
        self, edit: Edit, cells: Mapping[str, str | bool], season: Season, items: dict[str, Item]
    ) -> list[Refusal]:
        base = items.get(edit.source_key)
        refusals = []
        fields = {field: getattr(base, field) for field, _ in READ.values()} if base else dict[str, Any]()
        for column, text in cells.items():
            if column not in READ:
                continue
            try:
                probe = base or Item(name="new item", mass_kg=0.0)
                changed = self._changed(probe, {column: text}, items, new=True)
                fields[READ[column][0]] = getattr(changed, READ[column][0])
            except LoadcalcError as error:
                refusals.append(Refusal(row_key=edit.row_key, column=column, reason=reason(error)))
        if refusals:
            return refusals
        key = season.add_item(**fields)
        items[key] = Item(key=key, **fields)
        self.became[edit.row_key] = key
        zone = str(cells.get("zone", ""))
        if zone and zone != STAYS:
            self._ride(items[key], "zone", zone, season)
        return []

    def _changed(
        self, item: Item, cells: Mapping[str, str | bool], items: Mapping[str, Item], *, new: bool = False
    ) -> Item:
        fields: dict[str, Any] = {}
        for column, text in cells.items():
            field, read = READ[column]
            fields[field] = read(text, self.desk.units, item.name if not new else "new row")  # type: ignore[arg-type]  # a tick is a bool
        name = str(fields.get("name", "")).casefold()
        if name and any(
            other.name.casefold() == name and (new or other.key != item.key) for other in items.values()
        ):
            raise BadValue("name", fields["name"], "is taken by another item", "give each item its own name")
        return replace(item, **fields)


def _note(edits: Sequence[Edit], items: Mapping[str, Item]) -> str:
    """What the ledger calls this."""
    first = edits[0]
    if any(edit.pasted for edit in edits):
        return f"Paste into the gear table ({len(edits)} cells or rows)"
    name = items[first.row_key].name if first.row_key in items else str(first.cells.get("name", "new item"))
    if first.kind == "set":
        return f"{name}: {first.column.replace('_', ' or ')} {first.text}".rstrip()
    return {"add": f"Add {name}", "duplicate": f"Duplicate as {name}", "remove": f"Remove {name}"}[first.kind]


def gear_table(desk: Desk, *, loading: bool) -> EditTable:
    """The editable table of one page: `loading` for the loadout page, else the inventory."""
    edits = GearEdits(desk)

    def columns() -> list[Column]:
        zones = [zone.name for zone in desk.loadout.zones]
        return loading_columns(zones) if loading else inventory_columns(desk.units, zones, desk.loadout_name)

    def show() -> None:
        rows, keys = gear_rows(desk.season.gear, desk.loadout, desk.units)
        table.show(rows, keys, columns(), became=edits.became)

    rows, keys = gear_rows(desk.season.gear, desk.loadout, desk.units)
    label = "What rides where" if loading else "Gear that the crew owns"
    table = EditTable(
        label=label,
        columns=columns(),
        rows=rows,
        row_keys=keys,
        on_edit=edits,
        can_add=not loading,
        can_duplicate=not loading,
        can_remove=not loading,
        height="30rem",
    )
    desk.records.append(show)
    return table
