"""Published and hand-worked values: each formula against its table in tests/reference."""

from __future__ import annotations

import pytest

from loadcalc.checks.balance import axle_loads, moment_center, placard_room_kg, shift_of_center_m
from loadcalc.checks.findings.judge import evaluate
from loadcalc.checks.tires.marked import load_index_kg, tire_capacity_kg
from loadcalc.model import FuelTank, Loadout, Place, Size, Vehicle, cg_from_axles
from tests.reference_rows import Row, case_id, half_last_digit, numbers, rows

KG_PER_LB = 0.45359237  # exact: international avoirdupois pound
M_PER_IN = 0.0254  # exact: international inch


def _pick(table: str, **wanted: str) -> list[Row]:
    """Rows whose cells are as wanted; a table without any is a mistake in the test."""
    found = [row for row in rows(table) if all(row[field] == value for field, value in wanted.items())]
    assert found, f"{table} has no row with {wanted}"
    return found


def _tolerance(row: Row, printed: str) -> float:
    return float(row["tolerance"]) if row.get("tolerance") else half_last_digit(printed)


def _placard_room(row: Row) -> float:
    room = placard_room_kg(placard_kg=float(row["placard"]), occupants_kg=numbers(row["occupants"]))
    return room * KG_PER_LB if row["unit"] == "lb to kg" else room


@pytest.mark.parametrize("row", rows("placard.csv"), ids=case_id)
def test_placard_leaves_what_the_regulation_says(row: Row) -> None:
    """Placard less occupants is the correct room for cargo, to half the last printed digit."""
    assert _placard_room(row) == pytest.approx(float(row["correct"]), abs=_tolerance(row, row["correct"]))


@pytest.mark.parametrize("row", _pick("placard.csv", verdict="misprint"), ids=case_id)
def test_placard_misprints_are_not_followed(row: Row) -> None:
    """Where a manual prints a wrong number, ours is far from it."""
    assert abs(_placard_room(row) - float(row["printed"])) > 1.0


@pytest.mark.parametrize("row", rows("moments.csv"), ids=case_id)
def test_center_by_moments(row: Row) -> None:
    """Sum of mass times arm over sum of mass is the published center, to half its last digit."""
    masses, arms = numbers(row["masses"]), numbers(row["arms"])
    center = moment_center(masses, arms)

    assert sum(masses) == pytest.approx(float(row["total"]), abs=half_last_digit(row["total"]))
    assert center * sum(masses) == pytest.approx(float(row["moment"]), abs=half_last_digit(row["moment"]))
    assert center == pytest.approx(float(row["center"]), abs=half_last_digit(row["center"]))


@pytest.mark.parametrize("row", _pick("moments.csv", verdict="misprint"), ids=case_id)
def test_misprinted_center_is_not_followed(row: Row) -> None:
    """The printed quotient is wrong by more than its own last digit, and ours is not it."""
    center = moment_center(numbers(row["masses"]), numbers(row["arms"]))

    assert abs(center - float(row["printed"])) > half_last_digit(row["printed"])


@pytest.mark.parametrize("row", rows("shifts.csv"), ids=case_id)
def test_shift_of_center(row: Row) -> None:
    """Moved over total times distance is the published shift, to half its last digit."""
    moved, distance, total = (float(row[field]) for field in ("moved", "distance", "total"))
    shift = shift_of_center_m(moved_kg=moved, distance_m=distance, total_kg=total)

    assert shift == pytest.approx(float(row["shift"]), abs=half_last_digit(row["shift"]))
    if row["before"]:
        after = float(row["before"]) + shift
        assert after == pytest.approx(float(row["after"]), abs=half_last_digit(row["after"]))


@pytest.mark.parametrize("row", rows("axle_loads.csv"), ids=case_id)
def test_axle_loads(row: Row) -> None:
    """One mass on two axles gives the stated loads, to half the last digit."""
    meter = M_PER_IN if row["length_unit"] == "in" else 1.0
    aft_m, wheelbase_m = float(row["aft"]) * meter, float(row["wheelbase"]) * meter
    front, rear = axle_loads(float(row["mass"]), aft_m=aft_m, wheelbase_m=wheelbase_m)
    gravity = float(row["gravity"])

    assert front * gravity == pytest.approx(float(row["front"]), abs=half_last_digit(row["front"]))
    assert rear * gravity == pytest.approx(float(row["rear"]), abs=half_last_digit(row["rear"]))


def _public_vehicle(row: Row) -> Vehicle:
    value = {field: float(row[field]) for field in row if field.endswith(("_kg", "_m"))}
    wheelbase_m = value["cg_behind_front_m"] + value["cg_ahead_of_rear_m"]
    cg = Place(aft_m=value["cg_behind_front_m"], up_m=value["cg_height_m"])
    return Vehicle(
        name=row["case"],
        curb_kg=value["mass_kg"],
        curb_cg=cg,
        wheelbase_m=wheelbase_m,
        front_track_m=value["front_track_m"],
        rear_track_m=value["rear_track_m"],
        outline=Size(length_m=4.0, width_m=1.7, height_m=1.5),
        front_overhang_m=0.8,
        tank=FuelTank(capacity_l=0.0, density_kg_per_l=0.75, place=cg),
        seats=(),
    )


@pytest.mark.parametrize("row", rows("public_vehicle_sets.csv"), ids=case_id)
def test_public_vehicle_sets(row: Row) -> None:
    """An empty vehicle with published measures stands on its axles as its center of gravity says."""
    report = evaluate(_public_vehicle(row), Loadout(name="empty"))

    assert report.mass_kg == pytest.approx(float(row["mass_kg"]), rel=1e-12)
    assert report.cg.up_m == pytest.approx(float(row["cg_height_m"]), rel=1e-12)
    for axle, key in ((report.front_axle_kg, "front_kg"), (report.rear_axle_kg, "rear_kg")):
        assert axle == pytest.approx(float(row[key]), abs=half_last_digit(row[key]))


@pytest.mark.parametrize("row", rows("public_vehicle_sets.csv"), ids=case_id)
def test_center_from_axles_gives_the_published_center(row: Row) -> None:
    """Axle loads as from a scale give back where the center of gravity is, as well as they are printed."""
    wheelbase_m = float(row["cg_behind_front_m"]) + float(row["cg_ahead_of_rear_m"])
    front_kg, rear_kg = float(row["front_kg"]), float(row["rear_kg"])
    place = cg_from_axles(
        front_kg=front_kg, rear_kg=rear_kg, wheelbase_m=wheelbase_m, up_m=float(row["cg_height_m"])
    )

    spread_m = wheelbase_m * half_last_digit(row["rear_kg"]) / (front_kg + rear_kg)
    assert place.aft_m == pytest.approx(float(row["cg_behind_front_m"]), abs=2 * spread_m)


@pytest.mark.parametrize("row", rows("tire_derate.csv"), ids=case_id)
def test_passenger_tires_are_divided_where_the_rule_says(row: Row) -> None:
    """A passenger-marked tire counts for its load over 1.10 on a light truck, and in full elsewhere."""
    one_kg = tire_capacity_kg(int(row["load_index"]), marking=row["marking"], body_class=row["body_class"])
    got = one_kg * int(row["tires"]) / (KG_PER_LB if row["unit"] == "lb" else 1.0)

    assert got == pytest.approx(float(row["capacity"]), abs=half_last_digit(row["capacity"]))


def _tire_load(row: Row) -> float:
    per_kg = {"kg": 1.0, "lb": 1.0 / KG_PER_LB, "kg for four": 4.0}[row["unit"]]
    return load_index_kg(int(row["load_index"])) * per_kg


@pytest.mark.parametrize("row", _pick("load_index.csv", verdict="right"), ids=case_id)
def test_load_index_table(row: Row) -> None:
    """The load of an index is what public charts print, within the chart's own rounding."""
    assert _tire_load(row) == pytest.approx(float(row["load"]), abs=float(row["tolerance"]))


@pytest.mark.parametrize("row", _pick("load_index.csv", verdict="wrong"), ids=case_id)
def test_wrong_public_charts_are_not_followed(row: Row) -> None:
    """Charts that got an index wrong disagree with ours by far; the correct value agrees."""
    tolerance = float(row["tolerance"])

    assert abs(_tire_load(row) - float(row["load"])) > 10 * tolerance
    assert _tire_load(row) == pytest.approx(float(row["correct"]), abs=tolerance)
