"""The demo season tells its story, the blank one knows no limit, fact rows are what their source says."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from loadcalc.checks import evaluate
from loadcalc.model import Limit, Loadout, Place, Vehicle
from loadcalc.model.facts import fact_rows
from loadcalc.season import Season, start_season
from tests.season_help import BLANK, DEMO, FRIDAY, ROOT, demo_season

SCOUTING = "Scouting day"
LB_KG, GAL_L = 0.45359237, 3.785411784  # exact: NIST SP 811 appendix B (corroborated)


@pytest.fixture
def demo(tmp_path: Path) -> Iterator[Season]:
    """An open copy of the demo season."""
    with demo_season(tmp_path) as season:
        yield season


def masses_by_hand(vehicle: Vehicle, loadout: Loadout) -> list[tuple[float, Place]]:
    """Every mass [kg] with its place, listed here without the package's own checks."""
    zones = {zone.name: zone.place for zone in loadout.zones}
    seats = {seat.name: seat.place for seat in vehicle.seats}
    tank = vehicle.tank
    fuel_kg = (loadout.fuel_l - vehicle.curb_fuel_l) * tank.density_kg_per_l
    masses = [(vehicle.curb_kg, vehicle.curb_cg), (fuel_kg, tank.place)]
    masses += [(person.mass_kg, seats[person.seat]) for person in loadout.people]
    masses += [(s.item.mass_kg * s.count, s.place or zones[s.zone]) for s in loadout.gear]
    for filled in loadout.liquids:
        liquid = filled.liquid
        kg = liquid.container_kg + filled.fill_l * liquid.density_kg_per_l
        masses.append((kg, filled.place or zones[filled.zone]))
    if loadout.carrier is not None:
        masses.append((loadout.carrier.mass_kg, loadout.carrier.place))
    return masses


@pytest.mark.parametrize("name", [FRIDAY, SCOUTING])
def test_axles_by_hand(demo: Season, name: str) -> None:
    """Moments about the front axle line, taken by hand, give the axle loads that the package gives."""
    vehicle, loadout = demo.vehicle, demo.loadout(name)
    masses = masses_by_hand(vehicle, loadout)
    total_kg = sum(kg for kg, _ in masses)
    rear_kg = sum(kg * place.aft_m for kg, place in masses) / vehicle.wheelbase_m
    report = evaluate(vehicle, loadout)

    assert report.mass_kg == pytest.approx(total_kg, abs=1e-6)
    assert report.rear_axle_kg == pytest.approx(rear_kg, abs=1e-6)
    assert report.front_axle_kg == pytest.approx(total_kg - rear_kg, abs=1e-6)


def test_roof_by_hand(demo: Season) -> None:
    """What stands on the platform, added up in pounds as typed, and the platform are the roof's load."""
    on_platform_lb = 31 + 3 * 7.2 + 3 * 6.7 + 2 * 6.2 + 2 * 4.8 + 18.2 + 7.4
    report = evaluate(demo.vehicle, demo.loadout(FRIDAY))

    assert report.rating("roof_road").load == pytest.approx((84 + on_platform_lb) * LB_KG, abs=1e-6)
    assert report.rating("carrier_road").load == pytest.approx(on_platform_lb * LB_KG, abs=1e-6)


def test_friday_is_inside_its_gross_rating_and_over_its_roof(demo: Season) -> None:
    """The story: gross, placard, and axles hold, the rear one barely; off road, the roof does not."""
    report = evaluate(demo.vehicle, demo.loadout(FRIDAY))
    used = {rating.key: rating.consumed for rating in report.ratings if rating.consumed is not None}

    assert [rating.key for rating in report.over] == ["roof_off_road"]
    assert used["roof_off_road"] == pytest.approx(1.33, abs=0.02)
    assert used["gross"] == pytest.approx(0.98, abs=0.01)
    assert used["rear_axle"] == pytest.approx(0.99, abs=0.01)
    assert used["carrier_off_road"] < 0.6, "the carrier's own number alone would have looked fine"
    assert {rating.key for rating in report.not_known} >= {"roof_parked", "carrier_parked"}


def test_friday_can_be_put_right(demo: Season) -> None:
    """Three heavy things moved from the roof to the floor behind the seats bring everything inside."""
    with demo.entry("Off the roof"):
        for item in ("rock-bar", "pick-mattock", "round-shovel"):
            demo.stow(FRIDAY, item, "Cargo floor front")
        demo.stow(FRIDAY, "rake-hoe", "Cargo floor front")
    assert evaluate(demo.vehicle, demo.loadout(FRIDAY)).over == ()


def test_scouting_is_inside_everything(demo: Season) -> None:
    """For contrast: nothing is over, and the tightest rating has a tenth to spare."""
    report = evaluate(demo.vehicle, demo.loadout(SCOUTING))

    assert report.over == ()
    assert report.tightest is not None
    assert (report.tightest.consumed or 1.0) < 0.9


def test_demo_figures_are_plausible(demo: Season) -> None:
    """Size and masses are those of a body-on-frame wagon; gross leaves room for the placard's load."""
    vehicle = demo.vehicle
    gross, placard = vehicle.limit("gross").limit_kg, vehicle.limit("placard").limit_kg
    axles = [vehicle.limit(key).limit_kg for key in ("front_axle", "rear_axle")]

    assert vehicle.curb_kg == pytest.approx(2250, abs=1.0)
    assert (vehicle.outline.length_m, vehicle.wheelbase_m) == pytest.approx((4.9, 2.85), abs=0.01)
    assert vehicle.curb_cg.up_m == pytest.approx(0.38 * vehicle.outline.height_m, abs=0.005)
    assert gross is not None
    assert placard is not None
    assert 650 <= placard <= min(705, gross - vehicle.curb_kg)
    assert sum(kg or 0.0 for kg in axles) > gross
    assert all(75 <= person.mass_kg <= 96 for person in demo.people)
    assert 40 <= len(demo.gear) <= 50
    assert {item.known for item in demo.gear} == {"weighed", "label", "estimated"}
    assert all(item.plus_minus_kg > 0 for item in demo.gear)


def test_every_limit_says_where_it_was_read(demo: Season) -> None:
    """A known limit names its place of reading, and so do curb mass and CG height."""
    vehicle, carrier = demo.vehicle, demo.carrier
    assert carrier is not None
    limits = [*vehicle.limits.values(), *carrier.limits.values(), *(zone.limit for zone in demo.zones)]
    known = [limit for limit in limits if limit.limit_kg is not None]

    assert len(known) >= 8
    assert all(limit.read_at for limit in known)
    assert any(zone.limit.limit_kg is None for zone in demo.zones)
    assert "weighbridge" in vehicle.curb_from
    assert "estimate" in vehicle.cg_height_from


def test_a_new_season_holds_no_number_and_judges_nothing(tmp_path: Path) -> None:
    """A person's own start: usual zones and seats, nobody and nothing aboard; not one number that anybody made up."""
    with start_season(tmp_path / "mine") as season:
        vehicle, (loadout,) = season.vehicle, season.loadouts
        report = evaluate(vehicle, loadout)

        assert (season.gear, season.liquids) == ((), ())
        assert season.people == ()
        assert season.carrier is None
        numbers = [
            (subject, key, field)
            for subject, things in season.present.things.items()
            for key, fields in things.items()
            for field, value in fields.items()
            if isinstance(value, (int, float)) and not isinstance(value, bool)
        ]
        assert numbers == []
        assert {zone.limit for zone in season.zones} == {Limit()}
        assert vehicle.limits == {}
        assert [rating.key for rating in report.ratings if rating.known] == []
        assert "Roof rack" in {zone.name for zone in season.zones}
    assert BLANK.is_dir()


def test_demo_densities_are_the_fact_table_s(demo: Season) -> None:
    """Water is the 20 C row; gasoline and oil are within their rows' ranges."""
    rows = {(row["liquid"], row["state"]): row for row in fact_rows("liquids")}
    water = float(rows["water", "20 C (68 F)"]["density_kg_per_l"])
    for liquid in demo.liquids:
        if liquid.kind == "water":
            assert liquid.density_kg_per_l == pytest.approx(water, abs=0.0005)
            continue
        row = rows[{"gasoline": "gasoline", "oil": "bar oil"}[liquid.kind], "15 C (59 F)"]
        assert float(row["low_kg_per_l"]) <= liquid.density_kg_per_l <= float(row["high_kg_per_l"])


@pytest.mark.parametrize("row", fact_rows("liquids"), ids=lambda row: f"{row['liquid']} {row['state'][:4]}")
def test_densities_are_what_is_printed_beside_them(row: dict[str, str]) -> None:
    """Each density is what is printed beside it in other units."""
    density = float(row["density_kg_per_l"])
    if "lb/US gal" in row["as_printed"]:
        printed = float(row["as_printed"].split()[0])
        assert density == pytest.approx(printed * LB_KG / GAL_L, abs=1e-5)
    else:
        low, high = float(row["low_kg_per_l"]), float(row["high_kg_per_l"])
        assert row["as_printed"] == f"{low:.3f} to {high:.3f} kg/L" or row["liquid"] == "bar oil"
        assert density == pytest.approx((low + high) / 2, abs=1e-9)
    if row["status"] == "from memory":
        assert "CoolProp" not in row["source"]


COMPUTED = [row for row in fact_rows("liquids") if row["status"] == "computed"]


@pytest.mark.parametrize("row", COMPUTED, ids=lambda row: f"{row['liquid']} {row['state']}")
def test_computed_densities_come_from_their_library(row: dict[str, str]) -> None:
    """Each computed row is what CoolProp gives: water at 1 atm, propane at its own vapor pressure."""
    props = pytest.importorskip("CoolProp.CoolProp", reason="CoolProp is a test dependency")
    celsius, fahrenheit = map(float, re.findall(r"\d+", row["state"]))
    kelvin = 273.15 + ((fahrenheit - 32) / 1.8 if "exactly" in row["note"] else celsius)
    second = ("P", 101_325) if row["liquid"] == "water" else ("Q", 0)
    density = props.PropsSI("D", "T", kelvin, *second, row["liquid"].capitalize()) / 1000

    assert float(row["density_kg_per_l"]) == pytest.approx(density, abs=1.1e-5)


@pytest.mark.parametrize(
    "file", sorted([*DEMO.iterdir(), *BLANK.iterdir()]), ids=lambda f: f"{f.parent.name}/{f.name}"
)
def test_tables_are_plain_text(file: Path) -> None:
    """The tables open anywhere: ASCII, line feeds, the same number of cells in each row."""
    text = file.read_bytes().decode("ascii")
    assert "\r" not in text
    assert text.endswith("\n")
    if file.suffix == ".csv":
        assert len({len(row) for row in csv.reader(text.splitlines())}) == 1
    assert ROOT in file.parents
