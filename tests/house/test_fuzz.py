"""The fuzz harness finds what is wrong, keeps the input, and its seed says all."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.fuzz import planted, run, targets, worker
from tests.fuzz.target import Target
from tests.season_help import ROOT

WRONG = {
    "raises": "ZeroDivisionError at tests/fuzz/planted.py",
    "slow": "TooLong at tests/fuzz/planted.py",
    "large": "MemoryError at tests/fuzz/planted.py",
    "writes": "refused, and wrote: copies",
    "dead": "wheelbase",
}


@pytest.fixture
def alarm() -> Iterator[None]:
    """The bound of time is heard in this process too."""
    before = signal.signal(signal.SIGPROF, worker.too_long)
    yield
    signal.signal(signal.SIGPROF, before)


@pytest.mark.usefixtures("alarm")
@pytest.mark.parametrize(("name", "words"), WRONG.items(), ids=WRONG)
def test_a_broken_promise_is_found(tmp_path: Path, name: str, words: str) -> None:
    """One planted fault of each kind among inputs that are refused as they should be."""
    target = next(kind for kind in planted.TARGETS if kind.name == name)(tmp_path)
    said = {}
    for number in range(3 * planted.RARE):
        rng = worker.seeded(1, target, number)
        wrong = target.make(worker.seeded(1, target, number)) == planted.WRONG
        failure = worker.try_one(target, rng)[1]
        assert bool(failure) == wrong
        if failure:
            said[number] = failure.said
            break
    assert words in "".join(said.values())


HANGS = {"stuck": ("it hears no signal", run.PATIENCE_S, 1.0, 1), "asleep": ("no end in 1 s", 1.0, 2.0, 2)}


@pytest.mark.parametrize("name", HANGS)
def test_a_worker_that_hangs_is_replaced_and_the_input_kept(name: str) -> None:
    """Of code that hears no signal, too, the input is kept, and a new worker goes on to the next."""
    why, patience_s, seconds, at_least = HANGS[name]
    lines, found = run.run(seconds, 1, (name,), "tests.fuzz.planted", patience_s)
    try:
        ((kind, place),) = found.first.items()
        assert kind == f"{name}: {why}"
        assert found.counts[kind] >= at_least
        assert f"--seed 1 --target '{name}' --case" in found.again[kind]
        assert {file: (place / file).read_bytes() for file in planted.WRONG} == planted.WRONG
        assert [line.split()[0] for line in lines[1:]] == [name, "all"]
    finally:
        shutil.rmtree(found.folder)


def test_the_same_seed_makes_the_same_input(tmp_path: Path) -> None:
    """Whoever reads a seed and a number has the input: another process makes it byte for byte the same."""
    code = (
        "import hashlib, pathlib, sys; from tests.fuzz import targets, worker\n"
        "for kind in targets.TARGETS:\n"
        "    target = kind(pathlib.Path(sys.argv[1]))\n"
        "    made = [sorted(target.make(worker.seeded(5, target, n)).items()) for n in range(12)]\n"
        "    print(kind.name, hashlib.sha256(repr(made).encode()).hexdigest())"
    )
    command = [sys.executable, "-c", code, str(tmp_path)]
    one, two = (
        subprocess.run(
            command, cwd=ROOT, capture_output=True, text=True, check=True, env={**os.environ, "PYTHONHASHSEED": seed}
        ).stdout
        for seed in ("1", "2")
    )  # fmt: skip
    assert one == two
    assert len(one.splitlines()) == len(targets.TARGETS)


@pytest.mark.parametrize("kind", targets.TARGETS, ids=[kind.name for kind in targets.TARGETS])
def test_a_target_accepts_what_is_right(tmp_path: Path, kind: type[Target]) -> None:
    """Among forty inputs some are accepted and some refused: what refuses all, or nothing, tests nothing."""
    target = kind(tmp_path)
    ends = [worker.try_one(target, worker.seeded(2, target, number)) for number in range(40)]
    target.close()
    assert {accepted for accepted, _ in ends} == {True, False}


def test_what_the_long_run_found_is_mended(tmp_path: Path) -> None:
    """Seed 77, a season zip with a loadout whose name has spaces around it: every page opens on what is accepted."""
    target = next(kind for kind in targets.TARGETS if kind.name == "season zip")(tmp_path)
    _, error = worker.try_one(target, worker.seeded(77, target, 332))
    target.close()
    assert error is None
