"""Boards of sliders that try a change out at once and keep it in the ledger once they rest."""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as widgets

from loadcalc.model.errors import LoadcalcError
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.dials import Dial, column, liquid_dials, people_dials, slider, turned, zone_dials


class Board:
    """Titled columns of sliders over one desk.

    dials : what to show now, by column title. turn : try one dial at a value. keep : write that to the season.
    The widgets are made anew only when the dials themselves are others (another loadout, other units).
    """

    def __init__(
        self,
        desk: Desk,
        dials: Callable[[], dict[str, list[Dial]]],
        turn: Callable[[Dial, float], None],
        keep: Callable[[Dial, float], Callable[[], None]],
    ) -> None:
        self.desk = desk
        self._dials = dials
        self._turn = turn
        self._keep = keep
        self._made: dict[str, widgets.FloatSlider] = {}
        self._kept: dict[str, Dial] = {}
        self._shape: object = None
        self._quiet = False
        self.view = widgets.HBox(layout=widgets.Layout(flex_flow="row wrap", align_items="flex-start"))
        self.show()
        desk.records.append(self.show)

    def show(self) -> None:
        """Bring the sliders to what the season holds, without hearing them as moves."""
        columns = self._dials()
        self._kept = {dial.key: dial for dials in columns.values() for dial in dials}
        shape = {
            title: [(d.key, d.label, d.unit, d.high, d.step) for d in dials]
            for title, dials in columns.items()
        }
        self._quiet = True
        try:
            if shape != self._shape:
                self._make(columns)
                self._shape = shape
            for dial in self._kept.values():
                self._set(self._made[dial.key], dial)
        finally:
            self._quiet = False

    def _make(self, columns: dict[str, list[Dial]]) -> None:
        self._made = {dial.key: slider(dial, self._moved) for dials in columns.values() for dial in dials}
        self.view.children = [
            column(title, [self._made[dial.key] for dial in dials])
            for title, dials in columns.items()
            if dials
        ]

    @staticmethod
    def _set(made: widgets.FloatSlider, dial: Dial) -> None:
        if not same(dial, made.value):
            made.value = dial.value

    def _moved(self, dial: Dial, value: float) -> None:
        if self._quiet:
            return
        kept = self._kept[dial.key]
        if same(kept, value):  # back where it was, or only the browser's rounding: nothing to keep
            if self.desk.forget(dial.key):
                self._turn(kept, kept.value)
            return
        try:
            self._turn(dial, value)
        except LoadcalcError as error:
            self.desk.say(f"Not tried: {error}")
            return
        self.desk.keep_later(
            dial.key, f"{dial.label}: {dial.text(value)}", self._keep(dial, value)
        )


def same(dial: Dial, value: float) -> bool:
    """Whether a slider's value is the dial's own. The browser rounds to a step, so less than half a step is no move."""
    return abs(value - dial.value) < dial.step / 2


def loadout_board(desk: Desk) -> widgets.Widget:
    """People, liquids, and the load point of one zone, by slider."""
    names = tuple(zone.name for zone in desk.loadout.zones)
    roof = next((zone.name for zone in desk.loadout.zones if zone.on_carrier), names[0])
    chooser = widgets.Dropdown(
        options=names, value=roof, description="Zone", layout=widgets.Layout(width="95%")
    )

    def dials() -> dict[str, list[Dial]]:
        names = tuple(zone.name for zone in desk.loadout.zones)
        if chooser.options != names:
            chooser.options = names
        return {
            "People and animals": people_dials(desk.loadout, desk.vehicle, desk.units),
            "Fuel and water": liquid_dials(desk.loadout, desk.vehicle, desk.units),
        }

    def place_dials() -> dict[str, list[Dial]]:
        return {"Where one zone's load acts": zone_dials(desk.loadout, chooser.value, desk.units)}

    def turn(dial: Dial, value: float) -> None:
        desk.try_out(loadout=turned(desk.loadout, dial, value, chooser.value))

    def keep(dial: Dial, value: float) -> Callable[[], None]:
        zone, loadout = chooser.value, desk.loadout_name
        return lambda: keep_dial(desk, dial, value, loadout, zone)

    board = Board(desk, dials, turn, keep)
    places = Board(desk, place_dials, turn, keep)

    def another_zone(_: object) -> None:
        desk.keep_now()
        places.show()

    chooser.observe(another_zone, "value")
    right = widgets.VBox([chooser, places.view], layout=widgets.Layout(flex="1 1 330px"))
    board.view.layout.flex = "2 1 660px"
    return widgets.HBox(
        [board.view, right], layout=widgets.Layout(flex_flow="row wrap", align_items="flex-start")
    )


def keep_dial(desk: Desk, dial: Dial, value: float, loadout: str, zone: str) -> None:
    """Write one dial of the loadout board into the season."""
    kind, _, key = dial.key.partition(":")
    si = dial.si(value)
    if kind == "tank":
        desk.season.set_fuel(loadout, min(si, desk.season.vehicle.tank.capacity_l))
    elif kind == "person":
        desk.season.set_occupant(key, mass_kg=si)
    elif kind == "fill":
        full = next(liquid.capacity_l for liquid in desk.season.liquids if liquid.key == key)
        desk.season.set_fill(loadout, key, min(si, full))
    else:
        desk.season.set_zone(zone, **{f"{key}_m": si})
