"""Text on its way to a page: what a person typed stays text, and every number stands where it was written."""

from __future__ import annotations

import html

from loadcalc.model.marks import isolated


def escape(text: str) -> str:
    """Return plain text as HTML or SVG, also between quotation marks of an attribute."""
    return html.escape(isolated(text))


def say(*texts: str) -> None:
    """Print lines of text under a cell."""
    for text in texts:
        print(isolated(text))
