"""An invented gear list that owns an editable table, for the browser tests of the table."""

from __future__ import annotations

import time
from collections.abc import Sequence
from typing import Any

import anywidget
import traitlets

from workbook.widgets.table.table import Column, Edit, EditTable, Refusal

POUND_KG = 0.45359237
ZONES = ("Cab", "Rear seat", "Bed front", "Bed rear", "Roof", "Hitch box", "Stays home")
MARKUP = "<b>Bold</b> & <img src=x> axe"
THINGS = ("Chainsaw", "Rope, 30 m", "Water can", "First aid kit", "Loppers", MARKUP, "Tarp")


def columns(unit: str) -> tuple[Column, ...]:
    """The columns, with the mass in pounds or kilograms."""
    return (
        Column(key="name", title="Item", kind="text", hint="What it is called on the list", width="15em"),
        Column(key="count", title="How many", kind="number", hint="A whole number", width="5em"),
        Column(key="mass", title=f"Mass each [{unit}]", kind="number", hint="Of one, such as 38 lb or 17 kg"),
        Column(key="zone", title="Zone", kind="choice", choices=ZONES, hint="Where it rides", width="8em"),
        Column(key="comes", title="Comes along", kind="tick"),
        Column(key="group", title="For", kind="choice", choices=("Crew", "Camp", "Trail work"), width="7em"),
        Column(key="remark", title="Remark", kind="text", width="10em"),
        Column(key="total", title="Total", kind="read-only", align="right", hint="Count times mass each"),
    )


class GearList:
    """Plain records behind a table: every accepted edit changes them, and show() writes them out again."""

    def __init__(self, number: int, *, pause_s: float = 0.0) -> None:
        self.unit = "lb"
        self.pause_s = pause_s
        self.fault = ""
        self.calls: list[list[Edit]] = []
        self.items = {f"item-{n + 1}": self._item(n) for n in range(number)}
        self.table = EditTable(
            label="Gear of the crew",
            columns=columns(self.unit),
            rows=self.rows(),
            row_keys=[*self.items],
            on_edit=self.on_edit,
        )

    def _item(self, n: int) -> dict[str, Any]:
        name = THINGS[n % len(THINGS)] + (f" {n // len(THINGS) + 1}" if n >= len(THINGS) else "")
        return {
            "name": name,
            "count": 1 + n % 3,
            "kg": (5 + (n * 7) % 40) * POUND_KG,
            "zone": ZONES[n % len(ZONES)],
            "comes": n % 4 != 3,
            "group": ("Crew", "Camp", "Trail work")[n % 3],
            "remark": "",
        }

    def mass_text(self, mass_kg: float) -> str:
        """A mass as the reader's unit writes it."""
        return f"{mass_kg / POUND_KG:.0f} lb" if self.unit == "lb" else f"{mass_kg:.1f} kg"

    def rows(self) -> list[dict[str, Any]]:
        """Every record as texts, with numbers to sort by."""
        return [
            {
                **{key: item[key] for key in ("name", "zone", "comes", "group", "remark")},
                "count": str(item["count"]),
                "mass": self.mass_text(item["kg"]),
                "total": self.mass_text(item["kg"] * item["count"]),
                "_sort": {"count": item["count"], "mass": item["kg"], "total": item["kg"] * item["count"]},
            }
            for item in self.items.values()
        ]

    def show(self) -> None:
        """Write the records out."""
        self.table.show(self.rows(), [*self.items], columns(self.unit))

    def use_unit(self, unit: str) -> None:
        """Switch between pounds and kilograms."""
        self.unit = unit
        self.show()

    def read(self, column: str, text: str | bool) -> Any:
        """The meaning of one cell; ValueError says what is wrong."""
        words = str(text).split()
        if column == "name" and not words:
            raise ValueError("Give the item a name.")
        if column == "count":
            if not (text or "1").isdigit():  # type: ignore[union-attr]  # a text column
                raise ValueError(f"“{text}” is not a whole number. Write for example 2.")
            return int(text or 1)
        if column == "mass":
            unit = words[1] if len(words) > 1 else self.unit
            number = words[0].replace(",", ".", 1) if words else ""
            if not number:
                raise ValueError("Say what one piece weighs, such as 38 lb.")
            if not number.replace(".", "", 1).isdigit() or unit not in ("lb", "kg"):
                raise ValueError(f"“{text}” is not a mass. Write a number and lb or kg, such as 38 lb.")
            return float(number) * (POUND_KG if unit == "lb" else 1.0)
        return text

    def on_edit(self, edits: list[Edit]) -> Sequence[Refusal]:
        """Apply what can be read, refuse the rest."""
        time.sleep(self.pause_s)
        self.calls.append(edits)
        if self.fault:
            raise RuntimeError(self.fault)
        refusals: list[Refusal] = []
        for edit in edits:
            cells = {edit.column: edit.text} if edit.kind == "set" else dict(edit.cells)
            refusals += self._apply(edit, cells)
        self.show()
        self.table.note = f"{len(self.items)} items, {self.mass_text(sum(self._all_kg()))} in all"
        return refusals

    def _all_kg(self) -> list[float]:
        return [item["kg"] * item["count"] for item in self.items.values()]

    def _apply(self, edit: Edit, cells: dict[str, str | bool]) -> list[Refusal]:
        if edit.kind == "remove":
            del self.items[edit.row_key]
            return []
        values, refusals = {}, []
        for column, text in cells.items():
            try:
                values["kg" if column == "mass" else column] = self.read(column, text)
            except ValueError as error:
                refusals.append(Refusal(row_key=edit.row_key, column=column, reason=str(error)))
        if edit.kind == "set":
            self.items[edit.row_key].update(values)
        elif not refusals:
            values["zone"] = values["zone"] or "Stays home"
            values["group"] = values["group"] or "Crew"
            self.items[f"item-{1 + max((int(key[5:]) for key in self.items), default=0)}"] = values
        return refusals


class Bare(anywidget.AnyWidget):
    """The least widget that does a round trip: a box, and the answer beside it."""

    _esm = """
    export default { render({ model, el }) {
      const box = document.createElement("input"), said = document.createElement("span");
      box.className = "bare-box"; said.className = "bare-said";
      box.addEventListener("change", () => model.send({ text: box.value }));
      model.on("change:said", () => { said.textContent = model.get("said"); });
      el.append(box, said);
    } };
    """
    said = traitlets.Unicode("").tag(sync=True)

    def __init__(self) -> None:
        super().__init__()
        self.on_msg(self._answer)

    def _answer(self, _widget: object, content: dict[str, str], _buffers: object) -> None:
        self.said = f"{content['text']} lb"
