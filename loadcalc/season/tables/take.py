"""Compare one of the season's own tables with what is there, show what it would change, and take it in.

The preview takes the table in for a trial, with every rule that a season has, and then takes all of it back; so
what it says is what happens.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from loadcalc.model.errors import BadValue, LoadcalcError, NotFound, SeasonError, short
from loadcalc.model.marks import plain_text
from loadcalc.season.edit.store import Season
from loadcalc.season.edit.things import KEYED
from loadcalc.season.edit.truth import check, check_thing
from loadcalc.season.file.fields import ABOARD, FIELDS, NAMED, field_word
from loadcalc.season.file.ledger import Entry
from loadcalc.season.file.schema import table_name
from loadcalc.season.lists.gear_preview import FieldChange, Refused
from loadcalc.season.lists.raw_table import RawRow
from loadcalc.season.tables.columns import KEY, TableColumn, key_parts
from loadcalc.season.tables.names import Names
from loadcalc.season.tables.preview import PreviewRow, TablePreview
from loadcalc.season.tables.read import OwnTable
from loadcalc.season.tables.values import read_cell, value_text

SINGLE = {"vehicle": "vehicle", "carrier": "carrier", "trailer": "trailer", "setting": "season"}
_NOT_REMOVED = "a row is refused and may be any of those that seem to be missing, so nothing is removed"
_COPIED = "clear the key of a copied row, so that it becomes a thing of its own"


class _Trial(Exception):
    """Ends a trial, so that nothing of it is kept."""


def preview_table(season: Season, table: OwnTable, *, removing: bool = False) -> TablePreview:
    """Return what taking in a table would change. Nothing is kept.

    Parameters
    ----------
    season : the open season, with no entry of its own open.
    table : the file, from :func:`loadcalc.season.tables.read.read_own`.
    removing : whether what the file lacks is to be taken away.
    """
    if season.draft is not None:
        raise SeasonError("an entry is still open: end its `with` block, then look at a table")
    found: list[TablePreview] = []
    try:
        with season.entry("a look at a table"):
            found.append(_TableMerge(season, table, removing).all())
            raise _Trial
    except _Trial:
        return found[0]


def take_in_table(season: Season, table: OwnTable, shown: TablePreview) -> Entry | None:
    """Put a table into the season as one entry; None when it changes nothing.

    Parameters
    ----------
    season : the open season.
    table : the file.
    shown : the preview that was said yes to.

    Raises
    ------
    SeasonError when the season has changed since, so that the preview no longer holds; then nothing is kept.
    """
    note = f"Table {shown.table} from {table.filename}: {shown.summary()}"
    with season.entry(note, kind="import") as draft:
        now = _TableMerge(season, table, shown.removing).all()
        if now != shown:
            raise SeasonError("the season has changed since: look at what would change now, then take it in")
        if now.problem:
            raise SeasonError(f"the table can't be taken in: {now.problem}")
    return draft.entry


class _TableMerge:
    """Takes in the rows of one table, one after the other, inside an open entry."""

    def __init__(self, season: Season, table: OwnTable, removing: bool) -> None:
        self.season, self.table, self.subject, self.removing = season, table, table.subject, removing
        self.names = Names(season.present)  # as they are before the first row
        self.known = {key: dict(fields) for key, fields in season.present.rows(self.subject)}
        self.columns = [
            column for column in table.columns if column and column.field not in _key_columns(self.subject)
        ]
        self.told: dict[str, int] = {}  # key -> the row that tells of it
        self.added: list[PreviewRow] = []
        self.changed: list[PreviewRow] = []
        self.unchanged = 0
        self.refused: list[Refused] = []

    def all(self) -> TablePreview:
        """Take in every row, then what is missing, then look at the whole."""
        for row in self.table.rows:
            self._take(row)
        lacking = [(key, fields) for key, fields in self.known.items() if key not in self.told]
        notes = self.table.notes
        if self.removing and self.refused and lacking:
            notes = (*notes, _NOT_REMOVED)
            self.removing = False
        return TablePreview(
            subject=self.subject, table=table_name(self.subject), removing=self.removing,
            added=tuple(self.added), changed=tuple(self.changed), unchanged=self.unchanged,
            missing=tuple(PreviewRow(0, key, self._called(key, fields), {}) for key, fields in lacking),
            refused=tuple(self.refused), problem=self._problem([key for key, _ in lacking]), notes=notes,
        )  # fmt: skip

    def _problem(self, lacking: list[str]) -> str:
        """Take away what is lacking, then hold the whole against the season's rules; return what is wrong with it."""
        try:
            for key in lacking if self.removing else ():
                self._remove(key)
            self._check()
        except LoadcalcError as error:
            return str(error)
        return ""

    def _take(self, row: RawRow) -> None:
        """Take in one row, or refuse it cell by cell."""
        texts = self.table.texts(row)
        try:
            key = self._key(texts)
            if key in self.told:
                raise BadValue(KEY, key, f"is the same as in row {self.told[key]}", _COPIED)
        except (BadValue, NotFound) as error:
            self.told |= {key: row.number for key in (texts.get(KEY, "").strip(),) if key in self.known}
            self._refuse(row, KEY, self._label("", texts), error)
            return
        if key:
            self.told[key] = row.number
        was = self.known.get(key, {})
        fields = self._fields(row, texts, self._label(key, texts), was)
        if fields is None:
            return
        differing = {field: value for field, value in fields.items() if value != was.get(field)}
        if key in self.known and not differing:
            self.unchanged += 1
            return
        self._put(row, key, texts, differing)

    def _key(self, texts: Mapping[str, str]) -> str:
        """Return which thing a row tells of: by its key, its name, or what rides on what; "" for a new one."""
        given = texts.get(KEY, "").strip()
        parts = self._parts(texts) if self.subject in ABOARD else ""
        if given:
            if parts and given != parts:
                raise BadValue(KEY, given, f"is not that of the row, {parts}", _COPIED)
            self._refuse_odd(given)
            return given
        if self.subject in ABOARD:
            if not parts:
                raise BadValue(
                    KEY, "", "is missing", f"say which {' and which '.join(key_parts(self.subject))}"
                )
            return parts
        if self.subject not in NAMED:
            raise BadValue(KEY, "", "is missing", "copy it from the table as it was saved")
        name = texts.get("name", "").strip()
        return (self.names.key((self.subject,), name) if name else None) or ""

    def _parts(self, texts: Mapping[str, str]) -> str:
        """Return the key of a thing aboard from its loadout and its item; "" when the row doesn't give both."""
        found = []
        for header, subject in key_parts(self.subject).items():
            text = texts.get(header, "").strip()
            if text and subject in FIELDS:
                key = self.names.key((subject,), text)
                if key is None:
                    raise NotFound(header, text)
                text = key
            found.append(text)  # a group of pieces is no thing of its own: its text is its key
        return "/".join(found) if all(found) else ""

    def _refuse_odd(self, key: str) -> None:
        """Refuse a new key that nothing of this subject could have."""
        if key not in self.known:
            plain_text(KEY, key)
        only = SINGLE.get(self.subject)
        if only and key != only:
            raise BadValue(KEY, key, f"is not {only!r}, and there is one of it only", f"write {only}")
        if key not in self.known and self.subject in NAMED and "/" in key:
            raise BadValue(KEY, key, "has a slash", "leave it empty: a new thing gets a key of its own")

    def _fields(
        self, row: RawRow, texts: Mapping[str, str], name: str, was: Mapping[str, Any]
    ) -> dict[str, Any] | None:
        """Return the fields that a row gives; None when a cell of it is refused."""
        found: dict[str, Any] = {}
        good = True
        for column in self.columns:
            field, text = column.field, texts[column.field]
            try:
                found[field] = read_cell(
                    self.names, self.subject, column, text, self.table.commas, was.get(field)
                )
            except BadValue as error:
                good = False
                self._refuse(row, field, name, error)
        return found if good else None

    def _put(self, row: RawRow, key: str, texts: Mapping[str, str], fields: dict[str, Any]) -> None:
        """Put what a row gives into the entry; take it back and refuse the row when that can't be true."""
        season, is_new = self.season, key not in self.known
        name = self._label(key, texts)
        own = key or season.new_key(self.subject, name)
        before = {field: self.known.get(key, {}).get(field) for field in fields}
        try:
            if is_new and not any(value is not None for value in fields.values()):
                raise BadValue("row", name, "gives nothing", "fill in its cells, or take the row out")
            season.put(self.subject, own, fields)
            check_thing(season.present, self.subject, own)
        except (BadValue, NotFound) as error:
            season.put(self.subject, own, before)
            self._refuse(row, self._field_of(error, fields), name, error)
            return
        given = (
            fields if not is_new else {field: value for field, value in fields.items() if value is not None}
        )
        entry = PreviewRow(row.number, key, name, given, self._words(given, before))
        (self.added if is_new else self.changed).append(entry)

    def _field_of(self, error: LoadcalcError, fields: Mapping[str, Any]) -> str:
        """Return which field of the row an error is about, as well as its words tell."""
        word = error.field if isinstance(error, BadValue) else ""
        value = error.value if isinstance(error, BadValue) else None
        by_word = next((field for field in fields if field_word(field) == word), "")
        return by_word or next((field for field, given in fields.items() if given is value), "")

    def _words(self, fields: Mapping[str, Any], before: Mapping[str, Any]) -> tuple[FieldChange, ...]:
        texts = [
            (column, self._shown(column, before), self._shown(column, fields)) for column in self.columns
        ]
        return tuple(
            FieldChange(column.header, old, new) for column, old, new in texts if column.field in fields
        )

    def _shown(self, column: TableColumn, fields: Mapping[str, Any]) -> str:
        return value_text(self.names, self.subject, column, fields.get(column.field))

    def _label(self, key: str, texts: Mapping[str, str]) -> str:
        """Return what people call a row's thing."""
        name = texts.get("name", "").strip()
        parts = [texts.get(header, "").strip() for header in key_parts(self.subject)]
        return name or ", ".join(filter(None, parts)) or self._called(key, self.known.get(key, {}))

    def _called(self, key: str, fields: Mapping[str, Any]) -> str:
        if self.subject in ABOARD:
            parts = zip(key_parts(self.subject).values(), key.partition("/")[::2], strict=True)
            return ", ".join(self.names.name((subject,), part) for subject, part in parts)
        return str(fields.get("name", key))

    def _remove(self, key: str) -> None:
        if self.subject in NAMED:
            self.season.remove(self.subject, key if self.subject in KEYED else self._unambiguous(key))
        else:
            self.season.drop(self.subject, key)

    def _unambiguous(self, key: str) -> str:
        """Return what `Season.remove` takes for this thing: it looks for a name before it looks for a key."""
        return self.season.present.name(self.subject, key)

    def _check(self) -> None:
        draft = self.season.draft
        assert draft is not None
        check(self.season.present, {(subject, key): None for subject, key, _ in draft.was})

    def _refuse(self, row: RawRow, field: str, name: str, error: LoadcalcError) -> None:
        text = short(error.value if isinstance(error, BadValue) else getattr(error, "name", ""))
        reason = error.problem if isinstance(error, BadValue) else "is not there"
        cure = error.cure if isinstance(error, BadValue) else "correct the spelling, or add it first"
        word = error.field if isinstance(error, BadValue) else field_word(field)
        self.refused.append(
            Refused(
                row=row.number, name=name, cell=self.table.cell(row.number, field) if field else "", field=word,
                text=text, reason=reason, cure=cure,
            )
        )  # fmt: skip


def _key_columns(subject: str) -> set[str]:
    return {KEY, *key_parts(subject)}
