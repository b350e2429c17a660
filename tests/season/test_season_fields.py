"""What is kept of a record is what its dataclass says: no field is stored that the record never sees again."""

from __future__ import annotations

import contextlib
from pathlib import Path
from typing import Any

import pytest

from loadcalc.model import Filled, Item, Liquid, Stowed
from loadcalc.model.body_styles import BODY_STYLES, SPOTS
from loadcalc.model.errors import BadValue
from loadcalc.model.straps import WAYS
from loadcalc.model.things import HAZARDS, HOW_KNOWN, OCCUPANTS, REACHES
from loadcalc.model.vehicle import BODY_CLASSES, TIRE_MARKINGS
from loadcalc.season import Season
from loadcalc.season.edit.records import build
from loadcalc.season.file.fields import FIELDS, NUMBER, PAIRS, RECORDS, WHOLE, YES_NO, described
from tests.season_help import demo_season

SAW = Item(name="Saw", mass_kg=7.0, count=4)
CAN = Liquid(name="Can", container_kg=1.0, capacity_l=20.0, density_kg_per_l=0.7)
ELSEWHERE: dict[str, dict[str, Any]] = {
    "vehicle": {"seats": ()},
    "stowed": {"item": SAW},
    "filled": {"liquid": CAN},
    "strapping": {"key": "a"},
}
WORDS = (
    "something else", *HOW_KNOWN, *REACHES, *OCCUPANTS, *HAZARDS, *WAYS, *TIRE_MARKINGS, *BODY_CLASSES,
    *BODY_STYLES, *SPOTS,
    "sawn wood on grooved aluminum",
)  # fmt: skip
PLACE = {"aft_m": 2.0, "left_m": 0.1, "up_m": 1.1}
OTHERS: dict[str, tuple[Any, ...]] = {
    NUMBER: (0.51, 1.43, 40.0, 240.0, 1500.0), WHOLE: (1, 2, 3, 100), YES_NO: (True, False),
    PAIRS: (((240.0, 550.0), (260.0, 590.0)),),
}  # fmt: skip
EACH = [(subject, field) for subject, record in RECORDS.items() for field in described(record)]


@pytest.fixture(scope="module")
def season(tmp_path_factory: pytest.TempPathFactory) -> Season:
    """The demo, for reading."""
    return demo_season(Path(tmp_path_factory.mktemp("season")), durable=False)


def kept(season: Season, subject: str) -> list[dict[str, Any]]:
    """The fields of everything of a subject that the demo has; of what is aboard also as if it had a place."""
    rows = [fields for _, fields in season.present.rows(subject)] or [{"name": "some straps", "straps": 2}]
    own = described(RECORDS[subject])
    placed = [{**fields, **PLACE} for fields in rows if subject in ELSEWHERE]
    return [{field: fields[field] for field in own if field in fields} for fields in (*rows, *placed)]


@pytest.mark.parametrize(("subject", "field"), EACH)
def test_a_field_that_is_kept_reaches_its_record(season: Season, subject: str, field: str) -> None:
    """Another value of it makes another record."""
    record, more = RECORDS[subject], ELSEWHERE.get(subject, {})
    for fields in kept(season, subject):
        was: Any = build(record, fields, **more)
        for value in OTHERS.get(FIELDS[subject][field], WORDS):
            with contextlib.suppress(BadValue):
                if build(record, {**fields, field: value}, **more) != was:
                    return
    pytest.fail("no value changes the record")


def test_every_record_of_a_departure_is_described() -> None:
    """What a season builds is built by its dataclass's own words."""
    assert {Item, Liquid, Stowed, Filled} <= set(RECORDS.values())
    assert set(RECORDS) <= set(FIELDS)
    assert len(EACH) > 100
