"""A fresh demo season for every notebook that nbval runs, and which worker runs which tests.

A pytest plugin of its own (`-p tests.notebooks` in pyproject.toml), because the notebooks lie outside of `tests/`,
where a conftest would not reach them.
"""

import os
import tempfile
from collections import Counter
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


def is_browsers(nodeid: str) -> bool:
    """Whether a test drives a browser."""
    return nodeid.startswith("tests/browser/")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put the browser's files with the most tests first, so that two workers end with short ones."""
    tests = Counter(item.path for item in items)
    items.sort(key=lambda item: -tests[item.path] if is_browsers(item.nodeid) else 0)


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: object) -> object:
    """With two workers (tests/__main__.py): the tests of a file, and the cells of a notebook, stay on one of them.

    The first worker begins with the browser's files, the other one with all the rest; whoever is through helps. So
    both end together, seldom do two browsers run at once, and each worker starts the workbook at most once.
    """
    from xdist.scheduler import LoadScopeScheduling
    from xdist.workermanage import WorkerController

    class ByFile(LoadScopeScheduling):
        def _split_scope(self, nodeid: str) -> str:
            return nodeid.partition("::")[0]

        def _assign_work_unit(self, node: WorkerController) -> None:
            is_first = node is next(iter(self.assigned_work))
            its_own = [scope for scope in self.workqueue if is_browsers(scope) == is_first]
            if its_own:
                self.workqueue.move_to_end(its_own[0], last=False)
            super()._assign_work_unit(node)

    return ByFile(config, log)
