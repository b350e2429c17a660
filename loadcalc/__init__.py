"""loadcalc: what rides where, and how much of each rating it uses.

    from loadcalc import open_season, evaluate
    season = open_season("my-season")
    report = evaluate(season.vehicle, season.loadout("Friday departure"))
    print(report.tightest.name, report.tightest.consumed)

Numbers inside are SI, with the unit in the name. Importing this package loads only the standard
library; the parts load when they are first asked for.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

__version__ = "0.1.0"

if TYPE_CHECKING:
    from loadcalc.checks import Finding, Judgment, RatingResult, Report, Shares, evaluate
    from loadcalc.model import (
        BadValue,
        Bar,
        Carrier,
        Filled,
        FuelTank,
        Item,
        Limit,
        Liquid,
        LoadcalcError,
        Loadout,
        NotFound,
        Occupant,
        Place,
        SeasonError,
        Seat,
        Size,
        Stowed,
        TiePoint,
        Tire,
        Trailer,
        Vehicle,
        Zone,
        cg_from_axles,
        stow,
    )
    from loadcalc.season import Season, open_season, start_season
else:
    from loadcalc.lazy import lazily

    __all__, __getattr__, __dir__ = lazily(__name__)
