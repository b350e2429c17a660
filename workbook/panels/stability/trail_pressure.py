"""Sliders for the pressure of each axle, on the road and on the trail, and what every tire then carries."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import ipywidgets as widgets

from loadcalc.checks.tires.relations import BEST
from loadcalc.model import Loadout, Vehicle
from loadcalc.model.quantities import Units
from loadcalc.season import Season
from workbook.panels.desk.board import Board
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.dials import Dial, reader
from workbook.panels.desk.frame import html_table, marked_lines, with_formulas
from workbook.panels.stability import tires_words as tire_words

SOFTEST = {"psi": 8.0, "kPa": 55.0}  # where the sliders begin: the records take nothing below 50 kPa
STEP = {"psi": 1.0, "kPa": 5.0}
USUAL_KPA = 250.0  # only where a slider ends when no pressure of the tire is known
MORE = 1.15  # how far a road slider goes beyond the highest pressure that is known of the tire
AXLES = ("front", "rear")
ROAD, TRAIL = "road", "trail"
TITLES = {ROAD: "Air on the road, tires cold", TRAIL: "Air on the trail, tires cold"}
FIELDS = {
    (ROAD, "front"): "front_road_kpa",
    (ROAD, "rear"): "rear_road_kpa",
    (TRAIL, "front"): "front_kpa",
    (TRAIL, "rear"): "rear_kpa",
}


def pressure_dials(vehicle: Vehicle, loadout: Loadout, units: Units) -> dict[str, list[Dial]]:
    """For each axle one dial for the road, around the placard's pressure, and one for the trail, that ends there."""
    return {
        title: [_dial(where, axle, vehicle, loadout, units) for axle in AXLES]
        for where, title in TITLES.items()
    }


def _dial(where: str, axle: str, vehicle: Vehicle, loadout: Loadout, units: Units) -> Dial:
    scale, tire = units.scale("pressure"), tire_words.tire_of(vehicle, axle)
    low, step = SOFTEST[scale.unit], STEP[scale.unit]
    usual = scale.value(tire.placard_kpa or tire.reference_kpa or USUAL_KPA)
    set_kpa = getattr(loadout, FIELDS[where, axle])
    most = max(usual, usual if set_kpa is None else scale.value(set_kpa))
    if where == ROAD:
        most = max(most, scale.value(tire.reference_kpa or 0.0)) * MORE
    high = low + step * math.ceil((most - low) / step - 1e-9)
    rest = high if where == TRAIL else usual
    value = rest if set_kpa is None else scale.value(set_kpa)
    label = f"{axle.capitalize()} tires, on the {where}"
    field = FIELDS[where, axle]

    def turned(vehicle: Vehicle, loadout: Loadout, kpa: float) -> tuple[Vehicle, Loadout]:
        changed: dict[str, Any] = {field: meant_kpa(dial, kpa, vehicle)}
        return vehicle, replace(loadout, **changed)

    def keep(season: Season, name: str, kpa: float) -> None:
        season.set_loadout(name, **{field: meant_kpa(dial, kpa, season.vehicle)})

    dial = Dial(
        key=f"{where}:{axle}", label=label, scale=scale, value=value, low=low, high=high, step=step,
        read=reader("pressure", label, units), turned=turned, keep=keep,
    )  # fmt: skip
    return dial


def meant_kpa(dial: Dial, kpa: float, vehicle: Vehicle) -> float | None:
    """What a slider's value [kPa] means: None where it says nothing of its own.

    On the trail that is its upper end, where the tires are not aired down; on the road the placard's pressure.
    """
    where, _, axle = dial.key.partition(":")
    rest_kpa = dial.si(dial.high) if where == TRAIL else tire_words.tire_of(vehicle, axle).placard_kpa
    return None if rest_kpa is not None and abs(kpa - rest_kpa) < dial.si(dial.step) / 2 else kpa


@with_formulas(
    "capacity_at_kg", "load_from_table_kg", "load_by_power_kg", "pressure_needed_kpa", "axle_tire_sum"
)
def trail_pressure_board(desk: Desk) -> widgets.Widget:
    """Sliders, what each tire carries, the caution, and the axle sums and the spare."""

    def dials() -> dict[str, list[Dial]]:
        return pressure_dials(desk.vehicle, desk.loadout, desk.units)

    board = Board(desk, dials)
    relation = widgets.Dropdown(
        options=tire_words.relation_choices(),
        value=BEST,
        description="Relation",
        layout=widgets.Layout(width="430px"),
    )
    air_up = widgets.Button(
        description="Air up to the placard", icon="undo", layout=widgets.Layout(width="auto"),
        tooltip="Both axles back to the pressure on the tire placard",
    )  # fmt: skip
    wheels, said, sums = widgets.HTML(), widgets.HTML(), widgets.HTML()

    def show() -> None:
        rows = tire_words.pressure_rows(desk.report, desk.units, relation.value)
        wheels.value = html_table(tire_words.HEADS, rows, numbers=(1, 2, 3, 4, 5))
        words = tire_words.pressure_words(desk.report, desk.units)
        more = "" if relation.value == BEST else f"\n{tire_words.RELATION_CAUTION}"
        said.value = marked_lines(words + more)
        axle = html_table(
            tire_words.SUM_HEADS, tire_words.axle_rows(desk.vehicle, desk.units), numbers=(1, 2)
        )
        spare = html_table(
            tire_words.SPARE_HEADS, tire_words.spare_rows(desk.report, desk.units), numbers=(1, 2, 3)
        )
        sums.value = axle + spare
        air_up.disabled = all(getattr(desk.loadout, field) is None for field in FIELDS.values())

    def up(_: object) -> None:
        desk.keep_now()
        desk.do(
            lambda: desk.season.set_loadout(desk.loadout_name, **dict.fromkeys(FIELDS.values())),
            "Tires aired up to the placard",
        )

    show()
    relation.observe(lambda _: show(), "value")
    air_up.on_click(up)
    desk.at_rest.append(show)
    row = widgets.HBox([relation, air_up], layout=widgets.Layout(flex_flow="row wrap", align_items="center"))
    return widgets.VBox([board.view, row, wheels, said, sums])
