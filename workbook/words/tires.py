"""What the trail-pressure panel says: plain functions, a report and units in, rows and sentences out."""

from __future__ import annotations

import math

from loadcalc.checks import Report
from loadcalc.checks.ratings.tires import WHEELS
from loadcalc.checks.tires.inflation import capacity_at_kg, pressure_needed_kpa, relation_for, speed_caution
from loadcalc.checks.tires.relations import BEST, RELATIONS
from loadcalc.checks.tires.sums import AxleTires, SpareVerdict, axle_tire_sum, spare_verdict
from loadcalc.model import Loadout, Tire, Vehicle
from loadcalc.model.errors import BadValue
from loadcalc.model.quantities import Units

HEADS = ("Wheel", "Load", "Air", "Carries then", "Used", "This load needs at least", "By what")
SUM_HEADS = ("Axle", "Two tires carry", "Axle is rated", "In words")
SPARE_HEADS = ("In place of a", "Spare carries", "That tire carries", "Heavier wheel now", "In words")
RELATION_CAUTION = (
    "A relation from memory is for comparing only: the ratings on every page keep to the printed table, else to "
    "load in proportion to pressure."
)


def relation_choices() -> list[tuple[str, str]]:
    """What the chooser of relations offers: words with their status, and the key."""
    best = ("Best known: printed table, else in proportion", BEST)
    return [best, *((f"{r.words.capitalize()} ({r.status})", r.key) for r in RELATIONS.values())]


def trail_kpa(loadout: Loadout, axle: str) -> float | None:
    """The pressure that the tires of an axle are let down to [kPa], or None."""
    return loadout.front_kpa if axle == "front" else loadout.rear_kpa


def tire_of(vehicle: Vehicle, axle: str) -> Tire:
    """The tires of an axle."""
    return vehicle.front_tire if axle == "front" else vehicle.rear_tire


def pressure_rows(report: Report, units: Units, relation: str = BEST) -> list[tuple[str, ...]]:
    """One row for each wheel: its load, its pressure, what it carries at that, how much is used, what it needs."""
    loads = report.wheels_kg
    axles = ("front", "front", "rear", "rear")
    return [
        (name, *_wheel(report, axle, loads[corner], units, relation))
        for corner, (name, axle) in enumerate(zip(WHEELS, axles, strict=True))
    ]


def _wheel(report: Report, axle: str, load_kg: float, units: Units, relation: str) -> tuple[str, ...]:
    vehicle = report.shares.vehicle
    tire, kpa = tire_of(vehicle, axle), trail_kpa(report.shares.loadout, axle)
    at_kpa = kpa or tire.placard_kpa or tire.reference_kpa
    if at_kpa is None:
        return units.mass(load_kg), "not known", "not known", "", "", "pressure of the load index not known"
    air = units.pressure(at_kpa) + ("" if kpa else ", not let down")
    try:
        carries_kg = capacity_at_kg(tire, vehicle.body_class, at_kpa, relation)
    except BadValue as error:
        return units.mass(load_kg), air, "not known", "", "", f"{error.field} {error.problem}"
    used = load_kg / carries_kg if carries_kg else float("inf")
    mark = "▲\u00a0" if used > 1 + 1e-9 else ""
    return (
        units.mass(load_kg),
        air,
        units.mass(carries_kg),
        f"{mark}{used:.0%}",
        needed(tire, vehicle.body_class, load_kg, units, relation),
        by_what(tire, at_kpa, relation),
    )


def needed(tire: Tire, body_class: str, load_kg: float, units: Units, relation: str = BEST) -> str:
    """The least pressure for a wheel load, "more than it carries", or "not known"."""
    try:
        kpa = pressure_needed_kpa(tire, body_class, max(load_kg, 0.0), relation)
    except BadValue as error:
        return "more than it carries" if error.field == "wheel load" else "not known"
    scale = units.scale("pressure")
    return f"{math.ceil(scale.value(kpa) - 1e-6)} {scale.unit}"  # up, never down: it is a least pressure


def by_what(tire: Tire, pressure_kpa: float, relation: str = BEST) -> str:
    """The relation in use and its status, as a cell of the table."""
    used = relation_for(tire, pressure_kpa, relation)
    return f"{used.words} ({used.status})"


def is_let_down(report: Report) -> bool:
    """Whether any tire has less air than its placard asks for."""
    vehicle, loadout = report.shares.vehicle, report.shares.loadout
    return any(
        speed_caution(trail_kpa(loadout, axle), tire_of(vehicle, axle).placard_kpa)
        for axle in ("front", "rear")
    )


def pressure_words(report: Report, units: Units) -> str:
    """The sentences under the table: what is overloaded at this pressure, the road, and the caution."""
    rows = pressure_rows(report, units)
    over = [row[0][0].lower() + row[0][1:] for row in rows if row[4].startswith("▲")]
    unknown = [row[0][0].lower() + row[0][1:] for row in rows if row[3] == "not known"]
    said = []
    if over:
        verb = "is" if len(over) == 1 else "are"
        said.append(
            f"With this air the {' and the '.join(over)} {verb} overloaded: more air, or less load there."
        )
    else:
        said.append("With this air no tire with a known capacity is overloaded standing on level ground.")
    if unknown:
        said.append(f"Not known, so not judged: {', '.join(unknown)}.")
    if not is_let_down(report):
        return "\n".join((*said, "No tire is let down below the placard."))
    asked = [
        f"{axle} {units.pressure(kpa)}"
        for axle in ("front", "rear")
        if (kpa := tire_of(report.shares.vehicle, axle).placard_kpa) is not None
    ]
    road = f"For the road: {', '.join(asked)}, as the placard says, cold." if asked else ""
    caution = next(
        words
        for axle in ("front", "rear")
        if (
            words := speed_caution(
                trail_kpa(report.shares.loadout, axle), tire_of(report.shares.vehicle, axle).placard_kpa
            )
        )
    )
    return "\n".join(filter(None, (*said, road, caution)))


def axle_rows(vehicle: Vehicle, units: Units) -> list[tuple[str, ...]]:
    """Two tires against the axle's rating, one row for each axle."""
    rows: list[tuple[str, ...]] = []
    for axle in ("front", "rear"):
        found = axle_tire_sum(tire_of(vehicle, axle), vehicle.body_class, vehicle.limit(f"{axle}_axle"))
        rows.append(
            (
                axle.capitalize(),
                _mass(found.tires_kg, units),
                _mass(found.rating_kg, units),
                axle_words(found, units),
            )
        )
    return rows


def axle_words(found: AxleTires, units: Units) -> str:
    """Whether the tires carry what their axle is rated for."""
    room_kg = found.room_kg
    if room_kg is None:
        return "not known"
    if not found.enough:
        return f"▲ the tires are the limit, {units.mass(-room_kg)} under the axle's rating"
    return f"enough, {units.mass(room_kg)} to spare"


def spare_rows(report: Report, units: Units) -> list[tuple[str, ...]]:
    """The spare against each tire that it may have to replace."""
    vehicle = report.shares.vehicle
    verdicts = spare_verdict(
        vehicle.spare_tire, vehicle.front_tire, vehicle.rear_tire, vehicle.body_class, report.wheels_kg
    )
    return [
        (
            f"{v.axle} tire",
            _mass(v.spare_kg, units),
            _mass(v.tire_kg, units),
            _mass(v.load_kg, units),
            spare_words(v),
        )
        for v in verdicts
    ]


def spare_words(verdict: SpareVerdict) -> str:
    """What the spare is good for at one axle, by load alone."""
    if verdict.spare_kg is None:
        return "not known: enter the spare's load index"
    if verdict.carries_load is False:
        return "▲ carries less than that wheel has now: lighten the vehicle before driving on it"
    if verdict.as_good is False:
        return "carries this load, but less than the tire it replaces"
    return (
        "carries this load, and as much as the tire it replaces" if verdict.as_good else "carries this load"
    )


def _mass(mass_kg: float | None, units: Units) -> str:
    return "not known" if mass_kg is None else units.mass(mass_kg)
