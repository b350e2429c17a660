"""Taking back: the newest entry, or any that nothing later rests on; and taking that back again.

Nothing leaves the ledger: an undo is an entry, and so is a redo. What rests on what is in season/file/resting.py.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Sequence

from loadcalc.model.errors import BadValue, NotFound, SeasonError
from loadcalc.season.edit.book import Book, EntryDraft
from loadcalc.season.file import ledger, resting
from loadcalc.season.file.ledger import Entry
from loadcalc.season.file.resting import Standing


class TakingBack(Book):
    """A season's book in which what was done can be taken back."""

    @property
    def next_undo(self) -> Entry | None:
        """The entry that `undo` would take back now, or None."""
        return self.ask(resting.next_undo)

    @property
    def next_redo(self) -> Entry | None:
        """The undo that `redo` would take back now, or None; once something new is done there is none."""
        return self.ask(resting.next_redo)

    def standings(self, limit: int = 10) -> tuple[Standing, ...]:
        """Return what was done last, newest first, each with what rests on it."""
        return self.ask(lambda db: tuple(resting.standing(db, one) for one in resting.newest(db, limit)))

    def standing(self, entry: Entry) -> Standing:
        """Return one thing that was done, with what rests on it."""
        return self.ask(lambda db: resting.standing(db, entry))

    def undo(self) -> Entry | None:
        """Take back the newest entry that still holds, with a new entry; None when there is nothing to undo."""
        return self._take_back(resting.next_undo)

    def redo(self) -> Entry | None:
        """Take back the newest undo, with a new entry; None when there is none, or something new was done since."""
        return self._take_back(resting.next_redo)

    def take_back(self, entry_id: int) -> Entry | None:
        """Take back one entry, whichever it is, with a new entry: an undo, or of an undo a redo.

        Raises
        ------
        SeasonError when it was taken back already, when a later entry that still holds changed the same values, or
        when the result can't be true, for instance because a thing that would go is in use. Then nothing is kept.
        """

        def named(db: sqlite3.Connection) -> Entry:
            entry = ledger.entry(db, entry_id)
            if entry is None or entry.kind == resting.FIRST:
                raise SeasonError(f"entry {entry_id} can't be taken back: choose one from the list of entries")
            return entry

        return self._take_back(named)

    def _take_back(self, choose: Callable[[sqlite3.Connection], Entry | None]) -> Entry | None:
        if self.draft is not None:
            raise SeasonError("an entry is still open: end its `with` block, then undo")
        draft = EntryDraft("", resting.UNDO)
        try:
            with self.transaction(draft):
                target = choose(self.db)
                if target is not None:
                    self._turn_back(draft, target)
        except (BadValue, NotFound) as error:
            raise SeasonError(f"“{draft.note}” can't be: what was done since would not be true: {error}") from error
        return draft.entry

    def _turn_back(self, draft: EntryDraft, target: Entry) -> None:
        if target.undone_by is not None:
            raise SeasonError(f"“{target.note}” was taken back already, by entry {target.undone_by}")
        found = resting.standing(self.db, target)
        if found.rests_on_it:
            raise SeasonError(f"“{found.note}” stays: {_resting_words(found.rests_on_it)}")
        draft.kind = resting.UNDO if found.holds else resting.REDO
        draft.note, draft.undoes = f"{draft.kind.capitalize()}: {found.note}", target.id
        for change in ledger.changes_of(self.db, target.id):
            self.put(change.subject, change.key, {change.field: change.was})

def _resting_words(later: Sequence[Entry]) -> str:
    """What rests on an entry, and the cure."""
    names = ", ".join(f"“{one.note}”" + (f" by {one.who}" if one.who else "") for one in later[:3])
    more = f" and {len(later) - 3} more" if len(later) > 3 else ""
    verb = "rests" if len(later) == 1 else "rest"
    return f"{names}{more} {verb} on it; take that back first"
