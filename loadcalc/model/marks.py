"""Marks in text that nobody sees: those that are passed over, and those that change how the text beside them is read.

Behind a mark that turns the direction of text, a page may show the mass 128 kg as "gk 821". Letters of scripts that run
from right to left are no such marks: a name may have them, and is kept apart from what stands beside it (`isolated`).
"""

from __future__ import annotations

import re
import unicodedata

from loadcalc.model.errors import BadValue

TURNING = "\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069"  # for a class of a regular expression
UNSEEN = "\u00ad\u180e\u200b\u2060\ufeff"  # without width or meaning: spreadsheets and web pages leave them behind
_CONTROL = "\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\u2061-\u2065\u206a-\u206f\ufff9-\ufffb\U000e0000-\U000e007f"
_ODD = re.compile(f"[{TURNING}{_CONTROL}]")
_TURNING = re.compile(f"[{TURNING}]")
_LEFTWARD = "\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc\U00010800-\U00010fff\U0001e800-\U0001efff"
_WORDS = re.compile(
    f"[{_LEFTWARD}](?:[{_LEFTWARD}\u0300-\u036f\u200c\u200d]|[ '\"\u2019-](?=[{_LEFTWARD}]))*"
)  # words in letters that run from right to left, and what joins them; no digit of the text around them
_DROP = dict.fromkeys(map(ord, UNSEEN))


def seen(text: str) -> str:
    """Return text without the marks that have neither width nor meaning, and without spaces around it."""
    return text.translate(_DROP).strip()


def without_marks(text: str, *, named: bool = False) -> str:
    """Return text without any of these marks; `named`: those that are refused by name in their place, "[U+202E]"."""
    return _ODD.sub(lambda found: f"[{_code(found[0])}]" if named else "", seen(text)).strip()


def isolated(text: str) -> str:
    """Return a line of text for people to look at, in which every number stands where it was written.

    Beside letters that run from right to left a page would put "38 lb, 2 of 3" as "2 ,38 lb of 3": such words are set
    between the marks that isolate them (U+2068, U+2069). Marks that turn the direction of text are left out.
    """
    if text.isascii():
        return text
    return _WORDS.sub("\u2068\\g<0>\u2069", _TURNING.sub("", text))


def plain_text(field: str, text: str, where: str = "") -> str:
    """Return a text that somebody gave, as it is kept.

    Parameters
    ----------
    field : what it is, for the error.
    text : as typed, pasted, or read from a file.
    where : the record or cell it stands in, for the error.

    Raises
    ------
    BadValue for a mark that turns the direction of text, and for every other control mark but tabs and line breaks.
    """
    kept = seen(text)
    if kept == isolated(kept):  # copied off a page of ours
        kept = _TURNING.sub("", kept)
    found = _ODD.search(kept)
    if found is None:
        return kept
    name = unicodedata.name(found[0], "a control mark").lower()
    turns = " and turns the direction of text" if _TURNING.match(found[0]) else ""
    before = f'behind "{kept[: found.start()][-20:]}"' if found.start() else "at its beginning"
    problem = f"has a mark that nobody sees{turns} ({_code(found[0])}, {name}, {before})"
    raise BadValue(field, text, problem, "delete the text and type it again, do not paste it", where)


def _code(mark: str) -> str:
    return f"U+{ord(mark):04X}"
