"""Columns and rows of the tables of tied groups and of their pieces, and how each cell is read."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from loadcalc.checks.restraint.strapping import friction_pairs
from loadcalc.checks.restraint.tied import Tied, Verdict, piece_name
from loadcalc.model import Filled, Loadout, Stowed
from loadcalc.model.errors import BadValue
from loadcalc.model.facts import fact_rows
from loadcalc.model.quantities import Units, read_count, read_mass_kg
from loadcalc.model.quantities_write import THIN
from loadcalc.model.straps import OVER, WAYS, Strapping
from workbook.panels.tie_down.forces_words import force, read_force_n
from workbook.panels.tie_down.tie_down_words import verdict_words
from workbook.widgets.table import Column

UNKNOWN = "not known"
NO_GROUP = "not tied down"
CAN = "can:"  # before the key of a can, which may be an item's key too
Read = Callable[[Any, Units], Any]


def strap_columns(units: Units) -> list[Column]:
    """Columns of the table of tied groups."""
    surfaces = (UNKNOWN, *friction_pairs())
    tension = "lb" if units.name == "US" else "N"
    return [
        Column(key="name", title="Tied together", kind="text", width="11em"),
        Column(key="straps", title="Straps", kind="number", width="5em", hint="How many, all of one kind."),
        Column(
            key="way", title="How", kind="choice", choices=WAYS, width="9em",
            hint="Over the top: presses it down. Direct: pulls from the load to a tie point, in opposite pairs.",
        ),
        Column(
            key="angle", title="Strap angle above the rack floor", kind="number", width="6em",
            hint="In degrees: 90 is straight down onto the load; the flatter the strap, the less it presses.",
        ),
        Column(
            key="tension", title="Tension", kind="number", width="5em",
            hint=f"The pull that stays in each strap, in {tension} unless you write N or daN. Ratchet strap: STF on "
            "its label. Cam strap: it has no ratchet, so only what a hand pulls. Empty: not known.",
        ),
        Column(
            key="limit", title="Strap's working load limit", kind="number", width="6em",
            hint=f"Working load limit (WLL or LC on its label), not breaking strength (MBS), in {units.mass_unit}. "
            "A strap that comes back to its own side counts half: enter half (49 CFR 393.106(d)(2)). Webbing without a "
            f"label counts by width: {webbing_words(units)} (49 CFR 393.108); narrower: not known.",
        ),
        Column(
            key="anchor", title="Tie point's limit", kind="number", width="5em",
            hint=f"Of the weakest one used, in {units.mass_unit}, from the rack maker's sheet. The weaker of strap "
            "and tie point counts.",
        ),
        Column(
            key="surfaces", title="What lies on what", kind="choice", choices=surfaces, width="16em",
            hint="For clean, swept surfaces: mud, oil, snow, and ice are lower than any. "
            "Not known takes the lowest of the table.",
        ),
        Column(
            key="blocked", title="Blocked in front", kind="tick", width="4.5em",
            hint="Stands against a rail or headboard. Changes the count of tie-downs only.",
        ),
        Column(
            key="flat", title="Lies flat", kind="tick", width="3.5em",
            hint="The wind gets under it: boards, panels, sheets.",
        ),
        Column(
            key="factor", title="Rough ground ×", kind="number", width="5em",
            hint="Multiplies what both rule sets ask, 1 to 3. Your own assumption: no rule set gives one.",
        ),
        Column(
            key="aside", title="Strap angle seen from above", kind="number", width="5em",
            hint="Direct straps only, in degrees: 0 along the vehicle, 90 across.",
        ),
        Column(key="verdict", title="By both rule sets", kind="read-only", width="14em"),
    ]  # fmt: skip


def webbing_words(units: Units) -> str:
    """What webbing without a label counts for by its width, as the rule prints it in the reader's units."""
    rows = fact_rows("webbing_limits")
    if units.mass_unit == "lb":
        return ", ".join(f"{row['width_in']} in {int(row['limit_lb']):,} lb" for row in rows)
    return "; ".join(f"{row['width_mm']} mm {int(row['limit_kg']):,} kg".replace(",", THIN) for row in rows)


def strap_rows(
    groups: Sequence[Strapping], found: Sequence[tuple[Tied, Sequence[Verdict]]], units: Units
) -> tuple[list[dict[str, Any]], list[str]]:
    """One row for each tied group, and the keys."""
    verdicts = {tied.strapping.key: verdict_words(said) for tied, said in found}
    rows = [
        {
            "name": s.name,
            "straps": str(s.straps),
            "way": s.way,
            "angle": f"{s.angle_deg:g}",
            "tension": "" if s.tension_n is None else force(s.tension_n, units),
            "limit": "" if s.wll_kg is None else units.mass(s.wll_kg),
            "anchor": "" if s.anchor_wll_kg is None else units.mass(s.anchor_wll_kg),
            "surfaces": s.surfaces or UNKNOWN,
            "verdict": verdicts.get(s.key, "nothing belongs to it yet"),
            "blocked": s.blocked,
            "flat": s.flat,
            "factor": f"{s.extra_factor:g}",
            "aside": f"{s.aside_deg:g}" if s.way != OVER else "",
        }
        for s in groups
    ]
    return rows, [s.key for s in groups]


def _degrees(field: str) -> Read:
    def read(text: str, units: Units) -> float | None:
        written = str(text).strip().rstrip("°").removesuffix("deg").strip().replace(",", ".")
        if not written:
            return None
        return _plain(written, text, field, "write degrees, such as 60")

    return read


def _factor(text: str, units: Units) -> float | None:
    written = str(text).strip().lstrip("×x").strip().replace(",", ".")
    return _plain(written, text, "rough-ground factor", "write a number from 1 to 3") if written else None


def _plain(written: str, text: str, field: str, cure: str) -> float:
    try:
        return float(written)
    except ValueError:
        raise BadValue(field, text, "is not a number", cure) from None


def _limit(field: str) -> Read:
    def read(text: str, units: Units) -> float | None:
        if str(text).strip().casefold() in ("", "?", UNKNOWN):
            return None
        comma = units.decimal_comma
        return read_mass_kg(text, unit=units.mass_unit, field=field, high=10_000.0, decimal_comma=comma)

    return read


def _tension(text: str, units: Units) -> float | None:
    written = str(text).strip()
    return (
        None if written.casefold() in ("", "?", UNKNOWN) else read_force_n(written.removesuffix("f"), units)
    )


READ: Mapping[str, tuple[str, Read]] = {
    "name": ("name", lambda text, units: str(text).strip()),
    "straps": ("straps", lambda text, units: read_count(text, field="straps", high=50)),
    "way": ("way", lambda text, units: text or OVER),
    "angle": ("angle_deg", _degrees("strap angle")),
    "aside": ("aside_deg", _degrees("angle from above")),
    "tension": ("tension_n", _tension),
    "limit": ("wll_kg", _limit("strap's limit")),
    "anchor": ("anchor_wll_kg", _limit("tie point's limit")),
    "surfaces": ("surfaces", lambda text, units: None if text in ("", UNKNOWN) else text),
    "blocked": ("blocked", lambda text, units: bool(text)),
    "flat": ("flat", lambda text, units: bool(text)),
    "factor": ("extra_factor", _factor),
}


def piece_columns(groups: Sequence[Strapping]) -> list[Column]:
    """Columns of the table of pieces."""
    return [
        Column(key="item", title="Piece", kind="read-only", width="16em"),
        Column(key="zone", title="Rides in", kind="read-only", width="13em"),
        Column(key="mass", title="Mass", kind="read-only", align="right"),
        Column(
            key="group", title="Tied down with", kind="choice", width="14em",
            choices=(NO_GROUP, *(s.name for s in groups)),
        ),
    ]  # fmt: skip


def piece_rows(
    loadout: Loadout, groups: Sequence[Strapping], units: Units
) -> tuple[list[dict[str, Any]], list[str]]:
    """One row for each piece and can outside the cabin, and for any inside that has a group."""
    names = {s.key: s.name for s in groups}
    outside = {zone.name for zone in loadout.zones if not zone.in_cabin}
    aboard: list[Stowed | Filled] = [*(s for s in loadout.gear if s.count), *loadout.liquids]
    mine = [s for s in aboard if s.zone in outside or s.group in names]
    rows = [
        {
            "item": piece_name(s),
            "zone": s.zone,
            "mass": units.mass(s.mass_kg),
            "group": names.get(s.group, NO_GROUP),
            "_sort": {"mass": s.mass_kg},
        }
        for s in mine
    ]
    return rows, [f"{CAN}{s.liquid.key}" if isinstance(s, Filled) else s.item.key for s in mine]
