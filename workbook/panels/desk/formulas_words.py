"""Formula, source, and status of a textbook function, as its docstring says them, for pages and docs/formulas.md."""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cache
from html import escape
from typing import Any

from loadcalc import checks

ALL = "All formulas: docs/formulas.md. What the words of status mean: docs/references.md."
FIELD = re.compile(r"^(Formula|Range|Source|Status): (.*)$")


@dataclass(frozen=True, slots=True, kw_only=True)
class Formula:
    """One textbook function in words.

    name, signature : how to call it; room : the package or module of loadcalc.checks that it lives in.
    what : its summary, a sentence. formula, range, source, status : as its docstring has them, "" where it says none.
    """

    name: str
    signature: str
    room: str
    what: str
    formula: str
    range: str
    source: str
    status: str


def sections(function: Callable[..., Any]) -> dict[str, list[str]]:
    """The parts of a docstring, by their underlined heads; what stands before the first head goes by "".

    Parameters
    ----------
    function : whose docstring is read
    """
    found: dict[str, list[str]] = {"": []}
    head = ""
    for line in (inspect.getdoc(function) or "").splitlines():
        if re.fullmatch("-{3,}", line):
            head = found[head].pop()
            found[head] = []
        else:
            found[head].append(line)
    return found


def paragraphs(lines: Iterable[str]) -> list[str]:
    """Lines of a section, each with the indented lines that carry it on.

    Parameters
    ----------
    lines : as `sections` gives them
    """
    found: list[str] = []
    for line in lines:
        if line.startswith(" ") and found:
            found[-1] += f" {line.strip()}"
        elif line.strip():
            found.append(line)
    return found


@cache
def entry(name: str) -> Formula:
    """What the docstring of a function of `loadcalc.checks` says.

    Parameters
    ----------
    name : as `loadcalc.checks` offers it
    """
    function = inspect.unwrap(getattr(checks, name))
    parts = sections(function)
    notes = map(FIELD.match, paragraphs(parts.get("Notes", [])))
    said = {note[1]: note[2] for note in notes if note}
    return Formula(
        name=name,
        signature=f"{name}({', '.join(inspect.signature(function).parameters)})",
        room=function.__module__.split(".")[2],
        what=parts[""][0],
        **{field: said.get(field.capitalize(), "") for field in ("formula", "range", "source", "status")},
    )


@cache
def textbook() -> tuple[Formula, ...]:
    """Every function of `loadcalc.checks` that says a formula, room by room, by name."""
    functions = [name for name in vars(checks)["__all__"] if inspect.isroutine(getattr(checks, name))]
    found = [said for said in map(entry, functions) if said.formula]
    return tuple(sorted(found, key=lambda said: (said.room, said.name)))


def fold(names: Iterable[str]) -> str:
    """Formula and source of some functions as HTML, folded; no link, since a page is opened from a copy elsewhere.

    Parameters
    ----------
    names : as `loadcalc.checks` offers them
    """
    shown = "".join(f"<p>{_told(said)}</p>" for said in map(entry, names))
    summary = "<summary>Formula and source</summary>"
    return f"<details class='loadout-formulas'>{summary}{shown}<p>{escape(ALL)}</p></details>"


def _told(said: Formula) -> str:
    return "<br>".join(
        (
            _marked(said.what),
            f"<b>{_marked(said.formula)}</b>",
            *([f"Range: {_marked(said.range)}"] if said.range else []),
            f"Source: {_marked(said.source)}",
            f"Status: {_marked(said.status)}",
            f"In Python: <code>loadcalc.checks.{escape(said.signature)}</code>",
        )
    )


def _marked(text: str) -> str:
    """Text as HTML, with `names` as code."""
    return re.sub(r"`([^`]+)`", r"<code>\1</code>", escape(text))
