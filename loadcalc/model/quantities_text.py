"""From typed text to numbers and unit words, with nothing evaluated and nothing guessed.

A quantity is one to three parts, each a number and a unit word: "38 lb", "2 1/2 gal", "6 ft 2 in", "17,2 kg".

A digit of any script, full-width and mathematical ones included, is that digit; "½" is a half, with or without a
whole before it; a raised 2 or 3 that ends the text behind a unit belongs to the unit ("ft³", "㎥"). Every other sign
that means or holds a number (a footnote's ², ①, ₂, Ⅷ, ⒈) is refused, for folded into plain digits it would change the
number: 38² would be 382. Invisible marks that spreadsheets leave behind are passed over; those that turn the direction
of text are refused, for what is read would not be what is seen.
"""

from __future__ import annotations

import re
import unicodedata
from fractions import Fraction
from typing import NamedTuple

from loadcalc.model.marks import TURNING, seen

LONGEST_TEXT = 80
FIX = 'write a number and a unit, such as "38 lb"'

_MARKS = str.maketrans({
    "\u2212": "-", "\u2010": "-", "\u2011": "-", "\u2012": "-", "\u2013": "-", "\u2014": "-", "\ufe63": "-",
    "\u2019": "'", "\u2018": "'", "\u00b4": "'", "`": "'", "\u2032": "'",
    "\u201c": '"', "\u201d": '"', "\u201e": '"', "\u2033": '"', "\u00d7": "x", "\u2044": "/",
})  # fmt: skip
_ALIKE = ("<wide>", "<narrow>", "<square>", "<compat>")  # other ways to draw a character, with the same meaning
_CUBE = re.compile(r"(?:(?<=[A-Za-z])[²³]|[\u33a0-\u33a6])(?=\s*$)")  # "ft³", and "㎠" to "㎦"

_FRACTION = r"(?:(?P<whole>\d+)(?:\s+|-))?(?P<top>\d+)\s*/\s*(?P<bottom>\d+)(?![\d.,/])"
_DECIMAL = r"(?P<decimal>(?:\d{1,3}(?: \d{3})+(?!\d)(?:[.,]\d+)?|[.,]?\d[\d.,]*)(?:[eE](?P<power>[+-]?\d+))?)"
_WORD = r"(?!(?:and|to)\b)[^\W\d_]+"
_UNIT = rf"(?P<unit>'|\"|\#|{_WORD}(?:[ ./*_-]+{_WORD})*\.?(?:\^?[23](?=\s*$))?)?"
_PART = re.compile(rf"\s*(?:{_FRACTION}|{_DECIMAL})\s*{_UNIT}\s*")
_JOINT = re.compile(r"(?:,|and\b|(?P<dash>-))?\s*")
_FEET = ("'", "ft", "feet", "foot")  # 6'-2" is how drawings write it; any other dash may be a minus
_ABOUT = re.compile(r"^(?:~|≈|(?:about|approx|approximately|circa|ca|est)\b)|\?|\+/-|±", re.I)
_RANGE = re.compile(r"\d\s*[A-Za-z]*\s*(?:-|\bto\b|\.\.+)\s*\d")
_NOT_FINITE = re.compile(r"[+-]?\s*(nan|inf|infinity|∞)\b", re.I)
_MONTH = (
    "(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|sept?(?:ember)?|oct(?:ober)?|"
    "nov(?:ember)?|dec(?:ember)?)"
)
_DATE = re.compile(
    rf"\d{{1,4}}([-/.])\d{{1,2}}\1\d{{1,4}}(?:[ T][\d:.]+)?|\d{{1,2}}[- ]{_MONTH}(?:[- ,]+\d{{2,4}})?|"
    rf"{_MONTH}[- ]\d{{1,4}}(?:[ ,]+\d{{4}})?",
    re.I,
)


class TextPart(NamedTuple):
    """A number and the unit word that stands behind it ("" when none does).

    unsettled : the numeral when its lone point may part thousands and nobody told, as in "1.330"; else "".
    """

    number: Fraction
    unit: str
    unsettled: str = ""


class Unreadable(Exception):
    """Text that is not one clear quantity: says what is wrong and what to write instead."""

    def __init__(self, problem: str, cure: str = FIX) -> None:
        self.problem = problem
        self.cure = cure
        super().__init__(problem, cure)


def clean(text: str) -> str:
    """Return `text` in plain characters: ASCII digits, marks and spaces, "½" as " 1/2 ".

    A sign that holds a number and is no digit stays as it is, so that whoever reads on refuses it.
    """
    if not text.isascii():
        unit = _CUBE.sub(lambda found: unicodedata.normalize("NFKC", found[0]), seen(text))
        text = "".join(map(_plain_letter, unit.translate(_MARKS)))
    return re.sub(r"\s+", " ", text.translate(_MARKS).replace("''", '"')).strip()


def _plain_letter(letter: str) -> str:
    digit = unicodedata.decimal(letter, None)
    if digit is not None:
        return str(digit)
    way = unicodedata.decomposition(letter).partition(" ")[0]
    plain = unicodedata.normalize("NFKC", letter)
    if way == "<fraction>" and plain[-1].isdigit():  # spaces part it from what stands beside it: "½7" is not 1/27
        return f" {plain} "
    holds_number = unicodedata.numeric(letter, None) is not None or re.search(r"\d", plain)
    return plain if (way in _ALIKE or way[:1] != "<") and not holds_number else letter


def parts(text: str, *, decimal_comma: bool | None = None) -> tuple[bool, tuple[TextPart, ...]]:
    """Split a typed quantity into its sign and its parts.

    Parameters
    ----------
    text : as typed, at most 80 characters.
    decimal_comma : settles "1,234" and "1.234" when nothing in the text does. True: the comma is the decimal
        mark. False: the point is. None: "1,234" is refused, "1.234" is a little over one and said to be unsettled.

    Returns
    -------
    (True when there is a minus sign, the parts from left to right).
    """
    if len(text) > LONGEST_TEXT:
        raise Unreadable(f"is longer than {LONGEST_TEXT} characters")
    plain = clean(text)
    negative = plain.startswith("-")
    body = plain[1:].strip() if plain[:1] in ("+", "-") else plain
    _refuse_known_trouble(plain, body)
    found: list[TextPart] = []
    at = 0
    while at < len(body):
        match = _PART.match(body, at)
        if match is None or len(found) == 3:
            raise _unclear(body)
        found.append(_part(match, decimal_comma))
        at = match.end()
        if found[-1].unit and at < len(body):
            at = _after_joint(body, at, found[-1].unit)
    return negative, _joined(found, body)


def looks_like_date(text: str) -> bool:
    """Tell whether a cell holds a date, as spreadsheets make of "3-4" or "1/2/24"."""
    return _DATE.fullmatch(clean(text)) is not None


def _refuse_known_trouble(plain: str, body: str) -> None:
    if not plain:
        raise Unreadable("is empty")
    if re.search(f"[{TURNING}]", plain):
        raise Unreadable("holds a mark that turns the direction of text", "type it again, do not paste it")
    if odd := [c for c in plain if not c.isascii() and unicodedata.numeric(c, None) is not None]:
        raise Unreadable(f'has "{odd[0]}", which is no plain digit', 'write plain digits, such as "38 lb"')
    if _NOT_FINITE.match(plain):
        raise Unreadable("is not a finite number")
    if looks_like_date(plain):
        raise Unreadable("looks like a date", "type the number again; a spreadsheet may have made it a date")
    if _ABOUT.search(plain):
        raise Unreadable("is marked as a guess", "write the plain number, and mark it estimated elsewhere")
    if body[:1] in "+-" or not re.search(r"\d", body):
        raise Unreadable("is not a number")


def _unclear(body: str) -> Unreadable:
    if _RANGE.search(body):
        return Unreadable("is a range", "give one number")
    if re.match(r"[^\d.,]", body):
        return Unreadable("cannot be read as a number with a unit", f"{FIX}, the number first")
    return Unreadable("cannot be read as one number with a unit")


def _after_joint(body: str, at: int, unit: str) -> int:
    """Step over what may stand between two parts: "6 ft, 2 in", "12 lb and 4 oz", "6'-2"."""
    joint = _JOINT.match(body, at)
    after = joint.end() if joint else at
    if joint and joint["dash"] and not (unit.casefold() in _FEET and " " not in body[at - 1 : after]):
        raise Unreadable("has a dash between two parts, which may be a minus", 'write it as in "12 lb 4 oz"')
    if after == len(body):
        raise Unreadable("ends with a loose mark")
    return after


def _joined(found: list[TextPart], body: str) -> tuple[TextPart, ...]:
    """Return the parts, refusing two numbers that no unit keeps apart; 6'2 is six feet two inches."""
    if len(found) == 2 and found[0].unit == "'" and not found[1].unit:
        return found[0], TextPart(found[1].number, '"')
    if len(found) > 1 and not all(part.unit for part in found):
        if _RANGE.search(body):
            raise _unclear(body)
        raise Unreadable("holds two numbers", 'give each its unit, such as "12 lb 4 oz"')
    return tuple(found)


def _part(match: re.Match[str], decimal_comma: bool | None) -> TextPart:
    digits, unit = match["decimal"], match["unit"] or ""
    lone = bool(digits) and not match["power"] and "." in digits and not decimal_mark(digits)
    return TextPart(_number(match, decimal_comma), unit, digits if lone and decimal_comma is None else "")


def _number(match: re.Match[str], decimal_comma: bool | None) -> Fraction:
    if match["decimal"] is None:
        return _fraction(match)
    digits = match["decimal"]
    power = match["power"]
    if power is None:
        return numeral(digits, decimal_comma)
    if len(power.lstrip("+-")) > 3:
        raise Unreadable("is far out of any range", "check the number and its unit")
    mantissa = re.split("[eE]", digits)[0]
    return numeral(mantissa, decimal_comma) * Fraction(10) ** int(power)


def _fraction(match: re.Match[str]) -> Fraction:
    top, bottom = int(match["top"]), int(match["bottom"])
    if bottom == 0:
        raise Unreadable("is divided by zero", 'write a fraction such as "1/2"')
    if match["whole"] and top >= bottom:
        raise Unreadable("has a fraction of one or more after a whole number", 'write it as in "2 1/2"')
    return int(match["whole"] or 0) + Fraction(top, bottom)


def decimal_mark(digits: str) -> str:
    """Return the mark that a numeral itself shows to be its decimal mark, "" when it shows none.

    "1.234,5" and "12,5" show a comma; "1,234,567" shows that it would be the point; "1,234" shows nothing.
    """
    body = digits.replace(" ", "")
    marks = [letter for letter in body if letter in ".,"]
    if not marks:
        return ""
    if len(set(marks)) == 2:
        return marks[-1]
    if len(marks) > 1:
        return "." if marks[0] == "," else ","
    whole, decimals = body.split(marks[0])
    could_group = len(decimals) == 3 and 1 <= len(whole) <= 3 and whole[0] != "0" and " " not in digits
    return "" if could_group else marks[0]


def numeral(digits: str, decimal_comma: bool | None = None) -> Fraction:
    """Read a numeral that may hold points, commas and spaces as decimal or grouping marks.

    "1,234.5", "1.234,5" and "1 234,5" settle themselves. "1,234" does not: it is refused unless
    `decimal_comma` says which mark is which (see :func:`parts`).
    """
    body = digits.replace(" ", "")
    mark = decimal_mark(digits)
    if not mark and "," in body and decimal_comma is None:
        raise two_ways(body)
    mark = mark or ("," if decimal_comma else ".")
    return _as_decimal(body, mark) if mark in body else _as_grouped(body, "." if mark == "," else ",")


def two_ways(digits: str) -> Unreadable:
    """Return the refusal of "1,234" or "1.234": each of the two numbers written so that it asks nothing more."""
    whole, decimals = re.split("[.,]", digits)
    settled = decimals.rstrip("0") if decimals[-1] == "0" else f"{decimals}0"
    return Unreadable("may be thousands or a decimal", f'write "{whole}{decimals}" or "{whole}.{settled or 0}"')


def _as_decimal(body: str, mark: str) -> Fraction:
    whole, _, decimals = body.rpartition(mark)
    if mark in whole:
        raise Unreadable("has its marks in odd places", 'write it plainly, such as "1234.5"')
    if "." in whole or "," in whole:
        whole = str(_as_grouped(whole, "." if mark == "," else ","))
    return Fraction(f"{whole or 0}.{decimals or 0}")


def _as_grouped(body: str, mark: str) -> Fraction:
    if mark not in body:
        return Fraction(body)
    if not re.fullmatch(rf"[1-9]\d{{0,2}}(?:{re.escape(mark)}\d{{3}})+", body):
        raise Unreadable("has its marks in odd places", 'write it plainly, such as "1234.5"')
    return Fraction(body.replace(mark, ""))
