"""One row of a gear list: what the file says of one item, and what is wrong with its cells."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any, NamedTuple

from loadcalc.model.errors import BadValue
from loadcalc.model.marks import plain_text
from loadcalc.model.quantities import Units
from loadcalc.model.space import Size
from loadcalc.model.things import LARGEST_ITEM_KG
from loadcalc.season.lists import gear_cells as cells
from loadcalc.season.lists.gear_cells import MassRead, Reading
from loadcalc.season.lists.gear_words import MEASURES, WORDS
from loadcalc.season.lists.list_columns import Columns
from loadcalc.season.lists.raw_table import NUMBER, RawCell, RawRow, RawTable

HEAVIEST_ROW_KG = 40_000.0
SIDES = ("length", "width", "height")


class RowProblem(NamedTuple):
    """A field whose cell cannot be used: its column (-1 when it has none) and the error."""

    field: str
    column: int
    error: BadValue


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemDraft:
    """What one row says of an item. None stands for "the file does not say", never for zero.

    listed : the mass in the mass column, also when it is too much for one item [kg].
    total : the mass in a column of totals, which counts all pieces of the row [kg].
    alone : True when only one cell of the row is filled, as in a heading.
    """

    row: int
    name: str
    key: str = ""
    listed: MassRead | None = None
    total: MassRead | None = None
    count: int | None = None
    known: str | None = None
    plus_minus_kg: float | None = None
    size: Size | None = None
    kind: str | None = None
    expendable: bool | None = None
    zone: str = ""
    note: str = ""
    alone: bool = False
    problems: tuple[RowProblem, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ListRules:
    """How the cells of one file are read: its columns, units of bare numbers, and what a comma is."""

    columns: Columns
    unit: Mapping[str, str]
    comma: Mapping[str, bool | None]

    def reading(self, name: str, row: RawRow, where: str) -> Reading:
        """Return how a field's cell in this row is read; a unit column overrules the header."""
        unit = self.unit.get(name, "")
        if MEASURES.get(name) == "mass" and "mass_unit" in self.columns.at:
            unit = row.cell(self.columns.at["mass_unit"]).text.strip() or unit
        return Reading(unit, WORDS.get(name, name), where, self.comma.get(name))


def rules_for(raw: RawTable, columns: Columns, units: Units) -> ListRules:
    """Return how the cells of a table are read. A bare SI length has no unit: it may be mm or cm."""
    length_unit = units.length_unit if units.name == "US" else ""
    usual = {"mass": units.mass_unit, "length": length_unit}
    unit = {name: columns.unit.get(name) or usual[dimension] for name, dimension in MEASURES.items()}
    if "plus_minus" not in columns.unit:
        unit["plus_minus"] = columns.unit.get("mass") or unit["plus_minus"]
    own = {name: cells.decimal_comma(_column(raw, columns.at[name])) for name in numeric(columns)}
    seen = {comma for comma in own.values() if comma is not None}
    shared = seen.pop() if len(seen) == 1 else None
    comma = {name: shared if found is None else found for name, found in own.items()}
    return ListRules(columns=columns, unit=unit, comma=comma)


def numeric(columns: Columns) -> list[str]:
    """Return the fields of a table that hold numbers."""
    return [name for name in columns.at if name in MEASURES or name == "count"]


def _column(raw: RawTable, column: int) -> list[RawCell]:
    return [row.cell(column) for row in raw.rows]


def read_row(row: RawRow, rules: ListRules) -> ItemDraft:
    """Return what one row says. A cell that cannot be used becomes a problem, not an exception."""
    reader = _Reader(row, rules)
    reader.refuse_marks("name", "kind", "key")
    said = {
        "listed": reader.mass(),
        "total": reader.number("total_mass", _any_mass),
        "count": reader.number("count", cells.read_count),
        "plus_minus_kg": reader.number("plus_minus", lambda cell, how: cells.read_mass(cell, how).mass_kg),
        "size": reader.box(),
        "known": reader.word("known", lambda cell: cells.read_known(cell, reader.where)),
        "expendable": reader.word(
            "expendable", lambda cell: cells.read_yes_no(cell, "expendable", reader.where)
        ),
        "kind": reader.text("kind") or None,
        "zone": reader.text("zone"),
        "note": reader.text("note"),
        "key": reader.text("key"),
    }
    alone = sum(1 for cell in row.cells if cell.text.strip()) == 1
    return ItemDraft(
        row=row.number, name=reader.text("name"), alone=alone, problems=tuple(reader.problems), **said
    )


def _any_mass(cell: RawCell, how: Reading) -> MassRead:
    """Return a mass that may be that of a whole list, so that a total row can be known by its sum."""
    return cells.read_mass(cell, how, HEAVIEST_ROW_KG)


class _Reader:
    """Reads the cells of one row and collects what is wrong with them."""

    def __init__(self, row: RawRow, rules: ListRules) -> None:
        self.row = row
        self.rules = rules
        self.problems: list[RowProblem] = []
        self.where = f"row {row.number}"
        name = self.text("name")
        self.where += f", {name}" if name else ""

    def cell(self, name: str) -> RawCell | None:
        """Return the cell of a field, or None when the table has no such column."""
        column = self.rules.columns.at.get(name)
        return None if column is None else self.row.cell(column)

    def text(self, name: str) -> str:
        """Return a text cell on one line."""
        cell = self.cell(name)
        return cells.tidy(cell.text) if cell else ""

    def refuse_marks(self, *names: str) -> None:
        """Note a problem for each text cell that has a mark which nobody sees."""
        for name in names:
            self._try(name, partial(plain_text, WORDS.get(name, name), self.text(name), self.where))

    def number(self, name: str, read: Callable[[RawCell, Reading], Any], *, needed: bool = False) -> Any:
        """Return a number cell's value; None when it is empty and not needed, or cannot be used."""
        cell = self.cell(name)
        if cell is None or not (cell.text.strip() or needed):
            return None
        how = self.rules.reading(name, self.row, self.where)
        if cell.kind == NUMBER:  # a spreadsheet's own number has a point, whatever the texts around it have
            how = how._replace(decimal_comma=False)
        return self._try(name, lambda: read(cell, how))

    def mass(self) -> MassRead | None:
        """Return the mass in the mass column, also that of a whole list; for an item it is then a problem."""
        found = self.number("mass", _any_mass, needed=True)
        if found is None or found.mass_kg > LARGEST_ITEM_KG:
            self.problems = [problem for problem in self.problems if problem.field != "mass"]
            self.number("mass", cells.read_mass, needed=True)  # says so against the limit of one item
        return found if isinstance(found, MassRead) else None

    def word(self, name: str, read: Callable[[RawCell], Any]) -> Any:
        """Return a word cell's meaning, None when it is empty or not understood."""
        cell = self.cell(name)
        return None if cell is None or not cell.text.strip() else self._try(name, lambda: read(cell))

    def box(self) -> Size | None:
        """Return the size, from three columns or from one."""
        given = [side for side in SIDES if (self.cell(side) or RawCell("")).text.strip()]
        if not given:
            return self._box_in_one()
        values = [self.number(side, cells.read_length, needed=True) for side in SIDES if self.cell(side)]
        if len(values) < len(SIDES):
            missing = next(side for side in SIDES if self.cell(side) is None)
            error = BadValue(missing, "", "has no column; a size needs all three sides", "add it", self.where)
            self.problems.append(RowProblem(missing, -1, error))
        if len(values) < len(SIDES) or None in values:
            return None
        return self._try("size", lambda: Size(length_m=values[0], width_m=values[1], height_m=values[2]))

    def _box_in_one(self) -> Size | None:
        found = self.number("size", cells.read_size)
        return found if isinstance(found, Size) else None

    def _try(self, name: str, read: Callable[[], Any]) -> Any:
        try:
            return read()
        except BadValue as error:
            self.problems.append(RowProblem(name, self.rules.columns.at.get(name, -1), error))
            return None
