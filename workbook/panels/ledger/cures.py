"""What a page shows when its season is damaged: what is damaged, and the two cures."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import ipywidgets as widgets

from loadcalc.model.errors import LoadcalcError
from loadcalc.season import Season, rebuild_season, restore_season
from loadcalc.season.keep.copies import copies
from workbook.panels.desk.forms import ROW, button, chooser, refill
from workbook.panels.desk.frame import lines
from workbook.panels.ledger.copies_words import copy_label

ADVICE = (
    "Rebuilding keeps every entry; those that are damaged are taken from the copies. A copy brings back the season as "
    "it was when the copy was made. Either way the damaged file is kept, in the folder of copies."
)
AGAIN = "Now run this page again: Kernel, Restart Kernel and Run All Cells."


class CurePanel:
    """Rebuild a damaged season from its ledger, or bring a copy back."""

    def __init__(self, folder: Path, damage: LoadcalcError) -> None:
        self.folder = folder
        self.words = widgets.HTML(lines(f"This season can't be opened: {damage}\n{ADVICE}", alarm=True))
        self.done = widgets.HTML()
        self.which = chooser("Copy", "460px")
        found = copies(folder)
        labels = [(f"{copy_label(copy)}, up to entry {copy.entry}", copy.name) for copy in found if copy.entry]
        refill(self.which, labels)
        self.rebuild = button("Rebuild it from its ledger", self.rebuilt, "wrench")
        self.restore = button("Bring this copy back", self.restored, "history")
        row = [self.which, self.restore] if found else []
        self.view = widgets.VBox([self.words, self.rebuild, widgets.HBox(row, layout=ROW), self.done])

    def rebuilt(self) -> None:
        """Write the season anew from its ledger."""
        self._do("Rebuilt", lambda: rebuild_season(self.folder))

    def restored(self) -> None:
        """Put the chosen copy in the season's place."""
        self._do("Brought back", lambda: restore_season(self.folder, self.which.value or ""))

    def _do(self, done: str, go: Callable[[], Season]) -> None:
        try:
            with go() as season:
                told = "\n".join([f"{done}: the season holds {season.version} entries. {AGAIN}", *season.notes])
        except LoadcalcError as error:
            self.done.value = lines(f"Not {done[0].lower()}{done[1:]}: {error}", alarm=True)
            return
        self.done.value = lines(told, live=True)
