"""The columns of a subject's table: a field each, with its unit in the header.

A header is a field's name, `mass_kg`, or the same in another unit, `mass_lb`. The first column is the key.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from loadcalc.model.errors import BadValue, NotFound
from loadcalc.model.quantities import Units
from loadcalc.model.unit_names import GALLON, INCH, POUND, PSI
from loadcalc.season.file.fields import ABOARD, FIELDS, NUMBER, POINTS, REFERS, TEXT, WHOLE, subject_word
from loadcalc.season.file.schema import table_name

KEY = "key"
_LB, _IN, _GAL, _PSI = map(float, (POUND, INCH, GALLON, PSI))
TO_SI = {
    "lb_per_gal": ("kg_per_l", _LB / _GAL), "kg_per_l": ("kg_per_l", 1.0),
    "lb": ("kg", _LB), "oz": ("kg", _LB / 16), "kg": ("kg", 1.0), "g": ("kg", 0.001),
    "in": ("m", _IN), "ft": ("m", 12 * _IN), "m": ("m", 1.0), "cm": ("m", 0.01), "mm": ("m", 0.001),
    "psi": ("kpa", _PSI), "kpa": ("kpa", 1.0), "bar": ("kpa", 100.0),
    "mi": ("km", 63360 * _IN / 1000), "km": ("km", 1.0),
    "gal": ("l", _GAL), "qt": ("l", _GAL / 4), "l": ("l", 1.0),
}  # fmt: skip
UNIT = re.compile(rf"_({'|'.join(sorted(TO_SI, key=len, reverse=True))})$")
_US = {"kg": "lb", "m": "in", "l": "gal", "kg_per_l": "lb_per_gal", "kpa": "psi", "km": "mi"}


@dataclass(frozen=True, slots=True, kw_only=True)
class TableColumn:
    """One column.

    header : as written; field : of the subject, or KEY, or a part of the key ("loadout", "item").
    kind : as in FIELDS; si : what one of the column's unit is in the field's own.
    """

    header: str
    field: str
    kind: str = TEXT
    si: float = 1.0

    @property
    def is_number(self) -> bool:
        """Whether its cells are bare numbers."""
        return self.kind in (NUMBER, WHOLE)


def columns(subject: str, units: Units) -> tuple[TableColumn, ...]:
    """Return the columns of a subject's table in the reader's units, the key first.

    Raises NotFound for a subject that a season does not keep.
    """
    if subject not in FIELDS:
        raise NotFound("table", subject, tuple(map(table_name, FIELDS)))
    parts = tuple(TableColumn(header=name, field=name) for name in key_parts(subject))
    fields = (_column(field, kind, units.name == "US") for field, kind in FIELDS[subject].items())
    return (TableColumn(header=KEY, field=KEY), *parts, *fields)


def key_parts(subject: str) -> dict[str, str]:
    """Return what tells a thing aboard apart: which loadout, and which item, liquid, or person; subject by header."""
    return {"loadout": "loadout", subject_word(ABOARD[subject]): ABOARD[subject]} if subject in ABOARD else {}


def points_at(subject: str, field: str) -> tuple[str, ...]:
    """Return the subjects among which a field's value is a key, none when it isn't one."""
    point = POINTS.get((subject, field))
    return REFERS.get((subject, field)) or ((point,) if point else ())


def _column(field: str, kind: str, in_us: bool) -> TableColumn:
    found = UNIT.search(field)
    unit = _US.get(found[1], "") if found and in_us and kind == NUMBER else ""
    if not unit:
        return TableColumn(header=field, field=field, kind=kind)
    return TableColumn(header=UNIT.sub(f"_{unit}", field), field=field, kind=kind, si=TO_SI[unit][1])


def column_of(subject: str, header: str, where: str = "", *, keyed: bool = True) -> TableColumn:
    """Return the column that a header names: a field, or the same in another unit, "mass_lb" for mass_kg.

    Parameters
    ----------
    subject : what the rows are about.
    header : as written, in any case where the table is `keyed`.
    where : file, row, and column, for the error.
    keyed : whether the table has columns for the keys of its rows.

    Raises
    ------
    BadValue, with the names that there are, for a header that is not this table's.
    """
    name = header.strip().casefold() if keyed else header
    known, keys = FIELDS[subject], (KEY, *key_parts(subject)) if keyed else ()
    if name in known or name in keys:
        return TableColumn(header=name, field=name, kind=TEXT if name in keys else known[name])
    if found := UNIT.search(name):
        own, si = TO_SI[found[1]]
        field = UNIT.sub(f"_{own}", name)
        if known.get(field) == NUMBER:
            return TableColumn(header=name, field=field, kind=NUMBER, si=si)
    names = ", ".join((*keys, *known))
    cure = f"choose among: {names}; or the same in another unit, like mass_lb for mass_kg"
    raise BadValue("column", header, f"is not one of the table {table_name(subject)}", cure, where)


def subject_named(name: str) -> str | None:
    """Return the subject whose table has this name, also as a file's: "gear", "Gear.CSV", "gear (1).xlsx"; or None."""
    stem = re.sub(r"( ?\(\d+\))?\.(csv|tsv|txt|xlsx)$", "", name.strip().casefold())
    return {table_name(subject): subject for subject in FIELDS}.get(stem)
