"""Row by row, match a gear list to the items that are there, and tell what would change."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from loadcalc.model.errors import BadValue, short
from loadcalc.model.quantities import Units
from loadcalc.model.things import Item
from loadcalc.season.lists.gear_cells import same_name, tidy
from loadcalc.season.lists.gear_item import changes, merged
from loadcalc.season.lists.gear_notes import column_notes, second_look
from loadcalc.season.lists.gear_preview import GearPreview, Refused, Skipped, Taken, cell_of
from loadcalc.season.lists.gear_rows import ItemDraft, ListRules, read_row, rules_for
from loadcalc.season.lists.gear_words import WORDS
from loadcalc.season.lists.list_columns import find_columns
from loadcalc.season.lists.raw_table import RawRow, RawTable
from loadcalc.season.lists.total_rows import Above

ONE_ROW = "give each its own name, or put them in one row"


def preview_gear(
    raw: RawTable,
    present: Sequence[Item],
    units: Units,
    mapping: Mapping[str, str | int | None] | None = None,
) -> GearPreview:
    """Return what taking in a gear list would change. Nothing is changed here.

    Parameters
    ----------
    raw : the table, from :func:`loadcalc.season.lists.gear_in.read_table`.
    present : the items that are there now. A row is matched by its key if it has one, else by its name, in
        any case and spacing. A field that the file does not give, or leaves empty, stays as it is.
    units : the reader's units, for bare numbers under a header without a unit, and for texts.
    mapping : field -> header text or column from 0 (None: not in this file), where header words mislead.

    Raises
    ------
    BadValue when no column holds the items' names; NotFound for a mapping to what is not there.
    """
    columns = second_look(raw, find_columns(raw.header, raw.unit_row, mapping), mapping or {})
    if "name" not in columns.at:
        cure = "give one column a header such as Item, or say which column holds the names"
        raise BadValue("columns", ", ".join(raw.header), "hold no item names", cure, raw.filename)
    merge = _Merge(raw, present, units, rules_for(raw, columns, units))
    for row in raw.rows:
        merge.take(row)
    return merge.preview()


class _Merge:
    """Takes in the rows of one table, one after the other."""

    def __init__(self, raw: RawTable, present: Sequence[Item], units: Units, rules: ListRules) -> None:
        self.raw, self.units, self.rules = raw, units, rules
        self.present = tuple(present)
        self.by_key = {tidy(item.key): item for item in present}
        self.by_name: dict[str, list[Item]] = {}
        for item in present:
            self.by_name.setdefault(same_name(item.name), []).append(item)
        self.rows: dict[str, list[Taken]] = {"added": [], "changed": [], "unchanged": []}
        self.refused: list[Refused] = []
        self.skipped: list[Skipped] = []
        self.notes: list[str] = []
        self.above = Above(units)
        self.claimed: dict[str, int] = {}  # key of a present item -> the row that tells of it
        self.named: dict[str, int] = {}  # name of a new item -> the row that tells of it
        self.next_row = raw.first_row

    def take(self, row: RawRow) -> None:
        """Sort one row into added, changed, unchanged, refused, or skipped."""
        self._skip_blank_before(row)
        draft = read_row(row, self.rules)
        no_item = self._no_item(row, draft)
        if no_item:
            self.skipped.append(Skipped(row.number, row.number, *no_item))
            return
        old = self._match(draft)
        verdict, why = ("item", "") if old else self.above.verdict(draft)
        if verdict == "total":
            self.skipped.append(Skipped(draft.row, draft.row, draft.name, why))
        elif verdict == "doubtful":
            self._refuse(draft, "name", draft.name, why, "give it another name if it is an item")
        else:
            self.above.add(draft)
            self._take_item(draft, old)

    def _no_item(self, row: RawRow, draft: ItemDraft) -> tuple[str, str] | None:
        """Return a row's text and why it holds no item, or None when it may."""
        texts = [cell.text.strip() for cell in row.cells if cell.text.strip()]
        if not re.search(r"\w|\?", "".join(texts)):
            return "", "a ruled line"
        if self._repeats_header(row):
            return "", "repeats the header"
        if draft.alone and not draft.name and draft.listed is None and draft.total is None:
            return texts[0], "a heading or remark"
        return None

    def _skip_blank_before(self, row: RawRow) -> None:
        if row.number > self.next_row:
            self.skipped.append(Skipped(self.next_row, row.number - 1, "", "blank"))
        self.next_row = row.number + 1

    def _repeats_header(self, row: RawRow) -> bool:
        columns = list(self.rules.columns.at.values())
        same = [row.cell(c).text.strip() == self.raw.header[c] for c in columns if c < len(self.raw.header)]
        return self.raw.header_row is not None and len(same) > 1 and all(same)

    def _match(self, draft: ItemDraft) -> Item | None:
        """Return the present item that a row tells of: by key first, so that a renamed item is found."""
        if draft.key and draft.key in self.by_key:
            return self.by_key[draft.key]
        found = self.by_name.get(same_name(draft.name), []) if draft.name else []
        return found[0] if found else None

    def _take_item(self, draft: ItemDraft, old: Item | None) -> None:
        problem = self._name_trouble(draft, old)
        if old:
            self.claimed.setdefault(old.key, draft.row)
        else:
            self.named.setdefault(same_name(draft.name), draft.row)
        if problem:
            self._refuse(draft, "name", draft.name, *problem)
        for field, column, error in draft.problems:
            cure = f"{error.cure}; a heading may stay as it is" if draft.alone else error.cure
            self._refuse(draft, field, short(error.value), error.problem, cure, column)
        if problem or draft.problems:
            return
        try:
            item = self._item(draft, old)
        except BadValue as error:
            field = "mass" if draft.listed else "total_mass" if draft.total else "mass"
            self._refuse(draft, field, short(error.value), error.problem, error.cure)
            return
        self._note_mass(draft, item)
        found = changes(old, item, self.units) if old else ()
        where = "added" if old is None else "changed" if found else "unchanged"
        kept = item if where != "unchanged" or old is None else old
        self.rows[where].append(
            Taken(row=draft.row, item=kept, changes=found, zone=draft.zone, note=draft.note)
        )

    def _name_trouble(self, draft: ItemDraft, old: Item | None) -> tuple[str, str] | None:
        """Return what is wrong with the row's name, and the cure."""
        if not draft.name:
            return "is empty", "give it a name"
        if old is None:
            first = self.named.get(same_name(draft.name))
            return (f"is in row {first} already", ONE_ROW) if first else None
        first = self.claimed.get(old.key)
        if first:
            return f"is the same item as in row {first}", f"{ONE_ROW}; a copied row needs its key cleared"
        others = [item for item in self.by_name.get(same_name(draft.name), []) if item.key != old.key]
        if others and same_name(old.name) != same_name(draft.name):
            return f"is the name of another item; the row's key is that of {old.name}", "choose another name"
        if others and tidy(old.key) != draft.key:
            return "is the name of more than one present item", "add a key column, as in an exported list"
        return None

    def _item(self, draft: ItemDraft, old: Item | None) -> Item:
        """Return the item as the row would make it."""
        key = draft.key or draft.name
        key = key if key not in self.by_key else f"{key} (row {draft.row})"
        base = old or Item(name=draft.name, mass_kg=0.0, key=key)
        return merged(draft, base, self.units, is_new=old is None, counted="count" in self.rules.columns.at)

    def _note_mass(self, draft: ItemDraft, item: Item) -> None:
        """Tell of a mass of nothing, and of a total that is not count times mass."""
        if item.mass_kg == 0:
            self.notes.append(f"row {draft.row}, {draft.name}: the mass is 0")
        if not (draft.listed and draft.total):
            return
        expected = item.mass_kg * item.count
        if abs(draft.total.mass_kg - expected) > 0.01 * max(expected, 1.0):
            mass = self.units.mass
            product = f"{item.count} times {mass(item.mass_kg)} is {mass(expected)}"
            told = f"the total is {mass(draft.total.mass_kg)}, but {product}"
            self.notes.append(f"row {draft.row}, {draft.name}: {told}")

    def _refuse(
        self, draft: ItemDraft, field: str, text: str, reason: str, cure: str, column: int | None = None
    ) -> None:
        place = self.rules.columns.at.get(field, -1) if column is None else column
        self.refused.append(
            Refused(
                row=draft.row, name=draft.name, cell=cell_of(draft.row, place), field=WORDS.get(field, field),
                text=text, reason=reason, cure=cure,
            )
        )  # fmt: skip

    def preview(self) -> GearPreview:
        """Return all that was found."""
        told = set(self.claimed)
        notes = (*self.raw.notes, *column_notes(self.raw, self.rules, self.units, self.above), *self.notes)
        return GearPreview(
            added=tuple(self.rows["added"]), changed=tuple(self.rows["changed"]),
            unchanged=tuple(self.rows["unchanged"]), refused=tuple(self.refused), skipped=tuple(self.skipped),
            not_in_file=tuple(item for item in self.present if item.key not in told),
            columns=dict(self.rules.columns.header), notes=notes,
        )  # fmt: skip
