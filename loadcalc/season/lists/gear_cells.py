"""One cell of a gear list at a time: text to mass, size, count, and words. Nothing empty becomes a zero.

Read otherwise than a table of ours (`tables/cells.py`) on purpose: a stranger writes units, guesses, and ticks.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from typing import NamedTuple

from loadcalc.model import quantities as q
from loadcalc.model.errors import BadValue
from loadcalc.model.marks import seen
from loadcalc.model.quantities_text import LONGEST_TEXT, clean, decimal_mark
from loadcalc.model.space import Size
from loadcalc.model.things import LARGEST_ITEM_KG
from loadcalc.season.lists.raw_table import DATE, ERROR, FORMULA, NUMBER, RawCell

KNOWN_WORDS = {
    "weighed": ("weighed", "weighted", "measured", "scale", "on a scale", "weigh-in", "w"),
    "label": ("label", "maker", "from the maker", "manufacturer", "spec", "specs", "catalog", "l"),
    "estimated": ("estimated", "estimate", "est", "guess", "guessed", "approx", "approximate", "about", "e"),
}
YES = frozenset({"yes", "y", "true", "x", "1", "✓", "✔"})
NO = frozenset({"no", "n", "false", "0", "-", "–"})
_UNKNOWN = frozenset({"?", "??", "???", "-", "--", "n/a", "na", "tbd", "tba", "unknown", "none", "x", "..."})
_ABOUT_BEFORE = re.compile(
    r"^(?:~|≈|(?:about|around|roughly|approximately|approx|circa|ca|est|estimated)\b\.?)\s*", re.I
)
_ABOUT_AFTER = re.compile(r"\s*(?:\?+|\(?\b(?:est|estimated|estimate|approx|guess|or so)\b\.?\)?)$", re.I)
_NO_NUMBERS = {
    DATE: ("is a date in the spreadsheet", "format the column as numbers and type it again"),
    FORMULA: ("is a formula without a stored result", "open the file in a spreadsheet and save it again"),
    ERROR: ("is a spreadsheet error", "correct the formula, or type the number"),
}
_ERROR_TEXT = re.compile(r"#[A-Z/0]+[!?]?|Err:\d+")
_PLUS_MINUS = re.compile(r"\s*(?:±|\+/-|\+-)\s*")
_BETWEEN_SIDES = re.compile(r"\s*(?:[x*]|\bby\b)\s*", re.I)
_NUMERAL = re.compile(r"(?<![\w.,])[\d.,][\d., ]*(?<![ .,])")


class MassRead(NamedTuple):
    """A mass [kg], whether it was marked as a guess, and the doubt [kg] when one was given."""

    mass_kg: float
    estimated: bool = False
    plus_minus_kg: float | None = None


class Reading(NamedTuple):
    """How a column of numbers is read: unit of a bare number, the comma, and the words for messages."""

    unit: str
    field: str
    where: str
    decimal_comma: bool | None = None


def tidy(text: str) -> str:
    """Return text on one line, without control marks, doubled spaces, or marks that no file can hold."""
    if text.isascii() and text.isprintable():
        return re.sub(r" +", " ", text).strip()
    kept = "".join(c for c in seen(text) if unicodedata.category(c) not in ("Cc", "Cs") or c.isspace())
    return re.sub(r"\s+", " ", kept.replace("\ufffe", "").replace("\uffff", "")).strip()


def same_name(text: str) -> str:
    """Return the form in which two names are the same: case, spacing, and accents' encoding do not count."""
    return unicodedata.normalize("NFKC", tidy(text)).casefold()


def decimal_marks(texts: Iterable[str]) -> set[str]:
    """Return the decimal marks in cells that can be read in one way only: "12,5", "0,75" or "1.234,5" for a comma."""
    plain = (clean(text) for text in texts if len(text) <= LONGEST_TEXT)
    return {decimal_mark(found.strip()) for text in plain for found in _NUMERAL.findall(text)} - {""}


def decimal_comma(cells: Iterable[RawCell]) -> bool | None:
    """Tell from all cells of a column what its comma is: True decimal, False not, None no or mixed evidence."""
    marks = decimal_marks(cell.text for cell in cells if cell.kind != NUMBER)
    return None if len(marks) != 1 else marks == {","}


def read_mass(cell: RawCell, how: Reading, high_kg: float = LARGEST_ITEM_KG) -> MassRead:
    """Return the mass in a cell, up to `high_kg` [kg]: "12 lb", "~12", "12 lb ± 0.5", or a bare number."""
    text = _usable(cell, how, "weigh it, or give a guess such as ~12 lb")
    body = text.strip()
    before, after = _ABOUT_BEFORE.match(body), _ABOUT_AFTER.search(body)
    if after and re.search(r"\d", body[: after.start()]):
        body = body[: after.start()]
    else:
        after = None
    body = body[before.end() :] if before else body
    halves = _PLUS_MINUS.split(body)
    if len(halves) > 2:
        raise BadValue(how.field, cell.text, "cannot be read", 'write it as in "12 lb ± 0.5 lb"', how.where)
    # A unit behind either half is that of both: "12 ± 1 kg".
    shared = how._replace(unit=_unit_in(halves[-1]) or _unit_in(halves[0]) or how.unit)
    try:
        mass_kg = _mass(halves[0], shared, high_kg)
        shared = shared._replace(unit=_unit_in(halves[0]) or shared.unit)
        doubt_kg = _mass(halves[1], shared, high_kg) if halves[1:] else None
    except BadValue as error:
        raise BadValue(how.field, cell.text, error.problem, error.cure, how.where) from None
    return MassRead(mass_kg, bool(before or after), doubt_kg)


def _mass(text: str, how: Reading, high_kg: float) -> float:
    unit, field, where, comma = how
    return q.read_mass_kg(text, unit=unit, field=field, where=where, high=high_kg, decimal_comma=comma)


def _unit_in(text: str) -> str:
    found = re.search(r"(?:[A-Za-z]+\.?|['\"])\s*$", text)
    return found[0].strip() if found else ""


def read_length(cell: RawCell, how: Reading) -> float:
    """Return the length in a cell [m]."""
    text = _usable(cell, how, "measure it, or leave all three sides empty")
    return _length(text, how)


def _length(text: str, how: Reading) -> float:
    if not how.unit and re.fullmatch(r"[\d.,\s/]+", clean(text)):
        # A bare 60 may be millimeters or centimeters, and both are common.
        cure = "put it in the header, such as (mm) or (cm)"
        raise BadValue(how.field, text, "has no unit", cure, how.where)
    unit, field, where, comma = how
    return q.read_length_m(text, unit=unit or "m", field=field, where=where, decimal_comma=comma)


def read_size(cell: RawCell, how: Reading) -> Size:
    """Return the box in a cell: "24 x 18 x 12 in"; a unit behind the last side is that of all."""
    text = _usable(cell, how, "measure it, or leave it empty")
    sides = _BETWEEN_SIDES.split(clean(text))
    if len(sides) != 3:
        cure = 'write it as in "24 x 18 x 12 in"'
        raise BadValue(how.field, cell.text, "is not three lengths", cure, how.where)
    unit = _unit_in(sides[2]) or how.unit
    try:
        length_m, width_m, height_m = (_length(side, how._replace(unit=unit)) for side in sides)
    except BadValue as error:
        raise BadValue(how.field, cell.text, error.problem, error.cure, how.where) from None
    return Size(length_m=length_m, width_m=width_m, height_m=height_m)


def read_count(cell: RawCell, how: Reading) -> int:
    """Return the whole number in a cell."""
    text = _usable(cell, how, "count whole pieces, such as 3")
    return q.read_count(text, field=how.field, where=how.where, decimal_comma=how.decimal_comma)


def read_known(cell: RawCell, where: str) -> str:
    """Return how a mass is known: "weighed", "label" or "estimated"."""
    word = clean(cell.text).casefold().rstrip(".?")
    for known, words in KNOWN_WORDS.items():
        if word in words:
            return known
    cure = f"write one of: {', '.join(KNOWN_WORDS)}"
    raise BadValue("how known", cell.text, "is not a known choice", cure, where)


def read_yes_no(cell: RawCell, field: str, where: str) -> bool:
    """Return a yes or no."""
    word = clean(cell.text).casefold()
    if word in YES or word in NO:
        return word in YES
    raise BadValue(field, cell.text, "is neither yes nor no", "write yes or no", where)


def _usable(cell: RawCell, how: Reading, cure: str) -> str:
    """Return a number cell's text, refusing what a spreadsheet made of it and what stands for "not known"."""
    text = cell.text.strip()
    if len(text) > LONGEST_TEXT:
        problem = f"is longer than {LONGEST_TEXT} characters"
        raise BadValue(how.field, text, problem, "write the number and its unit", how.where)
    kind = ERROR if _ERROR_TEXT.fullmatch(text) else FORMULA if text.startswith("=") else cell.kind
    if kind in _NO_NUMBERS:
        raise BadValue(how.field, text, *_NO_NUMBERS[kind], how.where)
    if not text:
        raise BadValue(how.field, "", "is empty", cure, how.where)
    if text.casefold() in _UNKNOWN:
        raise BadValue(how.field, text, "is not known", cure, how.where)
    return text
