"""The panels without a browser: what a slider or a cell does to the season, and what the page then shows."""

import asyncio
from dataclasses import replace
from pathlib import Path

import pytest

from loadcalc.model import Loadout, Vehicle
from loadcalc.model.errors import BadValue, SeasonError
from loadcalc.model.quantities import SI, US
from tests.panels.slide import row as slider_row
from tests.panels.slide import slide, type_in
from tests.season_help import FRIDAY, demo_season
from workbook.panels.desk import dials
from workbook.panels.desk.board import Board
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.frame import html_table
from workbook.panels.desk.measure import measure_rows
from workbook.panels.desk.register import RegisterEdits, register_rows
from workbook.panels.gear import gear, lists
from workbook.panels.gear.kit import STAYS
from workbook.panels.ledger.opening import open_desk
from workbook.panels.loadout import consumed
from workbook.panels.ratings import limits, measures
from workbook.widgets.table.table import Edit

POUND_KG = 0.45359237


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A desk on a fresh copy of the demo season."""
    return Desk(demo_season(tmp_path, durable=False))


def dial_of(desk: Desk, key: str) -> dials.Dial:
    """One dial of the loadout board."""
    found = [
        *dials.people_dials(desk.loadout, desk.vehicle, desk.units),
        *dials.liquid_dials(desk.loadout, desk.vehicle, desk.units),
    ]
    return next(d for d in found if d.key == key)


def turn(desk: Desk, dial: dials.Dial, value: float) -> None:
    """Try one dial out, in the reader's unit."""
    desk.try_out(*dial.turned(desk.vehicle, desk.loadout, dial.si(value)))


def test_a_slider_that_rests_is_not_painted_again(desk: Desk) -> None:
    """What was tried out stands on the page when it is kept; an undo is painted."""
    painted: list[str] = []
    desk.numbers.append(lambda: painted.append("numbers"))
    desk.at_rest.append(lambda: painted.append("at rest"))
    dial = dial_of(desk, "tank")
    slide(Board(desk, lambda: {"": [dial]}).view, "tank", dial.low)  # without an event loop it rests at once
    assert desk.season.loadout(FRIDAY).fuel_l == 0.0
    assert painted == ["numbers", "at rest"]
    desk.undo()
    assert painted == ["numbers", "at rest"] * 2


def test_a_page_that_runs_again_paints_once(tmp_path: Path) -> None:
    """Its first cell opens a new desk; the old one tells nobody anything more, and what waited on it is kept."""
    demo_season(tmp_path, durable=False).close()
    first = open_desk(tmp_path / "season")
    painted: list[str] = []
    first.numbers.append(lambda: painted.append("first"))
    first._waiting["tank"] = ("Fuel: none", lambda: first.season.set_fuel(FRIDAY, 0.0))
    second = open_desk(tmp_path / "season")
    second.numbers.append(lambda: painted.append("second"))
    assert second.loadout.fuel_l == 0.0
    painted.clear()
    first.reload()
    second.reload()
    assert painted == ["second"]


def test_the_page_opens_on_the_latest_departure(desk: Desk) -> None:
    """The demo's later loadout is the one with the story."""
    assert desk.loadout_name == FRIDAY
    assert desk.report.over


def test_trying_out_writes_nothing(desk: Desk) -> None:
    """A moving slider changes the report, not the ledger."""
    before = desk.season.version
    person = desk.loadout.people[0]
    mass_kg = desk.report.mass_kg
    turn(desk, dial_of(desk, f"person:{person.key}"), 250.0)
    assert desk.report.mass_kg - mass_kg == pytest.approx(250 * POUND_KG - person.mass_kg, abs=1e-9)
    assert desk.season.version == before


def test_a_rested_slider_is_one_entry_and_undo_takes_it_back(desk: Desk) -> None:
    """What was tried out is kept as one dated entry with a readable note."""
    before, fuel_l = desk.season.version, desk.loadout.fuel_l
    dial = dial_of(desk, "tank")
    desk.keep_later("tank", "Fuel in the tank: 10 gal", lambda: dial.keep(desk.season, FRIDAY, dial.si(10.0)))
    assert desk.season.version == before + 1
    assert desk.loadout.fuel_l == pytest.approx(10 * 3.785411784, abs=1e-9)
    assert desk.status == "Kept in the ledger: Fuel in the tank: 10 gal"
    desk.undo()
    assert desk.loadout.fuel_l == fuel_l
    assert desk.status == "Undone: Fuel in the tank: 10 gal"


def tank_board(desk: Desk) -> Board:
    """A board of one slider, the tank's."""
    return Board(desk, lambda: {"": [dial_of(desk, "tank")]})


def test_a_typed_number_is_kept_and_shown(desk: Desk) -> None:
    """With a unit or without; the text that stands there already is no edit."""
    board, before = tank_board(desk), desk.season.version
    for text, fuel_l in (("2.5 gal", 9.46352946), ("7,5 L", 7.5), ("12", 45.424941408)):
        assert type_in(board.view, "tank", text) == ""
        assert desk.season.loadout(FRIDAY).fuel_l == pytest.approx(fuel_l, abs=1e-9)
        assert slider_row(board.view, "tank")["value"] == pytest.approx(fuel_l / 3.785411784, abs=1e-9)
    assert desk.season.version == before + 3
    assert type_in(board.view, "tank", "12") == ""
    assert desk.season.version == before + 3


@pytest.mark.parametrize("units", ["US", "SI"])
def test_a_typed_full_tank_is_full(desk: Desk, units: str) -> None:
    """The brim as it is shown, though that may be a rounding above it; what is more is refused with both ends."""
    desk.set_units(units)
    board, brim_l = tank_board(desk), desk.vehicle.tank.capacity_l
    slide(board.view, "tank", 1.0)
    full = desk.units.volume(brim_l)
    assert type_in(board.view, "tank", full) == ""
    assert desk.season.loadout(FRIDAY).fuel_l == brim_l
    version, more = desk.season.version, desk.units.volume(brim_l * 1.1)
    why = type_in(board.view, "tank", more)
    ends = f"0 {desk.units.volume_unit} to {full}"
    assert why == f"Fuel in the tank '{more}' is outside {ends}; check the number and its unit"
    assert slider_row(board.view, "tank")["value"] == pytest.approx(desk.units.scale("volume").value(brim_l))
    assert desk.season.version == version


def test_a_refused_number_stays_until_it_is_corrected(desk: Desk) -> None:
    """What is kept elsewhere on the page takes it away as little as another slider does; a move of its own does."""
    board = Board(desk, lambda: {"": dials.liquid_dials(desk.loadout, desk.vehicle, desk.units)})
    assert "lots" in type_in(board.view, "tank", "lots")
    other = next(key for key in (r["key"] for r in board.view.columns[""]) if key != "tank")
    slide(board.view, other, 0.5)
    assert board.view.refused["tank"]["text"] == "lots"
    slide(board.view, "tank", 3.0)
    assert board.view.refused == {}


def test_a_number_that_a_person_typed_is_shown_as_typed(desk: Desk) -> None:
    """To the digits that are shown, text to SI and back is the same text, in either unit."""
    for units in ("US", "SI"):
        desk.set_units(units)
        who = desk.loadout.people[0].key
        board = Board(desk, lambda: {"": dials.people_dials(desk.loadout, desk.vehicle, desk.units)})
        for tenths in range(200, 1000, 7):
            text = f"{tenths / 10:g} {desk.units.mass_unit}"
            assert type_in(board.view, f"person:{who}", text) == ""
            assert desk.units.mass(desk.season.loadout(FRIDAY).people[0].mass_kg) == text


def test_what_cannot_be_is_said_and_neither_shown_nor_kept(desk: Desk) -> None:
    """A slider that leads to an impossible place says so in the status line."""
    before, report = desk.season.version, desk.report

    def off(vehicle: Vehicle, loadout: Loadout, value: float) -> tuple[Vehicle, Loadout]:
        raise BadValue("aft", value, "is outside -5 to 20 m", "check the number and its unit")

    dial = replace(dial_of(desk, "tank"), turned=off, keep=lambda *_: pytest.fail("kept"))
    board = Board(desk, lambda: {"": [dial]})
    slide(board.view, "tank", 1.0)
    assert board.view.refused["tank"]["why"].startswith("aft 3.78")  # 1 gal
    assert slider_row(board.view, "tank")["value"] == dial.value
    assert (desk.season.version, desk.report) == (before, report)


def test_the_watch_outlives_a_disk_that_does_not_answer(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """A look that fails is said, and the next one comes."""

    def broken() -> None:
        raise SeasonError("the disk did not answer")

    async def watch() -> list[str]:
        monkeypatch.setattr("workbook.panels.desk.desk.LOOK_S", 0.01)
        monkeypatch.setattr(desk, "look", broken)
        desk.watch_others()
        said = [desk.status]
        monkeypatch.setattr(desk, "look", lambda: desk.say("looked again"))
        await asyncio.sleep(0.2)
        return [*said, desk.status]

    assert asyncio.run(watch()) == ["Not read: the disk did not answer", "looked again"]


def test_a_slider_moved_back_keeps_nothing(desk: Desk) -> None:
    """There and back again before it rests leaves no entry."""
    before = desk.season.version
    desk._waiting["tank"] = ("note", lambda: pytest.fail("it was moved back"))
    board = tank_board(desk)
    slide(board.view, "tank", dial_of(desk, "tank").value)
    desk.keep_now()
    assert desk.season.version == before


@pytest.mark.parametrize("units", [US, SI])
def test_every_dial_reaches_its_brim_and_holds_its_value(desk: Desk, units: object) -> None:
    """A full container is on the slider's scale, in either unit."""
    made = dials.liquid_dials(desk.loadout, desk.vehicle, units)  # type: ignore[arg-type]  # parametrized over Units
    made += dials.people_dials(desk.loadout, desk.vehicle, units)  # type: ignore[arg-type]  # the same
    for dial in made:
        assert dial.low <= dial.value <= dial.high + 1e-9
    assert made[0].si(made[0].high) == pytest.approx(desk.vehicle.tank.capacity_l, abs=1e-9)


def test_moving_a_zones_point_moves_the_axles_by_the_lever(desk: Desk) -> None:
    """Rear axle gains mass * shift / wheelbase, to the gram."""
    name = "Roof platform rear"
    dial = dials.zone_dials(desk.loadout, name, desk.units)[0]
    load_kg = desk.report.rating(f"zone:{name}").load_kg
    rear_kg, aft_m = desk.report.rear_axle_kg, desk.loadout.zone(name).place.aft_m
    turn(desk, dial, dial.value + 10)
    shift_m = desk.loadout.zone(name).place.aft_m - aft_m
    assert shift_m == pytest.approx(0.254, abs=1e-9)
    assert desk.report.rear_axle_kg - rear_kg == pytest.approx(
        load_kg * shift_m / desk.vehicle.wheelbase_m, abs=1e-6
    )


def test_the_slider_of_a_side_says_the_side_in_words(desk: Desk) -> None:
    """No sign to misread: beside the slider, in the status line, and on the axles of the loadout that is kept."""
    name = "Roof platform rear"

    def side() -> dict[str, list[dials.Dial]]:
        return {"": [dials.zone_dials(desk.loadout, name, desk.units)[1]]}

    board = Board(desk, side)
    assert slider_row(board.view, "zone:left")["sides"] == ("left", "right")
    for inches, said in ((-15.0, "15 in right"), (13.0, "13 in left"), (0.0, "0 in")):
        assert type_in(board.view, "zone:left", said) == ""
        assert desk.status == f"Kept in the ledger: Left or right of center: {said}"
        assert desk.season.loadout(FRIDAY).zone(name).place.left_m == pytest.approx(
            inches * 0.0254, abs=1e-12
        )


def test_the_limit_that_a_cell_shows_is_what_it_reads_back(desk: Desk) -> None:
    """Thousands have their mark in the cell, and typing the cell's own text changes nothing."""
    for units in ("US", "SI"):
        desk.set_units(units)
        rows, keys = limits.limit_rows(desk.report, desk.units)
        shown = {key: row["limit"] for key, row in zip(keys, rows, strict=True)}
        assert shown["gross"] == desk.units.mass(desk.report.rating("gross").limit_kg or 0.0)
        assert len(shown["gross"]) == len("6,610 lb")
        for key, text in shown.items():
            kg = limits.read_limit(text, desk.report.rating(key), desk.units)
            assert ("" if kg is None else desk.units.mass(kg)) == text


def test_units_switch_everywhere_at_once(desk: Desk) -> None:
    """Rows, dials, and words follow one setting of the season."""
    rows, _ = register_rows(gear.inventory(desk), desk)
    assert rows[0]["mass"].endswith(" lb")
    desk.set_units("SI")
    rows, _ = register_rows(gear.inventory(desk), desk)
    assert rows[0]["mass"].endswith(" kg")
    assert dial_of(desk, "tank").scale.unit == "L"
    rows, keys = measure_rows(measures.MEASURES, desk.vehicle, desk.units)
    assert rows[keys.index("curb_kg")]["value"].endswith(" kg")


def test_another_pages_edit_is_taken_in(tmp_path: Path) -> None:
    """Two desks on one season: what one keeps, the other shows when it looks."""
    one = Desk(demo_season(tmp_path, durable=False))
    from loadcalc.season import open_season

    other = Desk(open_season(one.season.folder))
    one.do(lambda: one.season.set_fuel(FRIDAY, 20.0), "half empty")
    other.look()
    assert other.loadout.fuel_l == 20.0
    assert "another page" in other.status


# The gear table ----------------------------------------------------------------------------------------


def edit(desk: Desk, row: str, column: str, text: str | bool) -> list[str]:
    """Type into one cell; return the reasons for refusing it."""
    register = (gear.stowing if column == "along" else gear.inventory)(desk)
    edits = RegisterEdits(desk, register)
    return [r.reason for r in edits([Edit(kind="set", row_key=row, column=column, text=text)])]


def test_a_typed_mass_reaches_the_ledger_with_its_unit(desk: Desk) -> None:
    """ "12 oz" in a column of pounds is 12 ounces: 12 * 28.349523125 g."""
    key = desk.season.gear[0].key
    assert edit(desk, key, "mass", "12 oz") == []
    assert desk.season.gear[0].mass_kg == pytest.approx(0.3401942775, abs=1e-12)


@pytest.mark.parametrize(
    ("column", "text", "says"),
    [
        ("mass", "heavy", "mass each"),
        ("mass", "4000 kg", "4000 kg"),
        ("mass", "-3 lb", "-3"),
        ("mass", "", "mass each"),
        ("mass", "3 gal", "3 gal"),
        ("count", "2.5", "owned"),
        ("size", "24 x 16", "three lengths"),
        ("name", "CHAINSAW", "taken by another"),
        ("name", " ", "empty"),
        ("along", "99", "more than"),
    ],
)
def test_nonsense_is_refused_with_its_reason_and_not_applied(
    desk: Desk, column: str, text: str, says: str
) -> None:
    """The cell keeps the text, the season keeps its value."""
    before, item = desk.season.version, desk.season.gear[0]
    reasons = edit(desk, item.key, column, text)
    assert len(reasons) == 1
    assert says in reasons[0]
    assert desk.season.version == before


def test_a_paste_is_one_entry_and_its_bad_cells_are_refused_alone(desk: Desk) -> None:
    """Good cells of a block apply; one undo takes the whole block back."""
    before = desk.season.version
    first, second = desk.season.gear[:2]
    edits = [
        Edit(kind="set", row_key=first.key, column="mass", text="9 lb", pasted=True),
        Edit(kind="set", row_key=second.key, column="mass", text="lots", pasted=True),
        Edit(
            kind="add",
            row_key="draft-1",
            cells={"name": "Tow rope", "mass": "2,5 kg", "kind": ""},
            pasted=True,
        ),
    ]
    table = RegisterEdits(desk, gear.inventory(desk))
    refusals = table(edits)
    assert [(r.row_key, r.column) for r in refusals] == [(second.key, "mass")]
    assert desk.season.version == before + 1
    added = next(item for item in desk.season.gear if item.name == "Tow rope")
    assert (added.mass_kg, added.known, added.count) == (2.5, "estimated", 1)
    assert table.became == {"draft-1": added.key}
    desk.undo()
    assert desk.season.gear[0].mass_kg == first.mass_kg
    assert all(item.name != "Tow rope" for item in desk.season.gear)


def test_a_new_row_without_a_mass_stays_a_draft(desk: Desk) -> None:
    """An empty mass is never taken for zero."""
    before = desk.season.version
    refusals = RegisterEdits(desk, gear.inventory(desk))(
        [Edit(kind="add", row_key="draft-1", cells={"name": "Tow rope", "mass": ""})]
    )
    assert [(r.row_key, r.column) for r in refusals] == [("draft-1", "mass")]
    assert desk.season.version == before


def test_choosing_a_zone_moves_the_item_on_this_loadout_only(desk: Desk) -> None:
    """The other loadout keeps its own place for it."""
    item = desk.loadout.gear[0].item
    others = {lo.name: lo.gear for lo in desk.season.loadouts if lo.name != FRIDAY}
    assert edit(desk, item.key, "zone", "Cargo floor front") == []
    assert next(s.zone for s in desk.loadout.gear if s.item.key == item.key) == "Cargo floor front"
    assert {lo.name: lo.gear for lo in desk.season.loadouts if lo.name != FRIDAY} == others
    assert edit(desk, item.key, "zone", STAYS) == []
    assert all(s.item.key != item.key for s in desk.loadout.gear)


def test_duplicate_and_remove(desk: Desk) -> None:
    """A copy has its own name and key; removing takes it off the list."""
    item = desk.season.gear[3]
    desk.season.set_item(item.key, hazard="fuel")
    table = RegisterEdits(desk, gear.inventory(desk))
    made = table(
        [
            Edit(
                kind="duplicate",
                row_key="draft-1",
                source_key=item.key,
                cells={"name": "Second one", "mass": "3 lb"},
            )
        ]
    )
    assert made == []
    copy = next(i for i in desk.season.gear if i.name == "Second one")
    assert (copy.kind, copy.hazard) == (item.kind, "fuel")
    assert copy.key != item.key
    assert table([Edit(kind="remove", row_key=copy.key)]) == []
    assert all(i.key != copy.key for i in desk.season.gear)


def test_sizes_round_trip_in_both_units() -> None:
    """Three lengths, one unit for all, or each its own."""
    size = gear.read_size("24 x 16 x 12 in", US)
    assert size is not None
    assert (size.length_m, size.width_m, size.height_m) == pytest.approx((0.6096, 0.4064, 0.3048), abs=1e-12)
    assert gear.size_text(size, US) == "24 x 16 x 12 in"
    mixed = gear.read_size("600 mm × 40 cm × 30,5 cm", SI)
    assert mixed is not None
    assert (mixed.length_m, mixed.width_m, mixed.height_m) == pytest.approx((0.6, 0.4, 0.305), abs=1e-12)
    assert gear.read_size("", US) is None
    inches = gear.read_size('24 x 16 x 12"', SI)
    assert inches is not None
    assert inches.length_m == pytest.approx(0.6096, abs=1e-12)  # the mark of the last is that of all


def test_what_counts_lists_the_largest_and_sums_up_the_rest(desk: Desk) -> None:
    """Fifteen by name, the others as one row, and the rating's load below them."""
    rating = desk.report.rating("gross")
    rows = consumed.parts_rows(desk.report, "gross", desk.units)
    assert len(rows) == 17
    assert rows[0][0] == "Crew wagon, no fuel"
    assert rows[-2][0] == f"{len(rating.parts) - 15} smaller ones"
    assert rows[-1] == ("Together", "", "", US.mass(rating.load, grouped=True))
    assert (
        len(consumed.parts_rows(desk.report, "carrier_road", desk.units))
        == len(desk.report.rating("carrier_road").parts) + 1
    )


# Limits and measures -----------------------------------------------------------------------------------


def test_an_emptied_limit_is_not_known_rather_than_zero(desk: Desk) -> None:
    """Nothing typed means that nobody knows."""
    table = limits.limit_table(desk)
    refused = table._on_edit([Edit(kind="set", row_key="rear_axle", column="limit", text="")])
    assert refused == []
    assert not desk.report.rating("rear_axle").known
    assert limits.read_limit("0 lb", desk.report.rating("rear_axle"), US) == 0.0


def test_a_limit_takes_another_unit_and_says_where_it_was_read(desk: Desk) -> None:
    """1,6 t of a European label, typed into a column of pounds."""
    table = limits.limit_table(desk)
    table._on_edit([Edit(kind="set", row_key="rear_axle", column="limit", text="1700 kg")])
    table._on_edit([Edit(kind="set", row_key="rear_axle", column="read_at", text="photo of the label")])
    rating = desk.report.rating("rear_axle")
    assert (rating.limit, rating.read_at) == (1700.0, "photo of the label")


def test_every_limit_row_says_where_to_look(desk: Desk) -> None:
    """No rating that a person must enter is left without an answer to where it stands."""
    rows, keys = limits.limit_rows(desk.report, desk.units)
    assert {"gross", "front_axle", "rear_axle", "placard", "roof_off_road", "carrier_parked"} <= set(keys)
    assert all(row["where"] for row in rows)


def test_a_limit_slider_tries_the_limit_out(desk: Desk) -> None:
    """The chart's percent follows the limit; the mass does not change."""
    vehicle, loadout = limits.limited(desk.vehicle, desk.loadout, "gross", desk.report.mass_kg * 2)
    desk.try_out(vehicle=vehicle, loadout=loadout)
    assert desk.report.rating("gross").consumed == pytest.approx(0.5, rel=1e-12)
    vehicle, loadout = limits.limited(desk.vehicle, desk.loadout, "carrier_road", 1000.0)
    desk.try_out(vehicle=vehicle, loadout=loadout)
    assert desk.report.rating("carrier_road").limit_kg == 1000.0


def measure(desk: Desk, key: str, text: str) -> list[str]:
    """Type into the table of measures."""
    table = measures.measure_table(desk)
    refused = table._on_edit([Edit(kind="set", row_key=key, column="value", text=text)])
    return [refusal.reason for refusal in refused or ()]


def test_an_axle_weighing_sets_mass_and_center(desk: Desk) -> None:
    """Front 1200 kg with the rear as it was: the total and the place between the axles follow, the height stays."""
    rear_kg = measures._axles(desk.vehicle)[1]
    assert measure(desk, "front_axle", "1200 kg") == []
    vehicle = desk.season.vehicle
    assert vehicle.curb_kg == pytest.approx(1200.0 + rear_kg, abs=1e-9)
    assert vehicle.curb_cg.aft_m == pytest.approx(
        rear_kg / (1200.0 + rear_kg) * vehicle.wheelbase_m, abs=1e-12
    )


def test_another_wheelbase_leaves_the_empty_axle_loads(desk: Desk) -> None:
    """The scale said what it said, whatever the tape says."""
    before = measures._axles(desk.vehicle)
    assert measure(desk, "wheelbase_m", "120 in") == []
    assert measures._axles(desk.season.vehicle) == pytest.approx(before, abs=1e-9)


@pytest.mark.parametrize(
    ("key", "text", "says"),
    [
        ("front_roll_share", "a lot", "percentage"),
        ("body_class", "truck", "light truck"),
        ("front_index", "999", "999"),
        ("wheelbase_m", "12 ft 900 in", "12 ft 900 in"),
        ("curb_fuel_l", "500 gal", "500"),
    ],
)
def test_a_measure_that_cannot_be_is_refused(desk: Desk, key: str, text: str, says: str) -> None:
    """With the reason, and nothing written."""
    before = desk.season.version
    try:
        reasons = measure(desk, key, text)
    except BadValue as error:  # what only the whole vehicle can refuse is raised; the table shows it
        reasons = [str(error)]
    assert reasons
    assert says in reasons[0]
    assert desk.season.version == before


def test_all_measures_read_back_what_they_show(desk: Desk) -> None:
    """Typing what stands there is accepted by every row."""
    rows, keys = measure_rows(measures.MEASURES, desk.vehicle, desk.units)
    for row, key in zip(rows, keys, strict=True):
        if row["value"]:
            assert measure(desk, key, row["value"]) == []


# Lists in and out --------------------------------------------------------------------------------------

MESSY = (
    "Crew list;;;\r\n"
    "Item;Weight (kg);Qty;Where\r\n"
    "Chainsaw;7,5;1;Cargo floor front\r\n"
    "Camp stove, two flames;3 lb;1;Narnia\r\n"
    "Rope;lots;2;\r\n"
    ";;;\r\n"
    "Total;8,86;;\r\n"
)


def test_a_file_changes_nothing_until_it_is_taken_in(desk: Desk) -> None:
    """Preview, then one entry; one undo takes the whole import back."""
    panel = lists.ImportPanel(desk)
    before, gear_before = desk.season.version, desk.season.gear
    panel.offer(MESSY.encode("utf-8-sig"), "crew.csv")
    assert desk.season.version == before
    assert "1 added, 1 changed" in panel.words.value
    assert "lots" in panel.table.value
    assert "no zone is called “Narnia”" in panel.table.value
    panel.accept()
    assert desk.season.version == before + 1
    saw = next(item for item in desk.season.gear if item.name == "Chainsaw")
    stove = next(item for item in desk.season.gear if item.name.startswith("Camp stove"))
    assert saw.mass_kg == 7.5
    assert stove.mass_kg == pytest.approx(3 * POUND_KG, abs=1e-12)
    assert next(s.zone for s in desk.loadout.gear if s.item.key == saw.key) == "Cargo floor front"
    assert all(item.name != "Rope" for item in desk.season.gear)
    desk.undo()
    assert desk.season.gear == gear_before


def test_leaving_a_preview_writes_nothing(desk: Desk) -> None:
    """And an unreadable file says so."""
    panel = lists.ImportPanel(desk)
    before = desk.season.version
    panel.offer(MESSY.encode(), "crew.csv")
    panel.leave.click()
    panel.accept()
    panel.offer(b"%PDF-1.7", "crew.pdf")
    assert "is a PDF" in panel.words.value
    assert panel.apply.disabled
    assert desk.season.version == before


def test_a_preview_that_has_become_stale_is_shown_again(desk: Desk) -> None:
    """What is taken in is what was shown, not what another page made of it."""
    panel = lists.ImportPanel(desk)
    panel.offer(MESSY.encode(), "crew.csv")
    key = next(item.key for item in desk.season.gear if item.name == "Chainsaw")
    desk.season.set_item(key, mass_kg=7.5)  # as another kernel would, without telling this page
    version = desk.season.version
    panel.accept()
    assert "look again" in panel.words.value
    assert desk.season.version == version
    panel.accept()
    assert desk.season.version == version + 1


@pytest.mark.parametrize("name", lists.KINDS)
def test_what_is_taken_out_reads_back_as_no_change(desk: Desk, name: str) -> None:
    """Export and import agree, in both kinds of file."""
    content = lists.KINDS[name](desk.season.gear, desk.units, {})
    panel = lists.ImportPanel(desk)
    panel.offer(content, name)
    assert f"0 added, 0 changed, {len(desk.season.gear)} unchanged" in panel.words.value
    assert panel.apply.disabled


def test_a_cell_keeps_number_and_unit_mark_and_word_and_a_date_together() -> None:
    """What must not be torn apart at the end of a line is in one piece; all else, and markup, is as before."""
    shown = html_table(
        ("What",), [("made on 2021-05-31: ▲ over by 1,250.5 lb <b>",), ("12 gallons, 3 in a row",)]
    )
    for piece in ("2021-05-31", "▲ over", "1,250.5 lb"):
        assert f"<span class='k'>{piece}</span>" in shown
    assert "&lt;b&gt;" in shown
    assert "12 gallons" in shown
