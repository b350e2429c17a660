"""What a unit word is worth in SI, as an exact fraction.

The commonest words are answered from a short table, so that reading "38 lb" loads nothing. Every other word
is looked up by pint, which is handed a bare name and never an expression. Pint knows words that no gear list
means ("3 pinch" would be three pico-inches), so each dimension lists the units that it admits.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Any

POUND = Fraction(45_359_237, 100_000_000)  # [kg] exact, NIST SP 811 App. B.8 footnote 22
INCH = Fraction(254, 10_000)  # [m] exact, NIST SP 811 App. B.8
GALLON = 231 * INCH**3 * 1000  # [L] exact, NIST Handbook 44 App. C: 231 cubic inches
FINEST = Fraction(1, 1000)  # of the SI unit; nobody writes thousandths of such a unit, so that 1.330 g may be 1330 g
PSI = POUND * Fraction(980_665, 100_000) / INCH**2 / 1000  # [kPa] pound-force on a square inch, g_n exact


@dataclass(frozen=True, slots=True, kw_only=True)
class Dimension:
    """A kind of quantity: its SI unit for pint, an example to copy, and the pint names that it admits."""

    name: str
    si: str
    example: str
    admits: frozenset[str]


def _dimension(name: str, si: str, example: str, admits: str) -> Dimension:
    return Dimension(name=name, si=si, example=example, admits=frozenset(admits.split()))


DIMENSIONS = {
    "mass": _dimension(
        "mass", "kilogram", "38 lb",
        "gram kilogram milligram metric_ton pound ounce stone ton long_ton hundredweight US_hundredweight "
        "long_hundredweight UK_hundredweight grain dram troy_ounce slug",
    ),
    "volume": _dimension(
        "volume", "liter", "2.5 gal",
        "liter milliliter centiliter deciliter hectoliter cubic_centimeter cubic_foot cubic_yard "
        "gallon quart pint cup fluid_ounce tablespoon teaspoon imperial_gallon imperial_quart imperial_pint "
        "imperial_fluid_ounce",
    ),
    "length": _dimension(
        "length", "meter", "6 ft 2 in", "meter millimeter centimeter decimeter kilometer inch foot yard mile"
    ),
    "pressure": _dimension(
        "pressure", "kilopascal", "35 psi",
        "pascal hectopascal kilopascal megapascal bar millibar standard_atmosphere "
        "pound_force_per_square_inch",
    ),
}  # fmt: skip

_COMMON: dict[str, dict[str, Fraction]] = {
    "mass": {
        "lb": POUND, "lbs": POUND, "pound": POUND, "pounds": POUND, "oz": POUND / 16, "ounces": POUND / 16,
        "kg": Fraction(1), "g": Fraction(1, 1000),
    },
    "volume": {"gal": GALLON, "qt": GALLON / 4, "L": Fraction(1), "l": Fraction(1), "mL": Fraction(1, 1000)},
    "length": {
        "in": INCH, "inches": INCH, "ft": 12 * INCH, "feet": 12 * INCH,
        "mm": Fraction(1, 1000), "cm": Fraction(1, 100), "m": Fraction(1),
    },
    "pressure": {"psi": PSI, "kPa": Fraction(1), "bar": Fraction(100)},
}  # fmt: skip

# Words that people write and pint does not know, by the name that it does.
_SPELLINGS = {
    "st": "stone", "lbm": "pound", "kgs": "kilogram", "kilo": "kilogram", "kilos": "kilogram", "gm": "gram",
    "gms": "gram", "gramme": "gram", "grammes": "gram", "kilogramme": "kilogram", "kilogrammes": "kilogram",
    "'": "foot", '"': "inch", "ltr": "liter", "ltrs": "liter", "psig": "psi", "kpa": "kilopascal",
    "mpa": "megapascal", "lb in2": "psi", "pounds per square inch": "psi", "pound per square inch": "psi",
    "us gal": "gallon", "us gallon": "gallon", "us gallons": "gallon", "imp gal": "imperial_gallon",
    "uk gal": "imperial_gallon", "uk gallons": "imperial_gallon", "fl oz": "fluid_ounce",
    "floz": "fluid_ounce", "oz fl": "fluid_ounce", "us fl oz": "fluid_ounce",
    "imp fl oz": "imperial_fluid_ounce",
}  # fmt: skip

# Words with two common meanings. Guessing either could put a load 10 % or a thousandfold wrong.
_TWO_MEANINGS = {
    "ton": ("may be 2000 lb or 1000 kg", 'write "2000 lb", "short ton" or "tonne"'),
    "tons": ("may be 2000 lb or 1000 kg", 'write "2000 lb", "short tons" or "tonnes"'),
    "Mg": ("may be milligrams or tonnes", 'write "mg" or "tonne"'),
    "#": ("is not a unit here", 'write "lb" for pounds'),
}

_KINDS = {
    "kilogram": "a mass", "liter": "a volume", "meter": "a length", "pascal": "a pressure",
    "newton": "a force", "second": "a time", "meter**2": "an area", "joule": "an energy",
    "meter/second": "a speed",
}  # fmt: skip


class UnknownUnit(Exception):
    """A unit word that cannot be used: says what is wrong with it and what to write instead."""

    def __init__(self, problem: str, cure: str) -> None:
        self.problem = problem
        self.cure = cure
        super().__init__(problem, cure)


@lru_cache(maxsize=1)
def _registry() -> Any:
    """Return the one pint registry, in exact fractions. Loaded at the first uncommon unit, not before."""
    import pint

    return pint.UnitRegistry(non_int_type=Fraction, cache_folder=None)


def plain(word: str) -> str:
    """Return a unit word without dots, carets, underscores, or doubled spaces ("fl. oz." -> "fl oz")."""
    return re.sub(r"[\s._^*/]+", " ", word).strip()


@lru_cache(maxsize=512)
def factor(dimension: str, word: str) -> Fraction:
    """Return what one `word` is in the dimension's SI unit.

    Parameters
    ----------
    dimension : "mass" [kg], "volume" [L], "length" [m], "pressure" [kPa] or "density" [kg/L].
    word : the unit as typed ("lb", "Fl. oz", "cu ft", "lb/gal").

    Raises
    ------
    UnknownUnit when the word is not a unit, measures something else, or has two meanings.
    """
    if dimension == "density":
        return _density_factor(word)
    name = plain(word)
    if name in _TWO_MEANINGS:
        problem, cure = _TWO_MEANINGS[name]
        raise UnknownUnit(f'has "{name}", which {problem}', cure)
    for spelled in dict.fromkeys((name, name.lower())):
        if _common_kind(spelled) not in ("", dimension):
            break
        found = _one_spelling(dimension, spelled)
        if found is not None:
            return found
    raise _not_usable(dimension, name)


def _common_kind(name: str) -> str:
    """Return the dimension that a common unit word belongs to, "" for any other word."""
    return next((dimension for dimension, words in _COMMON.items() if name in words), "")


def _one_spelling(dimension: str, name: str) -> Fraction | None:
    common = _COMMON[dimension].get(name)
    if common is not None:
        return common
    if dimension == "volume":
        cube = re.fullmatch(r"(?:cu|cubic) (\w+)|([a-z]+) ?3", name)
        if cube:
            return _cube(cube[1] or cube[2])
    return _by_pint(dimension, _SPELLINGS.get(name, name).replace(" ", "_"))


def _cube(side: str) -> Fraction | None:
    """Return the volume of a cube of one `side` [L], or None when `side` is no length."""
    try:
        return factor("length", side) ** 3 * 1000
    except UnknownUnit:
        return None


def _pint_names(name: str) -> list[str]:
    """Return what pint may take `name` for. A name is letters and underscores: nothing to be worked out."""
    if not re.fullmatch(r"[A-Za-zµμ_]{1,40}", name):
        return []
    return [prefix + unit for prefix, unit, _ in _registry().parse_unit_name(name)]


def _by_pint(dimension: str, name: str) -> Fraction | None:
    kind = DIMENSIONS[dimension]
    for candidate in _pint_names(name):
        if candidate in kind.admits:
            return Fraction(_registry().convert(Fraction(1), candidate, kind.si))
    return None


def _density_factor(word: str) -> Fraction:
    halves = re.split(r"\s*/\s*|\s+per\s+", word.strip())
    if len(halves) != 2:
        raise UnknownUnit(
            f'has "{word}", which is not a density', 'write it as in "8.3 lb/gal" or "0.75 kg/L"'
        )
    return factor("mass", halves[0]) / factor("volume", halves[1])


def _not_usable(dimension: str, name: str) -> UnknownUnit:
    """Build the error that says whether the word is unknown or measures something else."""
    example = DIMENSIONS[dimension].example
    if dimension == "volume" and name.lower() in ("oz", "ounce", "ounces"):
        return UnknownUnit(f'has "{name}", which is an ounce of mass', 'write "fl oz" for a volume')
    kind = _kind(name)
    if kind and kind != f"a {dimension}":  # a unit of the right kind that is not admitted is simply not known
        problem = f'has "{name}", which measures {kind}, not a {dimension}'
        return UnknownUnit(problem, f'give a {dimension}, such as "{example}"')
    problem = f'has "{name}", which is not a known unit of {dimension}'
    return UnknownUnit(problem, f'write it as in "{example}"')


def _kind(name: str) -> str:
    """Return what `name` measures ("a force"), or nothing when pint does not know it."""
    for spelled in dict.fromkeys((name, name.lower())):
        if _common_kind(spelled):
            return f"a {_common_kind(spelled)}"
        for dimension in _COMMON:
            if _one_spelling(dimension, spelled) is not None:
                return f"a {dimension}"
        candidates = _pint_names(spelled.replace(" ", "_"))
        if candidates:
            return _kind_by_pint(candidates[0])
    return ""


def _kind_by_pint(name: str) -> str:
    registry = _registry()
    wanted = registry.get_dimensionality(name)
    for reference, kind in _KINDS.items():
        if registry.get_dimensionality(reference) == wanted:
            return kind
    return "something else"
