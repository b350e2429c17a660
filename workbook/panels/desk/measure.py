"""Tables of one record's measures: one row each, read and written in the reader's units."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

from loadcalc.model.errors import BadValue, LoadcalcError
from loadcalc.model.quantities import Units, read_count
from loadcalc.season import Season
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.dials import amount
from workbook.panels.desk.edits import apply_edits
from workbook.panels.desk.fixed_table import fixed_table
from workbook.widgets.table.table import Column, Edit, EditTable, Refusal

Read = Callable[[str, Units, str], Any]
FROM = dict.fromkeys(("front_axle", "rear_axle"), ("curb_kg", "curb_aft_m"))  # what a row's number is made of
COLUMNS = [
    Column(key="measure", title="Measure", kind="read-only", width="20em"),
    Column(
        key="value", title="Value", kind="text", width="15em", hint="Write a unit if it is another than the one shown.",
    ),
    Column(key="where", title="Where do I find this on my vehicle?", kind="read-only", width="36em"),
]  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """One row: how it is shown, read, and put into the season."""

    key: str
    name: str
    show: Callable[[Any, Units], str]
    read: Read
    put: Callable[[Season, Any], None]
    where: str = ""


def words(text: str, units: Units, name: str) -> str:
    """Words as typed."""
    return text.strip()


def mass(text: str, units: Units, name: str, *, where: str = "", high_kg: float = 20_000.0) -> float:
    """A mass [kg], with thousands marks as the page writes them."""
    return amount("mass", text, units, name, where=where, high=high_kg)


def mass_or_nothing(text: str, units: Units, name: str) -> float:
    """A mass [kg]; 0 when the cell is empty."""
    return 0.0 if text.strip() in ("", "?") else mass(text, units, name)


length, sideways, volume = (partial(amount, quantity) for quantity in ("length", "sideways", "volume"))  # as Read


def percent(text: str, units: Units, name: str) -> float:
    """A share [-], typed in percent."""
    try:
        return float(text.replace("%", "").replace(",", ".")) / 100
    except ValueError:
        raise BadValue(name, text, "is not a percentage", "write it as 50%") from None


def choice(choices: tuple[str, ...]) -> Read:
    """One of some words."""

    def read(text: str, units: Units, name: str) -> str:
        if text.strip().casefold() not in choices:
            raise BadValue(name, text, "is not a known choice", f"write one of: {', '.join(choices)}")
        return text.strip().casefold()

    return read


def pressure(text: str, units: Units, name: str) -> float | None:
    """A tire pressure [kPa]; None when the cell says that nobody knows."""
    if text.strip() in ("", "?"):
        return None
    return amount("pressure", text, units, name, high=1000.0)


def index(text: str, units: Units, name: str) -> int | None:
    """A load index; None when the cell says that nobody knows."""
    return None if text.strip() in ("", "?") else int(read_count(text, field=name, high=150))


def measure_rows(
    measures: Sequence[Measure], record: Any, units: Units
) -> tuple[list[dict[str, Any]], list[str]]:
    """Rows of a table of measures, and their keys. What nobody entered is empty, and beside it what is assumed."""
    rows = []
    for m in measures:
        lacks = [one for one in getattr(record, "assumed", ()) if one.measure in FROM.get(m.key, (m.key,))]
        value, where = m.show(record, units), m.where
        if any(one.plus_minus is None for one in lacks):
            value, where = "", f"Not known. {where}"
        elif lacks:
            value, where = "", f"Assumed to be {value}: {'; '.join(one.rule for one in lacks)}. {where}"
        rows.append({"measure": m.name, "value": value, "where": where})
    return rows, [m.key for m in measures]


def _is_what_is_shown(measure: Measure, record: Any, units: Units, value: Any) -> bool:
    """Whether somebody typed just what the row shows: then the number behind it stays, to its last digit."""
    try:
        return bool(measure.read(measure.show(record, units), units, measure.name) == value)
    except LoadcalcError:
        return False


def table_of(
    desk: Desk, label: str, measures: Sequence[Measure], record: Callable[[], Any], height: str, *,
    columns: Sequence[Column] = COLUMNS, called: Callable[[], str] | None = None,
) -> EditTable:  # fmt: skip
    """An editable table of one record's measures, one row each.

    columns : its three; called : the record's name, if it is no field.
    """
    by_key = {measure.key: measure for measure in measures}

    def one(edit: Edit) -> None:
        measure = by_key[edit.row_key]
        value = measure.read(str(edit.text), desk.units, measure.name.lower())
        if not _is_what_is_shown(measure, record(), desk.units, value):
            measure.put(desk.season, value)

    def on_edit(edits: list[Edit]) -> list[Refusal]:
        first = by_key[edits[0].row_key].name.lower()
        said = f"{first} {edits[0].text}" if len(edits) == 1 else f"{len(edits)} measures"
        return apply_edits(desk, edits, f"{called() if called else record().name}: {said}", one)

    def rows() -> tuple[list[dict[str, Any]], list[str]]:
        """None when an undo has taken the whole record away."""
        return ([], []) if record() is None else measure_rows(measures, record(), desk.units)

    return fixed_table(desk, label, columns=lambda: list(columns), rows=rows, on_edit=on_edit, height=height)
