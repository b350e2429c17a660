"""How tall the packed vehicle is, in words, as the sign before a bridge writes it."""

from __future__ import annotations

import math

from loadcalc.checks import Report, overall_height
from loadcalc.model.quantities import Units

INCH_M = 0.0254
NAMES = 3  # how many things without a height are named before the rest is counted


def as_on_a_sign(height_m: float, units: Units) -> str:
    """A height rounded up: "7 ft 4 in", or "2.24 m"."""
    if units.name == "US":
        feet, inches = divmod(math.ceil(height_m / INCH_M - 1e-6), 12)
        return f"{feet} ft {inches} in"
    return f"{math.ceil(100 * height_m - 1e-6) / 100:.2f} m"


def height_sentence(report: Report, units: Units) -> str:
    """The overall height as packed, to what, and whose height is not known; it asks for a tape before a low bridge."""
    vehicle, rack = report.shares.vehicle, report.shares.loadout.carrier
    assumed = (*vehicle.assumed, *(rack.assumed if rack else ()))
    if any(one.measure in ("height_m", "up_m") for one in assumed):
        return "Overall height as packed: nobody measured it. Measure it before you drive under anything low."
    found = overall_height(report.shares.vehicle, report.shares.loadout)
    more = found.not_measured
    named = "; ".join(more[:NAMES]) + (f"; and {len(more) - NAMES} more" if len(more) > NAMES else "")
    unknown = f" No height is entered for {named}: it may be taller." if more else ""
    return (
        f"Overall height as packed: about {as_on_a_sign(found.height_m, units)}, to the top of {found.what}.{unknown} "
        "Measure it before you drive under anything low."
    )
