"""Tables of records of one kind: rows from the season, edits back into it. What the columns are is kit.py's."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from loadcalc.model.errors import BadValue, LoadcalcError
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.edits import apply_edits, reason
from workbook.widgets.table import Column, Edit, EditTable, Refusal

Text = str | bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One column of a table of records.

    column : how it looks. show : its text for a record. field : the season's field that it writes, with
    `read` to turn the text into a value; or `aboard`, which writes what holds for the loadout being looked at.
    needed : a new row must have it. unsays : a field that was said of the old value, and goes when another is typed.
    order : the number that the column is sorted by, where its text doesn't tell.
    """

    column: Column
    show: Callable[[Any], Text]
    field: str = ""
    read: Callable[[str], Any] = str.strip
    aboard: Callable[[str, str], None] | None = None
    needed: bool = False
    unsays: str = ""
    order: Callable[[Any], float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Register:
    """One kind of record: its subject in the season, the records, and the key of each."""

    subject: str
    label: str
    records: Callable[[], Sequence[Any]]
    cells: Callable[[], list[Cell]]


def register_rows(register: Register, desk: Desk) -> tuple[list[dict[str, Any]], list[str]]:
    """Rows of a register and their keys in the season."""
    cells, records = register.cells(), register.records()
    keys = [
        getattr(record, "key", "") or desk.season.find(register.subject, record.name) for record in records
    ]
    return [_row(cells, record) for record in records], keys


def _row(cells: Sequence[Cell], record: Any) -> dict[str, Any]:
    """One record as the table shows it, and the numbers that its columns are sorted by."""
    order = {cell.column.key: cell.order(record) for cell in cells if cell.order is not None}
    return {**{cell.column.key: cell.show(record) for cell in cells}, "_sort": order}


class RegisterEdits:
    """Puts the edits of one register into the season."""

    def __init__(self, desk: Desk, register: Register) -> None:
        self.desk = desk
        self.register = register
        self.became: dict[str, str] = {}

    def __call__(self, edits: list[Edit]) -> list[Refusal]:
        """Apply what can be applied, as one entry; return the rest as refusals."""
        self.became = {}
        cells = {cell.column.key: cell for cell in self.register.cells()}
        name = edits[0].cells.get("name") or self._name(edits[0].row_key)
        did = {
            "set": f"{edits[0].column.replace('_', ' ')} {edits[0].text}",
            "add": "added",
            "remove": "removed",
        }
        return apply_edits(
            self.desk, edits, f"{name}: {did[edits[0].kind]}", lambda edit: self._one(edit, cells)
        )

    def _name(self, key: str) -> str:
        return str(self.desk.season.fields(self.register.subject, key).get("name", key))

    def _one(self, edit: Edit, cells: Mapping[str, Cell]) -> list[Refusal]:
        season, subject = self.desk.season, self.register.subject
        if edit.kind == "remove":
            season.remove(subject, edit.row_key)
        elif edit.kind == "set":
            self._set(edit.row_key, cells[edit.column], edit.text)
        else:
            return self._add(edit, cells)
        return []

    def _set(self, key: str, cell: Cell, text: Text) -> None:
        if cell.aboard is not None:
            cell.aboard(key, str(text))
        else:
            unsaid = {cell.unsays: None} if cell.unsays else {}
            self.desk.season.set(self.register.subject, key, **{cell.field: _value(cell, text)}, **unsaid)

    def _add(self, edit: Edit, cells: Mapping[str, Cell]) -> list[Refusal]:
        fields, refusals = dict[str, Any](), []
        for key, cell in cells.items():
            text = edit.cells.get(key, "")
            if cell.aboard is not None or (text == "" and not cell.needed):
                continue
            try:
                fields[cell.field] = _value(cell, text)
            except LoadcalcError as error:
                refusals.append(Refusal(row_key=edit.row_key, column=key, reason=reason(error)))
        if refusals:
            return refusals
        self.became[edit.row_key] = made = self.desk.season.add(self.register.subject, **fields)
        for key, cell in cells.items():
            if cell.aboard is not None and edit.cells.get(key, ""):
                cell.aboard(made, str(edit.cells[key]))
        return []


def _value(cell: Cell, text: Text) -> Any:
    title = cell.column.title.lower()
    if cell.needed and str(text).strip() == "":
        raise BadValue(title, "", "is empty", "fill it in")
    return cell.read(text)  # type: ignore[arg-type]  # a tick's reader takes the bool that a tick holds


def register_table(desk: Desk, register: Register, height: str = "16rem") -> EditTable:
    """The editable table of one register."""
    edits = RegisterEdits(desk, register)

    def columns() -> list[Column]:
        return [cell.column for cell in register.cells()]

    rows, keys = register_rows(register, desk)
    table = EditTable(
        label=register.label, columns=columns(), rows=rows, row_keys=keys, on_edit=edits, can_duplicate=False,
        height=height,
    )  # fmt: skip
    desk.records.append(lambda: table.show(*register_rows(register, desk), columns(), became=edits.became))
    return table
