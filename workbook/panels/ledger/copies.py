"""Copies of the season and what is done with them: restore one, save the whole season as a zip, bring a zip in."""

from __future__ import annotations

import datetime
from typing import Any

import ipywidgets as widgets

from loadcalc.model.errors import LoadcalcError
from loadcalc.season.keep.archive import season_zip, start_from_zip
from loadcalc.season.keep.copies import BY_HAND, Keeper, copies, find_copy, keep_copy, restore, what_differs
from loadcalc.season.keep.opening import folder_of
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.forms import ROW, button, chooser, on_choice, refill, text_box
from workbook.panels.desk.frame import STYLE, html_table, lines
from workbook.panels.desk.html_text import escape
from workbook.panels.desk.offer import save_link
from workbook.panels.ledger import copies_words as say
from workbook.panels.ledger.tables import table_panel

HEADS = ("Day", "Why", "Entries", "Newest entry in it")
SCROLL = widgets.Layout(max_height="22rem", overflow="auto")


class CopyPanel:
    """The copies beside the season; one of them can be restored, after a second question."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.table, self.words = widgets.HTML(), widgets.HTML()
        self.which = chooser("Copy", "460px")
        self.ask = widgets.Button(
            description="Restore this copy", icon="history", layout=widgets.Layout(width="auto")
        )
        self.yes = widgets.Button(
            description="Yes, restore it", icon="check", layout=widgets.Layout(width="auto")
        )
        self.no = widgets.Button(description="No, keep everything as it is", layout=widgets.Layout(width="auto"))
        self.question = widgets.HBox([self.yes, self.no], layout=ROW)
        self.ask.on_click(lambda _: self.asked())
        self.yes.on_click(lambda _: self.restored())
        self.no.on_click(lambda _: self._settle("Nothing was restored; all is as it was."))
        on_choice(self.which, lambda: self._settle(""))
        desk.records.append(lambda: self._settle(""))
        make = button("Make a copy now", self.made, "clone")
        self.view = widgets.VBox(
            [
                widgets.VBox([self.table], layout=SCROLL, tabbable=True),
                widgets.HBox([self.which, self.ask, make], layout=ROW),
                self.words,
                self.question,
            ]
        )
        self._settle("")

    def show(self) -> None:
        """Show the copies as they are now."""
        found = copies(self.desk.season.folder)
        said = say.copies_said(found)
        keeper = self.desk.season.keeper
        if isinstance(keeper, Keeper) and keeper.trouble:
            said = f"Today's copy is missing: {keeper.trouble}\n{said}"
        rows = list(say.copy_rows(self.desk.season))
        self.table.value = lines(said, alarm=said.startswith("Today's")) + (
            html_table(HEADS, rows, numbers=(2,)) if rows else ""
        )
        refill(self.which, [(say.copy_label(copy), copy.name) for copy in found])
        self.ask.disabled = not found

    def _settle(self, said: str, *, alarm: bool = False) -> None:
        """Withdraw a question that was not answered, and say what is to be said."""
        self.question.layout.display = "none"
        self.words.value = lines(said, alarm=alarm, live=True)
        self.show()

    def asked(self) -> None:
        """Say what restoring would change, and ask once more."""
        self.desk.keep_now()
        try:
            copy = find_copy(self.desk.season.folder, self.which.value or "")
            differing = what_differs(self.desk.season, copy.name)
        except LoadcalcError as error:
            self._settle(f"Not restored: {error}", alarm=True)
            return
        self._settle(say.restore_asked(copy, differing))
        self.question.layout.display = "" if differing else "none"

    def restored(self) -> None:
        """Restore the copy that was asked about."""
        if self.question.layout.display == "none":
            return
        try:
            entry = restore(self.desk.season, self.which.value)
        except LoadcalcError as error:
            self._settle(f"Not restored: {error}", alarm=True)
            return
        note = entry.note if entry else "Nothing differs any more; nothing was written"
        self.desk.reload(f"Kept in the ledger: {note}" if entry else "")
        self._settle(f"{note}.")

    def made(self) -> None:
        """Make a copy by hand."""
        self.desk.keep_now()
        try:
            path = keep_copy(self.desk.season.db, self.desk.season.folder, BY_HAND)
        except LoadcalcError as error:
            self._settle(f"No copy was made: {error}", alarm=True)
            return
        self._settle(f"Kept as {path.name}.")


class ZipPanel:
    """The whole season as one zip of plain text, and a new season out of such a zip."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.link, self.words = widgets.HTML(), widgets.HTML()
        self.folder = text_box("New folder", "a folder that is not there yet", width="460px")
        self.upload = widgets.FileUpload(accept=".zip", multiple=False, description="Choose a zip")
        self.upload.observe(self._chosen, "value")
        desk.records.append(self._forget)
        make = button("Make a zip of the whole season", self.made, "file-archive-o")
        self.view = widgets.VBox(
            [
                widgets.HBox([make, self.link], layout=ROW),
                widgets.HBox([self.folder, self.upload], layout=ROW),
                self.words,
            ]
        )

    def made(self) -> None:
        """Make the zip, and a link that saves it."""
        self.desk.keep_now()
        try:
            content = season_zip(self.desk.season)
        except LoadcalcError as error:
            self.link.value = lines(f"No zip was made: {error}", alarm=True)
            return
        name = say.zip_name(self.desk.season, datetime.date.today().isoformat())
        size = f"{len(content) / 1e6:.2g} MB"
        words = f"Save {save_link(name, content)} ({size}), as of entry {self.desk.season.version}."
        self.link.value = f"{STYLE}<div class='loadout-words'>{words}</div>"

    def _forget(self) -> None:
        self.link.value = ""  # the season has changed, and the zip has not

    def _chosen(self, change: dict[str, Any]) -> None:
        if change["new"]:
            file = change["new"][0]
            self.bring_in(bytes(file["content"]), str(file["name"]))
            self.upload.value = ()

    def bring_in(self, content: bytes, filename: str) -> None:
        """Make a season of its own out of a zip; the one that is open is not touched."""
        typed = self.folder.value.strip()
        if not typed:
            self.words.value = lines("Not imported: write the name of a new folder first.", alarm=True)
            return
        try:
            folder = self.desk.season.folder.parent / folder_of(typed)  # an absolute one stays what it is
            with start_from_zip(folder, content, self.desk.season.writer) as made:
                count, title = made.version, made.title
        except LoadcalcError as error:
            self.words.value = lines(f"Not imported from {filename}: {error}", alarm=True)
            return
        command = f'python3 -m workbook --season "{folder}"'
        self.words.value = (
            f"{STYLE}<div class='loadout-words' role='status'>{escape(title)} with its {count} entries is in "
            f"{escape(str(folder))}. Open it with <code>{escape(command)}</code>.</div>"
        )


def copies_panel(desk: Desk) -> widgets.Widget:
    """Copies and restoring, the whole season as a zip, and every table in and out, one under the other."""
    parts = {
        "Copies": CopyPanel(desk).view,
        "The whole season as one zip of plain text": ZipPanel(desk).view,
        "Tables out and in": table_panel(desk),
    }
    heads = [widgets.HTML(f"{STYLE}<h3 class='loadout-words'>{escape(title)}</h3>") for title in parts]
    return widgets.VBox([part for pair in zip(heads, parts.values(), strict=True) for part in pair])
