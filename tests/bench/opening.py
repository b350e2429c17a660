"""From an address to a slider that answers: the loadout page against JupyterLab with one slider and one label.

Both on the same server in a headless browser, in turns, time on the wall. The slider answers when its first step has
changed what the page says. First page: in a browser that has never been here. Next page: opened in a tab that shows
another one already. Also the memory of the kernels, with all pages open side by side.
"""

from __future__ import annotations

import os
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

import nbformat
import psutil
from playwright.sync_api import Browser, Page, sync_playwright

from tests.bench.repaint import LABEL_PAGE
from tests.bench.timing import Spread, ratio, spread, verdict
from tests.browser import chromium
from tests.browser.lab import ROOT, Lab, Running, start_command

ROUNDS = 5
PAUSE_S = 8.0  # between two openings, as a person reads: the next kernel gets ready meanwhile
FIRST_TIMES, NEXT_TIMES, NEXT_S, KERNELS_MB = 1.5, 1.2, 1.5, 800
START, LOADOUT = "00-start.ipynb", "03-loadout.ipynb"
LABELS = ("bench-label.ipynb", "bench-label-2.ipynb")
ANSWERS = """async ([path, open]) => {
  const frame = () => new Promise(requestAnimationFrame);
  const until = async (find) => {
    let found;
    while (!(found = find())) {
      if (performance.now() - start > 120000) throw new Error(`no answer on ${path}`);
      await frame();
    }
    return found;
  };
  const start = open ? performance.now() : 0; // else since the address was asked for
  if (open) jupyterapp.commands.execute('docmanager:open', { path });
  const inFront = () => window.jupyterapp?.shell.currentWidget;
  const panel = await until(() => inFront()?.context?.path === path && inFront());
  const isLabel = path.includes('label');
  if (isLabel) { // JupyterLab runs nothing by itself: this is somebody who does so at once
    await until(() => panel.node.dataset.loadoutRun === 'left alone');
    jupyterapp.commands.execute('notebook:run-all-cells');
  }
  const answer = isLabel ? '.bench-label' : '[data-loadout-place=answer] .jp-OutputArea-output';
  const text = () => panel.node.querySelector(answer)?.textContent;
  const slider = await until(() => panel.node.querySelector(isLabel ? '.noUi-handle' : '.di-rail'));
  const before = await until(text);
  if (isLabel) {
    slider.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowRight', bubbles: true, cancelable: true }));
  } else { // a native slider takes no key that a script makes; this is what it does with one
    slider.valueAsNumber += 1;
    slider.dispatchEvent(new Event('input', { bubbles: true }));
  }
  await until(() => text() !== before);
  await frame();
  return (performance.now() - start) / 1000;
}"""


def lines() -> Iterator[str]:
    """The part's lines of text."""
    path = chromium.find()
    if path is None:
        yield f"\nOpening: not measured, no Chromium-family browser; {chromium.install_command()} brings one"
        return
    as_root = hasattr(os, "geteuid") and os.geteuid() == 0
    with tempfile.TemporaryDirectory() as home, sync_playwright() as playwright:
        running = start_command(Path(home))
        browser = playwright.chromium.launch(executable_path=path, args=["--no-sandbox"] if as_root else [])
        found = _measure(running, browser)
        memory_mb = _memory_mb(running, browser)
        browser.close()
        running.interrupt()
    yield f"\nOpening: address to a slider that answers, {ROUNDS} rounds in turns, time on the wall"
    for name, times in found.items():
        yield f"  {name:31} {spread(times).text()} s"
    first = ratio(found["first: loadout page"], found["first: one label"])
    following = ratio(found["next: loadout page"], found["next: one label"])
    yield _goal("first page, times one label", first, FIRST_TIMES, "times")
    yield _goal("next page, times one label", following, NEXT_TIMES, "times")
    yield _goal("next page", spread(found["next: loadout page"]), NEXT_S, "s")
    together = sum(memory_mb)
    each = f"{min(memory_mb):.0f} to {max(memory_mb):.0f} each"
    met = verdict(together <= KERNELS_MB)
    name = f"kernels of {len(memory_mb)} pages, resident"
    yield f"  {name:31} {together:.0f} MB ({each}); goal at most {KERNELS_MB}: {met}"


def _goal(name: str, found: Spread, most: float, unit: str) -> str:
    return f"  {name:31} {found.text()} {unit}; goal at most {most:g}: {verdict(found.median <= most)}"


def _measure(running: Running, browser: Browser) -> dict[str, list[float]]:
    for name in LABELS:
        made = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(LABEL_PAGE[0])])
        made.metadata["kernelspec"] = {"name": "python3", "display_name": "Python 3"}
        nbformat.write(made, running.pages / name)
    found: dict[str, list[float]] = {
        "first: one label": [], "first: loadout page": [], "next: one label": [], "next: loadout page": []
    }  # fmt: skip
    _take(running, browser, START, LOADOUT)  # the server's own first time counts for nobody
    for _ in range(ROUNDS):
        first, following = _take(running, browser, *LABELS)
        found["first: one label"].append(first)
        found["next: one label"].append(following)
        first, _ = _take(running, browser, LOADOUT, None)
        found["first: loadout page"].append(first)
        _, following = _take(running, browser, START, LOADOUT)
        found["next: loadout page"].append(following)
    return found


def _take(running: Running, browser: Browser, first: str, following: str | None) -> tuple[float, float]:
    """Seconds until the first page of a fresh browser answers, and until the next one in the same tab does."""
    lab = Lab(running, browser)
    page: Page = lab.context.new_page()
    time.sleep(PAUSE_S)
    times = [0.0, 0.0]
    if first == START:
        page.goto(running.page_address(first))
        lab.wait_run(page)
    else:
        page.goto(running.page_address(first), wait_until="commit")
        times[0] = page.evaluate(ANSWERS, [first, False])
    if following:
        time.sleep(PAUSE_S)
        times[1] = page.evaluate(ANSWERS, [following, True])
    lab.close()
    return times[0], times[1]


def _memory_mb(running: Running, browser: Browser) -> list[float]:
    """Megabytes that each kernel of a page holds while all pages are open."""
    lab = Lab(running, browser)
    for path in sorted((ROOT / "workbook").glob("[0-9][0-9]-*.ipynb")):
        lab.open_page(path.name, parts=False)
    pages = {kernel["id"] for kernel in running.api("kernels")}
    kernels = [
        one
        for one in psutil.Process(running.process.pid).children()
        if "kernel-" in " ".join(one.cmdline())
    ]
    held = sorted((one.memory_info().rss / 1e6 for one in kernels), reverse=True)
    lab.close()
    return held[: len(pages)]  # the smallest is the spare, which no page has yet
