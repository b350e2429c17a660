"""The item that a row of a gear list makes: what the row says over what is there, and what that changes."""

from __future__ import annotations

from dataclasses import replace

from loadcalc.model.errors import BadValue
from loadcalc.model.quantities import Units
from loadcalc.model.space import Size
from loadcalc.model.things import Item
from loadcalc.season.lists.gear_cells import tidy
from loadcalc.season.lists.gear_preview import FieldChange
from loadcalc.season.lists.gear_rows import ItemDraft
from loadcalc.season.lists.gear_words import WORDS

COMPARED = ("name", "mass", "known", "plus_minus", "count", "size", "kind", "expendable")


def merged(draft: ItemDraft, base: Item, units: Units, *, is_new: bool, counted: bool) -> Item:
    """Return the item as the row would make it. What the row does not say stays as in `base`.

    Parameters
    ----------
    draft : the row. base : the present item, or a new one with no mass yet.
    units : the reader's, which decide how fine a number in a file is.
    is_new, counted : whether the item is new, and whether the file has a column of counts.

    Raises
    ------
    BadValue when there is no mass, or a total that cannot be divided.
    """
    same = units.scale("mass").same_entry
    count = base.count if draft.count is None else draft.count
    mass_kg, guessed, doubt_kg = _mass(draft, base, count, is_new=is_new, counted=counted)
    if not is_new and same(mass_kg, base.mass_kg):
        mass_kg = base.mass_kg
    known = "estimated" if guessed else draft.known
    if known is None:
        # A new number is not the one that was weighed.
        known = base.known if mass_kg == base.mass_kg else "estimated"
    if doubt_kg is None or same(doubt_kg, base.plus_minus_kg):
        doubt_kg = base.plus_minus_kg
    return replace(
        base, name=_name(draft, base), mass_kg=mass_kg, known=known, plus_minus_kg=doubt_kg, count=count,
        size=_size(draft.size, base.size, units),
        kind=base.kind if draft.kind is None or draft.kind == tidy(base.kind) else draft.kind,
        expendable=base.expendable if draft.expendable is None else draft.expendable,
    )  # fmt: skip


def _name(draft: ItemDraft, base: Item) -> str:
    """Return the name: a row found by its key may give a new one, a row found by its name may not."""
    by_key = draft.key == tidy(base.key)
    return draft.name if by_key and draft.name != tidy(base.name) else base.name


def _mass(
    draft: ItemDraft, base: Item, count: int, *, is_new: bool, counted: bool
) -> tuple[float, bool, float | None]:
    """Return the mass of one [kg], whether it is marked as a guess, and the doubt given [kg]."""
    read, pieces = draft.listed or draft.total, 1 if draft.listed else count
    if read is None:
        if is_new:
            raise BadValue("mass", "", "is not in the file", "add a column with the mass of one")
        return base.mass_kg, False, draft.plus_minus_kg
    if not draft.listed and draft.count is None and counted and is_new:
        raise BadValue("total mass", "", "cannot be divided: the count is empty", "fill in the count")
    if pieces == 0:
        raise BadValue("total mass", "", "cannot be divided by a count of 0", "give the mass of one")
    doubt_kg = draft.plus_minus_kg if read.plus_minus_kg is None else read.plus_minus_kg / pieces
    return read.mass_kg / pieces, read.estimated, doubt_kg


def _size(new: Size | None, old: Size | None, units: Units) -> Size | None:
    if new is None or old is None:
        return new or old
    same = units.scale("length").same_entry
    return old if all(same(one, other) for one, other in zip(_sides(new), _sides(old), strict=True)) else new


def _sides(box: Size) -> tuple[float, float, float]:
    return box.length_m, box.width_m, box.height_m


def changes(old: Item, new: Item, units: Units) -> tuple[FieldChange, ...]:
    """Return the fields that differ, in the reader's units, with as many digits as a file has."""
    found: list[FieldChange] = []
    if old == new:
        return ()
    for name in COMPARED:
        before, after = shown(old, name, units), shown(new, name, units)
        if before != after:
            found.append(FieldChange(WORDS.get(name, name), before, after))
    return tuple(found)


def shown(item: Item, name: str, units: Units) -> str:
    """Return one field of an item as text; "none" for an empty one."""
    masses, lengths = units.scale("mass"), units.scale("length")
    if name == "mass":
        return f"{masses.entry(item.mass_kg)} {masses.unit}"
    if name == "plus_minus":
        return f"{masses.entry(item.plus_minus_kg)} {masses.unit}"
    if name == "size":
        sides = [lengths.entry(side) for side in _sides(item.size)] if item.size else []
        return f"{' x '.join(sides)} {lengths.unit}" if sides else "none"
    if name == "expendable":
        return "yes" if item.expendable else "no"
    return str(getattr(item, name)) or "none"
