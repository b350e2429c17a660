"""Gear and trips as pandas tables, for questions of one's own. SI, the unit in each column's name."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from loadcalc.model import Item, Loadout
from loadcalc.season.edit.diary import Trip

if TYPE_CHECKING:
    import pandas as pd


def gear_frame(gear: Sequence[Item], loadout: Loadout | None = None) -> pd.DataFrame:
    """Return one row for each line of gear, indexed by its key.

    Parameters
    ----------
    gear : what is owned. loadout : adds where each rides on it; None leaves those columns out.

    Returns
    -------
    DataFrame: `name`, `kind`, `known`, `count` (owned), `mass_kg` and `plus_minus_kg` of one [kg], `length_m`,
    `width_m`, `height_m` [m] (NaN: not measured), `expendable`; with a loadout also `zone` (missing: stays home),
    `along` (pieces), and `along_kg`, what they weigh together [kg].
    """
    import pandas as pd

    rows = [
        {
            "name": item.name, "kind": item.kind, "known": item.known, "count": item.count, "mass_kg": item.mass_kg,
            "plus_minus_kg": item.plus_minus_kg, "expendable": item.expendable,
            **{side: getattr(item.size, side, None) for side in ("length_m", "width_m", "height_m")},
        }
        for item in gear
    ]  # fmt: skip
    kinds = {
        "name": "string", "kind": "string", "known": "string", "count": "Int64", "mass_kg": "float64",
        "plus_minus_kg": "float64", "expendable": "bool", "length_m": "float64", "width_m": "float64",
        "height_m": "float64",
    }  # fmt: skip
    index = pd.Index([item.key for item in gear], name="item", dtype="string")
    frame = pd.DataFrame(rows, index=index, columns=list(kinds)).astype(kinds)
    if loadout is not None:
        aboard = [(stowed.item.key, stowed) for stowed in loadout.gear if stowed.count]
        frame["zone"] = pd.Series({key: stowed.zone for key, stowed in aboard}, dtype="string").reindex(index)
        along = pd.Series({key: stowed.count for key, stowed in aboard}, dtype="Int64").reindex(index)
        frame["along"] = along.fillna(0)
        frame["along_kg"] = frame["mass_kg"] * frame["along"].astype("float64")
    return frame


def trips_frame(trips: Sequence[Trip]) -> pd.DataFrame:
    """Return one row for each trip, oldest first, indexed by its key.

    Parameters
    ----------
    trips : as a season has them.

    Returns
    -------
    DataFrame: `name`, `date`, `until` (days), `days`, `people`, `distance_km` [km], `packing_min` [min], `gear_kg`,
    `liquids_kg` [kg] as it left; a number that nobody entered is NaN.
    """
    import pandas as pd

    rows = [
        {
            "name": trip.name, "date": trip.date, "until": trip.until, "days": (trip.until - trip.date).days + 1,
            "people": len(trip.people), "distance_km": trip.distance_km, "packing_min": trip.packing_min,
            "gear_kg": trip.gear_kg, "liquids_kg": trip.liquids_kg,
        }
        for trip in trips
    ]  # fmt: skip
    kinds = {
        "name": "string", "date": "datetime64[s]", "until": "datetime64[s]", "days": "Int64", "people": "Int64",
        "distance_km": "float64", "packing_min": "float64", "gear_kg": "float64", "liquids_kg": "float64",
    }  # fmt: skip
    index = pd.Index([trip.key for trip in trips], name="trip", dtype="string")
    return pd.DataFrame(rows, index=index, columns=list(kinds)).astype(kinds)
