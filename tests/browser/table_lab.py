"""A notebook of a few cells in the running workbook, for tests of single widgets."""

from __future__ import annotations

import json
import statistics
from collections.abc import Sequence
from typing import Any

import nbformat
from playwright.sync_api import Page

from tests.browser.lab import ROOT, Lab

RUN_ALL = "jupyterapp.commands.execute('notebook:run-all-cells')"
CELLS = """() => [...jupyterapp.shell.currentWidget.content.model.cells]
  .map((cell) => [cell.type, cell.sharedModel.getSource()])"""
ASK = """async (code) => {
  const kernel = window.jupyterapp.shell.currentWidget.sessionContext.session.kernel;
  const future = kernel.requestExecute({ code, store_history: false });
  let said = '';
  future.onIOPub = (message) => { said += message.content.text || message.content.evalue || ''; };
  await future.done;
  return said;
}"""
FIRST_RENDER = """async ([index, selector]) => {
  const notebook = window.jupyterapp.shell.currentWidget.content;
  document.querySelectorAll('.wb-table, .bare-box').forEach((one) => one.classList.add('old'));
  notebook.activeCellIndex = index;
  notebook.deselectAll();
  const start = performance.now();
  window.jupyterapp.commands.execute('notebook:run-cell');
  while (!document.querySelector(selector)) await new Promise(requestAnimationFrame);
  return performance.now() - start;
}"""
ROUND_TRIP = """async ([box, said, number]) => {
  const from = document.querySelector(box), to = said && document.querySelector(said);
  from.focus();
  from.value = String(number);
  const start = performance.now();
  if (to) from.dispatchEvent(new Event('change', { bubbles: true }));
  else from.dispatchEvent(new KeyboardEvent('keydown', { key: 'Enter', bubbles: true, cancelable: true }));
  while ((to ? to.textContent : from.value) !== `${number} lb`) await new Promise(requestAnimationFrame);
  return performance.now() - start;
}"""
START_KERNEL = """async () => {
  const session = window.jupyterapp.shell.currentWidget.sessionContext;
  await session.startKernel();
  await session.session.kernel.info;
}"""
EDITS = 12


def open_cells(lab: Lab, name: str, cells: Sequence[str]) -> Page:
    """Write a notebook of code cells beside the workbook's pages, open it and run it.

    name  : file name without its ending
    cells : sources; they may import from `tests`
    """
    notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(cell) for cell in cells])
    notebook.metadata["kernelspec"] = {"name": "python3", "display_name": "Python 3", "language": "python"}
    nbformat.write(notebook, lab.running.pages / f"{name}.ipynb")
    page = lab.open_page(f"{name}.ipynb", run=False)
    page.evaluate(START_KERNEL)
    ask(page, f"__import__('sys').path.insert(0, {str(ROOT)!r})")
    page.evaluate(RUN_ALL)
    return page


def ask(page: Page, expression: str) -> Any:
    """The value of a Python expression in the notebook's kernel."""
    said = page.evaluate(ASK, f"import json; print(json.dumps({expression}))")
    try:
        return json.loads(said)
    except json.JSONDecodeError:
        raise AssertionError(f"{expression} gave: {said}") from None


def cells_of(page: Page) -> list[list[str]]:
    """Type and source of every cell of the notebook."""
    cells: list[list[str]] = page.evaluate(CELLS)
    return cells


def paste(page: Page, text: str) -> None:
    """Put a text on the clipboard and press the keys that paste."""
    page.evaluate("text => navigator.clipboard.writeText(text)", text)
    page.keyboard.press("ControlOrMeta+V")


def first_render_ms(page: Page, cell: int, selector: str) -> float:
    """From running a cell again until its new output is in the page, kernel included. [ms]"""
    return float(page.evaluate(FIRST_RENDER, [cell, selector]))


def round_trip_ms(page: Page, box: str, said: str | None) -> float:
    """From committing a number until the kernel's "... lb" is in the page: median of some edits. [ms]"""
    times = [page.evaluate(ROUND_TRIP, [box, said, 10 + number]) for number in range(EDITS)]
    return statistics.median(times[2:])
