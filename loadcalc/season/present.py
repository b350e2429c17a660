"""What a season's changes add up to, in memory: subject -> key -> field -> value."""

from __future__ import annotations

from typing import Any

Fields = dict[str, Any]


class Present:
    """The things of a season. A thing is there as long as one field of it is.

    rank : the order in which things were first entered; one that is taken away and brought back
    returns to its old place.
    """

    def __init__(self) -> None:
        self.things: dict[str, dict[str, Fields]] = {}
        self.rank: dict[tuple[str, str], int] = {}

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
            return was
        if fields is None:
            fields = things[key] = {}
            self.rank.setdefault((subject, key), len(self.rank))
        fields[field] = value
        return was

    def rows(self, subject: str) -> list[tuple[str, Fields]]:
        """Return (key, fields) of every thing of a subject, in order of first entry."""
        rank = self.rank
        return sorted(self.things.get(subject, {}).items(), key=lambda row: rank[subject, row[0]])

    def aboard(self, subject: str, loadout: str) -> list[tuple[str, Fields]]:
        """Return (key of the thing, fields) of what one loadout carries, in order of first entry."""
        start = loadout + "/"
        mine = {key: fields for key, fields in self.things.get(subject, {}).items() if key.startswith(start)}
        rank = self.rank
        return [(key[len(start) :], mine[key]) for key in sorted(mine, key=lambda key: rank[subject, key])]

    def name(self, subject: str, key: str) -> str:
        """Return a thing's name as people read it; its key when it has none."""
        return str((self.get(subject, key) or {}).get("name", key))

    def _filled(self) -> dict[str, dict[str, Fields]]:
        return {subject: things for subject, things in self.things.items() if things}
