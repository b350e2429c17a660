"""What of a weigh-in goes into the season: a corrected curb mass, unlisted gear, or an empty weighing."""

from __future__ import annotations

from dataclasses import dataclass

from loadcalc.checks.weighing.corner_weights import Weighed, cg_from_axle_weights, cg_from_wheel_weights
from loadcalc.checks.weighing.doubts import Doubts
from loadcalc.checks.weighing.scales import EVEN_HALF_WIDTH
from loadcalc.checks.weighing.suspects import CURB, UNLISTED, Suspect
from loadcalc.checks.weighing.ticket import Ticket
from loadcalc.checks.weighing.weigh_in import WeighIn, corrected_curb, judge_weigh_in
from loadcalc.model import Vehicle
from loadcalc.model.errors import BadValue, LoadcalcError
from loadcalc.season.edit.tickets import read_ticket
from loadcalc.season.file.present import Fields
from loadcalc.season.story.departures import ticket_fields
from workbook.panels.desk.desk import Desk

KIND = "weigh-in"
LEAST_KG = 0.5  # less than a pound or a kilogram is nothing to correct
HEAVIEST_UNLISTED_KG = 500.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """What may be accepted: a suspect of kind "curb" or "unlisted", and by how much [kg]."""

    suspect: Suspect
    shift_kg: float


def judged(desk: Desk, key: str, doubts: Doubts | None = None) -> WeighIn:
    """Judge one ticket on the lists as they are now; BadValue or NotFound says what is missing."""
    fields = ticket_fields(desk.season, key)
    loadout = desk.season.loadout(str(fields.get("loadout", desk.loadout_name)))
    return judge_weigh_in(desk.season.vehicle, loadout, read_ticket(fields), doubts)


def corrections(result: WeighIn) -> list[Suspect]:
    """What may be accepted: the curb mass, and gear on no list, most likely first. Less than nothing is not gear."""
    return [
        s
        for s in result.suspects
        if (s.kind == CURB and abs(s.shift_kg) >= LEAST_KG) or (s.kind == UNLISTED and s.shift_kg >= LEAST_KG)
    ]


def _called(fields: Fields) -> str:
    return f"{fields.get('name', 'weigh-in')}, {fields.get('date', 'no date')}"


def accept(desk: Desk, key: str, result: WeighIn, correction: Correction) -> bool:
    """Write one correction into the season, as one dated entry of its own kind; returns whether it was kept."""
    desk.keep_now()
    fields = ticket_fields(desk.season, key)
    change = desk.units.mass_change(correction.shift_kg)
    name = "curb mass" if correction.suspect.kind == CURB else correction.suspect.name.lower()
    note = f"{_called(fields)}: {name} {change}"
    try:
        with desk.season.entry(note, kind=KIND):
            if correction.suspect.kind == CURB:
                _correct_curb(desk, fields, result, correction.shift_kg)
            else:
                _add_unlisted(desk, fields, correction)
    except LoadcalcError as error:
        desk.reload(f"Not kept: {error}")
        return False
    desk.reload(f"Kept in the ledger: {note}")
    return True


def _correct_curb(desk: Desk, fields: Fields, result: WeighIn, shift_kg: float) -> None:
    vehicle = desk.season.vehicle
    curb_kg, center = corrected_curb(vehicle, result, shift_kg)
    source = f"{_called(fields)}: corrected from {desk.units.mass(vehicle.curb_kg)}"
    desk.season.set_vehicle("curb_kg", curb_kg)
    desk.season.set_vehicle("curb_aft_m", center.aft_m)
    desk.season.set_vehicle("curb_from", source)
    if abs(shift_kg) > vehicle.curb_plus_minus_kg:  # what was said of it did not hold
        desk.season.set_vehicle("curb_plus_minus_kg", 0.0)


def _add_unlisted(desk: Desk, fields: Fields, correction: Correction) -> None:
    """Put the weight into the item "Unlisted, <zone>", making it when it isn't there, and let it ride in that zone."""
    suspect, season = correction.suspect, desk.season
    loadout = str(fields.get("loadout", desk.loadout_name))
    plus_minus_kg = round(EVEN_HALF_WIDTH * suspect.left_kg, 3)
    there = next((item for item in season.gear if item.name == suspect.name), None)
    aboard = {stowed.item.key for stowed in season.loadout(loadout).gear}
    mass_kg = correction.shift_kg + (there.mass_kg if there and there.key in aboard else 0.0)
    if not 0 < mass_kg <= HEAVIEST_UNLISTED_KG:
        cure = "look into the zone, and correct the list by hand"
        raise BadValue(
            "unlisted gear", round(mass_kg, 1), f"kg is outside 0 to {HEAVIEST_UNLISTED_KG:g} kg", cure
        )
    key = there.key if there else season.add_item(name=suspect.name, mass_kg=mass_kg, kind=UNLISTED, count=1)
    season.set_item(key, mass_kg=mass_kg, known="estimated", plus_minus_kg=plus_minus_kg)
    season.stow(loadout, key, suspect.zone, 1)


def empty_weighing(vehicle: Vehicle, ticket: Ticket) -> Weighed:
    """What the ticket says of the empty vehicle, from its four wheels, else its two axles; BadValue without either."""
    kg = ticket.readings_kg
    corners = ("front_left", "front_right", "rear_left", "rear_right")
    if all(corner in kg for corner in corners):
        return cg_from_wheel_weights(
            front_left_kg=kg["front_left"],
            front_right_kg=kg["front_right"],
            rear_left_kg=kg["rear_left"],
            rear_right_kg=kg["rear_right"],
            wheelbase_m=vehicle.wheelbase_m,
            front_track_m=vehicle.front_track_m,
            rear_track_m=vehicle.rear_track_m,
            scale=ticket.scale,
        )
    if "front_axle" in kg and "rear_axle" in kg:
        return cg_from_axle_weights(
            front_kg=kg["front_axle"],
            rear_kg=kg["rear_axle"],
            wheelbase_m=vehicle.wheelbase_m,
            scale=ticket.scale,
        )
    raise BadValue("ticket", "", "has neither both axles nor four wheels", "enter them, or weigh by axle")


def accept_empty(desk: Desk, key: str) -> bool:
    """Take the ticket as the empty vehicle's own weighing: curb mass, its center over the ground, fuel at that."""
    desk.keep_now()
    fields, vehicle = ticket_fields(desk.season, key), desk.season.vehicle
    try:
        weighed = empty_weighing(vehicle, read_ticket(fields))
        note = f"{_called(fields)}: empty vehicle weighed, {desk.units.mass(weighed.mass_kg)}"
        with desk.season.entry(note, kind=KIND):
            desk.season.set_vehicle("curb_kg", weighed.mass_kg)
            desk.season.set_vehicle("curb_plus_minus_kg", round(weighed.mass_plus_minus_kg, 3))
            desk.season.set_vehicle("curb_aft_m", weighed.aft_m)
            if weighed.left_m is not None:
                desk.season.set_vehicle("curb_left_m", weighed.left_m)
            if fields.get("fuel_l") is not None:
                desk.season.set_vehicle("curb_fuel_l", fields["fuel_l"])
            desk.season.set_vehicle(
                "curb_from", f"{_called(fields)}, {fields.get('scale') or 'scale'}: weighed empty"
            )
    except LoadcalcError as error:
        desk.reload(f"Not kept: {error}")
        return False
    desk.reload(f"Kept in the ledger: {note}")
    return True
