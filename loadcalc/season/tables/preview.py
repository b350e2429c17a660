"""What taking in a table would change: rows added, changed, removed, unchanged, or refused."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from loadcalc.season.lists.gear_preview import FieldChange, Refused
from loadcalc.season.lists.raw_table import count_of


class PreviewRow(NamedTuple):
    """A row that can be taken in, or a thing that the file lacks (row 0).

    key : of the thing, "" for a new one whose key is given when it is taken in. name : what people call it.
    fields : what is to be set, None to take a field away. changes : the same in words, cell by cell.
    """

    row: int
    key: str
    name: str
    fields: Mapping[str, Any]
    changes: tuple[FieldChange, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TablePreview:
    """What taking in a table would do.

    subject, table : which table, and what it is called. removing : whether what the file lacks is taken away.
    missing : what the file lacks; removed when `removing`, kept otherwise.
    problem : why the whole can't be taken in although each row by itself could, "" when it can.
    """

    subject: str
    table: str
    removing: bool
    added: tuple[PreviewRow, ...] = ()
    changed: tuple[PreviewRow, ...] = ()
    missing: tuple[PreviewRow, ...] = ()
    unchanged: int = 0
    refused: tuple[Refused, ...] = ()
    problem: str = ""
    notes: tuple[str, ...] = field(default=())

    @property
    def removed(self) -> tuple[PreviewRow, ...]:
        """What would be taken away."""
        return self.missing if self.removing else ()

    @property
    def worth_taking(self) -> bool:
        """Whether it can be taken in and changes anything."""
        return bool(self.added or self.changed or self.removed) and not self.problem

    def summary(self) -> str:
        """Return the counts in one line: "1 added, 2 changed, 0 removed, 40 unchanged, 1 row refused"."""
        refused = len({refused.row for refused in self.refused})
        kept = 0 if self.removing else len(self.missing)
        parts = [
            f"{len(self.added)} added",
            f"{len(self.changed)} changed",
            f"{len(self.removed)} removed",
            f"{self.unchanged} unchanged",
            f"{count_of(refused, 'row')} refused" if refused else "",
            f"{kept} not in the file (kept)" if kept else "",
        ]
        return ", ".join(part for part in parts if part)
