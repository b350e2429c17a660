"""Panels: the controls that the pages share. Each has a plain function that decides what it shows."""

from workbook.panels.desk.answer import answer
from workbook.panels.desk.board import load_point_board, loadout_board
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.frame import head_strip
from workbook.panels.desk.html_text import say
from workbook.panels.gear.gear import gear_table, inventory_view
from workbook.panels.gear.kit import can_table, people_table, seat_table, zone_table
from workbook.panels.gear.lists import export_panel, import_panel
from workbook.panels.gear.wishes import wish_table
from workbook.panels.ledger.opening import open_desk
from workbook.panels.loadout.consumed import outline_view, ratings_chart, what_counts
from workbook.panels.loadout.start import next_steps
from workbook.panels.ratings.carrier import carrier_table, loadout_strip
from workbook.panels.ratings.limits import limit_board, limit_table
from workbook.panels.ratings.measures import measure_table
from workbook.panels.ratings.trailer import trailer_table
from workbook.panels.ratings.walk import walk_table

__all__ = [
    "Desk",
    "answer",
    "can_table",
    "carrier_table",
    "export_panel",
    "gear_table",
    "head_strip",
    "import_panel",
    "inventory_view",
    "limit_board",
    "limit_table",
    "load_point_board",
    "loadout_board",
    "loadout_strip",
    "measure_table",
    "next_steps",
    "open_desk",
    "outline_view",
    "people_table",
    "ratings_chart",
    "say",
    "seat_table",
    "trailer_table",
    "walk_table",
    "what_counts",
    "wish_table",
    "zone_table",
]
