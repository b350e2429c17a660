"""Boards of sliders that try a change out at once and keep it in the ledger once they rest."""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as widgets

from loadcalc.model.errors import LoadcalcError
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.dials import Dial, column, liquid_dials, people_dials, slider, zone_dials


class Board:
    """Titled columns of sliders over one desk.

    dials : what to show now, by column title. Each says itself how it is tried out and kept.
    The widgets are made anew only when the dials themselves are others (another loadout, other units).
    """

    def __init__(self, desk: Desk, dials: Callable[[], dict[str, list[Dial]]]) -> None:
        self.desk = desk
        self._dials = dials
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
        desk, kept = self.desk, self._kept[dial.key]
        if same(kept, value):  # back where it was, or only the browser's rounding: nothing to keep
            if desk.forget(dial.key):
                desk.try_out(*kept.turned(desk.vehicle, desk.loadout, kept.si(kept.value)))
            return
        si, name = dial.si(value), desk.loadout_name
        try:
            desk.try_out(*dial.turned(desk.vehicle, desk.loadout, si))
        except LoadcalcError as error:
            desk.say(f"Not tried: {error}")
            return
        desk.keep_later(
            dial.key, f"{dial.label}: {dial.text(value)}", lambda: dial.keep(desk.season, name, si)
        )


def same(dial: Dial, value: float) -> bool:
    """Whether a slider's value is the dial's own. The browser rounds to a step, so less than half a step is no move."""
    return abs(value - dial.value) < dial.step / 2


def loadout_board(desk: Desk) -> widgets.Widget:
    """People, liquids, and the load point of one zone, by slider."""
    names = tuple(zone.name for zone in desk.loadout.zones)
    roof = next((zone.name for zone in desk.loadout.zones if zone.on_carrier), next(iter(names), None))
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
        made = zone_dials(desk.loadout, chooser.value, desk.units) if chooser.value else []
        return {"Where one zone's load acts": made}

    board, places = Board(desk, dials), Board(desk, place_dials)

    def another_zone(_: object) -> None:
        desk.keep_now()
        places.show()

    chooser.observe(another_zone, "value")
    right = widgets.VBox([chooser, places.view], layout=widgets.Layout(flex="1 1 330px"))
    board.view.layout.flex = "2 1 660px"
    return widgets.HBox(
        [board.view, right], layout=widgets.Layout(flex_flow="row wrap", align_items="flex-start")
    )
