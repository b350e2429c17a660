"""The trailer: what it weighs as it is loaded, and what its plate allows."""

from __future__ import annotations

from typing import Any

import ipywidgets as widgets

from loadcalc.model import Limit, Trailer
from loadcalc.model.quantities import Units
from loadcalc.model.vehicle import TRAILER_LIMITS
from loadcalc.season import Season
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.measure import Measure, mass, table_of, words
from workbook.panels.ratings.find_it import WHERE


def _mass_row(field: str, name: str, where: str) -> Measure:
    def put(season: Season, value: Any) -> None:
        season.set_trailer(**{field: value})

    def show(trailer: Trailer, units: Units) -> str:
        return units.mass(getattr(trailer, field))

    return Measure(key=field, name=name, show=show, read=mass, put=put, where=where)


def _limit_row(key: str) -> Measure:
    def show(trailer: Trailer, units: Units) -> str:
        kg = trailer.limit(key).limit_kg
        return "" if kg is None else units.mass(kg)

    def read(text: str, units: Units, name: str) -> float | None:
        return None if text.strip() in ("", "?") else mass(text, units, name)

    def put(season: Season, value: float | None) -> None:
        now = season.trailer.limit(key) if season.trailer else Limit()
        season.set_limit(key, Limit(limit_kg=value, read_at=now.read_at or "trailer's plate"))

    return Measure(key=key, name=TRAILER_LIMITS[key], show=show, read=read, put=put, where=WHERE[key])


TRAILER = [
    Measure(
        key="name",
        name="What you call it",
        show=lambda trailer, units: trailer.name,
        read=words,
        put=lambda season, value: season.set_trailer(name=value),
    ),
    _mass_row("mass_kg", "Its mass as it is loaded", "A weighbridge: the trailer alone, unhitched."),
    _mass_row(
        "tongue_kg", "Its tongue weight, standing level", "A tongue scale, or a bathroom scale under a post."
    ),
    *(_limit_row(key) for key in TRAILER_LIMITS),
]


def trailer_table(desk: Desk) -> widgets.Widget:
    """The editable table of the trailer; a button that enters one when the season has none."""
    place = widgets.VBox()

    def enter(_: object) -> None:
        desk.keep_now()
        desk.do(
            lambda: desk.season.set_trailer(name="Trailer", mass_kg=0.0, tongue_kg=0.0), "Trailer: entered"
        )

    def show() -> None:
        there = desk.season.trailer is not None
        if there and not (place.children and hasattr(place.children[0], "rows")):
            place.children = [table_of(desk, "Trailer", TRAILER, lambda: desk.season.trailer, "14rem")]
        elif not there:
            button = widgets.Button(description="Enter a trailer", icon="plus")
            button.on_click(enter)
            place.children = [button]

    show()
    desk.records.append(show)
    return place
