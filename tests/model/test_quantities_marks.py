"""No mark beside, above, or in the place of a plain digit changes a number unseen: it reads the same, or is refused."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadcalc.model import quantities as q
from loadcalc.model.errors import BadValue

LB, OZ, IN = 0.45359237, 0.028349523125, 0.0254
EVERY = [chr(code) for code in range(0x80, 0x110000) if not 0xD800 <= code <= 0xDFFF]
# whatever is or holds a number to anybody: ², ①, ½, Ⅷ, ㍘, full-width and Arabic digits
NUMBERLIKE = [
    c for c in EVERY
    if unicodedata.numeric(c, None) is not None or any(d.isdigit() for d in unicodedata.normalize("NFKC", c))
]  # fmt: skip
DECORATED = [c for c in NUMBERLIKE if unicodedata.decimal(c, None) is None]
# marks that sit on their neighbor, and whatever is another way to draw a plain character: ｌ, ᵉ, ⁻, ․, a wide space
ON_A_NEIGHBOR = [c for c in EVERY if unicodedata.category(c) in ("Mn", "Me")]
REDRAWN = [c for c in EVERY if unicodedata.normalize("NFKC", c).isascii()]
SQUARED = "".join(map(chr, range(0x33A0, 0x33A7)))  # from ㎠ to ㎦
PLAIN = ["38 lb", "7 1/2 lb", "12 lb 4 oz", "1,234.5 kg", "1.2e3 g", "6 ft 2 in", "3 ft3", "-5 kg", "17,2 kg", "2 lb"]


def read(text: str) -> float | None:
    """Return what a text is to the first reader that takes it, None when all refuse it by name."""
    for reader in (q.read_mass_kg, q.read_length_m, q.read_volume_l):
        try:
            return reader(text)
        except BadValue:
            continue
    return None


@pytest.mark.parametrize(
    ("text", "mass_kg"),
    [
        ("½ lb", LB / 2), ("7 ½ lb", 7.5 * LB), ("7½ lb", 7.5 * LB), ("7½lb", 7.5 * LB), ("⅞ oz", 7 / 8 * OZ),
        ("３８ lb", 38 * LB), ("３８．５ ｌｂ", 38.5 * LB), ("𝟑𝟖 lb", 38 * LB), ("٣٨ lb", 38 * LB), ("38 ㎏", 38.0),
        ("38 lb 2 oz", 38.125 * LB), ("38 lb, 2 oz", 38.125 * LB),
    ],
)  # fmt: skip
def test_a_plain_number_in_other_letters_is_read(text: str, mass_kg: float) -> None:
    """Halves, full-width digits, and the digits of other scripts are numbers like any other."""
    assert q.read_mass_kg(text) == pytest.approx(mass_kg, rel=1e-12)


@pytest.mark.parametrize("text", ["2 ft³", "2 ㎥", "2 cm³ "])
def test_a_cube_behind_its_unit_is_read(text: str) -> None:
    """A raised 2 or 3 belongs to the unit when it ends the text."""
    plain = text.replace("³", "3").replace("㎥", "m3")
    assert q.read_volume_l(text, high=3000.0) == q.read_volume_l(plain, high=3000.0)


@pytest.mark.parametrize(
    "text",
    ["38² lb", "38①", "38① lb", "³8 lb", "38₂ lb", "3⒈5 lb", "⑶ lb", "38 lb²", "12 lb² oz", "1ᵉ3 lb", "Ⅷ lb", "7 ⅼb",
     "三 lb", "½7 lb", "½½ lb", "7½3 lb", "½.5 lb", "⅟8 lb"],
)  # fmt: skip
def test_a_decorated_digit_is_refused(text: str) -> None:
    """A footnote's ², a circled ①, and a half before its whole are no digits of the number: ask for plain ones."""
    with pytest.raises(BadValue) as refused:
        q.read_mass_kg(text)
    assert refused.value.value == text


@pytest.mark.parametrize(
    "text", ["38 lb - 2 oz", "38 lb -2 oz", "38 lb- 2 oz", "38 lb-2 oz", "38 lb − 2 oz", "38 lb – 2 oz", "6 ft - 2 in"]
)
def test_a_dash_between_two_parts_is_refused(text: str) -> None:
    """It may be a minus: 38 lb less 2 oz is not 38 lb 2 oz."""
    reader = q.read_length_m if "in" in text else q.read_mass_kg
    with pytest.raises(BadValue, match="dash") as refused:
        reader(text)
    assert "12 lb 4 oz" in refused.value.cure


@pytest.mark.parametrize("text", ["6'-2\"", "6'-2", "6 ft-2 in"])
def test_feet_and_inches_keep_their_dash(text: str) -> None:
    """A dash right behind the feet is how drawings write them, and can't be a minus that anybody means."""
    assert q.read_length_m(text) == pytest.approx(74 * IN, rel=1e-12)


@pytest.mark.parametrize("mark", ["\u202e", "\u202d", "\u2067", "\u200f", "\u200e", "\u061c"])
def test_a_mark_that_turns_the_direction_is_refused(mark: str) -> None:
    """Behind it 38 may stand on the screen as 83."""
    with pytest.raises(BadValue, match="direction of text"):
        q.read_mass_kg(f"{mark}38 lb")


def spelled(text: str) -> str | None:
    """Return what a text with marks says in plain letters, None when nobody could say for certain."""
    out = ""
    for place, letter in enumerate(text):
        decimal = unicodedata.decimal(letter, None)
        if decimal is not None:
            out += str(decimal)
        elif unicodedata.decomposition(letter).startswith("<fraction>"):
            half = Fraction(unicodedata.numeric(letter)).limit_denominator(10)
            out += f" {half.numerator}/{half.denominator} "
        elif not text[place + 1 :].strip() and (letter in SQUARED or (letter in "²³" and text[:place][-1:].isalpha())):
            out += unicodedata.normalize("NFKC", letter)
        elif letter in DECORATED or letter in ON_A_NEIGHBOR:
            return None
        else:
            out += unicodedata.normalize("NFKC", letter)
    return out


@given(
    st.sampled_from(PLAIN),
    st.lists(
        st.tuples(
            st.integers(0, 12),
            st.booleans(),
            st.sampled_from(NUMBERLIKE) | st.sampled_from(ON_A_NEIGHBOR) | st.sampled_from(REDRAWN),
        ),
        max_size=3,
    ),
)
def test_no_decoration_of_a_digit_changes_a_number(plain: str, marks: list[tuple[int, bool, str]]) -> None:
    """What is read is what the plain digits from left to right say; every other number sign is refused."""
    text = plain
    for place, instead, mark in marks:
        text = text[:place] + mark + text[place + instead :]
    found, said = read(text), spelled(text)
    assert found is None or (said is not None and found == read(said))


@pytest.mark.parametrize("text", ["1.330 g", "1.330", "1,330 g", "330.125 g"])
def test_a_point_that_may_be_thousands_is_asked_about_like_a_comma(text: str) -> None:
    """In a unit of which a thousand make one kilogram, nobody weighs thousandths: 1.330 g may be 1330 g."""
    with pytest.raises(BadValue, match="thousands or a decimal") as refused:
        q.read_mass_kg(text, unit="g")
    for way in refused.value.cure.split('"')[1::2]:  # the cure is itself read
        assert q.read_mass_kg(way, unit="g") > 0


def test_the_two_ways_to_write_it_are_told_apart() -> None:
    """Each of the two in the cure is read, and a column that shows its mark asks nothing."""
    with pytest.raises(BadValue, match=r'write "1330" or "1\.33"'):
        q.read_mass_kg("1.330 g")
    with pytest.raises(BadValue, match=r'write "1335" or "1\.3350"'):
        q.read_mass_kg("1.335 g")
    assert q.read_mass_kg("1.330 g", decimal_comma=True) == pytest.approx(1.33, rel=1e-12)
    assert q.read_mass_kg("1.330 g", decimal_comma=False) == pytest.approx(0.00133, rel=1e-12)
    assert q.read_mass_kg(1.33, unit="g") == pytest.approx(0.00133, rel=1e-12)
    assert q.read_mass_kg(1.331, unit="g", decimal_comma=True) == pytest.approx(0.001331, rel=1e-12)
    for fine in ("1.330 kg", "1.330 lb", "0.330 g", "1.33 g", "1330.125 g", "501.125 g"):
        assert q.read_mass_kg(fine, high=500.0) > 0
    for text, reader in (("1.200 mm", q.read_length_m), ("1.500 mL", q.read_volume_l), ("1.000", q.read_count)):
        with pytest.raises(BadValue, match="thousands or a decimal"):
            reader(text)


@given(
    st.integers(1000, 10**6).map(lambda digits: digits / 10**6) | st.floats(1e-3, 19.0),
    st.sampled_from(["length", "mass", "volume", "pressure", "density"]),
    st.sampled_from([q.US, q.SI]),
)
def test_what_a_cell_holds_is_read_back(si: float, quantity: str, units: q.Units) -> None:
    """Text for a cell comes back as the number it stands for, in a column that nobody knows anything else about."""
    scale = units.scale(quantity)
    readers: dict[str, Callable[..., float]] = {
        "length": q.read_length_m, "mass": q.read_mass_kg, "volume": q.read_volume_l, "pressure": q.read_pressure_kpa,
        "density": q.read_density_kg_per_l,
    }  # fmt: skip
    found = readers[quantity](scale.entry(si), unit=scale.unit)
    assert scale.same_entry(found, si)
    assert scale.entry(found) == scale.entry(si)


HUGE: list[Any] = [10**400, 10**5000, -(10**400), 1e308, "9" * 5000, "1" + "0" * 79, "1e400 kg", "9" * 79 + " kg"]


@pytest.mark.parametrize("value", HUGE, ids=range(len(HUGE)))
@pytest.mark.parametrize("reader", [q.read_mass_kg, q.read_length_m, q.read_count, q.read_sideways_m])
def test_a_number_beyond_all_is_refused_by_name(reader: Callable[..., float], value: Any) -> None:
    """Hundreds of digits raise the error that every bad cell raises, and its words fit on a line."""
    with pytest.raises(BadValue) as refused:
        reader(value, field="some field")
    assert "some field" in str(refused.value)
    assert len(str(refused.value)) < 300
