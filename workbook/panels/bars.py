"""The bars under the carrier: a picture from above, a table, and how uneven it is."""

from __future__ import annotations

import ipywidgets as widgets

from loadcalc.checks.mounts.bars import BarLoad, bar_loads, loads_on_carrier
from loadcalc.model import Loadout
from loadcalc.model.errors import BadValue
from workbook.figures.bars import bars_svg
from workbook.figures.palette import MARKS
from workbook.panels.desk import Desk
from workbook.panels.frame import html_table, lines, with_formulas
from workbook.words import mounts as mount_words

HEADS = ("Bar", "Carries", "Bends / stiff", "Its limit", "Used", "Left foot", "Right foot")


def found_bars(loadout: Loadout) -> tuple[tuple[BarLoad, ...], str]:
    """The bars with their loads; or none, and why."""
    if loadout.carrier is None:
        return (), "The carrier is off the vehicle."
    try:
        found = bar_loads(loadout.carrier, loads_on_carrier(loadout))
    except BadValue as error:
        return (), mount_words.ONE_BAR if len(loadout.carrier.bars) == 1 else f"Not judged: {error}."
    return found, "" if found else mount_words.NO_BARS


def bars_words(desk: Desk) -> str:
    """What the bars carry, in words."""
    found, why = found_bars(desk.loadout)
    return why or mount_words.summary(found, desk.units)


@with_formulas("bar_shares", "beam_shares", "stiff_shares", "foot_loads_kg")
def bars_panel(desk: Desk) -> widgets.Widget:
    """Load of each bar and foot against their makers' limits, live."""
    view = widgets.HTML()

    def show() -> None:
        view.value = bars_html(desk)

    show()
    desk.numbers.append(show)
    return view


def bars_html(desk: Desk) -> str:
    """What the panel shows."""
    found, why = found_bars(desk.loadout)
    carrier = desk.loadout.carrier
    if why or carrier is None:
        return lines(f"{MARKS['not known']} {why}")
    over = any(carried.over for carried in mount_words.parts(found))
    picture = bars_svg(carrier, found, loads_on_carrier(desk.loadout), desk.units)
    said = lines(mount_words.summary(found, desk.units), alarm=over)
    sleepers = [who.name for who in desk.loadout.people if who.sleeps_on_roof]
    notes = [mount_words.IDEAS] if len(found) > 2 else []
    if sleepers:
        notes.append(
            f"While moving; {', '.join(sleepers)} asleep up there count for the parked ratings only."
        )
    table = html_table(HEADS, mount_words.bar_rows(found, desk.units), numbers=(1, 2, 3, 4, 5, 6))
    return said + picture + table + (lines(" ".join(notes)) if notes else "")
