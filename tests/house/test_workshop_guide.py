"""The workshop guide's numbers stay true: each value of its tables is recomputed from the demo; prose adds none."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pytest

from loadcalc.checks.findings.judge import evaluate
from loadcalc.checks.hitch import on_hitch, tow_room
from loadcalc.checks.ratings.report import Report
from loadcalc.checks.stability.stance import empty_stance, stance_of, static_stability_factor
from loadcalc.checks.stability.tipping import first_lifts, tip_angles
from loadcalc.checks.tires.inflation import KPA_PER_PSI, pressure_needed_kpa
from loadcalc.checks.tires.tire_sums import axle_tire_sum
from loadcalc.model import (
    Limit,
    Loadout,
    Vehicle,
)
from loadcalc.season import Season
from tests.season_help import FRIDAY, ROOT, demo_season
from tests.workshop_text import (
    EXERCISE,
    GUIDE,
    IN,
    LESSONS,
    NUMBER,
    PER,
    SECTIONS,
    WITH_UNIT,
    half_digit,
    rows_of,
    value_of,
)

# The tables: step | what to read | value


@dataclass(frozen=True)
class Seen:
    """The demo season's Friday departure after one step, judged."""

    season: Season
    vehicle: Vehicle
    loadout: Loadout

    @property
    def report(self) -> Report:
        """Every rating."""
        return evaluate(self.vehicle, self.loadout)


Step = Callable[[Seen], Seen]
Read = Callable[[Seen], float | None]


def moved(seen: Seen) -> Seen:
    """Folding chair, Pick mattock, Round shovel: from the roof to the floor."""
    off = ("Folding chair", "Pick mattock", "Round shovel")
    gear = tuple(replace(s, zone="Cargo floor front") if s.item.name in off else s for s in seen.loadout.gear)
    assert sum(a.zone != b.zone for a, b in zip(gear, seen.loadout.gear, strict=True)) == len(off)
    return replace(seen, loadout=replace(seen.loadout, gear=gear))


def without_limit(seen: Seen) -> Seen:
    """The roof's off-road limit emptied."""
    limits = {**seen.vehicle.limits, "roof_off_road": Limit()}
    return replace(seen, vehicle=replace(seen.vehicle, limits=limits))


def with_vehicle(**fields: Callable[[Vehicle], Any]) -> Step:
    """The vehicle with other fields."""
    return lambda seen: replace(
        seen, vehicle=replace(seen.vehicle, **{name: make(seen.vehicle) for name, make in fields.items()})
    )


def with_loadout(**fields: Callable[[Season], Any]) -> Step:
    """The loadout with other fields."""
    return lambda seen: replace(
        seen, loadout=replace(seen.loadout, **{name: make(seen.season) for name, make in fields.items()})
    )


STEPS: dict[str, Step] = {
    "as it opens": lambda seen: seen,
    "tank at 0 gal": with_loadout(fuel_l=lambda _: 0.0),
    "three moved": moved,
    "limit emptied": without_limit,
    "trailer hitched": with_loadout(trailer=lambda season: season.trailer),
    "rear tires marked light truck": with_vehicle(
        rear_tire=lambda v: replace(v.rear_tire, marking="light truck")
    ),
    "rear tires at 20 psi": with_loadout(rear_kpa=lambda _: 20 * KPA_PER_PSI),
    "empty center at 32 in": with_vehicle(curb_cg=lambda v: replace(v.curb_cg, up_m=32 * IN)),
}


def load(key: str) -> Read:
    """The load on a rating."""
    return lambda seen: seen.report.rating(key).load


def limit(key: str) -> Read:
    """Its limit, or None."""
    return lambda seen: seen.report.rating(key).limit


def left(key: str) -> Read:
    """Its headroom."""
    return lambda seen: seen.report.rating(key).headroom


def over_by(key: str) -> Read:
    """By how much it is over; a rating that isn't over would come out below zero."""
    return lambda seen: -(seen.report.rating(key).headroom or 0.0)


def used(key: str) -> Read:
    """Load over limit."""
    return lambda seen: seen.report.rating(key).consumed


def on_rear(field: str) -> Read:
    """Water can 2 on the rear axle: mass_kg, share, or adds."""
    return lambda seen: getattr(
        next(p for p in seen.report.rating("rear_axle").parts if p.name == "Water can 2"), field
    )


def rear_tires(seen: Seen) -> float:
    """What two rear tires carry."""
    v = seen.vehicle
    return axle_tire_sum(v.rear_tire, v.body_class, v.limit("rear_axle")).tires_kg or 0.0


def heaviest_trailer(seen: Seen) -> float | None:
    """The heaviest trailer by the rating that binds."""
    return tow_room(seen.report, share=0.11)[0].trailer_kg


def needed_kpa(seen: Seen) -> float:
    """The least pressure for the rear right wheel, up to the next whole psi, as the page shows it."""
    kpa = pressure_needed_kpa(
        seen.vehicle.rear_tire, seen.vehicle.body_class, seen.report.wheels_kg.rear_right
    )
    return math.ceil(kpa / KPA_PER_PSI - 1e-6) * KPA_PER_PSI


def factor_of(seen: Seen, up_m: float) -> float:
    """The static stability factor at a height of the center."""
    v = seen.vehicle
    return static_stability_factor(front_track_m=v.front_track_m, rear_track_m=v.rear_track_m, up_m=up_m)


def other_loads(seen: Seen) -> float:
    """How many ratings have another load than as the season opens."""
    opening = evaluate(seen.season.vehicle, seen.season.loadout(FRIDAY))
    return sum(
        abs(rating.load - opening.rating(rating.key).load) > 1e-9 or rating.limit != opening.rating(rating.key).limit
        for rating in seen.report.ratings
    )  # fmt: skip


def duffels(seen: Seen, field: str) -> float:
    """Mass or doubt of all the duffels aboard."""
    found = next(s for s in seen.loadout.gear if s.item.name == "Personal duffel")
    return float(getattr(found.item, field)) * found.count


def owned(seen: Seen, known: str = "") -> float:
    """The mass of all gear owned, or of what is known in one way."""
    return sum(i.mass_kg * i.count for i in seen.season.gear if known in ("", i.known))


READS: dict[str, Read] = {
    "gross, limit": limit("gross"),
    "gross, load": load("gross"),
    "gross, left": left("gross"),
    "empty vehicle, full tank": lambda seen: (
        seen.vehicle.curb_kg if seen.vehicle.curb_fuel_l == seen.vehicle.tank.capacity_l else None
    ),
    "people and cargo, limit": limit("placard"),
    "people and cargo, left": left("placard"),
    "people and cargo, over by": over_by("placard"),
    "front axle, limit": limit("front_axle"),
    "rear axle, limit": limit("rear_axle"),
    "rear axle, left": left("rear_axle"),
    "rear axle, over by": over_by("rear_axle"),
    "roof rack, its own mass": lambda seen: seen.loadout.carrier.mass_kg if seen.loadout.carrier else None,
    "roof rack off road, load": load("carrier_off_road"),
    "roof rack off road, limit": limit("carrier_off_road"),
    "roof rack off road, used": used("carrier_off_road"),
    "roof off road, load": load("roof_off_road"),
    "roof off road, limit": limit("roof_off_road"),
    "roof off road, used": used("roof_off_road"),
    "roof off road, left": left("roof_off_road"),
    "roof on road, used": used("roof_road"),
    "roof parked, limit": limit("roof_parked"),
    "ratings over": lambda seen: len(seen.report.over),
    "Water can 2, own mass": on_rear("mass_kg"),
    "Water can 2, share that counts": on_rear("share"),
    "Water can 2, adds to the rear axle": on_rear("adds"),
    "tongue weight": lambda seen: on_hitch(seen.report, tongue=True).mass_kg,
    "rear axle gains": lambda seen: on_hitch(seen.report, tongue=True).rear_kg,
    "front axle loses": lambda seen: -on_hitch(seen.report, tongue=True).front_kg,
    "tow rating": limit("tow"),
    "heaviest trailer with 11% on its tongue": heaviest_trailer,
    "rear right tire, load": load("tire:rear_right"),
    "rear right tire, limit": limit("tire:rear_right"),
    "two rear tires carry": rear_tires,
    "rear right tire, carries then": limit("trail:rear_right"),
    "rear right tire, used then": used("trail:rear_right"),
    "rear right tire, needs at least": needed_kpa,
    "center of gravity, height": lambda seen: seen.report.cg.up_m,
    "tips, right side down": lambda seen: tip_angles(stance_of(seen.report)).right_deg,
    "tips, empty": lambda seen: tip_angles(empty_stance(seen.vehicle)).right_deg,
    "first wheel lifts": lambda seen: first_lifts(stance_of(seen.report))[1].angle_deg,
    "static stability factor": lambda seen: factor_of(seen, seen.report.cg.up_m),
    "static stability factor, empty": lambda seen: factor_of(seen, seen.vehicle.curb_cg.up_m),
    "ratings with another load": other_loads,
    "all gear owned": owned,
    "of it estimated": lambda seen: owned(seen, "estimated"),
    "Personal duffel, all along": lambda seen: duffels(seen, "mass_kg"),
    "Personal duffel, ± for all": lambda seen: duffels(seen, "plus_minus_kg"),
}


ROWS = [(title[:8], *row) for title, text in LESSONS.items() for row in rows_of(text)]


def wrong(value: float | None, printed: str) -> str:
    """What is wrong with a printed value: "" when each of its numbers is `value` [SI] to half its last digit."""
    if value is None or printed == "not known":
        return "" if value is None and printed == "not known" else f"{value} is not {printed}"
    numbers = re.fullmatch(rf"({NUMBER}) ?(\D*?)(?: \(({NUMBER}) (\w+)\))?", printed)
    if numbers is None:
        return f"{printed} can't be read"
    pairs = [numbers.groups()[:2], numbers.groups()[2:]]
    off = [
        f"{value / PER[unit]} {unit} is not {number}"
        for number, unit in pairs
        if number and abs(value / PER[unit] - value_of(number)) > half_digit(number)
    ]
    return "; ".join(off)


@pytest.fixture(scope="module")
def opening(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Seen]:
    """The demo season as it opens."""
    with demo_season(tmp_path_factory.mktemp("guide"), durable=False) as season:
        yield Seen(season, season.vehicle, season.loadout(FRIDAY))


@pytest.mark.parametrize("row", ROWS, ids=" ".join)
def test_each_number_of_the_demo_is_what_the_package_finds(opening: Seen, row: tuple[str, ...]) -> None:
    """Every row of every lesson, recomputed from the demo season."""
    _, step, what, printed = row
    assert not wrong(READS[what](STEPS[step](opening)), printed)


def test_a_wrong_number_is_found(opening: Seen) -> None:
    """One more or less in the last printed digit, another unit, or a limit that is known: each is told."""
    gross = READS["gross, left"](opening)
    assert not wrong(gross, "168 lb (76.2 kg)")
    for printed in (
        "169 lb (76.2 kg)",
        "167 lb (76.2 kg)",
        "168 lb (76.3 kg)",
        "168 kg",
        "not known",
        "some",
    ):
        assert wrong(gross, printed), printed
    assert wrong(None, "168 lb")


def test_nothing_is_recomputed_for_nobody() -> None:
    """Each lesson has a table, and every step and reading that this test knows stands in one."""
    assert len(LESSONS) == 6
    assert all(len(rows_of(text)) >= 6 for text in LESSONS.values())
    assert {row[1] for row in ROWS} == set(STEPS)
    assert {row[2] for row in ROWS} == set(READS)


def prose(text: str) -> str:
    """A lesson without its table, its exercise, and its code spans."""
    text = re.sub(r"^\|.*$", "", text, flags=re.MULTILINE)
    text = EXERCISE.sub("", text)
    return re.sub(r"`[^`]*`", "", text)


FROM_ELSEWHERE = {
    "Lesson 3": {"10 to 15%"},  # common practice: owners' manuals; in docs/stability.md
}


@pytest.mark.parametrize("title", LESSONS)
def test_prose_states_no_number_that_its_table_does_not(title: str) -> None:
    """A number with a unit in a lesson's text is in its table, where the test above recomputes it."""
    text = prose(LESSONS[title])
    for phrase in FROM_ELSEWHERE.get(title[:8], ()):
        assert phrase in text
        text = text.replace(phrase, "")
    table = {pair for row in rows_of(LESSONS[title]) for cell in row for pair in WITH_UNIT.findall(cell)}
    assert set(WITH_UNIT.findall(text)) <= table


# The rest of the guide


def test_the_evening_is_two_hours_and_names_its_lessons() -> None:
    """The minutes of the running order add up, and each lesson of it is there."""
    rows = re.findall(r"^\| (\d+) \| (.+?) \|", SECTIONS["Running order"], flags=re.MULTILINE)
    assert sum(int(minutes) for minutes, _ in rows) == 120
    assert [what.capitalize() for _, what in rows if what.startswith("lesson")] == list(LESSONS)


def test_each_lesson_has_its_parts() -> None:
    """A question, what people usually get wrong, an exercise with its answer, and something to take home."""
    for title, text in LESSONS.items():
        for part in ("\n* Exercise. ", "\n* Answer. ", "\n* Take home: "):
            assert text.count(part) == 1, (title, part)
        assert len(re.findall(r'^\* "', text, flags=re.MULTILINE)) >= 3, title
        assert title.endswith("?")


def test_commands_and_links_are_real() -> None:
    """Options that the launcher reads, and files that are there."""
    command = (ROOT / "workbook" / "launcher" / "command.py").read_text(encoding="utf-8")
    assert all(f'"{option}"' in command for option in re.findall(r"--[a-z][\w-]+", GUIDE))
    for target in re.findall(r"\]\(([\w./-]+)\)", GUIDE):
        assert (Path(ROOT / "docs") / target).is_file(), target
    assert "docs/workshop.md" in (ROOT / "README.md").read_text(encoding="utf-8")
