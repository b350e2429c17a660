"""A vehicle of which little was entered: its verdicts are no surer than what is assumed, and true within it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from loadcalc.checks import Judgment, RatingResult, evaluate
from loadcalc.checks.ratings.report import IN_DOUBT, UNKNOWN, WITHIN
from loadcalc.model import Loadout, Vehicle
from loadcalc.model.assumption import Assumption
from loadcalc.model.body_styles import BODY_STYLES
from loadcalc.season.edit import records
from loadcalc.season.file.present import Present
from tests.strategies import STEADY

WEIGHED = ("gross", "front_axle", "rear_axle", "tire:front_left", "tire:rear_right")
ORDER = (
    "width_m", "height_m", "front_track_m", "rear_track_m", "curb_kg", "curb_aft_m", "tank_capacity_l",
    "tank_density_kg_per_l", "curb_fuel_l", "tank_aft_m",
)  # fmt: skip  # what is assumed from another comes after it
PLACES = (("seat", "driver"), ("seat", "rear"), ("zone", "floor"))
SPOTS = {"driver": "front left", "rear": "second row right", "floor": "rear of load"}


def season(style: str = "wagon", wheelbase_m: float | None = 2.8, **limits: float) -> Present:
    """A season with two seats, a zone, people and a box aboard, half a tank; of the vehicle little is entered."""
    made: dict[tuple[str, str], dict[str, Any]] = {
        ("vehicle", "vehicle"): {"body_style": style, "wheelbase_m": wheelbase_m},
        **{(of, key): {"name": key, "spot": SPOTS[key]} for of, key in PLACES},
        ("occupant", "ada"): {"name": "Ada", "mass_kg": 70.0, "seat": "driver"},
        ("occupant", "bo"): {"name": "Bo", "mass_kg": 90.0, "seat": "rear"},
        ("item", "box"): {"name": "Box", "mass_kg": 60.0},
        ("loadout", "trip"): {"name": "trip", "fuel_l": 20.0},
        ("riding", "trip/ada"): {"seat": "driver"},
        ("riding", "trip/bo"): {"seat": "rear"},
        ("stowed", "trip/box"): {"zone": "floor"},
        **{("limit", key): {"limit_kg": kg, "read_at": "door label"} for key, kg in limits.items()},
    }
    present = Present()
    for (subject, key), fields in made.items():
        for field, value in fields.items():
            present.put(subject, key, field, value)
    return present


def judged(present: Present) -> Judgment:
    """Its departure, judged."""
    return evaluate(records.vehicle(present), records.loadout(present, "trip"))


def assumed_of(present: Present, subject: str, key: str, measure: str) -> tuple[float, float] | None:
    """What is assumed of a measure and how far off it may be; None when it was entered."""
    vehicle, loadout = records.vehicle(present), records.loadout(present, "trip")
    if subject == "vehicle":
        values = {
            "curb_aft_m": vehicle.curb_cg.aft_m, "tank_aft_m": vehicle.tank.place.aft_m,
            "width_m": vehicle.outline.width_m, "height_m": vehicle.outline.height_m,
            "tank_capacity_l": vehicle.tank.capacity_l,
            "tank_density_kg_per_l": vehicle.tank.density_kg_per_l,
        }  # fmt: skip
        value, assumed = values.get(measure, getattr(vehicle, measure, None)), vehicle.assumed
    else:
        places: Iterable[Any] = vehicle.seats if subject == "seat" else loadout.zones
        one = next(place for place in places if place.name == key)
        value, assumed = getattr(one.place, measure), one.assumed
    found = [a.plus_minus for a in assumed if a.measure == measure and a.plus_minus is not None]
    return (float(value), found[0]) if found and value is not None else None


def measures() -> list[tuple[str, str, str]]:
    """Everything that may be assumed, each after what it is assumed from."""
    places = [(subject, key, axis) for subject, key in PLACES for axis in ("aft_m", "left_m")]
    return [("vehicle", "vehicle", measure) for measure in ORDER] + places


@STEADY
@given(st.data())
def test_the_true_load_lies_within_the_ends_whatever_was_entered_of_it(data: st.DataObject) -> None:
    """A true vehicle is made up within the rules; whichever of its measures are entered, no end leaves its load out."""
    style, placard = data.draw(st.sampled_from(BODY_STYLES)), data.draw(st.sampled_from([{}, {"placard": 600.0}]))
    limits = {"gross": 2800.0, "front_axle": 1450.0, "rear_axle": 1600.0, **placard}
    true = season(style, **limits)
    values = {}
    for one in measures():
        guess = assumed_of(true, *one)
        if guess is None:
            continue
        off = data.draw(st.floats(-1, 1).map(lambda share: round(share, 3)), label=one[2])
        values[one] = guess[0] + off * guess[1]
        true.put(*one[:2], one[2], values[one])
    known = judged(true)
    assert not known.shares.margins.there or style == ""
    part = season(style, **limits)
    for one in data.draw(st.lists(st.sampled_from(list(values)), unique=True)):
        part.put(*one[:2], one[2], values[one])
    guessed = judged(part)
    for key in WEIGHED:
        rating, load = guessed.rating(key), known.rating(key).load
        if rating.unjudged is None:
            assert rating.low is not None
            assert rating.high is not None
            assert rating.low - 1e-6 <= load <= rating.high + 1e-6, key


def widened(vehicle: Vehicle, loadout: Loadout, times: float) -> tuple[Vehicle, Loadout]:
    """The same, with every margin so many times as wide."""

    def wide(record: Any) -> Any:
        return replace(record, assumed=tuple(_wide(one, times) for one in record.assumed))

    seats = tuple(map(wide, vehicle.seats))
    return replace(wide(vehicle), seats=seats), replace(loadout, zones=tuple(map(wide, loadout.zones)))


def _wide(one: Assumption, times: float) -> Assumption:
    return one if one.plus_minus is None else replace(one, plus_minus=one.plus_minus * times)


def sureness(rating: RatingResult) -> int:
    """How sure a verdict is: 3 known, 2 the same at both ends, 1 in doubt, 0 not judged."""
    if not rating.known:
        return 0
    if not rating.assumed:
        return 3
    return 2 if rating.surely_over or not (rating.over or rating.may_be_over) else 1


@STEADY
@given(st.data())
def test_a_wider_margin_never_makes_a_verdict_surer(data: st.DataObject) -> None:
    """Of no rating, wherever its limit is; and what was not known to be wrong doesn't become so."""
    kg = st.integers(700, 3500).map(float)
    limits = {key: data.draw(kg, label=key) for key in ("gross", "front_axle", "rear_axle")}
    present = season(data.draw(st.sampled_from(BODY_STYLES)), **limits)
    case = records.vehicle(present), records.loadout(present, "trip")
    times = data.draw(st.floats(1, 3), label="times")
    before, after = evaluate(*case), evaluate(*widened(*case, times))
    bad = {finding.key for finding in before.findings if finding.is_bad}
    for rating in before.ratings:
        wide = after.rating(rating.key)
        assert sureness(wide) <= sureness(rating)
        assert (wide.low or 0.0) <= (rating.low or 0.0) + 1e-9
        assert (wide.high or 0.0) >= (rating.high or 0.0) - 1e-9
    assert {f.key for f in after.findings if f.is_bad and f.key.startswith("rating:")} <= bad


def test_the_ends_of_the_gross_load_by_hand() -> None:
    """GVWR 2,800 and placard 600 kg: curb 2,200 ± 220 kg; 40 L of fuel entered then, 20 L now; 220 kg aboard."""
    present = season(gross=2800.0, placard=600.0)
    for field, value in {"curb_fuel_l": 40.0, "tank_capacity_l": 60.0, "tank_density_kg_per_l": 0.75}.items():
        present.put("vehicle", "vehicle", field, value)
    gross = judged(present).rating("gross")
    middle_kg = 2200.0 - 20.0 * 0.75 + 220.0
    assert (gross.load, gross.low, gross.high) == (middle_kg, middle_kg - 220.0, middle_kg + 220.0)
    assert (gross.state, gross.assumed) == ("within by assumption", "assumed: curb mass")


def test_what_is_not_known_is_not_judged_and_says_what_to_enter() -> None:
    """Without wheelbase no axle and no tire, without any label no mass: the placard is judged all the same."""
    judgment = judged(season(style="", wheelbase_m=None, placard=600.0, front_axle=1400.0))
    assert judgment.rating("placard").state == WITHIN
    for key in ("front_axle", "gross", "tire:rear_left"):
        rating = judgment.rating(key)
        assert (rating.state, rating.limit) == (UNKNOWN, None)
    assert judgment.rating("front_axle").unjudged == (
        "curb mass, wheelbase not entered, so not judged", "enter curb mass, wheelbase",
    )  # fmt: skip
    assert judgment.rating("seats").state == UNKNOWN
    said = {finding.key: finding.said for finding in judgment.findings}
    for key in ("curb mass", "wheelbase", "tracks", "seats", "seat places", "zone places"):
        assert said[f"figure:{key}"] == "not entered, so nothing that rests on it is judged"


def test_a_limit_within_the_margin_is_no_pass() -> None:
    """Within by less than the margin: in doubt, a finding in front of what is within, and not known to be wrong."""
    load_kg = judged(season(gross=2800.0)).rating("rear_axle").load
    judgment = judged(season(gross=2800.0, rear_axle=round(load_kg) + 20.0))
    rear = judgment.rating("rear_axle")
    assert (rear.over, rear.state) == (False, IN_DOUBT)
    (finding,) = [finding for finding in judgment.findings if finding.key == "rating:rear_axle"]
    assert (finding.kind, finding.is_bad) == ("over by assumption", False)
    assert "places of seats" in finding.rests_on


def test_entering_everything_ends_every_assumption() -> None:
    """Then a verdict is as sure as its limit, and nothing is said to be assumed."""
    present = season(gross=2800.0, rear_axle=1600.0)
    for one in measures():
        guess = assumed_of(present, *one)
        if guess is not None:
            present.put(*one[:2], one[2], guess[0])
    judgment = judged(present)
    assert {judgment.rating(key).state for key in ("gross", "rear_axle")} == {WITHIN}
    assert not [f for f in judgment.findings if f.key in ("figure:tracks", "figure:seat places", "figure:tank")]
