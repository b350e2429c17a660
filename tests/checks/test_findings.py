"""What is found about a departure: each kind worked by hand, through `evaluate`, as anybody asks for it."""

from __future__ import annotations

import datetime
from dataclasses import replace

import pytest

from loadcalc.checks import Finding, evaluate
from loadcalc.checks.findings.finding import KINDS
from loadcalc.checks.findings.of_things import CheckDue
from loadcalc.checks.lifting.hoist import Handling, lift_limit_kg
from loadcalc.checks.lifting.niosh import FORMS
from loadcalc.checks.weighing.against_ratings import readings_against_ratings
from loadcalc.checks.weighing.scales import Scale
from loadcalc.checks.weighing.ticket import Ticket
from loadcalc.model import Filled, Item, Limit, Liquid, Loadout, Place, Size, Stowed, Tire, Vehicle, Zone
from loadcalc.model.straps import Strapping
from tests.hand_case import CARRIER, PLATFORM, SIZE, VEHICLE

MEASURED = replace(VEHICLE, curb_from="club scale, both axles", cg_height_from="lifted by an axle")
CABIN = Zone(name="cabin", place=Place(aft_m=2.0, up_m=0.8), size=SIZE, in_cabin=True)
REAR = Zone(name="rear", place=Place(aft_m=3.5, up_m=0.8), size=SIZE, in_cabin=False)


def found(loadout: Loadout, vehicle: Vehicle = MEASURED, kind: str = "", **known: object) -> list[Finding]:
    """The findings of one kind."""
    judged = evaluate(vehicle, loadout, **known)  # type: ignore[arg-type]  # as evaluate takes them
    return [finding for finding in judged.findings if kind in ("", finding.kind)]


def gear(item: Item, zone: Zone = CABIN, **more: object) -> Loadout:
    """A loadout with one thing in one zone."""
    stowed = Stowed(item=item, zone=zone.name, **more)  # type: ignore[arg-type]  # as Stowed takes them
    return Loadout(
        name="day", zones=(zone,), gear=(stowed,), carrier=CARRIER if zone.on_carrier else None
    )  # fmt: skip


def test_an_overload_comes_first_with_how_much_and_where_it_was_read() -> None:
    """2000 kg on a gross rating of 1900; the axles are not known, and come after it."""
    vehicle = replace(MEASURED, limits={"gross": Limit(limit_kg=1900.0, read_at="door label")})
    first, *rest = found(Loadout(name="day"), vehicle)

    assert (first.kind, first.what, first.is_bad) == ("over", "Gross vehicle weight rating (GVWR)", True)
    assert (first.amount, first.limit, first.unit, first.rests_on) == (2000.0, 1900.0, "kg", "door label")
    assert {finding.what for finding in rest if finding.kind == "limit not known"} >= {
        "Front gross axle weight rating (GAWR)", "Rear gross axle weight rating (GAWR)",
    }  # fmt: skip


@pytest.mark.parametrize(("limit_kg", "kind"), [(1900.0, "over by assumption"), (2100.0, "within by assumption")])
def test_a_guess_is_never_a_known_limit(limit_kg: float, kind: str) -> None:
    """Over a guess is over by assumption; within a guess is told too, for it is not known."""
    vehicle = replace(MEASURED, limits={"gross": Limit(limit_kg=limit_kg, read_at="a guess")})

    (finding,) = found(Loadout(name="day"), vehicle, kind)

    assert (finding.key, finding.rests_on) == ("rating:gross", "a guess")


def test_a_rating_that_carries_nothing_is_no_matter() -> None:
    """An empty zone without a limit, and the roof of a vehicle without a carrier, are not judged and need not be."""
    keys = {finding.key for finding in found(Loadout(name="day", zones=(CABIN,)))}

    assert "rating:zone:cabin" not in keys
    assert "rating:roof_road" not in keys
    assert "rating:gross" in keys


def test_fuel_where_people_breathe_and_where_nobody_said() -> None:
    """Unmarked, by its name alone; outside it is no finding."""
    cylinder = Item(name="Propane cylinder", mass_kg=9.0)

    (inside,) = found(gear(cylinder), kind="fuel or gas in the air")
    (unsaid,) = found(gear(cylinder, replace(CABIN, in_cabin=None)), kind="fuel or gas in the air")

    assert inside.is_bad
    assert "where people breathe" in inside.said
    assert not unsaid.is_bad
    assert "nobody has said" in unsaid.said
    (doubtful,) = found(gear(Item(name="Jerry can", mass_kg=4.0)), kind="fuel or gas in the air")
    assert not doubtful.is_bad
    assert (inside.page, unsaid.page, doubtful.page) == ("03", "01", "05"), "where it is moved, ticked, and answered"
    assert found(gear(cylinder, REAR), kind="fuel or gas in the air") == []


def test_a_zone_on_the_roof_or_behind_the_body_that_is_not_ticked_so() -> None:
    """The body is 1.9 m high and ends 4.8 - 0.8 = 4.0 m behind the front axle: beyond, no rating counts it."""
    box = Item(name="box", mass_kg=10.0)
    high = Zone(name="attic", place=Place(aft_m=1.5, up_m=1.95), size=SIZE, in_cabin=False)
    behind = Zone(name="tail", place=Place(aft_m=4.1, up_m=0.8), size=SIZE, in_cabin=False)

    (roof,) = found(gear(box, high), kind="place not counted")
    (tail,) = found(gear(box, behind), kind="place not counted")

    assert (roof.what, "roof height" in roof.said) == ("attic", True)
    assert (tail.what, "behind the body" in tail.said) == ("tail", True)
    assert found(gear(box, replace(behind, on_hitch=True)), kind="place not counted") == []
    assert found(gear(box), kind="place not counted") == []


def test_tied_groups_short_or_not_known_and_what_is_loose() -> None:
    """One slack strap on 60 kg is short; not knowing what lies on what it is never enough; a loose box is told."""
    crate = Item(name="crate", mass_kg=60.0, size=Size(length_m=0.5, width_m=0.5, height_m=0.3))
    slack = Strapping(
        key="g", name="Crates", straps=1, tension_n=100.0, wll_kg=200.0, anchor_wll_kg=200.0,
        surfaces="steel crate on grooved aluminum",
    )  # fmt: skip
    strong = replace(slack, straps=8, tension_n=4000.0, wll_kg=900.0, anchor_wll_kg=900.0, surfaces="")
    packed = gear(crate, REAR, group="g")

    (short,) = found(replace(packed, straps=(slack,)), kind="tie-down")
    (unknown,) = found(replace(packed, straps=(strong,)), kind="tie-down")
    (loose,) = found(packed, kind="not tied down")

    assert (short.is_bad, unknown.is_bad) == (True, False)
    assert "49 CFR 393" in short.said
    assert "what lies on what" in unknown.said
    assert loose.what == "crate"
    assert found(gear(crate), kind="not tied down") == []


def test_a_heavy_lift_and_one_that_the_equation_does_not_answer() -> None:
    """40 kg is over the equation's 23 kg wherever it goes; hands at 2 m are beyond its 1.75 m."""
    size = Size(length_m=0.4, width_m=0.3, height_m=0.3)
    anvil, pillow = (Item(name=name, mass_kg=kg, size=size) for name, kg in (("anvil", 40.0), ("pillow", 1.0)))
    roof = gear(pillow, PLATFORM)

    (heavy,) = found(gear(anvil), kind="lift")
    (beyond,) = found(roof, kind="lift")

    assert heavy.is_bad
    assert not beyond.is_bad
    assert found(gear(pillow), kind="lift") == []


def test_a_lift_that_one_printed_form_allows_and_the_other_does_not_is_too_heavy() -> None:
    """Onto a floor at 0.55 m: the forms in meters and in inches differ by a few percent, and the lower one counts."""
    size = Size(length_m=0.4, width_m=0.3, height_m=0.3)
    hands_m = CABIN.place.up_m - CABIN.size.height_m / 2 + size.height_m / 2
    limits_kg = [lift_limit_kg(size, hands_m, Handling(form=form)) for form in FORMS]
    between_kg = sum(limits_kg) / 2

    assert max(limits_kg) > 1.005 * min(limits_kg)
    (lift,) = found(gear(Item(name="chest", mass_kg=between_kg, size=size)), kind="lift")
    assert lift.is_bad
    assert lift.limit == pytest.approx(min(limits_kg), rel=1e-9)
    assert found(gear(Item(name="chest", mass_kg=min(limits_kg) * 0.999, size=size)), kind="lift") == []


def test_however_much_or_little_it_is_the_judgment_comes_back() -> None:
    """A can of 505 kg, a thousand sacks of 50 kg in one group, a strap with next to no tension, 40 m2 in the wind."""
    tank = Liquid(name="tank", container_kg=5.0, capacity_l=500.0, density_kg_per_l=1.0)
    day = Loadout(name="day", zones=(CABIN,), liquids=(Filled(liquid=tank, zone="cabin", fill_l=500.0),))
    sheet = Item(name="sheet", mass_kg=50.0, count=1000, size=Size(length_m=8.0, width_m=5.0, height_m=0.1))
    slack = Strapping(key="g", name="Sheets", straps=2, tension_n=0.5, wll_kg=0.05, flat=True)
    piled = Loadout(
        name="day", zones=(REAR,), gear=(Stowed(item=sheet, zone="rear", count=1000, group="g"),), straps=(slack,)
    )  # fmt: skip

    (lift,) = found(day, kind="lift")
    (tied,) = found(piled, kind="tie-down")

    assert (lift.is_bad, lift.amount) == (True, 505.0)
    assert (tied.is_bad, tied.amount) == (True, 50_000.0)


def test_less_air_than_the_placard_on_the_road() -> None:
    """200 kPa under a placard of 240; at the placard and above nothing is said."""
    vehicle = replace(MEASURED, front_tire=Tire(placard_kpa=240.0))
    day = Loadout(name="day")

    (finding,) = found(replace(day, front_road_kpa=200.0), vehicle, "tire pressure")

    assert (finding.amount, finding.limit, finding.unit) == (200.0, 240.0, "kPa")
    assert found(day, vehicle, "tire pressure") == []
    assert found(replace(day, front_road_kpa=240.0), vehicle, "tire pressure") == []


def test_checks_of_what_comes_along() -> None:
    """An overdue cylinder aboard is told, one that stays home is not; a date that nobody knows is told as that."""
    may, june = datetime.date(2026, 5, 1), datetime.date(2026, 6, 1)
    stove = gear(Item(name="Stove", mass_kg=2.0, key="stove"))
    due = [
        CheckDue(key="stove", name="Stove", what="look over", on=may),
        CheckDue(key="winch", name="Winch", what="look over", on=may),
        CheckDue(key="front", name="Front tires", what="replace", on=None),
    ]

    late = found(stove, kind="check", due=due, today=june)

    assert [(finding.what, finding.is_bad) for finding in late] == [("Stove", True), ("Front tires", False)]
    assert [f.what for f in found(stove, kind="check", due=due, today=may)] == ["Front tires"]


def test_a_reading_over_its_rating_is_over_whatever_the_lists_say() -> None:
    """The lists say 2000 kg on 2500; the scale shows 2520. Packed otherwise since: no longer sure, still told."""
    vehicle = replace(MEASURED, limits={"gross": Limit(limit_kg=2500.0, read_at="door label")})
    day = Loadout(name="day")
    ticket = Ticket(readings_kg={"total": 2520.0}, scale=Scale(resolution_kg=5.0))
    weighed = readings_against_ratings(vehicle, day, ticket)

    first = found(day, vehicle, weighed=weighed)[0]
    (then,) = [f for f in found(day, vehicle, weighed=weighed, repacked=True) if f.key == "scale:gross"]

    assert (first.kind, first.key, first.amount, first.limit) == ("over", "scale:gross", 2520.0, 2500.0)
    assert (then.kind, then.is_bad) == ("over by assumption", False)


def test_figures_that_nobody_measured_are_told_last() -> None:
    """Without a source, or by one that says it is an example; what was weighed is not told."""
    vehicle = replace(MEASURED, curb_from="", cg_height_from="example figure: replace with your own")

    figures = found(Loadout(name="day"), vehicle, "figure not measured")

    assert [finding.key for finding in figures] == ["figure:curb mass", "figure:height"]
    assert found(Loadout(name="day"), kind="figure not measured") == []


def test_findings_stand_in_order_of_weight() -> None:
    """Whatever is found, the kinds follow one another as they are listed, what is known to be wrong first in each."""
    vehicle = replace(VEHICLE, limits={"gross": Limit(limit_kg=1900.0)}, front_tire=Tire(placard_kpa=240.0))
    stove = gear(Item(name="Gas bottle", mass_kg=40.0))
    ranks = [KINDS.index(f.kind) for f in found(replace(stove, front_road_kpa=200.0), vehicle)]

    assert ranks == sorted(ranks)
    assert len(set(ranks)) >= 5
