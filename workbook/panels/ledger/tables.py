"""Every table of the season as CSV or XLSX, out; and one of them in, with a preview of what it would change."""

from __future__ import annotations

import ipywidgets as widgets

from loadcalc.season.file.fields import FIELDS
from loadcalc.season.file.schema import table_name
from loadcalc.season.tables.preview import TablePreview
from loadcalc.season.tables.read import OwnTable, read_own, subject_of_file
from loadcalc.season.tables.take import preview_table, take_in_table
from loadcalc.season.tables.write import write_all_xlsx, write_csv, write_xlsx
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.forms import ROW, button, chooser
from workbook.panels.desk.frame import STYLE
from workbook.panels.desk.offer import Look, Offer, save_link
from workbook.panels.ledger import copies_words as say

FIRST = "item"


class TablePanel(Offer):
    """Choose a table; save it; bring a file of it in."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.which = chooser("Table", "340px")
        self.which.options = say.table_choices()
        self.which.value = FIRST
        self.remove = widgets.Checkbox(
            description="Delete rows not in the file", indent=False, layout=widgets.Layout(width="auto")
        )
        self.link = widgets.HTML()
        self.which.observe(lambda _: self._forget_link(), "value")
        self.remove.observe(lambda _: self.look_again(), "value")
        desk.records.append(self._forget_link)
        this = button("Save this table", self.save_one, "table")
        every = button("Save all tables", self.save_all, "th")
        out = widgets.HBox([self.which, this, every, self.link], layout=ROW)
        come_in = widgets.HBox([self.upload, self.remove, self.apply, self.leave], layout=ROW)
        self.view = widgets.VBox([out, come_in, self.words, self.table])

    def read(self, content: bytes, filename: str) -> OwnTable:
        """Read a file as the table that it says it is, else as the one that is chosen; and show which."""
        subject = subject_of_file(content, filename) or str(self.which.value)
        table = read_own(content, filename, subject)
        self.which.value = subject
        return table

    def look(self, raw: OwnTable) -> Look:
        """Say what the table would change."""
        preview = preview_table(self.desk.season, raw, removing=bool(self.remove.value))
        return Look(
            shown=preview, said=say.table_said(preview, raw.filename), heads=("Where", "What", "Which", "In words"),
            rows=tuple(say.table_rows(preview)), worth=preview.worth_taking, alarm=bool(preview.problem),
        )  # fmt: skip

    def take(self, raw: OwnTable, shown: TablePreview) -> str:
        """Take the table in."""
        entry = take_in_table(self.desk.season, raw, shown)
        return entry.note if entry else ""

    def save_one(self) -> None:
        """Make links that save the chosen table, in the reader's units and in SI."""
        self.desk.keep_now()
        present, subject, units = self.desk.season.present, str(self.which.value), self.desk.units
        name = table_name(subject)
        self._show_links(
            {
                f"{name}.csv": write_csv(present, subject, units),
                f"{name}.xlsx": write_xlsx(present, [subject], units),
            },
            f"in {'lb, in, gal' if units.name == 'US' else 'SI'}",
        )

    def save_all(self) -> None:
        """Make a link that saves every table in one spreadsheet, a sheet each."""
        self.desk.keep_now()
        count = f"{len(FIELDS)} sheets"
        self._show_links(
            {"season-tables.xlsx": write_all_xlsx(self.desk.season.present, self.desk.units)}, count
        )

    def _show_links(self, files: dict[str, bytes], words: str) -> None:
        links = " · ".join(save_link(name, content) for name, content in files.items())
        self.link.value = f"{STYLE}<div class='loadout-words'>Save {links} ({words}).</div>"

    def _forget_link(self) -> None:
        self.link.value = ""  # another table, or the season has changed


def table_panel(desk: Desk) -> widgets.Widget:
    """The panel for tables out and in."""
    return TablePanel(desk).view
