"""Somebody else's notebooks among the pages: opening one runs nothing of it, and no kernel starts for it."""

from typing import Any

import nbformat
from playwright.sync_api import Page, expect

from tests.browser.lab import RUN_MS, Lab

FRESH = True  # each test starts with no tab and no kernel

START = "00-start.ipynb"
# What a script in a notebook would do: leave a mark, and ask the server for a kernel in the reader's name.
SCRIPT = (
    "window.__hacked = (window.__hacked || '') + ' MARK';"
    "fetch('/api/kernels', {method: 'POST', body: '{}', headers: "
    "{'X-XSRFToken': (document.cookie.match(/_xsrf=([^;]+)/) || [])[1] || ''}});"
)
STATE = "() => jupyterapp.shell.currentWidget.node.dataset.loadoutRun"
HAS_KERNEL = (
    "() => jupyterapp.shell.currentWidget.sessionContext.session?.kernel?.connectionStatus === 'connected'"
)
OPEN = """async path => {
  const panel = await jupyterapp.commands.execute('docmanager:open', {path});
  await panel.context.ready;
}"""


def script(mark: str) -> str:
    """The hostile script, with a mark of its own."""
    return SCRIPT.replace("MARK", mark)


def hostile(outputs: list[dict[str, Any]], metadata: dict[str, Any] | None = None) -> nbformat.NotebookNode:
    """A notebook that asks to be run when opened, with outputs as if it had been."""
    code = "import pathlib; pathlib.Path('I-ran').touch()"
    shown = [nbformat.v4.new_output("display_data", data=data) for data in outputs]
    made = nbformat.v4.new_notebook(
        cells=[
            nbformat.v4.new_code_cell(code, outputs=shown, execution_count=1, metadata={"trusted": True}),
            nbformat.v4.new_markdown_cell(f'words <img src="no" onerror="{script("text cell")}">'),
        ]
    )
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3"}}
    made.metadata = {**kernel, "workbook": {"autorun": True, "copied": "0" * 64}, **(metadata or {})}
    return made


def with_widget_state() -> nbformat.NotebookNode:
    """Widget state saved in the file, as JupyterLab would save it: an anywidget with a script of its own."""
    esm = script("widget") + "export default { render({ el }) { el.textContent = 'drawn'; } };"
    state: dict[str, Any] = {
        "_esm": esm, "_anywidget_id": "x.X", "_model_module": "anywidget", "_model_module_version": "~0.11.*",
        "_model_name": "AnyModel", "_view_module": "anywidget", "_view_module_version": "~0.11.*",
        "_view_name": "AnyView", "_view_count": None, "_dom_classes": [], "layout": None,
    }  # fmt: skip
    model = {
        "model_name": "AnyModel", "model_module": "anywidget", "model_module_version": "~0.11.*", "state": state,
    }  # fmt: skip
    saved = {"version_major": 2, "version_minor": 0, "state": {"a1": model}}
    view = {"model_id": "a1", "version_major": 2, "version_minor": 0}
    return hostile(
        [{"application/vnd.jupyter.widget-view+json": view, "text/plain": "X()"}],
        {"widgets": {"application/vnd.jupyter.widget-state+json": saved}},
    )


def with_scripts_in_outputs() -> nbformat.NotebookNode:
    """Outputs of every kind that could carry a script."""
    image = f'<img src="no" onerror="{script("html")}">'
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" onload="{script("svg")}"><script>{script("svg")}</script></svg>'
    return hostile(
        [
            {"text/html": f"<b>hello</b><script>{script('script')}</script>{image}", "text/plain": "html"},
            {"application/javascript": script("javascript"), "text/plain": "javascript"},
            {"image/svg+xml": svg, "text/plain": "svg"},
            {"text/markdown": image.replace("html", "markdown"), "text/plain": "markdown"},
        ]
    )


def expect_nothing_ran(lab: Lab, page: Page) -> None:
    """The notebook in front is shown and left alone: no mark of a script, no kernel, no file of its cell."""
    page.wait_for_function(STATE)
    expect(page.locator(".jp-MarkdownOutput:visible").get_by_text("words")).to_be_visible()
    assert page.evaluate(STATE) == "left alone"
    page.wait_for_timeout(500)  # an image that can't be loaded has said so by then
    assert page.evaluate("() => window.__hacked") is None
    assert lab.running.api("kernels") == []
    assert not (lab.running.pages / "I-ran").exists()


def test_opening_a_hostile_notebook_runs_nothing_of_it(lab: Lab) -> None:
    """Saved widget state, scripts in outputs and in a text cell, "run me" in the metadata; also under a page's name,
    where a save must not make it one of ours."""
    lab.allow_error("404")  # the images
    folder = lab.running.pages
    good = (folder / START).read_bytes()
    nbformat.write(with_widget_state(), folder / "state.ipynb")
    nbformat.write(with_scripts_in_outputs(), folder / "outputs.ipynb")
    try:
        page = lab.open_page("state.ipynb", run=False)
        expect_nothing_ran(lab, page)

        page.evaluate(OPEN, "outputs.ipynb")
        expect(page.locator(".jp-OutputArea-output:visible")).not_to_have_count(0)
        expect_nothing_ran(lab, page)

        nbformat.write(hostile([]), folder / START)
        page.evaluate(OPEN, START)
        expect_nothing_ran(lab, page)
        page.evaluate("() => jupyterapp.shell.currentWidget.context.save()")
        page.evaluate("() => jupyterapp.shell.currentWidget.dispose()")
        page.evaluate(OPEN, START)
        expect_nothing_ran(lab, page)

        # At a person's word a kernel comes; what was saved of a widget doesn't wake up even then.
        page.evaluate(OPEN, "state.ipynb")
        page.evaluate("() => { jupyterapp.commands.execute('notebook:run-all-cells'); }")
        page.wait_for_function(HAS_KERNEL, timeout=RUN_MS)
        page.wait_for_timeout(500)
        assert page.evaluate("() => window.__hacked") is None
        assert page.evaluate("() => jupyterapp.shell.currentWidget.model.getMetadata('widgets')") is None
    finally:
        (folder / START).write_bytes(good)
