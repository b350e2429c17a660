"""Tables of records of one kind: rows from the season, edits back into it. What the columns are is their owner's."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

from loadcalc.model.errors import BadValue, LoadcalcError
from loadcalc.season.edit.truth import refuse_taken
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.edits import apply_edits, reason, takes_back
from workbook.widgets.table.table import Column, Edit, EditTable, Refusal

Text = str | bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One column of a table of records.

    column : how it looks. show : its text for a record. field : the season's field that it writes, with
    `read` to turn the text into a value; or `aboard`, which writes what holds for the loadout being looked at.
    needed : a new row must have it. new : what a new row begins with, and has where nothing is typed.
    unsays : a field that was said of the old value, and goes when another is typed.
    order : the number that the column is sorted by, where its text doesn't tell.
    """

    column: Column
    show: Callable[[Any], Text]
    field: str = ""
    read: Callable[[str], Any] = str.strip
    aboard: Callable[[str, Any], None] | None = None
    needed: bool = False
    new: Text = ""
    unsays: str = ""
    order: Callable[[Any], float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Register:
    """One kind of record: its subject in the season, the records, and the columns.

    fixed : its rows are what they are: nobody adds or removes one. can_duplicate : a row can be copied.
    put, drop : how a record of its own kind is kept (its key, "" for a new one, and fields; returns the key) and
    taken away; without them as every thing of the season's subject is, whose names then differ.
    """

    subject: str
    label: str
    records: Callable[[], Sequence[Any]]
    cells: Callable[[], list[Cell]]
    fixed: bool = False
    can_duplicate: bool = False
    put: Callable[[str, dict[str, Any]], str] | None = None
    drop: Callable[[str], object] | None = None


def column(key: str, title: str, kind: str = "text", **more: Any) -> Column:
    """A column, in one line."""
    return Column(key=key, title=title, kind=kind, **more)


def tick(text: Text) -> bool:
    """What a tick says."""
    return bool(text)


def register_rows(register: Register, desk: Desk) -> tuple[list[dict[str, Any]], list[str]]:
    """Rows of a register and their keys in the season."""
    cells = register.cells()
    return [_row(cells, record) for record in register.records()], _keys(register, desk)


def _keys(register: Register, desk: Desk) -> list[str]:
    """Its records' own keys; what is known by its name alone has one in the season."""
    return [getattr(one, "key", "") or desk.season.find(register.subject, one.name) for one in register.records()]


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
        try:
            return self._apply(edits, cells)
        except LoadcalcError:
            self.became = {}  # nothing came of it
            raise

    def _apply(self, edits: list[Edit], cells: Mapping[str, Cell]) -> list[Refusal]:
        return apply_edits(self.desk, edits, self._note(edits, cells), lambda edit: self._one(edit, cells))

    def _note(self, edits: Sequence[Edit], cells: Mapping[str, Cell]) -> str:
        """What the ledger calls this."""
        first = edits[0]
        if any(edit.pasted for edit in edits):
            return f"{self.register.label}: {len(edits)} cells or rows pasted"
        records = self.register.records()
        named = dict(zip(_keys(self.register, self.desk), (record.name for record in records), strict=True))
        name = first.cells.get("name") or named.get(first.row_key, "new row")
        if first.kind != "set":
            did = {"add": "added", "duplicate": "added as a copy", "remove": "removed"}
            return f"{name}: {did[first.kind]}"
        if len(edits) > 1:
            name = f"{len(edits)} rows"
        text = first.text if isinstance(first.text, str) else "yes" if first.text else "no"
        return f"{name}: {cells[first.column].column.title.lower()} {text}".rstrip()

    def _one(self, edit: Edit, cells: Mapping[str, Cell]) -> list[Refusal]:
        if edit.kind == "remove":
            self._drop(edit.row_key)
        elif edit.kind == "set":
            self._set(edit.row_key, cells[edit.column], edit.text)
        else:
            return self._add(edit, cells)
        return []

    def _set(self, key: str, cell: Cell, text: Text) -> None:
        if cell.aboard is not None:
            cell.aboard(key, text)
            return
        value = self._value(cell, text, key)
        if not self._is_what_is_shown(cell, key, value):
            said = {cell.field: value, **({cell.unsays: None} if cell.unsays else {})}
            self._put(key, said)

    def _is_what_is_shown(self, cell: Cell, key: str, value: Any) -> bool:
        """Whether somebody typed just what the cell shows: then the number behind it stays, to its last digit."""
        keys, records = _keys(self.register, self.desk), self.register.records()
        record = next((one for name, one in zip(keys, records, strict=True) if name == key), None)
        if record is None:
            return False
        try:
            return bool(cell.read(cell.show(record)) == value)  # type: ignore[arg-type]  # as in _value
        except LoadcalcError:
            return False

    def _add(self, edit: Edit, cells: Mapping[str, Cell]) -> list[Refusal]:
        new, refusals = self._copied(edit.source_key), []
        for key, cell in cells.items():
            text = edit.cells.get(key, "") or ("" if edit.source_key else cell.new)
            if not cell.field or (text == "" and not cell.needed):
                continue
            try:
                new[cell.field] = self._value(cell, text)
            except LoadcalcError as error:
                refusals.append(Refusal(row_key=edit.row_key, column=key, reason=reason(error)))
        if refusals:
            return refusals
        made = self._put("", new)
        for key, cell in cells.items():
            text = edit.cells.get(key, "") or ("" if edit.source_key else cell.new)
            if cell.aboard is None or text == "":
                continue
            try:
                cell.aboard(made, text)
            except LoadcalcError as error:  # then the row isn't there either: it is offered again, whole
                self._drop(made)
                return [Refusal(row_key=edit.row_key, column=key, reason=reason(error))]
        self.became[edit.row_key] = made
        return []

    def _drop(self, key: str) -> None:
        if self.register.drop is not None:
            self.register.drop(key)
        else:
            self.desk.season.remove(self.register.subject, key)

    def _put(self, key: str, said: dict[str, Any]) -> str:
        season, subject = self.desk.season, self.register.subject
        if self.register.put is not None:
            return self.register.put(key, said)
        if not key:
            return season.add(subject, **said)
        season.set(subject, key, **said)
        return key

    def _copied(self, key: str) -> dict[str, Any]:
        """The fields of the record that a new row is a copy of; none when it is no copy."""
        source = next((record for record in self.register.records() if key and record.key == key), None)
        names = [field.name for field in fields(source)] if source else []
        return {name: getattr(source, name) for name in names if name != "key"}

    def _value(self, cell: Cell, text: Text, key: str = "") -> Any:
        """What a cell's text says of one record, "" for a new one."""
        title = cell.column.title.lower()
        if cell.needed and str(text).strip() == "":
            raise BadValue(title, "", "is empty", "fill it in")
        value = cell.read(text)  # type: ignore[arg-type]  # a tick's reader takes the bool that a tick holds
        if cell.field == "name" and self.register.put is None:
            refuse_taken(self.desk.season.present, self.register.subject, value, key)
        return value


def register_table(desk: Desk, register: Register, height: str = "16rem") -> EditTable:
    """The editable table of one register."""
    edits = RegisterEdits(desk, register)

    def columns() -> list[Column]:
        return [replace(cell.column, new=cell.new) for cell in register.cells()]

    rows, keys = register_rows(register, desk)
    table = EditTable(
        label=register.label, columns=columns(), rows=rows, row_keys=keys, on_edit=edits, height=height,
        can_add=not register.fixed, can_remove=not register.fixed, can_duplicate=register.can_duplicate,
        on_undo=takes_back(desk),
    )  # fmt: skip
    desk.records.append(lambda: table.show(*register_rows(register, desk), columns(), became=edits.became))
    return table
