"""A fresh demo season for every notebook that nbval runs, and which tests share a worker.

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


def stays_with(nodeid: str) -> str:
    """What a test shares a worker with: its file's tests, the cells of its notebook, a running workbook."""
    file = nodeid.partition("::")[0]
    if not file.startswith("tests/browser/"):
        return file
    return "a running workbook" if file < "tests/browser/test_r" else "a second running workbook"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put the second half of the browser's tests behind most of the others, so that seldom two browsers run at once."""
    late = [item for item in items if stays_with(item.nodeid) == "a second running workbook"]
    rest = [item for item in items if stays_with(item.nodeid) != "a second running workbook"]
    at = len(rest) * 5 // 6
    while 0 < at < len(rest) and stays_with(rest[at].nodeid) == stays_with(rest[at - 1].nodeid):
        at += 1
    items[:] = [*rest[:at], *late, *rest[at:]]


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: object) -> object:
    """With two workers (tests/__main__.py): what belongs together stays on one of them."""
    from xdist.scheduler import LoadScopeScheduling

    class ByFile(LoadScopeScheduling):
        def _split_scope(self, nodeid: str) -> str:
            return stays_with(nodeid)

    return ByFile(config, log)
