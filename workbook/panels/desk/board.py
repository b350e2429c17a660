"""Boards of sliders that try a change out at once and keep it in the ledger once they rest."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import ipywidgets as widgets

from loadcalc.model.errors import LoadcalcError
from loadcalc.model.marks import isolated
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.dials import Dial, liquid_dials, people_dials, zone_dials
from workbook.widgets.dials.dials import Dials

Columns = Mapping[str, Sequence[Dial]]


class DialBoard:
    """Titled columns of dials in one widget, the `view`.

    moved : called with a dial and where the hand brought it [SI], dragged or typed. What it refuses, by raising a
        LoadcalcError, and what can't be read, is said beside the number.
    """

    def __init__(self, moved: Callable[[Dial, float], None]) -> None:
        self._moved = moved
        self._columns: Columns = {}
        self._at: dict[str, float] = {}
        self._refused: dict[str, dict[str, str]] = {}
        self.view = Dials(self._hear)

    def show(self, columns: Columns) -> None:
        """Show these dials where they say they are."""
        before = self._by_key()
        self._columns, self._at = columns, {}
        after = self._by_key()
        self._refused = {
            key: why for key, why in self._refused.items() if key in after and after[key].scale == before[key].scale
        }
        self._publish()

    def _by_key(self) -> dict[str, Dial]:
        return {dial.key: dial for dials in self._columns.values() for dial in dials}

    def _publish(self) -> None:
        self.view.show(
            {
                title: [dial.row(self._at.get(dial.key, dial.value)) for dial in dials]
                for title, dials in self._columns.items()
            },
            self._refused,
        )

    def _hear(self, key: str, said: float | str) -> None:
        """Hear a number where the slider is, or a text that was typed."""
        dial = self._by_key().get(key)
        if dial is None:  # it has just gone from the page
            return
        answers = isinstance(said, str) or key in self._refused
        self._refused.pop(key, None)
        try:
            si = dial.typed(said) if isinstance(said, str) else dial.si(said)
            self._at[key] = dial.scale.value(si)
            self._moved(dial, si)
        except LoadcalcError as error:
            self._at.pop(key, None)
            self._refused[key] = {"text": said if isinstance(said, str) else "", "why": isolated(str(error))}
            answers = True
        if answers:
            self._publish()


class Board:
    """Titled columns of sliders over one desk.

    dials : what to show now, by column title. Each says itself how it is tried out and kept.
    """

    def __init__(self, desk: Desk, dials: Callable[[], Columns]) -> None:
        self.desk = desk
        self._dials = dials
        self._board = DialBoard(self._moved)
        self.view = self._board.view
        self.show()
        desk.records.append(self.show)

    def show(self) -> None:
        """Bring the sliders to what the season holds."""
        self._board.show(self._dials())

    def _moved(self, dial: Dial, si: float) -> None:
        desk = self.desk
        if dial.scale.same_entry(si, dial.si(dial.value)):  # back where it was: nothing to keep
            if desk.forget(dial.key):
                desk.try_out(*dial.turned(desk.vehicle, desk.loadout, dial.si(dial.value)))
            return
        name = desk.loadout_name
        desk.try_out(*dial.turned(desk.vehicle, desk.loadout, si))
        note = f"{dial.label}: {dial.text(dial.scale.value(si))}"
        desk.keep_later(dial.key, note, lambda: dial.keep(desk.season, name, si))


def loadout_board(desk: Desk) -> widgets.Widget:
    """People and liquids, by slider."""

    def dials() -> Columns:
        return {
            "People and animals": people_dials(desk.loadout, desk.vehicle, desk.units),
            "Fuel and water": liquid_dials(desk.loadout, desk.vehicle, desk.units),
        }

    return Board(desk, dials).view


def load_point_board(desk: Desk) -> widgets.Widget:
    """Where the load of one zone acts, by slider."""
    names = tuple(zone.name for zone in desk.loadout.zones)
    roof = next((zone.name for zone in desk.loadout.zones if zone.on_carrier), next(iter(names), None))
    chooser = widgets.Dropdown(options=names, value=roof, description="Zone", layout={"width": "95%"})

    def dials() -> Columns:
        names = tuple(zone.name for zone in desk.loadout.zones)
        if chooser.options != names:
            chooser.options = names
        made = zone_dials(desk.loadout, chooser.value, desk.units) if chooser.value else []
        return {"Where its load acts": made}

    board = Board(desk, dials)

    def another_zone(_: object) -> None:
        desk.keep_now()
        board.show()

    chooser.observe(another_zone, "value")
    return widgets.VBox([chooser, board.view])
