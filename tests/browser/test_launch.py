"""The launched workbook: pages run by themselves, others don't, nothing leaves the machine, Ctrl-C ends it all."""

import os
import sys
from pathlib import Path

import nbformat
import psutil
import pytest
from nbformat.sign import NotebookNotary
from playwright.sync_api import Browser, Page, expect

from tests.browser.lab import RUN_MS, Lab, start_command

FRESH = True  # each test starts with no tab and no kernel

ROOT = Path(__file__).resolve().parents[2]
START = "00-start.ipynb"
RELOADED = (
    START,
    "03-loadout.ipynb",
)  # a light page and the heaviest; every other page is opened by tests of its own
COUNTS = "() => [...jupyterapp.shell.currentWidget.content.model.cells].map(cell => cell.executionCount)"
STATE = "() => jupyterapp.shell.currentWidget.node.dataset.loadoutRun"


def notebook(path: Path, source: str) -> nbformat.NotebookNode:
    """Write a notebook that asks to be run when it is opened."""
    made = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(source)])
    made.metadata = {
        "kernelspec": {"name": "python3", "display_name": "Python 3"},
        "workbook": {"autorun": True},
    }
    nbformat.write(made, path)
    return made


def sign(lab: Lab, made: nbformat.NotebookNode) -> None:
    """Make the running workbook trust a notebook, as saving it there would."""
    notary = NotebookNotary(data_dir=str(lab.running.home / ".jupyter" / "data"))
    notary.sign(made)
    notary.store.close()


def expect_left_alone(page: Page) -> None:
    """The extension has decided not to run it (`open_page` has waited for that), and indeed no cell has a number."""
    assert set(page.evaluate(COUNTS)) == {None}


def test_the_printed_address_opens_the_start_page_and_runs_it(lab: Lab) -> None:
    """The address can be copied as it is: token included, start page in front, all cells run."""
    page = lab.context.new_page()
    page.goto(lab.running.address)
    lab.wait_run(page)
    assert page.evaluate("() => jupyterapp.shell.currentWidget.context.path") == START
    assert page.evaluate(STATE) == "done"


def test_the_address_does_not_work_without_its_token(lab: Lab) -> None:
    """Another user of the machine who guesses the port gets a login form."""
    page = lab.context.new_page()
    page.goto(lab.running.address.split("?")[0])
    expect(page.get_by_label("Password or token:")).to_be_visible()


@pytest.mark.parametrize("name", RELOADED)
def test_a_page_runs_when_opened_and_again_when_reloaded(lab: Lab, name: str) -> None:
    """Twice to its end, the second time on a kernel of its own, without an error on the page or a request off the
    machine (judged when the fixture closes), and without a trace in the project's own file."""
    before = (ROOT / "workbook" / name).read_bytes()
    page = lab.open_page(name)
    [first] = lab.running.api("sessions")
    page.reload()
    lab.wait_run(page)
    [second] = lab.running.api("sessions")
    assert first["kernel"]["id"] != second["kernel"]["id"]
    assert (ROOT / "workbook" / name).read_bytes() == before, "a run wrote into the project's own page"


def test_a_foreign_notebook_does_not_run(lab: Lab) -> None:
    """It asks to be run and even is trusted, but it is none of the workbook's pages."""
    made = notebook(lab.running.pages / "10-foreign.ipynb", "print('I ran')")
    sign(lab, made)
    page = lab.open_page("10-foreign.ipynb", run=False)
    assert page.evaluate(
        "() => [...jupyterapp.shell.currentWidget.content.model.cells].every(cell => cell.trusted)"
    )
    expect_left_alone(page)


def test_a_page_with_other_content_does_not_run(lab: Lab) -> None:
    """Somebody put another notebook under a page's name after the start: it isn't signed, so it waits."""
    path = lab.running.pages / START
    good = path.read_bytes()
    try:
        notebook(path, "print('I ran')")
        expect_left_alone(lab.open_page(START, run=False))
    finally:
        path.write_bytes(good)


def test_the_kernel_is_the_project_s_own_and_knows_the_season(lab: Lab) -> None:
    """Cells run on .venv's Python, with the season's folder in LOADOUT_SEASON, and can import the workbook."""
    source = "import os, sys, workbook\nprint(sys.prefix, os.environ['LOADOUT_SEASON'], sep='\\n')"
    notebook(lab.running.pages / "my own.ipynb", source)
    page = lab.open_page("my own.ipynb", run=False)
    page.evaluate("() => jupyterapp.commands.execute('notebook:run-all-cells')")
    expect(page.locator(".jp-OutputArea-output")).to_have_text(
        f"{sys.prefix}\n{lab.running.home / 'demo'}\n", timeout=RUN_MS
    )


def test_a_notebook_of_one_s_own_is_at_home_here(lab: Lab) -> None:
    """Many of JupyterLab's plugins are off (labconfig); what a person needs to write a notebook is all there: run,
    words, save, save under another name, restart, and saving by itself."""
    lab.allow_error("404")  # JupyterLab asks whether the new name is taken
    path = lab.running.pages / "notes.ipynb"
    notebook(path, "print('I ran')")
    page = lab.open_page("notes.ipynb", run=False)
    cells = page.locator(".jp-Notebook .jp-Cell")

    cells.first.locator(".cm-content").click()
    page.keyboard.press("Shift+Enter")
    expect(page.locator(".jp-OutputArea-output")).to_have_text("I ran\n", timeout=RUN_MS)
    page.keyboard.press("Escape")
    page.keyboard.press("m")
    page.keyboard.press("Enter")
    page.keyboard.type("# What I found")
    page.keyboard.press("Shift+Enter")
    expect(page.get_by_role("heading", name="What I found")).to_be_visible()

    page.keyboard.press("Control+S")
    expect(page.locator(".jp-mod-dirty")).to_have_count(0)
    assert "What I found" in path.read_text(encoding="utf-8")
    assert page.evaluate("() => jupyterapp.commands.isToggled('docmanager:toggle-autosave')")

    page.keyboard.press("Escape")
    page.keyboard.type("00")
    page.get_by_role("button", name="Confirm Kernel Restart").click()
    cells.first.locator(".cm-content").click()
    page.keyboard.press("Shift+Enter")
    expect(cells.first.locator(".jp-InputPrompt")).to_have_text("[1]:", timeout=RUN_MS)

    page.keyboard.press("Control+Shift+S")
    page.get_by_role("dialog").get_by_role("textbox").fill("notes again.ipynb")
    page.keyboard.press("Enter")
    expect(page.get_by_role("tab", name="notes again.ipynb")).to_be_visible()
    assert "What I found" in path.with_name("notes again.ipynb").read_text(encoding="utf-8")


def test_the_recorder_sees_requests_and_errors(lab: Lab) -> None:
    """A request to another machine and an error on the page are both noted (so an empty list means something)."""
    page = lab.open_page(START)
    page.evaluate("() => fetch('http://192.0.2.1/x').catch(() => 0)")  # RFC 5737: an address that nobody has
    page.evaluate("() => { setTimeout(() => { throw new Error('on purpose'); }) }")
    page.wait_for_timeout(200)
    assert lab.off_machine == ["http://192.0.2.1/x"]
    assert any("on purpose" in text for text in lab.errors)
    lab.off_machine.clear()
    lab.errors.clear()


@pytest.mark.skipif(os.name == "nt", reason="Windows can't send Ctrl-C to one process alone")
def test_ctrl_c_once_closes_everything(browser: Browser, tmp_path: Path) -> None:
    """Exit code 0, no question, a last line, and neither server nor kernel left; the page that is still open says so,
    and no window of JupyterLab's own does."""
    running = start_command(tmp_path)
    page = Lab(running, browser).open_page(START)
    children = psutil.Process(running.process.pid).children(recursive=True)
    assert children, "the kernel is a child of the server"
    code, printed = running.interrupt()
    assert code == 0, printed
    assert "The workbook is closed." in printed.splitlines()[-1]
    assert "Traceback" not in printed
    assert "?" not in printed
    _, alive = psutil.wait_procs(children, timeout=5)
    assert alive == []
    expect(page.get_by_role("alert")).to_contain_text("The workbook is closed.", timeout=RUN_MS)
    expect(page.locator(".jp-Dialog, .Toastify__toast").locator("visible=true")).to_have_count(0)
    page.context.close()


def test_a_page_that_fails_says_so(lab: Lab) -> None:
    """A trusted page whose cell fails: `open_page` fails with the error's text, so no test goes on over it."""
    path = lab.running.pages / START
    good = path.read_bytes()
    try:
        sign(lab, notebook(path, "1 / 0"))
        with pytest.raises(AssertionError, match="ZeroDivisionError"):
            lab.open_page(START)
    finally:
        path.write_bytes(good)
