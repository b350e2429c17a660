"""loadcalc: what rides where, and how much of each rating it uses.

    from loadcalc import open_season, evaluate
    season = open_season("my-season")
    report = evaluate(season.vehicle, season.loadout("Friday departure"))
    print(report.tightest.name, report.tightest.consumed)

Numbers inside are SI, with the unit in the name. Importing this package loads only the standard
library; the parts load when they are first asked for.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

__version__ = "0.1.0"

_HOME = {
    **dict.fromkeys(("evaluate", "Report", "RatingResult", "Shares"), "loadcalc.checks"),
    **dict.fromkeys(("open_season", "start_season", "Season"), "loadcalc.season"),
    **dict.fromkeys(
        (
            "BadValue",
            "Bar",
            "Carrier",
            "Filled",
            "FuelTank",
            "Item",
            "Limit",
            "Liquid",
            "LoadcalcError",
            "Loadout",
            "NotFound",
            "Occupant",
            "Place",
            "Seat",
            "SeasonError",
            "Size",
            "Stowed",
            "TiePoint",
            "Tire",
            "Trailer",
            "Vehicle",
            "Zone",
            "cg_from_axles",
            "stow",
        ),
        "loadcalc.model",
    ),
}
__all__ = [
    "BadValue",
    "Bar",
    "Carrier",
    "Filled",
    "FuelTank",
    "Item",
    "Limit",
    "Liquid",
    "LoadcalcError",
    "Loadout",
    "NotFound",
    "Occupant",
    "Place",
    "RatingResult",
    "Report",
    "Season",
    "SeasonError",
    "Seat",
    "Shares",
    "Size",
    "Stowed",
    "TiePoint",
    "Tire",
    "Trailer",
    "Vehicle",
    "Zone",
    "cg_from_axles",
    "evaluate",
    "open_season",
    "start_season",
    "stow",
]

if TYPE_CHECKING:
    from loadcalc.checks import RatingResult, Report, Shares, evaluate
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


def __getattr__(name: str) -> Any:
    """Load a public name from the room it lives in, on first use (PEP 562)."""
    if name not in _HOME:
        raise AttributeError(f"module 'loadcalc' has no attribute {name!r}")
    value = getattr(import_module(_HOME[name]), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted([*globals(), *_HOME])
