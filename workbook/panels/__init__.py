"""Panels: the controls that the pages share. Each has a plain function that decides what it shows."""

from workbook.panels.board import loadout_board
from workbook.panels.consumed import outline_view, ratings_chart, what_counts
from workbook.panels.desk import Desk, open_desk
from workbook.panels.frame import head_strip
from workbook.panels.gear import gear_table
from workbook.panels.limits import limit_board, limit_table
from workbook.panels.lists import export_panel, import_panel
from workbook.panels.measures import measure_table
from workbook.panels.start import start_panel

__all__ = [
    "Desk",
    "export_panel",
    "gear_table",
    "head_strip",
    "import_panel",
    "limit_board",
    "limit_table",
    "loadout_board",
    "measure_table",
    "open_desk",
    "outline_view",
    "ratings_chart",
    "start_panel",
    "what_counts",
]
