"""The gear tables: what the crew owns, and what rides where on the departure being looked at."""

from __future__ import annotations

import ipywidgets as widgets

from loadcalc.model import Item, Size, Stowed
from loadcalc.model.errors import BadValue
from loadcalc.model.quantities import Units, read_count
from loadcalc.model.things import HOW_KNOWN, LARGEST_ITEM_KG
from loadcalc.season.lists.gear_cells import Reading
from loadcalc.season.lists.gear_cells import read_size as size_in
from loadcalc.season.lists.raw_table import RawCell
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.frame import told
from workbook.panels.desk.measure import mass
from workbook.panels.desk.ratings_words import inventory_words
from workbook.panels.desk.register import Cell, Register, column, register_table, tick
from workbook.panels.gear.kit import STAYS
from workbook.widgets.table.table import EditTable

KNOWN_HELP = "weighed: on a scale. label: printed on it. estimated: somebody's guess, so give a plus or minus."


def read_size(text: str, units: Units) -> Size | None:
    """Three lengths from "24 x 16 x 12 in"; the last unit holds for those that have none. Empty is not known."""
    how = Reading(units.length_unit, "size", "", units.decimal_comma)
    return size_in(RawCell(text), how) if text.strip() else None


def size_text(size: Size | None, units: Units) -> str:
    """ "24 x 16 x 12 in", or nothing."""
    if size is None:
        return ""
    numbers = (units.length_number(m) for m in (size.length_m, size.width_m, size.height_m))
    return f"{' x '.join(numbers)} {units.length_unit}"


def inventory(desk: Desk) -> Register:
    """What the crew owns, and where it rides on this departure."""

    def cells() -> list[Cell]:
        units = desk.units

        def read_mass(text: str, name: str) -> float:
            return mass(text, units, name, high_kg=LARGEST_ITEM_KG)

        return [
            Cell(
                column=column("name", "Item", width="15em", hint="Each item has its own name."),
                show=lambda i: i.name, field="name", needed=True,
            ),
            Cell(
                column=column(
                    "mass", "Mass each", "number",
                    hint=f"One piece, {units.mass_unit} unless you write another unit: 800 g, 3/4 lb.",
                ),
                show=lambda i: units.mass(i.mass_kg), order=lambda i: i.mass_kg,
                field="mass_kg", read=lambda text: read_mass(text, "mass each"), needed=True,
            ),
            Cell(
                column=column("count", "Owned", "number", width="5em", hint="How many pieces there are."),
                show=lambda i: str(i.count), order=lambda i: i.count,
                field="count", read=lambda text: read_count(text, field="owned", high=1000), new="1",
            ),
            _zone_cell(desk, f"For “{desk.loadout_name}”. The whole lot moves."),
            Cell(
                column=column("known", "How known", "choice", choices=HOW_KNOWN, hint=KNOWN_HELP),
                show=lambda i: i.known, field="known", read=lambda text: text or "estimated", new="estimated",
            ),
            Cell(
                column=column("plus_minus", "±", "number", width="6em", hint="How far off it may be, either way."),
                show=lambda i: units.mass(i.plus_minus_kg) if i.plus_minus_kg else "", order=lambda i: i.plus_minus_kg,
                field="plus_minus_kg", read=lambda text: read_mass(text, "plus or minus") if text.strip() else 0.0,
            ),
            Cell(
                column=column("kind", "Kind", width="9em", hint="Your own word: tools, kitchen, recovery …"),
                show=lambda i: i.kind, field="kind",
            ),
            Cell(
                column=column(
                    "size", "Size L × W × H", width="11em",
                    hint=f"Outside measures, as 24 x 16 x 12 {units.length_unit}.",
                ),
                show=lambda i: size_text(i.size, units), field="size", read=lambda text: read_size(text, units),
            ),
            Cell(
                column=column("expendable", "Used up", "tick", hint="Tick what is eaten, burned, or left there."),
                show=lambda i: i.expendable, field="expendable", read=tick,
            ),
        ]  # fmt: skip

    return Register(
        subject="item", label="Gear that the crew owns", records=lambda: desk.season.gear, cells=cells,
        can_duplicate=True,
    )  # fmt: skip


def stowing(desk: Desk) -> Register:
    """Everything owned: where it rides, how many pieces, and what they weigh together."""

    def cells() -> list[Cell]:
        units, along = desk.units, _along(desk)

        def count(item: Item) -> int:
            return along[item.key].count if item.key in along else 0

        def together(item: Item) -> str:
            return units.mass(item.mass_kg * count(item)) if item.key in along else ""

        return [
            Cell(column=column("name", "Item", "read-only", width="15em"), show=lambda i: i.name),
            _zone_cell(desk, "Choose where it rides, or let it stay home."),
            Cell(
                column=column("along", "Pieces along", "number", hint="No more than are owned."),
                show=lambda i: str(count(i)), order=count, aboard=lambda key, text: _take(desk, key, text),
            ),
            Cell(
                column=column("owned", "Owned", "read-only", width="5em", align="right"),
                show=lambda i: str(i.count), order=lambda i: i.count,
            ),
            Cell(
                column=column("each", "Mass each", "read-only", align="right"),
                show=lambda i: units.mass(i.mass_kg), order=lambda i: i.mass_kg,
            ),
            Cell(
                column=column("together", "Along, together", "read-only", align="right"),
                show=together, order=lambda i: i.mass_kg * count(i),
            ),
            Cell(column=column("known", "How known", "read-only", width="7em"), show=lambda i: i.known),
        ]  # fmt: skip

    return Register(
        subject="item", label="What rides where", records=lambda: desk.season.gear, cells=cells, fixed=True
    )


def _along(desk: Desk) -> dict[str, Stowed]:
    """What rides on the departure being looked at, by its key."""
    return {stowed.item.key: stowed for stowed in desk.loadout.gear}


def _zone_cell(desk: Desk, hint: str) -> Cell:
    """Where an item rides on this departure; what is moved goes whole, with as many pieces as ride, or all."""
    along = _along(desk)
    choices = (STAYS, *(zone.name for zone in desk.loadout.zones))

    def stow(key: str, text: str) -> None:
        desk.season.stow(desk.loadout_name, key, None if text == STAYS else text)

    return Cell(
        column=column("zone", "Rides in", "choice", width="13em", choices=choices, hint=hint),
        show=lambda item: along[item.key].zone if item.key in along else STAYS, aboard=stow,
    )  # fmt: skip


def _take(desk: Desk, key: str, text: str) -> None:
    """Let so many pieces of an item ride where it rides."""
    season, loadout = desk.season, desk.loadout_name
    count = int(read_count(text, field="pieces along", high=1000))
    owned = season.fields("item", key).get("count", 1)
    if count > owned:
        raise BadValue("pieces along", count, f"is more than the {owned} owned", "buy more or take fewer")
    now = next((stowed for stowed in season.loadout(loadout).gear if stowed.item.key == key), None)
    if now is None and count:
        raise BadValue("pieces along", count, "have no place to ride", "choose a zone first")
    if now is not None:
        season.stow(loadout, key, now.zone if count else None, count)


def gear_table(desk: Desk, *, loading: bool) -> EditTable:
    """The editable table of one page: `loading` for the loadout page, else the inventory."""
    return register_table(desk, stowing(desk) if loading else inventory(desk), height="30rem")


def inventory_view(desk: Desk) -> widgets.Widget:
    """Say how much there is, and how well it is known."""
    return told(desk, lambda: inventory_words(desk.season.gear, desk.units), leads=False)
