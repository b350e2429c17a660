"""Try changes in private copies of the project, two at a time."""

from __future__ import annotations

import ast
import os
import random
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from itertools import count
from pathlib import Path
from queue import SimpleQueue
from time import monotonic

from tests.mutants.changes import Change, changes

ROOT = Path(__file__).resolve().parents[2]
WORKERS = 2
# The project's own options without the pages: they cost every start more than the tests do.
PYTEST = (
    "-m", "pytest", "-x", "-q", "-o", "addopts=--import-mode=importlib", "-p", "tests.notebooks", "-p", "no:nbval",
    "-p", "no:xdist", "-p", "no:cacheprovider", "--hypothesis-seed=0",
)  # fmt: skip
KILLED, SURVIVED = "killed", "survived"
SLOW = ("workbook", "loadcalc.season")  # a test of pages or seasons counts only for the files that it names


def lines(paths: Sequence[str], seed: int, sample: int) -> Iterator[str]:
    """What became of each change of the sample, and then the share that was noticed."""
    files = sorted({file for path in paths for file in _files(ROOT / path)})
    every = [change for file in files for change in changes(file)]
    tried = sorted(random.Random(seed).sample(every, min(sample, len(every))), key=lambda c: (c.path, c.line))
    untouched = {
        change.path: change.path.read_bytes() for change in tried
    }  # the checkout may change meanwhile
    tests = {path: _tests_of(path) for path in untouched}
    copies: SimpleQueue[Path] = SimpleQueue()
    numbers = count(1)  # as the time of writing: no two changes share one, so no stale bytecode runs

    def outcome(change: Change) -> str:
        copy = copies.get()
        place = copy / change.path.relative_to(ROOT)
        place.write_bytes(change.source)
        os.utime(place, (number := next(numbers), number))
        try:
            return _run(copy, tests[change.path], patience_s)
        finally:
            place.write_bytes(untouched[change.path])
            shutil.rmtree(copy / ".hypothesis", ignore_errors=True)  # an example found helps no other change
            copies.put(copy)

    with tempfile.TemporaryDirectory(prefix="mutants-") as folder, ThreadPoolExecutor(WORKERS) as pool:
        for number in range(WORKERS):
            ignore = shutil.ignore_patterns(".*", "__pycache__")
            copies.put(Path(shutil.copytree(ROOT, Path(folder, str(number)), ignore=ignore)))
        start, all_tests = monotonic(), sorted({test for found in tests.values() for test in found})
        if _run(Path(folder, "0"), all_tests, 3600.0) != SURVIVED:
            yield "The tests fail with nothing changed: mend them first."
            return
        patience_s = 60 + 5 * (monotonic() - start)
        yield f"Seed {seed}: {len(tried)} of {len(every)} possible changes in {len(files)} files."
        killed = 0
        for change, said in zip(tried, pool.map(outcome, tried), strict=True):
            killed += said != SURVIVED
            where = f"{change.path.relative_to(ROOT)}:{change.line}"
            yield f"{said:8}  {where}  {change.text}  (was: {change.was})"
        yield f"{killed} of {len(tried)} killed, {killed / max(len(tried), 1):.1%}."


def _run(copy: Path, tests: Sequence[str], patience_s: float) -> str:
    """What the tests say of a copy; one that goes on for too long is noticed too."""
    try:
        ran = subprocess.run(
            [sys.executable, *PYTEST, *tests], cwd=copy, capture_output=True, timeout=patience_s, check=False
        )
    except subprocess.TimeoutExpired:
        return f"{KILLED} (endless)"
    if ran.returncode not in (0, 1, 2):  # 1: a test failed; 2: a file could not be imported
        raise RuntimeError(ran.stdout.decode() + ran.stderr.decode())
    return KILLED if ran.returncode else SURVIVED


def _tests_of(path: Path) -> list[str]:
    """The tests that import a file, straight or by way of others: those that name it first, short ones first."""
    name, graph = _module(path), _graph()
    straight, by_way = [], []
    for test in sorted(ROOT.glob("tests/test_*.py"), key=lambda file: file.stat().st_size):
        found, todo = set[str](), [_module(test)]
        while todo:
            if (module := todo.pop()) not in found:
                found.add(module)
                todo += graph.get(module, ())
        if name in graph[_module(test)]:
            straight.append(f"tests/{test.name}")
        elif name in found and not any(module.startswith(SLOW) for module in found - {"loadcalc"}):
            by_way.append(f"tests/{test.name}")
    return [*straight, "tests/test_docstrings.py", *by_way]  # it runs the examples of every file


@cache
def _graph() -> dict[str, set[str]]:
    """What each of our modules imports by name."""
    graph: dict[str, set[str]] = {}
    for file in (*_files(ROOT / "loadcalc"), *_files(ROOT / "tests"), *_files(ROOT / "workbook")):
        imported = graph[_module(file)] = set()
        for node in ast.walk(ast.parse(file.read_bytes())):
            if isinstance(node, ast.Import):
                imported |= {alias.name for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and node.module:
                imported |= {node.module, *(f"{node.module}.{alias.name}" for alias in node.names)}
    return graph


def _module(file: Path) -> str:
    return ".".join(file.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")


def _files(path: Path) -> list[Path]:
    return [path] if path.is_file() else sorted(path.rglob("*.py"))
