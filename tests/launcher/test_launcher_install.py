"""Making and mending .venv: in which state it is, and what a person reads when it can't be filled."""

import dataclasses
import hashlib
import importlib.metadata
import importlib.util
import re
import shutil
import subprocess
import sys
import zipfile
from collections.abc import Sequence
from pathlib import Path

import pytest
from packaging.specifiers import SpecifierSet

from workbook.launcher import environment, installing, marker, messages
from workbook.launcher.environment import TESTS_PINS, WORKBOOK_PINS, Checkout
from workbook.launcher.messages import Halt

ROOT = Path(__file__).resolve().parents[2]
BOTH = [WORKBOOK_PINS, TESTS_PINS]

# --- what pip prints, and what a person reads -----------------------------------------------------

# Lines as pip 23 to 26 prints them.
OUTPUTS = [
    ("ERROR: Could not install packages due to an OSError: [Errno 28] No space left on device", "disk is full"),
    (
        "WARNING: Retrying (Retry(total=0, ...)) after connection broken by 'NewConnectionError('<pip._vendor.urllib3"
        ".connection.HTTPSConnection object>: Failed to establish a new connection: [Errno -3] Temporary failure in "
        "name resolution')': /simple/anyio/\n"
        "ERROR: Could not find a version that satisfies the requirement anyio==4.16.0\n"
        "ERROR: No matching distribution found for anyio==4.16.0",
        "no connection to the Python package index",
    ),
    (
        "WARNING: Retrying ... 'SSLError(SSLCertVerificationError(1, '[SSL: CERTIFICATE_VERIFY_FAILED] certificate "
        "verify failed'))': /simple/pip/\nERROR: Could not fetch URL ...: HTTPSConnectionPool: Max retries "
        "exceeded with url",
        "certificate of the package index",
    ),
    ("ERROR: Could not install packages due to an OSError: [Errno 13] Permission denied: 'x'", "may not write"),
    ("HINT: This error might have occurred since this system does not have Windows Long Path support enabled.",
     "too long"),
    ("ERROR: No matching distribution found for numpy==2.4.6", "no ready-made build"),
    ("ERROR: something never seen before", "last lines above"),
]  # fmt: skip


@pytest.mark.parametrize(("output", "says"), OUTPUTS)
def test_the_cause_is_read_in_the_output(output: str, says: str, tmp_path: Path) -> None:
    """Each known failure has its own paragraph, also where pip's last line blames something else."""
    assert says in str(installing.explain(output, tmp_path, tmp_path / "log"))


def test_a_package_index_that_cannot_be_reached(tmp_path: Path) -> None:
    """Real pip against a port where nobody listens: the person reads about the network, the log has it all."""
    nobody = "http://127.0.0.1:9/simple"
    log = tmp_path / "log"
    arguments = ["--index-url", nobody, "--target", str(tmp_path / "x"), "no-such-package-a1==1.0"]
    with pytest.raises(Halt, match="no connection to the Python package index"):
        installing.pip_install(Path(sys.executable), arguments, log)
    assert "no-such-package-a1" in log.read_text(encoding="utf-8")


def wheel(folder: Path, extra: str = "") -> str:
    """Write a package of one empty module as a wheel. Returns its hash as pip writes it."""
    made = folder / "thing-1.0-py3-none-any.whl"
    info = {
        "METADATA": "Metadata-Version: 2.1\nName: thing\nVersion: 1.0\n",
        "WHEEL": "Wheel-Version: 1.0\nGenerator: test\nRoot-Is-Purelib: true\nTag: py3-none-any\n",
        "RECORD": "",
    }
    with zipfile.ZipFile(made, "w") as archive:
        archive.writestr("thing.py", extra)
        for name, text in info.items():
            archive.writestr(f"thing-1.0.dist-info/{name}", text)
    return "sha256:" + hashlib.sha256(made.read_bytes()).hexdigest()


def test_a_package_with_another_hash_is_not_installed(tmp_path: Path) -> None:
    """Real pip, with a pin as the project writes it: the right file goes in, a changed one doesn't, and a person reads
    why."""
    pins = tmp_path / "pins.txt"
    pins.write_text(f"# about\nthing==1.0 \\\n    --hash={wheel(tmp_path)}\n", encoding="utf-8")
    assert marker.pins(pins) == ["thing==1.0"]
    from_here = [*environment.AS_PINNED, "--no-index", "--find-links", str(tmp_path), "-r", str(pins)]
    python = Path(sys.executable)
    installing.pip_install(python, [*from_here, "--target", str(tmp_path / "good")], tmp_path / "log")
    assert (tmp_path / "good" / "thing.py").exists()
    wheel(tmp_path, extra="print('changed')")
    with pytest.raises(Halt, match="another file than the one"):
        installing.pip_install(python, [*from_here, "--target", str(tmp_path / "bad")], tmp_path / "log")
    assert not (tmp_path / "bad" / "thing.py").exists()


def test_too_little_room_is_said_before_the_download(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The message has the folder, the need and what is free; with room enough there is none."""
    monkeypatch.setattr(shutil, "disk_usage", lambda _: shutil._ntuple_diskusage(10**12, 0, 700_000_000))
    installing.check_space(tmp_path / ".venv", need_mb=650)
    with pytest.raises(Halt) as caught:
        installing.check_space(tmp_path / ".venv", need_mb=800)
    assert "about 800 MB" in str(caught.value)
    assert "700 MB are free" in str(caught.value)
    assert str(tmp_path) in str(caught.value)


def test_a_python_without_venv_names_the_debian_package(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Debian's Python lacks ensurepip until python3-venv is there; nothing is made before that is said."""
    monkeypatch.setattr(importlib.util, "find_spec", lambda name: None if name == "ensurepip" else 1)
    with pytest.raises(Halt, match="sudo apt install python3-venv"):
        installing.make_venv(tmp_path / ".venv")
    assert not (tmp_path / ".venv").exists()


def test_other_packages_are_kept_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """PYTHONPATH and PYTHONHOME don't reach .venv; everything else of the environment does."""
    monkeypatch.setenv("PYTHONPATH", "elsewhere")
    monkeypatch.setenv("PYTHONHOME", "elsewhere")
    monkeypatch.setenv("LOADOUT_SEASON", "mine")
    environment = installing.clean_environment()
    assert "elsewhere" not in environment.values()
    assert environment["LOADOUT_SEASON"] == "mine"


def test_a_paragraph_keeps_addresses_and_commands_whole(capsys: pytest.CaptureFixture[str]) -> None:
    """Lines are wrapped between words only, so that a command can be copied."""
    messages.complain(messages.no_venv_module())
    printed = capsys.readouterr().err
    assert "python3-venv" in printed
    assert "https://www.python.org/downloads/" in printed
    assert max(len(line) for line in printed.splitlines()) <= 96


# --- the state of .venv ---------------------------------------------------------------------------


@pytest.fixture
def place(tmp_path: Path) -> Checkout:
    """A checkout with its pins and a complete .venv: a real Python, three packages by name only."""
    made = Checkout(root=tmp_path)
    for name in BOTH:
        (tmp_path / name).parent.mkdir()
        shutil.copy(ROOT / name, tmp_path / name)
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", str(made.venv)], check=True)
    for name in ("pip", "pip-1.0.dist-info", "thing", "thing-2.0.dist-info"):
        (packages(made) / name).mkdir()
    record(made, [WORKBOOK_PINS])
    return made


def packages(place: Checkout) -> Path:
    """The folder for packages in the .venv."""
    answer = environment._ask(place.python)
    assert answer is not None
    return answer[1]


def record(place: Checkout, done: list[str]) -> None:
    """Write down that these pins files have been installed completely."""
    hashes = {name: marker.pins_hash(place.root / name) for name in done}
    names = sorted(environment._names(packages(place)))
    version = f"{sys.version_info[0]}.{sys.version_info[1]}"
    marker.write(
        place.marker, marker.Record(python=version, root=str(place.root), pins=hashes, installed=names)
    )


def test_a_complete_venv_is_ready(place: Checkout) -> None:
    """What was recorded is there and the pins are the same: nothing to do."""
    assert environment.look(place, [WORKBOOK_PINS]) == "ready"


def test_no_venv_is_missing(place: Checkout) -> None:
    """The first start."""
    shutil.rmtree(place.venv)
    assert environment.look(place, [WORKBOOK_PINS]) == "missing"


def test_the_tests_need_more_than_the_workbook(place: Checkout) -> None:
    """After `python3 -m workbook`, `python3 -m tests` goes on installing; the other way round nothing is owed."""
    assert environment.look(place, BOTH) == "unfinished"
    record(place, BOTH)
    assert environment.look(place, BOTH) == "ready"
    assert environment.look(place, [WORKBOOK_PINS]) == "ready"


def test_new_pins_are_installed(place: Checkout) -> None:
    """A changed pins file makes .venv unfinished; other line ends don't."""
    pins = place.root / WORKBOOK_PINS
    pins.write_bytes(pins.read_bytes().replace(b"\n", b"\r\n"))
    assert environment.look(place, [WORKBOOK_PINS]) == "ready"
    pins.write_text("pint==0.1\n", encoding="utf-8")
    assert environment.look(place, [WORKBOOK_PINS]) == "unfinished"


def test_an_interrupted_installation_goes_on(place: Checkout) -> None:
    """Without the record, or with half of one, nothing counts as installed, and .venv is kept."""
    place.marker.write_text(place.marker.read_text(encoding="utf-8")[:40], encoding="utf-8")
    assert environment.look(place, [WORKBOOK_PINS]) == "unfinished"
    place.marker.unlink()
    assert environment.look(place, [WORKBOOK_PINS]) == "unfinished"


def test_a_moved_folder_is_installed_again(place: Checkout) -> None:
    """The project inside .venv still points to the old place."""
    old = marker.read(place.marker)
    assert old is not None
    marker.write(place.marker, dataclasses.replace(old, root="elsewhere"))
    assert environment.look(place, [WORKBOOK_PINS]) == "unfinished"


def test_another_version_of_a_package_is_put_right(place: Checkout) -> None:
    """Somebody upgraded one by hand: pip puts the pinned version back."""
    (packages(place) / "thing-2.0.dist-info").rename(packages(place) / "thing-3.0.dist-info")
    assert environment.look(place, [WORKBOOK_PINS]) == "unfinished"


def test_a_damaged_venv_is_made_again(place: Checkout) -> None:
    """A package's files are gone, which pip would not notice."""
    (packages(place) / "thing").rmdir()
    assert environment.look(place, [WORKBOOK_PINS]) == "broken"


def test_a_venv_without_pip_is_made_again(place: Checkout) -> None:
    """Stopped while the venv itself was being made."""
    place.marker.unlink()
    (packages(place) / "pip").rmdir()
    assert environment.look(place, [WORKBOOK_PINS]) == "broken"


def test_a_venv_whose_python_is_gone_is_made_again(place: Checkout) -> None:
    """The system's Python was removed: the link in .venv leads nowhere."""
    place.python.unlink()
    assert environment.look(place, [WORKBOOK_PINS]) == "broken"


def test_a_venv_of_another_python_is_made_again(place: Checkout) -> None:
    """The system's Python was upgraded under .venv."""
    old = marker.read(place.marker)
    assert old is not None
    marker.write(place.marker, dataclasses.replace(old, python="3.99"))
    assert environment.look(place, [WORKBOOK_PINS]) == "broken"


def test_an_empty_folder_in_its_place_is_broken(tmp_path: Path) -> None:
    """Something else that is called .venv."""
    (tmp_path / ".venv").mkdir()
    assert environment.look(Checkout(root=tmp_path), [WORKBOOK_PINS]) == "broken"


def test_a_break_off_leaves_nothing_marked_as_complete(place: Checkout, monkeypatch: pytest.MonkeyPatch) -> None:
    """Ctrl-C in the middle of new packages: the next look says unfinished, and then all is installed in order."""
    calls: list[Sequence[str]] = []

    def pip(_python: Path, arguments: Sequence[str], _log: Path, expected: int = 0) -> None:
        calls.append(arguments)
        if len(calls) == 1:
            raise KeyboardInterrupt

    taken_out: list[Sequence[str]] = []
    monkeypatch.setattr(installing, "pip_install", pip)
    monkeypatch.setattr(installing, "pip_uninstall", lambda _python, names, _log: taken_out.append(names))
    monkeypatch.setattr(installing, "check_space", lambda venv, need_mb: None)
    with pytest.raises(KeyboardInterrupt):
        environment.prepare(place, BOTH, "unfinished")
    assert environment.look(place, BOTH) == "unfinished"
    environment.prepare(place, BOTH, "unfinished")
    assert [arguments[0] for arguments in calls] == ["--require-hashes", "--require-hashes", "--no-deps"]
    files = ["-r", str(place.root / WORKBOOK_PINS), "-r", str(place.root / TESTS_PINS)]
    assert calls[1] == ["--require-hashes", "--only-binary", ":all:", "--no-deps", *files]
    assert taken_out == [environment.LEFT_OUT]
    assert environment.look(place, BOTH) == "ready"


# --- the pins -------------------------------------------------------------------------------------


def test_every_pin_is_exact_and_stands_once() -> None:
    """name==version, on all systems; no package in both files."""
    systems = ("linux", "darwin", "win32")
    everywhere = [{row for system in systems for row in marker.pins(ROOT / name, system)} for name in BOTH]
    rows = [row for one in everywhere for row in one]
    names = [row.split("==")[0].lower().replace("_", "-") for row in rows]
    assert all(row.count("==") == 1 and not set(row) & set("<>~*, ") for row in rows)
    assert len(names) == len(set(names))


@pytest.mark.parametrize("name", BOTH)
def test_every_pin_has_hashes(name: str) -> None:
    """A file that isn't one of these is refused by pip, whatever the index says."""
    rows = (ROOT / name).read_text(encoding="utf-8").replace("\\\n", "").splitlines()
    for row in rows:
        if not row.startswith("#"):
            hashes = re.findall(r" --hash=sha256:([0-9a-f]{64})(?= |$)", row)
            assert hashes, row
            assert len(hashes) == len(set(hashes)) == row.count("--hash"), row


def test_pins_of_other_systems_are_left_out() -> None:
    """Windows has a console helper that the others lack, and lacks their pseudo-terminals."""
    linux, windows = (str(marker.pins(ROOT / WORKBOOK_PINS, name)) for name in ("linux", "win32"))
    assert "pywinpty" in windows
    assert "pywinpty" not in linux
    assert "ptyprocess" in linux
    assert "ptyprocess" not in windows


def test_the_tests_run_with_the_pinned_versions() -> None:
    """What is installed here is what the pins say."""
    rows = [row.split("==") for name in BOTH for row in marker.pins(ROOT / name)]
    differing = {name: importlib.metadata.version(name) for name, version in rows
                 if importlib.metadata.version(name) != version}  # fmt: skip
    assert differing == {}


@pytest.mark.parametrize("version", ["3.11.0", "3.12.0", "3.13.0"])
def test_every_pin_allows_the_pythons_that_we_promise(version: str) -> None:
    """Debian 12 has 3.11.2: a package that asks for 3.11.5 would not install there."""
    names = [row.split("==")[0] for name in BOTH for row in marker.pins(ROOT / name)]
    asked = {name: importlib.metadata.metadata(name)["Requires-Python"] or "" for name in names}
    assert [name for name, text in asked.items() if not SpecifierSet(text).contains(version)] == []
