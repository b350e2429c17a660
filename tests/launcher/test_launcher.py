"""The two commands before anything runs: Python's version, ports, options, and the season's folder."""

import ast
import os
import socket
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.browser import chromium
from workbook.launcher import command, oldpython, ports, season
from workbook.launcher.messages import Halt

ROOT = Path(__file__).resolve().parents[2]
# What Python reads before it has compared its version.
READ_BY_OLD_PYTHON = (
    "workbook/__init__.py", "workbook/__main__.py", "workbook/launcher/__init__.py",
    "workbook/launcher/oldpython.py", "tests/__init__.py", "tests/__main__.py",
)  # fmt: skip


# --- the Python version ---------------------------------------------------------------------------


@pytest.mark.parametrize("version", [(3, 6, 15), (3, 10, 13)])
def test_an_old_python_is_told_its_version_and_the_cure(version: tuple[int, ...]) -> None:
    """The sentence names the version that runs, the one that is needed, and where to get it."""
    text = oldpython.complaint(version)
    assert f"this is Python {version[0]}.{version[1]}." in text
    assert "3.11 or newer" in text
    assert "python.org" in text


@pytest.mark.parametrize("version", [(3, 11, 0), (3, 12, 1), (4, 0, 0)])
def test_a_new_python_hears_nothing(version: tuple[int, ...]) -> None:
    """3.11 itself is new enough, and so is a later major version."""
    assert oldpython.complaint(version) == ""


@pytest.mark.parametrize("name", READ_BY_OLD_PYTHON)
def test_files_before_the_version_check_parse_on_old_python(name: str) -> None:
    """Syntax newer than Python 3.6 in these files would hide the message behind a SyntaxError."""
    tree = ast.parse((ROOT / name).read_text(encoding="utf-8"), feature_version=(3, 6))
    futures = [
        node for node in ast.walk(tree) if isinstance(node, ast.ImportFrom) and node.module == "__future__"
    ]
    assert not futures


@pytest.mark.parametrize("module", ["workbook", "tests"])
def test_the_command_stops_on_an_old_python(module: str) -> None:
    """With a Python that says it is 3.9, both commands end with exit code 1 and a sentence, without a traceback."""
    code = (
        "import runpy, sys; old = (3, 9, 2); sys.version_info = old; sys.argv = ['x'];"
        f"runpy.run_module('{module}', run_name='__main__', alter_sys=True)"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert "this is Python 3.9." in done.stderr
    assert "Traceback" not in done.stderr


def test_the_command_is_read_with_nothing_installed() -> None:
    """Everything up to the step into .venv imports the standard library only (-S: no installed packages)."""
    code = "import sys; sys.path.insert(0, '.'); import workbook.launcher.command"
    python = [sys.executable, "-I", "-S", "-c", code]
    done = subprocess.run(python, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.stderr == ""
    assert done.returncode == 0


# --- ports ----------------------------------------------------------------------------------------


@pytest.fixture
def taken() -> Iterator[int]:
    """A port on which somebody else listens."""
    with socket.socket() as other:
        other.bind((ports.HOST, 0))
        other.listen(1)
        yield other.getsockname()[1]


def test_a_taken_port_is_named_with_two_ways_out(taken: int) -> None:
    """The message has the port's number, another number to try, and the option to leave it out."""
    with pytest.raises(Halt) as caught:
        ports.choose(taken)
    assert f"Port {taken} is taken" in str(caught.value)
    assert f"--port {taken + 1}" in str(caught.value)
    assert "leave --port out" in str(caught.value)


def test_without_a_port_the_next_free_one_is_found(taken: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """The search starts at the first port and passes over a taken one."""
    monkeypatch.setattr(ports, "FIRST_PORT", taken)
    assert taken < ports.choose(None) < taken + ports.TRIES


def test_the_command_with_a_taken_port_ends_without_a_traceback(taken: int) -> None:
    """Exit code 1, one paragraph on the error stream, nothing started."""
    done = subprocess.run(
        [sys.executable, "-m", "workbook", "--no-browser", "--port", str(taken)],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 1
    assert f"Port {taken} is taken" in done.stderr
    assert "Traceback" not in done.stderr
    assert done.stdout == ""


# --- options --------------------------------------------------------------------------------------


def test_without_options_the_demo_season_opens_in_a_browser() -> None:
    """The defaults: the demo's folder, a browser, any free port."""
    options = command.parse([])
    assert (options.season, options.browser, options.port) == (season.DEMO, True, None)


def test_a_season_is_passed_on_as_an_absolute_folder(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """A relative folder counts from where the command was typed."""
    monkeypatch.chdir(tmp_path)
    assert command.parse(["--season", "mine"]).season == tmp_path / "mine"


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["--season", "a-file"], "a season is a folder"),
        (["--season", "x" * 300], "choose another"),
        (["--season", "~nosuchuser"], "choose another"),
        (["--season", ""], "choose another"),
        (["--port", "70000"], "70000 is not a port"),
        (["--port", "soon"], "soon is not a port"),
    ],
)
def test_a_wrong_option_is_explained(
    arguments: list[str],
    says: str,
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """The message names the value and what would be right."""
    monkeypatch.chdir(tmp_path)
    Path("a-file").touch()
    with pytest.raises(SystemExit, match="2"):
        command.parse(arguments)
    assert says in capsys.readouterr().err


# --- the browser of the browser tests ----------------------------------------------------------------


def test_a_browser_is_found_by_name_on_the_path_and_in_its_usual_place(tmp_path: Path) -> None:
    """LOADOUT_BROWSER comes first, then the PATH, then where the platform installs programs; else there is none."""
    nowhere = {"PATH": str(tmp_path), "ProgramFiles": str(tmp_path)}
    assert chromium.find(nowhere, "win32") is None
    usual = tmp_path / "Microsoft" / "Edge" / "Application" / "msedge.exe"
    usual.parent.mkdir(parents=True)
    usual.touch()
    assert chromium.find(nowhere, "win32") == usual
    assert chromium.find(nowhere, "linux") is None
    command = tmp_path / ("chromium.exe" if os.name == "nt" else "chromium")
    command.touch(mode=0o755)
    assert chromium.find(nowhere, "win32") == command
    assert chromium.find({**nowhere, "LOADOUT_BROWSER": "mine"}, "win32") == Path("mine")


@pytest.mark.parametrize(("platform", "tool"), [("darwin", "brew"), ("win32", "winget")])
def test_one_command_brings_a_browser(platform: str, tool: str) -> None:
    """One line, with the platform's own installer."""
    assert chromium.install_command(platform).startswith(tool)


def test_without_a_browser_the_browser_tests_are_named_as_not_run(tmp_path: Path) -> None:
    """Away from CI: not run, each by name, with the command. In CI: a failure."""
    module = "tests/browser/test_launch.py"
    bare = {name: value for name, value in os.environ.items() if name not in ("LOADOUT_BROWSER", "CI")}
    bare |= {"PATH": str(tmp_path), "PYTEST_ADDOPTS": "-p no:cacheprovider"}
    # This test starts nothing before it asks for a browser.
    pytest_command = [sys.executable, "-m", "pytest", module, "-q", "-k", "ctrl_c"]
    if chromium.find(bare) is not None:
        pytest.skip("a browser stands in its usual place, where an empty PATH does not hide it")
    away = subprocess.run(pytest_command, cwd=ROOT, env=bare, capture_output=True, text=True, check=False)
    assert away.returncode == 0
    assert f"  {module}::test_ctrl_c_once_closes_everything\n" in away.stdout
    assert chromium.install_command() in away.stdout
    in_ci = subprocess.run(
        pytest_command, cwd=ROOT, env=bare | {"CI": "true"}, capture_output=True, text=True, check=False
    )
    assert in_ci.returncode == 1
    assert "CI needs one" in in_ci.stdout


# --- the season -----------------------------------------------------------------------------------


def test_the_demo_and_a_new_season_start_from_their_own_tables() -> None:
    """The demo's tables for the demo's folder, blank ones for every other."""
    assert season.tables_for(season.DEMO) == ROOT / "data" / "demo"
    assert season.tables_for(Path("mine").absolute()) == ROOT / "data" / "blank"


def test_a_season_that_is_there_is_not_touched(tmp_path: Path) -> None:
    """A second start keeps what was written."""
    (tmp_path / "season.db").write_bytes(b"kept")
    season.prepare(tmp_path)
    assert (tmp_path / "season.db").read_bytes() == b"kept"
    assert os.listdir(tmp_path) == ["season.db"]


def test_a_new_season_is_made(tmp_path: Path) -> None:
    """A new folder gets its ledger."""
    season.prepare(tmp_path / "new" / "season")
    assert (tmp_path / "new" / "season" / "season.db").exists()


def test_a_season_that_cannot_be_made_is_said_in_a_line(tmp_path: Path) -> None:
    """A folder below a file: the message has the folder and the reason, and comes as a Halt."""
    (tmp_path / "file").touch()
    with pytest.raises(Halt) as caught:
        season.prepare(tmp_path / "file" / "season")
    assert str(tmp_path / "file" / "season") in str(caught.value)
    assert "\n" not in str(caught.value)
