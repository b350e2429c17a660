"""`import loadcalc` costs next to nothing: only the standard library, the rest on first use."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest

import loadcalc
from loadcalc import checks

ROOT = Path(__file__).resolve().parents[2]
PACKAGES = (loadcalc, checks)
HEAVY = ("numpy", "pandas", "pint", "scipy", "plotly", "sqlite3")


def modules_loaded_by(statement: str) -> set[str]:
    """Top-level modules that a fresh interpreter loads for one statement and did not have before."""
    program = (
        "import json, sys\nbefore = set(sys.modules)\n"
        f"{statement}\n"
        "print(json.dumps(sorted({name.partition('.')[0] for name in set(sys.modules) - before})))"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=True
    )
    return set(json.loads(done.stdout))


@pytest.mark.parametrize(
    "statement",
    [
        "import loadcalc",
        "import loadcalc; dir(loadcalc)",
        "from loadcalc import Item, Place, Vehicle",
        "import loadcalc.checks",
        "import loadcalc.checks; dir(loadcalc.checks)",
        "from loadcalc.checks import *",
    ],
)
def test_import_loads_the_standard_library_only(statement: str) -> None:
    """Neither the package, nor a look at its names, nor its records load anything that must be installed."""
    loaded = modules_loaded_by(statement)

    assert "loadcalc" in loaded
    assert loaded - {"loadcalc"} <= set(sys.stdlib_module_names)


def test_import_loads_nothing_heavy() -> None:
    """No array, table, unit, solver, figure, or database library comes with the package."""
    assert not modules_loaded_by("import loadcalc").intersection(HEAVY)


def test_the_check_sees_a_heavy_import() -> None:
    """The check above would notice an array library."""
    assert "numpy" in modules_loaded_by("import loadcalc, numpy")


@pytest.mark.parametrize(
    ("package", "name"), [(package, name) for package in PACKAGES for name in vars(package)["__all__"]]
)
def test_every_public_name_is_there(package: ModuleType, name: str) -> None:
    """Each name that a package offers can be listed and had."""
    assert name in dir(package)
    assert getattr(package, name).__name__ == name


@pytest.mark.parametrize("package", PACKAGES)
def test_a_wrong_name_is_an_ordinary_error(package: ModuleType) -> None:
    """A name that is not there is an AttributeError that says so, as for any module."""
    with pytest.raises(AttributeError, match=f"'{package.__name__}' has no attribute 'no_such_thing'"):
        _ = package.no_such_thing


@pytest.mark.parametrize("package", PACKAGES)
def test_star_import_gives_the_public_names(package: ModuleType) -> None:
    """`from loadcalc import *` brings all of them."""
    names: dict[str, object] = {}
    exec(f"from {package.__name__} import *", names)

    assert len(vars(package)["__all__"]) > 1
    assert set(vars(package)["__all__"]) <= set(names)


def test_a_name_is_fetched_when_it_is_asked_for() -> None:
    """`import loadcalc` loads none of the modules that its names come from; the first use of one does."""
    program = (
        "import sys, loadcalc, loadcalc.checks as checks\n"
        "print('loadcalc.checks.balance' in sys.modules, end=' ')\n"
        "print(checks.Wheels.__name__, 'loadcalc.checks.balance' in sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=True
    )

    assert done.stdout.split() == ["False", "Wheels", "True"]
