"""The start page: where you stand."""

from __future__ import annotations

import ipywidgets as widgets

from workbook.panels.desk.desk import Desk
from workbook.panels.desk.frame import head_strip, told
from workbook.panels.loadout.summary_words import standing


def start_panel(desk: Desk) -> widgets.Widget:
    """Where you stand, in three sentences that follow every edit."""
    return widgets.VBox([head_strip(desk), told(desk, lambda: standing_lines(desk))])


def standing_lines(desk: Desk) -> str:
    """The three sentences, under the name of the season and of the loadout."""
    return f"{standing(desk.report, desk.units)}\n{desk.season.title}; loadout: {desk.loadout_name}."
