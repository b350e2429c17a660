"""Docstrings say what the code says: examples run, parameters exist, quantities name their unit."""

from __future__ import annotations

import csv
import doctest
import inspect
import pkgutil
import re
from collections.abc import Callable, Iterator
from importlib import import_module
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

import loadcalc
from loadcalc import checks
from tests.docstring_shape import OFFERED, faults, judges, parameters, plain_faults, refuses, shows_unit
from tests.house.test_sources import first_cells
from workbook.panels.desk.formulas_words import entry, sections

FACTS = Path(__file__).resolve().parents[2] / "data" / "facts"
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
EXPORTED = {
    f"{package}.{name}": inspect.unwrap(thing)
    for package in ("loadcalc", "loadcalc.season", "loadcalc.model.quantities")
    for name in vars(import_module(package))["__all__"]
    if name not in OFFERED and inspect.isroutine(thing := getattr(import_module(package), name))
}  # what `loadcalc.checks` offers is held to more, below


def _listed(function: Callable[..., Any]) -> str:
    """Text of the docstring's Parameters section, "" when there is none."""
    return "\n".join(sections(function).get("Parameters", []))


def missing_units(function: Callable[..., Any]) -> list[str]:
    """Quantities in the signature whose unit the docstring doesn't show in brackets."""
    doc = inspect.getdoc(function) or ""
    return [name for name in (*parameters(function), function.__name__) if not shows_unit(name, doc)]


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

    assert named == set(parameters(function))


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


@pytest.mark.parametrize("name", EXPORTED)
def test_what_people_call_says_what_it_takes_gives_and_refuses(name: str) -> None:
    """Parameters one a line with their units, what is returned, and what is refused."""
    assert plain_faults(EXPORTED[name]) == []


def test_the_plain_shape_sees_what_is_missing() -> None:
    """Two parameters on a line, no Returns, no Raises: each is told."""

    def add(mass_kg: float, other_kg: float) -> float:
        """Add.

        Parameters
        ----------
        mass_kg, other_kg : two masses [kg]
        """
        if mass_kg < 0:
            raise ValueError
        return mass_kg + other_kg

    assert plain_faults(add) == [
        "not one line for each parameter",
        "doesn't say what it returns, with its unit",
        "doesn't say what it refuses",
    ]


@pytest.mark.parametrize("name", OFFERED)
def test_what_is_offered_says_all_that_a_stranger_needs(name: str) -> None:
    """Parameters one a line, units, what is returned and refused, formula, source, status, a cited example."""
    assert faults(OFFERED[name]) == []


@pytest.mark.parametrize("name", OFFERED)
def test_a_status_is_no_better_than_the_table_it_reads(name: str) -> None:
    """A function that looks up a table of facts says every status that a row of it has."""
    said = entry(name)
    for table in re.findall(r"data/facts/(\w+)\.csv", said.source):
        with (FACTS / f"{table}.csv").open(encoding="utf-8", newline="") as file:
            held = {row["status"] for row in csv.DictReader(file)}
        assert [word for word in sorted(held) if word not in said.status] == []


@pytest.mark.parametrize("name", OFFERED)
def test_a_source_is_a_document_that_is_listed(name: str) -> None:
    """What was read or remembered names a document of docs/references.md; statics and rules of the trade need none."""
    said = entry(name)

    needs_none = judges(OFFERED[name]) or said.status.startswith(("computed", "common practice"))
    assert needs_none or any(key in said.source for key in first_cells("Documents"))


GOOD = """Half of a mass.

Parameters
----------
mass_kg : of it [kg]

Returns
-------
float: half [kg]

Raises
------
BadValue: a mass below zero

Notes
-----
Formula: mass / 2
Source: arithmetic
Status: computed

Examples
--------
By hand.

>>> half_kg(2.0)
1.0
"""


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("", "", None),
        ("mass_kg : of it [kg]", "mass : of it [kg]", "not one line for each parameter"),
        ("mass_kg : of it [kg]", "mass_kg : of it [lb]", "no unit for mass_kg"),
        ("half [kg]", "half", "doesn't say what it returns, with its unit"),
        (
            "Raises\n------\nBadValue: a mass below zero\n\n",
            "",
            "Raises is not there just when something is refused",
        ),
        ("Formula: mass / 2", "It is mass / 2.", "no Formula"),
        ("Source: arithmetic\n", "", "no Source"),
        ("Status: computed\n", "", "no Status"),
        ("By hand.\n\n", "", "no example that says where its numbers are from"),
    ],
)
def test_the_shape_check_sees_what_is_missing(old: str, new: str, fault: str | None) -> None:
    """The check itself finds each part that is not there."""

    def half_kg(mass_kg: float) -> float:
        if mass_kg < 0:
            raise ValueError
        return mass_kg / 2

    half_kg.__doc__ = GOOD.replace(old, new) if old else GOOD

    assert fault is None or fault in faults(half_kg)
    assert fault is not None or faults(half_kg) == []


def test_the_check_of_refusals_looks_into_what_is_called() -> None:
    """Refusals count in the function itself, in one that it calls, and in a record that it makes; others don't."""
    assert refuses(checks.axle_loads)
    assert refuses(checks.wheel_shares)
    assert refuses(checks.tire_capacity_kg)
    assert not refuses(checks.placard_room_kg)
    assert not refuses(checks.grade_percent)
