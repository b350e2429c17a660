"""Published formulas as plain functions, and the judgment of a loadout against every rating."""

from loadcalc.checks.ratings.report import Part, RatingResult, Report, evaluate
from loadcalc.checks.ratings.share import Shares

__all__ = ["Part", "RatingResult", "Report", "Shares", "evaluate"]
