"""Arrange for me: what is wanted, the rules to keep to, and the two buttons. The search itself is roof_search.py's."""

from __future__ import annotations

import asyncio
from importlib import import_module
from threading import Thread
from typing import Any

import ipywidgets as widgets

from loadcalc.model import Loadout
from loadcalc.model.errors import LoadcalcError
from loadcalc.model.quantities import Units
from loadcalc.plan.roof_layout.deck import deck_of
from loadcalc.plan.roof_layout.layout_rules import LayoutRules
from workbook.panels.desk import frame
from workbook.panels.desk.html_text import escape
from workbook.panels.roof.roof_plan import RoofDesk
from workbook.panels.roof.roof_search import Arranger
from workbook.panels.roof.roof_wishes import roof_wish_table

MIDDLE = "the roof rack's middle"
BALANCE_M = {"US": 0.0381, "SI": 0.04}  # 1.5 in; 40 mm
REACH_M = 0.1
SLIDE = widgets.Layout(width="min(46rem, 98%)")
STYLE = {"description_width": "24rem"}


def places_to_gather(loadout: Loadout) -> list[tuple[str, float]]:
    """Where the weight may be asked to gather: the carrier's middle, or over a bar; its name and aft [m]."""
    if loadout.carrier is None:
        return []
    return [
        (MIDDLE, deck_of(loadout.carrier).aft_m),
        *((bar.name, bar.aft_m) for bar in loadout.carrier.bars),
    ]


class Controls:
    """The rules as sliders and ticks, in the reader's units; made anew when those change."""

    def __init__(self, arranger: Arranger) -> None:
        self.arranger = arranger
        self.view = widgets.VBox()
        self._made_for: object = None
        self.tie_points = _tick("Leave every tie point free", True)
        self.groups = _tick("Keep groups together", True)
        self.at_hand = _tick("What is kept at hand lies at the left, right, or rear edge", True)
        self.turn = _tick("Things may be turned", True)
        self.time = widgets.IntSlider(
            value=20, min=1, max=120, description="Look for at most, s", layout=SLIDE,
            style=STYLE,
        )  # fmt: skip
        self.show()
        arranger.desk.records.append(self.show)

    def show(self) -> None:
        """Make what depends on units and carrier anew, when either has changed."""
        desk = self.arranger.desk
        made_for = (desk.units.name, desk.loadout.carrier)
        if made_for == self._made_for or desk.loadout.carrier is None:
            return
        self._made_for = made_for
        self.balance, self.span, self.gather = _sliders(desk.loadout, desk.units)
        ticks = [self.tie_points, self.groups, self.at_hand, self.turn]
        self.view.children = [self.gather, self.span, self.balance, *ticks, self.time]

    def rules(self) -> LayoutRules:
        """What the controls say."""
        desk = self.arranger.desk
        if desk.loadout.carrier is None:
            return LayoutRules()
        return rules_of(
            desk.loadout, desk.units, span=self.span.value, whole=(self.span.min, self.span.max),
            balance=self.balance.value, tie_points=self.tie_points.value, groups=self.groups.value,
            at_hand=self.at_hand.value, may_turn=self.turn.value, gather_m=self.gather.value,
            halves=dict(self.arranger.halves),
        )  # fmt: skip


def rules_of(
    loadout: Loadout, units: Units, *, span: tuple[float, float], whole: tuple[float, float], balance: float,
    tie_points: bool, groups: bool, at_hand: bool, may_turn: bool, gather_m: float, halves: dict[str, str],
) -> LayoutRules:  # fmt: skip
    """The rules that the controls say; span and balance in the reader's unit, behind the roof rack's front edge.

    An end of `span` that stands at the end of its slider (`whole`) is no limit.
    """
    assert loadout.carrier is not None  # there are no controls without one
    scale, edge_m = units.scale("length"), deck_of(loadout.carrier).fore_m
    return LayoutRules(
        balance_m=scale.si(balance),
        forward_m=None if span[0] <= whole[0] else edge_m + scale.si(span[0]),
        rearward_m=None if span[1] >= whole[1] else edge_m + scale.si(span[1]),
        tie_room_m=0.03 if tie_points else None,
        groups=groups,
        reach_m=REACH_M if at_hand else None,
        may_turn=may_turn,
        gather_m=gather_m,
        halves=halves,
    )


def _tick(text: str, on: bool) -> widgets.Checkbox:
    return widgets.Checkbox(value=on, description=text, indent=False, layout=widgets.Layout(width="auto"))


def _sliders(loadout: Loadout, units: Units) -> tuple[Any, Any, Any]:
    scale = units.scale("length")
    assert loadout.carrier is not None
    long = round(scale.value(loadout.carrier.size.length_m))
    step = 1.0 if scale.unit == "in" else 20.0
    balance = widgets.FloatSlider(
        value=scale.value(BALANCE_M[units.name]), min=0.0, max=scale.value(0.254), step=step / 4, layout=SLIDE,
        description=f"Load's center within so far of the center line, {scale.unit}", style=STYLE,
        readout_format=".2f" if scale.unit == "in" else ".0f",
    )  # fmt: skip
    span = widgets.FloatRangeSlider(
        value=(0.0, long), min=0.0, max=long, step=step, layout=SLIDE, readout_format=".0f", style=STYLE,
        description=f"Load's center, behind the roof rack's front edge, {scale.unit}",
    )  # fmt: skip
    gather = widgets.Dropdown(
        options=places_to_gather(loadout), description="Gather the weight around", layout=SLIDE, style=STYLE
    )
    return balance, span, gather


def status_html(status: str) -> str:
    """The line that says how the search goes; read out politely."""
    said = f"<strong>{escape(status)}</strong>"
    return f"{frame.STYLE}<div class='loadout-words' role='status' aria-live='polite'>{said}</div>"


def arrange_panel(plan: RoofDesk) -> widgets.Widget:
    """What is wanted, the rules, and the two buttons."""
    arranger = Arranger(plan)
    controls = Controls(arranger)
    go = widgets.Button(description="Arrange for me", icon="th", layout=widgets.Layout(width="auto"))
    stop = widgets.Button(
        description="Stop and keep the best", icon="stop", layout=widgets.Layout(width="auto")
    )
    status = widgets.HTML()

    def show() -> None:
        status.value = status_html(arranger.status)
        stop.disabled = not arranger.running

    def start(_: object) -> None:
        try:
            arranger.start(controls.rules(), float(controls.time.value))
        except LoadcalcError as error:
            arranger.say(f"Not arranged: {error}")

    show()
    arranger.told.append(show)
    go.on_click(start)
    stop.on_click(lambda _: arranger.stop())
    warm_up()
    buttons = widgets.HBox([go, stop], layout=widgets.Layout(flex_flow="row wrap"))
    return widgets.VBox([roof_wish_table(plan.desk, arranger.halves), controls.view, buttons, status])


def warm_up() -> None:
    """Load the solver while the page is being read, so that the first plan does not wait for it."""
    try:
        asyncio.get_running_loop()
    except RuntimeError:
        return  # outside a notebook nobody waits
    Thread(target=import_module, args=("ortools.sat.python.cp_model",), daemon=True).start()
