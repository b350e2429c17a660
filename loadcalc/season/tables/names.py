"""Which thing a name means, and by which name a thing is told: for cells that point at other things."""

from __future__ import annotations

from collections.abc import Iterable

from loadcalc.season.file.fields import GONE
from loadcalc.season.file.present import Present


class Names:
    """The names of a season's things as they were when first asked for, so that a long table asks once."""

    def __init__(self, present: Present) -> None:
        self._present = present
        self._key_by_name: dict[str, dict[str, str]] = {}

    def key(self, places: Iterable[str], text: str) -> str | None:
        """Return the key of the thing that a text means, by its name in any case, else by its key; or None.

        places : the subjects it may be of, the first one that has it wins. What is lost or retired gives way to
        another of the same name.
        """
        wanted = text.strip()
        for subject in places:
            if found := self._named(subject).get(wanted.casefold()):
                return found
        return next((wanted for subject in places if self._present.get(subject, wanted)), None)

    def name(self, places: Iterable[str], key: str) -> str:
        """Return a thing's name when the name alone leads back to it; else its key, also when it is gone."""
        for subject in places:
            if self._present.get(subject, key):
                name = self._present.name(subject, key)
                return name if self.key(places, name) == key else key
        return key

    def _named(self, subject: str) -> dict[str, str]:
        if subject not in self._key_by_name:
            found = self._key_by_name[subject] = {}
            for key, fields in self._present.rows(subject):
                name = str(fields.get("name", key)).casefold()
                if name not in found or fields.get("state") not in GONE:
                    found[name] = key
        return self._key_by_name[subject]
