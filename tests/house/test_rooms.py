"""The rooms of DEVELOPERS.md: imports point downward, without a circle, and a name stands for one thing."""

from __future__ import annotations

import ast
from collections import Counter, defaultdict
from collections.abc import Iterator
from functools import cache
from graphlib import TopologicalSorter
from itertools import pairwise
from pathlib import Path

import pytest

from tests.season_help import ROOT

DOWN = ("workbook", "loadcalc.season", "loadcalc.plan", "loadcalc.checks", "loadcalc.model")
MOST_FILES = 20
OF_NAMED_TUPLES = ("_asdict", "_fields", "_make", "_replace")  # public by the library's own words
OF_LIBRARIES = (  # they have no public way
    "os._exit", "sheet._get_source", "sheet._shared_strings", "book._date_formats",
    "book._timedelta_formats", "super()._async_start_kernel",
)  # fmt: skip


@cache
def files() -> dict[str, Path]:
    """Every file of the product by its module's name."""
    found = (path for top in ("loadcalc", "workbook") for path in (ROOT / top).rglob("*.py"))
    return {".".join(path.relative_to(ROOT).with_suffix("").parts): path for path in found}


@cache
def tree(module: str) -> ast.Module:
    """A file, parsed."""
    return ast.parse(files()[module].read_text(encoding="utf-8"))


@cache
def imports(module: str) -> frozenset[str]:
    """The files that a file imports anywhere in it: at once, on first use, or for the type checker only."""
    named: set[str] = set()
    for node in ast.walk(tree(module)):
        if isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{module} imports relatively: this test would not see it"
            named |= {_file(f"{node.module}.{alias.name}") or _file(str(node.module)) for alias in node.names}
        elif isinstance(node, ast.Import):
            named |= {_file(alias.name) for alias in node.names}
    return frozenset(named - {"", module})


def _file(name: str) -> str:
    """The file that a dotted name stands for, "" when it is none of ours."""
    return next((file for file in (name, f"{name}.__init__") if file in files()), "")


def room(module: str) -> str:
    """The folder of a file."""
    return module.rpartition(".")[0]


def circle(graph: dict[str, set[str]]) -> list[str]:
    """One circle of a graph, empty when there is none."""
    sorter = TopologicalSorter(graph)
    try:
        sorter.prepare()
    except ValueError as error:  # graphlib's CycleError
        return list(error.args[1])
    return []


def test_no_circle_between_files() -> None:
    """No file needs, at whatever moment, a file that needs it. An `__init__` that only offers names counts too."""
    assert circle({module: set(imports(module)) for module in files()}) == []


def test_no_circle_between_rooms() -> None:
    """Nor does a room need one that needs it. Files that stand beside rooms are left to the test of files."""
    halls = {room(room(module)) for module in files()}
    graph = defaultdict(set)
    for module in files():
        for other in imports(module):
            if room(module) != room(other) and not {room(module), room(other)} & halls:
                graph[room(module)].add(room(other))
    assert circle(graph) == []
    assert len(graph) > 20  # else it looked at nothing


def test_the_test_sees_a_circle() -> None:
    """Two files that need each other are found."""
    assert circle({"a": {"b"}, "b": {"c"}, "c": {"a"}}) != []


def test_imports_point_downward() -> None:
    """From the workbook to the season, the plans, the checks, the records; never up."""
    for upper, lower in ((a, b) for i, a in enumerate(DOWN) for b in DOWN[i + 1 :]):
        up = {
            (module, other)
            for module in files()
            if module.startswith(f"{lower}.")
            for other in imports(module)
            if other.startswith(f"{upper}.")
        }
        assert up == set()
    assert all(any(m.startswith(f"{name}.") for m in files()) for name in DOWN)
    assert any(other.startswith(f"{b}.") for _, b in pairwise(DOWN) for m in files() for other in imports(m))


def test_words_and_figures_know_no_controls() -> None:
    """What a page says is plain text, and what it draws is plain data: neither imports a widget or a panel."""
    plain = [module for module in files() if module.endswith(("_words", "_figure"))]
    assert len(plain) > 20
    for module in plain:
        named = {str(getattr(node, "module", "")) for node in ast.walk(tree(module))}
        named |= {
            a.name for node in ast.walk(tree(module)) if isinstance(node, ast.Import) for a in node.names
        }
        assert not any(name.startswith(("ipywidgets", "anywidget", "workbook.widgets")) for name in named), (
            module
        )
        assert "workbook.panels.desk.desk" not in imports(module), module


def test_no_folder_is_too_full() -> None:
    """A newcomer finds a file at sight."""
    scripts = (path for path in (ROOT / "workbook").rglob("*.js") if "labextensions" not in path.parts)
    counts = Counter(path.parent for path in (*files().values(), *scripts))
    assert {str(folder): count for folder, count in counts.items() if count > MOST_FILES} == {}


def test_a_class_name_occurs_once() -> None:
    """A name stands for one class."""
    names: dict[str, list[str]] = defaultdict(list)
    for module in files():
        for node in tree(module).body:
            if isinstance(node, ast.ClassDef):
                names[node.name].append(module)
    assert {name: where for name, where in names.items() if len(where) > 1} == {}


def reaches(module: str) -> Iterator[str]:
    """Private names of something else that a file uses."""
    own = {node.attr for node in ast.walk(tree(module)) if isinstance(node, ast.Attribute) and _of_self(node)}
    for node in ast.walk(tree(module)):
        if isinstance(node, ast.Attribute) and _private(node.attr) and node.attr not in own:
            yield f"{module}:{node.lineno} {ast.unparse(node)}"
        if isinstance(node, ast.ImportFrom):
            yield from (f"{module} imports {a.name}" for a in node.names if _private(a.name))


def _private(name: str) -> bool:
    return name.startswith("_") and not name.startswith("__") and name not in OF_NAMED_TUPLES


def _of_self(node: ast.Attribute) -> bool:
    """Its own: by name, or what it overrides."""
    return ast.unparse(node.value) in ("self", "cls", "super()")


@pytest.mark.parametrize("top", ["loadcalc", "workbook"])
def test_no_file_reaches_for_private_names_of_another(top: str) -> None:
    """What another file may use has a name without an underscore."""
    found = [told for module in files() if module.startswith(top) for told in reaches(module)]
    assert [told for told in found if not told.endswith(OF_LIBRARIES)] == []
