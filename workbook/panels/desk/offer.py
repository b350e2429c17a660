"""Bring a file in: choose it, look at what it would change, import it or not. Links that save a file."""

from __future__ import annotations

import base64
from collections.abc import Sequence
from dataclasses import dataclass, field
from html import escape
from typing import Any

import ipywidgets as widgets

from loadcalc.model.errors import LoadcalcError
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.frame import html_table, lines

MIMES = {
    "csv": "text/csv",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "zip": "application/zip",
}
LOOK_AGAIN = "Another page has edited the season: look again, then import it."


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """What the page shows of a file before it is taken in.

    shown : what is compared with a second look; said : sentences, one a line; heads, rows : the table.
    worth : whether taking it in would change anything; alarm : whether the first sentence is a refusal.
    """

    shown: Any
    said: str
    heads: Sequence[str]
    rows: Sequence[Sequence[str]] = field(default=())
    worth: bool = False
    alarm: bool = False


class Offer:
    """Choose a file, look at what it would change, then take it in or leave it.

    Whoever makes one of these says how a file is read, what there is to look at, and how it is taken in.
    """

    accept_kinds = ".csv,.tsv,.txt,.xlsx"

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self._raw: Any = None
        self._look: Look | None = None
        self.upload = widgets.FileUpload(
            accept=self.accept_kinds, multiple=False, description="Choose a file"
        )
        self.apply = widgets.Button(description="Import", icon="check", disabled=True)
        self.leave = widgets.Button(description="Cancel", disabled=True)
        self.words, self.table = widgets.HTML(), widgets.HTML()
        self.upload.observe(self._chosen, "value")
        self.apply.on_click(lambda _: self.accept())
        self.leave.on_click(lambda _: self._end("Nothing was imported; all is as it was."))
        desk.records.append(self.look_again)
        buttons = widgets.HBox([self.upload, self.apply, self.leave])
        self.view = widgets.VBox([buttons, self.words, self.table])

    def read(self, content: bytes, filename: str) -> Any:
        """Read a file. Raises LoadcalcError when it can't be used."""
        raise NotImplementedError

    def look(self, raw: Any) -> Look:
        """Say what taking it in would change, with nothing taken in."""
        raise NotImplementedError

    def take(self, raw: Any, shown: Any) -> str:
        """Take it in; return the entry's note, "" when nothing was new."""
        raise NotImplementedError

    def _chosen(self, change: dict[str, Any]) -> None:
        if change["new"]:
            file = change["new"][0]
            self.offer(bytes(file["content"]), str(file["name"]))
            self.upload.value = ()

    def offer(self, content: bytes, filename: str) -> None:
        """Show what a file would change."""
        self.desk.keep_now()
        try:
            self._raw = self.read(content, filename)
        except LoadcalcError as error:
            self._end(f"Not imported: {error}", alarm=True)
            return
        self.look_again()

    def look_again(self) -> None:
        """Show what the file would change now."""
        if self._raw is None:
            return
        try:
            found = self._look = self.look(self._raw)
        except LoadcalcError as error:
            self._end(f"Not imported: {error}", alarm=True)
            return
        self.words.value = lines(found.said, alarm=found.alarm, live=True)
        self.table.value = html_table(found.heads, found.rows)
        self.apply.disabled, self.leave.disabled = not found.worth, False

    def accept(self) -> None:
        """Take in what is shown; when another page has edited since, show the new preview first."""
        if self._raw is None or self._look is None:
            return
        before = self._look
        self.look_again()
        if self._raw is None:
            return
        if self._look.shown != before.shown:
            self.words.value = lines(LOOK_AGAIN, alarm=True, live=True)
            return
        raw, self._raw = self._raw, None
        try:
            note = self.take(raw, before.shown)
        except LoadcalcError as error:
            self._end(f"Not imported: {error}", alarm=True)
            return
        self._end(f"Imported. {note}" if note else "The file says nothing new; nothing was written.")
        self.desk.reload(f"Kept in the ledger: {note}" if note else "")

    def _end(self, said: str, *, alarm: bool = False) -> None:
        self._raw = self._look = None
        self.apply.disabled = self.leave.disabled = True
        self.words.value, self.table.value = lines(said, alarm=alarm, live=True), ""


def save_link(name: str, content: bytes) -> str:
    """A link that saves a file straight from the page, with no server and no network behind it."""
    data = base64.b64encode(content).decode()
    mime = MIMES[name.rpartition(".")[2]]
    return f"<a download='{escape(name)}' href='data:{mime};base64,{data}'>{escape(name)}</a>"
