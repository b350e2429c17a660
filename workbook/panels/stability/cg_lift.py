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
from loadcalc.model.quantities import Units
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.dials import amount
from workbook.panels.desk.edits import reason
from workbook.panels.desk.frame import html_list, html_table, lines, with_formulas
from workbook.panels.desk.measure import mass as typed_mass
from workbook.panels.stability import cg_lift_words as lift_words
from workbook.panels.stability.cg_lift_figure import lift_svg
from workbook.widgets.table.table import Column, Edit, EditTable, Refusal

ANGLE_DOUBT_DEG = 0.2  # a digital level, plus or minus
FILL_IN, TAKE_AWAY = "Fill in an invented example", "Take the example away"
READ = frozenset({"shows", "tilt"})  # the cells of a reading that somebody has to have read


@dataclass
class LiftSheet:
    """The readings while they are being taken. They are not part of the season; what is accepted is.

    invented : by reading, which of its cells are the example's still; a removed one is kept, for copies of it.
    """

    lifts: dict[str, AxleLift] = field(default_factory=dict)
    invented: dict[str, frozenset[str]] = field(default_factory=dict)
    made: int = 0

    def add(self, lift: AxleLift, invented: frozenset[str] = frozenset()) -> str:
        """Put a reading at the end; return its key."""
        self.made += 1
        key = f"lift-{self.made}"
        self.lifts[key], self.invented[key] = lift, invented
        return key

    @property
    def of_example(self) -> list[str]:
        """The readings with a cell that nobody has read."""
        return [key for key in self.lifts if self.invented[key]]

    def own_fit(self, vehicle: Vehicle, **inputs: float) -> HeightFit:
        """The height from a person's own readings; BadValue while the example still stands in any of them."""
        if self.of_example:
            problem = "stand in the table, so this height is not your vehicle's"
            raise BadValue("invented readings", len(self.of_example), problem, lift_words.EXAMPLE_CURE)
        return self.fit(vehicle, **inputs)

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
        Column(key="whose", title="Whose reading", kind="read-only", width="10em"),
    ]


def sheet_rows(sheet: LiftSheet, units: Units) -> tuple[list[dict[str, Any]], list[str]]:
    """Rows of the table of readings, and their keys."""
    return [shown(sheet, key, units) for key in sheet.lifts], list(sheet.lifts)


def shown(sheet: LiftSheet, key: str, units: Units) -> dict[str, Any]:
    """One reading as the table shows it."""
    lift = sheet.lifts[key]
    return {
        "axle": lift.on_scale,
        "shows": units.mass(lift.axle_kg),
        "tilt": f"{lift.angle_deg:.1f}°",
        "whose": "? invented" if sheet.invented[key] else "yours",
    }


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
        sheet.invented[edit.row_key] -= {edit.column}
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
        sheet.add(lift, copied(sheet, edit, units))
    return refused


def copied(sheet: LiftSheet, edit: Edit, units: Units) -> frozenset[str]:
    """Which cells of a new row are still the example's: those of the row it copies, where nothing else was typed."""
    invented = sheet.invented.get(edit.source_key, frozenset())
    if edit.source_key not in sheet.lifts:
        return invented
    source = shown(sheet, edit.source_key, units)
    typed = {column: str((edit.cells or {}).get(column, "")).strip() for column in invented}
    return frozenset(column for column, text in typed.items() if text in ("", source[column]))


def changed(lift: AxleLift, column: str, text: str, units: Units, wheelbase_m: float) -> AxleLift:
    """A reading with one of its cells as typed."""
    if column == "axle":
        return replace(lift, on_scale=text)
    if column == "shows":
        return replace(lift, axle_kg=typed_mass(text, units, "reading"))
    return replace(lift, angle_deg=lift_words.read_tilt_deg(text, units, wheelbase_m))


def accept_height(desk: Desk, sheet: LiftSheet, **inputs: float) -> bool:
    """Write the height that the person's own readings give, and where it came from, into the season, as one entry."""
    day = datetime.date.today().isoformat()
    try:
        fit = sheet.own_fit(desk.vehicle, **inputs)
    except LoadcalcError as error:
        desk.say(f"Not kept: {error}")
        return False

    def edit() -> None:
        desk.season.set_vehicle("curb_up_m", fit.up_m)
        desk.season.set_vehicle("cg_height_from", lift_words.height_from(fit, desk.units, day))

    note = f"Height of the empty vehicle's center of gravity: {desk.units.length(fit.up_m)}, by axle lift"
    return desk.do(edit, note)


@with_formulas("height_from_lifts", "lifted_axle_kg", "lift_angle_deg", "coverage_factor")
def cg_lift_panel(desk: Desk) -> widgets.Widget:
    """The caution, then the steps, then readings in a table, the fit in words and as a picture, and accepting it."""
    sheet = LiftSheet()
    wide = widgets.Layout(width="270px")
    style = {"description_width": "150px"}
    mass, radius, division = (
        widgets.Text(description=name, layout=wide, style=style, continuous_update=False)
        for name in ("Mass as lifted", "Hub above the ground", "Scale division")
    )
    example = widgets.Button(description=FILL_IN, layout=widgets.Layout(width="auto"))
    accept = widgets.Button(
        description="Accept this height", icon="check", disabled=True, layout=widgets.Layout(width="auto")
    )
    before = widgets.HTML(lines(lift_words.LIFT_CAUTION, alarm=True) + html_list(lift_words.HOW))
    said, picture, rest = widgets.HTML(), widgets.HTML(), widgets.HTML()

    def prefill() -> None:
        mass.value = desk.units.mass(desk.vehicle.curb_kg)
        radius.value = desk.units.length(desk.vehicle.tire_diameter_m / 2)
        division.value = "10 lb" if desk.units.name == "US" else "5 kg"

    def inputs() -> dict[str, float]:
        units = desk.units
        return {
            "mass_kg": typed_mass(mass.value, units, "mass as lifted"),
            "radius_m": amount("length", radius.value, units, "hub above the ground"),
            "division_kg": typed_mass(division.value, units, "scale division", high_kg=200.0),
        }

    def show(*_: object) -> None:
        picture.value = rest.value = ""
        accept.disabled = True
        example.description = TAKE_AWAY if sheet.of_example else FILL_IN
        example.disabled = bool(sheet.lifts) and not sheet.of_example  # it must not push out what somebody read
        try:
            fit = sheet.fit(desk.vehicle, **inputs())
        except LoadcalcError as error:
            said.value = lines(f"No height yet: {error}", live=True)
            return
        accept.disabled = bool(sheet.of_example)
        invented = f"{lift_words.EXAMPLE}\n" if sheet.of_example else ""
        said.value = lines(f"{invented}{lift_words.fit_words(fit, desk.vehicle, desk.units)}", live=True)
        picture.value = lift_svg(fit, desk.units, bool(sheet.of_example))
        rest.value = html_table(lift_words.HEADS, lift_words.lift_rows(fit, desk.units), numbers=(2, 3, 4))

    def on_edit(edits: list[Edit]) -> Sequence[Refusal]:
        refused = [r for e in edits for r in apply_lift(sheet, e, desk.units, desk.vehicle.wheelbase_m)]
        show_all()
        return refused

    def show_all() -> None:
        table.show(*sheet_rows(sheet, desk.units), sheet_columns(desk.units))
        show()

    def turn_example(_: object) -> None:
        taken = sheet.of_example
        for key in taken:
            sheet.lifts.pop(key)
        if not taken:
            for lift in lift_words.example_lifts(desk.vehicle, inputs()["radius_m"]):
                sheet.add(lift, READ)
        show_all()

    def take(_: object) -> None:
        try:
            accept_height(desk, sheet, **inputs())
        except LoadcalcError as error:
            desk.say(f"Not kept: {error}")

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
    example.on_click(turn_example)
    accept.on_click(take)
    desk.records.append(other_units)
    row = widgets.HBox([mass, radius, division, example], layout=widgets.Layout(flex_flow="row wrap"))
    return widgets.VBox([before, row, table, said, picture, rest, accept])
