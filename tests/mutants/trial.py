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
NEAREST = 12
KILLED, SURVIVED = "killed", "survived"
SLOW = ("workbook", "loadcalc.season")  # a test of pages or seasons counts only for files that it names


def lines(paths: Sequence[str], seed: int, sample: int) -> Iterator[str]:
    """What became of each change of the sample, and then the share that was noticed."""
    files = sorted({file for path in paths for file in _files(ROOT / path)})
    every = [change for file in files for change in changes(file)]
    tried = random.Random(seed).sample(
        every, min(sample, len(every))
    )  # in no order: a part of it is a sample too
    # kept, since the checkout may change meanwhile
    untouched = {change.path: change.path.read_bytes() for change in tried}
    tests = {path: _tests_of(path) for path in untouched}
    copies: SimpleQueue[Path] = SimpleQueue()
    numbers = count(1)  # as the time of writing: no two changes share one, so no stale bytecode runs

    def outcome(change: Change) -> str:
        copy = copies.get()
        place = copy / change.path.relative_to(ROOT)
        place.write_bytes(change.source)
        os.utime(place, (number := next(numbers), number))
        try:
            return _said(_run(copy, tests[change.path], patience_s))
        finally:
            place.write_bytes(untouched[change.path])
            shutil.rmtree(copy / ".hypothesis", ignore_errors=True)  # an example found helps no other change
            copies.put(copy)

    with tempfile.TemporaryDirectory(prefix="mutants-") as folder, ThreadPoolExecutor(WORKERS) as pool:
        for number in range(WORKERS):
            ignore = shutil.ignore_patterns(".*", "__pycache__")
            copies.put(Path(shutil.copytree(ROOT, Path(folder, str(number)), ignore=ignore)))
        start, all_tests = monotonic(), sorted({test for found in tests.values() for test in found})
        first = _run(Path(folder, "0"), all_tests, 3600.0)
        if _said(first) != SURVIVED:
            shown = "" if first is None else first.stdout.decode()[-1000:]
            yield f"The tests fail with nothing changed: mend them first.\n{shown}"
            return
        patience_s = 60 + 2 * (monotonic() - start)
        yield f"Seed {seed}: {len(tried)} of {len(every)} possible changes in {len(files)} files."
        killed = 0
        for change, said in zip(tried, pool.map(outcome, tried), strict=True):
            killed += said != SURVIVED
            where = f"{change.path.relative_to(ROOT)}:{change.line}"
            yield f"{said:8}  {where}  {change.text}  (was: {change.was})"
        yield f"{killed} of {len(tried)} killed, {killed / max(len(tried), 1):.1%}."


def _run(copy: Path, tests: Sequence[str], patience_s: float) -> subprocess.CompletedProcess[bytes] | None:
    """Run tests in a copy; None when they go on for too long."""
    command = [sys.executable, *PYTEST, *tests]
    try:
        return subprocess.run(command, cwd=copy, capture_output=True, timeout=patience_s, check=False)
    except subprocess.TimeoutExpired:
        return None


def _said(ran: subprocess.CompletedProcess[bytes] | None) -> str:
    """What a run of the tests says of the change in its copy."""
    if ran is None:
        return f"{KILLED} (endless)"
    if ran.returncode not in (0, 1, 2):  # 1: a test failed; 2: a file could not be imported
        raise RuntimeError(ran.stdout.decode() + ran.stderr.decode())
    return KILLED if ran.returncode else SURVIVED


def _tests_of(path: Path) -> list[str]:
    """The dozen tests that are nearest to a file: by their name, then by what they import; quick ones first."""
    wanted, ranked = _module(path), []
    for test in sorted(ROOT.glob("tests/test_*.py")):
        steps, near = {_module(test): 0}, [_module(test)]
        for module in near:  # it grows while it is read: what is nearest comes first
            new = _graph().get(module, set()) - steps.keys()
            steps |= dict.fromkeys(new, steps[module] + 1)
            near += sorted(new)
        slow = any(module.startswith(SLOW) for module in near)
        if wanted in steps and (steps[wanted] == 1 or not slow):
            other = test.stem.split("_")[1] not in wanted
            ranked.append((other, steps[wanted], slow, test.stat().st_size, f"tests/{test.name}"))
    nearest = [name for *_, name in sorted(ranked)[:NEAREST]]
    return [*nearest, "tests/house/test_docstrings.py"]  # this one runs the examples of every file


@cache
def _graph() -> dict[str, set[str]]:
    """What each of our modules imports by name; what a package only lists is followed to where it is made."""
    imports, listed = dict[str, set[str]](), dict[str, str]()
    for file in (*_files(ROOT / "loadcalc"), *_files(ROOT / "tests"), *_files(ROOT / "workbook")):
        names = imports[_module(file)] = set()
        for node in ast.walk(ast.parse(file.read_bytes())):
            if isinstance(node, ast.Import):
                names |= {alias.name for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and node.module:
                found = {
                    f"{_module(file)}.{alias.name}": f"{node.module}.{alias.name}" for alias in node.names
                }
                if file.name == "__init__.py":
                    listed |= found
                else:
                    names |= set(found.values())

    def home(name: str) -> set[str]:
        while name in listed:
            name = listed[name]
        return {name, name.rpartition(".")[0]}

    return {module: set().union(*map(home, names)) for module, names in imports.items()}


def _module(file: Path) -> str:
    return ".".join(file.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")


def _files(path: Path) -> list[Path]:
    return [path] if path.is_file() else sorted(path.rglob("*.py"))
