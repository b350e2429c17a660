"""Days, distances, and times: as people type them, and as they read them."""

from __future__ import annotations

from loadcalc.model.errors import BadValue
from loadcalc.model.quantities import Units

MI_KM = 1.609344  # exact: international mile, NIST SP 811 appendix B (from memory)


def distance(km: float | None, units: Units) -> str:
    """A distance in miles or kilometers; a dash when nobody wrote it down."""
    if km is None:
        return "–"
    return f"{km / MI_KM:,.0f} mi" if units.name == "US" else f"{km:,.0f} km".replace(",", "\u202f")


def read_distance_km(text: str, units: Units) -> float | None:
    """A distance as typed, in miles or kilometers as the reader's units have it unless it says otherwise."""
    words = text.replace("\u202f", "").strip().casefold().replace("miles", "mi")
    if not words:
        return None
    unit = next((unit for unit in ("km", "mi") if words.endswith(unit)), "mi" if units.name == "US" else "km")
    try:
        number = float(words.removesuffix(unit).replace(" ", ""))
    except ValueError:
        raise BadValue("distance", text, "is not a distance", "write it as 120 mi or 190 km") from None
    return number * (MI_KM if unit == "mi" else 1.0)


def read_minutes(text: str) -> float | None:
    """A packing time as typed: minutes, or hours and minutes as 1:30."""
    words = text.strip().removesuffix("min").strip()
    if not words:
        return None
    try:
        hours, _, minutes = words.rpartition(":")
        return (float(hours) if hours else 0.0) * 60 + float(minutes)
    except ValueError:
        raise BadValue(
            "packing time", text, "is not a time", "write minutes, or hours and minutes as 1:30"
        ) from None


def minutes(value: float | None) -> str:
    """ "2 h 10 min", or a dash."""
    if value is None:
        return "–"
    hours, rest = divmod(round(value), 60)
    return f"{hours} h {rest} min" if hours else f"{rest} min"
