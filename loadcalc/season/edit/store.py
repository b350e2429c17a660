"""A season: vehicle, gear, people, and loadouts of a club's year, and every edit made to them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields as dataclass_fields
from typing import TYPE_CHECKING, Any

from loadcalc.model import Carrier, Item, Limit, Liquid, Loadout, Occupant, Tire, Trailer, Vehicle, Zone
from loadcalc.season.edit import diary, frames, records
from loadcalc.season.edit.aboard import Aboard
from loadcalc.season.edit.diary import Event, Trip
from loadcalc.season.file.fields import GONE
from loadcalc.season.file.present import Present

if TYPE_CHECKING:
    import pandas as pd


def _all(subject: str, build: Callable[..., Any]) -> Callable[[Present], tuple[Any, ...]]:
    return lambda present: tuple(build(key, fields) for key, fields in present.rows(subject))


class Season(Aboard):
    """An open season. Reading always shows the newest, whichever kernel wrote it; every edit is one entry.

    Things are named by key (items, people, liquids: `item.key`) or by name. Each editing method is an entry
    of its own, or part of the open one:

        with season.entry("Saws to the floor"):
            season.stow("Friday departure", "chainsaw", "Cargo floor left")
            season.stow("Friday departure", "crosscut-saw", "Cargo floor left")

    An edit whose result can't be true raises BadValue or NotFound and nothing is kept. An overload is kept:
    it is a result. Masses are in kg, measures in m, liquids in L.
    """

    @property
    def vehicle(self) -> Vehicle:
        """The vehicle with its limits."""
        found: Vehicle = self._once("vehicle", records.vehicle)
        return found

    @property
    def carrier(self) -> Carrier | None:
        """The carrier that is owned, or None; each loadout says whether it is on the vehicle."""
        found: Carrier | None = self._once("carrier", records.carrier)
        return found

    @property
    def trailer(self) -> Trailer | None:
        """The trailer that is owned, as it is loaded, or None; each loadout says whether it comes along."""
        found: Trailer | None = self._once("trailer", records.trailer)
        return found

    @property
    def zones(self) -> tuple[Zone, ...]:
        """The places things may ride in."""


        def build(present: Present) -> tuple[Zone, ...]:
            return tuple(records.zone(present, key, fields) for key, fields in present.rows("zone"))

        found: tuple[Zone, ...] = self._once("zones", build)
        return found

    @property
    def gear(self) -> tuple[Item, ...]:
        """Every item that is owned, what is lent included; not what is lost or retired."""

        def build(present: Present) -> tuple[Item, ...]:
            rows = present.rows("item")
            return tuple(records.item(key, fields) for key, fields in rows if fields.get("state") not in GONE)

        found: tuple[Item, ...] = self._once("gear", build)
        return found

    @property
    def people(self) -> tuple[Occupant, ...]:
        """Everyone who may come, each in the usual seat."""

        def build(present: Present) -> tuple[Occupant, ...]:
            return tuple(records.occupant(present, key) for key, _ in present.rows("occupant"))

        found: tuple[Occupant, ...] = self._once("people", build)
        return found

    @property
    def liquids(self) -> tuple[Liquid, ...]:
        """Every container of something to pour."""
        found: tuple[Liquid, ...] = self._once("liquids", _all("liquid", records.liquid))
        return found

    @property
    def loadouts(self) -> tuple[Loadout, ...]:
        """The loadouts by date, those without a date last."""
        return tuple(self.loadout_of(key) for key, _ in self._loadout_rows())

    @property
    def loadout_names(self) -> tuple[str, ...]:
        """The names of the loadouts in the same order, without building what they hold: there may be hundreds."""
        return tuple(str(fields.get("name", key)) for key, fields in self._loadout_rows())

    def _loadout_rows(self) -> list[tuple[str, dict[str, Any]]]:
        return sorted(self.present.rows("loadout"), key=lambda row: row[1].get("date", "9999"))

    def loadout(self, name: str) -> Loadout:
        """Return the loadout of that name."""
        return self.loadout_of(self.find("loadout", name))

    def loadout_of(self, key: str) -> Loadout:
        """Return the loadout of that key."""
        found: Loadout = self._once(f"loadout {key}", lambda present: records.loadout(present, key))
        return found

    # What happened ---------------------------------------------------------------------------------------

    @property
    def events(self) -> tuple[Event, ...]:
        """Every dated event of an item, in the order in which they were entered."""
        found: tuple[Event, ...] = self._once("events", _all("event", diary.event))
        return found

    @property
    def trips(self) -> tuple[Trip, ...]:
        """Every trip that was made, oldest first."""

        def build(present: Present) -> tuple[Trip, ...]:
            made = [diary.trip(key, fields) for key, fields in present.rows("trip")]
            return tuple(sorted(made, key=lambda trip: (trip.date, trip.until)))

        found: tuple[Trip, ...] = self._once("trips", build)
        return found

    # As pandas tables --------------------------------------------------------------------------------------

    def gear_frame(self, loadout: str = "") -> pd.DataFrame:
        """Return the gear as a table, with where it rides on a loadout of that name: see edit/frames.py."""
        return frames.gear_frame(self.gear, self.loadout(loadout) if loadout else None)

    def trips_frame(self) -> pd.DataFrame:
        """Return the trips as a table: see edit/frames.py."""
        return frames.trips_frame(self.trips)

    @property
    def units(self) -> str:
        """Units of the reader: "US" or "SI". Everything inside stays SI."""
        return str((self.present.get("setting", "season") or {}).get("units", "US"))

    @property
    def title(self) -> str:
        """What the season is called."""
        return str((self.present.get("setting", "season") or {}).get("title", self.folder.name))

    def set_setting(self, **fields: str) -> None:
        """Set `units` ("US" or "SI"), `title`, or `writer`, the name beside each entry ("": the login name)."""
        self.put_single("setting", "season", fields)

    # Vehicle, limits, zones ----------------------------------------------------------------------------

    def set_vehicle(self, field: str, value: Any) -> None:
        """Set one field of the vehicle; `curb_cg`, `outline`, and `tank` take their whole record."""
        self.put_single("vehicle", "vehicle", {field: value})

    def set_limit(self, key: str, limit: Limit) -> None:
        """Set a limit by rating key: of the vehicle or carrier ("rear_axle"), or a zone ("zone:Drawer")."""
        subject, _, zone = key.partition(":")
        if zone and subject == "zone":
            self.set_zone(zone, limit=limit)
        else:
            self.put_single("limit", key, {"limit": limit})

    def set_tire(self, axle: str, tire: Tire) -> None:
        """Set what the tires of the "front" or "rear" axle, or the "spare", are marked with, and their pressures."""
        fields = {field.name: getattr(tire, field.name) for field in dataclass_fields(tire)}
        self.put_single("tire", axle, {**fields, "pressure_table": tire.pressure_table or None})

    def set_carrier(self, **fields: Any) -> None:
        """Set fields of the carrier (name, mass_kg, place, size, slats); the first time it needs them all."""
        self.put_single("carrier", "carrier", fields)

    def set_trailer(self, **fields: Any) -> None:
        """Set fields of the trailer (name, mass_kg as loaded, tongue_kg: the first time all three; then its axles)."""
        self.put_single("trailer", "trailer", fields)

    def set_zone(self, zone: str, /, **fields: Any) -> None:
        """Set fields of a zone (name, place, size, limit, on_carrier, on_hitch, in_cabin, reach). A rename is safe."""
        self.set("zone", zone, **fields)

    # Gear and people -----------------------------------------------------------------------------------

    def add_item(self, *, name: str, mass_kg: float, **fields: Any) -> str:
        """Add a line of gear and return its key."""
        return self.add("item", name=name, mass_kg=mass_kg, **fields)

    def set_item(self, key: str, /, **fields: Any) -> None:
        """Set fields of an item (name, mass_kg, known, plus_minus_kg, count, size, kind, expendable)."""
        self.set("item", key, **fields)

    def set_occupant(self, key: str, /, **fields: Any) -> None:
        """Set fields of a person or animal (name, mass_kg, seat, kind, sleeps_on_roof)."""
        self.set("occupant", key, **fields)
