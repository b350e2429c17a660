"""The bars under the roof platform: a picture from above, a table, and how uneven it is."""

from __future__ import annotations

import ipywidgets as widgets

from loadcalc.checks.ratings.carried import bar_loads
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.frame import html_table, lines, with_formulas
from workbook.panels.desk.palette import MARKS
from workbook.panels.roof import bars_words as mount_words
from workbook.panels.roof.bars_figure import bars_svg

HEADS = ("Bar", "Carries", "If it bends / is stiff", "Its limit", "Used", "Left foot", "Right foot")


def bars_words(desk: Desk) -> str:
    """What the bars carry, in words."""
    return mount_words.unjudged(desk.loadout) or mount_words.spread(bar_loads(desk.report), desk.units)


@with_formulas("bar_shares", "beam_shares", "stiff_shares", "foot_loads_kg")
def bars_panel(desk: Desk) -> widgets.Widget:
    """Load of each bar and foot against their makers' limits, live."""
    view = widgets.HTML()

    def show() -> None:
        view.value = bars_html(desk)

    show()
    desk.at_rest.append(show)
    return view


def bars_html(desk: Desk) -> str:
    """What the panel shows."""
    why, carrier = mount_words.unjudged(desk.loadout), desk.loadout.carrier
    if why or carrier is None:
        return lines(f"{MARKS['not known']} {why}")
    found = bar_loads(desk.report)
    sleepers = [who.name for who in desk.loadout.people if who.sleeps_on_roof]
    notes = [mount_words.IDEAS] if len(found) > 2 else []
    if sleepers:
        notes.append(
            f"While moving; {', '.join(sleepers)} asleep up there count for the parked ratings only."
        )
    table = html_table(HEADS, mount_words.bar_rows(found, desk.units), numbers=(1, 2, 3, 4, 5, 6))
    picture = bars_svg(desk.report, carrier, desk.units)
    said = lines(mount_words.spread(found, desk.units))
    return said + picture + table + (lines(" ".join(notes)) if notes else "")
