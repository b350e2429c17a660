"""The shape of a docstring that a stranger can check a number by: what the tests hold to it that people call."""

from __future__ import annotations

import dis
import inspect
import re
from collections.abc import Callable
from typing import Any

from loadcalc import checks
from workbook.panels.desk.formulas_words import paragraphs, sections

# suffix of a name: the unit that the docstring must show in brackets
UNITS = {
    "_kg": "kg",
    "_kg_per_l": "kg/L",
    "_l": "L",
    "_m": "m",
    "_mm": "mm",
    "_km": "km",
    "_n": "N",
    "_kpa": "kPa",
    "_deg": "deg",
    "_kwh": "kWh",
    "_mj": "MJ",
    "_m2": "m2",
}
OFFERED = {
    name: inspect.unwrap(getattr(checks, name))
    for name in vars(checks)["__all__"]
    if inspect.isroutine(getattr(checks, name))
}


def parameters(function: Callable[..., Any]) -> list[str]:
    """The names of what it takes."""
    return list(inspect.signature(function).parameters)


def shows_unit(name: str, text: str) -> bool:
    """Whether a text shows the unit that a name ends in, in brackets; true of a name without one."""
    suffix = max((end for end in UNITS if name.endswith(end)), key=len, default=None)
    shown = " ".join(re.findall(r"\[([^\]]*)\]", text))
    return suffix is None or bool(re.search(rf"(?<!\w){re.escape(UNITS[suffix])}(?!\w)", shown))


def judges(function: Callable[..., Any]) -> bool:
    """Whether it judges a whole departure, which is no formula, and which no line of a docstring can hold."""
    kinds = " ".join(str(kind) for kind in inspect.get_annotations(function).values())
    return "Loadout" in kinds or "Report" in kinds


def refuses(function: Any, seen: frozenset[int] = frozenset()) -> bool:
    """Whether a function, or one of the package's that it names, can refuse what it is given."""
    if inspect.isclass(function):
        function = vars(function).get("__post_init__") or vars(function).get("__init__")
    function = inspect.unwrap(function)
    if id(function) in seen or not inspect.isfunction(function):
        return False
    if function.__module__ == "loadcalc.model.check":
        return True
    if any(step.opname == "RAISE_VARARGS" for step in dis.get_instructions(function)):
        return True
    names = function.__code__.co_names
    called = [function.__globals__[name] for name in names if name in function.__globals__]
    for module in [thing for thing in called if inspect.ismodule(thing)]:  # check.number
        called += [vars(module)[name] for name in names if name in vars(module)]
    ours = [thing for thing in called if getattr(thing, "__module__", "").startswith("loadcalc.")]
    return any(refuses(thing, seen | {id(function)}) for thing in ours)


def see_also(function: Callable[..., Any]) -> Callable[..., Any] | None:
    """The function beside it, with all of its parameters, that a docstring sends its reader to; None for none."""
    named = re.search(r"See :func:`(\w+)`", inspect.getdoc(function) or "")
    other = function.__globals__.get(named[1]) if named else None
    return other if other and {*parameters(function)} <= {*parameters(other)} else None


def plain_faults(function: Callable[..., Any]) -> list[str]:
    """What the docstring of a function lacks that people call and that is no formula, and of one that it leans on."""
    function = see_also(function) or function
    parts = sections(function)
    found = _listing_faults(function, parts)
    return [*found, "doesn't say what it refuses"] if refuses(function) and "Raises" not in parts else found


def faults(function: Callable[..., Any]) -> list[str]:
    """What the docstring of an offered function lacks: a line for each parameter, units, what it gives back."""
    parts = sections(function)
    found = _listing_faults(function, parts)
    return found if judges(function) else [*found, *_textbook_faults(function, parts)]


def _listing_faults(function: Callable[..., Any], parts: dict[str, list[str]]) -> list[str]:
    """What is missing of a line for each parameter, units, and what it gives back."""
    found = []
    listed = [line.partition(" : ") for line in paragraphs(parts.get("Parameters", []))]
    if [head.lstrip("*") for head, _, _ in listed] != parameters(function):
        found.append("not one line for each parameter")
    found += [f"no unit for {head}" for head, _, text in listed if not shows_unit(head, text)]
    returns = " ".join(parts.get("Returns", []))
    if not returns.strip() or not shows_unit(function.__name__, returns):
        found.append("doesn't say what it returns, with its unit")
    return found


def _textbook_faults(function: Callable[..., Any], parts: dict[str, list[str]]) -> list[str]:
    """What a formula's docstring lacks besides: refusals or range, formula, source, status, a cited example."""
    found = []
    notes = (line.partition(": ") for line in paragraphs(parts.get("Notes", [])))
    said = {head: text for head, _, text in notes if text}
    found += [f"no {field}" for field in ("Formula", "Source", "Status") if field not in said]
    if refuses(function) != ("Raises" in parts):
        found.append("Raises is not there just when something is refused")
    if "Raises" not in parts and "Range" not in said:
        found.append("neither refuses nor says its range")
    if (
        "[" not in "".join(parts.get("Returns", []))
        and inspect.get_annotations(function).get("return") != "str"
    ):
        found.append("returns a number without a unit")
    example = paragraphs(parts.get("Examples", []))
    if not example or example[0].startswith(">>>") or not any(line.startswith(">>>") for line in example):
        found.append("no example that says where its numbers are from")
    return found
