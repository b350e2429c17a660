"""The roof rack: its own measures, whether it is on the vehicle, and a copy of a loadout to try things on."""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as widgets

from loadcalc.model import Carrier
from loadcalc.model.quantities import read_count
from loadcalc.season import Season
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.forms import on_choice, quietly
from workbook.panels.desk.measure import Measure, length, mass, sideways, table_of


def _length(field: str, name: str, get: Callable[[Carrier], float], where: str = "") -> Measure:
    return Measure(
        key=field, name=name, show=lambda c, u: u.length(get(c)), read=length, where=where,
        put=lambda season, value: season.set_carrier(**{field: value}),
    )  # fmt: skip


CARRIER = [
    Measure(
        key="name", name="What you call it", show=lambda c, u: c.name, read=lambda text, units, title: text.strip(),
        put=lambda season, value: season.set_carrier(name=value),
    ),
    Measure(
        key="mass_kg", name="Its own mass", show=lambda c, u: u.mass(c.mass_kg),
        read=lambda text, units, title: mass(text, units, title, high_kg=500.0),
        put=lambda season, value: season.set_carrier(mass_kg=value),
        where="The maker's sheet, or a bathroom scale. It counts against the vehicle's roof, with feet and bars.",
    ),
    _length("aft_m", "Its middle, aft of the front axle", lambda c: c.place.aft_m),
    Measure(
        key="left_m", name="Its middle, left or right of center", show=lambda c, u: u.sideways(c.place.left_m),
        read=sideways, put=lambda season, value: season.set_carrier(left_m=value),
    ),
    _length("up_m", "Its middle, above the ground", lambda c: c.place.up_m),
    _length("length_m", "Length", lambda c: c.size.length_m, "For the drawing."),
    _length("width_m", "Width", lambda c: c.size.width_m),
    _length("height_m", "Thickness", lambda c: c.size.height_m),
    Measure(
        key="slats", name="Slats across it", show=lambda c, u: str(c.slats) if c.slats else "",
        read=lambda text, units, title: int(read_count(text or "0", field=title, high=100)),
        put=lambda season, value: season.set_carrier(slats=value),
        where="Count them, the first and last too. Empty: drawn for orientation only.",
    ),
]  # fmt: skip


def carrier_table(desk: Desk) -> widgets.Widget:
    """The editable table of the rack's measures; when the season has none, a button that enters one by its mass."""
    place = widgets.VBox()
    own = widgets.Text(placeholder=f"Its own mass, in {desk.units.mass_unit}", layout=widgets.Layout(width="14rem"))
    wide = widgets.Layout(width="auto")
    button = widgets.Button(description="Enter a roof rack or platform", icon="plus", layout=wide)

    def enter(_: object) -> None:
        desk.keep_now()
        desk.do(lambda: put_rack_mass(desk.season, mass(own.value, desk.units, "mass")), "Roof rack: entered")

    def show() -> None:
        there = desk.season.carrier is not None
        if there and not (place.children and hasattr(place.children[0], "rows")):
            place.children = [table_of(desk, "Roof rack or platform", CARRIER, lambda: desk.season.carrier, "20rem")]
        elif not there:
            place.children = [widgets.HBox([own, button])]

    show()
    button.on_click(enter)
    desk.records.append(show)
    return place


def put_rack_mass(season: Season, mass_kg: float) -> None:
    """Write the rack's own mass; the first number that is entered of a rack makes it one."""
    if season.carrier is None:
        season.put("carrier", "carrier", {"name": "Roof rack", "mass_kg": mass_kg})
    else:
        season.set_carrier(mass_kg=mass_kg)


def loadout_strip(desk: Desk) -> widgets.Widget:
    """Roof rack and trailer on or off, and a copy of the loadout under another name to try something on."""
    on = widgets.Checkbox(description="Roof rack or platform is on the vehicle", indent=False)
    towed = widgets.Checkbox(description="Trailer is hitched", indent=False)
    name = widgets.Text(placeholder="Name of the copy", layout=widgets.Layout(width="240px"))
    copy = widgets.Button(description="Copy this loadout", icon="copy", layout=widgets.Layout(width="auto"))

    def show() -> None:
        with quietly(on, towed):
            on.value = desk.loadout.carrier is not None
            towed.value = desk.loadout.trailer is not None
        on.disabled = desk.season.carrier is None
        towed.disabled = desk.season.trailer is None

    def turn(field: str, called: str, there: bool) -> None:
        desk.keep_now()
        desk.do(
            lambda: desk.season.set_loadout(desk.loadout_name, **{field: there}),
            f"{desk.loadout_name}: {called} {'on' if there else 'off'}",
        )

    def copied(_: object) -> None:
        desk.keep_now()
        wanted = name.value.strip()
        if desk.do(lambda: desk.season.add_loadout(wanted, like=desk.loadout_name), f"{wanted}: copied"):
            name.value = ""
            desk.choose(wanted)

    show()
    on_choice(on, lambda: turn("carrier_on", "roof rack", on.value))
    on_choice(towed, lambda: turn("trailer_on", "trailer", towed.value))
    copy.on_click(copied)
    desk.records.append(show)
    return widgets.HBox(
        [on, towed, name, copy], layout=widgets.Layout(flex_flow="row wrap", align_items="center")
    )
