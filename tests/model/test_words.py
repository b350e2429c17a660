"""What the pages say in words, against numbers worked by hand in the comments."""

from dataclasses import replace

import pytest

from loadcalc.checks import Judgment, evaluate
from loadcalc.model import Limit
from loadcalc.model.quantities import SI, US
from tests.hand_case import LOADOUT, VEHICLE
from workbook.panels.desk import ratings_words as words
from workbook.panels.desk.findings_words import headline
from workbook.panels.loadout.summary_words import summary

# Hand case, in kg: 2000 curb (no fuel in it) + 80 fuel + 30 rack + 75 + 60 + 20 aboard + 100 boxes + 45 tent + 13 can.
GROSS_KG = 2423.0
ROOF_KG = 30.0 + 45.0 + 13.0


def with_limits(**limits_kg: float) -> Judgment:
    """The hand case with some limits of the vehicle known."""
    limits = {key: Limit(limit_kg=kg) for key, kg in limits_kg.items()}
    return evaluate(replace(VEHICLE, limits=limits), LOADOUT)


def test_the_overload_is_named_with_its_share_and_its_amount() -> None:
    """88 kg on a roof limit of 80: 110 %, over by 8."""
    report = with_limits(roof_road=80.0, gross=3000.0)
    said = headline(report, SI)
    assert said.startswith("One rating is over: Vehicle roof, moving on road (110%, over by 8 kg). ")
    # 2423 / 3000 = 80.8 %, 577 left.
    expected = "Next tightest: gross vehicle weight rating (GVWR), 81% used, 577 kg left (at all times)."
    assert words.next_tightest(report, SI) == expected


def test_two_overloads_come_worst_first() -> None:
    """88 / 80 = 110 % comes before 2423 / 2400 = 101 %."""
    said = headline(with_limits(gross=2400.0, roof_road=80.0), SI)
    assert said.startswith("2 ratings are over: Vehicle roof")
    assert "Gross vehicle weight rating (GVWR) (101%, over by 23 kg)" in said


@pytest.mark.parametrize(
    ("limit_kg", "said"),
    [
        (GROSS_KG / 1.002, "100.2%"),
        (GROSS_KG / 0.998, "99.8%"),
        (GROSS_KG, "100%"),
        (GROSS_KG / 1.00001, "100.1%"),
        (GROSS_KG / 0.99999, "99.9%"),
        (GROSS_KG * 2, "50%"),
    ],
)
def test_near_the_limit_the_percent_never_lies_about_the_side(limit_kg: float, said: str) -> None:
    """Rounding may not turn an overload into 100 %, nor a pass into an overload."""
    assert words.percent(with_limits(gross=limit_kg).rating("gross")) == said


def test_an_unknown_limit_is_said_and_never_a_pass() -> None:
    """Without limits nothing is judged, and the sentence says so."""
    report = with_limits()
    assert words.percent(report.rating("gross")) == "not known"
    assert words.room(report.rating("gross"), US) == "limit not known"
    assert headline(report, US).startswith("Nothing is judged: ")
    assert "exceeded" not in headline(report, US)


def test_nothing_over_is_said_only_with_how_many_are_not_known() -> None:
    """Gross alone is known. Not known: axles, placard, three of the roof, three of the rack, two zones, four tires."""
    said = headline(with_limits(gross=3000.0), SI)
    assert said.startswith(
        "Of 1 rating with a known limit none is exceeded. 15 ratings without a known limit are not judged."
    )


def test_a_guess_is_not_counted_among_the_known_limits() -> None:
    """One limit read, one guessed: of one, not of two, none is exceeded; with the guess alone nothing is known."""
    guess = Limit(limit_kg=3000.0, read_at="a guess")
    both = replace(VEHICLE, limits={"gross": guess, "placard": Limit(limit_kg=900.0, read_at="placard")})
    said = headline(evaluate(both, LOADOUT), SI)
    assert said.startswith("Of 1 rating with a known limit none is exceeded.")
    assert "1 rating is judged by what is assumed" in said
    alone = headline(evaluate(replace(VEHICLE, limits={"gross": guess}), LOADOUT), SI)
    assert alone.startswith("No rating that carries anything is judged by a known limit.")


def test_where_nothing_may_stand_something_does() -> None:
    """A limit of zero has no percentage, only an amount."""
    rating = with_limits(roof_road=0.0).rating("roof_road")
    assert words.percent(rating) == "none allowed"
    assert words.room(rating, SI) == f"over by {ROOF_KG:g} kg"


def test_seats_are_counted_in_people() -> None:
    """Two of three seats are taken (the dog rides on the floor)."""
    rating = with_limits().rating("seats")
    assert words.room(rating, SI) == "1 free"
    assert words.amount(rating, rating.load, SI) == "2 people"


def test_the_summary_is_in_the_readers_units() -> None:
    """2423 kg is 5342 lb (2423 / 0.45359237 = 5341.8)."""
    report = with_limits()
    assert "It weighs 5,342 lb" in summary(report, US)
    assert "It weighs 2\u202f423 kg" in summary(report, SI)


def test_a_center_on_the_line_is_neither_left_nor_right() -> None:
    """Less than the last shown digit is no side."""
    assert words.sideways(0.0004, SI) == "on the center line"
    assert words.sideways(-0.02, SI) == "20 mm right of the center line"
    assert words.sideways(0.0254, US) == "1 in left of the center line"


def test_the_inventory_adds_up_by_how_it_is_known() -> None:
    """Two boxes of 50 and a tent of 45, all estimated: 145 kg."""
    gear = [stowed.item for stowed in LOADOUT.gear]
    gear = [replace(gear[0], count=2, plus_minus_kg=5.0), replace(gear[1], known="weighed")]
    said = words.inventory_words(gear, SI)
    assert said.splitlines() == [
        "2 kinds of things, 145 kg if all of it came along: weighed 45 kg, label 0 kg, estimated 100 kg.",
        "If all were off the same way by their ±: 10 kg more or less.",
    ]
