"""A weighbridge ticket against the ratings: what the scale shows is over, whatever the lists say."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadcalc.checks.findings.judge import evaluate
from loadcalc.checks.weighing.against_ratings import (
    MAY_BE_OVER,
    NOT_KNOWN,
    OVER,
    WITHIN,
    HeldReading,
    readings_against_ratings,
)
from loadcalc.checks.weighing.scales import Scale
from loadcalc.checks.weighing.ticket import READINGS, Ticket
from loadcalc.checks.weighing.weigh_in import expected_readings, judge_weigh_in
from loadcalc.model import Limit, Tire, Trailer
from loadcalc.model.quantities import SI, US
from tests.checks.test_weigh_in import BRIDGE, LOADOUT, VEHICLE
from tests.season_help import demo_season
from tests.strategies import tried
from workbook.panels.desk.desk import Desk
from workbook.panels.weigh_in import held_readings_words as held_readings
from workbook.panels.weigh_in import tickets, weigh_in
from workbook.panels.weigh_in.ticket_desk import TicketDesk
from workbook.panels.weigh_in.weigh_in_accept import judged

GVWR = replace(VEHICLE, limits={"gross": Limit(limit_kg=2500.0, read_at="door label")})
POUND_KG = 0.45359237
SEVERITY = (WITHIN, MAY_BE_OVER, OVER)


def held(readings_kg: dict[str, float], vehicle: object = GVWR, **more: object) -> dict[str, HeldReading]:
    """What the ticket's loads are held against, by rating."""
    shown = Ticket(readings_kg=readings_kg, scale=BRIDGE, **more)  # type: ignore[arg-type]  # the ticket's other fields
    found = readings_against_ratings(vehicle, LOADOUT, shown)  # type: ignore[arg-type]  # a vehicle
    assert len({h.key for h in found}) == len(found)
    return {h.key: h for h in found}


# 250 divisions of 10 kg: wrong by one division at most in use, and rounded to half of one.
# 2 · √(10²/3 + 5²/3) = 2 · √41.67 = 12.91 kg
@pytest.mark.parametrize(
    ("shown_kg", "state"),
    [(2520.0, OVER), (2505.0, OVER), (2500.0, MAY_BE_OVER), (2490.0, MAY_BE_OVER), (2480.0, WITHIN)],
)
def test_a_reading_is_held_against_its_rating(shown_kg: float, state: str) -> None:
    """Scale 2,520 on a GVWR of 2,500 is over; what the scale is too coarse to tell is never within."""
    gross = held({"total": shown_kg})["gross"]

    assert gross.plus_minus_kg == pytest.approx(12.91, abs=0.005)
    assert (gross.name, gross.measured_kg, gross.limit_kg) == ("Gross vehicle weight rating (GVWR)", shown_kg, 2500.0)
    assert gross.state == state


def test_a_margin_that_just_reaches_the_limit_is_not_beyond_it() -> None:
    """2,490 ± 10 on 2,500 is within; with ± 10.1 the margin reaches beyond."""
    just = HeldReading(
        key="gross", name="GVWR", condition="", limit=Limit(limit_kg=2500.0), readings=("total",), measured_kg=2490.0,
        plus_minus_kg=10.0,
    )  # fmt: skip
    beyond = replace(just, plus_minus_kg=10.1)

    assert (just.state, beyond.state) == (WITHIN, MAY_BE_OVER)


def test_the_lists_have_no_say_in_it() -> None:
    """Lists that predict far less than the scale shows, or far more: over stays over."""
    light = replace(LOADOUT, gear=(), liquids=(), people=(), fuel_l=1.0)
    heavy = replace(LOADOUT, gear=tuple(replace(s, count=40) for s in LOADOUT.gear))
    shown = Ticket(readings_kg={"total": 2520.0}, scale=BRIDGE)

    for loadout in (light, heavy):
        (gross,) = judge_weigh_in(GVWR, loadout, shown).held
        assert gross.state == OVER


def test_without_a_limit_nothing_is_judged() -> None:
    """A limit that nobody knows is said so, however little the scale shows."""
    assert held({"total": 1.0}, VEHICLE)["gross"].state == NOT_KNOWN


def test_two_axles_make_a_total_and_its_error() -> None:
    """Nobody read the total, and 1,250 + 1,270 is over 2,500 all the same.

    One scale: errors add up, 10/√3 twice = 11.55; rounding in squares, 5/√3 · √2 = 4.08; 2 · √(11.55² + 4.08²) = 24.5.
    """
    gross = held({"front_axle": 1250.0, "rear_axle": 1270.0})["gross"]

    assert (gross.readings, gross.measured_kg, gross.state) == (("front_axle", "rear_axle"), 2520.0, OVER)
    assert gross.plus_minus_kg == pytest.approx(24.5, abs=0.05)


def test_four_wheels_make_axles_and_a_total() -> None:
    """The axles of a ticket by wheel, and a total of one axle read whole and one by wheel."""
    limits = {"gross": 2500.0, "front_axle": 1240.0, "rear_axle": 1400.0}
    vehicle = replace(VEHICLE, limits={key: Limit(limit_kg=kg) for key, kg in limits.items()})
    wheels = {"front_left": 630.0, "front_right": 620.0, "rear_left": 640.0, "rear_right": 630.0}
    by_wheel = held(wheels, vehicle)

    assert {key: by_wheel[key].measured_kg for key in limits} == {
        "gross": 2520.0, "front_axle": 1250.0, "rear_axle": 1270.0,
    }  # fmt: skip
    assert [by_wheel[key].state for key in limits] == [OVER, OVER, WITHIN]
    mixed = held({"front_axle": 1250.0, "rear_left": 640.0, "rear_right": 630.0}, vehicle)["gross"]
    assert (mixed.measured_kg, mixed.readings) == (2520.0, ("front_axle", "rear_left", "rear_right"))


def test_of_a_total_and_axles_that_do_not_add_up_the_larger_counts() -> None:
    """A slip of the pen in the total must not hide what the axles show, nor the other way around."""
    low = held({"total": 1520.0, "front_axle": 1250.0, "rear_axle": 1270.0})["gross"]
    high = held({"total": 2520.0, "front_axle": 1250.0, "rear_axle": 1170.0})["gross"]

    assert (low.measured_kg, low.state) == (2520.0, OVER)
    assert (high.measured_kg, high.state) == (2520.0, OVER)


def test_who_stepped_off_and_what_is_filled_up_later_is_added() -> None:
    """2,380 shown without Robin (80 kg) and 40 L of fuel short of the loadout's 60 (0.75 kg/L): 2,490 leave."""
    gross = held({"total": 2380.0}, people_aboard=False, fuel_l=20.0)["gross"]

    assert gross.aboard_later_kg == pytest.approx(80.0 + 40.0 * 0.75, rel=1e-12)
    assert gross.load_kg == pytest.approx(2490.0, rel=1e-12)
    assert gross.state == MAY_BE_OVER


def test_less_than_was_weighed_takes_nothing_off() -> None:
    """Weighed with a full tank and over: that less fuel leaves is not a reading."""
    gross = held({"total": 2510.0}, fuel_l=80.0)["gross"]

    assert gross.aboard_later_kg == pytest.approx(-20.0 * 0.75, rel=1e-12)
    assert (gross.load_kg, gross.state) == (2510.0, OVER)


def test_a_trailers_tongue_is_on_the_rear_axle_when_it_leaves() -> None:
    """80 kg of tongue weight, 1.1 m behind an axle at 2.85 m: 80 · 3.95 / 2.85 = 110.9 kg on the rear axle."""
    hitch = replace(VEHICLE.curb_cg, aft_m=3.95)
    vehicle = replace(VEHICLE, hitch=hitch, limits={"rear_axle": Limit(limit_kg=1400.0)})
    towing = replace(LOADOUT, trailer=Trailer(name="Cart", mass_kg=800.0, tongue_kg=80.0))
    shown = Ticket(readings_kg={"rear_axle": 1300.0}, scale=BRIDGE)
    (rear,) = readings_against_ratings(vehicle, towing, shown)

    assert rear.aboard_later_kg == pytest.approx(110.9, abs=0.05)
    assert rear.state == OVER


def test_a_wheel_is_held_against_its_tire_as_evaluate_has_it() -> None:
    """On the road and, where the loadout lets it down, on the trail: the limits are those of the rating rows."""
    tire = Tire(load_index=100, marking="light truck", reference_kpa=350.0, placard_kpa=350.0)
    vehicle = replace(VEHICLE, front_tire=tire, rear_tire=tire)
    loadout = replace(LOADOUT, front_kpa=175.0)
    report = evaluate(vehicle, loadout)
    shown = Ticket(readings_kg={"front_left": 450.0, "rear_left": 450.0}, scale=BRIDGE)
    found = {h.key: h for h in readings_against_ratings(vehicle, loadout, shown)}

    assert set(found) == {"tire:front_left", "trail:front_left", "tire:rear_left"}
    for key, reading in found.items():
        assert reading.limit_kg == report.rating(key).limit_kg
    # Load index 100 is 800 kg; half of the pressure carries half of it.
    assert found["trail:front_left"].limit_kg == pytest.approx(400.0, rel=1e-9)
    assert found["trail:front_left"].state == OVER
    assert found["tire:front_left"].state == WITHIN


@tried(30)
@given(
    kg=st.lists(st.floats(300.0, 900.0), min_size=7, max_size=7),
    kept=st.sets(st.sampled_from(tuple(READINGS)), min_size=1),
    heavier=st.sampled_from(tuple(READINGS)),
    by=st.floats(0.0, 300.0),
    division=st.sampled_from([0.5, 5.0, 10.0, 20.0]),
    one_scale=st.booleans(),
    people=st.booleans(),
)
def test_no_reading_is_called_better_than_it_is(
    kg: list[float], kept: set[str], heavier: str, by: float, division: float, one_scale: bool, people: bool
) -> None:
    """Every reading counts against its limit; a heavier one never makes a state milder; words never claim less."""
    limits = {"gross": 1400.0, "front_axle": 700.0}
    vehicle = replace(VEHICLE, limits={key: Limit(limit_kg=limit) for key, limit in limits.items()})
    readings = {key: value for key, value in zip(READINGS, kg, strict=True) if key in kept}
    scale = Scale(resolution_kg=division, one_scale=one_scale)

    def states(readings: dict[str, float]) -> dict[str, HeldReading]:
        shown = Ticket(readings_kg=readings, scale=scale, people_aboard=people)
        return {h.key: h for h in judge_weigh_in(vehicle, LOADOUT, shown).held}

    found = states(readings)
    for key, value in readings.items():
        row = READINGS[key][1]
        assert found[row].measured_kg >= value - 1e-9
        if row not in limits:
            assert found[row].state == NOT_KNOWN
        elif value > limits[row]:
            assert found[row].state == OVER
        elif value + found[row].plus_minus_kg > limits[row]:
            assert found[row].state != WITHIN
    if heavier in readings:
        after = states({**readings, heavier: readings[heavier] + by})
        row = READINGS[heavier][1]
        if row in limits:
            assert SEVERITY.index(after[row].state) >= SEVERITY.index(found[row].state)
    said = held_readings.held_words(tuple(found.values()), US)
    leads = ("The scale shows an overload", "Over when it leaves")
    over = [line for line in said.splitlines() if line.startswith(leads)]
    assert over == said.splitlines()[: len(over)]
    assert len(over) == sum(h.state == OVER for h in found.values())
    assert said.count("The scale shows an overload") == sum(h.measured_kg > (h.limit_kg or 1e9) for h in found.values())
    assert said.count("May be over") == sum(h.state == MAY_BE_OVER for h in found.values())
    assert ("Limit not known" in said) == any(h.state == NOT_KNOWN for h in found.values())
    assert "pass" not in said.casefold()


# What the page says --------------------------------------------------------------------------------------


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A desk on a fresh copy of the demo season."""
    return Desk(demo_season(tmp_path, durable=False))


def weighed(desk: Desk, **fields: object) -> str:
    """A new ticket with these fields; its key."""
    key = tickets.new_ticket(desk, "2026-05-31")
    desk.do(lambda: desk.season.set("weigh_in", key, **fields), "readings")
    return key


def limited(desk: Desk, key: str, limit_kg: float | None) -> None:
    """Give a rating this limit, or none."""
    desk.do(lambda: desk.season.set_limit(key, Limit(limit_kg=limit_kg, read_at="door label")), "limit")


def page(desk: Desk) -> list[str]:
    """What the page shows of the newest ticket, block by block, as HTML."""
    scale = TicketDesk(desk)
    assert scale.result is not None
    slips, held, verdict, _ = weigh_in.answer_blocks(scale)
    return [slips, held + weigh_in.held_html(scale.result, desk.units), verdict]


def test_the_page_leads_with_what_is_over_by_the_scale(desk: Desk) -> None:
    """Lists that agree with the scale and a reading beyond the GVWR: over comes first, with its table."""
    expected_kg = expected_readings(desk.vehicle, desk.loadout)["total"][0]
    limited(desk, "gross", expected_kg - 30 * POUND_KG)
    weighed(desk, total_kg=expected_kg)
    slips, held_html, lists_html = page(desk)[:3]
    assert slips == ""
    assert held_html.count("<strong>▲ The scale shows an overload") == 1
    assert "Comes aboard later" not in held_html
    assert "over by 30 lb" in held_html.partition("<table>")[0]
    assert "▲ over" in held_html.partition("<table>")[2]
    assert "Lists and scale agree" in lists_html
    assert "<strong>" not in lists_html


def test_an_overload_by_a_hair_shows_the_digit_that_proves_it(desk: Desk) -> None:
    """100.04% is never shown as 100%, and what the scale cannot tell is to be counted as over."""
    limited(desk, "gross", 3000.0)
    (gross,) = judged(desk, weighed(desk, total_kg=3001.2)).held
    # divisions of 20 lb, 9.07 kg: 2 · √(9.07²/3 + 4.54²/3) = 11.7 kg
    over = held_readings.held_words((gross,), SI)

    assert gross.consumed == pytest.approx(1.0004, rel=1e-9)
    assert "(100.1%), over by 1.2 kg. The scale may be wrong by ± 12 kg: count it as over." in over
    assert held_readings.held_table((gross,), SI)[1][3:] == ("100.1%", "▲ over by 1.2 kg")


def test_too_close_to_tell_is_marked_and_said(desk: Desk) -> None:
    """Just under the limit on a coarse scale: may be over, with a mark of its own."""
    desk.set_units("SI")
    limited(desk, "gross", 3000.0)
    weighed(desk, total_kg=2995.0, resolution_kg=10.0)
    held_html = page(desk)[1]

    assert "▲ May be over: gross vehicle weight rating (GVWR), 2\u202f995 kg of 3\u202f000 kg (99.8%)" in held_html
    assert "(99.8%), 5 kg left. The scale may be wrong by ± 13 kg, " in held_html
    assert "which is more: count it as over." in held_html
    assert "△ may" in held_html


def test_a_limit_that_is_a_guess_is_said_to_be_one(desk: Desk) -> None:
    """Over or within, nothing is surer than the limit that it is held against."""
    guess = Limit(limit_kg=3000.0, read_at="a guess")
    desk.do(lambda: desk.season.set_limit("gross", guess), "limit")
    weighed(desk, total_kg=2500.0)
    within = page(desk)[1]
    weighed(desk, total_kg=3100.0, name="Another", date="2026-06-01")
    over = page(desk)[1]

    for held_html in (within, over):
        assert "limit assumed" in held_html.partition("<table>")[0]
        assert "Limit assumed, so no surer than that: gross vehicle weight rating (GVWR)" in held_html
        assert ", assumed" in held_html.partition("<table>")[2]


def test_a_rating_without_a_limit_is_named_beside_what_is_within(desk: Desk) -> None:
    """One of three limits taken away: it is named, and the row says that it is not judged."""
    limited(desk, "front_axle", None)
    weighed(desk, total_kg=1500.0, front_axle_kg=800.0, rear_axle_kg=700.0)
    held_html = page(desk)[1]

    assert "Limit not known, so the scale&#x27;s reading is not judged: front gross axle weight rating" in held_html
    assert "? not</span> judged" in held_html
    assert "A scale tells nothing of the roof" in held_html
