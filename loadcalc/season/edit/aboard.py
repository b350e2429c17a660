"""Edit what a loadout carries: who rides where, what is stowed in which zone, how full each container is."""

from __future__ import annotations

from typing import Any

from loadcalc.model import BadValue, NotFound, Place
from loadcalc.season.edit.things import Things
from loadcalc.season.file.fields import ABOARD, field_word
from loadcalc.season.file.present import Fields


class Aboard(Things):
    """Editing loadouts. Each method is an entry of its own, or part of the open one."""

    def add_loadout(self, name: str, *, like: str | None = None, **fields: Any) -> None:
        """Add a loadout (date, fuel_l, carrier_on), with everything that `like` carries when one is named."""
        with self.entry(f"{name}: added"):
            source = "" if like is None else self.find("loadout", like)
            base = self.fields("loadout", source) if source else {}
            key = self.add("loadout", **{**base, **fields, "name": name})
            for subject in ABOARD if source else ():
                for thing, kept in self.present.aboard(subject, source):
                    self.put(subject, f"{key}/{thing}", dict(kept))

    def set_loadout(self, loadout: str, /, **fields: Any) -> None:
        """Set fields of a loadout (name, date, fuel_l, carrier_on, trailer_on, and the tires' pressures)."""
        self.set("loadout", loadout, **fields)

    def set_fuel(self, loadout: str, fuel_l: float) -> None:
        """Set the fuel in the vehicle's own tank at departure [L]."""
        self.set("loadout", loadout, fuel_l=fuel_l)

    def stow(
        self, loadout: str, item: str, zone: str | None, count: int | None = None, place: Place | None = None
    ) -> None:
        """Let an item ride in a zone; None takes it off the loadout.

        Parameters
        ----------
        count : how many; without it as many as ride now, or all that are owned when none does.
        place : where in the zone; without it the zone's middle, or the place it has when the zone stays.
        """
        with self.entry("") as draft:
            key, kept = self._riding("stowed", loadout, item)
            owned = self.fields("item", item).get("count", 1)
            draft.note = draft.note or self._moved("stowed", key, zone)
            if zone is None:
                self.drop("stowed", key)
                return
            fields = self._linked(
                "stowed", {"zone": zone, "count": kept.get("count", owned) if count is None else count}
            )
            if place is not None or fields["zone"] != kept.get("zone"):
                fields |= self._linked("stowed", {"place": place})
            self.put("stowed", key, fields)

    def set_stowed(self, loadout: str, item: str, /, **fields: Any) -> None:
        """Set fields of an item that rides (place, turned, pinned, group); None takes one away.

        Raises NotFound when it isn't on the loadout.
        """
        with self.entry("") as draft:
            key, kept = self._riding("stowed", loadout, item)
            if not kept:
                raise NotFound(
                    "item on board",
                    item,
                    tuple(k for k, _ in self.present.aboard("stowed", key.partition("/")[0])),
                )
            thing = self.present.name("item", key.partition("/")[2])
            draft.note = draft.note or f"{loadout}: {thing}, {', '.join(map(field_word, fields))}"
            self.put("stowed", key, self._linked("stowed", fields))

    def set_fill(self, loadout: str, liquid: str, fill_l: float | None, zone: str | None = None) -> None:
        """Set how much is in a container [L]; None leaves the container behind.

        zone : where it rides; needed only when it isn't on the loadout yet.
        """
        with self.entry("") as draft:
            key, kept = self._riding("filled", loadout, liquid)
            draft.note = draft.note or self._moved("filled", key, None if fill_l is None else zone or "fill")
            if fill_l is None:
                self.drop("filled", key)
                return
            if zone is None and not kept:
                raise BadValue("zone", "", "is missing", "say which zone it rides in", liquid)
            self.put(
                "filled", key, self._linked("filled", {"fill_l": fill_l, **({"zone": zone} if zone else {})})
            )

    def ride(self, loadout: str, person: str, seat: str | None, **fields: Any) -> None:
        """Give a person (or an animal: a seat or a zone) a place to ride; None: stays at home.

        fields : sleeps_on_roof, when it differs from the person's own.
        """
        with self.entry("") as draft:
            key, _ = self._riding("riding", loadout, person)
            draft.note = draft.note or self._moved("riding", key, seat)
            if seat is None:
                self.drop("riding", key)
            else:
                self.put("riding", key, self._linked("riding", {"seat": seat, **fields}))

    def _riding(self, subject: str, loadout: str, thing: str) -> tuple[str, Fields]:
        """Return the key of a thing on a loadout, and what is kept of it there."""
        key = f"{self.find('loadout', loadout)}/{self.find(ABOARD[subject], thing)}"
        return key, self.present.get(subject, key) or {}

    def _moved(self, subject: str, key: str, where: str | None) -> str:
        loadout, _, thing = key.partition("/")
        name = self.present.name(ABOARD[subject], thing)
        return f"{self.present.name('loadout', loadout)}: {name}, {where or 'stays home'}"
