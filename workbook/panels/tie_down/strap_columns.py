"""The table of tied groups, and columns and rows of the table of their pieces."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache
from typing import Any

from loadcalc.checks.restraint.strapping import friction_pairs
from loadcalc.checks.restraint.tied import Tied, Verdict, piece_name
from loadcalc.model import Filled, Loadout, Stowed
from loadcalc.model.errors import BadValue
from loadcalc.model.facts import fact_rows
from loadcalc.model.quantities import Units, read_count
from loadcalc.model.quantities_write import THIN
from loadcalc.model.straps import OVER, WAYS, Strapping
from loadcalc.season.edit.straps import strap, unstrap
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.dials import amount
from workbook.panels.desk.register import Cell, Register, column, tick
from workbook.panels.tie_down.forces_words import force, read_force_n
from workbook.panels.tie_down.tie_down_words import verdict_words
from workbook.widgets.table.table import Column

UNKNOWN = "not known"
NO_GROUP = "not tied down"
CAN = "can:"  # before the key of a can, which may be an item's key too
NOT_SAID = ("", "?", UNKNOWN)
WAY_HINT = "Over the top: presses it down. Direct: pulls from the load to a tie point, in opposite pairs."
ANGLE_HINT = "In degrees: 90 is straight down onto the load; the flatter the strap, the less it presses."
SURFACES_HINT = (
    "For clean, swept surfaces: mud, oil, snow, and ice are lower than any. Not known takes the lowest of the table."
)
BLOCKED_HINT = "Stands against a rail or headboard. Changes the count of tie-downs only."
FLAT_HINT = "The wind gets under it: boards, panels, sheets."
FACTOR_HINT = "Multiplies what both rule sets ask, 1 to 3. Your own assumption: no rule set gives one."
ASIDE_HINT = "Direct straps only, in degrees: 0 along the vehicle, 90 across."
Judged = list[tuple[Tied, tuple[Verdict, ...]]]


def webbing_words(units: Units) -> str:
    """What webbing without a label counts for by its width, as the rule prints it in the reader's units."""
    rows = fact_rows("webbing_limits")
    if units.mass_unit == "lb":
        return ", ".join(f"{row['width_in']} in {int(row['limit_lb']):,} lb" for row in rows)
    return "; ".join(f"{row['width_mm']} mm {int(row['limit_kg']):,} kg".replace(",", THIN) for row in rows)


def strap_register(desk: Desk, found: Callable[[], Judged]) -> Register:
    """The tied groups of the departure being looked at; `found` judges them."""

    def cells() -> list[Cell]:
        units = desk.units
        tension = "lb" if units.name == "US" else "N"
        verdicts = cache(lambda: {tied.strapping.key: verdict_words(said) for tied, said in found()})

        def limit(text: str, field: str) -> float | None:
            is_said = text.strip().casefold() not in NOT_SAID
            return amount("mass", text, units, field, high=10_000.0) if is_said else None

        def pull_n(text: str) -> float | None:
            written = text.strip()
            return None if written.casefold() in NOT_SAID else read_force_n(written.removesuffix("f"), units)

        def kg(mass_kg: float | None) -> str:
            return "" if mass_kg is None else units.mass(mass_kg)

        return [
            Cell(
                column=column("name", "Tied together", width="10em"), show=lambda s: s.name, field="name", needed=True,
            ),
            Cell(
                column=column("straps", "Straps", "number", width="5em", hint="How many, all of one kind."),
                show=lambda s: str(s.straps), field="straps",
                read=lambda text: read_count(text, field="straps", high=50),
            ),
            Cell(
                column=column("way", "How", "choice", choices=WAYS, width="8.5em", hint=WAY_HINT),
                show=lambda s: s.way, field="way", read=lambda text: text or OVER,
            ),
            Cell(
                column=column("angle", "Strap angle above the rack floor", "number", width="6em", hint=ANGLE_HINT),
                show=lambda s: f"{s.angle_deg:g}", field="angle_deg", read=lambda text: _degrees(text, "strap angle"),
            ),
            Cell(
                column=column(
                    "tension", "Tension", "number", width="4.5em",
                    hint=f"The pull that stays in each strap, in {tension} unless you write N or daN. Ratchet strap: "
                    "STF on its label. Cam strap: it has no ratchet, so only what a hand pulls. Empty: not known.",
                ),
                show=lambda s: "" if s.tension_n is None else force(s.tension_n, units), field="tension_n", read=pull_n,
            ),
            Cell(
                column=column(
                    "limit", "Strap's working load limit", "number", width="6em",
                    hint="Working load limit (WLL or LC on its label), not breaking strength (MBS), in "
                    f"{units.mass_unit}. A strap that comes back to its own side counts half: enter half (49 CFR "
                    "393.106(d)(2)). Webbing without a label counts by width: "
                    f"{webbing_words(units)} (49 CFR 393.108); narrower: not known.",
                ),
                show=lambda s: kg(s.wll_kg), field="wll_kg", read=lambda text: limit(text, "strap's limit"),
            ),
            Cell(
                column=column(
                    "anchor", "Tie point's limit", "number", width="5em",
                    hint=f"Of the weakest one used, in {units.mass_unit}, from the rack maker's sheet. The weaker of "
                    "strap and tie point counts.",
                ),
                show=lambda s: kg(s.anchor_wll_kg), field="anchor_wll_kg",
                read=lambda text: limit(text, "tie point's limit"),
            ),
            Cell(
                column=column(
                    "surfaces", "What lies on what", "choice", choices=(UNKNOWN, *friction_pairs()), width="11em",
                    hint=SURFACES_HINT,
                ),
                show=lambda s: s.surfaces or UNKNOWN, field="surfaces",
                read=lambda text: None if text in ("", UNKNOWN) else text,
            ),
            Cell(
                column=column("blocked", "Blocked in front", "tick", width="4.5em", hint=BLOCKED_HINT),
                show=lambda s: s.blocked, field="blocked", read=tick,
            ),
            Cell(
                column=column("flat", "Lies flat", "tick", width="3.5em", hint=FLAT_HINT),
                show=lambda s: s.flat, field="flat", read=tick,
            ),
            Cell(
                column=column("factor", "Rough ground ×", "number", width="5em", hint=FACTOR_HINT),
                show=lambda s: f"{s.extra_factor:g}", field="extra_factor", read=_factor,
            ),
            Cell(
                column=column("aside", "Strap angle seen from above", "number", width="5em", hint=ASIDE_HINT),
                show=lambda s: f"{s.aside_deg:g}" if s.way != OVER else "", field="aside_deg",
                read=lambda text: _degrees(text, "angle from above"),
            ),
            Cell(
                column=column("verdict", "By both rule sets", "read-only", width="14em"),
                show=lambda s: verdicts().get(s.key, "nothing belongs to it yet"),
            ),
        ]  # fmt: skip

    return Register(
        subject="strapping", label="Tied groups and their straps", records=lambda: desk.loadout.straps, cells=cells,
        put=lambda key, said: strap(desk.season, desk.loadout_name, key or said["name"], **said),
        drop=lambda key: unstrap(desk.season, desk.loadout_name, key),
    )  # fmt: skip


def _degrees(text: str, field: str) -> float | None:
    written = text.strip().rstrip("°").removesuffix("deg").strip().replace(",", ".")
    return _plain(written, text, field, "write degrees, such as 60") if written else None


def _factor(text: str) -> float | None:
    written = text.strip().lstrip("×x").strip().replace(",", ".")
    return _plain(written, text, "rough-ground factor", "write a number from 1 to 3") if written else None


def _plain(written: str, text: str, field: str, cure: str) -> float:
    try:
        return float(written)
    except ValueError:
        raise BadValue(field, text, "is not a number", cure) from None


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
