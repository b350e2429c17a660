"""What stands on the load-up sheet: plain functions, a departure and units in, lines out."""

from __future__ import annotations

from loadcalc.checks import Report
from loadcalc.checks.gas import hazards
from loadcalc.checks.restraint.tied import tied_groups
from loadcalc.checks.restraint.verdict import ROAD_SPEED_M_PER_S, judge
from loadcalc.model import Loadout, Vehicle
from loadcalc.model.quantities import Units
from workbook.panels.desk import ratings_words as words
from workbook.panels.desk.palette import MARKS
from workbook.panels.roof.lifting_words import FOOTING
from workbook.panels.stability.tires_words import road_kpa, tire_of, trail_kpa
from workbook.panels.tie_down import tie_down_words as restraint_words
from workbook.panels.tie_down.forces_words import force

TIGHTEST = 6
NOT_KNOWN = f"{MARKS['not known']} not known"


def seat_lines(vehicle: Vehicle, loadout: Loadout) -> list[str]:
    """Each seat with who sits there or that it stays free, then animals with the zone they ride in."""
    sits = {who.seat: who.name for who in loadout.people}
    seats = [seat.name for seat in vehicle.seats]
    lines = [f"{seat}: {sits.get(seat, 'free')}" for seat in seats]
    return [*lines, *(f"{who.seat}: {who.name}" for who in loadout.people if who.seat not in seats)]


def fill_lines(vehicle: Vehicle, loadout: Loadout, units: Units) -> list[str]:
    """How far to fill the vehicle's tank and each can, of what it holds."""
    scale = units.scale("volume")
    rows = [("Vehicle's tank", loadout.fuel_l, vehicle.tank.capacity_l)]
    for filled in loadout.liquids:
        name = f"{filled.liquid.name}, {filled.liquid.kind}" if filled.liquid.kind else filled.liquid.name
        rows.append((name, filled.fill_l, filled.liquid.capacity_l))
    return [
        f"{name}: {f'{scale.number(fill_l)} of' if fill_l else 'empty, holds'} {units.volume(holds_l)}"
        for name, fill_l, holds_l in rows
    ]


def tire_lines(vehicle: Vehicle, loadout: Loadout, units: Units) -> list[str]:
    """The pressure of each axle on the road and on the trail; what nobody entered is not known."""
    lines = []
    for axle in ("front", "rear"):
        placard_kpa, road = tire_of(vehicle, axle).placard_kpa, road_kpa(vehicle, loadout, axle)
        said = NOT_KNOWN if road is None else units.pressure(road)
        if road is not None and road == placard_kpa:
            said += " by the placard"
        trail = trail_kpa(loadout, axle)
        more = "" if trail is None else f"; trail {units.pressure(trail)}, back up before the road"
        lines.append(f"{axle.capitalize()}: {said}{more}")
    spare_kpa = None if vehicle.spare_tire is None else vehicle.spare_tire.placard_kpa
    lines.append(f"Spare: {NOT_KNOWN if spare_kpa is None else units.pressure(spare_kpa)}")
    if loadout.trailer is not None:
        lines.append(f"Trailer: {NOT_KNOWN} here, read its own placard")
    return lines


def strap_lines(loadout: Loadout, units: Units) -> list[str]:
    """One line a tied group: its straps, how tight, and what the rule sets say of it."""
    found = []
    for tied in tied_groups(loadout):
        s = tied.strapping
        tight = "tension not known" if s.tension_n is None else f"{force(s.tension_n, units)} each"
        count = f"{s.straps} strap{'' if s.straps == 1 else 's'} {s.way}, {s.angle_deg:g}°"
        held = count if s.way == "direct" else f"{count}, {tight}"
        said = restraint_words.verdict_words(judge(tied, speed_m_per_s=ROAD_SPEED_M_PER_S))
        found.append(f"{s.name} ({units.mass(tied.mass_kg)}): {held}; {said}")
    return found


def rating_lines(report: Report, units: Units) -> list[str]:
    """Every rating that is over, then the tightest of the rest, then how many are not known."""
    known = [r for r in report.ratings if r.known and (r.over or r.unit == "kg")]
    shown = known[: max(len(report.over), TIGHTEST)]
    lines = [
        f"{MARKS['over'] + ' ' if r.over else ''}{r.name}: {words.percent(r)}, {words.room(r, units)}"
        for r in shown
    ]
    missing = len([r for r in report.not_known if not words.idle(r)])
    return [*lines, f"{MARKS['not known']} limit not known, not judged: {missing}"] if missing else lines


def cautions(report: Report) -> list[str]:
    """How fuel and gas of this departure ride, how the roof is loaded, then the usual cautions."""
    loadout = report.shares.loadout
    found, roof = hazards(loadout), any(mass.on_carrier for mass in report.shares.masses)
    names = ", ".join(hazard.name for hazard in found)
    return (
        [f"Upright, vented, outside, away from flame: {names}."] * bool(found)
        + [FOOTING] * roof
        + [words.CAUTION]
    )
