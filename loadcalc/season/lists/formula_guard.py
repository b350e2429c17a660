"""Text cells of a CSV that no spreadsheet takes for a formula, and the same cells as they were.

A spreadsheet cuts a file where its own country does, whatever the quotation marks say: `x;=1+1` opens as two cells, and
the second one runs. So an apostrophe is put in front of each `=`, `+`, `-`, `@` that begins the text, or that follows a
semicolon, tab, bar, or line break in it, spaces and quotation marks between them or not; one more where apostrophes
stand there already. Reading takes one off at the same places. A comma needs none: where a comma parts cells, the
quotation marks around the text hold.
"""

from __future__ import annotations

import re

_PARTS = ";|\t\r\n\v\f"
_BETWEEN = r'[;|\s"]'
_RUNS = "(?='*[=+\\-@\uff1d\uff0b\uff0d\uff20])"
# Each run of marks is tried once, from its first: a cell of a million tabs takes no longer than one of letters.
_TO_GUARD = re.compile(f"(?:^{_BETWEEN}*|(?<!{_BETWEEN}){_BETWEEN}+){_RUNS}")
_GUARDED = re.compile(f"(?:^{_BETWEEN}*|(?<!{_BETWEEN}){_BETWEEN}+)'{_RUNS}")


def could_run(text: str) -> bool:
    """Whether a spreadsheet might take a text for a formula, or an apostrophe in it for the guard of one."""
    return guarded(text) != text


def guarded(text: str) -> str:
    """Return a text cell for CSV, with an apostrophe in front of whatever could run.

    >>> guarded("=1+1"), guarded("Tarp 3 x 4; -10 rated"), guarded("mail@camp - bag")
    ("'=1+1", "Tarp 3 x 4; '-10 rated", 'mail@camp - bag')
    """
    return _TO_GUARD.sub(lambda found: f"{found[0]}'" if _begins_cell(found) else found[0], text)


def as_typed(text: str) -> str:
    """Return the text of a cell as it was before :func:`guarded`."""
    return _GUARDED.sub(lambda found: found[0][:-1] if _begins_cell(found) else found[0], text)


def _begins_cell(found: re.Match[str]) -> bool:
    return found.start() == 0 or any(mark in found[0] for mark in _PARTS)
