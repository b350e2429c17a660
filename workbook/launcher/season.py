"""Which season the pages show, and making it on the first start."""

import os
from pathlib import Path

from workbook.launcher.messages import Halt, say

ROOT = Path(__file__).resolve().parents[2]
# Everything that a run writes: the demo season, working copies of the pages, JupyterLab's own files. The tests, or
# somebody whose checkout can't be written, put another folder into LOADOUT_HOME.
HOME = Path(os.environ.get("LOADOUT_HOME") or ROOT / ".seasons").absolute()
DEMO = HOME / "demo"


def tables_for(folder: Path) -> Path:
    """The tables that a new season starts from: the demo's own for the demo, the blank ones for anybody else's."""
    return ROOT / "data" / ("demo" if folder == DEMO else "blank")


def prepare(folder: Path, tables: Path | None = None) -> None:
    """Make the season in `folder` unless it is there already.

    folder : the season's folder, absolute
    tables : what a new one starts from; without it, as `tables_for` says
    errors : messages.Halt, with the reason in one line
    """
    if (folder / "season.db").exists():
        return
    # Imported here: this module is also read where nothing is installed.
    from loadcalc.model.errors import LoadcalcError
    from loadcalc.season import start_season

    say(f"Starting a new season in {folder}.")
    try:
        start_season(folder, tables or tables_for(folder)).close()
    except (LoadcalcError, OSError) as error:
        raise Halt(f"The season in {folder} could not be started: {error}") from error
