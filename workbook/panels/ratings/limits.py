"""The rating limits: one table row each, and a slider for each limit that is known."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import ipywidgets as widgets

from loadcalc.checks import RatingResult, Report
from loadcalc.model import Carrier, Limit, Loadout, Trailer, Vehicle
from loadcalc.model.limits import CARRIER, RATINGS, TRAILER, UNKNOWN, VEHICLE
from loadcalc.model.quantities import HEAVIEST_KG, Units
from workbook.panels.desk.board import Board
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.dials import Dial, mass_dial
from workbook.panels.desk.edits import apply_edits
from workbook.panels.desk.fixed_table import fixed_table
from workbook.panels.desk.frame import lines
from workbook.panels.desk.measure import mass
from workbook.panels.desk.ratings_words import room
from workbook.widgets.table.table import Column, Edit, EditTable, Refusal

NONE_KNOWN = "No limit is known yet. Open “Where do I begin with my own vehicle?” below."
UNKNOWN_WORDS = ("", "?", "not known", "unknown", "none")
ZONE_WHERE = "The zone's own maker: drawer, shelf, tie-down floor. Leave empty if nobody knows."


def limit_columns(units: Units) -> list[Column]:
    """Columns of the table of limits."""
    return [
        Column(key="rating", title="Rating", kind="read-only", width="12em"),
        Column(
            key="limit",
            title="Limit",
            kind="number",
            width="5.5em",
            hint=f"In {units.mass_unit} unless you write another unit. Empty: not known, so not judged.",
        ),
        Column(
            key="read_at",
            title="Where it was read",
            kind="text",
            width="13.5em",
            hint="Door label, handbook page, maker's letter, or honestly: a guess.",
        ),
        Column(key="condition", title="Holds when", kind="read-only"),
        Column(key="room", title="This loadout", kind="read-only"),
        Column(
            key="where", title="Where do I find this number on my vehicle?", kind="read-only", width="24em"
        ),
    ]


def editable_limits(report: Report) -> list[RatingResult]:
    """The ratings whose limit a person enters, in the order of the certification label, then roof, then zones."""
    order = [*RATINGS, *(f"zone:{zone.name}" for zone in report.shares.loadout.zones)]
    found = {rating.key: rating for rating in report.ratings}
    return [found[key] for key in order if key in found]


def entered_limit(report: Report, key: str) -> Limit:
    """A limit as it was entered, whatever it is judged by."""
    loadout = report.shares.loadout
    zones = {f"zone:{zone.name}": zone.limit for zone in loadout.zones}
    owners = (owner for owner in (report.shares.vehicle, loadout.carrier, loadout.trailer) if owner)
    return zones.get(key) or next((owner.limits[key] for owner in owners if key in owner.limits), UNKNOWN)


def where_to_look(key: str) -> str:
    """Where a rating's limit is found on the vehicle."""
    return RATINGS[key].where if key in RATINGS else ZONE_WHERE


def limit_rows(report: Report, units: Units) -> tuple[list[dict[str, Any]], list[str]]:
    """Rows of the table of limits, and their keys."""
    rows = []
    for rating in editable_limits(report):
        limit = entered_limit(report, rating.key)
        rows.append(
            {
                "rating": rating.name,
                "limit": "" if limit.limit_kg is None else units.mass(limit.limit_kg),
                "read_at": limit.read_at,
                "condition": rating.condition,
                "room": ("▲ " if rating.over else "") + room(rating, units),
                "where": where_to_look(rating.key),
                "_sort": {
                    "limit": -1.0 if limit.limit_kg is None else limit.limit_kg,
                    "room": float("inf") if rating.headroom is None else rating.headroom,
                },
            }
        )
    return rows, [rating.key for rating in editable_limits(report)]


def read_limit(text: str, rating: RatingResult, units: Units) -> float | None:
    """A limit as typed, in kg; None when the cell says that nobody knows."""
    if text.strip().casefold() in UNKNOWN_WORDS:
        return None
    return mass(text, units, "limit", where=rating.name, high_kg=HEAVIEST_KG)


def limit_table(desk: Desk) -> EditTable:
    """The editable table of limits."""

    def one(edit: Edit) -> None:
        rating, limit = desk.report.rating(edit.row_key), limits[edit.row_key]
        if edit.column == "limit":
            limit = replace(limit, limit_kg=read_limit(str(edit.text), rating, desk.units))
        else:
            limit = replace(limit, read_at=str(edit.text).strip())
        desk.season.set_limit(edit.row_key, limit)
        limits[edit.row_key] = limit

    def on_edit(edits: list[Edit]) -> list[Refusal]:
        first = f"{desk.report.rating(edits[0].row_key).name}: {edits[0].text or 'not known'}"
        return apply_edits(desk, edits, f"Limits: {len(edits)} cells" if len(edits) > 1 else first, one)

    def rows() -> tuple[list[dict[str, Any]], list[str]]:
        limits.clear()
        limits.update({r.key: entered_limit(desk.report, r.key) for r in editable_limits(desk.report)})
        return limit_rows(desk.report, desk.units)

    limits: dict[str, Limit] = {}
    return fixed_table(
        desk,
        "Rating limits",
        columns=lambda: limit_columns(desk.units),
        rows=rows,
        on_edit=on_edit,
        height="34rem",
    )


def limit_dials(vehicle: Vehicle, loadout: Loadout, units: Units) -> dict[str, list[Dial]]:
    """One dial for each limit that is known of vehicle, rack, and trailer; zero to one and a half times of it."""
    columns: dict[str, list[Dial]] = {"Vehicle and axles": [], "Roof and roof rack": [], "Trailer": []}
    owners: tuple[Vehicle | Carrier | Trailer | None, ...] = (vehicle, loadout.carrier, loadout.trailer)
    known = {key: limit for owner in owners if owner for key, limit in owner.limits.items()}
    for key in RATINGS:
        if key in known and known[key].limit_kg is not None:
            columns[_column(key)].append(_dial(key, known[key], units))
    return columns


def _column(key: str) -> str:
    if RATINGS[key].owner == TRAILER:
        return "Trailer"
    return "Roof and roof rack" if RATINGS[key].group == "roof" else "Vehicle and axles"


def _dial(key: str, limit: Limit, units: Units) -> Dial:
    kg = limit.limit_kg or 0.0
    return replace(
        mass_dial(key, RATINGS[key].name, kg, round(kg * 1.5), units),
        turned=lambda vehicle, loadout, kg: limited(vehicle, loadout, key, kg),
        keep=lambda season, _, kg: season.set_limit(key, replace(limit, limit_kg=kg)),
    )


def limited(vehicle: Vehicle, loadout: Loadout, key: str, limit_kg: float) -> tuple[Vehicle, Loadout]:
    """Vehicle and loadout as they would be with one other limit."""

    def other(owner: Any) -> Any:
        return owner and replace(
            owner, limits={**owner.limits, key: replace(owner.limit(key), limit_kg=limit_kg)}
        )

    if RATINGS[key].owner == VEHICLE:
        return other(vehicle), loadout
    if RATINGS[key].owner == CARRIER:
        return vehicle, replace(loadout, carrier=other(loadout.carrier))
    return vehicle, replace(loadout, trailer=other(loadout.trailer))


def limit_board(desk: Desk) -> widgets.Widget:
    """Sliders for the known limits of vehicle, rack, and trailer; without any, where to begin."""
    begin = widgets.HTML()

    def dials() -> dict[str, list[Dial]]:
        found = limit_dials(desk.vehicle, desk.loadout, desk.units)
        begin.value = "" if any(found.values()) else lines(NONE_KNOWN)
        return found

    return widgets.VBox([Board(desk, dials).view, begin])
