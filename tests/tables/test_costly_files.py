"""Small files that ask for a lot: by the door of a page, each is read or refused in under two seconds and 200 MB."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.season_help import ROOT
from tests.tables.costly_files import CASES

MOST_S, MOST_MB = 2.0, 200


@pytest.fixture(scope="module")
def outcomes(tmp_path_factory: pytest.TempPathFactory) -> dict[str, dict[str, Any]]:
    """How each file went, in a process of its own."""
    folder: Path = tmp_path_factory.mktemp("costly")
    command = [sys.executable, "-m", "tests.tables.costly_files", str(folder)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
    found = [json.loads(line) for line in done.stdout.splitlines()]
    return {outcome["case"]: outcome for outcome in found}


@pytest.mark.parametrize("name", CASES)
def test_a_costly_file_costs_little(outcomes: dict[str, dict[str, Any]], name: str) -> None:
    """It is read, or refused with what is the matter; nothing is raised, and neither time nor memory goes."""
    found = outcomes[name]
    assert not found["raised"]
    assert CASES[name].said in found["said"]
    assert found["s"] < MOST_S
    assert found["mb"] < MOST_MB
