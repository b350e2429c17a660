"""What the two gear tables say: their columns and their rows."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from loadcalc.model import Item, Loadout, Size
from loadcalc.model.quantities import Units
from loadcalc.model.things import HOW_KNOWN
from workbook.widgets.table import Column

STAYS = "stays home"
KNOWN_HELP = (
    "weighed: on a scale. label: printed on it. estimated: somebody's guess, so give a plus or minus."
)


def inventory_columns(units: Units, zones: Sequence[str], loadout: str) -> list[Column]:
    """Columns of the inventory page."""
    return [
        Column(key="name", title="Item", kind="text", width="15em", hint="Each item has its own name."),
        Column(
            key="mass",
            title="Mass each",
            kind="number",
            hint=f"One piece, {units.mass_unit} unless you write another unit: 800 g, 3/4 lb.",
        ),
        Column(key="count", title="Owned", kind="number", width="5em", hint="How many pieces there are."),
        Column(
            key="zone",
            title="Rides in",
            kind="choice",
            width="13em",
            choices=(STAYS, *zones),
            hint=f"For “{loadout}”. The whole lot moves.",
        ),
        Column(key="known", title="How known", kind="choice", choices=HOW_KNOWN, hint=KNOWN_HELP),
        Column(
            key="plus_minus", title="±", kind="number", width="6em", hint="How far off it may be, either way."
        ),
        Column(
            key="kind",
            title="Kind",
            kind="text",
            width="9em",
            hint="Your own word: tools, kitchen, recovery …",
        ),
        Column(
            key="size",
            title="Size L × W × H",
            kind="text",
            width="11em",
            hint=f"Outside measures, as 24 x 16 x 12 {units.length_unit}.",
        ),
        Column(
            key="expendable", title="Used up", kind="tick", hint="Tick what is eaten, burned, or left there."
        ),
    ]


def loading_columns(zones: Sequence[str]) -> list[Column]:
    """Columns of the loadout page's table."""
    return [
        Column(key="name", title="Item", kind="read-only", width="15em"),
        Column(
            key="zone",
            title="Rides in",
            kind="choice",
            width="13em",
            choices=(STAYS, *zones),
            hint="Choose where it rides, or let it stay home.",
        ),
        Column(key="along", title="Pieces along", kind="number", hint="No more than are owned."),
        Column(key="owned", title="Owned", kind="read-only", width="5em", align="right"),
        Column(key="each", title="Mass each", kind="read-only", align="right"),
        Column(key="together", title="Along, together", kind="read-only", align="right"),
        Column(key="known", title="How known", kind="read-only", width="7em"),
    ]


def gear_rows(gear: Sequence[Item], loadout: Loadout, units: Units) -> tuple[list[dict[str, Any]], list[str]]:
    """Rows of both tables and their keys, in the season's order."""
    along = {stowed.item.key: stowed for stowed in loadout.gear}
    rows = []
    for item in gear:
        stowed = along.get(item.key)
        count = stowed.count if stowed else 0
        together_kg = item.mass_kg * count
        rows.append(
            {
                "name": item.name,
                "mass": units.mass(item.mass_kg),
                "each": units.mass(item.mass_kg),
                "known": item.known,
                "plus_minus": units.mass(item.plus_minus_kg) if item.plus_minus_kg else "",
                "count": str(item.count),
                "owned": str(item.count),
                "kind": item.kind,
                "size": size_text(item.size, units),
                "expendable": item.expendable,
                "zone": stowed.zone if stowed else STAYS,
                "along": str(count),
                "together": units.mass(together_kg) if stowed else "",
                "_sort": {
                    "mass": item.mass_kg,
                    "each": item.mass_kg,
                    "plus_minus": item.plus_minus_kg,
                    "count": item.count,
                    "owned": item.count,
                    "along": count,
                    "together": together_kg,
                },
            }
        )
    return rows, [item.key for item in gear]


def size_text(size: Size | None, units: Units) -> str:
    """ "24 x 16 x 12 in", or nothing."""
    if size is None:
        return ""
    numbers = (units.length_number(m) for m in (size.length_m, size.width_m, size.height_m))
    return f"{' x '.join(numbers)} {units.length_unit}"
