"""Two packages are left out of the pins, and nothing else: the server and a notebook's charts start without them."""

from __future__ import annotations

import importlib.metadata
import subprocess
import sys
from collections.abc import Iterable, Iterator

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tests.season_help import ROOT
from workbook.launcher import marker
from workbook.launcher.environment import LEFT_OUT, TESTS_PINS, WORKBOOK_PINS


def asked_for(names: Iterable[str]) -> Iterator[str]:
    """Every package that these, with the extras by which they ask for each other, ask for on this system."""
    seen: set[tuple[str, str]] = set()
    left: list[tuple[str, str]] = [(name, "") for name in names]
    while left:
        name, extra = left.pop()
        if (name, extra) in seen or name in LEFT_OUT:
            continue
        seen.add((name, extra))
        yield name
        for text in importlib.metadata.requires(name) or ():
            wanted = Requirement(text)
            if wanted.marker is None or wanted.marker.evaluate({"extra": extra}):
                other = canonicalize_name(wanted.name)
                yield other
                left += [(other, one) for one in ("", *wanted.extras)]


def test_the_pins_hold_all_that_is_asked_for_but_what_is_left_out() -> None:
    """pip adds nothing by itself any more: a package that is missing from the lists would be missing at run time."""
    rows = [row for name in (WORKBOOK_PINS, TESTS_PINS) for row in marker.pins(ROOT / name)]
    pinned = {canonicalize_name(row.split("==")[0]) for row in rows}
    asked = set(asked_for(pinned))
    assert len(asked) > 100
    assert asked - pinned == {"rfc3987-syntax"}
    assert pinned.isdisjoint(LEFT_OUT)


STARTS = {
    "server": "import jupyterlab.labapp",
    "charts": "import plotly.io; plotly.io.renderers",
    "files": "import nbformat",
}
GRAMMARS = {"lark", "rfc3987_syntax"}


@pytest.mark.parametrize("start", STARTS)
def test_what_starts_does_not_build_grammars(start: str) -> None:
    """Neither server nor kernel spends its first second on the grammars of addresses that nobody writes here."""
    program = f"import sys; {STARTS[start]}; import jsonschema; print('done', *{GRAMMARS} & set(sys.modules))"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["done"]
