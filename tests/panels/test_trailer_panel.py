"""The trailer's table, its switch, the hitch and pressures among the measures, and what each item needs."""

from __future__ import annotations

from pathlib import Path

import pytest

from loadcalc import evaluate, start_season
from loadcalc.model.quantities import US
from tests.season_help import BLANK, FRIDAY, demo_season
from workbook.panels.desk.desk import Desk
from workbook.panels.desk.findings_words import finding_lines
from workbook.panels.desk.measure import measure_rows
from workbook.panels.desk.register import register_rows
from workbook.panels.gear import wishes
from workbook.panels.gear.kit import NOT_SAID
from workbook.panels.ratings import carrier, limits, measures, trailer
from workbook.panels.sheet.sheet import sheet_html
from workbook.panels.stability import hitch_words
from workbook.widgets.table.table import Edit

POUND_KG, INCH_M, PSI_KPA = 0.45359237, 0.0254, 6.894757293168361  # exact; exact; NIST SP 811 App. B.8


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A desk on a fresh copy of the demo season."""
    return Desk(demo_season(tmp_path, durable=False))


def cell(table: object, key: str, text: str, column: str = "value") -> list[str]:
    """Type into one cell of a table; return the reasons of what was refused."""
    edit = Edit(kind="set", row_key=key, column=column, text=text)
    return [refusal.reason for refusal in table._on_edit([edit])]  # type: ignore[attr-defined]  # any table


def test_hitching_the_trailer_brings_its_rows_and_its_tongue(desk: Desk) -> None:
    """130 lb of tongue, 48 in behind an axle on a wheelbase of 112 in: rear axle + 130 × 160 / 112 lb."""
    before = desk.report.rear_axle_kg
    strip = carrier.loadout_strip(desk)
    towed = strip.children[1]
    towed.value = True
    assert desk.season.loadout(FRIDAY).trailer is not None
    assert desk.report.rear_axle_kg - before == pytest.approx(130 * 160 / 112 * POUND_KG, abs=1e-9)
    assert desk.report.rating("trailer_gross").load == pytest.approx(1180 * POUND_KG, abs=1e-9)
    assert desk.season.next_undo is not None
    assert desk.season.next_undo.note == f"{FRIDAY}: trailer on"


def test_an_idle_hitch_is_not_listed_as_unknown(desk: Desk) -> None:
    """The hitch carrier's off-road limit is not known, but nothing hangs there; a crate that does makes it speak."""
    assert "Hitch carrier" not in "".join(finding_lines(desk.report.findings, US))
    desk.season.set_zone("Rear door rack", on_hitch=True)
    report = evaluate(desk.season.vehicle, desk.season.loadout(FRIDAY))
    assert "Hitch carrier, moving off road" in "".join(finding_lines(report.findings, US))


def test_the_trailer_is_weighed_and_limited(desk: Desk) -> None:
    """Mass, tongue, and a limit as typed; too heavy a tongue is refused; an emptied limit is not known."""
    table = trailer.trailer_table(desk).children[0]
    assert cell(table, "mass_kg", "1250 lb") == []
    assert cell(table, "trailer_axle", "600 kg") == []
    assert cell(table, "trailer_gross", "") == []
    found = desk.season.trailer
    assert found is not None
    assert found.mass_kg == pytest.approx(1250 * POUND_KG, abs=1e-9)
    assert found.limit("trailer_axle").limit_kg == 600.0
    assert found.limit("trailer_gross").limit_kg is None
    with pytest.raises(Exception, match="more than the trailer's"):
        cell(table, "tongue_kg", "2000 lb")


def test_two_axles_are_entered_weighed_and_said(desk: Desk) -> None:
    """1,180 lb with 130 on the tongue: 1,050 lb on two axles: not known; by a linkage 525 each; by a scale 600, 450."""
    carrier.loadout_strip(desk).children[1].value = True
    table = trailer.trailer_table(desk).children[0]
    assert cell(table, "axles", "2") == []
    assert cell(table, "trailer_front_axle", "560 lb") == []
    assert "is not known" in hitch_words.trailer_words(desk.report, US)
    assert desk.report.rating("trailer_front_axle").known is False

    shown = {row: cells for cells, row in zip(*limits.limit_rows(desk.report, US), strict=True)}
    assert shown["trailer_front_axle"]["limit"] == "560 lb"  # entered, though nothing is judged by it yet
    assert shown["trailer_front_axle"]["room"] == "load not known"
    assert "How its two axles share the load is not known, so not judged" in sheet_html(desk.report, US)
    assert cell(limits.limit_table(desk), "trailer_front_axle", "plate, drawbar", "read_at") == []
    kept = desk.season.trailer
    assert kept is not None
    assert kept.limit("trailer_front_axle").limit_kg == pytest.approx(560 * POUND_KG, abs=1e-9)

    assert cell(table, "axles_share", "yes") == []
    assert desk.report.rating("trailer_rear_axle").load == pytest.approx(525 * POUND_KG, abs=1e-9)
    assert "share alike, 525 lb each" in hitch_words.trailer_words(desk.report, US)

    assert cell(table, "front_axle_kg", "600 lb") == []
    assert cell(table, "rear_axle_kg", "450 lb") == []
    assert desk.report.rating("trailer_front_axle").load == pytest.approx(600 * POUND_KG, abs=1e-9)
    assert "rating:trailer_front_axle" in {f.key for f in desk.report.findings if f.kind == "over"}
    assert "Front axle 600 lb, rear axle 450 lb" in hitch_words.trailer_words(desk.report, US)
    ratings = {row[0]: row for row in hitch_words.rating_rows(desk.report, US)}
    assert ratings["Trailer front axle, of two"][1:3] == ("600 lb", "560 lb")
    dials = limits.limit_dials(desk.vehicle, desk.loadout, US)
    assert "trailer_front_axle" in {dial.key for dial in dials["Trailer"]}

    assert cell(table, "front_axle_kg", "") == []
    assert "share alike" in hitch_words.trailer_words(desk.report, US)
    for key, text in (("axles", "3"), ("axles", "two"), ("axles_share", "maybe")):
        assert "is not a known choice" in cell(table, key, text)[0]


def test_a_season_without_a_trailer_takes_one(tmp_path: Path) -> None:
    """The button enters one; the table then stands there."""
    desk = Desk(start_season(tmp_path / "mine", BLANK))
    place = trailer.trailer_table(desk)
    place.children[0].click()
    assert desk.season.trailer is not None
    assert cell(place.children[0], "mass_kg", "400 kg") == []
    assert desk.season.trailer.mass_kg == 400.0
    desk.undo()
    desk.undo()
    assert desk.season.trailer is None
    assert place.children[0].description == "Enter a trailer"


def test_hitch_and_pressures_are_typed_and_taken_away(desk: Desk) -> None:
    """A ball in inches, pressures in psi, emptied cells: not known."""
    table = measures.measure_table(desk)
    assert cell(table, "hitch_aft_m", "158") == []
    assert cell(table, "front_placard_kpa", "36 psi") == []
    assert cell(table, "rear_reference_kpa", "") == []
    vehicle = desk.season.vehicle
    assert vehicle.hitch is not None
    assert vehicle.hitch.aft_m == pytest.approx(158 * INCH_M, abs=1e-9)
    assert vehicle.front_tire.placard_kpa == pytest.approx(36 * PSI_KPA, abs=1e-6)
    assert vehicle.rear_tire.reference_kpa is None
    assert vehicle.rear_tire.load_index == 112
    assert cell(table, "hitch_up_m", "") == []
    assert desk.season.vehicle.hitch is None
    assert cell(table, "hitch_aft_m", "158 in") == []
    again = desk.season.vehicle.hitch
    assert again is not None
    assert again.up_m == pytest.approx(
        desk.vehicle.tire_diameter_m / 2, abs=1e-12
    )  # hub height until it is measured


def test_what_an_item_needs_is_kept(desk: Desk) -> None:
    """Three ticks and a choice of the item, one tick of this departure."""
    table = wishes.wish_table(desk)
    for column in ("must_come", "stay_low", "keep_reachable", "pinned"):
        assert cell(table, "chainsaw", True, column) == []  # type: ignore[arg-type]  # a tick is a bool
    assert cell(table, "propane-cylinder", "gas", "hazard") == []
    stowed = {s.item.key: s for s in desk.season.loadout(FRIDAY).gear}
    saw = stowed["chainsaw"]
    assert (saw.item.must_come, saw.item.stay_low, saw.item.keep_reachable, saw.pinned) == (True,) * 4
    assert stowed["propane-cylinder"].item.hazard == "gas"
    rows, keys = register_rows(wishes.wish_register(desk), desk)
    assert rows[keys.index("chainsaw")]["pinned"] is True
    assert cell(table, "propane-cylinder", "neither", "hazard") == []
    assert {s.item.hazard for s in desk.season.loadout(FRIDAY).gear} == {"", "neither"}
    assert cell(table, "propane-cylinder", NOT_SAID, "hazard") == []
    assert {s.item.hazard for s in desk.season.loadout(FRIDAY).gear} == {""}


def test_the_placard_pressure_reads_in_the_reader_s_units(desk: Desk) -> None:
    """33 psi as entered in the demo."""
    rows, keys = measure_rows(measures.MEASURES, desk.vehicle, US)
    assert rows[keys.index("front_placard_kpa")]["value"] == "33 psi"
