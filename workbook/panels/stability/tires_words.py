"""What the tire-pressure panel says: plain functions, a report and units in, rows and sentences out."""

from __future__ import annotations

import math

from loadcalc.checks import Judgment, Report
from loadcalc.checks.balance import Wheels
from loadcalc.checks.ratings.report import ROUNDING, consumed
from loadcalc.checks.ratings.tires import WHEELS
from loadcalc.checks.tires.inflation import capacity_at_kg, pressure_needed_kpa, relation_for, speed_caution
from loadcalc.checks.tires.relations import BEST, RELATIONS
from loadcalc.checks.tires.tire_sums import AxleTires, SpareVerdict, axle_tire_sum, spare_verdict
from loadcalc.model import Loadout, Tire, Vehicle
from loadcalc.model.errors import BadValue
from loadcalc.model.quantities import Units
from workbook.panels.desk.findings_words import about
from workbook.panels.desk.palette import MARKS
from workbook.panels.desk.ratings_words import percent_of

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
    """The pressure that the tires of an axle are aired down to [kPa], or None."""
    return loadout.front_kpa if axle == "front" else loadout.rear_kpa


def road_kpa(vehicle: Vehicle, loadout: Loadout, axle: str) -> float | None:
    """The pressure in the tires of an axle on the road [kPa]: as set, else the placard's, else None."""
    set_kpa = loadout.front_road_kpa if axle == "front" else loadout.rear_road_kpa
    return set_kpa or tire_of(vehicle, axle).placard_kpa


def tire_of(vehicle: Vehicle, axle: str) -> Tire:
    """The tires of an axle."""
    return vehicle.front_tire if axle == "front" else vehicle.rear_tire


def pressure_rows(report: Report, units: Units, relation: str = BEST) -> list[tuple[str, ...]]:
    """One row for each wheel: its load, its pressure, what it carries at that, how much is used, what it needs.

    Aired down for the trail the trail's pressure counts, else the road's. A chosen relation is for comparing only.
    """
    return [
        (name, *_wheel(report, corner, units, relation))
        for corner, name in zip(Wheels._fields, WHEELS, strict=True)
    ]


def _wheel(report: Report, corner: str, units: Units, relation: str) -> tuple[str, ...]:
    vehicle, loadout = report.shares.vehicle, report.shares.loadout
    axle = corner.partition("_")[0]
    tire, trail, road = tire_of(vehicle, axle), trail_kpa(loadout, axle), road_kpa(vehicle, loadout, axle)
    rating = report.rating(f"{'tire' if trail is None else 'trail'}:{corner}")
    load_kg, carries_kg, what = rating.load_kg, rating.limit_kg, rating.assumed or rating.read_at
    kpa = road if trail is None else trail
    if relation != BEST and kpa is not None:
        try:
            carries_kg, what = (
                capacity_at_kg(tire, vehicle.body_class, kpa, relation),
                by_what(tire, kpa, relation),
            )
        except BadValue as error:
            carries_kg, what = None, f"{error.field} {error.problem}"
    elif kpa is not None and carries_kg is not None and not rating.assumed:
        what = by_what(tire, kpa)
    air = "not known" if kpa is None else units.pressure(kpa) + ("" if trail is None else ", aired down")
    share = consumed(load_kg, carries_kg)
    if carries_kg is None or share is None:
        return (
            units.mass(load_kg, grouped=True),
            air,
            "not known",
            "not known",
            "",
            what or "load index not known",
        )
    over = f"{MARKS['over']}\u00a0" if share > 1 + ROUNDING else ""
    used = f"{over}{percent_of(share)}{', assumed' if rating.assumed and relation == BEST else ''}"
    least = needed(tire, vehicle.body_class, load_kg, units, relation)
    return units.mass(load_kg, grouped=True), air, units.mass(carries_kg, grouped=True), used, least, what


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


def below_placard(report: Report) -> str:
    """The caution when any tire has less air than its placard asks for, on the road or on the trail; else nothing."""
    vehicle, loadout = report.shares.vehicle, report.shares.loadout
    for axle in ("front", "rear"):
        for kpa in (trail_kpa(loadout, axle), road_kpa(vehicle, loadout, axle)):
            if said := speed_caution(kpa, tire_of(vehicle, axle).placard_kpa):
                return said
    return ""


def pressure_words(judgment: Judgment, units: Units) -> str:
    """The sentences under the table: what is found of the tires, what the road asks for, and the caution."""
    said = about(judgment, units, "tire").splitlines()
    caution = below_placard(judgment)
    if not caution:
        return "\n".join((*said, "No tire is aired down below the placard."))
    asked = [
        f"{axle} {units.pressure(kpa)}"
        for axle in ("front", "rear")
        if (kpa := tire_of(judgment.shares.vehicle, axle).placard_kpa) is not None
    ]
    road = f"For the road: {', '.join(asked)}, as the placard says, cold." if asked else ""
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
        return f"▲ the tires are the limit, {units.mass(-room_kg, grouped=True)} under the axle's rating"
    return f"enough, {units.mass(room_kg, grouped=True)} to spare"


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
    return "not known" if mass_kg is None else units.mass(mass_kg, grouped=True)
