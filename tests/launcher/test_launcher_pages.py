"""The working copies of the pages: what is fresh, what is kept, what is trusted."""

import datetime
import json
from pathlib import Path
from typing import Any

import nbformat
import pytest
from nbformat.sign import NotebookNotary

from workbook.launcher import pages

TODAY = datetime.date(2031, 5, 17)


def page(*sources: str) -> dict[str, Any]:
    """A small page with stored outputs, as the project keeps it."""
    cells = [nbformat.v4.new_code_cell(source, execution_count=1) for source in sources]
    cells[0].outputs = [nbformat.v4.new_output("stream", text="stored\n")]
    made: dict[str, Any] = nbformat.v4.new_notebook(cells=cells, metadata={"workbook": {"autorun": True}})
    return made


def write(path: Path, content: dict[str, Any]) -> None:
    """Write a notebook."""
    path.write_text(json.dumps(content), encoding="utf-8")


def read(path: Path) -> dict[str, Any]:
    """Read a notebook."""
    content: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return content


@pytest.fixture
def folders(tmp_path: Path) -> tuple[Path, Path]:
    """The project's folder with two pages, and the working folder after a first start."""
    source, target = tmp_path / "source", tmp_path / "target"
    source.mkdir()
    write(source / "00-start.ipynb", page("1"))
    write(source / "01-more.ipynb", page("2", "3"))
    write(source / "notes.ipynb", page("4"))
    assert pages.refresh(source, target, TODAY) == ["00-start.ipynb", "01-more.ipynb"]
    return source, target


def test_copies_are_numbered_pages_without_outputs(folders: tuple[Path, Path]) -> None:
    """Only numbered pages are copied; their stored outputs, which tell of the demo season, stay behind."""
    _, target = folders
    assert sorted(path.name for path in target.iterdir()) == ["00-start.ipynb", "01-more.ipynb"]
    copy = read(target / "01-more.ipynb")
    assert [cell["outputs"] for cell in copy["cells"]] == [[], []]
    assert [cell["execution_count"] for cell in copy["cells"]] == [None, None]
    assert copy["metadata"]["workbook"]["autorun"] is True


def test_a_page_that_was_only_run_is_made_afresh(folders: tuple[Path, Path]) -> None:
    """Outputs, counts and an empty cell at the end are no change; the project's newer text comes in."""
    source, target = folders
    ran = read(target / "00-start.ipynb")
    ran["cells"][0]["outputs"] = [nbformat.v4.new_output("stream", text="mine\n")]
    ran["cells"].append(nbformat.v4.new_code_cell(" \n"))
    write(target / "00-start.ipynb", ran)
    write(source / "00-start.ipynb", page("1 + 1"))
    pages.refresh(source, target, TODAY)
    assert len(list(target.iterdir())) == 2
    assert [cell["source"] for cell in read(target / "00-start.ipynb")["cells"]] == ["1 + 1"]


def test_a_changed_page_is_kept_under_another_name(folders: tuple[Path, Path]) -> None:
    """Each change of one day has its own file, and the fresh page has the project's text again."""
    source, target = folders
    for text in ("mine", "mine again"):
        changed = read(target / "01-more.ipynb")
        changed["cells"][1]["source"] = text
        write(target / "01-more.ipynb", changed)
        pages.refresh(source, target, TODAY)
    assert read(target / "01-more (yours 2031-05-17).ipynb")["cells"][1]["source"] == "mine"
    assert read(target / "01-more (yours 2031-05-17, 2).ipynb")["cells"][1]["source"] == "mine again"
    assert read(target / "01-more.ipynb")["cells"][1]["source"] == "3"


@pytest.mark.parametrize("text", ["no notebook at all", "{}", '{"cells": [], "metadata": {}}'])
def test_what_is_no_copy_of_ours_is_kept(folders: tuple[Path, Path], text: str) -> None:
    """A damaged file, or somebody's own under a page's name, is moved aside and not lost."""
    source, target = folders
    (target / "00-start.ipynb").write_text(text, encoding="utf-8")
    pages.refresh(source, target, TODAY)
    assert (target / "00-start (yours 2031-05-17).ipynb").read_text(encoding="utf-8") == text


def test_notebooks_of_other_names_are_left_alone(folders: tuple[Path, Path]) -> None:
    """Somebody's own notebook beside the pages keeps its bytes."""
    source, target = folders
    (target / "my trip.ipynb").write_text("anything", encoding="utf-8")
    pages.refresh(source, target, TODAY)
    assert (target / "my trip.ipynb").read_text(encoding="utf-8") == "anything"


def test_only_fresh_copies_are_signed(folders: tuple[Path, Path], tmp_path: Path) -> None:
    """The pages are trusted; a foreign notebook, a kept change, and a page changed after signing are not."""
    source, target = folders
    changed = read(target / "01-more.ipynb")
    changed["cells"][0]["source"] = "mine"
    write(target / "01-more.ipynb", changed)
    write(target / "foreign.ipynb", page("5"))
    names = pages.refresh(source, target, TODAY)
    pages.sign(target, names, tmp_path)

    notary = NotebookNotary(data_dir=str(tmp_path))

    def trusted(name: str) -> bool:
        return bool(notary.check_signature(nbformat.read(target / name, as_version=4)))

    assert trusted("00-start.ipynb")
    assert trusted("01-more.ipynb")
    assert not trusted("foreign.ipynb")
    assert not trusted("01-more (yours 2031-05-17).ipynb")
    tampered = read(target / "00-start.ipynb")
    tampered["cells"][0]["source"] = "import os"
    write(target / "00-start.ipynb", tampered)
    assert not trusted("00-start.ipynb")
    notary.store.close()
