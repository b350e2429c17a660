"""What a season's changes add up to, in memory: subject -> key -> field -> value."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from loadcalc.season.file.seals import thing_sum, value_sum

Fields = dict[str, Any]


class Present:
    """The things of a season. A thing is there as long as one field of it is.

    rank : the order in which things were first entered; one that is taken away and brought back
    returns to its old place. `things` is for reading: only `put` and `fill` keep it in step with what rides where.
    """

    def __init__(self) -> None:
        self.things: dict[str, dict[str, Fields]] = {}
        self.rank: dict[tuple[str, str], int] = {}
        self.total = 0  # what the file's rows count, see seals.py
        self._next = 0  # rank of the next new thing
        self._aboard: dict[tuple[str, str], dict[str, Fields]] = {}  # (subject, loadout) -> thing -> fields

    def __eq__(self, other: object) -> bool:
        """Same things, same values (the order is the ledger's, not part of the present)."""
        if not isinstance(other, Present):
            return NotImplemented
        return self._filled() == other._filled()

    __hash__ = None  # type: ignore[assignment]  # it changes

    def get(self, subject: str, key: str) -> Fields | None:
        """Return one thing's fields, or None when it is not there."""
        return self.things.get(subject, {}).get(key)

    def put(self, subject: str, key: str, field: str, value: Any) -> Any:
        """Set one field (None: take it away) and return what it was."""
        things = self.things.setdefault(subject, {})
        fields = things.get(key)
        was = None if fields is None else fields.get(field)
        if value is None:
            if fields is not None:
                fields.pop(field, None)
                if not fields:
                    del things[key]
                    self._leaves(subject, key)
            return was
        if fields is None:
            fields = self._comes(subject, key)
        fields[field] = value
        return was

    def fill(self, born: Iterable[tuple[str, str, int]], rows: Iterable[tuple[str, str, str, str, int]]) -> None:
        """Take in many things at once: (subject, key, rank), and (subject, key, field, value as JSON, entry).

        A season of ten years has a quarter of a million values, and most are one of a few hundred texts.
        """
        total = 0
        for subject, key, rank in born:
            self.rank[subject, key] = rank
            total += thing_sum(subject, key, rank)
        self._next = max(self.rank.values(), default=-1) + 1
        values: dict[str, Any] = {}
        thing: tuple[str, str] | None = None
        fields: Fields = {}
        for subject, key, field, text, entry_id in rows:
            total += value_sum(subject, key, field, text, entry_id)
            if thing != (subject, key):
                thing = subject, key
                fields = self.things.get(subject, {}).get(key) or self._comes(subject, key)
            value = values.get(text)
            if value is None:
                value = json.loads(text)
                if not isinstance(value, list | dict):  # these could be changed by whoever shares them
                    values[text] = value
            fields[field] = value
        self.total = total

    def forget(self, subject: str, key: str) -> None:
        """Take a thing away as if it had never been: when it comes again, it comes last."""
        for field in list(self.get(subject, key) or ()):
            self.put(subject, key, field, None)
        self.rank.pop((subject, key), None)

    def _comes(self, subject: str, key: str) -> Fields:
        """Put in a new thing."""
        fields: Fields = {}
        self.things.setdefault(subject, {})[key] = fields
        if (subject, key) not in self.rank:
            self.rank[subject, key] = self._next
            self._next += 1
        loadout, slash, thing = key.partition("/")
        if slash:
            self._aboard.setdefault((subject, loadout), {})[thing] = fields
        return fields

    def _leaves(self, subject: str, key: str) -> None:
        loadout, slash, thing = key.partition("/")
        if slash:
            del self._aboard[subject, loadout][thing]

    def rows(self, subject: str) -> list[tuple[str, Fields]]:
        """Return (key, fields) of every thing of a subject, in order of first entry."""
        rank = self.rank
        return sorted(self.things.get(subject, {}).items(), key=lambda row: rank[subject, row[0]])

    def aboard(self, subject: str, loadout: str) -> list[tuple[str, Fields]]:
        """Return (key of the thing, fields) of what one loadout carries, in order of first entry."""
        mine = self._aboard.get((subject, loadout), {})
        rank, start = self.rank, loadout + "/"
        return sorted(mine.items(), key=lambda row: rank[subject, start + row[0]])

    def name(self, subject: str, key: str) -> str:
        """Return a thing's name as people read it; its key when it has none."""
        return str((self.get(subject, key) or {}).get("name", key))

    def _filled(self) -> dict[str, dict[str, Fields]]:
        return {subject: things for subject, things in self.things.items() if things}
