"""Sliders for the trail pressure of each axle, and what every tire then carries."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import ipywidgets as widgets

from loadcalc.checks.tires.relations import BEST
from loadcalc.model import Loadout, Vehicle
from loadcalc.model.quantities import Units
from workbook.panels.board import Board
from workbook.panels.desk import Desk
from workbook.panels.dials import Dial
from workbook.panels.frame import html_table, lines
from workbook.words import tires as tire_words

SOFTEST = {"psi": 8.0, "kPa": 55.0}  # where the sliders begin: the records take nothing below 50 kPa
STEP = {"psi": 1.0, "kPa": 5.0}
USUAL_KPA = 250.0  # only where a slider ends when no pressure of the tire is known
AXLES = ("front", "rear")


def trail_dials(vehicle: Vehicle, loadout: Loadout, units: Units) -> list[Dial]:
    """One dial for each axle. Its upper end is the placard's pressure: there the tires are not let down."""
    return [_dial(axle, vehicle, loadout, units) for axle in AXLES]


def _dial(axle: str, vehicle: Vehicle, loadout: Loadout, units: Units) -> Dial:
    scale, tire = units.scale("pressure"), tire_words.tire_of(vehicle, axle)
    low, step = SOFTEST[scale.unit], STEP[scale.unit]
    full = scale.value(tire.placard_kpa or tire.reference_kpa or USUAL_KPA)
    kpa = tire_words.trail_kpa(loadout, axle)
    value = full if kpa is None else scale.value(kpa)
    high = low + step * math.ceil((max(full, value) - low) / step - 1e-9)
    return Dial(
        key=f"trail:{axle}",
        label=f"{axle.capitalize()} tires, cold",
        scale=scale,
        value=high if kpa is None else value,
        low=low,
        high=high,
        step=step,
    )


def let_down(dial: Dial, value: float) -> float | None:
    """What a slider's value means [kPa]: None at its upper end, where the tires are not let down."""
    return None if value > dial.high - dial.step / 2 else dial.si(value)


def turned(loadout: Loadout, dial: Dial, value: float) -> Loadout:
    """The loadout as it would be with one axle's tires at `value`."""
    kpa = let_down(dial, value)
    return (
        replace(loadout, front_kpa=kpa) if field_of(dial) == "front_kpa" else replace(loadout, rear_kpa=kpa)
    )


def field_of(dial: Dial) -> str:
    """The field of the loadout that a dial turns."""
    return f"{dial.key.partition(':')[2]}_kpa"


def trail_pressure_board(desk: Desk) -> widgets.Widget:
    """Sliders, what each tire carries, the caution, and the axle sums and the spare."""

    def dials() -> dict[str, list[Dial]]:
        return {"Air on the trail": trail_dials(desk.vehicle, desk.loadout, desk.units)}

    def turn(dial: Dial, value: float) -> None:
        desk.try_out(loadout=turned(desk.loadout, dial, value))

    def keep(dial: Dial, value: float) -> Callable[[], None]:
        name, fields = desk.loadout_name, {field_of(dial): let_down(dial, value)}
        return lambda: desk.season.set_loadout(name, **fields)

    board = Board(desk, dials, turn, keep)
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
        said.value = lines(words + more, alarm=any(row[4].startswith("▲") for row in rows))
        axle = html_table(
            tire_words.SUM_HEADS, tire_words.axle_rows(desk.vehicle, desk.units), numbers=(1, 2)
        )
        spare = html_table(
            tire_words.SPARE_HEADS, tire_words.spare_rows(desk.report, desk.units), numbers=(1, 2, 3)
        )
        sums.value = axle + spare
        air_up.disabled = desk.loadout.front_kpa is None and desk.loadout.rear_kpa is None

    def up(_: object) -> None:
        desk.keep_now()
        desk.do(
            lambda: desk.season.set_loadout(desk.loadout_name, front_kpa=None, rear_kpa=None),
            "Tires aired up to the placard",
        )

    show()
    relation.observe(lambda _: show(), "value")
    air_up.on_click(up)
    desk.numbers.append(show)
    row = widgets.HBox([relation, air_up], layout=widgets.Layout(flex_flow="row wrap", align_items="center"))
    return widgets.VBox([board.view, row, wheels, said, sums])
