"""Text to SI and back: what is read, what is refused and how, and what is written."""

from __future__ import annotations

import math
import subprocess
import sys
from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadcalc.model import quantities as q
from loadcalc.model import unit_names
from loadcalc.model.errors import BadValue
from tests.reference_rows import case_id, rows

READERS: dict[str, Callable[..., float]] = {
    "mass": q.read_mass_kg,
    "volume": q.read_volume_l,
    "length": q.read_length_m,
    "pressure": q.read_pressure_kpa,
    "density": q.read_density_kg_per_l,
}
LB, OZ, IN, GAL = 0.45359237, 0.028349523125, 0.0254, 3.785411784


@pytest.mark.parametrize("row", rows("unit_conversions.csv"), ids=case_id)
def test_published_conversion(row: dict[str, str]) -> None:
    """One of each unit is worth what the standards print."""
    found = READERS[row["quantity"]](row["text"])
    assert found == pytest.approx(float(row["expected"]), abs=float(row["abs_tol"]), rel=1e-15)


@pytest.mark.parametrize(
    ("text", "mass_kg"),
    [
        ("38 lb", 38 * LB), ("38lb", 38 * LB), ("38 LBS", 38 * LB), ("38 lb.", 38 * LB), ("38", 38 * LB),
        (" 38\u00a0lb ", 38 * LB), ("38\u2009lb", 38 * LB), ("\ufeff38 lb\u200b", 38 * LB),
        ("\uff13\uff18 lb", 38 * LB), ("\u0663\u0668 lb", 38 * LB), ("+38 lb", 38 * LB),
        ("17,2 kg", 17.2), ("1.2e3 g", 1.2), ("1.2E+3 g", 1.2), ("500 g", 0.5), ("500 G", 0.5),
        (".5 kg", 0.5), ("0,125 kg", 0.125), ("5 kilos", 5.0), ("2 tonnes", 2000.0),
        ("1 short ton", 2000 * LB),
        ("12 lb 4 oz", 12.25 * LB), ("12 lb, 4 oz", 12.25 * LB), ("12lb4oz", 12.25 * LB),
        ("12 pounds and 4 ounces", 12.25 * LB), ("12lb3oz", (12 + 3 / 16) * LB),
        ("1/2 lb", 0.5 * LB), ("2 1/2 lb", 2.5 * LB), ("2-1/2 lb", 2.5 * LB), ("2\u00bd lb", 2.5 * LB),
        ("\u00be lb", 0.75 * LB), ("3\u20444 lb", 0.75 * LB),
        ("1,234.5 kg", 1234.5), ("1.234,5 kg", 1234.5), ("1 234,5 kg", 1234.5), ("1\u202f174 kg", 1174.0),
        ("1,234,567 g", 1234.567), ("1234,567 kg", 1234.567), ("1.234 kg", 1.234),
    ],
)  # fmt: skip
def test_mass_is_read(text: str, mass_kg: float) -> None:
    """Masses are read as people write them; a bare number is in the column's unit."""
    assert q.read_mass_kg(text) == pytest.approx(mass_kg, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "length_m"),
    [
        ("6 ft 2 in", 74 * IN), ("6'2\"", 74 * IN), ("6'2", 74 * IN), ("6'-2\"", 74 * IN),
        ("6ft2in", 74 * IN), ("6\u20322\u2033", 74 * IN), ("6\u2019 2\u201d", 74 * IN),
        ("6' 2 1/2\"", 74.5 * IN), ("72\"", 72 * IN), ("72''", 72 * IN), ("1/2 in", 0.5 * IN),
        ("12", 12 * IN),
        ("1,2 m", 1.2), ("1 m 20 cm", 1.2),
        ("1200 MM", 1.2),
    ],
)  # fmt: skip
def test_length_is_read(text: str, length_m: float) -> None:
    """Feet and inches are read in every common form."""
    assert q.read_length_m(text) == pytest.approx(length_m, rel=1e-15)


def test_minus_sign_holds_for_all_parts() -> None:
    """A place ahead of the axle may be negative, and the sign is that of the whole."""
    assert q.read_length_m("\u22126 ft 2 in", low=-5.0) == pytest.approx(-74 * IN, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "volume_l"),
    [
        ("2.5 gal", 2.5 * GAL), ("2 1/2 gal", 2.5 * GAL), ("3 qt", 0.75 * GAL), ("12 fl oz", 12 * GAL / 128),
        ("12 Fl. Oz.", 12 * GAL / 128), ("500 ML", 0.5), ("20 l", 20.0), ("20 litres", 20.0),
        ("2 Gal", 2 * GAL), ("5 imp gal", 22.73045), ("1 ft\u00b3", (12 * IN) ** 3 * 1000), ("250 cc", 0.25),
        ("1 gal 2 qt", 1.5 * GAL),
    ],
)  # fmt: skip
def test_volume_is_read(text: str, volume_l: float) -> None:
    """Volumes are read, with US gallons unless imperial ones are named."""
    assert q.read_volume_l(text) == pytest.approx(volume_l, rel=1e-14)


def test_number_from_a_spreadsheet_is_read() -> None:
    """A float reads as its shortest decimal, even in a column whose comma is the decimal mark."""
    assert q.read_mass_kg(38.1, unit="kg") == 38.1
    assert q.read_mass_kg(1.234, unit="kg", decimal_comma=True) == 1.234
    assert q.read_count(3.0) == 3


REFUSED = [
    ("mass", "1,234 lb", "may be thousands or a decimal", 'write "1234" or "1.2340"'),
    ("mass", "12 lbf", "measures a force", 'give a mass, such as "38 lb"'),
    ("mass", "3 kN", "measures a force", "give a mass"),
    ("mass", "2 gal", "measures a volume", "give a mass"),
    ("mass", "2 tons", "2000 lb or 1000 kg", "tonnes"),
    ("mass", "12 Mg", "milligrams or tonnes", "tonne"),
    ("mass", "38#", "not a unit here", "lb"),
    ("mass", "3 pinch", "measures a length", "mass"),
    ("mass", "12 eggs", "not a known unit", "38 lb"),
    ("volume", "12 oz", "ounce of mass", 'write "fl oz"'),
    ("volume", "5 lb", "measures a mass", "2.5 gal"),
    ("length", "3 pinch", "not a known unit", "6 ft 2 in"),
    ("length", "1'234", "not less than one of the unit before", "6 ft 2 in"),
    ("pressure", "35 lb", "measures a mass", "35 psi"),
    ("density", "8.3 lb", "not a density", "8.3 lb/gal"),
    ("mass", "-5 lb", "is negative", "zero or more"),
    ("mass", "\u22125", "is negative", "zero or more"),
    ("mass", "--5", "is not a number", "write a number"),
    ("mass", "nan", "not a finite number", "write a number"),
    ("mass", "-inf", "not a finite number", "write a number"),
    ("mass", "", "is empty", "write a number"),
    ("mass", "  \u00a0 ", "is empty", "write a number"),
    ("mass", "tbd", "is not a number", "write a number"),
    ("mass", "lb 38", "cannot be read", "number first"),
    ("mass", "$12", "cannot be read", "number first"),
    ("mass", "10-12 lb", "is a range", "give one number"),
    ("mass", "10\u201312 lb", "is a range", "give one number"),
    ("mass", "10 to 12 lb", "is a range", "give one number"),
    ("mass", "~12 lb", "marked as a guess", "plain number"),
    ("mass", "12 lb?", "marked as a guess", "plain number"),
    ("mass", "2024-01-05", "looks like a date", "again"),
    ("mass", "5-Jan", "looks like a date", "again"),
    ("mass", "12 lb 40 oz", "not less than one of the unit before", "12 lb 4 oz"),
    ("mass", "4 oz 12 lb", "not less than one of the unit before", "12 lb 4 oz"),
    ("mass", "12 lb 4", "holds two numbers", "each its unit"),
    ("mass", "1/0 lb", "divided by zero", "1/2"),
    ("mass", "1,23,456 g", "marks in odd places", "plainly"),
    ("mass", "1e999 kg", "above the most allowed, 40000 kg", "check the number"),
    ("mass", "1e9999999 kg", "far out of any range", "check the number"),
    ("mass", "9**9**9", "cannot be read", "write a number"),
    ("mass", "__import__('os')", "is not a number", "write a number"),
    ("mass", "1" * 81, "longer than 80", "write a number"),
]


@pytest.mark.parametrize(("quantity", "text", "problem", "cure"), REFUSED)
def test_refused_with_a_cure(quantity: str, text: str, problem: str, cure: str) -> None:
    """What is wrong or could mean two things is refused: value as typed, problem, cure, place."""
    with pytest.raises(BadValue) as caught:
        READERS[quantity](text, field="some field", where="row 7")

    assert caught.value.value == text
    assert problem in caught.value.problem
    assert cure in caught.value.cure
    assert (caught.value.field, caught.value.where) == ("some field", "row 7")


@pytest.mark.parametrize("value", [math.nan, math.inf, True, None])
def test_cell_that_is_no_number_is_refused(value: Any) -> None:
    """A spreadsheet's own odd values raise the same named error as text."""
    with pytest.raises(BadValue, match=r"not a (finite )?number"):
        q.read_mass_kg(value)


@pytest.mark.parametrize(
    ("text", "limit"),
    [("4000 kg", "500 kg"), ("4000 lb", "1102 lb"), ("4000", "1102 lb"), ("99999 oz", "17637 oz")],
)
def test_absurd_mass_names_the_limit_in_the_unit_typed(text: str, limit: str) -> None:
    """A four-ton chair is refused with the limit in the unit that was typed."""
    with pytest.raises(BadValue, match=f"above the most allowed, {limit}"):
        q.read_mass_kg(text, high=500.0)


def test_caller_settles_the_comma() -> None:
    """A column that is known to use decimal commas settles the two ambiguous forms, both ways."""
    assert q.read_mass_kg("1,234 kg", decimal_comma=True) == 1.234
    assert q.read_mass_kg("1.234 kg", decimal_comma=True) == 1234.0
    assert q.read_mass_kg("1,234 kg", decimal_comma=False) == 1234.0
    assert q.read_mass_kg("1.234 kg", decimal_comma=False) == 1.234
    # Text that settles itself is not overruled.
    assert q.read_mass_kg("12,5 kg", decimal_comma=False) == 12.5
    assert q.read_mass_kg("1,234.5 kg", decimal_comma=True) == 1234.5


@pytest.mark.parametrize(
    ("text", "count"), [("3", 3), ("3 pcs", 3), ("x3", 3), ("3x", 3), ("\u00d72", 2), ("0", 0)]
)
def test_count_is_read(text: str, count: int) -> None:
    """Counts are read with the marks people put on them."""
    assert q.read_count(text) == count


@pytest.mark.parametrize("text", ["2.5", "-1", "two", "3 lb", "", "1,000", "2000", "1e999"])
def test_count_is_refused(text: str) -> None:
    """What is no whole number from 0 to 1000 is no count."""
    with pytest.raises(BadValue, match="count"):
        q.read_count(text)


def refusal(read: Callable[..., float], text: str) -> BadValue | None:
    """Return the refusal of `text`, or None when it reads as a number in range."""
    try:
        value = read(text, high=100.0)
    except BadValue as error:
        return error
    assert 0 <= value <= 100.0
    return None


@pytest.mark.parametrize("quantity", sorted(READERS))
@given(text=st.text(max_size=90) | st.text(alphabet="0123456789.,'\"/- eE+lbkgoztfin", max_size=24))
def test_any_text_reads_or_is_refused_by_name(quantity: str, text: str) -> None:
    """No text, wild or made of the letters of quantities, does anything but read or raise BadValue."""
    error = refusal(READERS[quantity], text)
    assert error is None or (error.value == text and error.cure)


def test_short_table_of_units_agrees_with_pint() -> None:
    """The words that are answered without pint are worth exactly what pint says."""
    import pint

    registry: Any = pint.UnitRegistry(non_int_type=Fraction, cache_folder=None)
    for dimension, words in unit_names._COMMON.items():
        for word, worth in words.items():
            by_pint = registry.convert(Fraction(1), word, unit_names.DIMENSIONS[dimension].si)
            assert by_pint == worth, (dimension, word)


def test_admitted_units_are_units_of_their_dimension() -> None:
    """Every unit that a dimension admits is one, so no conversion can fail or change its meaning."""
    registry = unit_names._registry()
    for dimension in unit_names.DIMENSIONS.values():
        for name in dimension.admits:
            assert registry.get_dimensionality(name) == registry.get_dimensionality(dimension.si), name


def test_import_loads_only_the_standard_library() -> None:
    """Reading the commonest units never loads pint; importing the door loads nothing big."""
    code = (
        "import sys; from loadcalc.model import quantities as q; q.read_mass_kg('38 lb'); q.US.density(1.0);"
        "print([name for name in ('pint', 'numpy', 'pandas', 'scipy') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


@pytest.mark.parametrize(
    ("text", "left_in"),
    [
        ("15 in right", -15), ("15 right", -15), ("right 15", -15), ("Right 1 ft 3 in", -15), ("-15", -15),
        ("\u221215 in", -15), ("13 in left", 13), ("left 13", 13), ("13", 13), ("0 in", 0), ("0 in right", 0),
    ],
)  # fmt: skip
def test_a_place_to_the_side_is_read(text: str, left_in: float) -> None:
    """Left counts up, right counts down; a word or a sign tells which."""
    assert q.read_sideways_m(text) == pytest.approx(left_in * IN, abs=1e-12)
    assert math.copysign(1.0, q.read_sideways_m("0 in right")) == 1.0


@pytest.mark.parametrize("text", ["right", "-15 in right", "left 15 right", "15 in rightward", "right 200 in", ""])
def test_a_place_to_the_side_that_is_not_clear_is_refused(text: str) -> None:
    """No side twice, no sign beside a word, nothing farther out than a vehicle is wide."""
    with pytest.raises(BadValue) as refused:
        q.read_sideways_m(text, field="left or right of center")
    assert refused.value.value == text


@given(left_m=st.floats(-3.0, 3.0), units=st.sampled_from([q.US, q.SI]))
def test_a_place_to_the_side_survives_its_own_text(left_m: float, units: q.Units) -> None:
    """Text to SI to text is exact at the digits shown, and the side never changes."""
    text = units.sideways(left_m)
    read_m = q.read_sideways_m(text, unit=units.length_unit, most=3.01)
    assert units.sideways(read_m) == text
    assert abs(read_m - left_m) <= units.scale("length").half_digit(left_m) + 1e-9
    assert "-" not in text
    assert "\u2212" not in text


@given(mass_kg=st.floats(0.0, 39_000.0), units=st.sampled_from([q.US, q.SI]))
def test_a_mass_survives_its_own_text_with_thousands_marks(mass_kg: float, units: q.Units) -> None:
    """What a cell shows, a page in the same units reads; "1,250 lb" by itself stays two numbers elsewhere."""
    text = units.mass(mass_kg)
    read_kg = q.read_mass_kg(text, unit=units.mass_unit, decimal_comma=units.decimal_comma)
    assert units.mass(read_kg) == text
    assert read_kg == pytest.approx(mass_kg, rel=0.006, abs=0.0005)


def test_only_a_page_that_writes_thousands_so_reads_them_so() -> None:
    """Groups of three in a US cell; a decimal comma stays one there; files and metric pages still refuse."""
    assert q.read_mass_kg("6,610 lb", decimal_comma=q.US.decimal_comma) == pytest.approx(6610 * LB, rel=1e-12)
    assert q.read_mass_kg("17,2 kg", decimal_comma=q.US.decimal_comma) == pytest.approx(17.2, rel=1e-12)
    for comma in (None, q.SI.decimal_comma):
        with pytest.raises(BadValue, match="thousands or a decimal"):
            q.read_mass_kg("6,610 lb", decimal_comma=comma)
    with pytest.raises(BadValue, match="odd places"):
        q.read_mass_kg("66,10,300 lb", decimal_comma=q.US.decimal_comma)
