"""Read what happened before the ledger began: events.csv and trips.csv beside the other text tables.

`events.csv` has a line for each event: item, date, kind, and what else an event has (mass_lb, resolution_lb, scale,
count, method, who, until, note). `trips.csv` has name, date, until, distance_mi, packing_min, note, and either a
`loadout` of the season or `people`; what was carried, used, and broken are names with semicolons between, a number
before the name for several: `2 Loppers; Chainsaw`. A liquid's line reads `Water can 1: 5 to 1.2 gal`.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from loadcalc.model import check
from loadcalc.model.errors import BadValue, LoadcalcError
from loadcalc.model.quantities import MOST_PIECES
from loadcalc.season.edit import records
from loadcalc.season.edit.diary import Poured, Took, poured_text, took_text
from loadcalc.season.edit.store import Season
from loadcalc.season.story.events import record_event
from loadcalc.season.story.trips import record_paper_trip, record_trip
from loadcalc.season.tables.cells import read_number, si
from loadcalc.season.tables.columns import TO_SI
from loadcalc.season.tables.hand_files import csv_rows

EVENTS, TRIPS = "events.csv", "trips.csv"
LISTS = ("people", "carried", "used", "broken", "poured")


def read_happened(season: Season, folder: Path) -> None:
    """Put events.csv and trips.csv of `folder`, where they are there, into the open entry of `season`.

    Parameters
    ----------
    season : what the names in the tables belong to. folder : of text tables.

    Raises BadValue, naming file and row, for what can't be used.
    """
    for name, read in ((EVENTS, _event), (TRIPS, _trip)):
        if not (folder / name).is_file():
            continue
        for row, cells in csv_rows(folder / name, need="item" if name == EVENTS else "name"):
            try:
                read(season, {column: cell for column, cell in cells.items() if cell})
            except BadValue as error:
                raise error.at(", ".join(filter(None, (f"{name} row {row}", error.where)))) from error
            except LoadcalcError as error:
                raise BadValue("row", row, str(error), "correct the spelling, or add it", name) from error


def _event(season: Season, cells: Mapping[str, str]) -> None:
    fields = dict(si("event", column, cell, f"column {column}") for column, cell in cells.items())
    item, kind, date = (records.need(fields, name) for name in ("item", "kind", "date"))
    rest = {name: value for name, value in fields.items() if name not in ("item", "kind", "date")}
    record_event(season, item, kind, check.day("date", date), **rest)


def _trip(season: Season, cells: Mapping[str, str]) -> None:
    plain = {column: cell for column, cell in cells.items() if column not in LISTS}
    fields = dict(si("trip", column, cell, f"column {column}") for column, cell in plain.items())
    name, date = records.need(fields, "name"), check.day("date", records.need(fields, "date"))
    loadout = fields.get("loadout")
    rest = {field: value for field, value in fields.items() if field not in ("name", "date", "loadout")}
    used, broken = (_pieces(cells.get(column, "")) for column in ("used", "broken"))
    if loadout:
        back = {which: back_l for which, (_, back_l) in _liters(cells.get("poured", "")).items()}
        record_trip(season, name, date, loadout, used=used, broken=broken, back_l=back, **rest)
        return
    carried = {
        season.find("item", which): count for which, count in _pieces(cells.get("carried", "")).items()
    }
    took = [
        Took(key, count, *(said.get(key, 0) for said in (_keyed(season, used), _keyed(season, broken))))
        for key, count in carried.items()
    ]
    poured = [
        Poured(season.find("liquid", which), *liters)
        for which, liters in _liters(cells.get("poured", "")).items()
    ]
    people = " ".join(season.find("occupant", who) for who in _parts(cells.get("people", "")))
    masses = {item.key: item.mass_kg for item in season.gear}
    record_paper_trip(
        season, name, date, people=people, carried=took_text(took), poured=poured_text(poured),
        gear_kg=sum(masses.get(key, 0.0) * count for key, count in carried.items()), **rest,
    )  # fmt: skip


def _keyed(season: Season, counts: Mapping[str, int]) -> dict[str, int]:
    return {season.find("item", which): count for which, count in counts.items()}


def _parts(cell: str) -> list[str]:
    return [part.strip() for part in cell.split(";") if part.strip()]


def _pieces(cell: str) -> dict[str, int]:
    """Names with how many of each: "2 Loppers; Chainsaw"."""
    found = {}
    for part in _parts(cell):
        number, _, name = part.partition(" ")
        counted = number.isdecimal() and len(number) <= len(str(MOST_PIECES))
        found[name.strip() if counted else part] = int(number) if counted else 1
    return found


def _liters(cell: str) -> dict[str, tuple[float, float]]:
    """Containers with what was in them on leaving and on return [L]: "Water can 1: 5 to 1.2 gal"."""
    found = {}
    for part in _parts(cell):
        name, _, amounts = part.rpartition(":")
        words = amounts.split()
        if len(words) != 4 or words[1] != "to" or words[3] not in TO_SI or TO_SI[words[3]][0] != "l":
            raise BadValue("poured", part, "can't be read", "write it as Water can 1: 5 to 1.2 gal")
        left, back = (read_number("poured", word, where=name) * TO_SI[words[3]][1] for word in words[::2])
        found[name.strip()] = (left, back)
    return found
