"""What goes in and out of the editable table: columns, edits, refusals."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

Text = str | bool
"""What one cell holds: the text on screen, or True and False for a tick."""

KINDS = ("text", "number", "choice", "tick", "read-only")
WIDTHS = {"text": "13em", "number": "7em", "choice": "9em", "tick": "5em", "read-only": "7em"}


@dataclass(frozen=True, kw_only=True, slots=True)
class Column:
    """One column of the table.

    key: name used in rows, edits and refusals; title: what the header says; kind: one of KINDS;
    hint: one line, shown under the table while a cell of the column has the focus, and as a tooltip;
    choices: what a "choice" cell offers; align: "left", "center" or "right" (numbers go right when not said);
    width: CSS width (each kind has its own when not said); new: what the cell of a new row begins with.
    """

    key: str
    title: str
    kind: str
    hint: str = ""
    choices: tuple[str, ...] = ()
    align: str = ""
    width: str = ""
    new: Text = ""

    def __post_init__(self) -> None:
        if not self.key:
            raise ValueError("key of a column is empty: give it a name such as 'mass'")
        if self.kind not in KINDS:
            raise ValueError(f"kind of column {self.key!r} is {self.kind!r}: use one of {', '.join(KINDS)}")
        if self.align not in ("", "left", "center", "right"):
            raise ValueError(f"align of column {self.key!r} is {self.align!r}: use left, center or right")

    def blank(self) -> Text:
        """What an untouched cell of a new row holds."""
        return False if self.kind == "tick" else ""

    def as_json(self) -> dict[str, object]:
        """The column as the browser reads it, every default filled in."""
        usual = {"number": "right", "tick": "center"}.get(self.kind, "left")
        return {
            "key": self.key,
            "title": self.title,
            "kind": self.kind,
            "hint": self.hint,
            "choices": list(self.choices),
            "align": self.align or usual,
            "width": self.width or WIDTHS[self.kind],
        }


@dataclass(frozen=True, kw_only=True, slots=True)
class Edit:
    """One thing the person asked for.

    kind "set": put `text` into `column` of row `row_key`.
    kind "add": a new row with `cells` (every editable column; "" or False where nothing was typed).
    kind "duplicate": a copy of row `source_key`, its editable columns replaced by `cells`.
    kind "remove": take row `row_key` away.
    For "add" and "duplicate", `row_key` is the draft's temporary key: use it in refusals.
    pasted: came from a pasted block; the whole block is one call, so it can be one step to undo.
    """

    kind: str
    row_key: str
    column: str = ""
    text: Text = ""
    cells: Mapping[str, Text] = field(default_factory=dict)
    source_key: str = ""
    pasted: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Refusal:
    """One cell, or with column "" one whole row, that was not accepted, and why.

    row_key: the row, or the draft's temporary key; text: what was typed (the table knows it from the edit);
    reason: one sentence that says what is wrong and the cure; the table shows it as it is.
    """

    row_key: str
    column: str
    reason: str
    text: Text = ""
