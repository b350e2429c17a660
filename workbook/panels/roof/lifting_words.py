"""Lifting in words: whom each box may be asked of, or why the equation doesn't say."""

from __future__ import annotations

from collections.abc import Sequence

from loadcalc.checks.lifting.hoist import Lifted
from loadcalc.checks.lifting.niosh import OutsideEquation
from loadcalc.model.quantities import Units
from workbook.panels.desk.palette import MARKS

CAUTION = (
    "The revised NIOSH equation (DHHS (NIOSH) 94-110) is for one healthy adult, two hands, firm footing, a steady "
    "object. Two people lifting together are outside it, so no number here is for two; nor is it for climbing with a "
    "load, for heat, or for a bad back."
)
FOOTING = (
    "Nobody lifts onto a roof alone. Stand on firm ground or on a work platform, never on a tire, a bumper, or a sill."
)
SCARCELY = 1.0  # index: over it the equation recommends no such lift for one person
MANY = 3.0  # index: over it many workers are at raised risk (94-110, from memory)
SHOWN = 16


def why(refused: OutsideEquation, units: Units) -> str:
    """Why the equation doesn't answer, in the reader's units."""
    if refused.unit == "m":
        value, most = units.length(float(str(refused.value))), units.length(refused.most)
    else:
        value, most = f"{refused.value:g} {refused.unit}", f"{refused.most:g} {refused.unit}"
    return f"{refused.field} {value} (it ends at {most})"


def word(lifted: Lifted, units: Units) -> str:
    """What the equation says of one box."""
    if lifted.refused is not None:
        return f"{MARKS['not known']} outside it: {why(lifted.refused, units)}"
    if lifted.index is None or lifted.index <= SCARCELY + 1e-9:
        return "at or under the limit"
    far = "far " if lifted.index > MANY else ""
    return f"{MARKS['over']} {far}over the limit"


def lift_rows(found: Sequence[Lifted], units: Units, most: int = SHOWN) -> list[tuple[str, ...]]:
    """One row a box, those outside the equation first; no number where there is none."""
    return [
        (
            lifted.name + ("" if lifted.sized else " (size assumed)"),
            lifted.zone,
            word(lifted, units),
            _together(units.mass(lifted.mass_kg)),
            _together(units.length(lifted.height_m)),
            "" if lifted.limit_kg is None else _together(units.mass(lifted.limit_kg)),
            "" if lifted.index is None else f"{lifted.index:.1f}",
        )
        for lifted in found[:most]
    ]


def _together(text: str) -> str:
    """A number that stays on one line with its unit."""
    return text.replace(" ", "\u00a0")


def harder(found: Sequence[Lifted]) -> list[Lifted]:
    """The boxes that one person should not be asked for: outside the equation, or over its limit."""
    return [
        lifted for lifted in found if lifted.refused is not None or (lifted.index or 0.0) > SCARCELY + 1e-9
    ]


def in_short(found: Sequence[Lifted]) -> list[str]:
    """What one person should not be asked for, for a sheet: a zone whose every piece is outside goes by its name."""
    zones = dict.fromkeys(lifted.zone for lifted in found)
    whole = [z for z in zones if all(lifted.refused is not None for lifted in found if lifted.zone == z)]
    names = [lifted.name for lifted in harder(found) if lifted.zone not in whole]
    return [*(f"all that goes to {zone}" for zone in whole), *names]


def summary(found: Sequence[Lifted], units: Units) -> str:
    """How many boxes are outside the equation or over its limit, and which is the worst."""
    outside = [lifted for lifted in found if lifted.refused is not None]
    over = [lifted for lifted in harder(found) if lifted.refused is None]
    said = []
    if outside:
        names = ", ".join(lifted.name for lifted in outside)
        said.append(f"Outside the lifting equation, so no number: {names}.")
    if over:
        first = over[0]
        said.append(
            f"Over the recommended limit for one person: {len(over)} of {len(found)}, first {first.name} "
            f"({units.mass(first.mass_kg)}, limit {units.mass(first.limit_kg or 0.0)}, {first.index:.1f} times it)."
        )
    if said:
        said.append("Get help, split them, or place them lower.")
    return " ".join(said) or "No box is over the recommended limit for one person, lifted as set here."
