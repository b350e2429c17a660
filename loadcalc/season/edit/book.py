"""One open season file: its transactions and the present in memory. No rules about loads.

Several kernels may hold the same season open. Each edit is one SQLite transaction that first takes in what
the others wrote, then checks the result, then commits; so the entries form one line, whoever wrote them.
"""

from __future__ import annotations

import datetime
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from threading import RLock
from types import TracebackType
from typing import Any, Protocol, Self, TypeVar

from loadcalc.model.errors import SeasonError
from loadcalc.season.edit.truth import check
from loadcalc.season.file import ledger, schema, seals
from loadcalc.season.file.fields import entered
from loadcalc.season.file.ledger import Change, Entry
from loadcalc.season.file.present import Present

T = TypeVar("T")
MOST_PASTS = 4
BRING_BACK = ("undo", "redo", "restore")


class Watch(Protocol):
    """Stands before each edit; `clock` is what is odd about the computer's clock, "" when nothing is."""

    clock: str

    def __call__(self, db: sqlite3.Connection) -> None:
        """Look, and raise SeasonError when the edit must not be."""


class EntryDraft:
    """An entry while it is being put together. `entry` is what it became, None when it changed nothing."""

    def __init__(self, note: str, kind: str, undoes: int | None = None) -> None:
        self.note = note
        self.kind = kind
        self.undoes = undoes
        self.was: dict[tuple[str, str, str], Any] = {}
        self.new: set[tuple[str, str]] = set()  # things that there had never been
        self.numbered: dict[tuple[str, str], int] = {}  # by subject and stem, how far new keys have come
        self.entry: Entry | None = None


class Book:
    """The ledger of one season folder, open for reading and writing. See Season for what people use."""

    def __init__(self, folder: Path, db: sqlite3.Connection, who: str) -> None:
        self.folder = folder
        self.who = who
        self._path = folder / schema.FILE
        self.db = db
        self._lock = RLock()
        self.draft: EntryDraft | None = None
        self._present = Present()
        self._seen: int | None = None  # last entry that the present in memory holds; None: read it anew
        self._built: dict[str, Any] = {}
        self.notes: list[str] = []  # what its opening found and put right, for the page to show
        self.keeper: Watch | None = None  # asked before each edit
        self.written: set[int] = set()  # entries of this window, not of another one on the same season
        self._pasts: dict[int, Present] = {}  # the past never changes, so that a few may be kept

    def close(self) -> None:
        """Close the file. Every edit is already kept; closing only tidies the folder."""
        with self._lock:
            self.db.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    @property
    def writer(self) -> str:
        """Who is written beside each entry: the name set in this season, else the one it was opened with."""
        return str((self._present.get("setting", "season") or {}).get("writer") or self.who)

    @property
    def warnings(self) -> list[str]:
        """What everybody who has the season open should be told: what was damaged, a clock that jumps."""
        clock = self.keeper.clock if self.keeper is not None else ""
        return [*self.notes, clock] if clock else list(self.notes)

    @property
    def version(self) -> int:
        """Id of the newest entry; cheap, so that a page can poll it for what other kernels wrote."""
        return self.ask(ledger.last_id)

    def entries(self, limit: int | None = None) -> tuple[Entry, ...]:
        """Return the ledger's entries, newest first."""
        return self.ask(lambda db: tuple(ledger.entries(db, limit)))

    def entry_by(self, when: datetime.datetime) -> int:
        """Return the id of the newest entry written by `when`, 0 when there is none."""
        return self.ask(lambda db: ledger.entry_by(db, when))

    def present_at(self, entry_id: int) -> Present:
        """Return what the entries up to and with `entry_id` add up to. For reading only."""
        with self._lock:
            if entry_id not in self._pasts:
                if len(self._pasts) >= MOST_PASTS:
                    del self._pasts[next(iter(self._pasts))]
                self._pasts[entry_id] = self.ask(lambda db: ledger.replay(db, entry_id))
            return self._pasts[entry_id]

    def changes(self, entry_id: int) -> tuple[Change, ...]:
        """Return what one entry changed."""
        return self.ask(lambda db: ledger.changes_of(db, entry_id))

    def verify(self) -> None:
        """Raise SeasonError unless the ledger is what was sealed, and the kept present what its changes add up to."""

        def good(db: sqlite3.Connection) -> bool:
            present = ledger.load(db)
            return seals.intact(db, present.total) and present == ledger.replay(db)

        if not self.ask(good):
            raise schema.DamagedFile(f"{self._path}: its tables disagree with its ledger: {schema.RESTORE}")

    def prove(self, mend: Callable[[sqlite3.Connection, Path], str]) -> None:
        """Take in the present once it is proven against the ledger; else have it mended, and note that.

        Parameters
        ----------
        mend : writes anew what is derived from the ledger and says so, see :mod:`loadcalc.season.file.mend`.

        Raises
        ------
        DamagedFile when the ledger itself is damaged.
        """
        with self._lock:
            if not self._proven():
                with schema.in_words(self._path):
                    self.notes.append(mend(self.db, self._path))
                self._take_in()

    def _proven(self) -> bool:
        try:
            with self._reading():
                present = ledger.load(self.db)
                self._seen = ledger.last_id(self.db) if seals.intact(self.db, present.total) else None
        except schema.DamagedFile:  # what can't be read isn't proven
            return False
        self._present = present
        return self._seen is not None

    @contextmanager
    def entry(self, note: str, kind: str = "edit") -> Iterator[EntryDraft]:
        """Everything edited inside the block becomes one entry, kept at its end, or nothing on an error.

            with season.entry("Saws to the floor"):
                season.stow("Friday departure", "chainsaw", "Cargo floor left")

        Other kernels can read but not write while the block runs: keep it short. A block inside a block
        joins the outer one.
        """
        with self._lock:
            if self.draft is not None:
                yield self.draft
                return
            draft = EntryDraft(note, kind)
            with self.transaction(draft):
                yield draft

    def edit(self, note: str, changes: Sequence[Change], kind: str = "edit") -> Entry | None:
        """Keep changes as one entry and return it; None when they change nothing.

        Raises BadValue or NotFound when the result can't be true; then nothing is kept.
        """
        with self.entry(note, kind) as draft:
            for change in changes:
                self.put(change.subject, change.key, {change.field: change.value})
        return draft.entry

    def put(self, subject: str, key: str, fields: dict[str, Any]) -> None:
        """Set fields of one thing inside the open entry (None takes a field away). All of them or none."""
        draft = self._open_draft()
        held = self._present.get(subject, key) or {}
        kept = {}
        for field, value in fields.items():
            # What is there, or was, stays also when a new one like it is refused.
            as_it_was = draft.kind in BRING_BACK or value == draft.was.get((subject, key, field), held.get(field))
            kept[field] = value if as_it_was else entered(subject, field, value, key)
        for field, value in kept.items():
            if value is not None and (subject, key) not in self._present.rank:
                draft.new.add((subject, key))
            was = self._present.put(subject, key, field, value)
            draft.was.setdefault((subject, key, field), was)
        self._built.clear()

    def drop(self, subject: str, key: str) -> None:
        """Take a thing away inside the open entry."""
        self.put(subject, key, dict.fromkeys(self._present.get(subject, key) or ()))

    @property
    def present(self) -> Present:
        """What the entries add up to, other kernels' newest included. For reading only."""
        with self._lock:
            if self.draft is None:
                self._take_in()
            return self._present

    def _take_in(self) -> None:
        """Bring the present in memory up to the file."""
        with self._reading():
            newest = ledger.last_id(self.db)
            if newest == self._seen:
                return
            self._built.clear()
            if self._seen is None:
                self._present = ledger.load(self.db)
            else:
                for change in ledger.changes_since(self.db, self._seen):
                    self._present.put(*change[:4])
            self._seen = newest

    @contextmanager
    def transaction(self, draft: EntryDraft) -> Iterator[None]:
        """What is put inside the block becomes the drafted entry, or nothing on an error."""
        with self._lock, self._writing(draft):
            yield

    @contextmanager
    def _writing(self, draft: EntryDraft) -> Iterator[None]:
        if self.keeper is not None:
            self.keeper(self.db)
        with schema.in_words(self._path):
            self.db.execute("BEGIN IMMEDIATE")
        try:
            schema.refuse_older_program(self.db, self._path)
            self._take_in()
            self.draft = draft
            yield
            draft.entry = self._keep(draft)
        except BaseException:
            self._forget(draft)
            raise
        finally:
            self.draft = None

    def _keep(self, draft: EntryDraft) -> Entry | None:
        now = self._present
        changes = [
            Change(subject, key, field, value, was)
            for (subject, key, field), was in draft.was.items()
            if (value := (now.get(subject, key) or {}).get(field)) != was
        ]
        if not changes:
            self._forget(draft)
            return None
        check(now, {(change.subject, change.key): None for change in changes})
        with schema.in_words(self._path):
            entry = ledger.append(
                self.db,
                who=self.writer,
                kind=draft.kind,
                note=draft.note,
                changes=changes,
                undoes=draft.undoes,
            )
            self.db.execute("COMMIT")
        self.written.add(entry.id)
        self._seen = None if self._left_a_ghost(draft, changes) else entry.id
        return entry

    def _left_a_ghost(self, draft: EntryDraft, changes: Sequence[Change]) -> bool:
        """Whether something came and went inside the entry: memory has a place in the order for it, the file not."""
        changed = {(change.subject, change.key) for change in changes}
        touched = {(subject, key) for subject, key, _ in draft.was}
        return any(self._present.get(*thing) is None for thing in touched - changed)

    def _forget(self, draft: EntryDraft) -> None:
        """Give up the transaction, and make the present in memory what it was before.

        Reading it anew would do too, but takes a second after ten years.
        """
        for (subject, key, field), was in draft.was.items():
            self._present.put(subject, key, field, was)
        for thing in draft.new:
            self._present.forget(*thing)
        self._built.clear()
        if self.db.in_transaction:
            with schema.in_words(self._path):
                self.db.execute("ROLLBACK")

    def _open_draft(self) -> EntryDraft:
        if self.draft is None:
            raise SeasonError(
                "there is no open entry: edit inside `with season.entry(...)`, or use season.edit"
            )
        return self.draft

    def ask(self, question: Callable[[sqlite3.Connection], T]) -> T:
        """Return what a question to the file finds, at one moment, whatever other kernels write meanwhile."""
        with self._lock, self._reading():
            return question(self.db)

    @contextmanager
    def _reading(self) -> Iterator[None]:
        """Hold one state of the file over several questions."""
        with schema.in_words(self._path):
            if self.db.in_transaction:
                yield
                return
            self.db.execute("BEGIN")
            try:
                yield
            finally:
                self.db.execute("COMMIT")

    def _once(self, name: str, build: Callable[[Present], Any]) -> Any:
        """Return a record built from the present, built again only after a change."""
        with self._lock:
            present = self.present
            if name not in self._built:
                self._built[name] = build(present)
            return self._built[name]
