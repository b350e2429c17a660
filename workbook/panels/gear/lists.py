"""Bring a gear list in, with a preview of what would change; take the inventory out as CSV or XLSX."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import ipywidgets as widgets

from loadcalc.model import Item, Loadout, Size
from loadcalc.model.quantities import Units
from loadcalc.season import Season
from loadcalc.season.lists.gear_in import GearPreview, RawTable, preview_gear, read_table
from loadcalc.season.tables.gear_out import write_gear_csv, write_gear_xlsx
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.frame import STYLE
from workbook.panels.desk.html_text import escape
from workbook.panels.desk.offer import Look, Offer, save_link

KINDS = {"gear.csv": write_gear_csv, "gear.xlsx": write_gear_xlsx}
FIELDS = ("name", "mass_kg", "known", "plus_minus_kg", "count", "size", "kind", "expendable")


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """A row whose zone differs from where the item rides now; `known` is False when there is no such zone."""

    key: str
    name: str
    zone: str
    known: bool


def moves(preview: GearPreview, loadout: Loadout) -> list[Move]:
    """What the file says about zones that is not so yet, for one loadout."""
    zones = {zone.name.casefold(): zone.name for zone in loadout.zones}
    now = {stowed.item.key: stowed.zone for stowed in loadout.gear}
    found = []
    for taken in (*preview.added, *preview.changed, *preview.unchanged):
        zone = zones.get(taken.zone.strip().casefold(), "")
        if taken.zone.strip() and (not zone or zone != now.get(taken.item.key)):
            named = zone or taken.zone.strip()
            found.append(Move(key=taken.item.key, name=taken.item.name, zone=named, known=bool(zone)))
    return found


def preview_rows(
    preview: GearPreview, going: list[Move], units: Units
) -> Iterator[tuple[str, str, str, str]]:
    """The preview as rows: where in the file, what would happen, to what, in words."""
    yield from (refused.cells for refused in preview.refused)
    for taken in preview.changed:
        yield f"row {taken.row}", "changed", taken.item.name, "; ".join(map(str, taken.changes))
    for taken in preview.added:
        each = f"{taken.item.count} at {units.mass(taken.item.mass_kg)} each"
        yield f"row {taken.row}", "added", taken.item.name, each
    for move in going:
        said = (
            f"rides in {move.zone}"
            if move.known
            else f"no zone is called “{move.zone}”: it stays where it is"
        )
        yield "", "moved" if move.known else "not moved", move.name, said
    for skipped in preview.skipped:
        where = (
            f"row {skipped.row}" if skipped.row == skipped.last else f"rows {skipped.row} to {skipped.last}"
        )
        yield where, "left out", skipped.text, skipped.reason
    if preview.not_in_file:
        names = ", ".join(item.name for item in preview.not_in_file)
        yield (
            "",
            "kept",
            f"{len(preview.not_in_file)} items",
            f"not in the file, and an import never removes: {names}",
        )


def take_in(season: Season, preview: GearPreview, loadout: str, going: list[Move], filename: str) -> str:
    """Put a preview into the season as one entry; returns the entry's note, or "" when nothing changed."""
    with season.entry(f"Import {filename}: {preview.summary()}", kind="import") as draft:
        keys = {}
        for taken in preview.changed:
            season.set_item(taken.item.key, **_fields(taken.item))
        for taken in preview.added:
            keys[taken.item.key] = season.add_item(**_fields(taken.item))
        for move in going:
            if move.known:
                season.stow(loadout, keys.get(move.key, move.key), move.zone)
    return draft.entry.note if draft.entry else ""


def _fields(item: Item) -> dict[str, Any]:
    fields = {name: getattr(item, name) for name in FIELDS}
    size: Size | None = fields.pop("size")
    return fields if size is None else {**fields, "size": size}


class ImportPanel(Offer):
    """Choose a gear list, look at what it would change, then take it in or leave it."""

    def read(self, content: bytes, filename: str) -> RawTable:
        """Read a list."""
        return read_table(content, filename)

    def look(self, raw: RawTable) -> Look:
        """Say what the list would change."""
        preview = preview_gear(raw, self.desk.season.gear, self.desk.units)
        going = moves(preview, self.desk.loadout)
        said = [
            f"{raw.filename}: {preview.summary()}.",
            *(f"{note[0].upper()}{note[1:]}." for note in preview.notes),
        ]
        return Look(
            shown=(preview, going), said="\n".join(said), heads=("Where", "What", "Item", "In words"),
            rows=tuple(preview_rows(preview, going, self.desk.units)),
            worth=bool(preview.added or preview.changed or any(move.known for move in going)),
        )  # fmt: skip

    def take(self, raw: RawTable, shown: tuple[GearPreview, list[Move]]) -> str:
        """Take the list in."""
        preview, going = shown
        return take_in(self.desk.season, preview, self.desk.loadout_name, going, raw.filename)


def import_panel(desk: Desk) -> widgets.Widget:
    """The panel for bringing a list in."""
    return ImportPanel(desk).view


def export_panel(desk: Desk) -> widgets.Widget:
    """Links to the inventory as it is now."""
    view = widgets.HTML()

    def show() -> None:
        zones = {stowed.item.key: stowed.zone for stowed in desk.loadout.gear}
        gear, units = desk.season.gear, desk.units
        links = " · ".join(save_link(name, write(gear, units, zones)) for name, write in KINDS.items())
        words = (
            f"in {desk.units.mass_unit} and {desk.units.length_unit}, zones as in {escape(desk.loadout_name)}"
        )
        view.value = f"{STYLE}<div class='loadout-words'>Save the inventory as {links} ({words}).</div>"

    show()
    desk.records.append(show)
    return view
