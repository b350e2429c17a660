"""Findings about ratings: over, over or within by assumption, limit not known; and what no rating counts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from loadcalc.checks.findings.finding import (
    ASSUMED,
    LOADOUT,
    NOT_KNOWN,
    OVER,
    OVER_ASSUMED,
    RATINGS,
    ROOF,
    UNCOUNTED,
    WEIGH_IN,
    Finding,
)
from loadcalc.checks.ratings.bars import bars_unjudged
from loadcalc.checks.ratings.carried import bar_loads
from loadcalc.checks.ratings.masses import Mass
from loadcalc.checks.ratings.report import RatingResult, Report
from loadcalc.checks.ratings.rows import MEASURES
from loadcalc.checks.weighing.against_ratings import MAY_BE_OVER, HeldReading
from loadcalc.checks.weighing.against_ratings import OVER as SHOWN_OVER
from loadcalc.model.vehicle import Vehicle

NOTHING_KG = 1e-9
LESS = "move or leave something that counts against it"
ENTER = "enter what is taken for granted"
WITHIN_MARGIN = "within its limit by less than the margin of what is assumed"
NO_LIMIT = ("limit not known, so not judged", "look the limit up and enter it")
SAME_WEIGHING = 0.02  # common practice, no source: two readings of one load on a public scale agree so well


def rating_findings(report: Report) -> Iterator[Finding]:
    """What is the matter with each rating that carries something.

    Parameters
    ----------
    report : a loadout held against its ratings.
    """
    for rating in report.ratings:
        if rating.over:
            kind = OVER_ASSUMED if rating.assumed else OVER
            said = "over its limit, by what is assumed" if rating.assumed else "over its limit"
            if not rating.surely_over:
                said = "over its limit by less than the margin of what is assumed"
            yield _of(rating, kind, said, LESS, LOADOUT, is_bad=rating.surely_over)
        elif abs(rating.load) <= NOTHING_KG:
            continue  # nothing on it: nothing to judge
        elif not rating.known:
            said, cure = rating.unjudged or NO_LIMIT
            yield _of(rating, NOT_KNOWN, said, cure, RATINGS)
        elif rating.may_be_over:
            yield _of(rating, OVER_ASSUMED, WITHIN_MARGIN, ENTER, RATINGS)
        elif rating.assumed:
            yield _of(rating, ASSUMED, "within its limit, by what is assumed", ENTER, RATINGS)


def _of(rating: RatingResult, kind: str, said: str, cure: str, page: str, *, is_bad: bool = False) -> Finding:
    return Finding(
        kind=kind, key=f"rating:{rating.key}", what=rating.name, said=said, is_bad=is_bad, amount=rating.load,
        limit=rating.limit, unit=rating.unit, rests_on=rating.assumed or rating.read_at, cure=cure, page=page,
    )  # fmt: skip


def scale_findings(weighed: Iterable[HeldReading], *, repacked: bool) -> Iterator[Finding]:
    """What a scale has shown to be over, whatever the lists say.

    Parameters
    ----------
    weighed : readings of this departure, held against its ratings.
    repacked : whether it is loaded otherwise now than it was on the scale.
    """
    for reading in weighed:
        if reading.state not in (SHOWN_OVER, MAY_BE_OVER):
            continue
        sure = reading.state == SHOWN_OVER and not reading.limit.assumed and not repacked
        said = (
            "over its limit on the scale"
            if reading.over
            else "within its limit by less than the scale's margin"
        )
        then = ", as it was loaded then" if repacked else ""
        yield Finding(
            kind=OVER if sure else OVER_ASSUMED, key=f"scale:{reading.key}", what=reading.name, said=said + then,
            is_bad=reading.over and not repacked, amount=reading.load_kg, limit=reading.limit_kg,
            rests_on="the scale's reading", cure="weigh it again" if repacked else LESS, page=WEIGH_IN,
        )  # fmt: skip


def uncounted_findings(report: Report) -> Iterator[Finding]:
    """What no rating counts: bars that can't be judged, feet pulled up, wheels in the air, places outside the body.

    Parameters
    ----------
    report : a loadout held against its ratings.
    """
    yield from _bars(report)
    yield from _trailer(report)
    unknown = report.shares.vehicle.not_known(*MEASURES)
    for corner, kg in report.wheels_kg._asdict().items():
        if kg < 0 and not unknown:
            name = f"{corner.replace('_', ' ').capitalize()} wheel"
            yield _uncounted(
                f"wheel:{corner}", name, "would leave the ground by these numbers",
                "check the places of what rides, and move weight toward it", LOADOUT, is_bad=True,
            )  # fmt: skip
    places: dict[str, str] = {}
    for mass in report.shares.masses:
        why = _outside(report.shares.vehicle, mass)
        if why and mass.mass_kg > 0:
            places.setdefault(mass.zone, why)
    for zone, why in places.items():
        cure = "tick where it stands: on the roof rack or on the hitch; else correct its place"
        yield _uncounted(f"place:{zone}", zone, why, cure, RATINGS)


def _bars(report: Report) -> Iterator[Finding]:
    carrier = report.shares.loadout.carrier
    if carrier is None:
        return
    why = bars_unjudged(carrier)
    if why:
        said = f"its bars and feet are not judged: {why}"
        yield _uncounted(f"bars:{carrier.name}", carrier.name, said, "enter every bar with its limits", ROOF)
    for bar in bar_loads(report):
        if bar.whole.uplift_kg > NOTHING_KG:
            said = "pulled upward, which no limit speaks of"
            cure = "move weight back between the bars"
            yield _uncounted(f"uplift:{bar.bar.name}", f"Roof bar: {bar.bar.name}", said, cure, ROOF)


def _trailer(report: Report) -> Iterator[Finding]:
    """Axles that were weighed under another load than the one entered: their shares may be others by now."""
    trailer = report.shares.loadout.trailer
    if trailer is None or trailer.weighed_axles_kg is None:
        return
    own_kg, weighed_kg = trailer.mass_kg - trailer.tongue_kg, sum(trailer.weighed_axles_kg)
    if abs(weighed_kg - own_kg) > SAME_WEIGHING * weighed_kg:
        said = "its axles as weighed don't add up to its mass less its tongue weight"
        cure = "weigh mass, tongue, and both axles as one load"
        yield _uncounted(f"axles:{trailer.name}", trailer.name, said, cure, RATINGS)


def _outside(vehicle: Vehicle, mass: Mass) -> str:
    """Why a thing in a zone that is mounted on nothing can't be inside the body."""
    if not mass.zone or mass.mount:
        return ""
    place, outline = mass.place, vehicle.outline
    if place.up_m >= outline.height_m:
        return "rides at roof height or above, and counts on no roof rating"
    if place.aft_m > outline.length_m - vehicle.front_overhang_m:
        return "rides behind the body, and counts on no hitch rating"
    return ""


def _uncounted(key: str, what: str, said: str, cure: str, page: str, *, is_bad: bool = False) -> Finding:
    return Finding(kind=UNCOUNTED, key=key, what=what, said=said, is_bad=is_bad, cure=cure, page=page)
