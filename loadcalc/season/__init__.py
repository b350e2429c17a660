"""A season on disk: a folder with one ledger, to which every edit is added. Standard library only."""

from loadcalc.season.files import open_season, rebuild_season, restore_season, start_season
from loadcalc.season.ledger import Change, Entry
from loadcalc.season.store import Season

__all__ = ["Change", "Entry", "Season", "open_season", "rebuild_season", "restore_season", "start_season"]
