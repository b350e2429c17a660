"""A fresh demo season for every notebook that nbval runs, and which tests belong to one worker.

A pytest plugin of its own (`-p tests.notebooks` in pyproject.toml), because the notebooks lie outside of `tests/`,
where a conftest would not reach them.
"""

import os
import tempfile
from pathlib import Path

import pytest

SEASON = pytest.StashKey[Path]()


def pytest_configure() -> None:
    """Keep the season of whoever runs the tests out of them."""
    os.environ.pop("LOADOUT_SEASON", None)


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_setup(item: pytest.Item) -> None:
    """Before a notebook's kernel starts, point LOADOUT_SEASON at a demo season that no other notebook has changed."""
    if item.path.suffix != ".ipynb":
        return
    notebook = item.parent
    assert notebook is not None
    if SEASON not in notebook.stash:
        from workbook.launcher import season

        folder = tempfile.TemporaryDirectory(prefix="season-")
        item.config.add_cleanup(folder.cleanup)
        notebook.stash[SEASON] = Path(folder.name)
        season.prepare(notebook.stash[SEASON], season.ROOT / "data" / "demo")
    os.environ["LOADOUT_SEASON"] = str(notebook.stash[SEASON])


@pytest.hookimpl(tryfirst=True)  # before xdist reads the groups
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """With two workers: a file's tests stay together, cells of a notebook above all, and so do the browser's tests.

    The browser tests share one running workbook; beside them the other worker does everything else.
    """
    for item in items:
        folder = item.path.parent.name
        item.add_marker(pytest.mark.xdist_group(folder if folder == "browser" else item.path.name))
