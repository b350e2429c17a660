"""The tables of people, cans, zones, and seats, the carrier, and a season that starts blank."""

from pathlib import Path

import pytest

from loadcalc.model.errors import BadValue
from loadcalc.model.quantities import SI, US, Units
from loadcalc.season import open_season, start_season
from tests.season_help import BLANK, FRIDAY, demo_season
from workbook import panels
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.dials import READERS, amount
from workbook.panels.desk.register import Register, RegisterEdits, register_rows
from workbook.panels.gear import kit
from workbook.panels.gear.kit import STAYS
from workbook.panels.ratings import carrier, measures
from workbook.widgets.table.table import Edit

POUND_KG = 0.45359237
# A text that a page of these units writes, and what it is in SI: a pound is 0.45359237 kg, an inch 25.4 mm, a gallon
# 231 cubic inches, a pound-force on a square inch 6.894757 kPa (NIST SP 811, app. B).
TYPED = [
    (US, "mass", "6,610 lb", 6610 * POUND_KG), (US, "mass", "6,610", 6610 * POUND_KG), (SI, "mass", "7,5", 7.5),
    (US, "volume", "2.5", 9.46352946), (SI, "volume", "2.5 gal", 9.46352946), (US, "length", "15", 0.381),
    (SI, "length", "1500", 1.5), (US, "sideways", "15 in right", -0.381), (US, "pressure", "35", 241.316),
    (SI, "pressure", "35 psi", 241.316), (US, "density", "8.3454 lb/gal", 1.0), (SI, "density", "0,75", 0.75),
]  # fmt: skip


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A desk on a fresh copy of the demo season."""
    return Desk(demo_season(tmp_path, durable=False))


@pytest.mark.parametrize(("units", "quantity", "text", "si"), TYPED)
def test_an_amount_is_read_in_the_readers_units(units: Units, quantity: str, text: str, si: float) -> None:
    """A bare number is in the page's unit, a unit typed is that unit, a comma is what the page writes it as."""
    assert amount(quantity, text, units, "it") == pytest.approx(si, rel=1e-5)


def test_every_reader_names_its_field_and_keeps_to_its_bounds() -> None:
    """A mass over what is allowed is refused by its own name, with the limit in the unit typed."""
    assert {quantity for _, quantity, _, _ in TYPED} == set(READERS)
    with pytest.raises(BadValue, match=r"empty can '30 kg' is above the most allowed, 20 kg"):
        amount("mass", "30 kg", US, "empty can", high=20.0)


@pytest.fixture
def blank(tmp_path: Path) -> Desk:
    """A desk on a season of one's own, as it starts."""
    start_season(tmp_path / "own", BLANK).close()
    return Desk(open_season(tmp_path / "own"))


def set_cell(desk: Desk, register: Register, row: str, column: str, text: str | bool) -> list[str]:
    """Type into one cell; return the reasons for refusing it."""
    edits = RegisterEdits(desk, register)
    return [r.reason for r in edits([Edit(kind="set", row_key=row, column=column, text=text)])]


def add(desk: Desk, register: Register, **cells: str | bool) -> tuple[dict[str, str], str]:
    """Add a row; return the refused columns with their reasons, and the key that it got."""
    edits = RegisterEdits(desk, register)
    refusals = edits([Edit(kind="add", row_key="draft-1", cells=cells)])
    return {r.column: r.reason for r in refusals}, edits.became.get("draft-1", "")


@pytest.mark.parametrize("name", ["people", "cans", "zones", "seats"])
def test_every_cell_takes_back_what_it_shows(desk: Desk, name: str) -> None:
    """Typing the text that stands there is accepted in every cell of every register."""
    register = getattr(kit, name)(desk)
    rows, keys = register_rows(register, desk)
    assert rows
    for row, key in zip(rows, keys, strict=True):
        for cell in register.cells():
            assert set_cell(desk, register, key, cell.column.key, row[cell.column.key]) == []


def test_a_new_person_starts_in_the_first_free_seat_and_comes_along(desk: Desk) -> None:
    """Add row: nothing is marked but name and mass as needed; with these typed they sit where nobody did, and ride."""
    table = kit.people_table(desk)
    table._handle_custom_msg({"view": "v", "batch": 1, "edits": [{"kind": "add"}]}, [])
    row = table._shown["rows"][-1]
    assert row["cells"] == ["", "", "person", "Rear center", "Rear center", False]
    assert set(row["refused"]) == {"name", "mass"}
    typed = [{"kind": "set", "row": row["key"], "column": c, "text": t} for c, t in (("name", "Pim"), ("mass", "150"))]
    table._handle_custom_msg({"view": "v", "batch": 2, "edits": typed}, [])
    assert "refused" not in table._shown["rows"][-1]
    assert table.last_error is None
    assert [(who.name, who.seat) for who in desk.loadout.people][-1] == ("Pim", "Rear center")


def test_a_new_person_whose_place_is_refused_is_not_there_by_half(desk: Desk) -> None:
    """No such seat on this departure: the row stays one that isn't saved, and the season has nobody new."""
    before = [who.name for who in desk.season.people]
    refused, key = add(desk, kit.people(desk), name="Pim", mass="150", seat="Rear right", rides="Under the roof")
    assert list(refused) == ["rides"]
    assert key == ""
    assert [who.name for who in desk.season.people] == before


def test_what_a_cell_shows_typed_anew_leaves_the_number_behind_it(desk: Desk) -> None:
    """A can of 20 L is shown as 5.28 gal; 5.28 typed is no 19.987 L, and no edit."""
    can = desk.season.liquids[0].key
    desk.season.set("liquid", can, capacity_l=20.0)
    desk.season.set_fill(FRIDAY, can, 20.0)
    version = desk.season.version
    assert set_cell(desk, kit.cans(desk), can, "holds", "5.28") == []
    assert desk.season.version == version
    assert set_cell(desk, kit.cans(desk), can, "holds", "5.3") == []
    assert desk.season.liquids[0].capacity_l == pytest.approx(5.3 * 3.785411784)


def test_a_full_tank_is_accepted_as_it_is_shown(desk: Desk) -> None:
    """65 L are 17.2 gal on the page: typed so, it is full; and it stays full when 65 L are typed for 65.13."""
    table = measures.measure_table(desk)
    put = [{"kind": "set", "row": "tank_capacity_l", "column": "value", "text": "65 L"}]
    desk.season.set_fuel(FRIDAY, 0.0)
    desk.season.set_vehicle("curb_fuel_l", 0.0)
    table._handle_custom_msg({"view": "v", "batch": 1, "edits": put}, [])
    fuel = [{"kind": "set", "row": "curb_fuel_l", "column": "value", "text": "17.2"}]
    table._handle_custom_msg({"view": "v", "batch": 2, "edits": fuel}, [])
    assert table.last_error is None
    assert (desk.vehicle.tank.capacity_l, desk.vehicle.curb_fuel_l) == (65.0, 65.0)

    desk.season.set_vehicle("tank_capacity_l", 65.13)
    desk.season.set_vehicle("curb_fuel_l", 65.13)
    desk.season.set_fuel(FRIDAY, 65.13)
    table._handle_custom_msg({"view": "v", "batch": 3, "edits": put}, [])
    assert table.last_error is None
    assert (desk.vehicle.tank.capacity_l, desk.vehicle.curb_fuel_l, desk.loadout.fuel_l) == (65.0, 65.0, 65.0)


def test_a_new_person_rides_when_a_seat_is_chosen(desk: Desk) -> None:
    """150 lb more on board, as one entry that one undo takes back."""
    before, mass_kg = desk.season.version, desk.report.mass_kg
    cells: dict[str, str | bool] = {
        "name": "Pim",
        "mass": "150",
        "kind": "",
        "seat": "Rear right",
        "rides": "Rear right",
        "roof": False,
    }
    refused, key = add(desk, kit.people(desk), **cells)
    assert refused == {}
    assert key
    assert desk.season.version == before + 1
    assert desk.report.mass_kg - mass_kg == pytest.approx(150 * POUND_KG, abs=1e-9)
    desk.undo()
    assert desk.report.mass_kg == pytest.approx(mass_kg, abs=1e-9)


def test_a_person_without_a_mass_stays_a_draft(desk: Desk) -> None:
    """Empty is never zero; a seat is the first that is free."""
    refused, _ = add(
        desk, kit.people(desk), name="Pim", mass="", kind="person", seat="", rides="", roof=False
    )
    assert set(refused) == {"mass"}


def test_two_people_do_not_share_a_seat(desk: Desk) -> None:
    """The season refuses the whole entry, and the table shows why."""
    taken = desk.loadout.people[0].seat
    with pytest.raises(BadValue, match="seat"):
        add(
            desk, kit.people(desk), name="Pim", mass="150", kind="person", seat=taken, rides=taken, roof=False
        )
    assert all(who.name != "Pim" for who in desk.season.people)


def test_who_stays_home_no_longer_counts(desk: Desk) -> None:
    """The report loses exactly that person."""
    who = desk.loadout.people[-1]
    mass_kg = desk.report.mass_kg
    assert set_cell(desk, kit.people(desk), who.key, "rides", STAYS) == []
    assert mass_kg - desk.report.mass_kg == pytest.approx(who.mass_kg, abs=1e-9)


def test_a_new_can_comes_along_full(desk: Desk) -> None:
    """2 lb of can and 5 gal of 8.33 lb each."""
    mass_kg = desk.report.mass_kg
    cells = {
        "name": "Water can 9", "kind": "water", "empty": "2 lb", "holds": "5", "density": "8.33",
        "zone": "Cargo floor front",
    }  # fmt: skip
    refused, _ = add(desk, kit.cans(desk), **cells)
    assert refused == {}
    assert desk.report.mass_kg - mass_kg == pytest.approx((2 + 5 * 8.33) * POUND_KG, rel=1e-9)


def test_the_density_hint_tells_the_fact_tables_values_and_status() -> None:
    """Water at 20 °C is 8.3304 lb/gal (CoolProp); a fuel's density is from memory, and says so."""
    told = kit.density_hint(US)
    assert "water 8.33 lb/gal (computed)" in told
    assert told.count("(from memory)") == 2


def test_a_zone_is_added_moved_and_refused_when_it_is_in_use(desk: Desk) -> None:
    """Its load point moves the axles; a zone with things in it is not taken away."""
    size = {"length_m": "20", "width_m": "20", "height_m": "10"}
    place = {"aft_m": "150", "left_m": "10 in right", "up_m": "30"}
    said: dict[str, str | bool] = {"name": "Tailgate", **place, **size, "on_carrier": False}
    refused, _ = add(desk, kit.zones(desk), **said)
    assert list(refused) == ["in_cabin"], "whether people breathe its air is asked, never taken for granted"
    refused, key = add(desk, kit.zones(desk), **said, in_cabin="no")
    assert refused == {}
    made = next(zone for zone in desk.season.zones if zone.name == "Tailgate")
    assert made.place.left_m == pytest.approx(-0.254, abs=1e-12)
    desk.season.remove("zone", key)
    used = desk.season.find("zone", desk.loadout.gear[0].zone)
    refused_why = RegisterEdits(desk, kit.zones(desk))([Edit(kind="remove", row_key=used)])
    assert "in use" in refused_why[0].reason


def test_the_carrier_is_weighed_and_taken_off(desk: Desk) -> None:
    """Its own mass counts on the vehicle's roof; with things on it, it cannot come off."""
    (table,) = carrier.carrier_table(desk).children
    table._on_edit([Edit(kind="set", row_key="mass_kg", column="value", text="100 lb")])
    assert desk.season.carrier is not None
    assert desk.season.carrier.mass_kg == pytest.approx(100 * POUND_KG, abs=1e-12)
    off = desk.do(lambda: desk.season.set_loadout(FRIDAY, carrier_on=False), "roof rack off")
    assert off is False
    assert "roof rack" in desk.status


def test_a_copied_loadout_is_a_place_to_try_things(desk: Desk) -> None:
    """The copy changes, the original stays."""
    strip = carrier.loadout_strip(desk)
    _, _, name, copy = strip.children
    name.value = "Friday, lighter"
    copy.click()
    assert desk.loadout_name == "Friday, lighter"
    desk.do(lambda: desk.season.set_fuel("Friday, lighter", 20.0), "half a tank")
    assert desk.season.loadout("Friday, lighter").fuel_l == 20.0
    assert desk.season.loadout(FRIDAY).fuel_l > 70.0


def test_a_blank_season_shows_on_every_panel_and_passes_nothing(blank: Desk) -> None:
    """No limit is known, so nothing is judged; every panel can be made, in both units."""
    assert not [r for r in blank.report.ratings if r.known and r.unit == "kg"]
    for units in ("US", "SI"):
        blank.set_units(units)
        made = [
            getattr(panels, name)
            for name in panels.__all__
            if name not in ("Desk", "open_desk", "say", "gear_table")
        ]
        assert len([panel(blank) for panel in made]) >= 14
        panels.gear_table(blank, loading=True)
        panels.gear_table(blank, loading=False)


def test_a_blank_season_takes_its_first_gear_and_limit(blank: Desk) -> None:
    """From nothing to a judged rating in two edits."""
    from workbook.panels.gear.gear import inventory

    cells = {"name": "Tow rope", "mass": "5 lb", "zone": "Rear seat"}
    assert RegisterEdits(blank, inventory(blank))([Edit(kind="add", row_key="draft-1", cells=cells)]) == []
    table = panels.limit_table(blank)
    table._on_edit([Edit(kind="set", row_key="zone:Rear seat", column="limit", text="10 lb")])
    assert blank.report.tightest is not None
    assert blank.report.tightest.consumed == pytest.approx(0.5, rel=1e-9)
