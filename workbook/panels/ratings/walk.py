"""The first evening: what labels, handbook, and scale say of a vehicle, in the order of a walk around it."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from loadcalc.model import BadValue, Limit, Tire
from loadcalc.model.body_styles import BODY_STYLES
from loadcalc.model.limits import RATINGS
from loadcalc.model.quantities import Units, read_count
from loadcalc.season import Season
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.edits import apply_edits
from workbook.panels.desk.fixed_table import fixed_table
from workbook.panels.desk.measure import Read, choice, length, mass, pressure, volume
from workbook.panels.ratings.carrier import put_rack_mass
from workbook.panels.ratings.find_it import VEHICLE_WHERE
from workbook.panels.ratings.measures import put_curb, put_wheelbase
from workbook.widgets.table.table import Column, Edit, EditTable, Refusal

DOOR, PLACARD, BOOK, SHEET = "driver's door jamb label", "tire placard", "owner's handbook", "rack maker's sheet"
SIZE = re.compile(r"(LT|P)?\s*\d{2,3}(?:/\d{2,3})?\s*[A-Z]{0,2}\s*R?\s*\d{2}(?:\.5)?\s*(C|LT)?[\s,]+(\d{2,3})", re.I)
COLUMNS = [
    Column(key="ask", title="On the walk around it", kind="read-only", width="17em"),
    Column(
        key="value", title="What it says", kind="text", width="11em", hint="Skip what you can't find: it is not known.",
    ),
    Column(key="gives", title="What it gives", kind="read-only", width="15em"),
    Column(key="where", title="Where it stands", kind="read-only", width="30em"),
]  # fmt: skip
BEHIND = [f"{row} {side}" for row in ("second row", "third row") for side in ("left", "center", "right")]
SEATS = ("front left", "front right", *BEHIND)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """One question of the walk: how its answer is shown, read, and kept, and what it gives."""

    key: str
    name: str
    show: Callable[[Season, Units], str]
    read: Read
    put: Callable[[Season, Any], None]
    gives: str
    where: str


def _limit(key: str, read_at: str) -> Ask:
    def show(season: Season, units: Units) -> str:
        kg = _entered(season, key).limit_kg
        return "" if kg is None else units.mass(kg)

    def put(season: Season, kg: float) -> None:
        season.set_limit(key, Limit(limit_kg=kg, read_at=_entered(season, key).read_at or read_at))

    kind = RATINGS[key]
    return Ask(
        key=key, name=kind.name, show=show, read=mass, put=put, gives="Its own rating is judged.", where=kind.where
    )


def _entered(season: Season, key: str) -> Limit:
    fields = season.present.get("limit", key) or {}
    return Limit(limit_kg=fields.get("limit_kg"), read_at=fields.get("read_at", ""))


def _own(field: str, name: str, shown: Callable[[Units, Any], str], read: Read, gives: str, where: str) -> Ask:
    def show(season: Season, units: Units) -> str:
        value = season.fields("vehicle", "vehicle").get(field)
        return "" if value is None else shown(units, value)

    puts: dict[str, Callable[[Season, Any], None]] = {"curb_kg": put_curb, "wheelbase_m": put_wheelbase}
    put = puts.get(field, lambda season, value: season.set_vehicle(field, value))
    return Ask(key=field, name=name, show=show, read=read, put=put, gives=gives, where=where)


def read_size_line(text: str, units: Units, name: str) -> Tire:
    """What a tire's size line says: its load index, and whether it is a light truck's.

    Raises
    ------
    BadValue for a line without a load index.

    >>> from loadcalc.model.quantities import US
    >>> tire = read_size_line("LT265/70R17 121/118S", US, "tires")
    >>> tire.load_index, tire.marking
    (121, 'light truck')
    """
    found = SIZE.search(text)
    if found is None:
        raise BadValue(name, text, "has no load index", "write the whole line, like 265/70R17 115T")
    truck = "LT" in (found[1] or "").upper() or bool(found[2])
    return Tire(load_index=int(found[3]), marking="light truck" if truck else "passenger", read_at="sidewall")


def _show_tires(season: Season, units: Units) -> str:
    index = season.vehicle.front_tire.load_index
    return "" if index is None else f"{index}, {season.vehicle.front_tire.marking}"


def _put_tires(season: Season, tire: Tire) -> None:
    for axle in ("front", "rear"):
        now = getattr(season.vehicle, f"{axle}_tire")
        season.set_tire(axle, replace(now, load_index=tire.load_index, marking=tire.marking, read_at=tire.read_at))


def _cold(axle: str) -> Ask:
    def show(season: Season, units: Units) -> str:
        kpa = getattr(season.vehicle, f"{axle}_tire").placard_kpa
        return "" if kpa is None else units.scale("pressure").text(kpa)

    def put(season: Season, kpa: float | None) -> None:
        season.set_tire(axle, replace(getattr(season.vehicle, f"{axle}_tire"), placard_kpa=kpa))

    return Ask(
        key=f"{axle}_kpa", name=f"{axle.capitalize()} tires, cold pressure", show=show, read=pressure, put=put,
        gives="Its tires are judged at this pressure.", where="Tire placard on the driver's door jamb.",
    )  # fmt: skip


def _show_seats(season: Season, units: Units) -> str:
    return "" if season.vehicle.not_known("seats") else str(len(season.vehicle.seats))


def _put_seats(season: Season, count: int) -> None:
    """As many usual seats as that: those further back go, or come."""
    seats = season.vehicle.seats
    for seat in seats[count:]:
        season.remove("seat", seat.name)
    taken = {seat.spot for seat in seats}
    free = [spot for spot in SEATS if spot not in taken]
    for spot in free[: max(count - len(seats), 0)]:
        season.add("seat", name=spot.capitalize(), spot=spot)
    season.set_vehicle("seats_from", PLACARD)


def _driver(season: Season) -> Any:
    first = season.vehicle.seats[0].name if season.vehicle.seats else ""
    return next((who for who in season.people if who.seat == first), None)


def _show_driver(season: Season, units: Units) -> str:
    driver = _driver(season)
    return "" if driver is None else units.mass(driver.mass_kg)


def _put_driver(season: Season, mass_kg: float) -> None:
    """Enter the driver, who comes along on every departure that nobody is on yet."""
    driver = _driver(season)
    if driver is not None:
        season.set_occupant(driver.key, mass_kg=mass_kg)
        return
    seat = season.vehicle.seats[0].name
    season.add("occupant", name="Driver", mass_kg=mass_kg, kind="person", seat=seat)
    for loadout in season.loadout_names:
        if not season.loadout(loadout).people:
            season.ride(loadout, "Driver", seat)


def _show_rack(season: Season, units: Units) -> str:
    return "" if season.carrier is None else units.mass(season.carrier.mass_kg)


WALK = (
    _own("body_style", "Style of its body", lambda u, v: str(v), choice(BODY_STYLES[1:]),
         "Width, tracks, and places are assumed from it.", f"One of: {', '.join(BODY_STYLES[1:])}."),
    _limit("gross", DOOR),
    _limit("front_axle", DOOR),
    _limit("rear_axle", DOOR),
    _limit("placard", PLACARD),
    Ask(key="seats", name="Seats", show=_show_seats, put=_put_seats, gives="Seats are counted.",
        read=lambda text, units, name: int(read_count(text, field=name, low=1, high=len(SEATS))),
        where="Tire placard: “seating capacity, total”; or count the belts."),
    _cold("front"),
    _cold("rear"),
    Ask(key="tires", name="Tires, the size line", show=_show_tires, read=read_size_line, put=_put_tires,
        gives="Each tire gets a limit.", where="Sidewall, all of it: 265/70R17 115T. Taken for front and rear."),
    Ask(key="driver", name="Driver, as dressed", show=_show_driver, put=_put_driver,
        read=lambda text, units, name: mass(text, units, name, high_kg=300.0),
        gives="Somebody counts; the others are on page 02.", where="A bathroom scale, with boots and full pockets."),
    Ask(key="rack", name="Roof rack, its own mass", show=_show_rack, put=put_rack_mass,
        read=lambda text, units, name: mass(text, units, name, high_kg=500.0),
        gives="It counts on the roof and on the placard.", where="The rack maker's sheet. No rack: leave it empty."),
    _limit("carrier_road", SHEET),
    _limit("roof_road", BOOK),
    _own("curb_kg", "Curb mass", lambda u, v: u.mass(v), mass,
         "GVWR, axles, and tires: no longer assumed from the labels.", VEHICLE_WHERE["curb_kg"]),
    _own("wheelbase_m", "Wheelbase", lambda u, v: u.length(v), length,
         "Axles and tires are judged at all.", "Handbook; or hub center to hub center with a tape."),
    _own("tank_capacity_l", "Fuel tank holds", lambda u, v: u.volume(v), volume,
         "What the fuel adds is no longer assumed.", "Handbook, under capacities."),
)  # fmt: skip
MOST_NUMBERS = 15


def walk_rows(season: Season, units: Units) -> tuple[list[dict[str, Any]], list[str]]:
    """What the table of the walk shows, and the keys of its rows: only what was entered, nothing that is assumed.

    season : whose vehicle it is. units : the reader's.
    """
    rows = [{"ask": a.name, "value": a.show(season, units), "gives": a.gives, "where": a.where} for a in WALK]
    return rows, [ask.key for ask in WALK]


def walk_table(desk: Desk) -> EditTable:
    """The table of the walk: one answer a row, each kept at once; the answer beside it sharpens."""
    asks = {ask.key: ask for ask in WALK}

    def one(edit: Edit) -> None:
        ask = asks[edit.row_key]
        if str(edit.text).strip() in ("", "?"):
            cure = "take it back with Undo at the head of the page"
            raise BadValue(ask.name.lower(), "", "can't be emptied here", cure)
        ask.put(desk.season, ask.read(str(edit.text), desk.units, ask.name.lower()))

    def on_edit(edits: list[Edit]) -> list[Refusal]:
        first = f"{asks[edits[0].row_key].name}: {edits[0].text}"
        return apply_edits(desk, edits, first if len(edits) == 1 else f"{len(edits)} answers of the walk", one)

    return fixed_table(
        desk, "The walk around the vehicle", columns=lambda: COLUMNS, rows=lambda: walk_rows(desk.season, desk.units),
        on_edit=on_edit, height="34rem",
    )  # fmt: skip
