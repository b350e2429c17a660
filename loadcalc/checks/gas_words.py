"""What a name says of fuel and gas: words of `data/facts/fuel_and_gas_words.csv`, read as a person reads them.

A name is read in parts, "Jerry can, petrol" in two. In a part the last word counts most: a gas stove is a stove, a gas
bottle holds gas, a gas bottle strap is a strap. Where one word points to fuel or gas and another one away from it, or
to nobody knows what, the name is in doubt, and somebody has to be asked. English words of both coasts, the UK, and
Australia; common practice, no source.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache, lru_cache

from loadcalc.model.facts import fact_rows

FUEL, GAS, ASK = "fuel", "gas", "ask"
SURE = (FUEL, GAS)
PERHAPS = "perhaps"  # one word that may mean either, and nothing beside it: a jerry can
AWAY = "away"  # it is something else: water, a stove
# What the table says of a word beside these. HOLDER: what fuel and gas are kept in. THING: holds none, even when it is
# for fuel. OTHER: a content that is neither. ASIDE: tells nothing; "empty" is one, for an empty can counts too.
HOLDER, THING, OTHER, ASIDE = "holder", "thing", "other", "aside"
ONCE = "once"  # a holder that is not filled again
NEW = "new"  # a word that is not in the table
MOST_WORDS = 3
_JOINTS = re.compile(
    r"[,;:()\[\]/+&|]|\s[-–—]\s|\b(?:and|with|or|plus)\b"
    r"|\b(?P<for>for|to)\b|\b(?P<not>not|non|without|was|ex)\b|(?P<no>\bno\b(?!\W*\d))"
)
_WORDS = re.compile(r"[^\W\d_]+|\d+")


@lru_cache(maxsize=4096)  # names are few, and asked for at every move of a slider
def said_by(text: str) -> str:
    """What a name or a content says it is.

    Parameters
    ----------
    text : what a person called it.

    Returns
    -------
    str: "fuel" or "gas"; "ask" where it is in doubt; "perhaps" where its one word may mean either; "away" where it says
    something else; "" where it says nothing.

    >>> said_by("Gas bottles, 2 x 9 kg"), said_by("Gas stove"), said_by("Petrol chainsaw"), said_by("Rope")
    ('gas', 'away', 'ask', '')
    """
    parts = _parts(text)
    found = [_told(number, parts) for number in range(len(parts))]
    words = {word for _, labels in parts for word in labels}
    if set(found) & set(SURE):
        return ASK if OTHER in words else GAS if GAS in found else FUEL
    if ASK in found or (HOLDER in found and words & set(SURE)):
        return ASK  # "Propane stove, cylinder": what is in the cylinder?
    return next((said for said in (AWAY, PERHAPS) if said in found), "")


def said_by_group(text: str) -> str:
    """What the name of a group says of all that is in it: nothing, when it names several things.

    >>> said_by_group("Fuel"), said_by_group("Fuel & stoves"), said_by_group("kitchen")
    ('fuel', '', '')
    """
    return said_by(text) if len(_parts(text)) == 1 else ""


def filled_once(text: str) -> bool:
    """Whether a name says that what it holds is not filled again, so that nobody tests it.

    >>> filled_once("Butane cartridges"), filled_once("Gas bottle")
    (True, False)
    """
    return ONCE in _labels(_plain(text))


def _told(number: int, parts: list[tuple[str, list[str]]]) -> str:
    """What one part says beside the first one: in "Stove (propane)" the gas may be what it burns, not what it holds."""
    joint, labels = parts[number]
    said = _alone(labels)
    if said not in SURE or (number == 0 and not joint):
        return said
    first = _alone(parts[0][1]) if number else ""
    if first in (*SURE, HOLDER, PERHAPS):  # "Jerry can, petrol"; but not "Jerry can, no petrol"
        return ASK if joint == "not" else said
    return said if not joint and HOLDER in labels else ASK


def _alone(labels: list[str]) -> str:
    """What one part says by itself, HOLDER for a holder of nobody knows what."""
    hits = [place for place, label in enumerate(labels) if label in SURE]
    if not hits:
        if OTHER in labels or labels[-1] == THING:
            return AWAY
        return next((label for label in (PERHAPS, HOLDER) if label in labels), "")
    last = labels[-1] if hits[-1] < len(labels) - 1 else ""
    if last in (THING, OTHER):
        return AWAY
    if OTHER in labels or last == NEW or (not last and THING in labels):
        return ASK
    return GAS if GAS in labels else FUEL


def _parts(text: str) -> list[tuple[str, list[str]]]:
    """Each part that says anything: "for" or "not" when such a word stands before it, and what its words are."""
    plain = _plain(text)
    joint, start, parts = "", 0, []
    for found in (*_JOINTS.finditer(plain), None):
        told = _labels(plain[start : found.start() if found else None])
        labels = [HOLDER if label == ONCE else label for label in told]
        if labels:
            parts.append((joint, labels))
            joint = ""
        if found:
            start = found.end()
            word = found.lastgroup or ""
            joint = "not" if word in ("not", "no") else word or joint
    return parts


def _plain(text: str) -> str:
    return unicodedata.normalize("NFKC", text).casefold()


def _labels(part: str) -> list[str]:
    """What the table says of each word or group of words, the longest group first; ASIDE is left out."""
    words, labels, place = _WORDS.findall(part), [], 0
    while place < len(words):
        for most in range(min(MOST_WORDS, len(words) - place), 0, -1):
            word = "".join(words[place : place + most])
            if (label := _table().get(word)) or most == 1:
                label = label or (ASIDE if word.isdigit() or len(word) == 1 else NEW)
                labels.append(label)
                place += most
                break
    return [label for label in labels if label != ASIDE]


@cache
def _table() -> dict[str, str]:
    """What the table says, by words written together, so that "jerry-can", "jerrycan", and "L.P.G." are one."""
    table: dict[str, str] = {}
    for row in fact_rows("fuel_and_gas_words"):
        word = row["words"].replace(" ", "")
        for form in (word, f"{word}s", f"{word}es"):
            table.setdefault(form, row["says"])
    return table
