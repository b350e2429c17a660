"""Text on its way to a page: what a person typed stays text, and every number stands where it was written."""

from __future__ import annotations

import html
import re

from loadcalc.model.marks import isolated

# So many letters in a row stay together. A longer run, such as a name of 300, would push numbers out of sight.
LONGEST_WORD = 18
_PAGE = re.compile(r"\bpage (\d\d)\b")
_LONG_WORDS = re.compile(rf"[^\s:·]{{{LONGEST_WORD + 1},}}")


def escape(text: str) -> str:
    """Return plain text as HTML or SVG, also between quotation marks of an attribute."""
    return html.escape(isolated(text))


def linked(page_html: str) -> str:
    """Return HTML in which each "page 03" leads there; the pages' own extension of JupyterLab hears the press."""
    return _PAGE.sub(r'<a href="#" data-loadout-page="\1">page \1</a>', page_html)


def has_long_word(text: str) -> bool:
    """Say whether a text has a run of letters that must be broken or cut."""
    return _LONG_WORDS.search(text) is not None


def clipped(text: str) -> str:
    """Return a text with its long words cut, for where a line can't break: a figure, the name beside a slider."""
    return _LONG_WORDS.sub(lambda found: cut(found[0], LONGEST_WORD), text)


def cut(text: str, letters: int) -> str:
    """Return a text of at most so many letters."""
    return text if len(text) <= letters else f"{text[: max(letters - 1, 1)].rstrip()}…"


def say(*texts: str) -> None:
    """Print lines of text under a cell."""
    for text in texts:
        print(isolated(text))
