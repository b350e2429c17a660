"""The door from the system's Python into the project's own `.venv`.

`enter("workbook")` returns when this process runs inside a complete `.venv`. Anywhere else it makes `.venv`, or
completes or mends it, and then runs the same module again inside it. What is complete is written in one file
inside `.venv`: after a break-off the next run goes on where the last one stopped, and when all is there a
start costs a few hundredths of a second and needs no network.
"""

import dataclasses
import os
import subprocess
import sys
from pathlib import Path
from typing import NoReturn

from workbook.launcher import installing, marker, messages
from workbook.launcher.messages import Halt, complain, say
from workbook.launcher.oldpython import OLDEST, require_python

ROOT = Path(__file__).resolve().parents[2]
WORKBOOK_PINS = "workbook/pins.txt"
TESTS_PINS = "tests/pins.txt"
NEED_MB = {WORKBOOK_PINS: 800, TESTS_PINS: 600}  # in .venv, measured on Linux (635 and 410) with some room
# Only the files that the tests ran with, and nothing that has to be built: building would run a package's own code.
# And nothing beside them: two packages are left out on purpose (workbook/pins.txt says why).
AS_PINNED = ("--require-hashes", "--only-binary", ":all:", "--no-deps")
LEFT_OUT = ("lark", "rfc3987-syntax")
QUESTION = (
    "import sys, sysconfig as s; print('%d.%d' % sys.version_info[:2], s.get_path('purelib'), sep='\\n')"
)
FIRST_WORDS = {
    "missing": "First start in this folder: making .venv, where everything will be installed.",
    "broken": "The folder .venv is damaged, or belongs to another Python: making it again.",
}


@dataclasses.dataclass(frozen=True, kw_only=True)
class Checkout:
    """One checkout of the project and its `.venv`."""

    root: Path

    @property
    def venv(self) -> Path:
        """The virtual environment."""
        return self.root / ".venv"

    @property
    def python(self) -> Path:
        """The Python inside it."""
        return self.venv / ("Scripts/python.exe" if os.name == "nt" else "bin/python")

    @property
    def marker(self) -> Path:
        """The file that says what has been installed completely."""
        return self.venv / "loadout-installed.json"

    @property
    def log(self) -> Path:
        """The whole output of pip."""
        return self.venv / "loadout-install.log"


def enter(module: str, with_tests: bool = False) -> None:
    """Return inside a complete `.venv`, or run `module` again inside it and never return.

    module     : what is running now, as in `python3 -m module`
    with_tests : whether what the tests need has to be there too
    """
    require_python()
    place = Checkout(root=ROOT)
    wanted = [WORKBOOK_PINS, TESTS_PINS] if with_tests else [WORKBOOK_PINS]
    try:
        state = look(place, wanted)
        if state == "ready" and inside(place):
            # Many small matrix products: on a busy machine waiting for a second thread takes longer than it spares.
            os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
            return
        if state != "ready":
            prepare(place, wanted, state)
    except Halt as halt:
        complain(halt)
        sys.exit(1)
    except KeyboardInterrupt:
        say("\nStopped. Run the same command again to go on.")
        sys.exit(130)
    go_on_inside(place, module)


def inside(place: Checkout) -> bool:
    """Whether this process runs on the Python of the project's own `.venv`."""
    return place.venv.exists() and os.path.samefile(sys.prefix, place.venv)


def look(place: Checkout, wanted: list[str]) -> str:
    """Say in which state `.venv` is.

    wanted  : the pins files that have to be installed
    returns : "missing", "broken" (to be made again), "unfinished" (pip has something to do) or "ready"
    """
    if not os.path.lexists(place.venv):
        return "missing"
    answer = _ask(place.python)
    if answer is None:
        return "broken"
    version, packages = answer
    if tuple(int(part) for part in version.split(".")) < OLDEST or not (packages / "pip").exists():
        return "broken"
    record = marker.read(place.marker)
    if record is None:
        return "unfinished"
    lost = set(record.installed) - _names(packages)
    # Another Python has moved in under .venv, or files were deleted from it: pip would believe that all is there.
    if record.python != version or any(not name.endswith(".dist-info") for name in lost):
        return "broken"
    hashes = {name: marker.pins_hash(place.root / name) for name in wanted}
    complete = record.root == str(place.root) and hashes.items() <= record.pins.items()
    return "ready" if complete and not lost else "unfinished"


def prepare(place: Checkout, wanted: list[str], state: str) -> None:
    """Make or mend `.venv` and install what is wanted.

    state  : as `look` gave it
    errors : Halt with the cause and the cure
    """
    record = marker.read(place.marker) if state == "unfinished" else None
    known = record.pins if record else {}
    installing.check_space(place.venv, sum(NEED_MB[name] for name in wanted if name not in known))
    if state in FIRST_WORDS:
        say(FIRST_WORDS[state])
        installing.make_venv(place.venv)
    place.marker.unlink(missing_ok=True)  # from here until the end nothing counts as complete
    count = sum(len(marker.pins(place.root / name)) for name in wanted)
    say(f"Installing {count} packages, at the versions that the tests ran with. The first time this takes a minute "
        "or two and needs the network.")  # fmt: skip
    files = [part for name in wanted for part in ("-r", str(place.root / name))]
    installing.pip_install(place.python, [*AS_PINNED, *files], place.log, expected=count)
    installing.pip_uninstall(place.python, LEFT_OUT, place.log)  # a .venv from before they were left out has them
    project = ["--no-deps", "--no-build-isolation", "--editable", str(place.root)]
    installing.pip_install(place.python, project, place.log)
    answer = _ask(place.python)
    if answer is None:
        raise messages.install_failed(place.log)
    hashes = {name: marker.pins_hash(place.root / name) for name in wanted}
    names = sorted(_names(answer[1]))
    done = marker.Record(python=answer[0], root=str(place.root), pins=known | hashes, installed=names)
    marker.write(place.marker, done)
    say("Everything is installed. The next start needs no network.\n")


def _ask(python: Path) -> tuple[str, Path] | None:
    """Ask the Python of `.venv` for its version and its packages folder. None when it doesn't answer."""
    command = [str(python), "-I", "-c", QUESTION]
    try:
        answer = subprocess.run(command, capture_output=True, text=True, timeout=60, check=True).stdout
        version, packages = answer.splitlines()
    except (OSError, subprocess.SubprocessError, ValueError):
        return None
    return version, Path(packages)


def _names(packages: Path) -> set[str]:
    """What lies in the packages folder. Python's own caches, and what pip sets aside (~), come and go."""
    return {name for name in os.listdir(packages) if name != "__pycache__" and not name.startswith("~")}


def go_on_inside(place: Checkout, module: str) -> NoReturn:
    """Run the module on the Python of `.venv`, with the same arguments, in place of this process."""
    command = [str(place.python), "-m", module, *sys.argv[1:]]
    environment = installing.clean_environment()
    sys.stdout.flush()
    if os.name == "posix":
        os.execve(command[0], command, environment)
    # On Windows exec starts a second process and lets the prompt come back at once: wait for it instead.
    child = subprocess.Popen(command, env=environment)
    while True:
        try:
            sys.exit(child.wait())
        except KeyboardInterrupt:
            continue  # the child has had the same Ctrl-C and is closing down
