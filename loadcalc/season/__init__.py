"""A season on disk: a folder with one ledger, to which every edit is added. Standard library only."""

from loadcalc.season.edit.store import Season
from loadcalc.season.file.ledger import Change, Entry
from loadcalc.season.keep.opening import open_season, rebuild_season, restore_season, start_season

__all__ = ["Change", "Entry", "Season", "open_season", "rebuild_season", "restore_season", "start_season"]
