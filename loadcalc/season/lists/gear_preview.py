"""What taking in a gear list would change: added, changed, unchanged, refused, skipped, not in the file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from loadcalc.model.things import Item
from loadcalc.season.lists.raw_table import cell_name, count_of


class FieldChange(NamedTuple):
    """One field of an item before and after, in the reader's units."""

    field: str
    old: str
    new: str

    def __str__(self) -> str:
        return f"{self.field}: {self.old or 'nothing'} → {self.new or 'nothing'}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """A row that can be taken in.

    row : its number in the file. item : the item as it would be. changes : what differs from the present one.
    zone, note : what the file says of them, as text; the zone may not be one that the season knows.
    """

    row: int
    item: Item
    changes: tuple[FieldChange, ...] = ()
    zone: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """A cell that keeps its row from being taken in: where it is, the text as typed, why, and the cure."""

    row: int
    name: str
    cell: str
    field: str
    text: str
    reason: str
    cure: str

    @property
    def cells(self) -> tuple[str, str, str, str]:
        """Its line in a preview: where in the file, that it is refused, what, and why with the cure."""
        where = f"row {self.row}" + (f", {self.cell}" if self.cell else "")
        return where, "▲ refused", self.name, f"{self.field} “{self.text}” {self.reason}; {self.cure}"

    def __str__(self) -> str:
        place = f"row {self.row}" + (f", cell {self.cell}" if self.cell else "")
        typed = f" {self.text!r}" if self.text else ""
        return f"{place}, {self.name or 'no name'}: {self.field}{typed} {self.reason}; {self.cure}"


class Skipped(NamedTuple):
    """Rows that hold no item: the first and last row number, what stands in them, and why."""

    row: int
    last: int
    text: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GearPreview:
    """What taking in a gear list would do. Items that the file lacks are listed, never removed.

    columns : field -> the header that it was read from. notes : what a reader should know before saying yes.
    """

    added: tuple[Taken, ...] = ()
    changed: tuple[Taken, ...] = ()
    unchanged: tuple[Taken, ...] = ()
    refused: tuple[Refused, ...] = ()
    skipped: tuple[Skipped, ...] = ()
    not_in_file: tuple[Item, ...] = ()
    columns: Mapping[str, str]
    notes: tuple[str, ...] = ()

    @property
    def zones(self) -> dict[str, str]:
        """Zone text by item key, for every row that gives one."""
        rows = (*self.added, *self.changed, *self.unchanged)
        return {row.item.key: row.zone for row in rows if row.zone}

    def result(self, present: Sequence[Item]) -> tuple[Item, ...]:
        """Return the items as they would be: the present ones, changed as the file says, then the added."""
        new = {row.item.key: row.item for row in self.changed}
        return (*(new.get(item.key, item) for item in present), *(row.item for row in self.added))

    def summary(self) -> str:
        """Return the counts in one line: "3 added, 2 changed, 40 unchanged, 1 row refused"."""
        refused = len({refused.row for refused in self.refused})
        blank = sum(skipped.last - skipped.row + 1 for skipped in self.skipped)
        parts = [
            f"{len(self.added)} added",
            f"{len(self.changed)} changed",
            f"{len(self.unchanged)} unchanged",
            f"{count_of(refused, 'row')} refused" if refused else "",
            f"{count_of(blank, 'row')} skipped" if blank else "",
            f"{count_of(len(self.not_in_file), 'item')} not in the file (kept)" if self.not_in_file else "",
        ]  # fmt: skip
        return ", ".join(part for part in parts if part)


def cell_of(row: int, column: int) -> str:
    """Return a cell's name, or "" when the field has no column."""
    return cell_name(row, column) if column >= 0 else ""
