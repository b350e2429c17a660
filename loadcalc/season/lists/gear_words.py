"""The header words of gear lists: what each means, and the unit in it."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable

from loadcalc.model.unit_names import UnknownUnit, factor

# Field -> header words that mean it, the surest first: the first one found in a file gets the field.
SYNONYMS = {
    "key": ("key", "item key"),
    "name": (
        "item", "item name", "name", "gear", "gear item", "gear name", "thing", "article", "equipment",
        "what", "object", "product", "description", "item description",
    ),
    "mass": (
        "mass each", "weight each", "each", "unit weight", "unit mass", "item weight", "weight", "mass", "wt",
        "wgt", "weight ea", "wt each", "wt ea", "weight per item", "weight per piece", "weight of one",
    ),
    "count": (
        "count", "qty", "quantity", "how many", "pcs", "pieces", "amount", "# of items", "no of", "number of",
        "no of items", "number of items", "num", "number", "no", "#",
    ),
    "zone": (
        "zone", "where", "location", "place", "where it rides", "rides in", "goes in", "stowed", "stored",
    ),
    "kind": ("kind", "category", "type", "group", "section", "class"),
    "known": ("how known", "known", "known by", "how it is known", "basis"),
    "plus_minus": ("plus or minus", "plus minus", "uncertainty", "tolerance", "±"),
    "mass_unit": ("unit", "units", "uom", "weight unit", "unit of weight"),
    "size": (
        "size", "dimensions", "dims", "measurements", "l x w x h", "l w h", "length x width x height",
    ),
    "length": ("length", "long", "l", "len"),
    "width": ("width", "wide", "w"),
    "height": ("height", "high", "tall", "h"),
    "expendable": ("expendable", "consumable", "used up", "gets used up"),
    "note": ("notes", "note", "comment", "comments", "remarks", "remark"),
}  # fmt: skip
FIELDS = (*SYNONYMS, "total_mass")
LONGEST_HEADER = 60  # characters; a longer text is no column's name
WORDS = {
    "mass": "mass each", "total_mass": "total mass", "known": "how known", "plus_minus": "plus or minus",
    "mass_unit": "unit",
}  # fmt: skip
MEASURES = {
    "mass": "mass", "total_mass": "mass", "plus_minus": "mass",
    "size": "length", "length": "length", "width": "length", "height": "length",
}  # fmt: skip
_WEIGHTS = frozenset({"weight", "weights", "mass", "wt", "wgt"})
_TOTALS = frozenset({"total", "totals", "sum", "extended", "ext", "line", "combined", "subtotal"})
# "Weight limit" or "weighed by" is about weight and is not the weight.
_NOT_WEIGHTS = frozenset({
    "limit", "max", "maximum", "rating", "rated", "capacity", "by", "source", "from", "known", "date",
    "percent", "class", "unit", "units", "note", "notes", "check",
})  # fmt: skip
_UNIT_WORDS = {
    "mass": frozenset({
        "lb", "lbs", "pound", "pounds", "kg", "kgs", "kilogram", "kilograms", "kilos", "g", "gram", "grams",
        "oz", "ounce", "ounces",
    }),
    "length": frozenset({
        "inch", "inches", "cm", "mm", "m", "ft", "feet", "meter", "meters", "metre", "metres", "centimeters",
        "millimeters",
    }),
}  # fmt: skip
_SIDES = (*SYNONYMS["length"], *SYNONYMS["width"], *SYNONYMS["height"], *SYNONYMS["size"])


def words_of(header: str) -> str:
    """Return a header in plain words: "Weight_(EACH):" -> "weight (each)"."""
    plain = unicodedata.normalize("NFKC", header).casefold().replace("+/-", "±")
    plain = re.sub(r"[_\s:?.!]+", " ", plain).strip(" *")
    return re.sub(r"\b([lwhd]) ?[×x*/] ?([lwhd]) ?[×x*/] ?([lwhd])\b", r"\1 x \2 x \3", plain)


def meaning(header: str) -> tuple[str, str]:
    """Return the field that a header names and the unit in it: ("mass", "lb") for "Weight (lb)"."""
    if len(header) > LONGEST_HEADER:
        return "", ""
    words = words_of(header)
    for synonym_field, synonyms in SYNONYMS.items():
        if words in synonyms:
            return synonym_field, ""
    for dimension in ("mass", "length"):
        rest, unit = without_unit(words, dimension)
        found = _named(rest, unit if dimension == "mass" else "")
        if found and (not unit or MEASURES.get(found) == dimension):
            return found, unit
    return "", ""


def without_unit(words: str, dimension: str) -> tuple[str, str]:
    """Take a unit word out of a header: in brackets, after a comma, or standing last or alone."""
    bracket = re.search(r"[(\[]\s*([^)\]]*?)\s*[)\]]", words)
    if bracket:
        outside = f"{words[: bracket.start()]} {words[bracket.end() :]}".strip()
        if is_unit(bracket[1], dimension):
            return outside, bracket[1]
        words = f"{outside} {bracket[1]}"
    tokens = re.split(r"[\s,/]+|-(?=\w)", words.strip(" ,-"))
    if dimension == "length" and tokens[-1] in ("in", '"') and " ".join(tokens[:-1]) in _SIDES:
        return " ".join(tokens[:-1]), "in"  # elsewhere "in" is a preposition: "goes in"
    for index in (-1, 0):
        if tokens[index] in _UNIT_WORDS[dimension]:
            unit = tokens.pop(index)
            return " ".join(tokens).removesuffix(" in").strip(), unit
    return " ".join(tokens), ""


def is_unit(word: str, dimension: str) -> bool:
    """Tell whether a word is a unit of "mass" or "length"."""
    try:
        factor(dimension, word)
    except UnknownUnit:
        return False
    return True


def _named(words: str, mass_unit: str) -> str:
    """Return the field that header words name, their unit taken out."""
    tokens = set(words.split())
    weighty = bool(tokens & _WEIGHTS) or bool(mass_unit)
    if tokens & _TOTALS and (weighty or tokens <= _TOTALS):
        return "total_mass"
    for named, synonyms in SYNONYMS.items():
        if words in synonyms and not (mass_unit and named in ("count", "mass_unit")):
            return named
    if weighty and not tokens & _NOT_WEIGHTS:
        return "mass"
    return "count" if tokens & {"qty", "quantity"} else ""


def header_hits(cells: Iterable[str]) -> int:
    """Count the different fields that a row of texts names."""
    return len({found for cell in cells for found in [meaning(cell)[0]] if found})
