"""The axle-lift and trail-pressure panels without a browser."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from loadcalc.checks.tires.inflation import capacity_at_kg
from loadcalc.checks.weighing.axle_lift import AxleLift
from loadcalc.model import Loadout, Tire
from loadcalc.model.errors import BadValue
from loadcalc.model.quantities import SI, US
from tests.panels.slide import row, slide
from tests.season_help import FRIDAY, demo_season
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.dials import Dial
from workbook.panels.stability import cg_lift, trail_pressure
from workbook.panels.stability import cg_lift_words as lift_words
from workbook.panels.stability import tires_words as tire_words
from workbook.panels.stability.cg_lift_figure import lift_svg
from workbook.widgets.table.table import Edit

KPA_PER_PSI = 6.894757293168361


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A desk on a fresh copy of the demo season."""
    return Desk(demo_season(tmp_path, durable=False))


def dial_of(desk: Desk, axle: str, where: str = "trail") -> Dial:
    """The dial of one axle."""
    columns = trail_pressure.pressure_dials(desk.vehicle, desk.loadout, desk.units)
    return next(dial for dials in columns.values() for dial in dials if dial.key == f"{where}:{axle}")


def turned(desk: Desk, dial: Dial, value: float) -> Loadout:
    """The loadout with one dial turned."""
    return dial.turned(desk.vehicle, desk.loadout, dial.si(value))[1]


def test_dials_end_where_the_placard_begins(desk: Desk) -> None:
    """At its upper end a trail slider means: not aired down; one step below is a trail pressure."""
    dial = dial_of(desk, "rear")
    placard_kpa = desk.vehicle.rear_tire.placard_kpa

    assert placard_kpa is not None
    assert dial.si(dial.high) == pytest.approx(placard_kpa, rel=1e-9)
    assert dial.value == dial.high
    assert trail_pressure.meant_kpa(dial, dial.si(dial.high), desk.vehicle) is None
    less_kpa = trail_pressure.meant_kpa(dial, dial.si(dial.high - 1), desk.vehicle)
    assert less_kpa == pytest.approx(placard_kpa - KPA_PER_PSI, rel=1e-9)


def test_a_road_dial_rests_at_the_placard_and_goes_beyond_it(desk: Desk) -> None:
    """At the placard's 35 psi nothing of its own is kept; 38 psi counts for the tire's road rating and no other."""
    dial = dial_of(desk, "rear", "road")
    assert dial.value == pytest.approx(35.0, abs=1e-9)
    assert trail_pressure.meant_kpa(dial, dial.si(35.0), desk.vehicle) is None
    assert dial.high > 38.0

    before = desk.report.rating("tire:rear_left").limit_kg
    desk.try_out(loadout=turned(desk, dial_of(desk, "front", "road"), 30.0))

    assert desk.loadout.front_road_kpa == pytest.approx(30 * KPA_PER_PSI, rel=1e-12)
    assert (desk.loadout.rear_road_kpa, desk.loadout.front_kpa) == (None, None)
    assert desk.report.rating("tire:rear_left").limit_kg == before
    # Load index 112 is 1120 kg at 35 psi, over 1.10 for its passenger marking: in proportion at 30 psi.
    assert desk.report.rating("tire:front_left").limit_kg == pytest.approx(1120 / 1.1 * 30 / 35, rel=1e-9)
    assert "Common practice, no source" in tire_words.pressure_words(desk.report, US)  # under the placard's 33 psi


def test_turning_a_dial_changes_the_loadout_of_that_axle_only(desk: Desk) -> None:
    """Twenty psi behind leaves the front tires alone."""
    loadout = turned(desk, dial_of(desk, "rear"), 20.0)

    assert loadout.rear_kpa == pytest.approx(20 * KPA_PER_PSI, rel=1e-12)
    assert loadout.front_kpa is None


def test_table_shows_load_capacity_share_and_relation(desk: Desk) -> None:
    """Each wheel's row holds what the package computes, and an overloaded tire has its mark."""
    desk.try_out(loadout=turned(desk, dial_of(desk, "rear"), 20.0))
    rows = tire_words.pressure_rows(desk.report, US)
    tire, load_kg = desk.vehicle.rear_tire, desk.report.wheels_kg.rear_right
    carries_kg = capacity_at_kg(tire, desk.vehicle.body_class, 20 * KPA_PER_PSI)

    assert carries_kg < load_kg
    assert rows[3][:5] == (
        "Rear right tire",
        US.mass(load_kg, grouped=True),
        "20 psi, aired down",
        US.mass(carries_kg, grouped=True),
        f"▲\u00a0{load_kg / carries_kg:.0%}",
    )
    assert "in proportion to pressure (published)" in rows[3][6]
    assert rows[0][2] == "33 psi"  # the placard's


def test_needed_pressure_is_rounded_up(desk: Desk) -> None:
    """A least pressure of 28.2 psi reads 29 psi, and that much air carries the load."""
    tire = desk.vehicle.rear_tire
    load_kg = desk.report.wheels_kg.rear_right
    psi = int(tire_words.needed(tire, desk.vehicle.body_class, load_kg, US).removesuffix(" psi"))

    assert capacity_at_kg(tire, desk.vehicle.body_class, psi * KPA_PER_PSI) >= load_kg
    assert capacity_at_kg(tire, desk.vehicle.body_class, (psi - 1) * KPA_PER_PSI) < load_kg


def test_words_name_the_overload_the_road_and_the_caution(desk: Desk) -> None:
    """Aired down: who is overloaded, what the placard asks for, and the caution. Not aired down: no caution."""
    assert "No tire is aired down" in tire_words.pressure_words(desk.report, US)
    desk.try_out(loadout=turned(desk, dial_of(desk, "rear"), 20.0))
    said = tire_words.pressure_words(desk.report, US)

    assert said.startswith("▲ Over its limit: Rear ")
    for side in ("left", "right"):
        assert f"Rear {side} tire, aired down (" in said.splitlines()[0]
    assert "For the road: front 33 psi, rear 35 psi" in said
    assert "Common practice, no source" in said


def test_relations_from_memory_are_marked_where_they_are_chosen() -> None:
    """Every choice but the first names its status; the first is the default of the ratings."""
    choices = tire_words.relation_choices()

    assert choices[0][1] == "best known"
    marked = {key: words for words, key in choices}
    assert "from memory" in marked["power 0.8"]
    assert "from memory" in marked["power 0.7"]


def test_a_tire_of_which_nothing_is_known_is_not_judged(desk: Desk) -> None:
    """No index, no pressure: not known in every cell, never a pass."""
    desk.season.set_tire("rear", Tire())
    desk.reload()
    row = tire_words.pressure_rows(desk.report, US)[2]

    assert row[2:5] == ("not known", "not known", "not known")
    assert "? Limit not known, so not judged: Rear left tire" in tire_words.pressure_words(desk.report, US)


def test_spare_and_sums_in_words(desk: Desk) -> None:
    """The demo's spare is like its tires; a smaller one, and tires under the axle's rating, are said with a mark."""
    assert all("as much as the tire it replaces" in row[4] for row in tire_words.spare_rows(desk.report, US))
    desk.season.set_tire("spare", Tire(load_index=90))
    desk.season.set_tire("rear", Tire(load_index=100, reference_kpa=240.0))
    desk.reload()

    assert tire_words.spare_rows(desk.report, US)[1][4].startswith("▲ carries less than that wheel has now")
    assert tire_words.axle_rows(desk.vehicle, US)[1][3].startswith("▲ the tires are the limit")


def test_the_board_keeps_a_rested_slider_and_airs_up_again(desk: Desk) -> None:
    """Slide, rest: one entry with the pressure; the button takes both axles back to the placard."""
    before = desk.season.version
    board = trail_pressure.trail_pressure_board(desk)
    sliders = board.children[0]
    slide(sliders, "trail:rear", 22.0)

    assert desk.season.version == before + 1
    assert desk.season.loadout(FRIDAY).rear_kpa == pytest.approx(22 * KPA_PER_PSI, rel=1e-9)
    assert desk.status == "Kept in the ledger: Rear tires, on the trail: 22 psi"
    board.children[1].children[1].click()
    assert desk.season.loadout(FRIDAY).rear_kpa is None
    shown = row(sliders, "trail:rear")
    assert shown["value"] == shown["high"]


@pytest.mark.parametrize(
    ("text", "degrees"),
    [("16.2", 16.2), ("16,2°", 16.2), ("16.2 deg", 16.2), ("31 in", math.degrees(math.asin(31 / 112)))],
)
def test_a_tilt_is_read_as_degrees_or_as_a_rise(text: str, degrees: float) -> None:
    """A bare number is degrees; a length is how far the lifted wheels rose."""
    assert lift_words.read_tilt_deg(text, US, 112 * 0.0254) == pytest.approx(degrees, rel=1e-9)


@pytest.mark.parametrize("text", ["50", "-3", "steep", "120 in"])
def test_a_tilt_that_cannot_be_is_refused(text: str) -> None:
    """Too steep, below level, no number, or a rise beyond the wheelbase."""
    with pytest.raises(BadValue):
        lift_words.read_tilt_deg(text, US, 112 * 0.0254)


def sheet_of(desk: Desk, lifts: list[AxleLift]) -> cg_lift.LiftSheet:
    """A sheet with these readings."""
    sheet = cg_lift.LiftSheet()
    for lift in lifts:
        sheet.add(lift)
    return sheet


def test_readings_are_added_changed_and_removed_by_cell() -> None:
    """A draft without a reading is refused with its reason; a whole one is taken, changed, taken away."""
    sheet = cg_lift.LiftSheet()

    def do(**edit: object) -> list[str]:
        return [r.reason for r in cg_lift.apply_lift(sheet, Edit(**edit), US, 2.8)]  # type: ignore[arg-type]  # cells

    assert do(kind="add", row_key="draft-1", cells={"axle": "front", "shows": "", "tilt": "5"}) == [
        "reading '' is empty; write what the scale shows"
    ]
    assert do(kind="add", row_key="draft-1", cells={"axle": "rear", "shows": "2360 lb", "tilt": "5"}) == []
    assert do(kind="set", row_key="lift-1", column="tilt", text="6.5") == []
    assert do(kind="set", row_key="lift-1", column="shows", text="much") != []
    (lift,) = sheet.lifts.values()
    assert (lift.on_scale, lift.angle_deg) == ("rear", 6.5)
    assert lift.axle_kg == pytest.approx(2360 * 0.45359237, rel=1e-9)
    assert do(kind="remove", row_key="lift-1") == []
    assert not sheet.lifts


def test_the_invented_example_gives_the_height_that_it_was_made_from(desk: Desk) -> None:
    """Its readings are off by a few kilos, and the plus or minus holds that."""
    sheet = sheet_of(desk, lift_words.example_lifts(desk.vehicle, 0.4))
    fit = sheet.fit(desk.vehicle, mass_kg=desk.vehicle.curb_kg, radius_m=0.4, division_kg=5.0)

    assert abs(fit.up_m - desk.vehicle.curb_cg.up_m) < fit.plus_minus_m
    assert US.length(fit.up_m) in lift_words.fit_words(fit, desk.vehicle, US)
    assert len(lift_words.lift_rows(fit, SI)) == 7
    svg = lift_svg(fit, US)
    assert svg.count("<circle") == 14
    assert "Does the axle gain load in a straight line?" in svg


def test_an_odd_reading_is_marked_with_a_word(desk: Desk) -> None:
    """A reading far off the line says so in words, in the picture and in the sentence."""
    lifts = lift_words.example_lifts(desk.vehicle, 0.4)
    lifts[2] = AxleLift(on_scale="front", axle_kg=lifts[2].axle_kg + 60.0, angle_deg=lifts[2].angle_deg)
    fit = sheet_of(desk, lifts).fit(desk.vehicle, mass_kg=desk.vehicle.curb_kg, radius_m=0.4, division_kg=5.0)

    assert "▲ look again" in lift_svg(fit, US)
    assert "something moved or was misread" in lift_words.fit_words(fit, desk.vehicle, US)


def test_an_accepted_height_says_where_it_came_from(desk: Desk) -> None:
    """One entry: the height and its source; undo brings the estimate back."""
    sheet = sheet_of(desk, lift_words.example_lifts(desk.vehicle, 0.4))
    inputs = {"mass_kg": desk.vehicle.curb_kg, "radius_m": 0.4, "division_kg": 5.0}
    fit = sheet.fit(desk.vehicle, **inputs)
    before, was = desk.season.version, desk.vehicle

    assert cg_lift.accept_height(desk, sheet, **inputs)
    assert desk.season.version == before + 1
    assert desk.vehicle.curb_cg.up_m == pytest.approx(fit.up_m, rel=1e-12)
    assert desk.vehicle.cg_height_from.startswith("axle lift 20")
    assert "7 readings to 16.2°" in desk.vehicle.cg_height_from
    desk.undo()
    assert desk.vehicle == was


class LiftPanel:
    """The axle-lift panel, worked through its widgets."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        view = cg_lift.cg_lift_panel(desk)
        self.children = view.children
        self.before, row, self.table, self.said, self.picture, _rest, self.accept, *_ = view.children
        self.example = row.children[3]

    def edit(self, **fields: object) -> list[str]:
        """Make one edit of the table; the reasons of what was refused."""
        return [r.reason for r in self.table._on_edit([Edit(**fields)]) or ()]  # type: ignore[arg-type]  # its fields

    @property
    def keys(self) -> list[str]:
        """The readings in the table, by key."""
        return list(self.table._sheet.rows)

    @property
    def whose(self) -> list[str]:
        """Whose readings the table says they are."""
        return [str(row["whose"]) for row in self.table._sheet.rows.values()]

    def type_over(self, keys: list[str], *columns: str) -> None:
        """Type other numbers into these cells of these readings."""
        for number, key in enumerate(keys):
            for column in columns:
                text = f"{2600 + 40 * number} lb" if column == "shows" else f"{4 * number}"
                assert not self.edit(kind="set", row_key=key, column=column, text=text)

    def pressed(self) -> bool:
        """Press the button, dead or not; whether the season changed."""
        version = self.desk.season.version
        self.accept.click()
        return self.desk.season.version != version


def test_the_caution_stands_before_the_steps_and_both_before_the_table(desk: Desk) -> None:
    """First thing on the panel: what can kill, chocks, stands, nobody under or in it; then how, then the readings."""
    panel = LiftPanel(desk)
    text = panel.before.value
    where = [text.index(word) for word in ("can roll or fall", "Nobody under it", "Chocks", "Stands", "<ol>", "Raise")]

    assert where == sorted(where)
    assert "nobody in it" in text
    assert panel.children.index(panel.before) < panel.children.index(panel.table)
    panel.example.click()
    assert panel.before.value == text


def test_without_readings_nothing_can_be_accepted(desk: Desk) -> None:
    """The panel opens empty: no height, a dead button, and pressing it all the same keeps nothing."""
    panel = LiftPanel(desk)

    assert "No height yet: raised readings 0 are too few" in panel.said.value
    assert panel.accept.disabled
    assert not panel.pressed()


def test_the_example_can_never_be_accepted(desk: Desk) -> None:
    """It shows a height and says whose it isn't; the button is dead, and what is behind it refuses."""
    panel = LiftPanel(desk)
    panel.example.click()

    assert "Center of gravity" in panel.said.value
    assert "cannot be accepted" in panel.said.value
    assert "invented readings" in panel.picture.value
    assert panel.whose == ["? invented"] * 7
    assert panel.accept.disabled
    assert not panel.pressed()
    assert desk.status.startswith("Not kept: invented readings 7 stand in the table")


@pytest.mark.parametrize("columns", [("shows",), ("tilt",)])
def test_half_an_example_is_still_one(desk: Desk, columns: tuple[str, ...]) -> None:
    """Typing over what the scale shows, or over the tilt alone, makes no reading one's own."""
    panel = LiftPanel(desk)
    panel.example.click()
    panel.type_over(panel.keys, *columns)

    assert panel.whose == ["? invented"] * 7
    assert panel.accept.disabled
    assert not panel.pressed()


def test_one_reading_of_the_example_left_is_enough_to_refuse(desk: Desk) -> None:
    """All readings typed over but the last one; then that one is taken away, and the height is kept."""
    panel = LiftPanel(desk)
    panel.example.click()
    *first, last = panel.keys
    panel.type_over(first, "shows", "tilt")
    assert panel.whose == [*["yours"] * 6, "? invented"]
    assert panel.accept.disabled
    assert not panel.pressed()
    assert not panel.edit(kind="remove", row_key=last)
    assert not panel.accept.disabled
    assert "invented" not in panel.said.value.casefold() + panel.picture.value
    assert panel.pressed()
    assert "6 readings to 20.0°" in desk.vehicle.cg_height_from


def test_a_copy_of_an_invented_reading_is_invented(desk: Desk) -> None:
    """Duplicated as it stands, with an empty cell, after its source is gone, or with only one cell typed anew."""
    panel = LiftPanel(desk)
    panel.example.click()
    source = panel.keys[3]
    cells = {name: panel.table._sheet.rows[source][name] for name in ("axle", "shows", "tilt")}
    for number, typed in enumerate(({}, {"tilt": ""}, {"shows": "2700 lb"}, {"tilt": "7"})):
        draft = f"draft-{number}"
        assert not panel.edit(kind="duplicate", row_key=draft, source_key=source, cells={**cells, **typed})
    assert not panel.edit(
        kind="duplicate", row_key="own", source_key=source, cells={**cells, "shows": "2700 lb", "tilt": "7"}
    )
    assert panel.whose[7:] == [*["? invented"] * 4, "yours"]
    panel.edit(kind="remove", row_key=source)
    panel.edit(kind="duplicate", row_key="late", source_key=source, cells=cells)
    assert panel.whose[-1] == "? invented"


def test_the_example_goes_away_and_never_pushes_out_what_was_read(desk: Desk) -> None:
    """Its button takes it away again, leaves a person's own readings, and is dead beside them."""
    panel = LiftPanel(desk)
    panel.example.click()
    assert panel.example.description == "Take the example away"
    own = {"axle": "front", "shows": "2600 lb", "tilt": "0"}
    assert not panel.edit(kind="add", row_key="draft-9", cells=own)
    panel.example.click()

    assert panel.whose == ["yours"]
    assert panel.example.disabled
    panel.edit(kind="remove", row_key=panel.keys[0])
    assert not panel.example.disabled
