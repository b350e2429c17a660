"""The load-up sheet without a browser: order, straps, pressures, cautions, and that every typed word is only text."""

from __future__ import annotations

import re
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest

from loadcalc.checks import evaluate
from loadcalc.checks.findings.finding import NOT_KNOWN
from loadcalc.model import (
    Filled,
    Item,
    Liquid,
    Loadout,
    Occupant,
    Place,
    Seat,
    Size,
    Stowed,
    Tire,
    Trailer,
    Zone,
)
from loadcalc.model.quantities import SI, US
from loadcalc.model.straps import Strapping
from loadcalc.season import start_season
from loadcalc.season.edit.straps import strap
from tests.invented import invented_loadout, invented_vehicle
from tests.season_help import BLANK, FRIDAY, demo_season
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.findings_words import NAMES
from workbook.panels.sheet.loading import at_hand, steps
from workbook.panels.sheet.page import style
from workbook.panels.sheet.sheet import sheet_html
from workbook.panels.sheet.sheet_panel import sheet_of, sheet_panel, sheet_view
from workbook.panels.sheet.sheet_words import (
    cautions,
    fill_lines,
    rating_lines,
    seat_lines,
    strap_lines,
    tire_lines,
)

SIZE = Size(length_m=0.5, width_m=0.5, height_m=0.3)
MARKUP = "<img src=x onerror=alert(1)> & </main><script>alert('x')</script>"


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A desk on a fresh copy of the demo season."""
    return Desk(demo_season(tmp_path, durable=False))


def zone(name: str, aft_m: float, up_m: float = 0.8, **more: object) -> Zone:
    """A zone in a line of its own."""
    return Zone(name=name, place=Place(aft_m=aft_m, up_m=up_m), size=SIZE, **more)  # type: ignore[arg-type]  # flags


def day() -> Loadout:
    """Two inner zones, one reached on the road, a rack, a can, and something to keep at hand."""
    kit = Item(name="aid kit", mass_kg=3.0, keep_reachable=True)
    return Loadout(
        name="day",
        zones=(
            zone("door", 1.0, reach="on the road", in_cabin=True),
            zone("rack", 4.0, reach="when unloaded"),
            zone("deck", 3.0, reach="when unloaded", in_cabin=True),
            zone("floor", 2.4, reach="when unloaded", in_cabin=True),
        ),
        gear=(
            Stowed(item=Item(name="map", mass_kg=0.5), zone="door"),
            Stowed(item=kit, zone="deck"),
            Stowed(item=Item(name="tent", mass_kg=6.0), zone="deck"),
            Stowed(item=Item(name="box", mass_kg=12.0), zone="deck"),
            Stowed(item=Item(name="battery", mass_kg=9.0, stay_low=True), zone="deck"),
            Stowed(item=Item(name="left at home", mass_kg=1.0), zone="deck", count=0),
        ),
        liquids=(
            Filled(
                liquid=Liquid(name="can", container_kg=1.0, capacity_l=20.0, density_kg_per_l=1.0),
                zone="floor",
                fill_l=10.0,
            ),
        ),
    )


def test_last_needed_goes_in_first_and_what_must_be_at_hand_last() -> None:
    """Inner zones from the front, then outside, then what is reached on the road; low, then heavy, inside a zone."""
    found = steps(day())

    assert [(step.number, step.zone) for step in found] == [(4, "floor"), (3, "deck"), (1, "door")]
    assert [piece.name for piece in found[1].pieces] == ["battery", "box", "tent"]
    assert [piece.name for piece in at_hand(day())] == ["aid kit"]
    assert found[1].mass_kg == pytest.approx(27.0, abs=1e-12)


def test_everything_on_board_is_listed_once(desk: Desk) -> None:
    """Every piece and can of the demo stands in one step or at hand, none twice."""
    listed = [piece.name for step in steps(desk.loadout) for piece in step.pieces]
    listed += [piece.name for piece in at_hand(desk.loadout)]
    aboard = [
        s.item.name if s.count == 1 else f"{s.item.name} × {s.count}" for s in desk.loadout.gear if s.count
    ]
    aboard += [filled.liquid.name for filled in desk.loadout.liquids]

    assert sorted(listed) == sorted(aboard)


def test_roof_is_loaded_after_the_inside() -> None:
    """A carrier zone comes after the inner and outer ones that are reached when unloaded."""
    loadout = invented_loadout(3, items=40, zones=6)
    numbered = {f"zone {n}": replace(z, reach="when unloaded") for n, z in enumerate(loadout.zones)}
    loadout = replace(loadout, zones=tuple(numbered.values()))

    on_carrier = [numbered[step.zone].on_carrier for step in steps(loadout)]

    assert True in on_carrier
    assert on_carrier == sorted(on_carrier)


class Texts(HTMLParser):
    """Tags and texts of a page, scripts and styles apart."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.text = ""
        self._raw = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a tag."""
        self.tags.append(tag)
        self._raw = tag if tag in ("script", "style") else ""

    def handle_endtag(self, tag: str) -> None:
        """Leave a script or a style."""
        self._raw = ""

    def handle_data(self, data: str) -> None:
        """Collect text."""
        if not self._raw:
            self.text += data


def test_markup_in_any_name_is_text() -> None:
    """Item, zone, can, group, and loadout names with markup make no tag and run nothing; they stand as typed."""
    loadout = replace(
        day(),
        name=f"day {MARKUP}",
        zones=tuple(replace(z, name=f"{z.name} {MARKUP}") for z in day().zones),
        gear=tuple(
            replace(
                s, zone=f"{s.zone} {MARKUP}", item=replace(s.item, name=f"{s.item.name} {MARKUP}"), group="g"
            )
            for s in day().gear
        ),
        liquids=tuple(
            replace(f, zone=f"{f.zone} {MARKUP}", liquid=replace(f.liquid, name=MARKUP))
            for f in day().liquids
        ),
    )
    loadout = replace(loadout, straps=(Strapping(key="g", name=f"group {MARKUP}", straps=1),))
    vehicle = replace(invented_vehicle(1), name=MARKUP)

    html = sheet_html(evaluate(vehicle, loadout), US, made=MARKUP)

    page = Texts()
    page.feed(html)
    assert "script" not in page.tags
    assert "img" not in page.tags
    for text in (f"day {MARKUP}", f"deck {MARKUP}", f"tent {MARKUP}", f"group {MARKUP}"):
        assert text in page.text


def test_the_frame_on_the_page_holds_the_sheet_as_an_attribute(desk: Desk) -> None:
    """The panel's frame and link carry the sheet without opening it to the page around it."""
    frame = Texts()
    frame.feed(sheet_view(sheet_of(desk)))

    assert frame.tags.count("iframe") == 1
    assert "script" not in frame.tags


def test_the_demo_says_what_its_ratings_straps_and_tires_are(desk: Desk) -> None:
    """Overloads first with their mark, each group with its straps, placard and trail pressures."""
    over = [line for line in rating_lines(desk.report, US) if line.startswith("▲ ")]
    assert len(over) == len(desk.report.over)
    html = sheet_of(desk)
    for text in ("Shelter and chairs", "Hand tools", "2 straps over the top", "Propane cylinder"):
        assert text in html


def test_pressures_say_what_is_not_known_and_what_was_aired_down() -> None:
    """No placard entered is said so; a pressure of the departure's own is said; a trail pressure is to go back up."""
    vehicle = replace(
        invented_vehicle(1), front_tire=Tire(placard_kpa=240.0), rear_tire=Tire(), spare_tire=None
    )
    loadout = replace(day(), front_kpa=180.0)

    assert tire_lines(vehicle, loadout, SI) == [
        "Front: 240 kPa by the placard; trail 180 kPa, back up before the road",
        "Rear: ? not known",
        "Spare: ? not known",
    ]
    assert tire_lines(vehicle, loadout, US)[0].startswith("Front: 34.8 psi by")  # 240 / 6.894757 = 34.81
    assert tire_lines(vehicle, replace(day(), rear_road_kpa=310.0), SI)[1] == "Rear: 310 kPa"
    trailer = Trailer(name="cart", mass_kg=500.0, tongue_kg=50.0)
    towing = replace(vehicle, spare_tire=Tire(placard_kpa=250.0))
    assert tire_lines(towing, replace(day(), trailer=trailer), SI)[2:] == [
        "Spare: 250 kPa",
        "Trailer: ? not known here, read its own placard",
    ]


def test_each_seat_is_told_with_who_sits_there_and_animals_with_their_zone() -> None:
    """A seat that nobody takes stays free; a dog in a zone is told after the seats."""
    places = [Place(aft_m=1.4, left_m=left, up_m=0.9) for left in (0.4, -0.4)]
    seats = tuple(Seat(name=name, place=at) for name, at in zip(("Driver", "Passenger"), places, strict=True))
    people = (
        Occupant(name="Rex", mass_kg=30.0, seat="deck", kind="animal"),
        Occupant(name="Lou", mass_kg=80.0, seat="Driver"),
    )

    found = seat_lines(replace(invented_vehicle(1), seats=seats), replace(day(), people=people))

    assert found == ["Driver: Lou", "Passenger: free", "deck: Rex"]


def test_tank_and_cans_are_told_in_the_readers_units() -> None:
    """How far to fill, of what each holds; an empty can stays empty. 10 L are 2.64 gal, 20 L are 5.28 gal."""
    vehicle = replace(invented_vehicle(1), tank=replace(invented_vehicle(1).tank, capacity_l=80.0))
    (can,) = day().liquids
    loadout = replace(day(), fuel_l=40.0, liquids=(can, replace(can, fill_l=0.0)))

    metric = ["Vehicle's tank: 40 of 80 L", "can, water: 10 of 20 L", "can, water: empty, holds 20 L"]
    assert fill_lines(vehicle, loadout, SI) == metric
    assert fill_lines(vehicle, loadout, US)[1] == "can, water: 2.64 of 5.28 gal"


def test_all_findings_are_named_before_the_loading_order(desk: Desk) -> None:
    """The demo has eleven limits that nobody knows: each is named, none only counted."""
    first, _, _ = sheet_text(desk).partition("Load in this order")
    found = desk.report.findings

    assert sum(f.kind == NOT_KNOWN for f in found) > NAMES
    assert [f.what for f in found if f.what not in first] == []
    assert not re.search(r"and \d+ more\b", first.partition("Look at these first")[2])


def test_the_departures_name_stands_at_the_foot_and_ends_no_style() -> None:
    """Whatever a name holds, in the style sheet it is letters by their numbers."""
    found = style('a"</style>; }')

    assert "a\\000022\\00003c\\00002fstyle\\00003e\\00003b\\000020\\00007d" in found
    assert "</style>" not in found


def sheet_text(desk: Desk) -> str:
    """All that can be read on the sheet of a desk's departure."""
    page = Texts()
    page.feed(sheet_of(desk))
    return page.text


def test_an_overloaded_foot_is_on_the_sheet(desk: Desk) -> None:
    """90 kg on the middle of a roof whose feet carry 20 kg each: the sheet names a foot and by how much it is over."""
    for _, fields in desk.season.present.rows("bar"):
        desk.season.set("bar", str(fields["name"]), foot_limit_kg=20.0)
    key = desk.season.add_item(name="Anvil", mass_kg=90.0)
    desk.season.stow(FRIDAY, key, "Roof platform front")
    desk.reload()
    over = [rating for rating in desk.report.over if rating.name.endswith("foot")]
    assert over

    text = sheet_text(desk)

    assert f"{over[0].name} (" in text
    assert f"over by {US.mass(-(over[0].headroom_kg or 0.0))}" in text
    assert "▲ " in text


def test_gas_in_the_cabin_stands_before_the_loading_order(desk: Desk) -> None:
    """A cylinder on the deck, unmarked: the sheet says so among the first things, with what to do."""
    desk.season.stow(FRIDAY, "propane-cylinder", "Cargo deck left")
    desk.season.set_item("propane-cylinder", hazard=None)
    desk.reload()

    text = sheet_text(desk)

    at = text.index("Gas that rides where people breathe: Propane cylinder (Cargo deck left)")
    assert text.index("Look at these first") < at < text.index("Load in this order")


def test_a_blank_seasons_sheet_says_that_nothing_is_judged(tmp_path: Path) -> None:
    """Not one limit is known: no word of a pass, and what nobody entered is told."""
    text = sheet_text(Desk(start_season(tmp_path / "blank", BLANK)))

    assert "Nothing is judged" in text
    assert "exceeded" not in text
    assert "Not entered, so nothing that rests on it is judged: Curb mass (gross, axles, and tires); Wheelbase" in text


def test_the_usual_cautions_come_last() -> None:
    """Fuel and gas by name, then makers' ratings first."""
    cylinder = Item(name="Propane cylinder", mass_kg=10.0, hazard="gas")
    found = cautions(
        evaluate(invented_vehicle(1), replace(day(), gear=(Stowed(item=cylinder, zone="rack"),)))
    )

    assert found[0] == "Upright, vented, outside, away from flame: Propane cylinder."
    assert found[-1].startswith("Makers' ratings and local law come first")


def test_a_loaded_roof_has_its_caution_on_the_sheet(desk: Desk) -> None:
    """Nobody lifts up there alone or stands on a tire; with the rack off, nothing is said of it."""
    assert "Nobody lifts onto a roof alone." in sheet_text(desk)
    assert "never on a tire, a bumper, or a sill" in sheet_text(desk)
    bare = evaluate(invented_vehicle(1), Loadout(name="empty"))
    assert "Nobody lifts" not in sheet_html(bare, US)


def test_a_strap_line_tells_shortfalls() -> None:
    """One strap too few: the sheet says which direction falls short."""
    group = Strapping(
        key="g", name="Crates", straps=1, tension_n=100.0, wll_kg=200.0, anchor_wll_kg=200.0,
        surfaces="steel crate on grooved aluminum",
    )  # fmt: skip
    crate = Stowed(item=Item(name="crate", mass_kg=60.0, size=SIZE), zone="rack", group="g")

    (line,) = strap_lines(replace(day(), gear=(crate,), straps=(group,)), SI)

    assert line.startswith("Crates (60 kg): 1 strap over the top, 90°, 100 N each; ▲ falls short: ")
    assert "forward, rearward (49 CFR 393); forward" in line


def test_the_panel_follows_the_season(desk: Desk) -> None:
    """A kept edit makes the sheet anew; a strap added is on it."""
    panel = sheet_panel(desk)
    desk.do(lambda: strap(desk.season, FRIDAY, "hand-tools", straps=5), "Five straps")

    assert "5 straps over the top" in panel.value
    assert re.search(r"made \d{4}-\d\d-\d\d \d\d:\d\d", panel.value)


def test_an_empty_loadout_has_a_sheet_too() -> None:
    """Nothing on board, no straps, no bars: it says so."""
    html = sheet_html(evaluate(invented_vehicle(1), Loadout(name="empty")), US)

    assert "Nothing is on board yet." in html
    assert "No tied group is entered." in html
