"""The weigh-in page without a browser: tickets, words, picture, and what an accepted correction writes."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import pytest

from loadcalc.checks.weighing.scales import rectangular_u
from loadcalc.checks.weighing.weigh_in import WeighIn, expected_readings
from loadcalc.model.errors import BadValue
from loadcalc.model.quantities import SI, US
from loadcalc.season.edit.tickets import read_ticket
from loadcalc.season.keep.opening import start_season
from loadcalc.season.story import departures
from tests.season_help import FRIDAY, demo_season
from workbook.panels.desk.desk import Desk
from workbook.panels.weigh_in import tickets, weigh_in, weigh_in_accept, weigh_in_words
from workbook.panels.weigh_in.correcting import correction_offer, doubt_boxes
from workbook.panels.weigh_in.ticket_desk import TicketDesk, read_doubts
from workbook.panels.weigh_in.weigh_in import scale_answer, ticket_entry
from workbook.panels.weigh_in.weigh_in_accept import (
    Correction,
    accept,
    accept_empty,
    corrections,
    empty_weighing,
    judged,
)
from workbook.panels.weigh_in.weigh_in_figure import reach, weigh_in_svg
from workbook.widgets.table.table import Edit

POUND_KG = 0.45359237
DAY = "2026-05-31"


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A desk on a fresh copy of the demo season."""
    return Desk(demo_season(tmp_path, durable=False))


def weighed(desk: Desk, **more_lb: float) -> str:
    """A ticket by axle that shows what the lists say, with some pounds more; its key."""
    key = tickets.new_ticket(desk, DAY)
    expected = expected_readings(desk.vehicle, desk.loadout)
    shown = {
        f"{name}_kg": expected[name][0] + more_lb.get(name, 0.0) * POUND_KG
        for name in ("total", "front_axle", "rear_axle")
    }
    desk.do(lambda: desk.season.set("weigh_in", key, **shown), "readings")
    return key


def page_lines(desk: Desk) -> list[str]:
    """The sentences that the page shows of the newest ticket, in its order, tables and pictures left out."""
    scale = TicketDesk(desk)
    assert scale.result is not None
    sure = doubt_boxes(scale).children[1].value
    parts = weigh_in.held_html(scale.result, US), weigh_in.difference_html(scale.result, US), sure
    html = "\n".join([*weigh_in.answer_blocks(scale)[:3], *parts])
    text = re.sub(r"<style>.*?</style>|<table>.*?</table>", "", html, flags=re.DOTALL)
    return [line for line in unescape(re.sub("<[^>]*>", "", text.replace("<br>", "\n"))).splitlines() if line.strip()]


def suspect_of(result: WeighIn, key: str, shift_kg: float) -> Correction:
    """A correction by a round number."""
    suspect = result.suspect(key)
    assert suspect is not None
    return Correction(suspect=suspect, shift_kg=shift_kg)


def test_a_new_ticket_is_one_entry_for_the_loadout_that_is_looked_at(desk: Desk) -> None:
    """It has today's loadout, its fuel, a usual division, and no reading yet."""
    before = desk.season.version
    key = tickets.new_ticket(desk, DAY)
    fields = departures.ticket_fields(desk.season, key)

    assert desk.season.version == before + 1
    assert (fields["loadout"], fields["date"], fields["people_aboard"]) == (FRIDAY, DAY, True)
    assert fields["fuel_l"] == desk.loadout.fuel_l
    assert fields["resolution_kg"] == pytest.approx(20 * POUND_KG, rel=1e-12)
    with pytest.raises(BadValue, match="enter the total, the axles, or the wheels"):
        judged(desk, key)


def test_tickets_stand_newest_first_and_never_share_a_name(desk: Desk) -> None:
    """Two tickets: the chooser names both, the later date first."""
    tickets.new_ticket(desk, "2026-04-01")
    tickets.new_ticket(desk, DAY)

    assert [words for words, _ in tickets.tickets(desk.season)] == [
        f"Weigh-in 2, {DAY}",
        "Weigh-in, 2026-04-01",
    ]


@pytest.mark.parametrize(
    ("field", "text", "kept"),
    [
        ("total_kg", "6660 lb", 6660 * POUND_KG),
        ("total_kg", "3020 kg", 3020.0),
        ("front_left_kg", "", None),
        ("resolution_kg", "5 kg", 5.0),
        ("people_aboard", "no", False),
        ("fuel_l", "10 gal", 37.85411784),
        ("scale", "quarry, pads", "quarry, pads"),
        ("date", "2026-06-07", "2026-06-07"),
    ],
)
def test_a_line_is_read_in_any_unit(desk: Desk, field: str, text: str, kept: object) -> None:
    """What is typed lands in the season in SI, as one entry."""
    key = tickets.new_ticket(desk, DAY)
    before = desk.season.version
    table = tickets.ticket_table(desk, lambda: key)
    refused = table._on_edit([Edit(kind="set", row_key=field, column="value", text=text)])

    assert not refused
    now = departures.ticket_fields(desk.season, key).get(field)
    assert now == (pytest.approx(kept, rel=1e-9) if isinstance(kept, float) else kept)
    assert desk.season.version - before == (0 if kept is None else 1)


@pytest.mark.parametrize(
    ("field", "text", "says"),
    [
        ("total_kg", "heavy", "not a number"),
        ("total_kg", "0", "below the least"),
        ("fuel_l", "300 L", "more than the tank"),
        ("date", "31.5.", "write it as 2026-05-15"),
        ("people_aboard", "maybe", "write yes or no"),
        ("loadout", "Sunday", "there is no loadout"),
        ("name", " ", "give the ticket a name"),
        ("resolution_kg", "0", "outside"),
    ],
)
def test_nonsense_on_a_ticket_is_refused_with_its_reason(
    desk: Desk, field: str, text: str, says: str
) -> None:
    """Nothing is written, and the cell gets the reason."""
    key = tickets.new_ticket(desk, DAY)
    before = desk.season.version
    table = tickets.ticket_table(desk, lambda: key)
    (refusal,) = table._on_edit([Edit(kind="set", row_key=field, column="value", text=text)]) or ()

    assert says in refusal.reason
    assert desk.season.version == before


def test_pads_are_independent_and_one_scale_is_not() -> None:
    """A line of the ticket decides."""
    readings = {"total_kg": 2000.0, "resolution_kg": 10.0}

    assert read_ticket({**readings, "pads": False}).scale.one_scale
    assert not read_ticket({**readings, "pads": True}).scale.one_scale


def test_pads_are_a_line_and_an_older_ticket_says_it_in_its_name(desk: Desk) -> None:
    """Typed as yes or no; where nobody was asked, the scale's name tells."""
    key = tickets.new_ticket(desk, DAY)
    table = tickets.ticket_table(desk, lambda: key)

    def pads() -> bool:
        return bool(departures.ticket_fields(desk.season, key)["pads"])

    assert not pads()
    desk.do(lambda: desk.season.set("weigh_in", key, scale="Club pads"), "which scale")
    assert pads()
    assert not table._on_edit([Edit(kind="set", row_key="pads", column="value", text="no")])
    assert not pads()
    (refusal,) = table._on_edit([Edit(kind="set", row_key="pads", column="value", text="four")]) or ()
    assert "pad under each wheel" in refusal.reason


def test_a_ticket_as_listed_agrees_in_words(desk: Desk) -> None:
    """After the ratings the verdict, then each reading, and nothing to explain."""
    weighed(desk)
    said = page_lines(desk)

    assert said[0].startswith("Within the limit by the scale: gross")
    assert next(line for line in said if line.startswith("Lists")).startswith("Lists and scale agree: on the ")
    assert sum("agrees." in line for line in said) == 3
    assert "Nothing is left to explain." in said


def test_a_ticket_that_disagrees_says_where_and_by_how_much(desk: Desk) -> None:
    """Two hundred pounds more on the rear axle: named, with the pounds; the suspects' pounds add up to them."""
    result = judged(desk, weighed(desk, total=200.0, rear_axle=200.0))
    said = "\n".join(page_lines(desk))
    rows = weigh_in_words.suspect_rows(result, US)

    worst = max(result.readings, key=lambda reading: reading.difference_kg / reading.plus_minus_kg).name.lower()
    assert worst in ("total", "rear axle")
    assert said.startswith("▲ The scale shows an overload: rear gross axle weight rating (GAWR), 3,821 lb of 3,660 lb")
    assert f"\n▲ Lists and scale do not agree: on the {worst} the scale shows 200 lb more" in said
    assert "The difference most likely sits in: curb mass" in said
    assert "from memory" in said
    assert result.unexplained_kg + result.left_to_scale_kg == pytest.approx(200 * POUND_KG, rel=1e-9)
    assert [row[0] for row in rows[-2:]] == ["All of the lists together", "The scale's own error (total)"]


def test_a_slip_of_the_pen_is_named_first(desk: Desk) -> None:
    """A total that the axles don't add up to comes before any suspicion."""
    weighed(desk, total=500.0)

    assert page_lines(desk)[0].startswith(
        "▲ Look at the ticket first: its total is 500 lb more than front axle + rear axle"
    )


def test_the_picture_tells_each_state_by_word_and_mark(desk: Desk) -> None:
    """Each reading has its difference and verdict as text, and everything drawn fits between the ends."""
    result = judged(desk, weighed(desk, total=200.0, rear_axle=200.0))
    svg = weigh_in_svg(result, US)

    assert svg.count("does not agree") == 2 * 2  # in the picture and in its label, for total and rear axle
    assert "▲" in svg
    assert "+200 lb" in svg
    assert "kg" in weigh_in_svg(result, SI)
    for reading in result.readings:
        assert abs(reading.difference_kg) + 2 * reading.measured_u_kg <= reach(result)


def test_accepting_the_curb_mass_is_one_dated_entry_and_undo_takes_it_back(desk: Desk) -> None:
    """Curb mass, its center, and where it came from change together; the entry is of its own kind."""
    key = weighed(desk, total=200.0, rear_axle=200.0)
    before, was = desk.season.version, desk.vehicle
    result = judged(desk, key)

    assert accept(desk, key, result, suspect_of(result, "own:vehicle", 50 * POUND_KG))
    entry = desk.season.entries(1)[0]
    assert (desk.season.version, entry.kind) == (before + 1, "weigh-in")
    assert entry.note == f"Weigh-in, {DAY}: curb mass +50 lb"
    assert desk.vehicle.curb_kg == pytest.approx(was.curb_kg + 50 * POUND_KG, rel=1e-12)
    assert desk.vehicle.curb_cg.aft_m > was.curb_cg.aft_m
    assert desk.vehicle.curb_from == f"Weigh-in, {DAY}: corrected from 4,960 lb"
    desk.undo()
    assert desk.vehicle == was


def test_accepting_unlisted_gear_adds_it_to_its_zone(desk: Desk) -> None:
    """The item rides in the zone with its kilos and its doubt; accepting again adds to it."""
    key, zone = weighed(desk, total=120.0, rear_axle=120.0), "Cargo deck rear"
    mass_kg = desk.report.mass_kg
    for expected in (40.0, 70.0):
        result = judged(desk, key)
        more_lb = expected - (0.0 if expected == 40.0 else 40.0)
        assert accept(desk, key, result, suspect_of(result, f"unlisted:{zone}", more_lb * POUND_KG))
        (stowed,) = [s for s in desk.loadout.gear if s.item.name == f"Unlisted, {zone}"]
        assert stowed.zone == zone
        assert stowed.mass_kg == pytest.approx(expected * POUND_KG, rel=1e-9)
        assert stowed.item.known == "estimated"
        zone_left_kg = result.suspect(f"unlisted:{zone}").left_kg  # type: ignore[union-attr]  # None fails it
        assert rectangular_u(stowed.item.plus_minus_kg) == pytest.approx(zone_left_kg, abs=0.0005)
        assert desk.report.mass_kg == pytest.approx(mass_kg + expected * POUND_KG, rel=1e-9)
    assert desk.season.entries(1)[0].kind == "weigh-in"


def test_less_than_nothing_is_not_offered_as_gear(desk: Desk) -> None:
    """Where the scale shows less, only the curb mass may be corrected, and unlisted gear is refused by hand too."""
    key = weighed(desk, total=-200.0, front_axle=-100.0, rear_axle=-100.0)
    result = judged(desk, key)
    before = desk.season.version

    assert [s.kind for s in corrections(result)] == ["curb"]
    assert not accept(desk, key, result, suspect_of(result, "unlisted:Cargo deck rear", -5.0))
    assert desk.status.startswith("Not kept: unlisted gear -5.0 kg is outside 0 to 500 kg")
    assert desk.season.version == before


def test_an_empty_weighing_sets_curb_mass_and_center(desk: Desk) -> None:
    """Two axle loads give the curb mass and where it acts; the fuel of the ticket goes with it."""
    key = tickets.new_ticket(desk, DAY)
    fields = {"front_axle_kg": 1200.0, "rear_axle_kg": 1000.0, "fuel_l": 40.0}
    desk.do(lambda: desk.season.set("weigh_in", key, **fields), "readings")

    assert accept_empty(desk, key)
    assert desk.vehicle.curb_kg == 2200.0
    # of the sum of two readings on one scale; the variance of a sum is the sum of the covariances, and a = √3 · u
    ticket = read_ticket(departures.ticket_fields(desk.season, key))
    u_kg = float(ticket.scale.covariance([1200.0, 1000.0]).sum()) ** 0.5
    assert desk.vehicle.curb_plus_minus_kg == pytest.approx(3**0.5 * u_kg, abs=0.0005)
    assert desk.vehicle.curb_cg.aft_m == pytest.approx(1000 / 2200 * desk.vehicle.wheelbase_m, rel=1e-12)
    assert desk.vehicle.curb_fuel_l == 40.0
    assert desk.season.entries(1)[0].kind == "weigh-in"


def test_an_empty_weighing_by_wheel_sets_the_offset_too(desk: Desk) -> None:
    """Four wheels: twenty kilos more on each left wheel put the center left by the lever."""
    key = tickets.new_ticket(desk, DAY)
    corners = {"front_left_kg": 620.0, "front_right_kg": 600.0, "rear_left_kg": 520.0, "rear_right_kg": 500.0}
    desk.do(lambda: desk.season.set("weigh_in", key, **corners), "readings")

    assert accept_empty(desk, key)
    left_m = 20 * (desk.vehicle.front_track_m + desk.vehicle.rear_track_m) / 2 / 2240
    assert desk.vehicle.curb_cg.left_m == pytest.approx(left_m, rel=1e-9)


def test_a_total_is_no_empty_weighing(desk: Desk) -> None:
    """Without axles nobody knows where the mass acts: refused, nothing written."""
    key = tickets.new_ticket(desk, DAY)
    desk.do(lambda: desk.season.set("weigh_in", key, total_kg=2200.0), "reading")
    before = desk.season.version

    with pytest.raises(BadValue, match="neither both axles nor four wheels"):
        empty_weighing(desk.vehicle, read_ticket(departures.ticket_fields(desk.season, key)))
    assert not accept_empty(desk, key)
    assert desk.season.version == before


def test_doubts_as_typed_change_the_verdict_and_nothing_in_the_season(desk: Desk) -> None:
    """A curb mass known to a tenth of a percent leaves less room than one known to five."""
    desk.do(lambda: desk.season.set_vehicle("curb_plus_minus_kg", 0.0), "nobody said")
    key = weighed(desk, total=100.0, rear_axle=100.0)
    before = desk.season.version
    sure, vague = (
        judged(desk, key, read_doubts(curb, "20 lb", US)).readings[0] for curb in ("0.1 %", "5 %")
    )

    assert sure.plus_minus_kg < 100 * POUND_KG < vague.plus_minus_kg
    assert desk.season.version == before
    with pytest.raises(BadValue, match="not a percentage"):
        read_doubts("some", "20 lb", US)


def test_what_to_expect_is_said_before_anybody_drives_to_a_scale(desk: Desk) -> None:
    """Total and axles with their give or take, in the reader's units."""
    said = weigh_in_words.expected_words(expected_readings(desk.vehicle, desk.loadout), US)

    assert said.startswith("By the lists a scale should show: total ")
    assert US.mass(desk.report.mass_kg) in said


def test_the_panel_follows_its_buttons(desk: Desk) -> None:
    """New ticket, then accept: the same code that the page runs, pressed through its widgets."""
    scale = TicketDesk(desk)
    entry, answer, part = (make(scale) for make in (ticket_entry, scale_answer, correction_offer))
    (which, add), table = entry.children[0].children, entry.children[1]
    assert table.layout.display == "none"
    assert "No ticket yet" in answer.children[2].value
    add.children[0].click()
    assert table.layout.display == ""
    assert "Not judged yet" in answer.children[2].value
    key = which.value
    expected = expected_readings(desk.vehicle, desk.loadout)["total"][0]
    desk.do(lambda: desk.season.set("weigh_in", key, total_kg=expected + 90.0), "reading")
    choose, by, accept_it = part.children[0].children
    likely = corrections(judged(desk, key, read_doubts("2%", "30 lb", US)))[0]
    assert (choose.value, by.value) == (likely.key, weigh_in_words.whole(likely.shift_kg, US))
    choose.value = "own:vehicle"
    by.value = "20 lb"
    was_kg = desk.vehicle.curb_kg
    accept_it.children[0].click()
    assert desk.vehicle.curb_kg == pytest.approx(was_kg + 20 * POUND_KG, rel=1e-12)
    assert desk.season.entries(1)[0].kind == weigh_in_accept.KIND


def test_an_example_vehicle_is_never_expected_on_a_real_scale(desk: Desk, tmp_path: Path) -> None:
    """A season that nobody has written into says that its numbers are nobody's; the demo's vehicle was measured."""
    blank = TicketDesk(Desk(start_season(tmp_path / "blank")))

    assert "Not measured on your vehicle" in weigh_in.answer_blocks(blank)[3]
    assert "Curb mass" in weigh_in.answer_blocks(blank)[3]
    assert "Not measured on your vehicle" not in weigh_in.answer_blocks(TicketDesk(desk))[3]
