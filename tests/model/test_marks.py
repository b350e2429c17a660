"""Text for people to look at: words from right to left are set apart, and nothing else is touched."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadcalc.model.errors import BadValue
from loadcalc.model.marks import isolated, plain_text

START, END = "\u2068", "\u2069"
TURN = ("RLE", "LRE", "RLO", "LRO", "PDF", "RLI", "LRI", "FSI", "PDI")
TEXTS = st.text(alphabet="אבגخيم٣ 12.5,-(:'\"aé\u200c\u202e\u2069\u200f", max_size=20) | st.text(max_size=20)


def turning(text: str) -> set[str]:
    """The marks in a text that turn its direction."""
    return {c for c in text if unicodedata.bidirectional(c) in TURN or c in "\u061c\u200e\u200f"}


@given(TEXTS)
def test_only_words_from_right_to_left_are_set_apart(text: str) -> None:
    """Each such letter stands in a pair of marks, no digit of ours does, and the letters are the same ones."""
    shown = isolated(text)
    assert isolated(shown) == shown
    assert turning(shown) <= {START, END}
    outside = True
    for letter in shown:
        if letter in START + END:
            assert outside == (letter == START)
            outside = letter == END
        elif unicodedata.bidirectional(letter) in ("R", "AL"):
            assert not outside
        elif letter in "0123456789":
            assert outside
    assert outside
    kept = [c for c in text if not turning(c)]
    assert [c for c in shown if c not in START + END] == kept


@given(TEXTS)
def test_what_is_copied_off_a_page_is_the_same_text(text: str) -> None:
    """A name that was shown and is pasted comes back without the marks that set it apart."""
    try:
        kept = plain_text("name", text)
    except BadValue:
        return
    assert plain_text("name", isolated(text)) == kept
    assert turning(kept) == set()


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("אוהל גדול: 38 lb", f"{START}אוהל גדול{END}: 38 lb"),
        ("אוהל 3, שק", f"{START}אוהל{END} 3, {START}שק{END}"),
        ("ג'ריקן 20 l", f"{START}ג'ריקן{END} 20 l"),
        ("Tent\u202e 83", "Tent 83"),
        ("plain", "plain"),
    ],
)
def test_a_name_and_its_number(text: str, shown: str) -> None:
    """Words with what joins them are one piece; numbers and commas stay outside."""
    assert isolated(text) == shown
