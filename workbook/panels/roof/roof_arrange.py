"""Arrange for me: what is wanted, the rules to keep to, and the two buttons. The search itself is roof_search.py's."""

from __future__ import annotations

import asyncio
from importlib import import_module
from threading import Thread

import ipywidgets as widgets

from loadcalc.model import Loadout
from loadcalc.model.errors import BadValue, LoadcalcError
from loadcalc.model.quantities import Units
from loadcalc.plan.roof_layout.deck import deck_of
from loadcalc.plan.roof_layout.layout_rules import LayoutRules
from workbook.panels.desk import frame
from workbook.panels.desk.board import DialBoard
from workbook.panels.desk.dials import Dial, bare_dial, reader
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
        self.board = DialBoard(self._moved)
        self._at = {"time": 20.0}
        self.show()
        arranger.desk.records.append(self.show)

    def show(self) -> None:
        """Make what depends on units and carrier anew, when either has changed."""
        desk = self.arranger.desk
        made_for = (desk.units.name, desk.loadout.carrier)
        if made_for == self._made_for or desk.loadout.carrier is None:
            return
        self._made_for = made_for
        scale, carrier = desk.units.scale("length"), desk.loadout.carrier
        self._long = float(round(scale.value(carrier.size.length_m)))
        self._at |= {"fore": 0.0, "rear": self._long, "balance": scale.value(BALANCE_M[desk.units.name])}
        self.board.show({"": rule_dials(self._at, self._long, desk.units)})
        self.gather = widgets.Dropdown(
            options=places_to_gather(desk.loadout), description="Gather the weight around", layout=SLIDE, style=STYLE
        )
        self.view.children = [
            self.gather, self.board.view, self.tie_points, self.groups, self.at_hand, self.turn,
        ]  # fmt: skip

    def _moved(self, dial: Dial, si: float) -> None:
        at = self._at | {dial.key: dial.scale.value(si)}
        if at["fore"] > at["rear"]:
            raise BadValue(
                dial.label, dial.text(at[dial.key]), "leaves no place for the load's center",
                "the first of the two must be ahead of the second",
            )  # fmt: skip
        self._at = at

    @property
    def time_s(self) -> float:
        """How long to look at most [s]."""
        return self._at["time"]

    def rules(self) -> LayoutRules:
        """What the controls say."""
        desk = self.arranger.desk
        if desk.loadout.carrier is None:
            return LayoutRules()
        return rules_of(
            desk.loadout, desk.units, span=(self._at["fore"], self._at["rear"]), whole=(0.0, self._long),
            balance=self._at["balance"], tie_points=self.tie_points.value, groups=self.groups.value,
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


def rule_dials(at: dict[str, float], long: float, units: Units) -> list[Dial]:
    """Dials for where the load's center may be, and for how long to look.

    at : where each stands, in the reader's unit. long : the roof rack, from its front edge [the reader's unit].
    """
    scale = units.scale("length")
    step = 1.0 if scale.unit == "in" else 20.0

    def dial(key: str, label: str, high: float, step: float) -> Dial:
        return Dial(
            key=key, label=label, scale=scale, value=at[key], low=0.0, high=high, step=step,
            read=reader("length", label, units),
        )  # fmt: skip

    return [
        dial("fore", "Load's center at least so far behind the roof rack's front edge", long, step),
        dial("rear", "Load's center at most so far behind the roof rack's front edge", long, step),
        dial("balance", "Load's center within so far of the center line", scale.value(0.254), step / 4),
        bare_dial("time", "Look for at most", "s", at["time"], (1.0, 120.0)),
    ]


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
            arranger.start(controls.rules(), controls.time_s)
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
