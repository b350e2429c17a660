"""Open the season that a page works on, or show what its damage is and what cures it."""

from __future__ import annotations

import os
from pathlib import Path

from IPython.display import display

from loadcalc.season import open_season
from loadcalc.season.file.schema import DamagedFile
from workbook.launcher import season as launcher_season
from workbook.panels.desk.desk import Desk
from workbook.panels.ledger.cures import CurePanel

_OPEN: list[Desk] = []  # this page's desk: a kernel has one page


def open_desk(folder: str | os.PathLike[str] | None = None, loadout: str = "") -> Desk:
    """Open the season that the launcher named, or the demo's copy when the page was opened by hand.

    folder : a season folder; None takes LOADOUT_SEASON from the environment, else `.seasons/demo`.

    Raises DamagedFile, with the cures shown above it, when the season is damaged.
    """
    path = Path(folder or os.environ.get("LOADOUT_SEASON") or launcher_season.DEMO)
    if path == launcher_season.DEMO:
        launcher_season.prepare(path)
    try:
        season = open_season(path)
    except DamagedFile as error:
        display(CurePanel(path, error).view)
        raise
    while _OPEN:
        _OPEN.pop().retire()  # its panels are gone from the page, and would be painted all the same
    desk = Desk(season, loadout)
    desk.watch_others()
    _OPEN.append(desk)
    return desk
