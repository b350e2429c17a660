"""Fixtures of the browser tests, and what happens where no browser is found."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect, sync_playwright

from loadcalc.season import Season, open_season
from tests.browser import chromium
from tests.browser.lab import Lab, Running, start_command

HERE = Path(__file__).resolve().parent
expect.set_options(timeout=15_000)  # a busy machine takes its time; what comes at once isn't waited for
NO_BROWSER = "no Chromium-family browser was found"
NOT_RUN = pytest.StashKey[list[str]]()


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Mark what lies in this folder as `browser`; without a browser leave it out, but never in CI."""
    mine = [item for item in items if HERE in item.path.parents]
    found = chromium.find()
    for item in mine:
        item.add_marker(pytest.mark.browser)
        if found is None and not os.environ.get("CI"):
            item.add_marker(pytest.mark.skip(reason=f"{NO_BROWSER}; {chromium.install_command()} brings one"))
            config.stash.setdefault(NOT_RUN, []).append(item.nodeid)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    """Name the tests that were not run, and the one command that would bring a browser."""
    names = config.stash.get(NOT_RUN, [])
    if names:
        terminalreporter.section("browser tests NOT run")
        for name in names:
            terminalreporter.line(f"  {name}")
        terminalreporter.line(f"{NO_BROWSER}. To run them too: {chromium.install_command()}")


@pytest.fixture(scope="package")
def browser() -> Iterator[Browser]:
    """One headless browser for all tests of this folder."""
    path = chromium.find()
    if path is None:
        pytest.fail(f"{NO_BROWSER}, and CI needs one: {chromium.install_command()}")
    # A container's root has no other way to start Chromium than without its sandbox.
    as_root = hasattr(os, "geteuid") and os.geteuid() == 0
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=path, args=["--no-sandbox"] if as_root else [])
        yield started
        started.close()


@pytest.fixture(scope="package")
def running(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    """The real command, on a fresh demo season, with nothing of the user's own in reach."""
    command = start_command(tmp_path_factory.mktemp("home"))
    yield command
    code, printed = command.interrupt()
    assert code == 0, printed


@pytest.fixture
def season(running: Running) -> Iterator[Season]:
    """The season that the pages show, opened beside them; what a test did to it is undone after it."""
    opened = open_season(running.home / "demo")
    start = opened.version
    yield opened
    while opened.next_undo is not None and opened.next_undo.id > start:
        opened.undo()
    opened.close()


@pytest.fixture(scope="package")
def shared_lab(running: Running, browser: Browser) -> Iterator[Lab]:
    """One browser profile for the tests of this folder."""
    view = Lab(running, browser, one_tab=True)
    yield view
    view.close()


@pytest.fixture
def fresh_lab(running: Running, browser: Browser, shared_lab: Lab) -> Iterator[Lab]:
    """A browser profile of the test's own, which has loaded nothing yet; no kernel runs that it didn't start."""
    shared_lab.leave_tab()
    view = Lab(running, browser)
    yield view
    view.close()


@pytest.fixture
def lab(request: pytest.FixtureRequest) -> Iterator[Lab]:
    """The running workbook in a browser; see tests/browser/lab.py."""
    if getattr(request.module, "FRESH", False):
        yield request.getfixturevalue("fresh_lab")
        return
    view = request.getfixturevalue("shared_lab")
    failed = request.session.testsfailed
    yield view
    if request.session.testsfailed > failed:  # nobody knows what stands in the tab now
        view.leave_tab()
    view.judge()
