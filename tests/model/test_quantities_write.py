"""SI to text in the reader's units, and back again."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from loadcalc.model import quantities as q
from loadcalc.model.errors import BadValue

READERS = {
    "mass": q.read_mass_kg,
    "volume": q.read_volume_l,
    "length": q.read_length_m,
    "pressure": q.read_pressure_kpa,
    "density": q.read_density_kg_per_l,
}
LB, GAL = 0.45359237, 3.785411784
SYSTEMS = (q.US, q.SI)
RANGES = {"mass": 40_000.0, "volume": 1000.0, "length": 20.0, "pressure": 2000.0, "density": 25.0}


@given(st.sampled_from(SYSTEMS), st.sampled_from(sorted(RANGES)), st.floats(0.0, 1.0))
def test_shown_text_reads_back_within_half_a_digit(units: q.Units, quantity: str, share: float) -> None:
    """What is written reads back to the same value, to half of the last digit shown."""
    value = share * RANGES[quantity]
    scale = units.scale(quantity)
    back = READERS[quantity](scale.text(value), high=2 * RANGES[quantity])
    assert back == pytest.approx(value, abs=scale.half_digit(value) * (1 + 1e-9), rel=0)
    assert READERS[quantity](scale.number(value), unit=scale.unit, high=2 * RANGES[quantity]) == back


@given(st.sampled_from(SYSTEMS), st.sampled_from(sorted(RANGES)), st.floats(0.0, 1.0), st.floats(1e-3, 1.0))
@example(units=q.US, quantity="volume", share=1.0, part=0.065)
@example(units=q.US, quantity="mass", share=1.0, part=1.0)
@example(units=q.US, quantity="density", share=1.0, part=1.0)
def test_what_is_shown_typed_back_is_shown_again_and_never_refused(
    units: q.Units, quantity: str, share: float, part: float
) -> None:
    """With the unit or without it, thousands marked as on the page; also the largest that is allowed."""
    high = part * RANGES[quantity]
    value = share * high
    scale, read = units.scale(quantity), READERS[quantity]
    for typed in (scale.text(value), scale.text(value, grouped=True), scale.number(value)):
        back = read(typed, unit=scale.unit, high=high, decimal_comma=units.decimal_comma)
        assert scale.text(back) == scale.text(value)
        assert 0.0 <= back <= high


@given(st.sampled_from(SYSTEMS), st.floats(-1.0, 1.0), st.floats(0.01, 3.0))
@example(units=q.US, share=-1.0, most=3.0)
def test_a_place_to_the_side_typed_back_is_shown_again(units: q.Units, share: float, most: float) -> None:
    """Left, right, and the farthest that is allowed."""
    shown = units.sideways(share * most)
    assert units.sideways(q.read_sideways_m(shown, unit=units.length_unit, most=most)) == shown


def test_the_bound_is_taken_for_what_a_page_shows_of_it_and_no_more() -> None:
    """A tank of 65 L is 17.2 gal on a page, which is 65.1 L; 17.3 gal is refused, and 65.1 L where liters are typed."""
    assert q.read_volume_l("17.2 gal", high=65.0) == 65.0
    for text in ("17.3 gal", "65.1 L"):
        with pytest.raises(BadValue, match="above the most allowed"):
            q.read_volume_l(text, high=65.0)


@given(st.sampled_from(SYSTEMS), st.sampled_from(sorted(RANGES)), st.floats(1e-3, 1.0))
def test_entry_reads_back_the_same(units: q.Units, quantity: str, share: float) -> None:
    """Text for an editable cell reads back to the same value to six digits, and writes the same again."""
    value = share * RANGES[quantity]
    scale = units.scale(quantity)
    back = READERS[quantity](scale.entry(value), unit=scale.unit, high=2 * RANGES[quantity])
    assert scale.same_entry(value, back)
    assert back == pytest.approx(value, rel=5.01e-6, abs=0)
    assert scale.entry(back) == scale.entry(value)


@given(st.decimals(min_value="0.01", max_value="999.99", places=2), st.sampled_from(SYSTEMS))
def test_entry_gives_back_what_was_typed(number: Any, units: q.Units) -> None:
    """A number with two decimals that was typed in the reader's unit is shown again as it was typed."""
    scale = units.scale("mass")
    entry = scale.entry(q.read_mass_kg(f"{number} {scale.unit}"))
    assert Fraction(entry) == Fraction(number)


def test_masses_are_written_plainly() -> None:
    """Small masses keep a digit, large ones are whole, and thousands have their mark."""
    kg = [0.0, 0.2 * LB, 38 * LB, 12.34 * LB, 99.96 * LB, 2588.2 * LB, -11 * LB]
    assert [q.US.mass(m) for m in kg] == ["0 lb", "0.2 lb", "38 lb", "12.3 lb", "100 lb", "2,588 lb", "\u221211 lb"]
    assert [q.SI.mass(m) for m in (0.05, 1174.3, 17.2)] == ["0.05 kg", "1\u202f174 kg", "17.2 kg"]
    assert q.US.mass(-2588.2 * LB) == "\u22122,588 lb"
    assert (q.US.mass_number(38 * LB), q.US.mass_unit) == ("38", "lb")


def test_other_quantities_are_written_plainly() -> None:
    """US lengths are inches to a tenth, SI lengths whole millimeters; the rest has three digits."""
    assert (q.US.length(1.8415), q.SI.length(1.8417), q.US.length(1.8288)) == ("72.5 in", "1842 mm", "72 in")
    assert (q.US.volume(2.5 * GAL), q.SI.volume(9.46)) == ("2.5 gal", "9.46 L")
    assert (q.US.pressure(241.3165), q.SI.pressure(241.3165)) == ("35 psi", "241 kPa")
    assert (q.US.density(0.9982), q.SI.density(0.9982)) == ("8.33 lb/gal", "0.998 kg/L")


def test_differences_are_written_with_their_sign_or_in_words() -> None:
    """A difference says which way it goes; a difference too small to show says that there is none."""
    assert [q.US.mass_change(m) for m in (12 * LB, -12 * LB, 0.0, -1e-9)] == [
        "+12 lb", "\u221212 lb", "0 lb", "0 lb",
    ]  # fmt: skip
    assert [q.US.mass_more(m) for m in (12 * LB, -12 * LB, 0.0)] == ["12 lb more", "12 lb less", "no change"]
    assert q.SI.mass_change(1500.0) == "+1\u202f500 kg"


def test_units_by_name() -> None:
    """The reader's units are found by name, and an unknown name is refused with the choices."""
    assert q.units("us") is q.US
    assert q.units("SI") is q.SI
    with pytest.raises(BadValue, match="US, SI"):
        q.units("metric")
    with pytest.raises(BadValue, match="mass, volume"):
        q.US.scale("weight")


def test_scale_converts_both_ways() -> None:
    """A slider in pounds and a record in kilograms agree."""
    scale = q.US.scale("mass")
    assert scale.value(17.23651006) == pytest.approx(38, rel=1e-15)
    assert scale.si(38) == pytest.approx(17.23651006, rel=1e-15)
