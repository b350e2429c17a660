"""Findings about what rides: fuel and gas, tie-downs, lifts; and about the vehicle's air, checks, and figures."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from loadcalc.checks.findings.finding import (
    AIR,
    DUE,
    FIGURE,
    LEDGER,
    LIFT,
    LOADOUT,
    LOOSE,
    PRESSURE,
    RATINGS,
    ROOF,
    TIED,
    TIRES,
    Finding,
)
from loadcalc.checks.gas import hazards
from loadcalc.checks.gas_words import ASK
from loadcalc.checks.lifting.hoist import Handling, Lifted, lifts
from loadcalc.checks.lifting.niosh import FORMS
from loadcalc.checks.ratings.report import ROUNDING
from loadcalc.checks.restraint.tied import NOT_KNOWN, SHORT, tied_groups, untied
from loadcalc.checks.restraint.verdict import ROAD_SPEED_M_PER_S, judge
from loadcalc.model import check
from loadcalc.model.limits import said_to_be_assumed
from loadcalc.model.loadout import Loadout
from loadcalc.model.vehicle import Vehicle

TOO_HEAVY = "heavier than one person is asked to lift there"
BEYOND = "too high, far, or low for the lifting equation to answer"


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckDue:
    """A check of one thing. key : the item's, or the axle's for its tires. on : the day it is due, None: not known."""

    key: str
    name: str
    what: str
    on: datetime.date | None
    source: str = ""


def air_findings(loadout: Loadout) -> Iterator[Finding]:
    """Fuel and gas where people breathe, or where nobody has said whether they do.

    Parameters
    ----------
    loadout : what rides where.
    """
    outside = "move it outside the cabin, upright and vented"
    for hazard in hazards(loadout):
        if hazard.in_cabin is False:
            continue
        doubtful, inside = hazard.kind == ASK, hazard.in_cabin is True
        named = "may be fuel or gas, and rides" if doubtful else f"{hazard.kind} that rides"
        where = (
            "where people breathe"
            if inside
            else "in a zone of which nobody has said whether people breathe there"
        )
        say, page = ("", LOADOUT) if inside else ("say whether that zone is in the cabin, or ", RATINGS)
        if doubtful:
            say, page = "say which, or ", ROOF
        yield Finding(
            kind=AIR, key=f"air:{hazard.name}", what=f"{hazard.name} ({hazard.zone})", said=f"{named} {where}",
            is_bad=inside and not doubtful, amount=hazard.mass_kg, rests_on="its mark, its kind, or its name",
            cure=say + outside, page=page,
        )  # fmt: skip


def tie_findings(loadout: Loadout) -> Iterator[Finding]:
    """Groups that a rule set finds too little tied, or of which too little is known; then what is tied to nothing.

    Parameters
    ----------
    loadout : what rides where, and how groups are tied down; the wind is that of a usual road speed.
    """
    for tied in tied_groups(loadout):
        states: dict[str, list[str]] = {SHORT: [], NOT_KNOWN: []}
        lacks: dict[str, None] = {}
        for verdict in judge(tied, speed_m_per_s=ROAD_SPEED_M_PER_S):
            states.setdefault(verdict.state, []).append(f"{verdict.what} ({verdict.rule_set})")
            lacks |= dict.fromkeys(verdict.lacks if verdict.state == NOT_KNOWN else ())
        name, key = tied.strapping.name, f"tied:{tied.strapping.key}"
        if states[SHORT]:
            said = f"not enough by a rule set: {', '.join(states[SHORT])}"
            cure = "add straps, tighten them, or carry less"
        elif states[NOT_KNOWN]:
            said = f"not known whether the straps are enough; missing: {' and '.join(lacks)}"
            cure = "enter what is missing"
        else:
            continue
        yield Finding(
            kind=TIED, key=key, what=name, said=said, is_bad=bool(states[SHORT]), amount=tied.mass_kg,
            rests_on="rule sets for commercial carriage; for planning only", cure=cure, page=ROOF,
        )  # fmt: skip
    for name in untied(loadout):
        yield Finding(
            kind=LOOSE, key=f"loose:{name}", what=name, said="rides outside and is tied to nothing", is_bad=True,
            cure="tie it down with a group", page=ROOF,
        )  # fmt: skip


def lift_findings(loadout: Loadout) -> Iterator[Finding]:
    """Pieces that the lifting equation does not answer for, or finds too heavy for one person.

    Parameters
    ----------
    loadout : what rides where.
    """
    for lifted in _hardest(loadout):
        if lifted.refused is None and (lifted.index or 0.0) <= 1.0 + ROUNDING:
            continue
        over = lifted.refused is None
        yield Finding(
            kind=LIFT, key=f"lift:{lifted.name}:{lifted.zone}", what=f"{lifted.name} ({lifted.zone})",
            said=TOO_HEAVY if over else BEYOND,
            is_bad=over, amount=lifted.mass_kg, limit=lifted.limit_kg,
            rests_on="revised NIOSH lifting equation" + ("" if lifted.sized else "; its size is assumed"),
            cure="get help, split it, or place it lower", page=ROOF,
        )  # fmt: skip


def _hardest(loadout: Loadout) -> Iterator[Lifted]:
    """Each lift by the printed form, metric or in inches and pounds, that allows less: they differ by a few percent."""
    found = [lifts(loadout, Handling(form=form)) for form in FORMS]
    by_place: dict[tuple[str, str], list[Lifted]] = {}
    for lifted in (one for form in found for one in form):
        by_place.setdefault((lifted.name, lifted.zone), []).append(lifted)
    return (max(same, key=_refused_or_index) for same in by_place.values())


def _refused_or_index(lifted: Lifted) -> tuple[bool, float]:
    return lifted.refused is not None, lifted.index or 0.0


def pressure_findings(vehicle: Vehicle, loadout: Loadout) -> Iterator[Finding]:
    """Tires with less air on the road than the placard asks for.

    Parameters
    ----------
    vehicle : with its placard; loadout : with the pressures of this departure.
    """
    for axle in ("front", "rear"):
        placard_kpa = getattr(vehicle, f"{axle}_tire").placard_kpa
        set_kpa = getattr(loadout, f"{axle}_road_kpa")
        if placard_kpa is not None and set_kpa is not None and set_kpa < placard_kpa * (1 - check.ROUNDING):
            yield Finding(
                kind=PRESSURE, key=f"pressure:{axle}", what=f"{axle.capitalize()} tires",
                said="less air on the road than the placard asks for", is_bad=True, amount=set_kpa, limit=placard_kpa,
                unit="kPa", rests_on="tire placard", cure="air up before the road", page=TIRES,
            )  # fmt: skip


def due_findings(loadout: Loadout, due: Iterable[CheckDue], today: datetime.date | None) -> Iterator[Finding]:
    """Checks of what comes along, and of the tires, that are overdue or of which no date is known.

    Parameters
    ----------
    loadout : what rides where; due : checks of anything in the season; today : the day of the departure.
    """
    aboard = {stowed.item.key for stowed in loadout.gear if stowed.count} | {"front", "rear", "spare"}
    for one in due:
        if one.key not in aboard or (one.on is not None and (today is None or one.on >= today)):
            continue
        late = one.on is not None
        yield Finding(
            kind=DUE, key=f"due:{one.key}:{one.what}", what=one.name,
            said=f"overdue since {one.on} ({one.what})" if late else f"date not known ({one.what})",
            is_bad=late, rests_on=one.source, cure="have it checked, and enter the date", page=LEDGER,
        )  # fmt: skip


def figure_findings(vehicle: Vehicle, loadout: Loadout) -> Iterator[Finding]:
    """Figures of the vehicle that are an example, an estimate, or from nobody knows where: all ratings rest on them.

    Parameters
    ----------
    vehicle : with where its mass and its height of the center of gravity are from; loadout : whose carrier is on.
    """
    figures = [
        ("vehicle", vehicle.name, "" if not _example(vehicle.name) else "an example", "every rating"),
        (
            "curb mass",
            "Curb mass",
            _from(vehicle, "curb_kg", vehicle.curb_from),
            "every rating of vehicle, axles, and tires",
        ),
        (
            "height",
            "Height of the empty vehicle's center of gravity",
            _from(vehicle, "curb_up_m", vehicle.cg_height_from),
            "tip angles",
        ),
    ]
    if loadout.carrier is not None and _example(loadout.carrier.name):
        figures.append(("carrier", loadout.carrier.name, "an example", "every rating of the roof"))
    for key, what, source, counts in figures:
        if source:
            yield Finding(
                kind=FIGURE, key=f"figure:{key}", what=what, said=f"not measured ({source})", rests_on=counts,
                cure="weigh or measure your own, and enter it", page=RATINGS,
            )  # fmt: skip


def _example(text: str) -> bool:
    return "example" in text.casefold()


def _from(vehicle: Vehicle, measure: str, source: str) -> str:
    """Why a figure's source does not do; nothing when somebody read or measured it, or nobody entered it at all."""
    if any(one.measure == measure for one in vehicle.assumed):
        return ""  # of_measures.py tells it
    if not source:
        return "nobody said where it is from"
    return source if said_to_be_assumed(source) else ""
