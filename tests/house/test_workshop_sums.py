"""The workshop guide's sums: each by plain arithmetic, and each exercise once more by the package."""

from __future__ import annotations

import ast
import math
import operator
import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from loadcalc.checks.findings.judge import evaluate
from loadcalc.checks.stability.stance import static_stability_factor
from loadcalc.checks.tires.inflation import KPA_PER_PSI, capacity_at_kg, pressure_needed_kpa
from loadcalc.checks.tires.marked import load_index_kg
from loadcalc.checks.weighing.doubts import SHARE_BY_HOW_KNOWN
from loadcalc.model import (
    Carrier,
    Item,
    Limit,
    Loadout,
    Occupant,
    Place,
    Stowed,
    Tire,
    Trailer,
    Vehicle,
    Zone,
)
from tests.hand_case import SIZE, VEHICLE
from tests.workshop_text import (
    EXERCISE,
    IN,
    LB,
    LESSONS,
    NUMBER,
    SUM,
    half_digit,
    rows_of,
    value_of,
)

# The arithmetic: every code span with an equals sign

SIGNS: dict[type[ast.operator], Callable[[float, float], float]] = {
    ast.Add: operator.add, ast.Sub: operator.sub, ast.Mult: operator.mul, ast.Div: operator.truediv,
}  # fmt: skip
SPANS = [(title[:8], span) for title, text in LESSONS.items() for span in SUM.findall(text)]


def worked(node: ast.expr) -> float:
    """A sum of plain numbers, by the rules of school."""
    if isinstance(node, ast.BinOp):
        return SIGNS[type(node.op)](worked(node.left), worked(node.right))
    assert isinstance(node, ast.Constant)
    assert isinstance(node.value, int | float)
    return float(node.value)


def by_hand(span: str) -> tuple[float, str]:
    """What the left side comes to, and what stands on the right."""
    sum_, _, result = span.partition(" = ")
    plain = sum_.replace(",", "").replace("×", "*").replace("−", "-")
    return worked(ast.parse(plain, mode="eval").body), result


@pytest.mark.parametrize(("title", "span"), SPANS)
def test_the_arithmetic_is_right(title: str, span: str) -> None:
    """Each sum of the guide, without the package."""
    found, printed = by_hand(span)
    assert abs(found - value_of(printed)) <= half_digit(printed)


def test_sums_outside_exercises_start_from_the_table() -> None:
    """What is added up from the demo stands in the lesson's table."""
    seen = 0
    for text in LESSONS.values():
        outside = EXERCISE.sub("", text)
        table = {number for row in rows_of(text) for number in re.findall(NUMBER, row[2])}
        for span in SUM.findall(outside):
            seen += 1
            assert set(re.findall(NUMBER, span.partition(" = ")[0])) <= table
    assert seen >= 3


def exercise(lesson: int) -> tuple[str, dict[str, float]]:
    """The text of one exercise, and its sums by their left side."""
    text = next(text for title, text in LESSONS.items() if title.startswith(f"Lesson {lesson}"))
    found = EXERCISE.search(text)
    assert found
    sums = SUM.findall(found[1])
    return found[1], {one.partition(" = ")[0]: value_of(by_hand(one)[1]) for one in sums}


def vehicle_of(
    *, curb_lb: float, up_in: float = 28.0, wheelbase_in: float = 120.0, **limits_lb: float
) -> Vehicle:
    """A vehicle of an exercise: round numbers in pounds and inches, its fuel in its curb mass."""
    limits = {key: Limit(limit_kg=lb * LB) for key, lb in limits_lb.items()}
    return replace(
        VEHICLE, curb_kg=curb_lb * LB, curb_cg=Place(aft_m=1.2, up_m=up_in * IN), wheelbase_m=wheelbase_in * IN,
        curb_fuel_l=100.0, front_track_m=64 * IN, rear_track_m=64 * IN, limits=limits,
    )  # fmt: skip


def loadout_of(*, carrier_lb: float = 0.0, plate_lb: float | None = None, **fields: Any) -> Loadout:
    """A loadout of an exercise, with a carrier when it has a mass."""
    limits = {} if plate_lb is None else {"carrier_off_road": Limit(limit_kg=plate_lb * LB)}
    place = Place(aft_m=1.5, up_m=1.9)
    carrier = Carrier(name="c", mass_kg=carrier_lb * LB, place=place, size=SIZE, limits=limits)
    return Loadout(name="exercise", fuel_l=100.0, carrier=carrier if carrier_lb else None, **fields)


def riding(lb: float, up_in: float, *, on_carrier: bool = False) -> dict[str, Any]:
    """One thing in one zone, for `loadout_of`."""
    zone = Zone(name="z", place=Place(aft_m=1.5, up_m=up_in * IN), size=SIZE, on_carrier=on_carrier)
    return {"zones": (zone,), "gear": (Stowed(item=Item(name="thing", mass_kg=lb * LB), zone="z"),)}


def in_lb(value: float | None) -> float:
    """A mass in pounds."""
    assert value is not None
    return value / LB


def test_exercise_1_by_the_package() -> None:
    """Placard and gross, and what each has left for cargo."""
    text, sums = exercise(1)
    people = tuple(
        Occupant(name=f"p{n}", mass_kg=180 * LB, seat=seat.name)
        for n, seat in enumerate([*VEHICLE.seats, replace(VEHICLE.seats[0], name="fourth")])
    )
    vehicle = vehicle_of(curb_lb=4700, gross=6000, placard=1200)
    vehicle = replace(vehicle, seats=(*VEHICLE.seats, replace(VEHICLE.seats[0], name="fourth")))
    report = evaluate(vehicle, loadout_of(carrier_lb=60, people=people))
    placard, gross = (in_lb(report.rating(key).headroom) for key in ("placard", "gross"))
    assert placard == pytest.approx(sums["1,200 − 720 − 60"], abs=1e-6)
    assert gross == pytest.approx(sums["6,000 − 4,700 − 720 − 60"], abs=1e-6)
    assert f"The smaller holds: {min(placard, gross):.0f} lb" in text


def test_exercise_2_by_the_package() -> None:
    """The carrier counts against the roof, not against its own plate."""
    text, sums = exercise(2)
    report = evaluate(
        vehicle_of(curb_lb=4000, roof_off_road=165),
        loadout_of(carrier_lb=55, plate_lb=150, **riding(100, 76, on_carrier=True)),
    )
    roof, carrier = (in_lb(report.rating(key).headroom) for key in ("roof_off_road", "carrier_off_road"))
    assert roof == pytest.approx(sums["165 − 55 − 100"], abs=1e-6)
    assert carrier == pytest.approx(sums["150 − 100"], abs=1e-6)
    assert f"The smaller holds: {min(roof, carrier):.0f} lb" in text


def test_exercise_3_by_the_package() -> None:
    """A tongue weight behind the axle, as the difference of two judged loadouts."""
    _, sums = exercise(3)
    vehicle = replace(vehicle_of(curb_lb=4000), hitch=Place(aft_m=(120 + 48) * IN, up_m=0.5))
    bare = loadout_of()
    towing = replace(bare, trailer=Trailer(name="t", mass_kg=1600 * LB, tongue_kg=200 * LB))
    before, after = evaluate(vehicle, bare), evaluate(vehicle, towing)
    rear, front = (
        in_lb(getattr(after, field) - getattr(before, field)) for field in ("rear_axle_kg", "front_axle_kg")
    )
    assert rear == pytest.approx(sums["200 × (120 + 48) / 120"], abs=1e-6)
    assert -front == pytest.approx(sums["200 × 48 / 120"], abs=1e-6)


def test_exercise_4_by_the_package() -> None:
    """A passenger-marked tire on a pickup, with its air and with less; whole pounds, as printed."""
    text, sums = exercise(4)
    tire = Tire(load_index=106, reference_kpa=40 * KPA_PER_PSI)

    def carries(psi: float) -> float:
        return in_lb(capacity_at_kg(tire, "light truck", psi * KPA_PER_PSI))

    assert load_index_kg(106) / LB == pytest.approx(2094, abs=0.5)
    assert carries(40) == pytest.approx(sums["2,094 / 1.10"], abs=0.5)
    assert carries(20) == pytest.approx(sums["1,904 × 20 / 40"], abs=0.5)
    needed_psi = pressure_needed_kpa(tire, "light truck", 1100 * LB) / KPA_PER_PSI
    assert needed_psi == pytest.approx(sums["40 × 1,100 / 1,904"], abs=0.05)
    assert f"so {math.ceil(needed_psi)} psi" in text


def test_exercise_5_by_the_package() -> None:
    """The same 200 lb high and low: one gross weight, two factors."""
    _, sums = exercise(5)
    vehicle = vehicle_of(curb_lb=4800, up_in=28)
    vehicle = replace(vehicle, tank=replace(vehicle.tank, place=replace(vehicle.curb_cg)))

    def factor(up_m: float) -> float:
        return static_stability_factor(front_track_m=64 * IN, rear_track_m=64 * IN, up_m=up_m)

    assert factor(vehicle.curb_cg.up_m) == pytest.approx(sums["64 / (2 × 28)"], abs=0.005)
    for place_in, height_in in ((76, "29.92"), (36, "28.32")):
        report = evaluate(vehicle, loadout_of(**riding(200, place_in)))
        assert in_lb(report.mass_kg) == pytest.approx(5000, abs=1e-6)
        assert report.cg.up_m / IN == pytest.approx(
            sums[f"(4,800 × 28 + 200 × {place_in}) / 5,000"], abs=0.005
        )
        assert factor(report.cg.up_m) == pytest.approx(sums[f"64 / (2 × {height_in})"], abs=0.005)


def test_exercise_6_by_the_package() -> None:
    """The doubts are those that the package assumes for a guess and for a weighing."""
    _, sums = exercise(6)
    assert 3 * SHARE_BY_HOW_KNOWN["estimated"] * 40 == pytest.approx(sums["3 × 0.25 × 40"], abs=1e-9)
    assert 3 * SHARE_BY_HOW_KNOWN["weighed"] * 40 == pytest.approx(sums["3 × 0.01 × 40"], abs=1e-9)
