"""Bars, tie-downs, lifting, and gas as the page shows them, and what an edit of their tables does to the season."""

from __future__ import annotations

import datetime
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadcalc.checks.gas import hazards
from loadcalc.checks.lifting.hoist import Handling, lifts
from loadcalc.checks.ratings.carried import bar_loads
from loadcalc.checks.restraint.strapping import CFR, EN
from loadcalc.checks.restraint.tied import tied_groups, untied
from loadcalc.checks.restraint.verdict import judge
from loadcalc.model import Place
from loadcalc.model.errors import BadValue, NotFound
from loadcalc.model.quantities import SI, US
from loadcalc.season.edit.straps import strap, tie, unstrap
from tests.panels.slide import row as slider_row
from tests.panels.slide import type_in
from tests.season_help import FRIDAY, demo_season
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.register import RegisterEdits, register_rows
from workbook.panels.roof import bars, gas, gas_words, lifting, lifting_words
from workbook.panels.roof import bars_words as mount_words
from workbook.panels.tie_down import tie_down
from workbook.panels.tie_down import tie_down_words as restraint_words
from workbook.panels.tie_down.forces_words import KGF_N, force, read_force_n
from workbook.panels.tie_down.strap_columns import NO_GROUP, piece_rows, strap_register
from workbook.widgets.table.table import Column, Edit


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A desk on a fresh copy of the demo season."""
    return Desk(demo_season(tmp_path, durable=False))


# forces


@pytest.mark.parametrize(
    ("text", "units", "newtons"),
    [
        ("900 N", US, 900.0),
        ("90 daN", SI, 900.0),
        ("0.9 kN", US, 900.0),
        ("900", SI, 900.0),
        ("200", US, 200 * 0.45359237 * KGF_N),
        ("200 lbf", US, 200 * 0.45359237 * KGF_N),
        ("50 kg", US, 50 * KGF_N),
        ("50 kgf", SI, 50 * KGF_N),
    ],
)
def test_a_tension_is_read_in_any_unit_of_a_label(text: str, units: object, newtons: float) -> None:
    """Newtons, decanewtons, pounds, kilograms of force; a bare number in the reader's own."""
    assert read_force_n(text, units) == pytest.approx(newtons, rel=1e-12)  # type: ignore[arg-type]  # US or SI


@pytest.mark.parametrize("text", ["tight", "90000 N", "9.0.0 N", "-5 N", "200 in"])
def test_a_tension_that_cannot_be_is_refused(text: str) -> None:
    """Words, far too much, two numbers, less than nothing, a length."""
    with pytest.raises(BadValue):
        read_force_n(text, US)


@given(st.floats(1.0, 40_000.0))
def test_a_shown_tension_reads_back(newtons: float) -> None:
    """What stands in the cell means the same when it is read again, to the digits shown."""
    assert read_force_n(force(newtons, US).replace(",", ""), US) == pytest.approx(newtons, rel=0.006)
    assert read_force_n(force(newtons, SI).replace("\u202f", ""), SI) == pytest.approx(newtons, abs=0.51)


# bars


def test_bars_of_the_demo(desk: Desk) -> None:
    """Picture, table, and words show the larger of both ideas, and the feet add up to their bar."""
    carrier = desk.loadout.carrier
    assert carrier is not None
    found = bar_loads(desk.report)
    assert len(found) == len(carrier.bars)
    rows = mount_words.bar_rows(found, US)
    for bar, row in zip(found, rows, strict=True):
        assert row[1] == US.mass(max(bar.whole.bends_kg, bar.whole.stiff_kg))
    html = bars.bars_html(desk)
    assert html.count("<circle") == 2 * len(found)
    assert "carries most" in bars.bars_words(desk)


def heavier_roof(desk: Desk, times: float) -> None:
    """Try out the roof's gear at so many times its mass."""
    gear = tuple(
        replace(s, item=replace(s.item, mass_kg=s.item.mass_kg * times)) if "Roof" in s.zone else s
        for s in desk.loadout.gear
    )
    desk.try_out(loadout=replace(desk.loadout, gear=gear))


def test_an_overloaded_foot_is_marked_and_is_a_rating_that_is_over(desk: Desk) -> None:
    """Four times the gear on the roof: over in `evaluate`, with the mark in picture and table."""
    assert "▲" not in bars.bars_html(desk)
    heavier_roof(desk, 4.0)

    over = [rating.name for rating in desk.report.over if rating.name.startswith("Roof bar: ")]
    assert any(name.endswith("foot") for name in over)
    assert bars.bars_html(desk).count("▲") >= len(over)


@pytest.mark.parametrize(("count", "said"), [(0, "not entered"), (1, "fewer than the two")])
def test_too_few_bars_are_said(desk: Desk, count: int, said: str) -> None:
    """None entered, and a single one: not judged, never passed."""
    carrier = desk.loadout.carrier
    assert carrier is not None
    desk.try_out(loadout=replace(desk.loadout, carrier=replace(carrier, bars=carrier.bars[:count])))

    assert said in bars.bars_words(desk)
    assert "? What each bar and foot carries is not judged" in bars.bars_html(desk)


def test_one_sided_and_lifting_loads_are_told(desk: Desk) -> None:
    """All of it to the left, and a load behind the last bar that lifts the first."""
    carrier = desk.loadout.carrier
    assert carrier is not None
    left = Place(aft_m=carrier.place.aft_m, left_m=0.3, up_m=2.0)
    gear = tuple(replace(s, place=left) if "Roof" in s.zone else s for s in desk.loadout.gear)
    desk.try_out(loadout=replace(desk.loadout, gear=gear))
    assert "the left feet carry" in bars.bars_words(desk)
    behind = Place(aft_m=carrier.bars[-1].aft_m + 1.0, up_m=2.0)
    gear = tuple(replace(s, place=behind) if "Roof" in s.zone else s for s in desk.loadout.gear)
    desk.try_out(loadout=replace(desk.loadout, gear=gear))
    heavier_roof(desk, 10.0)
    assert "Pulled upward" in bars.bars_words(desk)


# tie-downs


def test_both_rule_sets_stand_side_by_side(desk: Desk) -> None:
    """A row for each thing asked, a column for each rule set; nothing that EN 12195-1 doesn't ask is called passed."""
    (_, first), *_ = tie_down.judged(desk)
    rows = restraint_words.rows(first, US, (CFR, EN))

    assert [row[0] for row in rows[:6]] == [
        "Number of tie-downs", "Limits together", "Forward", "Rearward", "Sideways", "Up"
    ]  # fmt: skip
    assert rows[5][2] == "nothing asked"
    assert all("asks" in row[1] for row in rows)
    assert all(row[2].endswith("(from memory)") for row in rows[2:5])
    assert not any("(from memory)" in row[1] for row in rows)


def test_states_in_words(desk: Desk) -> None:
    """Short is marked with the direction, unknown with what lacks; the worst state names the group."""
    season = desk.season
    strap(season, FRIDAY, "hand-tools", straps=1)
    strap(season, FRIDAY, "shelter-and-chairs", anchor_wll_kg=None)
    desk.reload()
    (_, shelter), (_, tools) = tie_down.judged(desk)

    assert restraint_words.verdict_words(tools).startswith("▲ falls short: number of tie-downs (49 CFR 393)")
    assert restraint_words.verdict_words(shelter) == "? not known: the tie point's limit and what lies on what"
    assert "does not say that it is safe to drive" in tie_down.verdicts_html(tie_down.judged(desk), (), US)


def test_values_from_memory_are_marked(desk: Desk) -> None:
    """Friction says how well it is known; a factor of one's own says that no rule set gives one."""
    mat = "anti-slip rubber mat on clean surfaces"
    strap(desk.season, FRIDAY, "hand-tools", extra_factor=1.5, surfaces=mat)
    desk.reload()
    said = [restraint_words.rests_on(tied, US) for tied, _ in tie_down.judged(desk)]

    assert "friction 0.15 (not known: the lowest of the table; published)" in said[0]
    assert f"friction 0.6 ({mat}; from memory)" in said[1]
    assert "by 49 CFR 393 friction 0.5 (a mat without a marking, 49 CFR 393.108(g); corroborated)" in said[1]
    assert "× 1.5 for rough ground, entered by hand: no rule set gives one" in said[1]


def straps(desk: Desk) -> RegisterEdits:
    """What puts the edits of the table of tied groups into the season."""
    return RegisterEdits(desk, strap_register(desk, lambda: tie_down.judged(desk)))


def edit(desk: Desk, *edits: Edit) -> list[str]:
    """Put edits through the table of tied groups; return the reasons of what it refuses."""
    return [refusal.reason for refusal in straps(desk)(list(edits))]


def test_a_cell_is_one_entry_and_undo_takes_it_back(desk: Desk) -> None:
    """Tension typed in decanewtons, kept in newtons, shown in pounds of force."""
    before = desk.season.version
    assert edit(desk, Edit(kind="set", row_key="hand-tools", column="tension", text="50 daN")) == []
    assert desk.season.version == before + 1
    kept = desk.season.loadout(FRIDAY).straps[1]
    assert kept.tension_n == 500.0
    rows, keys = register_rows(straps(desk).register, desk)
    assert rows[keys.index("hand-tools")]["tension"] == "112 lbf"
    desk.undo()
    assert desk.season.loadout(FRIDAY).straps[1].tension_n == 900.0


@pytest.mark.parametrize(
    ("column", "text", "reason"),
    [
        ("straps", "two", "count whole pieces"),
        ("angle", "steep", "write degrees, such as 60"),
        ("angle", "100", "outside 5 to 90 degrees"),
        ("tension", "tight", "tight"),
        ("limit", "strong", "strong"),
        ("factor", "0.5", "outside 1 to 3"),
        ("name", "Shelter and CHAIRS", "give it another name"),
    ],
)
def test_a_cell_that_cannot_be_is_refused_and_nothing_is_kept(
    desk: Desk, column: str, text: str, reason: str
) -> None:
    """The reason names the range or the cure, whether the reader or the record refuses."""
    before = desk.season.version
    (said,) = edit(desk, Edit(kind="set", row_key="hand-tools", column=column, text=text))

    assert reason in said
    assert desk.season.version == before


@pytest.mark.parametrize("text", ["", "?", "not known"])
def test_emptied_limits_are_not_known(desk: Desk, text: str) -> None:
    """An emptied cell takes the value away; nothing rests on it after."""
    for column in ("limit", "anchor", "tension"):
        edit(desk, Edit(kind="set", row_key="hand-tools", column=column, text=text))
    kept = desk.season.loadout(FRIDAY).straps[1]

    assert (kept.wll_kg, kept.anchor_wll_kg, kept.tension_n) == (None, None, None)


def test_a_group_is_added_filled_and_taken_away(desk: Desk) -> None:
    """A new row, a piece that belongs to it, and its end: the piece stays on board and loose."""
    cells: dict[str, str | bool] = {
        "name": "Rear rack",
        "straps": "2",
        "way": "",
        "blocked": False,
        "flat": True,
    }
    edits = straps(desk)
    assert edits([Edit(kind="add", row_key="draft-1", cells=cells)]) == []
    assert edits.became == {"draft-1": "rear-rack"}
    tie(desk.season, FRIDAY, "propane-cylinder", "Rear rack")
    desk.reload()
    made = tie_down.judged(desk)[-1][0]
    assert made.names == ("Propane cylinder",)
    assert made.strapping.flat
    assert "Propane cylinder" not in tie_down.loose(desk)
    edit(desk, Edit(kind="remove", row_key="rear-rack"))
    assert "Propane cylinder" in tie_down.loose(desk)
    assert [s.key for s in desk.season.loadout(FRIDAY).straps] == ["shelter-and-chairs", "hand-tools"]


def test_groups_of_that_name_are_found_and_missing_ones_named(desk: Desk) -> None:
    """By name in any case; an unknown one is not made up."""
    with pytest.raises(NotFound, match="tied group 'attic'"):
        tie(desk.season, FRIDAY, "crew-shelter", "attic")
    with pytest.raises(NotFound, match="tied group 'attic'"):
        unstrap(desk.season, FRIDAY, "attic")
    assert strap(desk.season, FRIDAY, "HAND TOOLS", straps=3) == "hand-tools"


def test_a_copied_loadout_has_its_straps_and_a_removed_one_takes_them_along(desk: Desk) -> None:
    """Straps are aboard a loadout as gear is."""
    season = desk.season
    season.add_loadout("Copy", like=FRIDAY)
    assert season.loadout("Copy").straps == season.loadout(FRIDAY).straps
    assert len(tied_groups(season.loadout("Copy"))) == 2
    season.remove("loadout", "Copy")
    assert len(season.loadout(FRIDAY).straps) == 2
    season.verify()


def test_pieces_outside_can_be_given_to_a_group(desk: Desk) -> None:
    """The table lists what rides outside the cabin, with its group by name."""
    rows, keys = piece_rows(desk.loadout, desk.season.loadout(FRIDAY).straps, US)
    by_key = dict(zip(keys, rows, strict=True))

    assert by_key["crew-shelter"]["group"] == "Shelter and chairs"
    assert by_key["propane-cylinder"]["group"] == NO_GROUP
    assert "kitchen-box" not in keys


def test_a_can_is_tied_down_and_let_loose(desk: Desk) -> None:
    """A can on the rear door rack joins a group by the table: it counts there, and is no longer listed as loose."""
    table = tie_down.piece_table(desk)
    rows, keys = piece_rows(desk.loadout, desk.season.loadout(FRIDAY).straps, US)
    assert rows[keys.index("can:saw-mix-can")]["group"] == NO_GROUP
    before = tied_groups(desk.loadout)[0]
    edit = Edit(kind="set", row_key="can:saw-mix-can", column="group", text=before.strapping.name)
    assert table._on_edit([edit]) == []

    after = tied_groups(desk.loadout)[0]
    can = next(filled for filled in desk.loadout.liquids if filled.liquid.key == "saw-mix-can")
    assert after.mass_kg - before.mass_kg == pytest.approx(can.mass_kg, abs=1e-9)
    assert "Saw mix can" in after.names
    assert after.length_m is None  # nobody enters the size of a can
    assert "Saw mix can" not in untied(desk.loadout)
    unstrap(desk.season, FRIDAY, before.strapping.key)
    assert "Saw mix can" in untied(desk.season.loadout(FRIDAY))


def test_the_columns_say_what_is_asked_for(desk: Desk) -> None:
    """Hints with units, choices with the way out for what nobody knows."""

    def columns() -> dict[str, Column]:
        return {cell.column.key: cell.column for cell in straps(desk).register.cells()}

    by_key = columns()

    assert by_key["surfaces"].choices[0] == "not known"
    assert "1,750 lb" in by_key["limit"].hint
    desk.set_units("SI")
    assert "45 mm 790 kg; 50 mm 910 kg; 75 mm 1\u202f360 kg" in columns()["limit"].hint
    assert "not breaking strength" in by_key["limit"].hint
    assert "enter half (49 CFR 393.106(d)(2))" in by_key["limit"].hint
    assert "Cam strap: it has no ratchet" in by_key["tension"].hint
    assert "no rule set gives one" in by_key["factor"].hint


def test_wind_is_held_against_flat_groups(desk: Desk) -> None:
    """Ticked as flat, with a speed: a row for the wind; at no speed there is none."""
    strap(desk.season, FRIDAY, "shelter-and-chairs", flat=True)
    desk.reload()
    blown = tie_down.judged(desk, speed_m_per_s=30.0)[0][1]
    calm = tie_down.judged(desk, speed_m_per_s=0.0)[0][1]

    assert restraint_words.rows(blown, US, (CFR, EN))[-1][0] == "Wind under it"
    assert "Wind under it" not in [row[0] for row in restraint_words.rows(calm, US, (CFR, EN))]


def test_the_wind_is_as_fast_as_its_slider_says(desk: Desk) -> None:
    """Typed in the reader's unit; each unit has its own usual speed, and keeps what was set in it."""
    strap(desk.season, FRIDAY, "shelter-and-chairs", flat=True)
    desk.reload()
    *_, wind, _, view = tie_down.tie_down_panel(desk).children[:5]
    board = wind.children[0].children[0]
    assert (slider_row(board, "speed")["unit"], slider_row(board, "speed")["value"]) == ("mph", 65.0)
    assert type_in(board, "speed", "0") == ""
    calm = tie_down.judged(desk, speed_m_per_s=0.0)
    assert view.value == tie_down.verdicts_html(calm, tie_down.loose(desk), desk.units)
    assert "'95' is outside" in type_in(board, "speed", "95")
    desk.set_units("SI")
    assert (slider_row(board, "speed")["unit"], slider_row(board, "speed")["value"]) == ("km/h", 105.0)
    desk.set_units("US")
    assert slider_row(board, "speed")["value"] == 0.0


def test_panels_are_made_and_follow_the_desk(desk: Desk) -> None:
    """Each panel builds without a browser and hears of changes."""
    for make in (bars.bars_panel, tie_down.tie_down_panel, lifting.lifting_panel, gas.gas_panel):
        make(desk)
    desk.set_units("SI")
    desk.set_units("US")


# lifting


def test_lifting_refuses_the_roof_in_words(desk: Desk) -> None:
    """Rows for the roof have no number, say what to do, and give the range in the reader's units."""
    found = lifts(desk.loadout, Handling())
    rows = lifting_words.lift_rows(found, US, most=len(found))
    roof = [row for row in rows if row[1].startswith("Roof")]

    assert roof
    for row in roof:
        assert row[2].startswith("? outside it: height of the hands")
        assert "(it ends at 68.9 in)" in row[2]
        assert row[5:] == ("", "")
    assert "Two people lifting together are outside it" in lifting.lifting_html(found, US)
    assert "Get help, split them, or place them lower." in lifting.lifting_html(found, US)
    assert "Nobody lifts onto a roof alone" in lifting.lifting_html(found, US)
    assert "never on a tire, a bumper, or a sill" in lifting.lifting_html(found, US)
    assert "1750 mm" in lifting.lifting_html(found, SI)


def test_leaning_over_is_set_in_the_readers_units(desk: Desk) -> None:
    """15 cm is 6 in or 150 mm; a switch of units changes slider and label, not the assumption."""
    panel = lifting.lifting_panel(desk)
    board = panel.children[1]
    over = slider_row(board, "over_m")
    assert (over["label"], over["unit"], over["value"]) == ("Leaning over sill or rail", "in", pytest.approx(6.0))
    desk.set_units("SI")
    over = slider_row(board, "over_m")
    assert (over["unit"], over["value"], over["high"]) == ("mm", pytest.approx(150.0), 400.0)
    before = panel.children[2].value
    assert type_in(board, "over_m", "10 in") == ""
    assert panel.children[2].value != before
    found = lifts(desk.loadout, Handling(form="SI", over_m=0.254))
    assert panel.children[2].value == lifting.lifting_html(found, desk.units)


def test_each_reader_gets_the_printed_form_of_their_units(desk: Desk) -> None:
    """Inches and pounds: 51 lb and its multipliers; metric: 23 kg; on the panel and in the page's words."""
    shown = {}
    for name, over_m in (("US", 6 * 0.0254), ("SI", 0.15)):  # where the slider stands: whole inches, or centimeters
        desk.set_units(name)
        found = lifts(desk.loadout, Handling(form=name, over_m=over_m))
        assert lifting.lifting_panel(desk).children[2].value == lifting.lifting_html(found, desk.units)
        assert lifting.lifting_words(desk) == lifting_words.summary(found, desk.units)
        shown[name] = [lifted.limit_kg for lifted in found if lifted.limit_kg is not None]

    assert shown["US"] != pytest.approx(shown["SI"], rel=1e-3)


def test_heavy_boxes_are_marked_and_light_ones_are_not(desk: Desk) -> None:
    """An index over 1 has the mark; at or under it none, and never the word safe."""
    found = lifts(desk.loadout, Handling())
    for lifted in found:
        word = lifting_words.word(lifted, US)
        if lifted.index is not None:
            assert word.startswith("▲") == (lifted.index > 1 + 1e-9)
        assert "safe" not in word
    assert "all that goes to Roof platform front" in lifting_words.in_short(found)


# gas


def test_gas_and_fuel_in_words(desk: Desk) -> None:
    """What is on board, outside the cabin; moved inside it is a warning."""
    rows = gas_words.aboard_rows(hazards(desk.loadout), US)
    assert rows[0] == ("Propane cylinder", "gas", "22 lb", "Rear door rack", "no")
    assert [row[0] for row in rows] == ["Propane cylinder", "Saw mix can", "Together"]
    desk.season.stow(FRIDAY, "propane-cylinder", "Cargo deck left")
    desk.reload()
    assert gas_words.aboard_rows(hazards(desk.loadout), US)[0][3:] == ("Cargo deck left", "▲ yes")
    assert "▲ Gas that rides where people breathe: Propane cylinder (Cargo deck left)" in gas.aboard_html(desk)


def test_every_quantity_note_has_its_status() -> None:
    """Source and status stand beside each number, in the reader's units."""
    for row in gas_words.note_rows(US):
        assert row[1]
        assert row[2]
        assert row[3] in ("published", "corroborated")
    assert (gas_words.note_rows(US)[3][1], gas_words.note_rows(SI)[3][1]) == ("220 lb", "100 kg")


def test_fill_and_date_words() -> None:
    """Both limits and which holds; nonsense is said; a date that is past is marked."""
    assert gas.fill_words("47.6", US).endswith("The lower holds, here by volume: 19.3 lb.")
    assert gas.fill_words("full", US).startswith("Not computed: water capacity 'full'")
    today = datetime.date(2026, 5, 1)
    made = datetime.date(2014, 5, 1)
    tomorrow = today + datetime.timedelta(days=1)
    assert gas.date_words(made, "made", "gas cylinder, coated", tomorrow).startswith("▲ Was due on 2026-05-01")
    assert gas.date_words(made, "made", "gas cylinder, coated", today).startswith("Due again on 2026-05-01")
    assert gas.date_words(made, "made", "gas cylinder", today).startswith("▲ Was due on 2019-05-01")
    assert gas.date_words(None, "made", "gas cylinder", today).startswith("Date not known")


def test_every_group_is_judged_by_both(desk: Desk) -> None:
    """The panel's verdicts are the package's own."""
    for tied, verdicts in tie_down.judged(desk, speed_m_per_s=0.0):
        assert verdicts == judge(tied)
