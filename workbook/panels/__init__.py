"""Panels: the controls that the pages share. Each has a plain function that decides what it shows."""

from workbook.panels.board import loadout_board
from workbook.panels.carrier import carrier_table, loadout_strip
from workbook.panels.consumed import outline_view, ratings_chart, what_counts
from workbook.panels.desk import Desk
from workbook.panels.frame import head_strip
from workbook.panels.gear import gear_table
from workbook.panels.kit import can_table, people_table, seat_table, zone_table
from workbook.panels.limits import limit_board, limit_table
from workbook.panels.lists import export_panel, import_panel
from workbook.panels.measures import measure_table
from workbook.panels.opening import open_desk
from workbook.panels.start import start_panel
from workbook.panels.trailer import trailer_table
from workbook.panels.wishes import wish_table

__all__ = [
    "Desk",
    "can_table",
    "carrier_table",
    "export_panel",
    "gear_table",
    "head_strip",
    "import_panel",
    "limit_board",
    "limit_table",
    "loadout_board",
    "loadout_strip",
    "measure_table",
    "open_desk",
    "outline_view",
    "people_table",
    "ratings_chart",
    "seat_table",
    "start_panel",
    "trailer_table",
    "what_counts",
    "wish_table",
    "zone_table",
]
