"""An editable table for people: native boxes to type in, every judgment made in Python."""

from __future__ import annotations

import logging
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import anywidget
import traitlets

from loadcalc.model.marks import isolated
from workbook.widgets.pieces import script, style
from workbook.widgets.table.batch import Batch, read, refuse_all, report, settle
from workbook.widgets.table.records import Column, Edit, Refusal
from workbook.widgets.table.sheet import Row, Sheet

__all__ = ["Column", "Edit", "EditTable", "Refusal"]

_VIEWS_REMEMBERED = 8
_log = logging.getLogger(__name__)

OnEdit = Callable[[list[Edit]], Sequence[Refusal] | None]
OnUndo = Callable[[bool], str]


class EditTable(anywidget.AnyWidget):
    """A table whose cells are texts; what they mean is decided by its owner, in Python.

    label: name of the table, shown above it and read to people who can't see it.
    columns, rows, row_keys: what to show. A row maps column keys to a text (a tick to True or False); its
    extra key "_sort" may hold numbers by column key, used when that column is sorted.
    on_edit: called once for each thing the person does, with all its edits; returns what it refuses.
    can_add, can_duplicate, can_remove: which row buttons there are.
    height: CSS height at which the table scrolls.
    on_undo: called with False for Ctrl+Z (with True for Ctrl+Y: do it again); returns what to say.

    The agreement between table and owner:

    * `on_edit(edits)` applies every edit that it accepts (as one step to undo: a pasted block is one
      call), then calls `show()` with the rows as they are now, and returns one `Refusal` for each cell
      that it did not accept. A cell without a refusal counts as accepted. If it doesn't call `show()`,
      accepted texts stand as typed until the next `show()`.
    * A refused cell keeps what was typed, is marked "!" and has the reason in words below its row until
      it is corrected, or Escape brings the last good text back. `show()` leaves it alone while its row is
      there.
    * A cell retyped to the text that already stands is not an edit, so a rounded text never creeps.
    * Ticks and choices are checked here, because only they can be: a pasted word that is neither yes nor
      no, or not one of the choices, is refused without asking the owner.
    * New rows are drafts. "Add row" (and pasted lines below the last row) make a draft with a temporary
      key such as "draft-3" and offer it as `Edit(kind="add", row_key="draft-3", cells={...})`. If any
      refusal carries that key, the row stays on screen as "not saved yet" with the reasons, and is
      offered again, whole, after each change. Once nothing of it is refused, the draft ends and the
      owner's row takes its place. "Duplicate" works the same way with `kind="duplicate"`, `source_key`
      naming the row copied. A draft that is removed is never mentioned. When one call accepts several
      drafts, the new rows are matched to them in the order shown, or as `show(became=...)` says; that
      only decides where the keyboard goes on.
    * One column of all picked rows is set by one call, an edit for each row. A refusal of one of these leaves
      its cell as it was: the value is still in the control that set it.
    * If `on_edit` raises, nothing counts as saved: the typed texts stay, with "Not saved:" and the
      message. `last_error` keeps the exception.

    Python owns all that is shown (trait `_shown`); the browser never writes a trait, it only sends
    numbered messages. `_shown` says which message of each view is answered: a late answer never
    overwrites newer typing.
    """

    _esm = script("table", "order", "cells", "pick", "frame", "focus", "keys", "window")
    _css = style("table")

    note = traitlets.Unicode("").tag(sync=True)
    """A line under the table, for its owner to write; read out politely when it changes."""
    _fixed = traitlets.Dict().tag(sync=True)
    _shown = traitlets.Dict().tag(sync=True)

    def __init__(
        self,
        *,
        label: str,
        columns: Sequence[Column],
        rows: Sequence[Row],
        row_keys: Sequence[str],
        on_edit: OnEdit,
        can_add: bool = True,
        can_duplicate: bool = True,
        can_remove: bool = True,
        height: str = "26rem",
        on_undo: OnUndo | None = None,
    ) -> None:
        self._sheet = Sheet(columns, rows, row_keys)
        self._on_edit = on_edit
        self._on_undo = on_undo
        self._answered: dict[str, dict[str, object]] = {}
        self._report = ""
        self._hearing = False
        self._shown_meanwhile = False
        self.last_error: Exception | None = None
        fixed = {"label": label, "height": height, "add": can_add, "duplicate": can_duplicate, "remove": can_remove}
        # With its first message, not after it: a browser that is busy draws the table before it hears a second one.
        super().__init__(_fixed=fixed, _shown=self._picture())
        self.on_msg(self._hear)

    def show(
        self,
        rows: Sequence[Row],
        row_keys: Sequence[str],
        columns: Sequence[Column] | None = None,
        *,
        became: Mapping[str, str] | None = None,
    ) -> None:
        """Replace what is shown: after an edit, a change elsewhere, or a switch of units.

        Focus, scroll, sorting, filter, drafts and refused texts stay where their row still exists.
        columns: None keeps them; became: which row key each accepted draft got, by temporary key.
        """
        self._sheet.replace(self._sheet.columns if columns is None else columns, rows, row_keys)
        self._sheet.became.update(became or {})
        self._shown_meanwhile = True
        self._publish()

    def discard_unsaved(self) -> None:
        """Forget drafts and refused texts, for instance because another season was opened."""
        self._sheet.drafts.clear()
        self._sheet.refused.clear()
        self._report = ""
        self._publish()

    def _publish(self) -> None:
        """Send everything that is shown as one value, so that a view never sees half a change."""
        if not self._hearing:
            self._shown = self._picture()

    def _picture(self) -> dict[str, object]:
        return {
            "columns": [column.as_json() for column in self._sheet.columns],
            "rows": self._sheet.picture(),
            "became": dict(list(self._sheet.became.items())[-100:]),
            "answered": dict(self._answered),
            "report": isolated(self._report),
        }

    def _hear(self, _widget: object, content: Mapping[str, Any], _buffers: object) -> None:
        """Answer one message of the browser: `view`, its number `batch`, and the wishes in `edits`."""
        self._hearing = True
        try:
            batch = read(self._sheet, content.get("edits", []), can_add=bool(self._fixed["add"]))
            self._answer(batch)
        finally:
            self._hearing = False
        view = str(content.get("view", ""))
        self._answered.pop(view, None)
        row = self._sheet.current_key(batch.new_row)
        self._answered[view] = {"batch": content.get("batch", 0), "row": row, "all_set": batch.all_set}
        for old in list(self._answered)[:-_VIEWS_REMEMBERED]:
            del self._answered[old]
        self._publish()

    def _answer(self, batch: Batch) -> None:
        before = set(self._sheet.rows)
        names = {key: self._sheet.name(key) for key in [*self._sheet.rows, *self._sheet.drafts]}
        self._shown_meanwhile = False
        if batch.takes_back:
            redo = batch.takes_back == "redo"
            batch.words.append(self._on_undo(redo) if self._on_undo else "Nothing here is kept that could be undone.")
        refusals: Sequence[Refusal] = ()
        failure = ""
        if batch.edits:
            try:
                refusals = tuple(self._on_edit(batch.edits) or ())
            except Exception as error:  # any fault of the owner must reach the person in words
                _log.info("on_edit failed", exc_info=True)
                self.last_error = error
                failure = str(error) or type(error).__name__
                refusals = refuse_all(batch.edits, failure)
        settle(self._sheet, batch, refusals, before, shown=self._shown_meanwhile)
        self._report = f"Not saved: {failure}" if failure else report(self._sheet, batch, refusals, names)
