"""How sure each rating is, the joint chance, what to weigh first, and the ± that nobody entered, by slider."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from dataclasses import replace

import ipywidgets as widgets

from loadcalc.checks.weighing.doubts import SHARE_BY_HOW_KNOWN
from loadcalc.model import Vehicle
from loadcalc.model.quantities import Units, UnitScale
from loadcalc.plan.assumed import NO_SOURCE, Assumed, density_share
from loadcalc.plan.doubt import Doubt
from loadcalc.plan.draws import Drawing, draw
from workbook.panels.desk.board import DialBoard
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.dials import Dial, Read, reader
from workbook.panels.desk.forms import on_choice, refill
from workbook.panels.desk.frame import html_table, lines, with_formulas
from workbook.panels.desk.measure import percent
from workbook.panels.what_if.doubt_figure import doubt_svg
from workbook.panels.what_if.doubt_words import (
    doubt_rows,
    doubt_words,
    first_rows,
    most_in_doubt,
    named_rating,
    shown,
)

MORE = 10_000_000
AT_ONCE = 200_000  # draws between two looks at the Stop button: some hundredths of a second
PERCENT = UnitScale(unit="%", si_per_unit=0.01, most_decimals=1, grouping="")
SLIDERS = {  # field: what it says, quantity, high end [SI]
    "curb_share": ("Empty vehicle, ±", "share", 0.05),
    "person_kg": ("Each person, ±", "mass", 12.0),
    "scale_share": ("The crew's scale, all alike, ±", "share", 0.05),
    "in_zone_share": ("An item from its zone's middle, ±", "share", 0.5),
    "gauge_share": ("Fuel gauge, ± of the tank", "share", 0.25),
}
WORDS = {
    "animal_share": "an animal's mass", "carrier_share": "the roof rack's or platform's mass",
    "curb_share": "the curb mass",
    "curb_aft_m": "its center, fore and aft", "curb_left_m": "its center, sideways",
    "person_kg": "each person as dressed",
    "scale_share": "all that the crew's scale weighed, alike", "container_share": "an empty container's mass",
    "fill_share": "how full a container is, of what it holds", "gauge_share": "the fuel gauge, of the tank",
    "trailer_share": "the trailer's mass", "tongue_share": "its tongue weight",
    "in_zone_share": "where in its zone an item lies, of the zone's length and width",
    "zone_m": "where the zone's middle is", "own_place_m": "an item's own entered place",
    "seat_m": "where a person's weight acts, or the tank's, or the roof rack's",
}  # fmt: skip


def entered(vehicle: Vehicle) -> set[str]:
    """The assumptions that nothing rests on, because the record says it."""
    return {"curb_share"} if vehicle.curb_plus_minus_kg else set()


def assumed_dials(assumed: Assumed, vehicle: Vehicle, units: Units) -> list[Dial]:
    """Sliders for the ± that matter most and that no record holds."""
    made = []
    for field, (label, quantity, high) in SLIDERS.items():
        if field in entered(vehicle):
            continue
        scale = PERCENT if quantity == "share" else units.scale(quantity)
        step = 0.1 if quantity == "share" and high < 0.2 else 1.0
        made.append(
            Dial(
                key=field, label=label, scale=scale, value=scale.value(getattr(assumed, field)), low=0.0,
                high=float(round(scale.value(high))), step=0.5 if quantity == "mass" else step,
                read=_reader(quantity, label, units),
            )
        )  # fmt: skip
    return made


def _reader(quantity: str, label: str, units: Units) -> Read:
    if quantity == "share":
        return lambda text: percent(text, units, label)
    return reader(quantity, label, units)


def assumed_rows(assumed: Assumed, vehicle: Vehicle, units: Units) -> list[tuple[str, ...]]:
    """Every assumed ± with its status."""
    rows: list[tuple[str, ...]] = [
        (f"an item, {'from a label' if known == 'label' else known}", f"± {PERCENT.number(share)}%", NO_SOURCE)
        for known, share in SHARE_BY_HOW_KNOWN.items()
    ]
    for field, words in WORDS.items():
        if field in entered(vehicle):
            continue
        value = getattr(assumed, field)
        shown_ = (
            f"{PERCENT.number(value)}%"
            if field.endswith("_share")
            else units.mass(value)
            if field.endswith("_kg")
            else units.length(value)
        )
        rows.append((words, f"± {shown_}", NO_SOURCE))
    for kind in ("water", "gasoline", "diesel", "oil"):
        share, status = density_share(kind)
        rows.append((f"density of {kind}", f"± {PERCENT.number(share)}%", status))
    return rows


class DoubtPanel:
    """How sure what the desk shows is, kept up to date; more trials run beside it and can be stopped."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.assumed = Assumed()
        self.drawing: Drawing
        self._task: asyncio.Task[None] | None = None
        self.words, self.picture, self.first, self.table, self.assumptions = (
            widgets.HTML() for _ in range(5)
        )
        self.rating = widgets.Dropdown(
            description="To be surer of", layout=widgets.Layout(width="480px", max_width="calc(100% - 4px)"),
            style={"description_width": "7rem"},
        )  # fmt: skip
        self.more = widgets.Button(
            description="Run more trials", icon="random", layout=widgets.Layout(width="auto")
        )
        self.stop = widgets.Button(description="Stop", icon="stop", disabled=True)
        self.progress = widgets.IntProgress(
            min=0, max=100, layout=widgets.Layout(width="240px", visibility="hidden")
        )
        self.sliders = DialBoard(self.moved)
        on_choice(self.rating, self.show_first)
        self.more.on_click(lambda _: self.start())
        self.stop.on_click(lambda _: self.end())
        self.renew()
        self.make_sliders()
        desk.at_rest.append(self.renew)
        desk.records.append(self.make_sliders)

    @property
    def view(self) -> widgets.Widget:
        """The whole panel."""
        told = widgets.Accordion(
            [self.table, self.assumptions],
            titles=("Every number behind the bars", "What is assumed where nobody entered a ±"),
        )
        buttons = widgets.HBox(
            [self.more, self.stop, self.progress], layout=widgets.Layout(flex_flow="row wrap")
        )
        parts = [self.words, self.picture, buttons, self.rating, self.first, self.sliders.view, told]
        return widgets.VBox(parts)

    def make_sliders(self) -> None:
        """Show the sliders in the reader's units."""
        dials = assumed_dials(self.assumed, self.desk.vehicle, self.desk.units)
        self.sliders.show({"What if the ± that nobody entered were larger, or smaller?": dials})

    def moved(self, dial: Dial, si: float) -> None:
        """Assume another ±."""
        if not dial.scale.same_entry(si, getattr(self.assumed, dial.key)):
            self.assumed = replace(self.assumed, **{dial.key: si})
            self.renew()

    def renew(self) -> None:
        """Work out anew how sure what is shown is, with as many trials as take no time."""
        self.end()
        self._task = None  # it draws from what was shown before, so its end concerns nobody
        self.idle()
        self.drawing = draw(Doubt(self.desk.report.shares, self.assumed))
        self.show()

    def show(self) -> None:
        """Bring everything to the drawing."""
        report, units = self.desk.report, self.desk.units
        found = shown(self.drawing, report)
        self.words.value = lines(doubt_words(self.drawing, report, units), alarm=bool(report.over))
        self.picture.value = doubt_svg(found, units)
        heads = ("Rating", "As entered", "Nine in ten between", "Limit", "Chance of being over", "Found by")
        self.table.value = html_table(heads, doubt_rows(self.drawing, report, units), numbers=(1, 2, 3, 4))
        rows = assumed_rows(self.assumed, self.desk.vehicle, units)
        self.assumptions.value = html_table(("Assumed ± of", "How far off", "Status"), rows)
        options = [(told.name, told.key) for told in found]
        refill(self.rating, options, default=most_in_doubt(self.drawing, report))
        self.show_first()

    def show_first(self) -> None:
        """What to weigh first for the chosen rating."""
        if self.rating.value is None:
            self.first.value = lines("No limit is known, so nothing needs weighing for it.")
            return
        doubt, units = self.drawing.doubt, self.desk.units
        name = named_rating(doubt, self.rating.value)
        rows = first_rows(doubt, self.rating.value, units)
        if not rows:
            self.first.value = lines(f"Weighing anything more would not make {name} surer.")
            return
        heads = (
            "Weigh first",
            f"For {name}",
            "Its ± there",
            "Taken off the margin of error",
            "Part of the whole",
            "From",
        )
        self.first.value = html_table(heads, rows, numbers=(2, 3, 4))

    def start(self) -> None:
        """Run many more trials, with progress and a Stop that works."""
        if self._task is None:
            self.stop.disabled, self.more.disabled = False, True
            self.progress.layout.visibility = "visible"
            self._task = asyncio.get_running_loop().create_task(self.run(self.drawing, MORE))

    async def run(self, drawing: Drawing, draws: int, shown_to: Callable[[int], None] | None = None) -> None:
        """Add draws in short turns, so that a press of Stop is heard between two of them."""
        done = 0
        try:
            while done < draws:
                drawing.add(AT_ONCE)
                done += AT_ONCE
                self.progress.value = round(100 * done / draws)
                if shown_to is not None:
                    shown_to(done)
                await asyncio.sleep(0.005)
        finally:
            if drawing is self.drawing:
                self._task = None
                self.idle()
                self.show()

    def end(self) -> None:
        """Stop drawing; what was drawn counts."""
        if self._task is not None:
            self._task.cancel()

    def idle(self) -> None:
        """Put the buttons back."""
        self.stop.disabled, self.more.disabled = True, False
        self.progress.layout.visibility = "hidden"
        self.progress.value = 0


@with_formulas("rectangular_u", "quadrature")
def doubt_panel(desk: Desk) -> widgets.Widget:
    """How sure the loadout that the page shows is."""
    return DoubtPanel(desk).view
