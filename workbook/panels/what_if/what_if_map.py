"""Three sliders, the map over two of them, its words, and the strip that keeps what was tried or goes back."""

from __future__ import annotations

import math
from functools import partial

import ipywidgets as widgets

from loadcalc.model.errors import BadValue, LoadcalcError
from loadcalc.model.limits import OFF_ROAD, PARKED, ROAD
from loadcalc.model.quantities import Units, read_count
from loadcalc.plan.lever import Quantity
from loadcalc.plan.sweep import Sweep
from workbook.panels.desk.answer import answer
from workbook.panels.desk.board import DialBoard
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.dials import Dial, Read, reader
from workbook.panels.desk.findings_words import in_short
from workbook.panels.desk.frame import lines, with_formulas
from workbook.panels.desk.palette import MARKS
from workbook.panels.what_if import what_if_map_figure as figure
from workbook.panels.what_if.what_if import WhatIf, keep_as, not_kept
from workbook.panels.what_if.what_if_words import (
    map_words,
    not_judged,
    scale_of,
    settings_words,
    tightest_words,
)
from workbook.widgets.chart.chart import Chart

PLACES = ("Across", "Up the side", "Third slider")
CONDITIONS = (("Every rating", ""), ("On road", ROAD), ("Off road", OFF_ROAD), ("Parked", PARKED))


def dial_of(quantity: Quantity, value: float, units: Units) -> Dial:
    """A slider for one quantity in the reader's units: whole pounds, kilograms, psi, or people, or parts of a can."""
    scale = scale_of(quantity, units)
    low, high = scale.value(quantity.low), scale.value(quantity.high)
    step = 1.0
    if quantity.measure == "pressure" and scale.unit == "kPa":
        step = 5.0
    if quantity.measure == "volume":  # the brim itself is the last step, whatever the container holds
        step = (high - low) / max(1, round((high - low) * (1 if scale.unit == "L" else 4)))
    elif quantity.measure != "people":
        low, high = math.floor(low), math.ceil(high)
    return Dial(
        key=quantity.key, label=quantity.name, scale=scale, value=scale.value(value), low=low, high=high, step=step,
        read=_reader(quantity, units),
    )  # fmt: skip


def _reader(quantity: Quantity, units: Units) -> Read:
    if quantity.measure == "people":
        return partial(read_count, field=quantity.name)
    return reader(quantity.measure, quantity.name, units)


def here_words(what_if: WhatIf, units: Units) -> str:
    """Where the sliders stand: what is tightest there, what is found of all of it, then their settings."""
    tightest = tightest_words(what_if.report, units, what_if.conditions)
    return f"{tightest} In all: {in_short(what_if.report)}.\n{settings_words(what_if.settings, units)}"


def whole_words(found: Sweep, units: Units) -> str:
    """The map in sentences, and what is not on it."""
    return "\n".join(filter(None, (map_words(found, units), not_judged(found))))


def swept(what_if: WhatIf) -> tuple[Sweep | None, str]:
    """The map and its sentences; without a map, why there is none."""
    try:
        found = what_if.sweep()
    except BadValue as error:
        return None, f"There is no map: {error.field} {error.problem}; {error.cure}."
    return found, whole_words(found, what_if.desk.units)


def opening_words(desk: Desk) -> str:
    """The map in sentences as a page opens with it."""
    return swept(WhatIf(desk))[1]


class MapPanel:
    """The widgets of one `WhatIf`; they are made once and brought up to date."""

    def __init__(self, what_if: WhatIf) -> None:
        self.what_if = what_if
        self.desk = what_if.desk
        self._quiet = False
        self.chart: Chart | None = None  # made with the first map
        self.whole = widgets.HTML()
        self.condition = widgets.Dropdown(
            options=CONDITIONS, value="", description="Ratings", layout=widgets.Layout(width="260px")
        )
        self.choosers = [self._chooser(place) for place in range(len(PLACES))]
        self.boards = [DialBoard(self._moved) for _ in PLACES]
        self.condition.observe(self._other_condition, "value")
        self._rows = [
            widgets.HBox(
                [chooser, widgets.Box([board.view], layout={"flex": "1 1 420px"})],
                layout=widgets.Layout(flex_flow="row wrap", align_items="center"),
            )
            for chooser, board in zip(self.choosers, self.boards, strict=True)
        ]
        self.controls = widgets.VBox([*self._rows, self.condition])
        self.view = widgets.VBox()
        self._sweep()
        self.show_sliders()
        self.draw()
        self.show_words()
        self.desk.records.append(self.from_records)
        self.desk.at_rest.append(self.follow)

    def _sweep(self) -> None:
        self._swept = True
        self._found, self._words = swept(self.what_if)

    def draw(self) -> None:
        """Show the map as it was last swept; nothing in its place when there is none."""
        if self._found is not None:
            drawn = figure.figure(self._found, self.what_if.at, self.desk.units)
            label = figure.label(self._found, self.desk.units)
            if self.chart is None:
                self.chart = Chart(drawn, label)
            else:
                self.chart.draw(drawn, label)
        chart = [self.chart] if self._found is not None and self.chart is not None else []
        self.view.children = (*chart, self.whole)

    def _chooser(self, place: int) -> widgets.Dropdown:
        made = widgets.Dropdown(description=PLACES[place], layout=widgets.Layout(width="340px"))
        made.observe(lambda change: self._chosen(place, change["new"]), "value")
        return made

    def show_sliders(self) -> None:
        """Bring the choosers and sliders to what is chosen."""
        self._quiet = True
        settings = self.what_if.settings
        for place, chooser in enumerate(self.choosers):
            chooser.layout.display = "" if place < len(settings) else "none"
            if place >= len(settings):
                self.boards[place].show({})
        for place, (quantity, value) in enumerate(settings.items()):
            chooser = self.choosers[place]
            chooser.options = [(q.name, q.key) for q in self.what_if.known.values()]
            chooser.value = quantity.key
            self.boards[place].show({"": [dial_of(quantity, value, self.desk.units)]})
        self._quiet = False

    def _moved(self, dial: Dial, si: float) -> None:
        quantity = self.what_if.known[dial.key]
        wanted = quantity.now if dial.scale.same_entry(si, quantity.now) else si
        if wanted != self.what_if.settings.get(quantity):
            self.move(quantity.key, wanted)

    def move(self, key: str, value: float) -> None:
        """Try one quantity at a value [SI], and show it everywhere."""
        self.what_if.set(key, value)
        self._swept = self._swept and key in self.what_if.chosen[:2]
        self.desk.try_out(loadout=self.what_if.loadout)
        self.desk.say("Trying out; nothing is kept until you keep it as a new loadout")

    def follow(self) -> None:
        """Take in where the sliders rest: another map when the third has moved, else the cross on this one."""
        if not self._swept:
            self._sweep()
            self.draw()
        elif self._found is not None and self.chart is not None:
            self.chart.move(figure.CROSS, **figure.cross_of(self._found, self.what_if.at, self.desk.units))
        self.show_words()

    def _chosen(self, place: int, key: str) -> None:
        if self._quiet or key == self.what_if.chosen[place]:
            return
        try:
            self.what_if.choose(place, key)
        except LoadcalcError as error:
            self.desk.say(f"Not chosen: {error}")
        self._anew()

    def _other_condition(self, change: dict[str, str]) -> None:
        self.what_if.condition = change["new"]
        self._anew()

    def from_records(self) -> None:
        """Start again from what is kept."""
        self.what_if.read()
        self._anew(tell=False)

    def _anew(self, *, tell: bool = True) -> None:
        self._sweep()
        self.show_sliders()
        self.draw()
        if tell and self.what_if.loadout != self.desk.loadout:
            self.desk.try_out(loadout=self.what_if.loadout)
        self.show_words()

    def here_lines(self) -> list[str]:
        """Say where the sliders stand, marked when something is over there."""
        over = any(
            r.over for r in self.what_if.report.ratings
            if not self.what_if.conditions or r.condition in self.what_if.conditions
        )  # fmt: skip
        first, *more = here_words(self.what_if, self.desk.units).splitlines()
        return [f"{MARKS['over']} {first}" if over else first, *more]

    def show_words(self) -> None:
        """Say what the map shows."""
        self.whole.value = lines(self._words)


def what_if_controls(panel: MapPanel) -> widgets.Widget:
    """Three quantities with their sliders, and the strip that keeps or drops what was tried."""
    return widgets.VBox([panel.controls, keep_strip(panel.what_if)])


@with_formulas("evaluate", "axle_loads", "wheel_shares")
def what_if_answer(panel: MapPanel) -> widgets.Widget:
    """What is tightest where the sliders stand, and the map around it."""
    return answer(panel.desk, panel.view, lead=panel.here_lines)


def keep_strip(what_if: WhatIf) -> widgets.Widget:
    """Keep what is tried as a new loadout under a name, or go back: to what is kept, then to the loadout before."""
    desk = what_if.desk
    name = widgets.Text(placeholder="Name of the new loadout", layout=widgets.Layout(width="260px"))
    keep = widgets.Button(
        description="Keep as a new loadout", icon="check", layout=widgets.Layout(width="auto")
    )
    back = widgets.Button(icon="arrow-left", layout=widgets.Layout(width="auto", max_width="28rem"))
    said = widgets.HTML()
    before: list[str] = []

    def show() -> None:
        left = not_kept(what_if.moved)
        back.disabled = not what_if.moved and not before
        back.description = (
            "Go back to what is kept"
            if what_if.moved
            else f"Go back to {before[-1]}"
            if before
            else "Nothing to go back to"
        )
        said.value = lines(
            f"Can't be kept with one loadout: {'; '.join(left)}. Enter it on its own page." if left else ""
        )

    def kept(_: object) -> None:
        wanted, was = name.value.strip(), desk.loadout_name
        base, moved = what_if.base, what_if.moved
        if desk.do(
            lambda: keep_as(desk.season, wanted, base, moved), f"{wanted}: kept from trying out {was}"
        ):
            before.append(was)
            name.value = ""
            desk.choose(wanted)

    def went_back(_: object) -> None:
        if what_if.moved:
            desk.reload("Back to what is kept")
        elif before:
            desk.choose(before.pop())

    keep.on_click(kept)
    back.on_click(went_back)
    show()
    desk.records.append(show)
    desk.at_rest.append(show)
    return widgets.VBox(
        [
            widgets.HBox(
                [name, keep, back], layout=widgets.Layout(flex_flow="row wrap", align_items="center")
            ),
            said,
        ]
    )
