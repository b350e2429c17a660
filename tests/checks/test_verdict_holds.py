"""What is found stays found: more mass, less air, a limit taken away or only guessed never makes a matter go away."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

from hypothesis import assume, given
from hypothesis import strategies as st

from loadcalc.checks import Finding, Judgment, evaluate
from loadcalc.checks.findings.finding import AIR, KINDS, LIFT, LOOSE, NOT_KNOWN, OVER, OVER_ASSUMED, TIED
from loadcalc.model import Limit, Loadout, Vehicle
from tests.strategies import STEADY, Case, cases, thousandths

Gravity = tuple[int, bool]  # where its kind stands among KINDS, then whether it is not known to be wrong


def graver_first(findings: Iterable[Finding]) -> dict[tuple[str, str], Gravity]:
    """Each matter and how grave it is: the smaller, the graver; of two with one name the graver counts."""
    found: dict[tuple[str, str], Gravity] = {}
    for finding in findings:
        key = (finding.key, finding.what)
        found[key] = min(found.get(key, (99, True)), (KINDS.index(finding.kind), not finding.is_bad))
    return found


def eased(before: Iterable[Finding], after: Judgment) -> list[tuple[str, str]]:
    """The matters that are no longer found, or found less grave."""
    now = graver_first(after.findings)
    return [key for key, grave in graver_first(before).items() if now.get(key, (99, True)) > grave]


def heavier(loadout: Loadout, more_kg: float) -> list[Loadout]:
    """The same with one thing, can, person, or the carrier heavier by that much; each of them in turn."""
    found = []
    for i, stowed in enumerate(loadout.gear):
        if stowed.count:
            made = replace(stowed, item=replace(stowed.item, mass_kg=stowed.item.mass_kg + more_kg))
            found.append(replace(loadout, gear=(*loadout.gear[:i], made, *loadout.gear[i + 1 :])))
    for i, filled in enumerate(loadout.liquids):
        can = replace(filled, liquid=replace(filled.liquid, container_kg=filled.liquid.container_kg + more_kg))
        found.append(replace(loadout, liquids=(*loadout.liquids[:i], can, *loadout.liquids[i + 1 :])))
    for i, who in enumerate(loadout.people):
        person = replace(who, mass_kg=min(who.mass_kg + more_kg, 300.0))
        found.append(replace(loadout, people=(*loadout.people[:i], person, *loadout.people[i + 1 :])))
    if loadout.carrier is not None:
        found.append(replace(loadout, carrier=replace(loadout.carrier, mass_kg=loadout.carrier.mass_kg + more_kg)))
    return found


@STEADY
@given(cases(), thousandths(0.001, 300.0))
def test_more_mass_never_eases_a_finding(case: Case, more_kg: float) -> None:
    """Whatever gets heavier: a rating in which it has no share below zero, a lift, a tie-down, fuel or gas in the air,
    and what is loose are found as before, or graver.

    Left out, for there more mass does help: shares below zero (a load behind the rear axle lightens the front one, one
    far back lifts the first bar), so also wheels that would leave the ground and bars pulled upward; and flat groups,
    whose weight holds them down in the wind. A rating whose load is below zero may pass through nothing on its way up.
    """
    vehicle, loadout = case
    flat = {f"tied:{strapping.key}" for strapping in loadout.straps if strapping.flat}
    before = evaluate(vehicle, loadout)
    always = {f.key for f in before.findings if f.kind in (AIR, LIFT, LOOSE, TIED)} - flat
    for heavy in heavier(loadout, more_kg):
        after = evaluate(vehicle, heavy)
        held = always | counting(before, after)
        assert eased([finding for finding in before.findings if finding.key in held], after) == []


def counting(before: Judgment, after: Judgment) -> set[str]:
    """The ratings that carry something already and in which nothing that has grown has a share below zero."""
    shares = before.shares
    grown = after.shares.mass_kg > shares.mass_kg
    return {
        f"rating:{key}"
        for key, rows in shares.ideas.items()
        if (shares.matrix[list(rows)][:, grown] >= 0).all() and before.rating(key).load >= 0
    }


# Limits ---------------------------------------------------------------------------------------------------


def with_limits(case: Case, change: Callable[[Limit], Limit]) -> Case:
    """The same case with each of its limits changed: vehicle, carrier, bars and feet, trailer, zones."""
    vehicle, loadout = case

    def each(limits: Mapping[str, Limit]) -> dict[str, Limit]:
        return {key: change(limit) for key, limit in limits.items()}

    carrier, trailer = loadout.carrier, loadout.trailer
    if carrier is not None:
        bars = tuple(
            replace(bar, limit=change(bar.limit), foot_limit=change(bar.foot_limit))
            for bar in carrier.bars
        )
        carrier = replace(carrier, limits=each(carrier.limits), bars=bars)
    if trailer is not None:
        trailer = replace(trailer, limits=each(trailer.limits))
    zones = tuple(replace(zone, limit=change(zone.limit)) for zone in loadout.zones)
    return (
        replace(vehicle, limits=each(vehicle.limits)),
        replace(loadout, carrier=carrier, trailer=trailer, zones=zones),
    )


def without_tires(vehicle: Vehicle) -> Vehicle:
    """The same vehicle with tires of which nobody knows what they carry."""
    front, rear = (replace(tire, load_index=None) for tire in (vehicle.front_tire, vehicle.rear_tire))
    return replace(vehicle, front_tire=front, rear_tire=rear)


@STEADY
@given(cases())
def test_a_limit_taken_away_is_never_silence(case: Case) -> None:
    """What was over, surely or by a guess, is not known without its limit; seats have none that can be taken away."""
    before = evaluate(*case)
    vehicle, loadout = with_limits(case, lambda _: Limit())
    after = {f.key: f.kind for f in evaluate(without_tires(vehicle), loadout).findings}
    over = [f.key for f in before.findings if f.kind in (OVER, OVER_ASSUMED) and f.key != "rating:seats"]

    assert {key: after.get(key) for key in over} == dict.fromkeys(over, NOT_KNOWN)


@STEADY
@given(cases())
def test_a_guess_never_makes_a_finding_disappear(case: Case) -> None:
    """With every limit only guessed all is found that was, what was over as over by a guess."""
    before = evaluate(*case)
    after = evaluate(*with_limits(case, lambda limit: replace(limit, read_at="a guess")))
    now = {f.key: f.kind for f in after.findings}
    read = ("rating:tire:", "rating:trail:", "rating:seats")  # a load index and a count of seats are no guess
    guessed = {f.key for f in before.findings if f.kind == OVER and not f.key.startswith(read)}

    assert [f.key for f in before.findings if f.key not in now] == []
    assert {now[key] for key in guessed} <= {OVER_ASSUMED}


# Air ------------------------------------------------------------------------------------------------------


@STEADY
@given(cases(), thousandths(60.0, 400.0), thousandths(0.0, 300.0))
def test_less_air_never_eases_a_finding_of_tires(case: Case, high_kpa: float, less_kpa: float) -> None:
    """The pressures of the road or of the trail go down: the tires are found as before, or graver.

    Left out: tires with a printed table, where less air may bring a pressure into the table, and so a sure number.
    """
    vehicle, loadout = case
    low_kpa, of_tires = max(50.0, high_kpa - less_kpa), ("rating:tire:", "rating:trail:", "pressure:")
    on_road = [replace(loadout, front_road_kpa=kpa, rear_road_kpa=kpa) for kpa in (high_kpa, low_kpa)]
    on_trail = [replace(loadout, front_kpa=kpa, rear_kpa=kpa) for kpa in (high_kpa, low_kpa)]
    for high, low in (on_road, on_trail):
        before, after = evaluate(vehicle, high), evaluate(vehicle, low)
        assert eased([f for f in before.findings if f.key.startswith(of_tires)], after) == []


@STEADY
@given(cases(), st.integers(0, 9), st.booleans())
def test_saying_where_people_breathe_changes_only_that(case: Case, which: int, said: bool) -> None:
    """Nobody had said of a zone. No: only its fuel and gas is no matter any more. Yes: it is found graver, and what
    was taken to ride outside, tied to nothing, is none of the matter now. Nothing else changes.
    """
    vehicle, loadout = case
    zone = loadout.zones[which % len(loadout.zones)]
    assume(not (zone.on_carrier or zone.on_hitch))

    def judged(in_cabin: bool | None) -> list[Finding]:
        zones = tuple(replace(z, in_cabin=in_cabin) if z == zone else z for z in loadout.zones)
        return list(evaluate(vehicle, replace(loadout, zones=zones)).findings)

    open_, answered = judged(None), judged(said)
    aboard = {s.item.name for s in loadout.gear if s.zone == zone.name}
    aboard |= {f.liquid.name for f in loadout.liquids if f.zone == zone.name}
    of_zone = [f for f in open_ if f.kind == AIR and f.what.endswith(f"({zone.name})")]
    changed = {AIR, LOOSE} if said else {AIR}

    assert [f for f in open_ if f.kind not in changed] == [f for f in answered if f.kind not in changed]
    if said:
        assert len([f for f in answered if f.kind == AIR]) == len([f for f in open_ if f.kind == AIR])
        named = {f.key for f in of_zone}
        assert all("where people breathe" in f.said for f in answered if f.key in named)
        gone = {f.what for f in open_ if f.kind == LOOSE} - {f.what for f in answered if f.kind == LOOSE}
        assert gone <= aboard
    else:
        assert [f for f in open_ if f not in of_zone] == answered
