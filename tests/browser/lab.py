"""Driving the real workbook: the command in a process of its own, its pages in a headless browser.

A browser test takes the fixture `lab` (tests/browser/conftest.py) and reads like this:

    def test_a_heavier_box_moves_the_bar(lab: Lab) -> None:
        page = lab.open_page("01-vehicle-ratings.ipynb")   # a Playwright page; the notebook has run to its end
        page.get_by_role("slider").first.press("ArrowRight")
        expect(page.get_by_text("1234 kg")).to_be_visible()
        lab.screenshot(page, "01-one-step")

Always expect the final value, computed from the package: "it changed" also holds half way. All pages of a test run
share one server on a fresh demo season, and one tab of one browser profile: the page that an earlier test left there
runs afresh from its first cell, another one takes its place as a press on its name would do; both take a third of the
time of a new tab. A second page of the same test gets a tab of its own. A file that says `FRESH = True` has a profile
of its own for every test, and no kernel at its start.
When a test ends, the fixture fails it if the browser asked for anything outside this machine, or if the page
reported an error (`lab.allow_error("part of the message")` for one that the test causes on purpose).
"""

import atexit
import dataclasses
import itertools
import json
import os
import queue
import re
import shutil
import signal
import socket
import subprocess
import sys
import threading
import time
import urllib.parse
import urllib.request
from pathlib import Path
from typing import IO, Any

from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page, ViewportSize

WORKSPACES = itertools.count()
ROOT = Path(__file__).resolve().parents[2]
SCREENSHOTS = ROOT / ".screenshots"
ADDRESS = re.compile(r"http://127\.0\.0\.1:\d+/\S*token=\w+")
START_S = 120.0  # the command until it prints its address
RUN_MS = 180_000  # a page until all its cells have run; a machine where others work too can take a minute
VIEWPORT: ViewportSize = {"width": 1280, "height": 900}
HERE = {"127.0.0.1", "localhost"}
LOCAL_SCHEMES = {"data", "blob", "about", "chrome-error"}

# The page has run when the workbook's extension says so, the kernel is connected and idle, and every code cell
# that isn't empty, nor in a closed part, has a number. Needs LOADOUT_EXPOSE_APP=1 in the server's environment.
HAS_RUN = """() => {
  const panel = window.jupyterapp?.shell.currentWidget;
  const kernel = panel?.sessionContext?.session?.kernel;
  if (!panel?.sessionContext?.isReady || kernel?.connectionStatus !== 'connected' || kernel.status !== 'idle') {
    return null;
  }
  const open = panel.content.widgets.filter(cell => !('loadoutFolded' in cell.node.dataset)).map(cell => cell.model);
  const cells = open.filter(cell => cell.type === 'code');
  const waiting = cells.filter(cell => cell.sharedModel.source.trim() && cell.executionCount === null);
  const state = panel.node.dataset.loadoutRun;
  return state === 'failed' || (state === 'done' && waiting.length === 0) ? state : null;
}"""
# All that the last test left on the page goes: outputs, focus, where it was scrolled to, what was hovered. JupyterLab
# passes over the command, without a word, while it does not take the page for the one in front.
RUN_AFRESH = """async () => {
  const { commands, shell } = window.jupyterapp;
  const panel = shell.currentWidget;
  const first = [...panel.content.model.cells].find(cell => cell.type === 'code');
  const before = first.executionCount;
  document.activeElement?.blur();
  while (first.executionCount === before) {
    shell.activateById(panel.id);
    await commands.execute('notebook:run-all-cells');
    await new Promise(requestAnimationFrame);
  }
  await panel.sessionContext.session.kernel.info;
  panel.content.node.querySelector('.jp-WindowedPanel-outer')?.scrollTo(0, 0);
}"""
# One press on a button at the head of the page in front; which of the two it has changes while parts open.
PRESS = """name => [...document.querySelectorAll('.jp-NotebookPanel:not(.lm-mod-hidden) button')]
  .find(button => button.textContent.trim() === name)?.click()"""
# The page in the tab, when no other stands behind it.
ALONE = """() => {
  const open = [...window.jupyterapp.shell.widgets('main')];
  return open.length === 1 ? open[0].context?.path : null;
}"""
# What stood in the tab goes, with its kernel and without a question; the light theme comes back.
GO_TO = """async path => {
  const { commands, shell } = window.jupyterapp;
  for (const panel of [...shell.widgets('main')]) {
    await panel.context?.sessionContext.shutdown();
    panel.dispose();
  }
  if (document.body.dataset.jpThemeLight !== 'true') {
    await commands.execute('apputils:change-theme', { theme: 'JupyterLab Light' });
  }
  await commands.execute('docmanager:open', { path, factory: 'Notebook' });
}"""
IS_LEFT_ALONE = "() => window.jupyterapp?.shell.currentWidget?.node.dataset.loadoutRun === 'left alone'"


@dataclasses.dataclass(frozen=True, kw_only=True)
class Running:
    """The command while it runs."""

    process: subprocess.Popen[str]
    address: str  # as printed, token included
    home: Path  # its LOADOUT_HOME: season, working copies of the pages, JupyterLab's files
    lines: "queue.Queue[str | None]"  # what it prints after the address

    @property
    def pages(self) -> Path:
        """The working copies of the pages."""
        return self.home / "pages"

    def page_address(self, name: str = "") -> str:
        """The address of another notebook on the same server, or of none, in a workspace that no tab has used before.

        JupyterLab brings back all that was open in a workspace, and each page that comes back runs.
        """
        parts = urllib.parse.urlsplit(self.address)
        path = f"/lab/workspaces/test-{next(WORKSPACES)}" + (name and f"/tree/{urllib.parse.quote(name)}")
        return parts._replace(path=path).geturl()

    def api(self, path: str, method: str = "GET") -> Any:
        """Ask the server itself: api("sessions"), api("kernels")."""
        parts = urllib.parse.urlsplit(self.address)
        request = urllib.request.Request(parts._replace(path="/api/" + path).geturl(), method=method)
        with urllib.request.urlopen(request, timeout=30) as answer:
            body = answer.read()
        return json.loads(body) if body else None

    def interrupt(self, timeout_s: float = 30.0) -> tuple[int, str]:
        """Press Ctrl-C once. Returns the exit code and what was printed since the address."""
        self.process.send_signal(signal.SIGINT)
        code = self.process.wait(timeout_s)
        return code, "".join(iter(lambda: self.lines.get(timeout=5) or "", ""))


def start_command(home: Path, *options: str, port: int = 0) -> Running:
    """Start `python -m workbook --no-browser` and wait for its address.

    home    : what takes the place of `.seasons`
    port    : where it listens; without it, on a free port
    options : further options of the command
    """
    environment = os.environ | {"LOADOUT_HOME": str(home), "LOADOUT_EXPOSE_APP": "1"}
    environment.pop("LOADOUT_SEASON", None)
    command = [sys.executable, "-m", "workbook", "--no-browser", "--port", str(port or free_port()), *options]
    process = subprocess.Popen(
        command, cwd=ROOT, env=environment, text=True, stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
    )  # fmt: skip
    atexit.register(process.terminate)  # also when whoever started it fails half way
    assert process.stdout is not None
    lines: queue.Queue[str | None] = queue.Queue()
    threading.Thread(target=_read, args=(process.stdout, lines), daemon=True).start()
    printed = ""
    deadline = time.monotonic() + START_S
    while not (found := ADDRESS.search(printed)):
        try:
            line = lines.get(timeout=max(0.0, deadline - time.monotonic()))
        except queue.Empty:
            line = None
        if line is None:
            process.kill()
            raise AssertionError(f"{' '.join(command)} printed no address:\n{printed}")
        printed += line
    return Running(process=process, address=found.group(), home=home, lines=lines)


def _read(stream: IO[str], lines: "queue.Queue[str | None]") -> None:
    for line in stream:
        lines.put(line)
    lines.put(None)
    stream.close()


def free_port() -> int:
    """A port that nobody listens on at this moment."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


class Lab:
    """A browser profile on the running workbook, and all that its pages asked for."""

    def __init__(self, running: Running, browser: Browser, *, one_tab: bool = False) -> None:
        """running : the server; browser : the browser that all tests share

        one_tab : the first page of every test comes into the same tab; else each has a tab of its own, by its address
        """
        self.running = running
        self._one_tab = one_tab
        self.off_machine: list[str] = []  # requests to any other machine
        self.errors: list[str] = []  # what the pages reported as errors
        self._allowed: list[str] = []
        self._tab: Page | None = None  # the one that all tests share
        self._in_tab = ""  # the page that stands there, "" when it must not be taken for one
        self._taken = False  # by the test in hand
        self._opened: set[str] = set()  # the pages whose kernels are this profile's
        self.context: BrowserContext = browser.new_context(viewport=VIEWPORT)
        self.context.on("request", lambda request: self._note(request.url))
        self.context.on("console", self._console)
        self.context.on("weberror", lambda web_error: self.errors.append(str(web_error.error)))

    def _note(self, url: str) -> None:
        parts = urllib.parse.urlsplit(url)
        if parts.scheme not in LOCAL_SCHEMES and parts.hostname not in HERE:
            self.off_machine.append(url)

    def _console(self, message: ConsoleMessage) -> None:
        if message.type == "error":
            self.errors.append(f"{message.text} ({message.location.get('url', '')})")

    def open_page(self, name: str, run: bool = True, parts: bool = True) -> Page:
        """Open a notebook, in the tab that all tests share or in a tab of its own.

        name  : "01-vehicle-ratings.ipynb"
        run   : wait until the page has run by itself; False for a notebook that must not, and has no kernel
        parts : open all parts of the page, by its own button
        """
        self._opened.add(name)
        if self._taken or not self._one_tab:
            page = self._new_tab()
            page.goto(self.running.page_address(name))
        else:
            page = self._tab or self._empty_tab()
            self._take_over(page, name, run)
            self._tab, self._in_tab, self._taken = page, name if run else "", True
        if run:
            self._settle(page, parts)
        else:
            page.wait_for_function(IS_LEFT_ALONE, timeout=RUN_MS)
        # An update that was under way for a chart that has just gone from the page (plotly's widget says so).
        self.errors[:] = [text for text in self.errors if not text.startswith("Error setting state:")]
        return page

    def _new_tab(self) -> Page:
        page = self.context.new_page()
        page.on("websocket", lambda socket_: self._note(socket_.url))
        return page

    def _empty_tab(self) -> Page:
        """Open JupyterLab with no page: the page of an address is opened once more a second later, over any other."""
        page = self._new_tab()
        page.goto(self.running.page_address())
        page.wait_for_function("() => window.jupyterapp")
        page.evaluate("async () => { await window.jupyterapp.restored; }")
        return page

    def _take_over(self, page: Page, name: str, run: bool) -> None:
        """Make the tab as if nobody had used it, with this page in it."""
        page.bring_to_front()
        page.set_viewport_size(VIEWPORT)
        page.mouse.move(0, 0)
        if run and page.evaluate(ALONE) == self._in_tab == name:
            page.evaluate(RUN_AFRESH)
        else:
            page.evaluate(GO_TO, name)

    def leave_tab(self) -> None:
        """Let the next test begin in a new tab, on a new kernel."""
        if self._tab is not None:
            self._tab.close()
            self._tab = None
            self._end_kernels()

    def _settle(self, page: Page, parts: bool) -> None:
        self.wait_run(page)
        page.evaluate(PRESS, "Open all parts" if parts else "Close all parts")
        self.wait_run(page)

    def wait_run(self, page: Page) -> None:
        """Wait until the page in front has run to its end; fail with its error text when a cell failed."""
        state = page.wait_for_function(HAS_RUN, timeout=RUN_MS).json_value()
        if state != "done":
            said = page.locator("[data-mime-type$='.stderr'], [data-mime-type$='.error']").all_inner_texts()
            raise AssertionError("A cell of the page failed:\n" + "\n".join(said))

    def screenshot(self, page: Page, name: str) -> Path:
        """Save what is seen now as .screenshots/NAME.png. Returns the path."""
        SCREENSHOTS.mkdir(exist_ok=True)
        path = SCREENSHOTS / f"{name}.png"
        page.screenshot(path=path)
        return path

    def allow_error(self, part: str) -> None:
        """Accept reported errors with this text in them: the test causes them on purpose."""
        self._allowed.append(part)

    def judge(self) -> None:
        """Judge what was recorded since the last time, and close what the next test would not find by itself."""
        others = [page for page in self.context.pages if page != self._tab]
        for page in others:
            page.close()
        if others:
            self._end_kernels(but=self._in_tab)
        errors = [text for text in self.errors if not any(part in text for part in self._allowed)]
        off_machine = [*self.off_machine]
        self._taken = False
        for noted in (self.errors, self.off_machine, self._allowed):
            noted.clear()
        assert not off_machine, f"requests off this machine: {off_machine}"
        assert not errors, f"errors reported by the page: {errors}"

    def close(self) -> None:
        """Judge what was recorded, and end the browser profile and the kernels."""
        try:
            self.judge()
        finally:
            self.context.close()
            self._end_kernels()
            # Which tabs were open: the next test starts with none.
            shutil.rmtree(self.running.home / ".jupyter" / "workspaces", ignore_errors=True)

    def _end_kernels(self, but: str = "") -> None:
        """End the kernels of this profile's pages."""
        for session in self.running.api("sessions"):
            if session["path"] in self._opened - {but}:
                self.running.api(f"sessions/{session['id']}", "DELETE")
