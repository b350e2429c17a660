"""Gas and fuel in words: where they ride, how much, what the rules of thumb are, each with its source and status."""

from __future__ import annotations

from collections.abc import Sequence

from loadcalc.checks.gas import FillLimit, Hazard
from loadcalc.checks.gas_words import ASK
from loadcalc.checks.intervals import COATED as COATED_KIND
from loadcalc.checks.intervals import CYLINDER, UNCOATED
from loadcalc.model.facts import fact_rows
from loadcalc.model.quantities import Units
from workbook.panels.desk.palette import MARKS

NONE = "No fuel or gas on board beside the vehicle's own tank, as far as marks, kinds, and names tell."
ABOARD = ("On board", "Is", "With its container", "Rides in", "People breathe beside it")
ANY = "For any cylinder, from its stamp. Nothing that you enter here is kept:"
RULES = (
    "Fuel and gas ride outside the cabin, upright, tied down, valves and caps shut and guarded, with air around them; "
    "never where people or animals breathe, never beside a flame or a battery's sparks. "
    "Fill cans on the ground, away from the vehicle, with room to expand. "
    "A cylinder past its date is not to be filled. The maker's stamp, the filler, and local law come first."
)
COATED = (
    "has it a corrosion-resistant coating all over its outside, and did it only ever hold gas that does not corrode, "
    "like propane? Until somebody says, it is due after 5 years."
)
AFTER = (
    ("manufacture", "made"),
    ("volumetric expansion test (no letter)", "volumetric"),
    ("proof pressure test (S)", "proof"),
    ("external visual inspection (E)", "visual"),
)
KINDS = (("not known", CYLINDER), ("yes, all over", COATED_KIND), ("no, or another type", UNCOATED))
LITRES, KILOGRAMS = "L", "kg"


def aboard_rows(found: Sequence[Hazard], units: Units) -> list[tuple[str, str, str, str, str]]:
    """What is on board beside the vehicle's own tank: name, what it is, mass, zone, and who breathes beside it."""
    kinds = {ASK: f"{MARKS['not known']} not said"}
    air = {True: f"{MARKS['over']} yes", False: "no", None: f"{MARKS['not known']} not said"}
    rows = [
        (h.name, kinds.get(h.kind, h.kind), units.mass(h.mass_kg), h.zone, air[h.in_cabin])
        for h in found
    ]
    if len(rows) > 1:
        rows.append(("Together", "", units.mass(sum(h.mass_kg for h in found)), "", ""))
    return rows


def fill(limit: FillLimit, units: Units) -> str:
    """Both fill limits of a cylinder, and which holds."""
    which = "volume" if limit.by_volume_kg < limit.by_weight_kg else "weight"
    return (
        f"By weight (42%): {units.mass(limit.by_weight_kg)} of propane. By volume (80% at 60 °F, 16 °C): "
        f"{units.mass(limit.by_volume_kg)}. The lower holds, here by {which}: {units.mass(limit.limit_kg)}."
    )


def note_rows(units: Units) -> list[tuple[str, str, str, str]]:
    """The quantity notes: what, how much, where it is from and what it binds, how well it is known."""
    table = []
    for row in fact_rows("gas_and_fuel"):
        value = float(row["value"])
        if row["unit"] == KILOGRAMS:
            much = units.mass(value)
        elif row["unit"] == LITRES:
            much = units.volume(value)
        else:
            much = f"{value:.0%} {row['unit']}"
        where = row["source"] + (f"; {row['note']}" if row["note"] else "")
        table.append(
            (f"{row['what'][0].upper()}{row['what'][1:]}: {row['rule']}", much, where, row["status"])
        )
    return table
