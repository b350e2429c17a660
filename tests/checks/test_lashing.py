"""Tie-down formulas against published rows, and the physics that must hold for any strap."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from loadcalc.checks.restraint.lashing import (
    aggregate_limit_kg,
    aggregate_needed_kg,
    direct_force_n,
    friction_hold_n,
    pressed_down_n,
    straps_over_needed,
    tie_downs_needed,
    wind_uplift_n,
)
from loadcalc.checks.restraint.strapping import (
    CFR,
    EN,
    asked_by,
    friction_of,
    friction_pairs,
    unmarked_webbing_kg,
    weakest_kg,
)
from loadcalc.model.errors import BadValue
from loadcalc.model.facts import fact_rows
from loadcalc.model.straps import Strapping
from tests.reference_rows import Row, case_id, half_last_digit, rows

POUND_KG, FOOT_M = 0.45359237, 0.3048


@pytest.mark.parametrize("row", rows("tie_down_counts.csv"), ids=case_id)
def test_tie_downs_are_counted_as_the_rule_does(row: Row) -> None:
    """49 CFR 393.110: by length and mass, blocked in front or not."""
    found = tie_downs_needed(
        length_m=float(row["length_ft"]) * FOOT_M,
        mass_kg=float(row["mass_lb"]) * POUND_KG,
        blocked=row["blocked"] == "yes",
    )

    assert found == int(row["count"])


@pytest.mark.parametrize("row", rows("webbing_limits.csv"), ids=case_id)
def test_webbing_without_a_marking_counts_by_width(row: Row) -> None:
    """The table's own widths give its limits, and a hair wider gives no more."""
    assert unmarked_webbing_kg(float(row["width_mm"])) == float(row["limit_kg"])
    assert unmarked_webbing_kg(float(row["width_mm"]) + 1) == float(row["limit_kg"])


def test_narrow_webbing_without_a_marking_counts_for_nothing() -> None:
    """A 25 mm strap is not in the table: refused with the cure, not guessed."""
    with pytest.raises(BadValue, match="narrower than the table's narrowest, 45 mm"):
        unmarked_webbing_kg(25)


@pytest.mark.parametrize("row", rows("half_weight.csv"), ids=case_id)
def test_half_of_the_weight(row: Row) -> None:
    """49 CFR 393.106(d): over the top counts whole, direct half."""
    needed = aggregate_needed_kg(float(row["mass_lb"]) * POUND_KG) / POUND_KG
    limit_kg = float(row["limit_lb"]) * POUND_KG
    given_kg = aggregate_limit_kg(straps=int(row["straps"]), limit_kg=limit_kg, way=row["way"])

    assert needed == pytest.approx(float(row["needed_lb"]), abs=1e-9)
    assert given_kg / POUND_KG == pytest.approx(float(row["given_lb"]), abs=1e-9)
    assert (given_kg / POUND_KG >= needed) == (row["enough"] == "yes")


@pytest.mark.parametrize("row", rows("lashing.csv"), ids=case_id)
def test_lashing_formulas(row: Row) -> None:
    """Frictional lashing gives a number of straps, direct lashing a force in each."""
    common = {
        "acceleration_g": float(row["acceleration"]),
        "friction": float(row["friction"]),
        "mass_kg": float(row["mass_kg"]),
        "angle_deg": float(row["angle"]),
    }
    if row["way"] == "direct":
        found = direct_force_n(**common, aside_deg=float(row["aside"]), straps=int(row["straps"]))
    else:
        found = straps_over_needed(**common, tension_n=float(row["tension_n"]), factor=float(row["factor"]))

    assert found == pytest.approx(float(row["expected"]), abs=half_last_digit(row["expected"]))


@pytest.mark.parametrize("row", rows("wind_force.csv"), ids=case_id)
def test_wind_lifts_with_the_dynamic_pressure(row: Row) -> None:
    """1/2 rho v^2 C A."""
    found = wind_uplift_n(
        area_m2=float(row["area_m2"]),
        speed_m_per_s=float(row["speed_m_per_s"]),
        coefficient=float(row["coefficient"]),
        density_kg_per_m3=float(row["density"]),
    )

    assert found == pytest.approx(float(row["expected"]), abs=half_last_digit(row["expected"]))


@pytest.mark.parametrize(
    ("feet", "blocked", "needed"),
    [
        (5.0, False, 1),
        (5.02, False, 2),
        (10.0, True, 1),
        (10.05, True, 2),
        (20.0, True, 2),
        (20.05, False, 4),
    ],
)
def test_a_part_of_a_length_counts_and_a_whole_one_once(feet: float, blocked: bool, needed: int) -> None:
    """49 CFR 393.110 at its steps: 5 ft and each 10 ft still belong to the lower count, a little more does not."""
    assert tie_downs_needed(length_m=feet * FOOT_M, mass_kg=100.0, blocked=blocked) == needed


def test_less_weight_on_the_bed_holds_less() -> None:
    """With half of the weight pressing down (c_z = 0.5), worked by hand for both ways of lashing."""
    load = {"acceleration_g": 0.8, "friction": 0.4, "mass_kg": 1000.0, "down_g": 0.5}

    # (0.8 - 0.4 x 0.5) x 9810 x 1.25 / (2 x 0.4 x sin 75 x 3000) = 7357.5 / 2318.222
    over = straps_over_needed(**load, angle_deg=75.0, tension_n=3000.0, factor=1.25)
    assert over == pytest.approx(3.17377, abs=1e-5)
    # (0.8 - 0.3 x 0.5) x 9810 / (2 x (cos 45 + 0.3 x sin 45)) = 6376.5 / 1.8384776
    direct = direct_force_n(**load, angle_deg=45.0, aside_deg=0.0, straps=2)
    assert direct == pytest.approx(3468.359, abs=1e-3)


def test_frictional_lashing_is_the_balance_of_forces() -> None:
    """Put back in, that many straps press the load down so that friction holds it: (weight + press) mu = need."""
    mass_kg, friction, tension_n = 120.0, 0.25, 600.0
    count = straps_over_needed(
        acceleration_g=0.8, friction=friction, mass_kg=mass_kg, angle_deg=60, tension_n=tension_n, factor=1.0
    )
    pressed_n = count * pressed_down_n(straps=1, angle_deg=60, tension_n=tension_n, way="over the top")

    held_n = friction_hold_n(friction=friction, mass_kg=mass_kg, pressed_n=pressed_n)

    assert held_n == pytest.approx(0.8 * mass_kg * 9.81, rel=1e-12)


def test_every_acceleration_has_a_source_and_a_status() -> None:
    """49 CFR 393.102 was read; of EN 12195-1 only the factor 1.25 forward is what nobody here has seen."""
    statuses = {(row["rule_set"], row["direction"]): row["status"] for row in fact_rows("securing_accelerations")}

    assert {status for (rule_set, _), status in statuses.items() if rule_set == CFR} == {"published"}
    assert [way for (by, way), status in statuses.items() if by == EN and status == "from memory"] == ["forward"]
    assert asked_by(EN, "up") is None
    forward = asked_by(CFR, "forward")
    assert forward is not None
    assert (forward.acceleration_g, forward.factor) == (0.435, 1.0)
    with pytest.raises(BadValue, match="rule set"):
        asked_by("a rule of somebody's", "forward")


def test_unknown_friction_takes_the_lowest() -> None:
    """No pair, the lowest value of the table with its status; a pair that isn't there is refused."""
    lowest = min(pair.value for pair in friction_pairs().values())

    assert friction_of("").value == lowest
    assert friction_of("").status == "published"
    with pytest.raises(BadValue, match="not in the friction table"):
        friction_of("velvet on butter")


def test_the_weakest_part_counts() -> None:
    """Strap and tie point: the lower that is known; nothing known is not a number."""
    assert weakest_kg(900.0, 150.0) == 150.0
    assert weakest_kg(None, 150.0) == 150.0
    assert weakest_kg(None, None) is None


accelerations, frictions = st.floats(0.05, 2.0), st.floats(0.05, 0.9)
masses, angles = st.floats(0.5, 2000.0), st.floats(5.0, 90.0)


@given(accelerations, frictions, masses, angles, st.floats(10.0, 20_000.0), st.floats(1.0, 2.0))
def test_more_tension_or_friction_never_needs_more_straps(
    c: float, mu: float, kg: float, angle: float, tension: float, more: float
) -> None:
    """Straps needed fall with tension and friction, and rise with mass and acceleration."""

    def need(c: float, mu: float, kg: float, tension: float) -> float:
        return straps_over_needed(
            acceleration_g=c, friction=mu, mass_kg=kg, angle_deg=angle, tension_n=tension, factor=1.25
        )

    base = need(c, mu, kg, tension)

    assert need(c, mu, kg, tension * more) <= base + 1e-9
    assert need(c, min(mu * more, 1.0), kg, tension) <= base + 1e-9
    assert need(c * more, mu, kg, tension) >= base - 1e-9
    assert need(c, mu, kg * more, tension) >= base - 1e-9


@given(accelerations, frictions, masses, angles, st.floats(0.0, 89.0), st.integers(1, 10))
def test_more_direct_straps_never_pull_harder(
    c: float, mu: float, kg: float, angle: float, aside: float, straps: int
) -> None:
    """One more strap lowers the force in each; friction alone needs none."""
    assume(angle < 89.9 or mu > 0)

    def force(straps: int) -> float:
        return direct_force_n(
            acceleration_g=c, friction=mu, mass_kg=kg, angle_deg=angle, aside_deg=aside, straps=straps
        )

    assert force(straps + 1) <= force(straps) + 1e-9
    assert force(0) in (0.0, float("inf"))


@given(st.floats(0.0, 20.0), st.floats(0.0, 4000.0), st.booleans(), st.floats(0.0, 5.0), st.floats(0, 500))
def test_longer_or_heavier_never_needs_fewer(
    length_m: float, kg: float, blocked: bool, longer_m: float, heavier_kg: float
) -> None:
    """The count never falls as an article grows."""
    base = tie_downs_needed(length_m=length_m, mass_kg=kg, blocked=blocked)

    assert tie_downs_needed(length_m=length_m + longer_m, mass_kg=kg, blocked=blocked) >= base
    assert tie_downs_needed(length_m=length_m, mass_kg=kg + heavier_kg, blocked=blocked) >= base
    assert base >= 1


@pytest.mark.parametrize(
    ("given_fields", "said"),
    [
        ({"straps": -1}, "straps -1"),
        ({"way": "around"}, "way 'around'"),
        ({"angle_deg": 2.0}, "strap angle 2.0 is outside 5 to 90 degrees"),
        ({"tension_n": -5.0}, "tension -5.0"),
        ({"wll_kg": float("nan")}, "working load limit nan"),
        ({"extra_factor": 0.5}, "rough-ground factor 0.5 is outside 1 to 3"),
        ({"surfaces": "velvet on butter"}, "choose one of the table, or leave it empty"),
        ({"name": ""}, "give it a name"),
    ],
)
def test_strapping_that_cannot_be_is_refused(given_fields: dict[str, object], said: str) -> None:
    """Field, value, limit, unit, cure."""
    with pytest.raises(BadValue, match=said):
        Strapping(**({"key": "tools", "name": "Tools"} | given_fields))  # type: ignore[arg-type]  # on purpose
