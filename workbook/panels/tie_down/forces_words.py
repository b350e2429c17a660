"""Forces at the door: a strap's tension as typed, and forces as shown. Inside they are newtons.

Straps are marked in pounds or in decanewtons: here pounds stand for pounds of force, "kg" for kilograms of force.
"""

from __future__ import annotations

import re

from loadcalc.model.errors import BadValue
from loadcalc.model.quantities import Units, read_mass_kg

KGF_N = 9.80665  # exact: standard gravity, NIST SP 811 (from memory)
MOST_N = 50_000.0
_NEWTONS = re.compile(r"\s*([\d.,]+)\s*(dan|kn|n)\s*", re.IGNORECASE)
_WORTH_N = {"n": 1.0, "dan": 10.0, "kn": 1000.0}


def read_force_n(text: str, units: Units, field: str = "tension") -> float:
    """A force as typed [N]: "200 lb", "90 daN", "900 N". A bare number is in pounds, for a metric reader in newtons."""
    written = text.strip()
    if units.name == "SI" and re.fullmatch(r"[\d.,]+", written):
        written += " N"
    found = _NEWTONS.fullmatch(written)
    if found is None:
        bare = re.sub(r"\blbf\b", "lb", re.sub(r"\bkgf\b", "kg", written, flags=re.I), flags=re.I)
        return read_mass_kg(bare, unit="lb", field=field, high=MOST_N / KGF_N) * KGF_N
    try:
        force_n = float(found[1].replace(",", ".")) * _WORTH_N[found[2].casefold()]
    except ValueError:
        raise BadValue(field, text, "is not one clear number", "write it as 900 N or 200 lb") from None
    if force_n > MOST_N:
        raise BadValue(
            field, text, f"is above the most allowed, {MOST_N:g} N", "check the number and its unit"
        )
    return force_n


def force(force_n: float, units: Units) -> str:
    """A force in the reader's units: "202 lb" of force, or "900 N"."""
    if units.name == "SI":
        return f"{force_n:,.0f} N".replace(",", "\u202f")
    return f"{units.mass(force_n / KGF_N, grouped=True)}f"
