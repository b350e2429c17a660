"""Docstrings say what the code says: examples run, parameters exist, quantities name their unit."""

from __future__ import annotations

import doctest
import inspect
import pkgutil
import re
from collections.abc import Callable, Iterator
from importlib import import_module
from types import ModuleType
from typing import Any

import pytest

import loadcalc

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
MODULES = ["loadcalc", *(found.name for found in pkgutil.walk_packages(loadcalc.__path__, "loadcalc."))]


def _defined_in(module: ModuleType) -> Iterator[tuple[str, object]]:
    """Public functions and classes that this module makes itself."""
    for name, thing in vars(module).items():
        made_here = getattr(thing, "__module__", None) == module.__name__
        if made_here and not name.startswith("_") and (inspect.isclass(thing) or inspect.isroutine(thing)):
            yield f"{module.__name__}.{name}", thing


def _public_functions() -> Iterator[tuple[str, Callable[..., Any]]]:
    for module in map(import_module, MODULES):
        for name, thing in _defined_in(module):
            if inspect.isroutine(thing):
                yield name, inspect.unwrap(thing)


PUBLIC = dict(pair for module in map(import_module, MODULES) for pair in _defined_in(module))
FUNCTIONS = dict(_public_functions())


def _parameters(function: Callable[..., Any]) -> list[str]:
    return list(inspect.signature(function).parameters)


def _listed(function: Callable[..., Any]) -> str:
    """Text of the docstring's Parameters section, "" when there is none."""
    section = r"^Parameters\n-+\n(.*?)(?=^\w[^\n]*\n-+\n|\Z)"
    found = re.search(section, inspect.getdoc(function) or "", flags=re.MULTILINE | re.DOTALL)
    return found.group(1) if found else ""


def missing_units(function: Callable[..., Any]) -> list[str]:
    """Quantities in the signature whose unit the docstring doesn't show in brackets."""
    doc = inspect.getdoc(function) or ""
    shown = " ".join(re.findall(r"\[([^\]]*)\]", doc))
    missing = []
    for name in (*_parameters(function), function.__name__):
        suffix = max((end for end in UNITS if name.endswith(end)), key=len, default=None)
        if suffix and not re.search(rf"(?<!\w){re.escape(UNITS[suffix])}(?!\w)", shown):
            missing.append(name)
    return missing


@pytest.mark.parametrize("name", MODULES)
def test_examples_run(name: str) -> None:
    """Every example in a docstring gives what it shows."""
    failed, _tried = doctest.testmod(import_module(name), optionflags=doctest.ELLIPSIS)

    assert failed == 0


def test_there_are_examples() -> None:
    """The package does hold examples, so the test above tests something."""
    finder = doctest.DocTestFinder()
    examples = [test for name in MODULES for test in finder.find(import_module(name)) if test.examples]

    assert len(examples) >= 4


@pytest.mark.parametrize("name", [*MODULES, *PUBLIC])
def test_everything_public_has_a_docstring(name: str) -> None:
    """Each module, class, and function that others may use says what it is, in a sentence of its own."""
    thing = PUBLIC[name] if name in PUBLIC else import_module(name)
    doc = (thing.__doc__ or "").strip()

    assert doc
    assert not doc.startswith(f"{name.rpartition('.')[2]}(")  # what a dataclass writes when there is none


@pytest.mark.parametrize("name", FUNCTIONS)
def test_quantities_name_their_unit(name: str) -> None:
    """A function with a unit in the name of a parameter, or in its own, shows that unit in brackets."""
    assert not missing_units(FUNCTIONS[name])


@pytest.mark.parametrize("name", [name for name, function in FUNCTIONS.items() if _listed(function)])
def test_parameters_are_those_of_the_signature(name: str) -> None:
    """A Parameters section names every parameter, and none that is not there."""
    function = FUNCTIONS[name]
    heads = re.findall(r"(?:^|[.;]\s)\*{0,2}([a-z_][\w, ]*?) :", _listed(function), flags=re.MULTILINE)
    named = {part.strip() for head in heads for part in head.split(",")}

    assert named == set(_parameters(function))


@pytest.mark.parametrize(
    ("doc", "missing"),
    [("Add. [kg]", []), ("Add kilograms.", ["mass_kg"]), ("Add [kg m].", []), ("Add [mkg].", ["mass_kg"])],
)
def test_the_unit_check_sees_a_missing_unit(doc: str, missing: list[str]) -> None:
    """The check itself finds a quantity without its unit."""

    def add(mass_kg: float) -> float:
        return mass_kg

    add.__doc__ = doc

    assert missing_units(add) == missing
