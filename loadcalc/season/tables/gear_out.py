"""The gear list as a file for spreadsheets: bare numbers of six digits under headers that name their unit."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from loadcalc.model.quantities import Units
from loadcalc.model.things import Item
from loadcalc.season.lists.gear_cells import tidy
from loadcalc.season.tables.sheets import TextSheet, xlsx_of

_NUMBERS = ("mass each", "plus or minus", "count", "length", "width", "height")
_WIDTHS = {"item": 36, "key": 24, "zone": 20, "kind": 16}

NO_ZONES: Mapping[str, str] = {}


def write_gear_csv(items: Iterable[Item], units: Units, zones: Mapping[str, str] = NO_ZONES) -> bytes:
    """Return the gear list as CSV, UTF-8 with the mark that tells spreadsheets so.

    Parameters
    ----------
    items : what to write. units : the reader's units. zones : zone by item key; none where an item has none.
    """
    return _sheet(items, units, zones).csv()


def write_gear_xlsx(items: Iterable[Item], units: Units, zones: Mapping[str, str] = NO_ZONES) -> bytes:
    """Return the gear list as XLSX with one sheet, "Gear". Parameters as :func:`write_gear_csv`."""
    return xlsx_of([_sheet(items, units, zones)])


def _sheet(items: Iterable[Item], units: Units, zones: Mapping[str, str]) -> TextSheet:
    heads = _headers(units)
    return TextSheet(
        title="Gear", header=list(heads.values()), numbers=frozenset(heads[name] for name in _NUMBERS),
        rows=(_row(item, units, zones) for item in items),
        widths={head: _WIDTHS.get(name, 15) for name, head in heads.items()},
    )  # fmt: skip


def _headers(units: Units) -> dict[str, str]:
    mass, length = units.mass_unit, units.length_unit
    bare = {
        "item": "", "mass each": mass, "how known": "", "plus or minus": mass, "count": "", "length": length,
        "width": length, "height": length, "kind": "", "expendable": "", "zone": "", "key": "",
    }  # fmt: skip
    return {name: f"{name} ({unit})" if unit else name for name, unit in bare.items()}


def _row(item: Item, units: Units, zones: Mapping[str, str]) -> list[str]:
    """Return one item's cells in the order of the headers, all as text."""
    masses, lengths = units.scale("mass"), units.scale("length")
    box = item.size
    sides = [lengths.entry(m) for m in (box.length_m, box.width_m, box.height_m)] if box else ["", "", ""]
    return [
        tidy(item.name), masses.entry(item.mass_kg), item.known, masses.entry(item.plus_minus_kg), str(item.count),
        *sides, tidy(item.kind), "yes" if item.expendable else "no", tidy(zones.get(item.key, "")), tidy(item.key),
    ]  # fmt: skip
