"""Find, add, change, and take away the things of a season, whatever kind they are."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from loadcalc.model.errors import BadValue, NotFound
from loadcalc.season.edit.taking_back import TakingBack
from loadcalc.season.file import ledger
from loadcalc.season.file.fields import (
    ABOARD,
    FIELDS,
    GONE,
    NAMED,
    POINTS,
    REFERS,
    field_word,
    flat,
    subject_word,
)
from loadcalc.season.file.ledger import Change, Entry
from loadcalc.season.file.present import Fields

KEYED = ("item", "occupant", "liquid")  # their records carry the key; the others are known by their name


class Things(TakingBack):
    """Editing one thing at a time. Each method is an entry of its own, or part of the open one.

    `which` is a key or a name, in any case. A key never changes and is never given twice.
    """

    def find(self, subject: str, which: str) -> str:
        """Return the key of a thing. Raises NotFound with the names that there are."""
        return self.find_all(subject, (which,))[0]

    def find_all(self, subject: str, whiches: Iterable[str]) -> list[str]:
        """Return the keys of several things of one kind. Raises NotFound with the names that there are."""
        if subject not in FIELDS:
            raise NotFound("kind of thing", subject, tuple(FIELDS))
        rows = self.present.rows(subject)
        keys = {key.strip(): key for key, _ in rows}
        order = sorted(rows, key=lambda row: row[1].get("state") not in GONE)  # what is gone gives way
        # a zip may bring names with spaces around them, which no cell takes
        names = {str(fields.get("name", key)).strip().casefold(): key for key, fields in order}
        found = []
        for which in whiches:
            wanted = str(which).strip()
            by_name = names.get(wanted.casefold())
            key = keys.get(wanted, by_name) if subject in KEYED else by_name or keys.get(wanted)
            if key is None:
                known = tuple(str(fields.get("name", key)) for key, fields in rows)
                raise NotFound(subject_word(subject), which, known)
            found.append(key)
        return found

    def fields(self, subject: str, which: str) -> Fields:
        """Return a copy of what is kept of one thing, also what no record shows (a loadout's "date")."""
        return dict(self.present.get(subject, self.find(subject, which)) or {})

    def history(self, subject: str, key: str) -> tuple[tuple[Entry, Change], ...]:
        """Return every change of one thing (by key, also when it is gone) with its entry, oldest first."""
        found = self.ask(lambda db: ledger.history(db, subject, key))
        known = self.ask(lambda db: {number: ledger.entry(db, number) for number, _ in found})
        return tuple((entry, change) for number, change in found if (entry := known[number]))

    def ever(self, subject: str) -> dict[str, str]:
        """Return the last name of every thing of a kind that there ever was, by its key."""
        present = self.present
        found: dict[str, str] = self._once(
            f"ever {subject}", lambda _: self.ask(lambda db: ledger.names(db, subject))
        )
        return {
            key: present.name(subject, key) if present.get(subject, key) else name
            for key, name in found.items()
        }

    def add(self, subject: str, /, *, name: str, key: str = "", **fields: Any) -> str:
        """Add a thing of a NAMED kind (an item, a zone, a loadout, ...) and return its key, from `key` or the name."""
        if subject not in NAMED:
            raise NotFound("kind of thing to add", subject, NAMED)
        with self.entry(f"{name}: added"):
            key = self.new_key(subject, key or str(name))
            self.put(subject, key, self._linked(subject, {"name": name, **fields}))
        return key

    def set(self, subject: str, which: str, /, **fields: Any) -> None:
        """Set fields of one thing; a Place, Size, or Limit may be given whole. None takes a field away."""
        with self.entry("") as draft:
            key = self.find(subject, which)
            draft.note = draft.note or self._said(subject, key, fields)
            self.put(subject, key, self._linked(subject, fields))

    def remove(self, subject: str, which: str) -> None:
        """Take a thing out of the season and off every loadout. The ledger keeps its history.

        Raises BadValue for a zone or a seat that something still rides in.
        """
        with self.entry("") as draft:
            key = self.find(subject, which)
            draft.note = draft.note or f"{self.present.name(subject, key)}: removed"
            self._refuse_in_use(subject, key)
            for aboard, thing in ABOARD.items():
                for place in list(self.present.things.get(aboard, {})):
                    loadout, _, rider = place.partition("/")
                    if (subject, key) in (("loadout", loadout), (thing, rider)):
                        self.drop(aboard, place)
            self.drop(subject, key)

    def put_single(self, subject: str, key: str, fields: Fields) -> None:
        """Set fields of a thing that is always there: a limit, the vehicle, a tire, a setting."""
        with self.entry(self._said(subject, key, fields)):
            self.put(subject, key, flat(fields))

    def _said(self, subject: str, key: str, fields: Fields) -> str:
        """The note of an edit that was given none; it names the fields, not the values, which have units."""
        return f"{self.present.name(subject, key)}: {', '.join(map(field_word, fields))}"

    def _refuse_in_use(self, subject: str, key: str) -> None:
        present = self.present
        for (aboard, field), places in REFERS.items():
            for user, fields in present.rows(aboard) if subject in places else ():
                if fields.get(field) == key:
                    thing = ABOARD.get(aboard, aboard)
                    who = present.name(thing, user.rpartition("/")[2])
                    name = present.name(subject, key)
                    raise BadValue(subject, name, f"is in use by {who}", "move it elsewhere first")

    def new_key(self, subject: str, name: str) -> str:
        """A readable key that no thing of this subject ever had. Inside an entry only: no one else writes."""
        stem = re.sub(r"\W+", "-", name.casefold()).strip("-") or subject
        assert self.draft is not None
        number = self.draft.numbered.get((subject, stem), 1)
        key = stem if number == 1 else f"{stem}-{number}"
        while self.present.get(subject, key) or ledger.key_used(self.db, subject, key):
            number += 1
            key = f"{stem}-{number}"
        self.draft.numbered[subject, stem] = number
        return key

    def _linked(self, subject: str, fields: Fields) -> Fields:
        """Spread records into fields, and turn names of zones and seats into their keys."""
        fields = flat(fields)
        for field, value in fields.items():
            point = POINTS.get((subject, field))
            places = REFERS.get((subject, field)) or ((point,) if point else ())
            if places and value is not None:
                fields[field] = self._key_among(places, value)
        return fields

    def _key_among(self, subjects: tuple[str, ...], name: str) -> str:
        for subject in subjects[:-1]:
            try:
                return self.find(subject, name)
            except NotFound:
                continue
        return self.find(subjects[-1], name)
