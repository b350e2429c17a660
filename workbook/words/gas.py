"""Gas and fuel in words: where they ride, how much, what the rules of thumb are, each with its source and status."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from loadcalc.checks.gas import FillLimit, Hazard
from loadcalc.checks.gas_words import ASK
from loadcalc.checks.intervals import COATED as COATED_KIND
from loadcalc.checks.intervals import CYLINDER, UNCOATED
from loadcalc.model.facts import fact_rows
from loadcalc.model.quantities import Units
from workbook.figures.palette import MARKS

RULES = (
    "Fuel and gas ride outside the cabin, upright, tied down, valves and caps shut and guarded, with air around them; "
    "never where people or animals breathe, never beside a flame or a battery's sparks. "
    "Fill cans on the ground, away from the vehicle, with room to expand. "
    "A cylinder past its date is not to be filled. The maker's stamp, the filler, and local law come first."
)
COATED = (
    "is its outside protected by a corrosion-resistant coating, and did it only ever hold gas that does not corrode, "
    "like propane?"
)
AFTER = (
    ("manufacture", "made"),
    ("volumetric expansion test (no letter)", "volumetric"),
    ("proof pressure test (S)", "proof"),
    ("external visual inspection (E)", "visual"),
)
KINDS = (("not known", CYLINDER), ("yes, all over", COATED_KIND), ("no, or another type", UNCOATED))
LITRES, KILOGRAMS = "L", "kg"


def cautions(found: Sequence[Hazard]) -> str:
    """A line each: what shares the cabin's air, what may share it, and what may be fuel or gas, for nobody has said."""
    sure = [hazard for hazard in found if hazard.kind != ASK]
    lines = (
        (
            f"{MARKS['over']} In the air that people breathe: ",
            [hazard for hazard in sure if hazard.in_cabin],
            "Move it outside, upright and vented.",
        ),
        (
            f"{MARKS['not known']} Nobody has said whether people breathe beside it: ",
            [hazard for hazard in sure if hazard.in_cabin is None],
            "Say on page 01 whether that zone is in the cabin; until then it does not count as outside.",
        ),
        (
            f"{MARKS['not known']} Fuel, gas, or neither: ",
            [hazard for hazard in found if hazard.kind == ASK],
            "Say on page 05 which; until then treat it as fuel, outside the cabin.",
        ),
    )
    return "\n".join(f"{lead}{_where(these)}. {cure}" for lead, these, cure in lines if these)


def _where(found: Iterable[Hazard]) -> str:
    return ", ".join(f"{hazard.name} ({hazard.zone})" for hazard in found)


def aboard(found: Sequence[Hazard], units: Units) -> str:
    """What of it is on board beside the vehicle's own tank."""
    if not found:
        return (
            "No fuel or gas on board beside the vehicle's own tank, as far as marks, kinds, and names tell."
        )
    kinds = {ASK: "fuel, gas, or neither?"}
    said = [
        f"{h.name}: {kinds.get(h.kind, h.kind)}, {units.mass(h.mass_kg)} with its container, {h.zone}"
        for h in found
    ]
    return f"{'; '.join(said)}. Together {units.mass(sum(h.mass_kg for h in found))}."


def fill(limit: FillLimit, units: Units) -> str:
    """Both fill limits of a cylinder, and which holds."""
    which = "volume" if limit.by_volume_kg < limit.by_weight_kg else "weight"
    return (
        f"By weight (42 %): {units.mass(limit.by_weight_kg)} of propane. By volume (80 % at 60 °F, 16 °C): "
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


def summary(found: Sequence[Hazard], units: Units) -> str:
    """The warnings if there are any, what is on board, the rules."""
    return "\n".join(filter(None, (cautions(found), aboard(found, units), RULES)))
