"""The trailer: what it weighs as it is loaded, and what its plate allows."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import ipywidgets as widgets

from loadcalc.model import Limit, Trailer
from loadcalc.model.limits import RATINGS, TRAILER_LIMITS
from loadcalc.model.quantities import Units
from loadcalc.season import Season
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.measure import Measure, Read, choice, mass, table_of, words


def _put(field: str) -> Callable[[Season, Any], None]:
    return lambda season, value: season.set_trailer(**{field: value})


def _mass_row(field: str, name: str, where: str, read: Read = mass) -> Measure:
    def show(trailer: Trailer, units: Units) -> str:
        kg = getattr(trailer, field)
        return "" if kg is None else units.mass(kg)

    return Measure(key=field, name=name, show=show, read=read, put=_put(field), where=where)


def _mass_or_unknown(text: str, units: Units, name: str) -> float | None:
    return None if text.strip() in ("", "?") else mass(text, units, name)


def _axles(text: str, units: Units, name: str) -> int:
    return int(choice(("1", "2"))(text, units, name))


def _yes(text: str, units: Units, name: str) -> bool:
    return bool(choice(("yes", "no"))(text, units, name) == "yes")


def _limit_row(key: str) -> Measure:
    def show(trailer: Trailer, units: Units) -> str:
        kg = trailer.limit(key).limit_kg
        return "" if kg is None else units.mass(kg)

    def put(season: Season, value: float | None) -> None:
        now = season.trailer.limit(key) if season.trailer else Limit()
        season.set_limit(key, Limit(limit_kg=value, read_at=now.read_at or "trailer's plate"))

    kind = RATINGS[key]
    return Measure(key=key, name=kind.name, show=show, read=_mass_or_unknown, put=put, where=kind.where)


# fmt: off
TRAILER = [
    Measure(
        key="name",
        name="What you call it",
        show=lambda trailer, units: trailer.name,
        read=words,
        put=_put("name"),
    ),
    _mass_row("mass_kg", "Its mass as it is loaded", "A weighbridge: the trailer alone, unhitched."),
    _mass_row(
        "tongue_kg", "Its tongue weight, standing level", "A tongue scale, or a bathroom scale under a post."
    ),
    Measure(
        key="axles", name="How many axles", show=lambda trailer, units: str(trailer.axles),
        read=_axles, put=_put("axles"), where="1 or 2; a pair of axles close together is 2.",
    ),
    Measure(
        key="axles_share", name="Two axles: does a linkage make them share?", read=_yes, put=_put("axles_share"),
        show=lambda trailer, units: "yes" if trailer.axles_share else "no",
        where="Look underneath: springs joined by a rocking lever between the axles, or a beam that carries both, "
        "share alike. Rubber (torsion) axles, each bolted on by itself, don't. Not sure: no.",
    ),
    _mass_row(
        "front_axle_kg", "Two axles: the front one, weighed",
        "A weighbridge, hitched and level, one axle on the plate. Goes before the linkage.", _mass_or_unknown,
    ),
    _mass_row("rear_axle_kg", "Two axles: the rear one, weighed", "The same weighing.", _mass_or_unknown),
    *(_limit_row(key) for key in TRAILER_LIMITS),
]
# fmt: on


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
            place.children = [table_of(desk, "Trailer", TRAILER, lambda: desk.season.trailer, "36rem")]
        elif not there:
            button = widgets.Button(description="Enter a trailer", icon="plus")
            button.on_click(enter)
            place.children = [button]

    show()
    desk.records.append(show)
    return place
