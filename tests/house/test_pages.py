"""The pages as files: thin, reviewable, and with something for nbval to compare."""

from __future__ import annotations

import ast
import json
import re
from pathlib import Path
from typing import Any

import pytest

from tests.store_page_text import PAGES

MOST_LINES = 12
OPEN = "09-your-own"


def read(path: Path) -> dict[str, Any]:
    """The page as JSON."""
    loaded: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return loaded


def code(path: Path) -> list[dict[str, Any]]:
    """Its code cells."""
    return [cell for cell in read(path)["cells"] if cell["cell_type"] == "code"]


def test_there_are_pages() -> None:
    """The tests below run on something."""
    assert [path.stem[:2] for path in PAGES] == [f"{n:02d}" for n in range(len(PAGES))]
    assert len(PAGES) >= 4


@pytest.mark.parametrize("path", PAGES, ids=lambda p: p.stem)
class TestPage:
    """One page."""

    def test_opens_with_its_title_and_a_paragraph(self, path: Path) -> None:
        """The first cell says what the page is for."""
        first = read(path)["cells"][0]
        text = "".join(first["source"])
        assert first["cell_type"] == "markdown"
        assert text.startswith("# ")
        assert len(text.split("\n\n")[1]) > 80

    def test_is_thin(self, path: Path) -> None:
        """Short cells, no definitions, nothing installed, nothing imported wholesale."""
        for cell in code(path):
            source = "".join(cell["source"])
            tree = ast.parse(source)
            assert len(source.splitlines()) <= MOST_LINES
            assert not [
                n for n in ast.walk(tree) if isinstance(n, ast.FunctionDef | ast.ClassDef | ast.Lambda)
            ]
            assert "import *" not in source

    def test_hides_its_code_one_click_away(self, path: Path) -> None:
        """Every code cell is folded, but for the page whose matter is code: there it is open."""
        folded = {cell["metadata"]["jupyter"]["source_hidden"] for cell in code(path)}
        assert folded == ({True, False} if path.stem == OPEN else {True})

    def test_says_its_result_as_text_that_is_compared(self, path: Path) -> None:
        """At least one cell has stored text and a number, without which nbval compares nothing."""
        told = [cell for cell in code(path) if cell["outputs"]]
        assert told
        for cell in told:
            assert cell["execution_count"] is not None
            assert [out["output_type"] for out in cell["outputs"]] == ["stream"]
            assert any(re.search(r"\d", "".join(out["text"])) for out in cell["outputs"])

    def test_carries_no_state_and_no_path_of_a_machine(self, path: Path) -> None:
        """No widget state, no figure, no absolute path, one kernel name, cell ids."""
        page = read(path)
        assert set(page["metadata"]) == {"kernelspec", "language_info", "workbook"}
        assert page["metadata"]["kernelspec"]["name"] == "python3"
        known = {"autorun": True, "name": page["metadata"]["workbook"]["name"]}
        assert page["metadata"]["workbook"] == known | ({"code": "shown"} if path.stem == OPEN else {})
        assert len({cell["id"] for cell in page["cells"]}) == len(page["cells"])
        assert not re.search(r"/(home|root|tmp|work|Users)/", path.read_text(encoding="utf-8"))
        assert path.stat().st_size < 20_000

    def test_links_only_to_pages_that_are_there(self, path: Path) -> None:
        """A link to another page finds it."""
        text = "".join(
            "".join(cell["source"]) for cell in read(path)["cells"] if cell["cell_type"] == "markdown"
        )
        for target in re.findall(r"\]\(([\w-]+\.ipynb)\)", text):
            assert (path.parent / target).is_file(), target
