"""From a move of a slider to the repainted numbers: the loadout page against a slider with a bare label.

Both in the real workbook in a headless browser, in turns. On the loadout page a move counts as painted when the
tightest ratings of the answer read differently; how long after that the chart does is told beside it.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from tests.bench.timing import ratio, spread, verdict

PRESSES, WARM_UP, BLOCKS = 12, 3, 4
TIMES_LABEL = 1.2
LABEL_PAGE = (
    "import ipywidgets as w\nslider = w.FloatSlider(value=50, step=1)\n"
    "label = w.HTML('50', layout=w.Layout(width='9em'))\n"
    "label.add_class('bench-label')\nslider.observe(lambda c: setattr(label, 'value', str(c['new'])), 'value')\n"
    "w.HBox([slider, label])",
)
LABEL = [".bench-label"]
ANSWER, CHART = [".an-tight"], [".an-tight", ".js-plotly-plot"]
REST_MS = 500  # the chart of the last move is drawn before the next
PRESS = """async ([selectors, presses, restMs]) => {
  const handle = document.querySelector('.widget-slider .noUi-handle');
  const rail = document.querySelector('.di-rail');
  const press = (right) => {
    if (rail) { // a native slider takes no key that a script makes; this is what it does with one
      rail.valueAsNumber += right ? 1 : -1;
      rail.dispatchEvent(new Event('input', { bubbles: true }));
    } else {
      const key = right ? 'ArrowRight' : 'ArrowLeft';
      handle.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true }));
    }
  };
  const frame = () => new Promise(requestAnimationFrame);
  const texts = () => selectors.map((one) => document.querySelector(one).textContent);
  const times = [];
  for (let number = 0; number < presses; number++) {
    const before = texts(), start = performance.now();
    press(number % 2 === 0);
    while (texts().some((text, i) => text === before[i])) {
      if (performance.now() - start > 10000) throw new Error(`no repaint of ${selectors}`);
      await frame();
    }
    await frame();
    times.push(performance.now() - start);
    await new Promise((rest) => setTimeout(rest, restMs));
  }
  return times;
}"""


def lines() -> Iterator[str]:
    """The part's lines of text."""
    from playwright.sync_api import sync_playwright

    from tests.browser import chromium
    from tests.browser.lab import Lab, start_command

    path = chromium.find()
    if path is None:
        yield f"\nRepaint: not measured, no Chromium-family browser; {chromium.install_command()} brings one"
        return
    as_root = hasattr(os, "geteuid") and os.geteuid() == 0
    with tempfile.TemporaryDirectory() as home, sync_playwright() as playwright:
        running = start_command(Path(home))
        browser = playwright.chromium.launch(executable_path=path, args=["--no-sandbox"] if as_root else [])
        lab = Lab(running, browser)
        found = _measure(lab)
        browser.close()
        running.interrupt()
    yield f"\nRepaint: move to painted numbers, {len(found['label'])} moves each, in turns, time on the wall"
    for name, times in found.items():
        yield f"  {name:31} {spread(times).text()} ms"
    over = ratio(found["answer"], found["label"])
    met = verdict(over.median <= TIMES_LABEL)
    yield f"  time of a bare label            {over.text()} times; goal at most {TIMES_LABEL:g}: {met}"


def _measure(lab: Any) -> dict[str, list[float]]:
    from tests.browser.table_lab import open_cells

    label, loadout = open_cells(lab, "bench", LABEL_PAGE), lab.open_page("03-loadout.ipynb", parts=False)
    label.wait_for_selector(".bench-label")
    found: dict[str, list[float]] = {"label": [], "answer": [], "answer and chart": []}
    cases = (("label", label, LABEL), ("answer", loadout, ANSWER), ("answer and chart", loadout, CHART))
    for block in range(BLOCKS):
        for name, page, selectors in cases:
            page.bring_to_front()
            times = page.evaluate(PRESS, [selectors, PRESSES, REST_MS])
            found[name] += times[WARM_UP:] if block == 0 else times
    return found
