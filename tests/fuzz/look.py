"""Open the pages on a season that accepted an input: their first cell each time, now and then a whole page."""

from __future__ import annotations

import os
import random

from loadcalc.season import Season
from tests.open_pages import OpenPage
from tests.store_page_text import PAGES
from tests.widget_help import walk
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.frame import head_strip
from workbook.panels.loadout.start import standing_lines


def open_pages(rng: random.Random, season: Season, whole: float) -> None:
    """Raise whatever a page raises on a season.

    whole : how often one of the pages, from its first cell to its last, and not only what each calls first.
    """
    desk = Desk(season)
    assert standing_lines(desk)
    for part in walk(head_strip(desk)):
        part.close()
    if rng.random() < whole:
        os.environ["LOADOUT_SEASON"] = str(season.folder)
        OpenPage(rng.choice(PAGES)).close()
