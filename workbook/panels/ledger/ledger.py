"""The ledger on the page: its entries, who writes, and a look back at the inventory of any day."""

from __future__ import annotations

import datetime
from collections.abc import Sequence

import ipywidgets as widgets

from loadcalc.model import check
from loadcalc.model.errors import LoadcalcError
from loadcalc.model.quantities import Units
from loadcalc.season.story.past import Owned, differences, inventory
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.forms import ROW, button, chooser, on_choice, quietly, refill, text_box
from workbook.panels.desk.frame import html_table, lines
from workbook.panels.ledger import ledger_words as say

SHOWN = 20
KINDS = ("event", "trip", "weigh-in", "edit", "import", "undo", "redo", "restore", "start")
HEADS = ("Entry", "When", "Who", "Kind", "What")


def _scrolling(view: widgets.Widget) -> widgets.Box:
    """A view in a box of its own that scrolls, also by keyboard."""
    return widgets.Box([view], layout={"max_height": "26rem", "overflow": "auto"}, tabbable=True)


def writer_box(desk: Desk) -> widgets.Widget:
    """The name that stands beside each entry from now on. No account: whoever writes types it."""
    box = text_box("Who writes", "your name", value=desk.season.writer, width="340px")
    hint = widgets.HTML()

    def show() -> None:
        with quietly(box):
            box.value = desk.season.writer
        hint.value = lines(
            f"From now on {desk.season.writer or 'nobody named'} stands beside each entry, on all pages."
        )

    def typed() -> None:
        name = box.value.strip()
        if name != desk.season.writer:
            desk.do(
                lambda: desk.season.set_setting(writer=name),
                f"Written by {name or 'the login name'} from here on",
            )

    show()
    on_choice(box, typed)
    desk.records.append(show)
    return widgets.HBox([box, hint], layout=ROW)


def entry_list(desk: Desk) -> widgets.Widget:
    """The entries, newest first, with a filter; and what one of them changed."""
    search, kind, number = (
        text_box("Find", "a name, a word, a day"),
        chooser("Kind", "240px"),
        chooser("Look into", "560px"),
    )
    table, detail = widgets.HTML(), widgets.HTML()
    most = SHOWN

    def show() -> None:
        narrowed = bool(search.value.strip() or kind.value)
        found = desk.season.entries(
            None if narrowed else most
        )  # a long ledger is read whole only to search it
        rows = say.entry_rows(found, most, search.value, kind.value or "")
        table.value = html_table(HEADS, rows, numbers=(0,)) + lines(
            f"{len(rows)} of {desk.season.version} entries shown."
        )
        refill(number, [("nothing", 0), *((f"{row[0]}: {row[4]}"[:80], int(row[0])) for row in rows)])
        look()

    def look() -> None:
        if not number.value:
            detail.value = ""
            return
        rows = say.change_rows(desk.season.changes(number.value), desk.season, desk.units)
        shown = rows[:200]
        rest = f"{len(rows) - len(shown)} more are not shown." if len(rows) > len(shown) else ""
        detail.value = html_table(("Thing", "Field", "Before", "After"), shown) + lines(rest)

    def more() -> None:
        nonlocal most
        most += 100
        show()

    refill(kind, [("every kind", ""), *((name, name) for name in KINDS)])
    show()
    for box in (search, kind):
        on_choice(box, show)
    on_choice(number, look)
    desk.records.append(show)
    return widgets.VBox([
        widgets.HBox([search, kind, button("Show older ones", more, "list")], layout=ROW),
        _scrolling(table), number, _scrolling(detail),
    ])  # fmt: skip


def inventory_rows(owned: Sequence[Owned], units: Units) -> list[tuple[str, str, str]]:
    """The inventory of a day as rows; what was put right by a later entry says so."""
    rows = []
    for line in owned:
        later = "written down later, or by the event's own date" if line.told_later else ""
        rows.append((line.name, say.owned_words(line, units), later))
    return rows


def look_back_words(day: datetime.date, then: Sequence[Owned], different: int, units: Units) -> str:
    """How much there was on a day, in a sentence."""
    here = [line for line in then if line.state not in ("lost", "retired")]
    total_kg = sum(line.mass_kg * line.count for line in here)
    away = [line.name for line in here if line.state == "lent"]
    lent = f" Lent: {', '.join(away)}." if away else ""
    return (
        f"At the end of {day}: {len(here)} lines of gear, {units.mass(total_kg)} together.{lent} "
        f"{different or 'No'} {'difference' if different == 1 else 'differences'} to now."
    )


def look_back(desk: Desk) -> widgets.Widget:
    """Choose a day: the inventory as it was at its end, and what differs from now."""
    day = text_box("As of", "2026-05-15", value=str(datetime.date.today()))
    said, differs, whole = widgets.HTML(), widgets.HTML(), widgets.HTML()

    def show() -> None:
        try:
            when = check.day("date", day.value)
            then, now = inventory(desk.season, when), inventory(desk.season)
        except LoadcalcError as error:
            said.value, differs.value, whole.value = lines(f"Not shown: {error}", alarm=True), "", ""
            return
        told = differences(then, now)
        said.value = lines(look_back_words(when, then, len(told), desk.units))
        rows = say.difference_rows(told, desk.units)
        differs.value = html_table(("Item", "What differs", "Then", "Now"), rows) if rows else ""
        whole.value = html_table(("Item", "Number and mass", ""), inventory_rows(then, desk.units))

    show()
    on_choice(day, show)
    desk.records.append(show)
    folded = widgets.Accordion(
        [_scrolling(whole)], titles=("The whole inventory of that day",)
    )
    return widgets.VBox([day, said, _scrolling(differs), folded])
