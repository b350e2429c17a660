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


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: object) -> object:
    """With two workers: a file's tests stay together, cells of a notebook above all, and so do all of the browser's.

    The browser tests share one running workbook; beside them the other worker does everything else.
    """
    from xdist.scheduler import LoadScopeScheduling

    class ByFile(LoadScopeScheduling):
        def _split_scope(self, nodeid: str) -> str:
            return "browser" if nodeid.startswith("tests/browser/") else nodeid.partition("::")[0]

    return ByFile(config, log)
