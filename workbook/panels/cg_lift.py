"""The height of the center of gravity from lifting one axle: readings, fit, residuals, and accept."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import ipywidgets as widgets

from loadcalc.checks.weighing.axle_lift import AXLES, AxleLift
from loadcalc.checks.weighing.cg_height import HeightFit, height_from_lifts
from loadcalc.model import Vehicle
from loadcalc.model.errors import BadValue, LoadcalcError
from loadcalc.model.quantities import Units, read_length_m, read_mass_kg
from workbook.figures.lift_fit import lift_svg
from workbook.panels.desk import Desk
from workbook.panels.edits import reason
from workbook.panels.frame import html_table, lines, with_formulas
from workbook.widgets.table import Column, Edit, EditTable, Refusal
from workbook.words import axle_lift as lift_words

ANGLE_DOUBT_DEG = 0.2  # a digital level, plus or minus


@dataclass
class LiftSheet:
    """The readings while they are being taken. They are not part of the season; what is accepted is."""

    lifts: dict[str, AxleLift] = field(default_factory=dict)
    made: int = 0

    def add(self, lift: AxleLift) -> str:
        """Put a reading at the end; return its key."""
        self.made += 1
        key = f"lift-{self.made}"
        self.lifts[key] = lift
        return key

    def fit(self, vehicle: Vehicle, *, mass_kg: float, radius_m: float, division_kg: float) -> HeightFit:
        """The height that the readings give; BadValue says what is missing."""
        return height_from_lifts(
            tuple(self.lifts.values()),
            mass_kg=mass_kg,
            wheelbase_m=vehicle.wheelbase_m,
            radius_m=radius_m,
            doubts=lift_words.doubts_of(division_kg, ANGLE_DOUBT_DEG),
        )


def sheet_columns(units: Units) -> list[Column]:
    """Columns of the table of readings."""
    tilt = f"Degrees, or the rise of the lifted wheel centers with its unit, such as 31 {units.length_unit}."
    return [
        Column(key="axle", title="Axle on the scale", kind="choice", choices=AXLES, width="10em"),
        Column(key="shows", title="Scale shows", kind="number", hint=f"In {units.mass_unit}."),
        Column(key="tilt", title="Tilt", kind="text", hint=tilt),
    ]


def sheet_rows(sheet: LiftSheet, units: Units) -> tuple[list[dict[str, Any]], list[str]]:
    """Rows of the table of readings, and their keys."""
    rows = [
        {"axle": lift.on_scale, "shows": units.mass(lift.axle_kg), "tilt": f"{lift.angle_deg:.1f}°"}
        for lift in sheet.lifts.values()
    ]
    return rows, list(sheet.lifts)


def apply_lift(sheet: LiftSheet, edit: Edit, units: Units, wheelbase_m: float) -> list[Refusal]:
    """Put one edit of the table into the sheet, or say what is wrong with it."""
    if edit.kind == "remove":
        sheet.lifts.pop(edit.row_key, None)
        return []
    if edit.kind == "set":
        try:
            sheet.lifts[edit.row_key] = changed(
                sheet.lifts[edit.row_key], edit.column, str(edit.text), units, wheelbase_m
            )
        except LoadcalcError as error:
            return [Refusal(row_key=edit.row_key, column=edit.column, reason=reason(error))]
        return []
    lift = sheet.lifts.get(edit.source_key, AxleLift(on_scale="front", axle_kg=1.0, angle_deg=0.0))
    refused = []
    for column in ("axle", "shows", "tilt"):
        text = str((edit.cells or {}).get(column, "")).strip()
        try:
            if not text and column == "shows":
                raise BadValue("reading", "", "is empty", "write what the scale shows")
            lift = changed(lift, column, text, units, wheelbase_m) if text else lift
        except LoadcalcError as error:
            refused.append(Refusal(row_key=edit.row_key, column=column, reason=reason(error)))
    if not refused:
        sheet.add(lift)
    return refused


def changed(lift: AxleLift, column: str, text: str, units: Units, wheelbase_m: float) -> AxleLift:
    """A reading with one of its cells as typed."""
    if column == "axle":
        return replace(lift, on_scale=text)
    if column == "shows":
        return replace(lift, axle_kg=read_mass_kg(text, unit=units.mass_unit, field="reading", high=20_000.0))
    return replace(lift, angle_deg=lift_words.read_tilt_deg(text, units, wheelbase_m))


def accept_height(desk: Desk, fit: HeightFit) -> bool:
    """Write the height and where it came from into the season, as one entry."""
    day = datetime.date.today().isoformat()

    def edit() -> None:
        desk.season.set_vehicle("curb_up_m", fit.up_m)
        desk.season.set_vehicle("cg_height_from", lift_words.height_from(fit, desk.units, day))

    note = f"Height of the empty vehicle's center of gravity: {desk.units.length(fit.up_m)}, by axle lift"
    return desk.do(edit, note)


@with_formulas("height_from_lifts", "lifted_axle_kg", "lift_angle_deg", "coverage_factor")
def cg_lift_panel(desk: Desk) -> widgets.Widget:
    """Readings in a table, the fit in words and as a picture, and a button that accepts the height."""
    sheet = LiftSheet()
    wide = widgets.Layout(width="270px")
    style = {"description_width": "150px"}
    mass, radius, division = (
        widgets.Text(description=name, layout=wide, style=style, continuous_update=False)
        for name in ("Mass as lifted", "Hub above the ground", "Scale's division")
    )
    example = widgets.Button(description="Fill in an invented example", layout=widgets.Layout(width="auto"))
    accept = widgets.Button(
        description="Accept this height", icon="check", disabled=True, layout=widgets.Layout(width="auto")
    )
    said, picture, rest = widgets.HTML(), widgets.HTML(), widgets.HTML()
    found: list[HeightFit] = []

    def prefill() -> None:
        mass.value = desk.units.mass(desk.vehicle.curb_kg)
        radius.value = desk.units.length(desk.vehicle.tire_diameter_m / 2)
        division.value = "10 lb" if desk.units.name == "US" else "5 kg"

    def inputs() -> dict[str, float]:
        units = desk.units
        return {
            "mass_kg": read_mass_kg(mass.value, unit=units.mass_unit, field="mass as lifted", high=20_000.0),
            "radius_m": read_length_m(radius.value, unit=units.length_unit, field="hub above the ground"),
            "division_kg": read_mass_kg(
                division.value, unit=units.mass_unit, field="scale's division", high=200.0
            ),
        }

    def show(*_: object) -> None:
        found.clear()
        picture.value = rest.value = ""
        try:
            fit = sheet.fit(desk.vehicle, **inputs())
        except LoadcalcError as error:
            said.value = lines(f"{lift_words.HOW}\nNo height yet: {error}")
        else:
            found.append(fit)
            said.value = lines(
                f"{lift_words.fit_words(fit, desk.vehicle, desk.units)}\n{lift_words.LIFT_CAUTION}"
            )
            picture.value = lift_svg(fit, desk.units)
            rest.value = html_table(
                lift_words.HEADS, lift_words.lift_rows(fit, desk.units), numbers=(2, 3, 4)
            )
        accept.disabled = not found

    def on_edit(edits: list[Edit]) -> Sequence[Refusal]:
        refused = [r for e in edits for r in apply_lift(sheet, e, desk.units, desk.vehicle.wheelbase_m)]
        show_all()
        return refused

    def show_all() -> None:
        table.show(*sheet_rows(sheet, desk.units), sheet_columns(desk.units))
        show()

    def fill_in(_: object) -> None:
        sheet.lifts.clear()
        for lift in lift_words.example_lifts(desk.vehicle, inputs()["radius_m"]):
            sheet.add(lift)
        show_all()

    def other_units() -> None:
        if seen[0] != desk.season.units:
            seen[0] = desk.season.units
            prefill()
        show_all()

    seen = [desk.season.units]
    prefill()
    rows, keys = sheet_rows(sheet, desk.units)
    table = EditTable(
        label="Lifts",
        columns=sheet_columns(desk.units),
        rows=rows,
        row_keys=keys,
        on_edit=on_edit,
        height="20rem",
    )
    show()
    for box in (mass, radius, division):
        box.observe(show, "value")
    example.on_click(fill_in)
    accept.on_click(lambda _: accept_height(desk, found[0]) if found else None)
    desk.records.append(other_units)
    row = widgets.HBox([mass, radius, division, example], layout=widgets.Layout(flex_flow="row wrap"))
    return widgets.VBox([row, table, said, picture, rest, accept])
