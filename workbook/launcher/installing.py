"""Making `.venv` and filling it with pip, and reading in pip's output what went wrong."""

import importlib.util
import os
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path

from workbook.launcher import messages
from workbook.launcher.messages import Halt, say

WHEELS_MB = 350  # what pip unpacks from the network into the temporary folder, measured
REPORT_EVERY = 20  # packages between two lines of progress
FETCHED = re.compile(r"^(Collecting|Processing|Requirement already satisfied:) ")

# First match wins. A full disk and a missing network make pip say much else after them.
SPACE = ("No space left on device", "not enough space on the disk", "Disk quota exceeded", "[Errno 28]")
NETWORK = (
    "Temporary failure in name resolution", "Name or service not known", "getaddrinfo failed",
    "nodename nor servname provided", "Failed to establish a new connection", "Network is unreachable",
    "No route to host", "ConnectTimeoutError", "Connection refused", "ProxyError", "Read timed out",
    "Connection aborted", "Max retries exceeded", "IncompleteRead",
)  # fmt: skip
OTHER_FILE = ("DO NOT MATCH THE HASHES",)
CERTIFICATE = ("CERTIFICATE_VERIFY_FAILED", "certificate verify failed")
LONG_PATH = ("Long Path support enabled", "Filename too long")
DENIED = ("Permission denied", "Access is denied", "[Errno 13]", "Read-only file system")
NO_BUILD = ("No matching distribution found", "requires a different Python", "Failed building wheel",
            "subprocess-exited-with-error")  # fmt: skip


def make_venv(venv: Path) -> None:
    """Make the virtual environment, in place of whatever stands there.

    errors : Halt when Python lacks the parts for it, the disk is full, or the folder can't be written
    """
    if any(importlib.util.find_spec(name) is None for name in ("venv", "ensurepip")):
        raise messages.no_venv_module()
    remove(venv)
    # From inside an old .venv, the Python that it was made from.
    base: str = getattr(sys, "_base_executable", None) or sys.executable
    done = subprocess.run(
        [base, "-m", "venv", str(venv)], env=clean_environment(), text=True, errors="replace",
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT, check=False,
    )  # fmt: skip
    if done.returncode:
        if "ensurepip" in done.stdout and not any(text in done.stdout for text in SPACE):
            raise messages.no_venv_module()
        raise explain(done.stdout, venv, None)


def remove(venv: Path) -> None:
    """Remove what stands in the place of `.venv`."""
    try:
        if venv.is_symlink() or venv.is_file():
            venv.unlink()
        elif venv.exists():
            shutil.rmtree(venv)
    except OSError as error:
        raise Halt(
            f"The folder {venv} has to be made again, and could not be removed: {error}. Close the programs "
            "that use it, remove it yourself, then run the same command again."
        ) from error


def check_space(venv: Path, need_mb: int) -> None:
    """Look for room before a long download.

    need_mb : what the packages take in .venv. [MB]
    errors  : Halt that names the folder, the need and what is free
    """
    for folder, need in ((venv.parent, need_mb), (Path(tempfile.gettempdir()), WHEELS_MB)):
        free_mb = shutil.disk_usage(folder).free // 1_000_000
        if free_mb < need:
            raise messages.disk_full(folder, need, free_mb)


def pip_install(python: Path, arguments: Sequence[str], log: Path, expected: int = 0) -> None:
    """Run pip inside `.venv`, with a line of progress now and then.

    python    : the Python of .venv
    arguments : what follows `pip install`
    log       : file that takes the whole output
    expected  : how many packages pip will go through, 0 for no lines of progress
    errors    : Halt with the reason, read from pip's output
    """
    _pip(python, ["install", "--progress-bar", "off", "--retries", "3", *arguments], log, expected)


def pip_uninstall(python: Path, packages: Sequence[str], log: Path) -> None:
    """Take packages out of `.venv`; one that isn't there is none the worse for it.

    python   : the Python of .venv
    packages : their names
    log      : file that takes the whole output
    errors   : Halt with the reason, read from pip's output
    """
    _pip(python, ["uninstall", "--yes", *packages], log, 0)


def _pip(python: Path, arguments: Sequence[str], log: Path, expected: int) -> None:
    command = [str(python), "-m", "pip", *arguments]
    with subprocess.Popen(
        command, env=clean_environment(), text=True, encoding="utf-8", errors="replace",
        stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
    ) as pip:  # fmt: skip
        assert pip.stdout is not None
        output = _keep(log, pip.stdout, expected)
    if pip.returncode:
        raise explain(output, python.parent.parent, log)


def _keep(log: Path, lines: Iterator[str], expected: int) -> str:
    """Write the lines to the log as they come and report how far they have got. Returns them all."""
    kept, fetched = [], 0
    try:
        with log.open("a", encoding="utf-8") as file:
            for line in lines:
                kept.append(line)
                file.write(line)
                if expected and FETCHED.match(line):
                    fetched += 1
                    if fetched % REPORT_EVERY == 0 and fetched < expected:
                        say(f"  {fetched} of {expected} packages fetched")
                elif expected and line.startswith("Installing collected packages"):
                    say("  putting them in place")
    except OSError as error:  # a log that can't be written is the same full disk or locked folder
        kept.append(str(error))
        kept.extend(lines)
    return "".join(kept)


def explain(output: str, folder: Path, log: Path | None) -> Halt:
    """Find the cause in the output of pip or venv.

    output  : all that was printed
    folder  : where things were being written
    log     : file with the whole output, if there is one; named when the cause is not known
    returns : the paragraph for the person, as a Halt
    """
    python = f"{sys.version_info[0]}.{sys.version_info[1]}"
    causes = (
        (SPACE, messages.disk_full(folder)),
        (OTHER_FILE, messages.other_file()),
        (CERTIFICATE, messages.untrusted_certificate()),
        (NETWORK, messages.no_network()),
        (LONG_PATH, messages.path_too_long(folder)),
        (DENIED, messages.not_allowed(folder.parent)),
        (NO_BUILD, messages.no_package(python)),
    )
    for texts, halt in causes:
        if any(text in output for text in texts):
            return halt
    say("\n".join(output.splitlines()[-8:]))
    return messages.install_failed(log)


def clean_environment() -> dict[str, str]:
    """The environment without settings that would mix other packages into `.venv`."""
    kept = {name: value for name, value in os.environ.items() if name not in ("PYTHONPATH", "PYTHONHOME")}
    return kept | {"PIP_USER": "0", "PIP_DISABLE_PIP_VERSION_CHECK": "1", "PIP_NO_INPUT": "1"}
