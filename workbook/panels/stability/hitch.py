"""The hitch panel: what hangs behind the rear axle does to the axles, and what may still be towed."""

from __future__ import annotations

import ipywidgets as widgets

from loadcalc.model.errors import BadValue
from workbook.panels.desk.board import DialBoard
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.dials import bare_dial
from workbook.panels.desk.findings_words import about
from workbook.panels.desk.frame import html_table, lines, marked_lines, with_formulas
from workbook.panels.stability.hitch_words import (
    CAUTION,
    LEVER_HEADS,
    RATING_HEADS,
    ROOM_HEADS,
    lever_rows,
    lever_sentence,
    rating_rows,
    room_rows,
    room_sentence,
    share_sentence,
    start_share,
    trailer_words,
)
from workbook.panels.stability.stability import Tilt


@with_formulas("lever_on_axles", "tongue_share", "tongue_verdict", "trailer_axle_kg", "pull_on_grade")
def hitch_view(desk: Desk, tilt: Tilt) -> widgets.Widget:
    """Trailer and hitch in words, the lever on the axles, the ratings, and the room left by each of them."""
    at = round(100 * start_share(desk.season.trailer))
    share = bare_dial("share", "Share of a trailer on its tongue", "%", at, (5.0, 25.0))
    board = DialBoard(lambda _, percent: show_room(percent / 100))
    said, levers, ratings, room, rooms = (widgets.HTML() for _ in range(5))

    def show_room(part: float) -> None:
        nonlocal at
        at = round(100 * part)
        room.value = lines(room_sentence(desk.report, desk.units, part))
        try:
            found = room_rows(desk.report, desk.units, part)
        except BadValue:  # without a hitch; the sentence above says so
            found = []
        rooms.value = html_table(ROOM_HEADS, found, numbers=(1, 2)) if found else ""

    def show() -> None:
        found_said = about(desk.report, desk.units, "hitch")
        text = (found_said, trailer_words(desk.report, desk.units), lever_sentence(desk.report, desk.units))
        said.value = marked_lines("\n".join(filter(None, text)))
        rows = lever_rows(desk.report, desk.units, tilt.lean.nose_up_deg)
        levers.value = html_table(LEVER_HEADS, rows, numbers=(1, 2, 3, 4)) if rows else ""
        found = rating_rows(desk.report, desk.units)
        ratings.value = html_table(RATING_HEADS, found, numbers=(1, 2, 3)) if found else ""
        show_room(at / 100)

    show()
    board.show({"": [share]})
    desk.at_rest.append(show)
    tilt.heard.append(show)
    caution = widgets.HTML(lines(f"{share_sentence()}\n{CAUTION}"))
    return widgets.VBox([said, levers, ratings, board.view, room, rooms, caution])
