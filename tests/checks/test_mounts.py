"""Bars and feet: beam tables, a beam solver of another kind, and the physics that holds for any platform."""

from __future__ import annotations

import importlib
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from loadcalc.checks import evaluate
from loadcalc.checks.mounts.bars import bar_shares, foot_loads_kg
from loadcalc.checks.mounts.beam import beam_shares, points_of, stiff_shares
from loadcalc.checks.ratings.carried import BarLoad, bar_loads
from loadcalc.model import Carrier, Filled, Item, Limit, Liquid, Loadout, Place, Size, Stowed, Zone
from loadcalc.model.carrier import Bar
from loadcalc.model.errors import BadValue
from tests.hand_case import VEHICLE
from tests.reference_rows import Row, case_id, numbers, rows

TABLE = rows("beam_supports.csv")


@pytest.mark.parametrize("row", TABLE, ids=case_id)
def test_shares_are_those_of_the_table(row: Row) -> None:
    """Lever, beam tables, and equal springs, for point loads and even stretches."""
    shares = bar_shares(
        float(row["at"]), float(row["length"]), numbers(row["supports"]), stiff=row["model"] == "plate"
    )
    found = [float(row["load"]) * share for share in shares]

    assert found == pytest.approx(numbers(row["shares"]), abs=float(row["tolerance"]))


def macaulay_shares(
    at_m: float, length_m: float, supports_m: list[float], bending: float, spring: float | None
) -> list[float]:
    """Another way: the beam's line as one equation of singularity functions, reactions and two constants unknown.

    EI w = sum R <x - s>^3/6 - load term + A x + B with w upward; w is 0 at a rigid support and -R/k at a spring;
    forces and moments balance. Written down from the bending equation alone; no element, no matrix of stiffness.
    """
    n = len(supports_m)

    def bracket(x: float, power: int) -> float:
        return x**power if x > 0 else 0.0

    def load_term(x: float) -> float:
        if length_m < 1e-4:
            return bracket(x - at_m, 3) / 6
        start, end = at_m - length_m / 2, at_m + length_m / 2
        return (bracket(x - start, 4) - bracket(x - end, 4)) / 24 / length_m

    matrix, right = np.zeros((n + 2, n + 2)), np.zeros(n + 2)
    for row, x in enumerate(supports_m):
        matrix[row, :n] = [bracket(x - s, 3) / 6 for s in supports_m]
        matrix[row, n], matrix[row, n + 1] = x, 1.0
        if spring is not None:
            matrix[row, row] += bending / spring
        right[row] = load_term(x)
    matrix[n, :n], right[n] = 1.0, 1.0
    matrix[n + 1, :n], right[n + 1] = supports_m, at_m
    return list(np.linalg.solve(matrix, right)[:n])


spans = st.lists(st.floats(0.3, 1.5), min_size=1, max_size=5)


@given(spans, st.floats(-0.6, 1.6), st.floats(0.0, 2.0))
def test_rigid_supports_agree_with_the_other_solver(gaps: list[float], where: float, length_m: float) -> None:
    """Any even beam on rigid supports, with overhangs: shares within 1e-6 of the other method's."""
    supports_m = [0.0, *np.cumsum(gaps).tolist()]
    at_m = where * supports_m[-1]

    found = bar_shares(at_m, length_m, supports_m)

    assert found == pytest.approx(macaulay_shares(at_m, length_m, supports_m, 1.0, None), abs=1e-6)


@given(spans, st.floats(-0.3, 1.3), st.floats(10.0, 1e5), st.floats(1e3, 1e7))
def test_yielding_supports_agree_with_the_other_solver(
    gaps: list[float], where: float, bending: float, spring: float
) -> None:
    """A beam on springs, from limp to stiff: shares within 1e-6 of the other method's."""
    supports_m = [0.0, *np.cumsum(gaps).tolist()]
    at_m = where * supports_m[-1]

    found = beam_shares(at_m, supports_m, bending_n_m2=bending, support_n_per_m=spring)

    assert found == pytest.approx(macaulay_shares(at_m, 0.0, supports_m, bending, spring), abs=1e-6)


@pytest.mark.parametrize(
    ("supports_m", "at_m"),
    [([0.0, 1.0, 2.0], 0.3), ([0.0, 0.7, 1.9], 1.1), ([0.0, 0.6, 1.1, 2.0], 1.6), ([0.0, 1.0, 1.8], 2.3)],
)
def test_a_general_beam_package_agrees(supports_m: list[float], at_m: float) -> None:
    """SymPy's beam solver, which knows nothing of this one: 1e-6."""
    sympy = importlib.import_module("sympy")
    make_beam = importlib.import_module("sympy.physics.continuum_mechanics.beam").Beam
    begin = min(0, at_m)
    beam = make_beam(sympy.Float(max(supports_m[-1], at_m) - begin), 1, 1)
    unknown = [beam.apply_support(sympy.Rational(str(s)) - begin, "roller") for s in supports_m]
    beam.apply_load(1, sympy.Rational(str(at_m)) - begin, -1)
    beam.solve_for_reaction_loads(*unknown)
    expected = [-float(beam.reaction_loads[force]) for force in unknown]

    assert sum(expected) == pytest.approx(1.0, abs=1e-9)
    assert beam_shares(at_m, supports_m) == pytest.approx(expected, abs=1e-6)


@example([1.5, 1.5], 1.5, 1e-4, False)
@given(spans, st.floats(-0.6, 1.6), st.floats(0.0, 2.0), st.booleans())
def test_shares_balance(gaps: list[float], where: float, length_m: float, stiff: bool) -> None:
    """Whatever the platform is made of, the shares add up to 1 and hold the load's own lever."""
    supports_m = [0.0, *np.cumsum(gaps).tolist()]
    at_m = where * supports_m[-1]

    shares = bar_shares(at_m, length_m, supports_m, stiff=stiff)

    assert sum(shares) == pytest.approx(1.0, abs=1e-9)
    lever = sum(share * support for share, support in zip(shares, supports_m, strict=True))
    assert lever == pytest.approx(at_m, abs=1e-9)


@given(st.floats(0.3, 3.0), st.floats(-1.0, 4.0))
def test_two_bars_leave_nothing_to_assume(span_m: float, at_m: float) -> None:
    """With two bars the bending and the stiff platform give the lever, and so do springs of any stiffness."""
    lever = (1.0 - at_m / span_m, at_m / span_m)

    assert beam_shares(at_m, (0.0, span_m)) == pytest.approx(lever, abs=1e-9)
    assert stiff_shares(at_m, (0.0, span_m)) == pytest.approx(lever, abs=1e-9)
    springs = beam_shares(at_m, (0.0, span_m), bending_n_m2=500.0, support_n_per_m=1e5)
    assert springs == pytest.approx(lever, abs=1e-9)


def test_springs_lie_between_the_two_ideas() -> None:
    """Hard springs under a limp beam are the rigid supports; soft ones under a stiff beam are the plate."""
    supports_m, at_m = (0.0, 0.8, 1.5, 2.0), 0.5

    hard = beam_shares(at_m, supports_m, bending_n_m2=1.0, support_n_per_m=1e9)
    soft = beam_shares(at_m, supports_m, bending_n_m2=1e8, support_n_per_m=1e2)

    assert hard == pytest.approx(beam_shares(at_m, supports_m), abs=1e-6)
    assert soft == pytest.approx(stiff_shares(at_m, supports_m), abs=1e-4)


def test_an_even_stretch_counts_as_its_points() -> None:
    """A stretch over a support equals very many small point loads."""
    supports_m, at_m, length_m = (0.0, 0.7, 2.0), 0.6, 1.1
    fine = np.mean(
        [beam_shares(float(x), supports_m) for x in at_m + length_m * ((np.arange(4000) + 0.5) / 4000 - 0.5)],
        axis=0,
    )

    assert sum(part for _, part in points_of(at_m, length_m, supports_m)) == pytest.approx(1.0, abs=1e-12)
    assert bar_shares(at_m, length_m, supports_m) == pytest.approx(fine, abs=1e-6)


@pytest.mark.parametrize(
    ("supports_m", "more", "said"),
    [
        ((0.0,), {}, "bars 1 is fewer"),
        ((0.0, 0.001), {}, "not 0.01 m or more behind"),
        ((1.0, 0.0), {}, "not 0.01 m or more behind"),
        ((0.0, 1.0), {"bending_n_m2": 10.0}, "give both or neither"),
        ((0.0, 1.0), {"bending_n_m2": -1.0, "support_n_per_m": 1.0}, "bending stiffness"),
    ],
)
def test_what_cannot_be_a_beam_is_refused(
    supports_m: tuple[float, ...], more: dict[str, float], said: str
) -> None:
    """One bar, bars out of order, half of the stiffnesses: named, with the cure."""
    with pytest.raises(BadValue, match=said):
        beam_shares(0.5, supports_m, **more)


def roof(bars: tuple[Bar, ...], *stowed: Stowed) -> Loadout:
    """A platform of 20 kg from 1 to 3 m with one zone on it."""
    return Loadout(
        name="roof",
        carrier=Carrier(
            name="platform",
            mass_kg=20.0,
            place=Place(aft_m=2.0, up_m=1.9),
            size=Size(length_m=2.0, width_m=1.2, height_m=0.05),
            bars=bars,
        ),
        zones=(
            Zone(
                name="roof",
                place=Place(aft_m=1.5, left_m=0.2, up_m=2.0),
                size=Size(length_m=1.0, width_m=1.0, height_m=0.3),
                on_carrier=True,
            ),
            Zone(
                name="floor", place=Place(aft_m=2.5, up_m=0.8), size=Size(length_m=1, width_m=1, height_m=1)
            ),
        ),
        gear=stowed,
    )


CRATE = Item(name="crate", mass_kg=30.0, size=Size(length_m=0.6, width_m=0.4, height_m=0.3))
TWO = (
    Bar(name="front bar", aft_m=1.5, half_span_m=0.6, limit=Limit(limit_kg=38.0), foot_limit=Limit(limit_kg=24.0)),
    Bar(name="rear bar", aft_m=2.5, half_span_m=0.6),
)  # fmt: skip
THREE = tuple(Bar(name=f"bar {i}", aft_m=1.0 + i, half_span_m=0.5) for i in range(3))


def carried(loadout: Loadout) -> tuple[BarLoad, ...]:
    """What the bars of a loadout carry, as anybody asks for it."""
    return bar_loads(evaluate(VEHICLE, loadout))


def at(aft_m: float, mass_kg: float) -> Stowed:
    """A thing without a size on the roof."""
    return Stowed(item=Item(name="anvil", mass_kg=mass_kg), zone="roof", place=Place(aft_m=aft_m, up_m=2.0))


def test_a_platform_worked_by_hand() -> None:
    """20 kg shared evenly, 30 kg over the front bar at 0.2 m left: 40 and 10 kg, feet 25 and 15 kg."""
    loadout = roof(TWO, Stowed(item=CRATE, zone="roof"), Stowed(item=CRATE, zone="floor"))
    report = evaluate(VEHICLE, loadout)
    front, rear = bar_loads(report)

    assert front.whole.rating.load_kg == pytest.approx(40.0, abs=1e-9)
    assert rear.whole.rating.load_kg == pytest.approx(10.0, abs=1e-9)
    assert (front.left.rating.load_kg, front.right.rating.load_kg) == pytest.approx((25.0, 15.0), abs=1e-9)
    assert {r.name for r in report.over} == {"Roof bar: front bar", "Roof bar: front bar, left foot"}
    assert "Roof bar: rear bar" in {r.name for r in report.not_known}
    parts = report.rating("bar:front bar:left").parts
    assert [part.name for part in parts] == ["crate", "platform"]
    assert [part.adds for part in parts] == pytest.approx([20.0, 5.0], abs=1e-9)


def test_a_load_outside_the_bars_pulls_the_far_one_up() -> None:
    """A crate ahead of the front bar: the rear bar's pull upward is told, not hidden in a zero."""
    front, rear = carried(roof(TWO, at(1.0, 40.0)))

    assert front.whole.rating.load_kg == pytest.approx(10.0 + 60.0, abs=1e-9)
    assert rear.whole.uplift_kg == pytest.approx(10.0, abs=1e-9)
    assert front.whole.uplift_kg == 0.0


def test_three_bars_show_both_ideas_and_count_the_worse() -> None:
    """A load over the middle bar: a bending platform leaves it there, a stiff one shares it out.

    The platform's own 20 kg, even over two spans of 1 m, puts 1.25 times a span's 10 kg on the middle bar when it bends
    (beam tables, from memory), a third of all when it is stiff.
    """
    report = evaluate(VEHICLE, roof(THREE, at(2.0, 30.0)))
    middle = bar_loads(report)[1]

    assert middle.whole.bends_kg == pytest.approx(30.0 + 12.5, abs=1e-9)
    assert middle.whole.stiff_kg == pytest.approx(10.0 + 20.0 / 3, abs=1e-9)
    assert middle.whole.rating.load_kg == pytest.approx(42.5, abs=1e-9)
    assert [r.key for r in report.ratings].count("bar:bar 1") == 1


def test_the_worse_idea_may_be_the_stiff_one() -> None:
    """30 kg over the middle bar: a bending platform leaves its end bars their own 0.375 * 10 kg, a stiff one thirds."""
    first, _, last = carried(roof(THREE, at(2.0, 30.0)))

    for end in (first, last):
        assert end.whole.bends_kg == pytest.approx(3.75, abs=1e-9)
        assert end.whole.rating.load_kg == pytest.approx(10.0 + 20.0 / 3, abs=1e-9)


def test_turned_pieces_lie_with_their_width_along() -> None:
    """A turned crate is as long along the vehicle as it is wide."""
    report = evaluate(VEHICLE, roof(TWO, Stowed(item=CRATE, zone="roof", turned=True)))

    assert [mass.length_m for mass in report.shares.masses if mass.on_carrier] == [0.4]


def test_what_has_no_size_rests_on_one_point() -> None:
    """A thing without a size, and a can: the harder case for the nearest bar."""
    can = Liquid(name="can", container_kg=2.0, capacity_l=20.0, density_kg_per_l=1.0)
    loadout = replace(roof(TWO, at(1.5, 30.0)), liquids=(Filled(liquid=can, zone="roof", fill_l=10.0),))
    report = evaluate(VEHICLE, loadout)

    assert [mass.length_m for mass in report.shares.masses if mass.on_carrier] == [0.0, 0.0]


def test_no_carrier_and_no_bars_are_no_result() -> None:
    """Nothing on the roof carries nothing; a carrier without bars, or with one, is not judged."""
    assert carried(Loadout(name="bare")) == ()
    assert carried(roof(())) == ()
    assert carried(roof(TWO[:1])) == ()


@given(st.floats(0, 500), st.floats(-100, 100), st.floats(0.1, 1.5))
def test_feet_add_up_to_their_bar(bar_kg: float, moment: float, half_span_m: float) -> None:
    """Left and right are the bar, and their difference holds the sideways moment."""
    left, right = foot_loads_kg(bar_kg, moment, half_span_m)

    assert left + right == pytest.approx(bar_kg, abs=1e-9)
    assert (left - right) * half_span_m == pytest.approx(moment, abs=1e-9)
